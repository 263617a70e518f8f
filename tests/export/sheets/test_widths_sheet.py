"""The summary of several nut widths: everything on it, on as few pages as it takes."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.drawing import NO_SCALE, Drawing, Mark, Role, Sheet, Text
from export.sheets.strength_plot import nice_step
from export.sheets.widths import (
    MARGIN_NAME,
    RING_NAME,
    Chart,
    Curve,
    chart_drawing,
    spans_to_avoid,
    widths_sheets,
)
from export.style import STYLES
from geometry.search.refitting.widths import Member, across_widths, widths_between
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from tests.builds import change, four_friction, three_and_three

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


SIZE = (113.0, 100.0)
# Words take 13 mm at the left, 11 below and 9 above: the plot is 100 by 80.
CHART = Chart(
    at=(40.0, 41.0, 42.0, 43.0),
    first=Curve("one", (1.0, 2.0, None, 4.0)),
    second=Curve("two", (0.0, 1.0, 1.0, 1.0)),
    avoid=(),
    across="across",
    up="up",
)


def drawn(chart: Chart) -> Drawing:
    return chart_drawing(chart, SIZE, lambda x: f"{x:g} mm", lambda y: f"{y:g}")


def rings(drawing: Drawing) -> list[Point]:
    return [mark.shape.centre for mark in drawing.only(Role.CURVE).marks if isinstance(mark.shape, Circle)]


def written(drawing: Drawing) -> list[str]:
    return [mark.shape.words for mark in drawing.marks if isinstance(mark.shape, Text)]


def test_places_are_in_proportion() -> None:
    # 39.5 to 43.5 over 100 mm from x = 13, 0 to 4 over 80 mm from y = 11; the last ring is the legend's.
    expected = [Point(25.5, 31.0), Point(50.5, 51.0), Point(100.5, 91.0)]
    for place, wanted in zip(rings(drawn(CHART))[:3], expected, strict=True):
        assert place.distance(wanted) < 1e-9


def test_a_line_is_broken_where_there_is_no_value() -> None:
    shapes = [mark.shape for mark in drawn(CHART).only(Role.CURVE).marks if mark.label]
    (line,) = (shape for shape in shapes if isinstance(shape, Contour))
    assert [place for point in line.points for place in (point.x, point.y)] == pytest.approx(
        [25.5, 31.0, 50.5, 51.0]
    )


def test_the_two_lines_differ_in_dash_and_marker_and_are_named() -> None:
    assert STYLES[Role.CURVE].dash != STYLES[Role.SECOND_CURVE].dash
    assert STYLES[Role.SECOND_MARKER].colour == STYLES[Role.SECOND_CURVE].colour
    squares = drawn(CHART).only(Role.SECOND_MARKER).marks
    assert len(squares) == 4 + 1
    assert all(isinstance(m.shape, Contour) and m.shape.closed for m in squares)
    assert {"one", "two", "across", "up"} <= set(written(drawn(CHART)))


def test_numbers_stand_at_their_ticks() -> None:
    texts = {m.shape.words: m.shape for m in drawn(CHART).marks if isinstance(m.shape, Text)}
    assert texts["40 mm"].at.x == pytest.approx(25.5)
    assert [word for word in texts if word.isdecimal()] == ["0", "1", "2", "3", "4"]


def test_names_of_ticks_that_would_meet_are_left_out() -> None:
    many = tuple(40.0 + n / 10 for n in range(100))
    values: tuple[float | None, ...] = (1.0,) * 100
    chart = change(CHART, at=many, first=Curve("one", values), second=Curve("two", values))
    boxes = sorted(
        (mark.bounds.left, mark.bounds.right) for mark in drawn(chart).marks
        if isinstance(mark.shape, Text) and mark.shape.words.endswith("mm")
    )  # fmt: skip
    assert 3 < len(boxes) < 15
    assert all(one[1] < two[0] for one, two in pairwise(boxes))


def hatched(marks: tuple[Mark, ...]) -> list[Contour]:
    return [m.shape for m in marks if isinstance(m.shape, Contour) and m.role is Role.AVOID]


def test_stretches_to_avoid_are_hatched_inside_their_box() -> None:
    drawing = drawn(change(CHART, avoid=((40.5, 41.5),)))
    (box, sample) = (shape for shape in hatched(drawing.marks) if shape.closed)
    assert (box.bounds.left, box.bounds.right) == pytest.approx((38.0, 63.0))
    assert (box.bounds.bottom, box.bounds.top) == pytest.approx((11.0, 91.0))
    lines = [shape for shape in hatched(drawing.marks) if not shape.closed]
    assert len(lines) > 10
    for line in lines:
        rise, run = line.end.y - line.start.y, line.end.x - line.start.x
        assert rise == pytest.approx(run)
        inside = [each.bounds.grown(1e-9) for each in (box, sample)]
        assert any(bounds.joined(line.bounds) == bounds for bounds in inside)
    assert "avoid" in written(drawing)
    assert "avoid" not in written(drawn(CHART))


def test_spans_reach_half_way_to_the_neighbours() -> None:
    assert spans_to_avoid((40.0, 41.0, 43.0), ((0, 0), (2, 2))) == ((39.5, 40.5), (42.0, 44.0))
    assert spans_to_avoid((40.0, 41.0, 43.0), ((0, 2),)) == ((39.5, 44.0),)
    assert spans_to_avoid((40.0,), ((0, 0),)) == ((39.0, 41.0),)


def test_one_width_alone_stands_in_the_middle() -> None:
    alone = change(CHART, at=(40.0,), first=Curve("one", (3.0,)), second=Curve("two", (0.0,)))
    assert rings(drawn(alone))[0].x == pytest.approx(63.0)


@pytest.mark.parametrize(
    ("span", "most", "step"), [(4.0, 6, 1.0), (7.0, 6, 2.0), (0.6, 6, 0.1), (13.0, 6, 5.0), (31.0, 6, 10.0)]
)
def test_steps_are_round(span: float, most: int, step: float) -> None:
    assert nice_step(span, most) == pytest.approx(step)


@given(st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=12))
def test_everything_stays_in_the_chart(values: list[float]) -> None:
    at = tuple(40.0 + n for n in range(len(values)))
    chart = change(
        CHART,
        at=at,
        first=Curve("worst margin to stop", tuple(values)),
        second=Curve("smallest ring", tuple(abs(value) for value in values)),
        avoid=spans_to_avoid(at, ((0, len(at) - 1),)),
    )
    bounds = drawn(chart).bounds
    assert bounds.left >= -1e-9
    assert bounds.bottom >= -1e-9
    # Half a square may stand over the last tick.
    assert bounds.right <= SIZE[0] + 1.0
    assert bounds.top <= SIZE[1]
    for mark in drawn(chart).only(Role.CURVE, Role.SECOND_CURVE).marks:
        assert mark.bounds.bottom >= 11.0 - 1.0
        assert mark.bounds.left >= 13.0 - 1.0
