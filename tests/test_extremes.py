"""Numbers at the ends of what a file takes: all is said and drawn, or refused in a sentence, never a traceback."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import inspect

from app.document.messages import Refusal
from app.writing.export import (
    SUFFIXES,
    Job,
    made,
    pages_of,
    write_machine_file,
    write_pages,
)
from app.writing.pages import stamp_of
from export.catalogue import KINDS
from geometry.checks.judge import findings
from geometry.checks.words import headline, say
from geometry.document.build import Build
from geometry.document.codec import read_build, write_build
from geometry.document.error import FileError
from geometry.document.in_millimetres import described
from geometry.layout.layout import lay_out
from geometry.search.rings.joint import bounded_rings
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST
from geometry.trade.shop import default_shop
from tests.builds import laden_head

SAMPLES = [
    path.read_bytes() for path in sorted((Path(__file__).parents[1] / "sample_builds").glob("*.pegwright"))
]
HEADS: list[dict[str, Any]] = [json.loads(data) for data in (*SAMPLES, write_build(laden_head()))]

Place = tuple[str | int, ...]
TINY = (0.0, 5e-324, 1e-300, -1e-300, 1e-12, 1e-3, 0.1)


def numbers(plain: Any, kind: inspect.Type, at: Place = ()) -> Iterator[tuple[Place, float, float]]:
    """The places of all numbers in plain data of a type, with the least and the largest that each may be."""
    match kind:
        case inspect.Metadata(type=inner):
            yield from numbers(plain, inner, at)
        case inspect.UnionType(types=kinds):
            yield from (found for each in kinds for found in numbers(plain, each, at))
        case inspect.StructType(cls=cls) if cls in (Point, Vector) and isinstance(plain, list):
            yield from (((*at, n), -LARGEST, LARGEST) for n in range(2))
        case inspect.StructType(fields=fields) if isinstance(plain, dict):
            if kind.tag_field is None or plain.get(kind.tag_field) == kind.tag:
                for field in fields:
                    yield from numbers(plain.get(field.encode_name), field.type, (*at, field.encode_name))
        case inspect.VarTupleType(item_type=item) if isinstance(plain, list):
            yield from (found for n, each in enumerate(plain) for found in numbers(each, item, (*at, n)))
        case inspect.FloatType(ge=least, le=most) if isinstance(plain, int | float):
            yield at, -LARGEST if least is None else least, LARGEST if most is None else most


def put(plain: Any, at: Place, value: float) -> None:
    for step in at[:-1]:
        plain = plain[step]
    plain[at[-1]] = value


@st.composite
def extreme_files(draw: st.DrawFn) -> bytes:
    """A sample with one to three of its numbers at the ends of what they may be, or next to nothing."""
    plain = json.loads(json.dumps(draw(st.sampled_from(HEADS))))
    places = list(numbers(plain, described(Build)))
    assert len(places) > 50
    for at, least, most in draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
        put(
            plain, at, draw(st.sampled_from([least, most, *(each for each in TINY if least <= each <= most)]))
        )
    return json.dumps(plain).encode()


@settings(max_examples=20, deadline=None)
@given(extreme_files(), st.sampled_from(tuple(KINDS)), st.sampled_from(SUFFIXES))
def test_whatever_a_file_holds_is_judged_and_drawn(data: bytes, sheet: Any, suffix: Any) -> None:
    try:
        build = read_build(data)
    except FileError as error:
        assert "expected" in str(error)  # noqa: PT017 - most files are not refused at all
        return
    layout = lay_out(build)
    found = findings(build, layout)
    assert all(each.measured is None or math.isfinite(each.measured) for each in found)
    assert headline(found)
    assert all(say(each) and say(each, "inch") for each in found)
    assert all(math.isfinite(ring.radius) for ring in bounded_rings(build, layout).rings)
    shop = default_shop()
    stamp = stamp_of(build, shop, shop.printers[0], None, found)
    job = Job(build, layout, found, shop, stamp, None, (sheet,), "R2000")
    try:
        if suffix == ".pdf":
            assert write_pages(pages_of(made(job).sheets, stamp), job)
        else:
            assert write_machine_file(job, suffix)
    except Refusal as refusal:
        assert str(refusal).endswith((".", ":"))  # noqa: PT017 - most sheets are drawn


def test_the_numbers_of_a_head_are_all_found() -> None:
    places = {".".join(map(str, at)) for at, _, _ in numbers(HEADS[-1], described(Build))}
    assert {"nut.width", "strings.0.diameter", "rows.0.rule.pitch", "hardware.0.bore.through"} <= places
    assert {"outline.nodes.2.at.1", "old_holes.1.depth", "retainers.0.radius"} <= places
