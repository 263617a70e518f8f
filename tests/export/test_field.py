"""Whether a place is free, against shapely."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from export.field import APART, LEVEL, Field
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle, Line

# Whole and half numbers, so that shapely's answers about touching are exact too.
PLACE = st.integers(-20, 20).map(lambda number: number / 2)
POINT = st.builds(Point, PLACE, PLACE)
SIZE = st.integers(1, 12).map(lambda number: number / 2)
HEIGHT = st.integers(3, 12).map(lambda number: number / 2)  # no words are flatter
BOX = st.builds(lambda at, wide, high: Bounds(at.x, at.y, at.x + wide, at.y + high), POINT, SIZE, HEIGHT)
LINE = st.builds(Line, POINT, POINT).filter(lambda line: line.start != line.end)
CIRCLE = st.builds(Circle, POINT, SIZE)


def square(box: Bounds) -> shapely.Polygon:
    return shapely.box(box.left, box.bottom, box.right, box.top)


def strip(line: Line) -> shapely.LineString:
    return shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])


def on_a_level(one: Bounds, other: Bounds) -> bool:
    """Whether words read as one line: by how much of their heights they share, and the blank between them."""
    shared = min(one.top, other.top) - max(one.bottom, other.bottom)
    blank = max(other.left - one.right, one.left - other.right)
    return shared > 2 * LEVEL and blank < APART


@given(st.lists(BOX, max_size=4), BOX)
def test_free_of_boxes(others: list[Bounds], box: Bounds) -> None:
    overlap = any(square(other).intersection(square(box)).area > 0 for other in others)
    taken = overlap or any(on_a_level(box, other) for other in others)
    assert Field.of(others, (), ()).free(box, 0.0, None) == (not taken)
    grown = Field.of((), (), ())
    for other in others:
        grown = grown.with_box(other)
    assert grown.free(box, 0.0, None) == (not taken)


@pytest.mark.parametrize(
    ("x", "y", "free"), [(12.4, 0.0, False), (12.6, 0.0, True), (10.7, 2.5, True), (10.5, 2.5, False)]
)
def test_words_on_a_level_do_not_read_as_one_line(x: float, y: float, free: bool) -> None:
    """Words 10 mm long and 3 mm high: 2.5 mm clear of them on their level, else no more than the gap."""
    field = Field.of((Bounds(0.0, 0.0, 10.0, 3.0),), (), ())
    assert field.free(Bounds(x, y, x + 10.0, y + 3.0), 0.6, None) is free


@given(CIRCLE, BOX)
def test_free_of_discs(circle: Circle, box: Bounds) -> None:
    gap = square(box).distance(shapely.Point(circle.centre.x, circle.centre.y)) - circle.radius
    if abs(gap) > 1e-9:
        assert Field.of((), (circle,), ()).free(box, 0.0, None) == (gap > 0)


@given(LINE, BOX)
def test_free_of_lines(line: Line, box: Bounds) -> None:
    inside = strip(line).intersection(square(box).buffer(-1e-7, join_style="mitre")).length
    outside = strip(line).distance(square(box))
    field = Field.of((), (), ()).with_lines((line,))
    if inside > 1e-3:
        assert not field.free(box, 0.0, None)
        assert not Field.of((box,), (), ()).off_boxes(line)
    if outside > 0:
        assert field.free(box, 0.0, None)
        assert Field.of((box,), (), ()).off_boxes(line)


@settings(max_examples=30)
@given(st.lists(BOX, max_size=3), CIRCLE, LINE, st.lists(BOX, min_size=1, max_size=9))
def test_many_places_are_looked_at_as_each_alone(
    others: list[Bounds], circle: Circle, line: Line, some: list[Bounds]
) -> None:
    field, region = Field.of(others, (circle,), (line,)), Bounds(-8.0, -8.0, 12.0, 12.0)
    many = some * 20  # more than are looked at together
    alone = [number for number, box in enumerate(many) if field.free(box, 0.5, region)]
    assert list(field.free_among(many, 0.5, region)) == alone
    assert list(Field.of((), (), ()).free_among(many, 0.5, None)) == list(range(len(many)))


@given(LINE, LINE)
def test_lines_that_cross_hinder(one: Line, other: Line) -> None:
    field = Field.of((), (), (other,))
    if strip(one).crosses(strip(other)) and not strip(one).touches(strip(other)):
        assert not field.unhindered(one)
    if strip(one).distance(strip(other)) > 0:
        assert field.unhindered(one)


@given(LINE, CIRCLE)
def test_discs_hinder_lines(line: Line, circle: Circle) -> None:
    gap = strip(line).distance(shapely.Point(circle.centre.x, circle.centre.y)) - circle.radius
    if abs(gap) > 1e-9:
        assert Field.of((), (circle,), ()).unhindered(line) == (gap > 0)


def test_a_gap_is_kept_all_round() -> None:
    field = Field.of((Bounds(0.0, 0.0, 1.0, 1.0),), (), ())
    assert field.free(Bounds(1.6, 0.0, 2.0, 1.0), 0.5, None)
    assert not field.free(Bounds(1.4, 0.0, 2.0, 1.0), 0.5, None)


def test_what_leaves_the_region_is_not_free() -> None:
    region = Bounds(0.0, 0.0, 10.0, 10.0)
    assert Field.of((), (), ()).free(Bounds(0.0, 0.0, 10.0, 10.0), 0.5, region)
    assert not Field.of((), (), ()).free(Bounds(9.0, 0.0, 10.1, 1.0), 0.0, region)
