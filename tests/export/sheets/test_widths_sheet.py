"""The summary of several nut widths: everything on it, on as few pages as it takes."""

from __future__ import annotations

import msgspec
import pytest

from export.drawing import NO_SCALE, Role, Sheet, Text
from export.sheets.widths import MARGIN_NAME, RING_NAME, widths_sheets
from geometry.search.refitting.widths import Member, across_widths, widths_between
from tests.builds import four_friction, three_and_three

ROOM = (171.0, 230.0)
MEMBERS = tuple(across_widths(four_friction(), widths_between(20.0, 36.0, 4.0), "scale"))


def words(sheets: tuple[Sheet, ...]) -> list[str]:
    marks = [mark for sheet in sheets for mark in sheet.drawing.marks]
    return [mark.shape.words for mark in marks if isinstance(mark.shape, Text)]


def many(count: int) -> tuple[Member, ...]:
    """So many members that differ in their width alone."""
    return tuple(msgspec.structs.replace(MEMBERS[-1], width=40.0 + n) for n in range(count))


def test_one_page_holds_the_chart_and_a_row_for_each_width() -> None:
    (sheet,) = widths_sheets(MEMBERS, "mm", ROOM)
    assert (sheet.bounds.width, sheet.bounds.height) == ROOM
    told = words((sheet,))
    assert {MARGIN_NAME, RING_NAME, "avoid", "nut width", "Verdict"} <= set(told)
    # Each width is named at the axis and in the table, and a stop in its own sign and word.
    assert all(told.count(f"{member.width:g} mm") == 2 for member in MEMBERS)
    assert told.count("■ STOP") == sum(member.stopped for member in MEMBERS) > 0
    assert any(line.startswith("Avoid these nut widths") for line in told)


def test_margins_have_true_minus_signs_and_a_chart_has_no_scale() -> None:
    (sheet,) = widths_sheets(MEMBERS, "mm", ROOM)
    told = words((sheet,))
    assert any(line.startswith("−") for line in told)
    assert not any(line.startswith("-") for line in told)
    assert sheet.scale == NO_SCALE


def test_a_good_family_has_nothing_hatched() -> None:
    (sheet,) = widths_sheets(tuple(across_widths(three_and_three(), (42.0, 44.0))), "mm", ROOM)
    assert not sheet.drawing.only(Role.AVOID).marks
    assert "Nothing is at stop at any of these widths." in words((sheet,))


def test_inches() -> None:
    (sheet,) = widths_sheets(tuple(across_widths(three_and_three(), (42.8625, 44.45))), "inch", ROOM)
    told = words((sheet,))
    assert told.count("1 11/16 in") == told.count("1 3/4 in") == 2
    assert "inches" in told
    assert not any(line.endswith(" mm") for line in told)


@pytest.mark.parametrize("room", [ROOM, (120.0, 140.0), (120.0, 60.0), (400.0, 200.0)])
@pytest.mark.parametrize("count", [1, 20, 60])
def test_every_row_is_there_once(count: int, room: tuple[float, float]) -> None:
    sheets = widths_sheets(many(count), "mm", room)
    rows = [line for line in words(sheets) if line in {"▲ watch", "✓ fine", "■ STOP"}]
    assert len(rows) == count
    assert len({sheet.name for sheet in sheets}) == len(sheets)
    # The chart is 92 mm high; a page that is lower takes it in parts.
    assert all(sheet.bounds.height <= room[1] for sheet in sheets[1:])
    assert (sheets[0].bounds.height > room[1]) == (room[1] < 100.0)


def test_narrow_pages_name_only_the_hole() -> None:
    told = words(widths_sheets(MEMBERS, "mm", (120.0, 180.0)))
    assert "of hole" in told
    assert not any(": broken already" in line for line in told)
