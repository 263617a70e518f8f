"""Rulers have the lengths they claim, ticks where they belong, and stay in their band."""

from __future__ import annotations

import pytest

from export.drawing import Text
from export.ruler import BAND, inches_beside, longest, reach, ruler
from geometry.shape.contour import Contour


@pytest.mark.parametrize(("length", "inches"), [(100, 4), (150, 6), (200, 8)])
def test_a_ruler_has_both_scales(length: int, inches: int) -> None:
    marks = ruler(length, upright=False).drawing.marks
    strokes = [mark.shape for mark in marks if isinstance(mark.shape, Contour)]
    up = sorted(stroke.start.x for stroke in strokes if stroke.end.y > 0)
    down = sorted(stroke.start.x for stroke in strokes if stroke.end.y < 0)
    assert up == pytest.approx(list(range(length + 1)))
    assert down == pytest.approx([number * 25.4 / 16 for number in range(inches * 16 + 1)])
    assert inches_beside(length) == inches
    assert reach(length) == pytest.approx(inches * 25.4)


def test_figures_stand_in_the_middle_of_their_ticks() -> None:
    words = [mark.shape for mark in ruler(100, upright=False).drawing.marks if isinstance(mark.shape, Text)]
    metric = {text.words: text for text in words if text.at.y > 0}
    for number in range(0, 101, 10):
        box = metric[str(number)].bounds
        assert (box.left + box.right) / 2 == pytest.approx(number)
    assert metric["0"].bounds.right < metric["mm"].bounds.left
    assert metric["mm"].bounds.right < metric["10"].bounds.left


@pytest.mark.parametrize("length", [100, 150, 200])
def test_a_standing_ruler_is_the_lying_one_turned(length: int) -> None:
    lying, standing = ruler(length, upright=False), ruler(length, upright=True)
    for one, other in zip(lying.drawing.marks, standing.drawing.marks, strict=True):
        a, b = one.bounds, other.bounds
        assert (b.left, b.bottom, b.right, b.top) == pytest.approx(
            (-a.top, a.left, -a.bottom, a.right), abs=1e-9
        )
    assert standing.bounds.width == BAND
    assert lying.bounds.height == BAND


@pytest.mark.parametrize(("room", "length"), [(500.0, 200), (205.6, 150), (154.9, 150), (104.1, 100)])
def test_the_longest_ruler_that_fits_is_taken(room: float, length: int) -> None:
    assert longest(room) == length


def test_too_little_room_is_said() -> None:
    with pytest.raises(ValueError, match="100 mm does not fit in 90 mm"):
        longest(90.0)
