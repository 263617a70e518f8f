"""A sheet holds its marks, and words that can be read."""

from __future__ import annotations

import msgspec
import pytest

from export.drawing import Drawing, Mark, Role, Text
from export.sheet import Sheet, fitted
from export.text import SMALLEST
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle

RING = Drawing((Mark(Role.BORE, Circle(Point(0.0, 0.0), 5.0)),))


def test_a_fitted_sheet_stands_off_its_marks() -> None:
    assert fitted("a", "A", RING, margin=2.0).bounds == Bounds(-7.0, -7.0, 7.0, 7.0)


def test_a_mark_outside_the_sheet_is_refused() -> None:
    with pytest.raises(AssertionError, match="leave the sheet"):
        Sheet("a", "A", Bounds(-5.0, -5.0, 4.9, 5.0), RING)


def test_an_empty_sheet_is_a_sheet() -> None:
    assert Sheet("a", "A", Bounds(0.0, 0.0, 1.0, 1.0), Drawing()).drawing.marks == ()


def test_seven_point_is_the_smallest_type() -> None:
    assert pytest.approx(2.469, abs=0.001) == SMALLEST
    small = Drawing((Mark(Role.LABEL, Text(Point(0.0, 0.0), SMALLEST - 0.01, "small")),))
    with pytest.raises(AssertionError, match="too small"):
        fitted("a", "A", small)


def test_four_cautions_are_too_many() -> None:
    with pytest.raises(AssertionError, match="three"):
        msgspec.structs.replace(fitted("a", "A", RING), cautions=("one", "two", "three", "four"))
