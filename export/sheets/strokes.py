"""Letters as single lines that an engraver follows; our own, on a grid 4 wide and 6 high."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from export.drawing import Mark, Role, Text
from geometry.shape.contour import Contour
from geometry.shape.point import Vector
from geometry.shape.segment import Line

Stroke = tuple[tuple[float, float], ...]

HEIGHT = 6.0
GAP = 1.6
"""Height of the grid, and room between two letters, in grid units."""

_CAPITALS = 0.73  # height of capitals as a share of the font size, as in printed text

LETTERS: dict[str, tuple[Stroke, ...]] = {
    "A": (((0, 0), (2, 6), (4, 0)), ((0.8, 2.4), (3.2, 2.4))),
    "B": (
        ((0, 0), (0, 6), (2.6, 6), (3.6, 5), (3.6, 4.2), (2.6, 3.2), (0, 3.2)),
        ((2.6, 3.2), (4, 2.2), (4, 1), (2.8, 0), (0, 0)),
    ),
    "C": (((4, 5), (3, 6), (1, 6), (0, 5), (0, 1), (1, 0), (3, 0), (4, 1)),),
    "D": (((0, 0), (0, 6), (2.4, 6), (4, 4.4), (4, 1.6), (2.4, 0), (0, 0)),),
    "E": (((4, 0), (0, 0), (0, 6), (4, 6)), ((0, 3.2), (3, 3.2))),
    "F": (((0, 0), (0, 6), (4, 6)), ((0, 3.2), (3, 3.2))),
    "N": (((0, 0), (0, 6), (4, 0), (4, 6)),),
    "P": (((0, 0), (0, 6), (3, 6), (4, 5), (4, 3.6), (3, 2.6), (0, 2.6)),),
    "T": (((0, 6), (4, 6)), ((2, 6), (2, 0))),
    "U": (((0, 6), (0, 1), (1, 0), (3, 0), (4, 1), (4, 6)),),
    "0": (((1, 0), (0, 1), (0, 5), (1, 6), (3, 6), (4, 5), (4, 1), (3, 0), (1, 0)),),
    "1": (((0.8, 4.8), (2.2, 6), (2.2, 0)),),
    "2": (((0, 5), (1, 6), (3, 6), (4, 5), (4, 4), (0, 0), (4, 0)),),
    "3": (((0, 6), (4, 6), (1.8, 3.6), (3, 3.6), (4, 2.6), (4, 1), (3, 0), (1, 0), (0, 1)),),
    "4": (((3, 0), (3, 6), (0, 1.8), (4, 1.8)),),
    "5": (((4, 6), (0.4, 6), (0, 3.2), (1, 3.8), (3, 3.8), (4, 2.8), (4, 1), (3, 0), (1, 0), (0, 0.8)),),
    "6": (((3.4, 6), (1, 4), (0, 2.2), (0, 1), (1, 0), (3, 0), (4, 1), (4, 2.4), (3, 3.4), (1, 3.4), (0, 2.2)),),
    "7": (((0, 6), (4, 6), (1.4, 0)),),
    "8": (
        ((1, 3.2), (0.4, 4.2), (0.4, 5.2), (1.2, 6), (2.8, 6), (3.6, 5.2), (3.6, 4.2), (3, 3.2), (1, 3.2)),
        ((1, 3.2), (0, 2), (0, 1), (1, 0), (3, 0), (4, 1), (4, 2), (3, 3.2)),
    ),
    "9": (((0.6, 0), (3, 2), (4, 3.8), (4, 5), (3, 6), (1, 6), (0, 5), (0, 3.6), (1, 2.6), (3, 2.6), (4, 3.8)),),
    "a": (((3.4, 3.4), (1, 3.4), (0, 2.4), (0, 1), (1, 0), (2.6, 0), (3.4, 0.8)), ((3.4, 3.6), (3.4, 0))),
    "b": (((0, 6), (0, 0)), ((0, 0.8), (0.8, 0), (2.4, 0), (3.4, 1), (3.4, 2.4), (2.4, 3.4), (0, 3.4))),
    "c": (((3.4, 3), (3, 3.4), (1, 3.4), (0, 2.4), (0, 1), (1, 0), (3, 0), (3.4, 0.4)),),
    " ": (),
}  # fmt: skip


def engraved(marks: tuple[Mark, ...]) -> Iterator[Mark]:
    """The marks with words to engrave turned into lines; words with other letters stay words."""
    for mark in marks:
        words = mark.shape
        if mark.role is Role.ENGRAVE and isinstance(words, Text) and set(words.words) <= LETTERS.keys():
            yield from (Mark(Role.ENGRAVE, line, words.words) for line in strokes(words))
        else:
            yield mark


def strokes(text: Text) -> Iterator[Contour]:
    """The lines of a text of known letters, no wider than the text itself is printed."""
    unit = text.height * _CAPITALS / HEIGHT
    natural = sum(_width(letter) + GAP for letter in text.words) - GAP
    squeeze = min(1.0, text.width / (natural * unit)) if natural > 0 else 1.0
    along = Vector(unit * squeeze, 0.0).turned(text.angle)
    up = Vector(0.0, unit).turned(text.angle)
    left = text.start
    for letter in text.words:
        for stroke in LETTERS[letter]:
            places = [left + along * x + up * y for x, y in stroke]
            yield Contour(tuple(Line(one, two) for one, two in pairwise(places)))
        left = left + along * (_width(letter) + GAP)


def _width(letter: str) -> float:
    return max((x for stroke in LETTERS[letter] for x, _ in stroke), default=2.0)
