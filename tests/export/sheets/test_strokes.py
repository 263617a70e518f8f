"""Engraved words: lines inside the place that the printed words take, the right way up."""

from __future__ import annotations

import math

import pytest

from export.drawing import Mark, Role, Text
from export.sheets.strokes import LETTERS, engraved, strokes
from geometry.shape.point import Point


@pytest.mark.parametrize("words", ["FACE UP", "NUT", "1a", "12", "ABCDEFNPTU", "0123456789abc"])
def test_lines_keep_to_the_place_of_the_text(words: str) -> None:
    text = Text(Point(3.0, -2.0), 8.0, words, bold=True)
    lines = list(strokes(text))
    assert min(line.bounds.left for line in lines) >= text.bounds.left - 1e-9
    assert max(line.bounds.right for line in lines) <= text.bounds.right + 1e-9
    # Capitals stand 0.73 of the font size over the baseline, and nothing hangs below it.
    assert max(line.bounds.top for line in lines) == pytest.approx(-2.0 + 0.73 * 8.0)
    assert min(line.bounds.bottom for line in lines) == pytest.approx(-2.0)


def test_no_line_is_without_length_or_drawn_twice() -> None:
    for letter in LETTERS:
        lines = [segment for line in strokes(Text(Point(0, 0), 10.0, letter)) for segment in line.segments]
        assert all(segment.length > 0.1 for segment in lines)
        assert len({frozenset((segment.start, segment.end)) for segment in lines}) == len(lines)


def test_a_turned_text_has_turned_lines() -> None:
    # A quarter turn counter-clockwise takes (x, y) to (-y, x).
    level = [point for line in strokes(Text(Point(0, 0), 5.0, "NUT")) for point in line.points]
    turned = [point for line in strokes(Text(Point(0, 0), 5.0, "NUT", math.pi / 2)) for point in line.points]
    for one, two in zip(level, turned, strict=True):
        assert two.distance(Point(-one.y, one.x)) < 1e-9


def test_only_known_words_to_engrave_become_lines() -> None:
    known = Mark(Role.ENGRAVE, Text(Point(0, 0), 5.0, "NUT"))
    unknown = Mark(Role.ENGRAVE, Text(Point(0, 0), 5.0, "spare A"))
    label = Mark(Role.LABEL, Text(Point(0, 0), 5.0, "NUT"))
    found = list(engraved((known, unknown, label)))
    assert found[-2:] == [unknown, label]
    assert all(mark.label == "NUT" and not isinstance(mark.shape, Text) for mark in found[:-2])
