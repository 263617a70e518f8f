"""Charts: places by proportion, lines told apart, stretches to avoid."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.drawing import Drawing, Mark, Role, Text
from export.sheets.chart import Chart, Curve, chart_drawing, nice_step, spans_to_avoid
from export.style import STYLES
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from tests.builds import change

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


def words(drawing: Drawing) -> list[str]:
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
    assert {"one", "two", "across", "up"} <= set(words(drawn(CHART)))


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
    assert "avoid" in words(drawing)
    assert "avoid" not in words(drawn(CHART))


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
