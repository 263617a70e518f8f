"""The nut's sheet: true places, sizes and angles, words about what they mean, and nothing over anything else."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest

from export.drawing import Drawing, Mark, Role, Sheet, Text
from export.page import paginate, room
from export.paper import PAPERS, Stamp
from export.sheets.cautions import BONE_DUST, FOR_NUT
from export.sheets.nut_strip import NUT, file_words, margin_words, slot_table, turn_words
from export.sheets.nut_views import FRONT, end_view, finished_shape, front_view, slot_shape, strip, top_view
from geometry.document.build import Build, Nut, String
from geometry.layout.layout import lay_out
from geometry.layout.nut_slots import Slot, nut_slots
from geometry.shape.contour import Contour
from geometry.shape.point import Vector
from geometry.shape.segment import Arc, Bounds, Circle
from geometry.trade.shop import Shop
from geometry.trade.string_sets import is_wound
from tests.builds import (
    READY_MADE,
    change,
    plain_head,
    post_at,
    six_in_line,
    strings,
    three_and_three,
    twelve_strings,
)

BLANK = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=FOR_NUT)
A4, A5 = (room(BLANK, Stamp(build="Build", paper=PAPERS[name])) for name in ("A4", "A5"))


def slots_of(build: Build) -> tuple[Slot, ...]:
    return nut_slots(build, lay_out(build))


def sheets_of(build: Build, shop: Shop | None = None, within: tuple[float, float] = A4) -> tuple[Sheet, ...]:
    return NUT.drawn(build, lay_out(build), shop or Shop(), within)


def said(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(
        mark.shape.words for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)
    )


def lines(drawing: Drawing, role: Role, label: str) -> list[Contour]:
    return [
        mark.shape
        for mark in drawing.only(role).marks
        if isinstance(mark.shape, Contour) and mark.label == label
    ]


def named(drawing: Drawing, label: str) -> Mark:
    (mark,) = [each for each in drawing.marks if each.label == label]
    return mark


# The sheet


@pytest.mark.parametrize("make", READY_MADE)
def test_one_page_on_usual_paper_with_its_cautions(make: Callable[[], Build]) -> None:
    (sheet,) = sheets_of(make())
    assert (sheet.name, sheet.cautions) == ("nut", FOR_NUT)
    assert BONE_DUST in sheet.cautions
    assert len(paginate(sheet, Stamp(build="Nut", paper=PAPERS["A4"]))) == 1


@pytest.mark.parametrize("within", [A4, A5])
@pytest.mark.parametrize("make", READY_MADE)
def test_words_lie_on_no_other_words(make: Callable[[], Build], within: tuple[float, float]) -> None:
    for sheet in sheets_of(make(), within=within):
        texts = [mark.shape for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]
        for one, other in combinations([text.bounds.grown(-0.05) for text in texts], 2):
            assert not one.overlaps(other)


def test_small_paper_gets_the_drawing_and_then_the_sizes() -> None:
    drawing, *tables = sheets_of(twelve_strings(), within=A5)
    assert drawing.name == "nut"
    assert len(tables) > 1
    assert {sheet.cautions for sheet in tables} == {FOR_NUT}
    assert all(sheet.bounds.height <= A5[1] for sheet in (drawing, *tables))
    assert said(sheets_of(twelve_strings(), within=A5)).count("6b") == 2


def test_no_strings_no_sheet() -> None:
    assert sheets_of(plain_head()) == ()


def test_strings_without_posts_still_have_slots() -> None:
    (sheet,) = sheets_of(plain_head(slots=(10.0, -10.0)))
    assert "–" in said((sheet,))


# The strip


def test_the_strip_is_as_large_as_the_blank_and_its_lines_stand_at_the_slots() -> None:
    nut = Nut(width=44.5, margin_bass=3.0, margin_treble=3.0, thickness=5.5, blank_oversize=0.5)
    build = plain_head(strings=strings(*[0.5] * 6), nut=nut)
    drawing = strip(build, slots_of(build))
    (cut,) = lines(drawing, Role.CUT_LINE, "strip")
    assert (cut.bounds.left, cut.bounds.right) == (-22.75, 22.75)
    assert (cut.bounds.bottom, cut.bounds.top) == (-FRONT, 5.5)
    ends = sorted(line.bounds.left for line in lines(drawing, Role.NUT, "end"))
    assert ends == [-22.25, 22.25]
    # 44.5 less both margins of 3 leaves 38.5 mm for five steps of 7.7.
    places = [lines(drawing, Role.NUT_SLOT, f"slot {n}")[0].bounds.left for n in range(1, 7)]
    assert places == pytest.approx([19.25 - 7.7 * n for n in range(6)])


def test_the_upper_lines_lean_by_the_turn_of_the_slot() -> None:
    # The string turns by 10 degrees, to the right of the centre line; over the board it runs straight.
    splay = math.radians(10.0)
    x = 100.0 * math.sin(splay) - 3.5 * math.cos(splay)
    y = 100.0 * math.cos(splay) + 3.5 * math.sin(splay)
    build = plain_head(post_at(x, y, side="bass"), slots=(0.0,))
    low, top = lines(strip(build, slots_of(build)), Role.NUT_SLOT, "slot 1")
    assert low.bounds.width == 0.0
    assert (top.end - top.start).x / (top.end - top.start).y == pytest.approx(math.tan(splay / 2))


@pytest.mark.parametrize(("hand", "first"), [("right", "bass"), ("left", "treble")])
def test_the_ends_of_the_strip_are_named(hand: str, first: str) -> None:
    build = three_and_three(hand=hand)
    texts = [mark.shape for mark in strip(build, slots_of(build)).marks if isinstance(mark.shape, Text)]
    at = {text.words: text.at.x for text in texts}
    other = {"bass": "treble", "treble": "bass"}[first]
    assert at[first] < 0 < at[other]


def test_courses_are_named_once() -> None:
    build = twelve_strings()
    words = [mark.shape.words for mark in strip(build, slots_of(build)).marks if isinstance(mark.shape, Text)]
    assert [each for each in words if each[0].isdigit()] == ["1", "2", "3", "4", "5", "6"]


# Views


def test_walls_of_a_slot_from_above_are_as_far_apart_as_the_slot_is_wide() -> None:
    build = six_in_line()
    for slot in slots_of(build):
        one, two = lines(top_view(build, slots_of(build)), Role.NUT_SLOT, f"slot {slot.label}")
        way = (one.end - one.start).unit()
        assert abs(way.cross(two.start - one.start)) == pytest.approx(slot.width)


def test_strings_in_front_stand_on_their_floors() -> None:
    build = three_and_three()
    slots = slots_of(build)
    drawing = front_view(build, slots)
    for slot in slots:
        circle = named(drawing, f"string {slot.label}").shape
        assert isinstance(circle, Circle)
        assert circle.centre.y - circle.radius == pytest.approx(build.nut.slot_floor)
        # As much as the nut says stands over the top.
        proud = build.nut.proud_wound if is_wound(slot.string.kind) else build.nut.proud_plain
        assert circle.centre.y + circle.radius - slot.top == pytest.approx(2 * circle.radius * proud)


@pytest.mark.parametrize(("depth", "parts"), [(1.0, 3), (0.5, 1), (0.2, 1)])
def test_a_slot_is_round_at_its_bottom(depth: float, parts: int) -> None:
    slot = Slot(
        string=String(key="s", name="s", diameter=0.9),
        label="1",
        x=3.0,
        width=1.0,
        depth=depth,
        floor=7.0,
        over_frets=0.3,
        fall=None,
        turn=None,
        way=Vector(0.0, 1.0),
    )
    shape = slot_shape(slot)
    assert shape is not None
    assert len(shape.segments) == parts
    (arc,) = [each for each in shape.segments if isinstance(each, Arc)]
    assert arc.radius == pytest.approx(0.5)
    assert shape.bounds.bottom == pytest.approx(7.0)
    assert shape.bounds.top == pytest.approx(7.0 + depth)
    # Half the chord of a circle of radius 0.5 at this height, and the whole width above the middle.
    chord = 2 * math.sqrt(0.25 - max(0.0, 0.5 - depth) ** 2)
    assert shape.start.distance(shape.end) == pytest.approx(chord)
    assert slot_shape(change(slot, depth=0.0)) is None


def test_a_string_that_lies_on_top_has_no_slot_in_front() -> None:
    build = plain_head(slots=(0.0,))
    build = change(build, nut=change(build.nut, proud_plain=1.0))
    assert not front_view(build, slots_of(build)).only(Role.NUT_SLOT).marks


def test_the_finished_top_passes_the_top_of_every_slot() -> None:
    build = three_and_three()
    slots = slots_of(build)
    shape = finished_shape(build.nut.width, slots)
    assert shape.bounds.width == pytest.approx(build.nut.width)
    corners = np.array([(each.start.x, each.start.y) for each in shape.segments])
    for slot in slots:
        assert np.hypot(corners[:, 0] - slot.x, corners[:, 1] - slot.top).min() < 1e-9


def test_floors_at_the_end_fall_towards_the_tip() -> None:
    # The head leans by 13 degrees, strings level over it: floors fall by 6.5 degrees over 6 mm.
    build = plain_head(post_at(3.5, 100.0), slots=(0.0,))
    build = change(build, head=change(build.head, angle_deg=13.0), nut=change(build.nut, thickness=6.0))
    (floor,) = lines(end_view(build, slots_of(build)), Role.NUT_SLOT, "slot floor")
    assert floor.start.y == build.nut.slot_floor
    assert floor.start.y - floor.end.y == pytest.approx(6.0 * math.tan(math.radians(6.5)))


def test_the_end_stands_level_with_the_front() -> None:
    (sheet,) = sheets_of(six_in_line())
    blanks = [mark.bounds for mark in sheet.drawing.marks if mark.label == "blank"]
    assert len(blanks) == 3
    assert blanks[1].bottom == pytest.approx(blanks[2].bottom)
    assert blanks[1].top == pytest.approx(blanks[2].top)


# The table and its words


def test_a_row_of_the_table() -> None:
    # By hand: gauge 0.4, slot 0.48, 3 mm from the bass end, level floors; three quarters of 0.4 deep.
    nut = Nut(width=40.0, slot_floor=7.0, clearance_bass=0.45, action_bass=2.0)
    build = plain_head(strings=strings(0.3, 0.4), nut=nut)
    first, second = slot_table(build, slots_of(build), Shop(nut_files=(0.4, 0.6))).rows
    assert second.cells == (
        "2  string 2", "0.400", "3.00", "0.48", "0.400 (−0.08)", "0.30", "7.30", "0.25", "–", "–",
    )  # fmt: skip
    assert first.cells[2] == "37.00"


@pytest.mark.parametrize(
    ("files", "words"),
    [
        ((), "–"),
        ((0.48, 0.9), "0.480"),
        ((0.51,), "0.510 (+0.03)"),
        # Wider than the gauge of 0.4 by more than 0.13, and narrower than 0.8 of it.
        ((0.54,), "▲ 0.540 (+0.06)"),
        ((0.31,), "▲ 0.310 (−0.17)"),
    ],
)
def test_files(files: tuple[float, ...], words: str) -> None:
    (slot,) = slots_of(plain_head(strings=strings(0.4), nut=Nut(width=40.0)))
    assert file_words(slot, Shop(nut_files=files)) == words


def test_numbers_in_inches() -> None:
    (sheet,) = sheets_of(six_in_line(), Shop(units="inch"))
    assert "Gauge in" in said((sheet,))


@pytest.mark.parametrize(
    ("turn", "hand", "words"),
    [
        # Counter-clockwise is towards -x, where a right-handed head has its bass strings.
        (0.02, "right", "1.1° bass"),
        (-0.02, "right", "1.1° treble"),
        (0.02, "left", "1.1° treble"),
        (0.0001, "right", "0.0°"),
    ],
)
def test_turns(turn: float, hand: str, words: str) -> None:
    build = plain_head(strings=strings(0.4), nut=Nut(width=40.0), hand=hand)
    (slot,) = slots_of(build)
    assert turn_words(build, change(slot, turn=turn)) == words


def test_margins_are_named_with_what_they_are_measured_to() -> None:
    centres = plain_head(strings=strings(0.4, 0.5), nut=Nut(width=40.0, margin_bass=3.0, margin_treble=3.5))
    words = margin_words(centres, "mm")
    assert "bass end 3 mm to the centre" in words
    assert "treble end 3.5 mm to the centre" in words
    edges = change(centres, nut=change(centres.nut, spacing="equal gaps"))
    assert "3 mm to the outer edge" in margin_words(edges, "mm")


def test_a_blank_that_is_too_low_is_told() -> None:
    build = six_in_line()
    assert "too low" not in said(sheets_of(build))
    low = change(build, nut=change(build.nut, blank_height=build.nut.slot_floor))
    assert "The blank is too low by" in said(sheets_of(low))


def test_files_of_the_shop_are_explained_when_there_are_any() -> None:
    assert "the shop lists none" in said(sheets_of(six_in_line()))
    assert "does not suit" in said(sheets_of(six_in_line(), Shop(nut_files=(0.3, 1.0))))


def test_practice_with_no_source_is_told_as_such() -> None:
    words = said(sheets_of(six_in_line()))
    # Common practice, no source: the bottom, not the top, is sanded; floors slope towards the tuner; half a mm over
    # each end, trimmed on the instrument.
    assert "sand the bottom, not the top" in words
    assert "falls towards the tuner" in words
    assert "0.5 mm over each end, trimmed on the instrument" in words
    assert "common practice, no source" in words
    assert "from memory" in words
