"""Marks: their bounds, and what is seen from the other side."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.drawing import QUARTER, Anchor, Drawing, Mark, Role, Sheet, Text, fitted, joined
from export.text import ASCENT, DESCENT, SMALLEST, width
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle

LENGTH = st.floats(-500, 500)
TEXTS = st.builds(
    Text,
    st.builds(Point, LENGTH, LENGTH),
    st.floats(2.5, 9),
    st.text("abc ØM", min_size=1, max_size=12),
    st.floats(-math.pi, math.pi),
    st.sampled_from(("start", "middle", "end")),
    st.booleans(),
)


def close(one: Bounds, other: Bounds) -> bool:
    pairs = (
        (one.left, other.left),
        (one.bottom, other.bottom),
        (one.right, other.right),
        (one.top, other.top),
    )
    return all(math.isclose(a, b, abs_tol=1e-9) for a, b in pairs)


@pytest.mark.parametrize(("anchor", "share"), [("start", 0.0), ("middle", 0.5), ("end", 1.0)])
def test_level_words_fill_the_box_of_their_width(anchor: Anchor, share: float) -> None:
    wide = width("Mast", 4.0)
    box = Text(Point(10.0, 20.0), 4.0, "Mast", anchor=anchor).bounds
    left = 10.0 - share * wide
    assert close(box, Bounds(left, 20.0 - DESCENT * 4.0, left + wide, 20.0 + ASCENT * 4.0))


def test_words_running_up_fill_a_standing_box() -> None:
    box = Text(Point(0.0, 0.0), 4.0, "Mast", QUARTER).bounds
    assert close(box, Bounds(-ASCENT * 4.0, 0.0, DESCENT * 4.0, width("Mast", 4.0)))


@given(TEXTS)
def test_mirrored_words_fill_the_mirrored_box(words: Text) -> None:
    box, other = words.bounds, words.mirrored().bounds
    assert close(other, Bounds(-box.right, box.bottom, -box.left, box.top))
    assert words.mirrored().words == words.words
    assert words.mirrored().mirrored() == words


def drawing() -> Drawing:
    return Drawing(
        (
            Mark(Role.BORE, Circle(Point(3.0, 4.0), 2.0), "post 1"),
            Mark(Role.OUTLINE, through((Point(-1.0, 0.0), Point(0.0, 9.0)))),
            Mark(Role.LABEL, Text(Point(5.0, 5.0), 3.0, "1")),
        )
    )


def test_bounds_hold_every_mark() -> None:
    assert drawing().bounds == Bounds(-1.0, 0.0, 5.0 + width("1", 3.0), 9.0)


def test_mirrored_twice_is_the_same_drawing() -> None:
    assert drawing().mirrored().mirrored() == drawing()
    assert drawing().mirrored().marks[0] == Mark(Role.BORE, Circle(Point(-3.0, 4.0), 2.0), "post 1")


def test_moved_there_and_back() -> None:
    step = Vector(8.0, -16.0)
    assert drawing().moved(step).moved(-step) == drawing()
    assert drawing().moved(step).marks[0].shape == Circle(Point(11.0, -12.0), 2.0)


def test_only_and_without_part_a_drawing() -> None:
    part, rest = drawing().only(Role.BORE, Role.LABEL), drawing().without(Role.BORE, Role.LABEL)
    assert [mark.role for mark in part.marks] == [Role.BORE, Role.LABEL]
    assert [mark.role for mark in rest.marks] == [Role.OUTLINE]
    assert joined((part, rest)) == part + rest


def test_an_empty_drawing_has_no_bounds() -> None:
    with pytest.raises(AssertionError, match="empty"):
        _ = Drawing().bounds


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
