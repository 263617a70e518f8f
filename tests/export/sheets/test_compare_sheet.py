"""The compare sheet: both heads at one scale, everything on its page, all lines in tables."""

from __future__ import annotations

import pytest

from export.drawing import Role, Sheet, Text
from export.sheets.compare import SCALES, compare_sheets
from geometry.document.build import Build
from geometry.search.answers.compare import Comparison, compared, side_of, with_hardware
from geometry.shape.segment import Circle
from geometry.trade.hardware_library import SPLIT_POST
from geometry.trade.units import Units
from tests.builds import (
    change,
    plain_head,
    post_at,
    six_in_line,
    three_and_three,
    twelve_strings,
)

A4, A5 = (173.0, 226.0), (112.5, 153.0)


def comparison(one: Build, two: Build) -> Comparison:
    return compared(side_of(one, "one"), side_of(two, "two"))


def words(sheets: tuple[Sheet, ...]) -> list[str]:
    return [
        mark.shape.words for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)
    ]


def bores(sheet: Sheet) -> list[Circle]:
    return [mark.shape for mark in sheet.drawing.only(Role.BORE).marks if isinstance(mark.shape, Circle)]


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("room", [A4, A5])
def test_pages_keep_to_their_room_and_hold_every_hole_once(room: tuple[float, float], units: Units) -> None:
    found = comparison(six_in_line(), twelve_strings())
    sheets = compare_sheets(found, units, room)
    for sheet in sheets:
        assert sheet.bounds.width <= room[0] + 1e-6
        assert sheet.bounds.height <= room[1] + 1e-6
    told = words(sheets)
    for name in ("smallest ring", "mass of the tuners", "wall", "A: one", "B: two"):
        assert name in told
    # Twice on narrow paper, where the table is halved; once more beside its bore.
    tables = 2 if room == A5 else 1
    assert told.count("3b") == 1 + tables


def test_both_heads_have_one_scale_that_is_told() -> None:
    (sheet, *_) = compare_sheets(comparison(three_and_three(), six_in_line()), "mm", A4)
    told = next(text for text in words((sheet,)) if "both heads at 1:" in text)
    scale = float(told.partition("1:")[2].partition(". ")[0])
    assert scale in SCALES
    radii = {round(bore.radius * scale, 6) for bore in bores(sheet)}
    expected = {
        post.bore / 2
        for build in (three_and_three(), six_in_line())
        for post in side_of(build, "").layout.posts
    }
    assert radii == {round(radius, 6) for radius in expected}
    assert len(bores(sheet)) == 12


def test_bores_that_lie_elsewhere_show_in_the_second_head() -> None:
    one, two = (plain_head(post_at(20.0, y, key="a"), post_at(20.0, 160.0, key="b")) for y in (80.0, 90.0))
    (sheet, *_) = compare_sheets(comparison(one, two), "mm", A4)
    ghosts = sheet.drawing.only(Role.OLD_HOLE).marks
    assert [mark.label for mark in ghosts] == ["post spare A of A"]
    assert ghosts[0].bounds.centre.x > A4[0] / 2
    (same, *_) = compare_sheets(comparison(one, one), "mm", A4)
    assert not same.drawing.only(Role.OLD_HOLE).marks


def test_lines_whose_level_differs_are_bold() -> None:
    one, two = (plain_head(post_at(20.0, 80.0, key="a"), post_at(20.0, y, key="b")) for y in (140.0, 90.0))
    sheets = compare_sheets(comparison(one, two), "mm", A4)
    bold = [
        mark.shape.words
        for sheet in sheets
        for mark in sheet.drawing.marks
        if isinstance(mark.shape, Text) and mark.shape.bold
    ]
    assert "web" in bold
    assert any(text.startswith("B: ■ STOP") for text in bold)


def test_narrow_pages_cut_no_words() -> None:
    found = comparison(three_and_three(), six_in_line())
    narrow, wide = (words(compare_sheets(found, "mm", room)) for room in (A5, A4))
    level = next(text for text in wide if text.startswith("A: ") and ". " in text).partition(".")[0]
    assert level in narrow
    assert not any(text.endswith("…") for text in narrow)
    assert "better" in narrow
    assert "r" not in narrow


def test_heads_without_tuners_are_drawn_without_a_table_of_holes() -> None:
    sheets = compare_sheets(comparison(plain_head(), change(plain_head(), name="other")), "mm", A4)
    told = words(sheets)
    assert "Hole" not in told
    assert not bores(sheets[0])


def test_the_same_head_with_other_tuners_fits_one_page_and_its_rest() -> None:
    two = with_hardware(three_and_three(), SPLIT_POST)
    sheets = compare_sheets(comparison(three_and_three(), two), "mm", A4)
    assert 1 <= len(sheets) <= 2
    assert sheets[0].name == "compare"
