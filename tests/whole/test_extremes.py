"""Numbers at the ends of what a file takes: all is said and drawn, or refused in a sentence, never a traceback."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from time import process_time
from typing import Any

import numpy as np
import pytest
import shapely
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
from geometry.document.fields import described
from geometry.document.outline import MOST_NODES, Node, Nodes
from geometry.layout.edge import MOST_CROSSINGS
from geometry.layout.layout import lay_out
from geometry.search.rings.allowance import bounded_rings
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST
from geometry.trade.shop import default_shop
from tests.amount import sampled
from tests.builds import change, laden_head

SAMPLES = [
    path.read_bytes() for path in sorted((Path(__file__).parents[2] / "sample_builds").glob("*.pegwright"))
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


@settings(max_examples=sampled(6, of=20), deadline=None)
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
            done = made(job)
            if done.sheets:
                assert write_pages(pages_of(done.sheets, stamp), job)
            else:
                # Nothing has its place on a head of a tenth of a millimetre, and that is said.
                assert [each.why for each in done.left_out if each.why.endswith(".")]
        else:
            assert write_machine_file(job, suffix)
    except Refusal as refusal:
        assert str(refusal).endswith((".", ":"))  # noqa: PT017 - most sheets are drawn


def test_the_numbers_of_a_head_are_all_found() -> None:
    places = {".".join(map(str, at)) for at, _, _ in numbers(HEADS[-1], described(Build))}
    assert {"nut.width", "strings.0.diameter", "rows.0.rule.pitch", "hardware.0.bore.through"} <= places
    assert {"outline.nodes.2.at.1", "old_holes.1.depth", "retainers.0.radius"} <= places


# As many nodes as there may be


def tangle(count: int) -> list[tuple[float, float]]:
    return [(math.cos(2.4 * n) * (30 + 20 * math.sin(n)), 90 + math.sin(2.4 * n) * 40) for n in range(count)]


def spiral(count: int) -> list[tuple[float, float]]:
    return [((100 - 90 * n / count) * (-1) ** n, 90.0) for n in range(count)]


def wave(count: int) -> list[tuple[float, float]]:
    """Up the right side, over the tip and down the left side, to and fro all the way."""
    turn = [math.pi * n / (count - 1) for n in range(count)]
    return [
        ((30 + n % 2 / 5) * math.copysign(abs(math.cos(t)) ** 0.3, math.cos(t)), 180 * math.sin(t) ** 0.3)
        for n, t in enumerate(turn)
    ]


@pytest.mark.parametrize(("places", "bulge"), [(tangle, 0.4), (spiral, 1.0), (wave, 0.02)])
def test_as_many_nodes_as_there_may_be_are_checked_while_somebody_waits(
    places: Callable[[int], list[tuple[float, float]]], bulge: float
) -> None:
    """2 s of computing at most."""
    plain = json.loads(json.dumps(HEADS[0]))
    run = {"run": "arc", "bulge": bulge}
    nodes = [{"key": f"n{n}", "at": place, "onward": run} for n, place in enumerate(places(MOST_NODES))]
    plain["outline"] = {"kind": "nodes", "nodes": nodes}
    data = json.dumps(plain).encode()
    begun = process_time()
    build = read_build(data)
    assert findings(build, lay_out(build))
    assert process_time() - begun < 2.0


def test_over_a_tangle_lies_what_lies_over_its_parts() -> None:
    nodes = [Node(key=f"n{n}", at=Point(*place)) for n, place in enumerate(tangle(24))]
    edge = lay_out(change(laden_head(), outline=Nodes(nodes=tuple(nodes)))).edge
    assert edge is not None
    assert len(edge.crossings) == MOST_CROSSINGS
    parts = shapely.make_valid(edge.wood)
    places = np.random.default_rng(1).uniform((-60, 40), (60, 140), (500, 2))
    assert 50 < np.count_nonzero(edge.contains(places)) < 450
    assert np.array_equal(edge.contains(places), shapely.contains_xy(parts, *places.T))


def test_a_name_that_is_doubled_among_very_many_is_found_soon() -> None:
    names = ", ".join(f'"{n}": 0' for n in (*range(200_000), 199_999))
    begun = process_time()
    with pytest.raises(FileError, match="given twice"):
        read_build(f'{{"pegwright": 1, {names}}}'.encode())
    assert process_time() - begun < 2.0
