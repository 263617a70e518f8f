"""The file: what is refused, in which words, and that what is written is read again."""

from __future__ import annotations

import json
import random
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry.document.build import Build, Nut, Polygon, RoundRegion
from geometry.document.codec import read_build, write_build
from geometry.document.error import FileError
from geometry.document.outline import Curve, Nodes, Starter
from geometry.document.starters import STARTERS
from geometry.shape.point import Point, Vector
from tests.amount import sampled
from tests.bad_files import BAD_FILES, FREE, GOOD, BadFile, encoded, good_with
from tests.strategies import builds

JARGON = ("`", "$", "regex", "Expected", "Object", "`int`", "float", "msgspec", "enum", "array", "got ")


def test_the_table_of_bad_files_is_long_and_has_no_row_twice() -> None:
    assert len(BAD_FILES) >= 60
    assert len({each.name for each in BAD_FILES}) == len(BAD_FILES)


@pytest.mark.parametrize("bad", BAD_FILES, ids=[ascii(each.name) for each in BAD_FILES])
def test_refuses_and_says_where_and_why(bad: BadFile) -> None:
    with pytest.raises(FileError) as refused:
        read_build(bad.data)
    error = refused.value
    assert error.field == bad.field
    assert bad.words in error.sentence()


@pytest.mark.parametrize("bad", BAD_FILES, ids=[ascii(each.name) for each in BAD_FILES])
def test_says_it_on_one_line_in_plain_words(bad: BadFile) -> None:
    with pytest.raises(FileError) as refused:
        read_build(bad.data)
    sentence = str(refused.value)
    assert sentence.isprintable()
    assert len(sentence) < 800
    assert not [word for word in JARGON if word in sentence]


def test_reads_the_good_file_that_the_bad_ones_are_made_from() -> None:
    build = read_build(encoded(GOOD))
    assert build.nut == Nut(width=25.4)
    assert isinstance(build.outline, Starter)
    # 1 5/8 x 25.4 and 1 1/2 x 25.4, by hand.
    assert build.outline.width_low == 41.275
    assert getattr(build.rows[0].rule, "pitch", None) == 38.1
    assert build.strings[0].diameter == 0.254
    assert build.hardware[0].bore.through == 9.525
    assert isinstance(build.keep_clear[1].shape, Polygon)
    assert build.keep_clear[1].shape.points[1] == Point(12.7, 80.0)


def test_reads_a_free_outline_with_runs_of_every_kind() -> None:
    build = read_build(encoded({**GOOD, "outline": FREE}))
    assert isinstance(build.outline, Nodes)
    assert build.outline.nodes[1].onward == Curve(leave=Vector(-5.0, 0.0), arrive=Vector(0.0, 25.4))


LENGTH_FIELDS = (
    "scale_length",
    "bridge_spread",
    "cutter_diameter",
    "outline.length",
    "outline.shoulder",
    "outline.tip_rise",
    "outline.corner",
    "outline.waist",
    "nut.margin_treble",
    "nut.course_gap",
    "nut.slot_floor",
    "nut.thickness",
    "head.thickness_tip",
    "head.binding",
    "head.blank.length",
    "strings.0.diameter",
    "hardware.0.post_diameter",
    "hardware.0.button.swept_diameter",
    "hardware.0.plate.shift_outward",
    "rows.0.rule.start",
    "rows.0.moved.0.inward",
    "retainers.0.height",
    "retainers.0.radius",
    "keep_clear.0.shape.radius",
    "keep_clear.0.depth",
    "old_holes.0.depth",
)


OTHERS = {"strings.0.diameter": (0.254, "0.010 in"), "scale_length": (647.7, "25 1/2 in")}
"""Lengths of fields that do not take 19.05 mm, and the same in inches."""


@pytest.mark.parametrize("path", LENGTH_FIELDS)
def test_a_length_may_be_text_in_every_field_that_holds_one(path: str) -> None:
    length, inches = OTHERS.get(path, (19.05, "3/4 in"))
    expected = read_build(good_with(path, length))
    assert read_build(good_with(path, inches)) == expected
    assert read_build(good_with(path, f"{length} mm")) == expected
    assert read_build(good_with(path, f"{length}")) == expected


def test_a_length_that_may_be_null_may_be_text() -> None:
    rule: dict[str, Any] = {"rule": "on a line", "start": 40, "pitch": 40, "inset": 12}
    as_text = read_build(good_with("rows.0.rule", {**rule, "inset_last": "1/2 in"}))
    assert as_text == read_build(good_with("rows.0.rule", {**rule, "inset_last": 12.7}))
    assert read_build(good_with("rows.0.rule", {**rule, "inset_last": None})) == read_build(
        good_with("rows.0.rule", rule)
    )


def test_a_place_may_be_text() -> None:
    assert read_build(good_with("old_holes.0.at", ["-1/2 in", "90 mm"])).old_holes[0].at == Point(-12.7, 90.0)
    shape = read_build(good_with("keep_clear.0.shape.centre", ["1 in", 0])).keep_clear[0].shape
    assert isinstance(shape, RoundRegion)
    assert shape.centre == Point(25.4, 0.0)


def test_a_name_is_one_line_and_steers_no_terminal() -> None:
    # A line break would begin a line of its own in a report, 9B is the 8-bit beginning of a terminal's commands.
    name = "rod\u009b31m\nother: It can be drilled\u2028\u202e"
    build = read_build(good_with("keep_clear.0.name", name))
    assert build.keep_clear[0].name == "rod 31m other: It can be drilled  "
    assert read_build(good_with("name", "Käme\u00a0½″")).name == "Käme\u00a0½″"
    assert read_build(good_with("notes", "two\nlines")).notes == "two\nlines"


def test_a_text_that_is_no_length_stays_as_it_is() -> None:
    assert read_build(good_with("name", "1 3/4 in")).name == "1 3/4 in"
    assert read_build(good_with("strings.0.course", "44.5 mm")).strings[0].course == "44.5 mm"


@pytest.mark.parametrize("data", [b"\xef\xbb\xbf" + encoded(GOOD), b"\r\n" + encoded(GOOD) + b"\r\n"])
def test_byte_order_mark_and_line_ends_of_other_systems_are_read(data: bytes) -> None:
    assert read_build(data) == read_build(encoded(GOOD))


def test_line_ends_of_other_systems_inside_are_read() -> None:
    written = write_build(read_build(encoded(GOOD)))
    assert read_build(written.replace(b"\n", b"\r\n")) == read_build(written)


def test_half_drawn_heads_are_read() -> None:
    crossing = {
        "kind": "nodes",
        "nodes": [{"key": f"n{n}", "at": at} for n, at in enumerate([[9, 0], [-9, 50], [9, 50], [-9, 0]])],
    }
    bare = {"pegwright": 1, "name": "", "outline": crossing, "nut": {"width": 43}}
    assert len(read_build(encoded(bare)).outline.nodes) == 4  # type: ignore[union-attr]
    assert read_build(encoded({**bare, "outline": {"kind": "nodes", "nodes": []}})).outline == Nodes(nodes=())
    assert read_build(encoded(bare)).strings == ()


# Written and read again


@given(builds())
def test_what_is_written_is_read_again(build: Build) -> None:
    assert read_build(write_build(build)) == build


@given(builds())
def test_a_build_read_again_writes_the_same_bytes(build: Build) -> None:
    written = write_build(build)
    assert write_build(read_build(written)) == written


@given(builds())
def test_the_version_comes_first_and_the_rest_is_plain_json(build: Build) -> None:
    plain = json.loads(write_build(build))
    assert next(iter(plain.items())) == ("pegwright", 1)
    del plain["pegwright"]
    assert plain == json.loads(msgspec.json.encode(build))


def test_lengths_read_as_text_are_written_as_numbers() -> None:
    plain = json.loads(write_build(read_build(encoded(GOOD))))
    assert plain["nut"]["width"] == 25.4
    assert plain["strings"][0]["diameter"] == 0.254
    assert plain["keep_clear"][1]["shape"]["points"][1] == [12.7, 80.0]


def test_a_file_has_a_field_on_each_line_and_a_place_on_one() -> None:
    build = Build(name="Flöte", outline=STARTERS["narrow"], nut=Nut(width=25.0))
    lines = write_build(build).decode().splitlines()
    assert lines[:3] == ["{", '  "pegwright": 1,', '  "name": "Flöte",']
    assert lines[-1] == "}"
    assert '  "strings": [],' in lines
    hole = read_build(encoded(GOOD)).old_holes
    assert '      "at": [10.0, 90.0],' in write_build(msgspec.structs.replace(build, old_holes=hole)).decode()


def test_minus_zero_is_written_as_zero() -> None:
    hole = msgspec.structs.replace(read_build(encoded(GOOD)).old_holes[0], at=Point(-0.0, 90.0))
    nut = Nut(width=25.0, slot_floor=-0.0)
    build = Build(name="", outline=STARTERS["narrow"], nut=nut, old_holes=(hole,))
    written = write_build(build).decode()
    assert '"at": [0.0, 90.0]' in written
    assert '"slot_floor": 0.0' in written


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_number_that_is_not_finite_is_never_written(number: float) -> None:
    build = Build(name="", outline=STARTERS["narrow"], nut=Nut(width=25.0), scale_length=number)
    with pytest.raises(AssertionError, match="finite"):
        write_build(build)
    hole = msgspec.structs.replace(read_build(encoded(GOOD)).old_holes[0], at=Point(0.0, number))
    with pytest.raises(AssertionError, match="finite"):
        write_build(msgspec.structs.replace(build, scale_length=1.0, old_holes=(hole,)))


# Any bytes, any data


def outcome(data: bytes) -> str:
    """What became of the bytes; anything but a build or a FileError is raised."""
    try:
        build = read_build(data)
    except FileError as error:
        return "refused" if str(error).isprintable() else "refused in several lines"
    assert read_build(write_build(build)) == build
    return "read"


def test_flipped_and_lost_bytes_give_a_build_or_a_build_error() -> None:
    source = write_build(read_build(encoded({**GOOD, "outline": FREE})))
    chance = random.Random(20)
    outcomes = []
    for _ in range(2000):
        data = bytearray(source)
        for _ in range(chance.randint(1, 3)):
            place = chance.randrange(len(data))
            match chance.randrange(4):
                case 0:
                    data[place] ^= 1 << chance.randrange(8)
                case 1:
                    data[place] = chance.choice(b'0123456789-+.eE"{}[],:tnN\\')
                case 2:
                    del data[place : place + chance.randint(1, 12)]
                case _:
                    data[place:place] = data[place - 9 : place]
        outcomes.append(outcome(bytes(data)))
    assert {*outcomes} == {"read", "refused"}


@pytest.mark.parametrize("length", range(0, 400, 7))
def test_a_truncated_file_is_refused(length: int) -> None:
    assert outcome(encoded(GOOD)[:length]) == "refused"


JSON_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=6) | st.just("1 in"),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


def places(plain: Any, way: str = "") -> list[str]:
    """The paths of everything in plain data."""
    if isinstance(plain, dict):
        steps = list(plain.items())
    else:
        steps = [(str(place), each) for place, each in enumerate(plain)] if isinstance(plain, list) else []
    found = []
    for name, value in steps:
        found += [f"{way}.{name}".lstrip("."), *places(value, f"{way}.{name}")]
    return found


@settings(suppress_health_check=[HealthCheck.too_slow], max_examples=sampled(60, of=300))
@given(st.sampled_from(places(GOOD) + places({"outline": FREE})[1:]), JSON_VALUES)
def test_any_value_anywhere_gives_a_build_or_a_build_error(path: str, value: Any) -> None:
    assert outcome(good_with(path, value)) in {"read", "refused"}


@given(st.binary(max_size=60))
def test_any_bytes_are_refused(data: bytes) -> None:
    assert outcome(data) == "refused"
