"""Asks quickly whether a place on a drawing is free."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geometry.shape.segment import Bounds, Circle, Line

Numbers = NDArray[np.float64]

_AT_ONCE = 64  # so many places are looked at together: few enough that one that is found early costs little


APART = 2.5
"""mm; least blank between words on a level: with less they read as one line, above all with the dot of a centre line
between them."""

LEVEL = 0.7
"""mm; words are on a level where their heights share more than twice this, about half of a small line."""


class Field:
    """Boxes of words and discs (solid) and lines (without width) as arrays; a field never changes."""

    __slots__ = ("_boxes", "_circles", "_lines")

    def __init__(self, boxes: Numbers, circles: Numbers, lines: Numbers) -> None:
        self._boxes, self._circles, self._lines = boxes, circles, lines

    @classmethod
    def of(cls, boxes: Iterable[Bounds], circles: Iterable[Circle], lines: Iterable[Line]) -> Field:
        """The field of these obstacles."""
        return cls(
            _table([_box(box) for box in boxes], 4),
            _table([(circle.centre.x, circle.centre.y, circle.radius) for circle in circles], 3),
            _table([_ends(line) for line in lines], 4),
        )

    def with_box(self, box: Bounds) -> Field:
        """The field with one box more."""
        return Field(np.vstack([self._boxes, _box(box)]), self._circles, self._lines)

    def with_lines(self, lines: Iterable[Line]) -> Field:
        """The field with these lines too."""
        more = _table([_ends(line) for line in lines], 4)
        return Field(self._boxes, self._circles, np.vstack([self._lines, more]))

    def free(self, box: Bounds, gap: float, region: Bounds | None) -> bool:
        """Whether the box keeps `gap` mm off everything, APART off words on its level, and lies inside `region`."""
        return bool(self._clear(_table([_box(box)], 4), gap, region)[0])

    def free_among(self, boxes: Sequence[Bounds], gap: float, region: Bounds | None) -> Iterator[int]:
        """The numbers, in order, of the boxes that are free as `free` says; looked at as far as they are asked for."""
        for first in range(0, len(boxes), _AT_ONCE):
            these = _table([_box(box) for box in boxes[first : first + _AT_ONCE]], 4)
            yield from (first + np.flatnonzero(self._clear(these, gap, region))).tolist()

    def _clear(self, boxes: Numbers, gap: float, region: Bounds | None) -> NDArray[np.bool_]:
        """Which of the boxes (n, 4) are free (n,); whatever was met already is not held against the rest."""
        clear: NDArray[np.bool_] = np.ones(len(boxes), dtype=bool)
        if region is not None:
            low, high = np.array([region.left, region.bottom]), np.array([region.right, region.top])
            clear = ~_any((boxes[:, :2] < low) | (boxes[:, 2:] > high))
        grown = boxes + np.array([-gap, -gap, gap, gap])
        level = boxes + np.array([-APART, LEVEL, APART, -LEVEL])
        for meets, these, obstacles in (
            (_boxes_meet, grown, self._boxes),
            (_boxes_meet, level, self._boxes + np.array([0.0, LEVEL, 0.0, -LEVEL])),
            (_circles_meet, grown, self._circles),
            (_lines_meet, grown, self._lines),
        ):
            left = np.flatnonzero(clear)
            if not len(left):
                break
            clear[left] = ~meets(these[left], obstacles)
        return clear

    def off_boxes(self, line: Line) -> bool:
        """Whether the line runs through no box."""
        return not np.any(_crossing(np.array([_ends(line)]), self._boxes))

    def unhindered(self, line: Line) -> bool:
        """Whether the line meets nothing at all."""
        return self.off_boxes(line) and not self._meets_circle(line) and not self._meets_line(line)

    def _meets_circle(self, line: Line) -> bool:
        ax, ay, bx, by = _ends(line)
        c = self._circles
        along = np.array([bx - ax, by - ay])
        square = max(float(along @ along), 1e-12)
        share = np.clip(((c[:, 0] - ax) * along[0] + (c[:, 1] - ay) * along[1]) / square, 0.0, 1.0)
        gap = np.hypot(ax + share * along[0] - c[:, 0], ay + share * along[1] - c[:, 1])
        return bool(np.any(gap < c[:, 2]))

    def _meets_line(self, line: Line) -> bool:
        ax, ay, bx, by = _ends(line)
        s = self._lines
        side_a = _side(s, ax, ay) > 0
        side_b = _side(s, bx, by) > 0
        mine = np.array([(ax, ay, bx, by)])
        side_c = _side(mine, s[:, 0], s[:, 1]) > 0
        side_d = _side(mine, s[:, 2], s[:, 3]) > 0
        return bool(np.any((side_a != side_b) & (side_c != side_d)))


def _boxes_meet(boxes: Numbers, others: Numbers) -> NDArray[np.bool_]:
    left, bottom, right, top = boxes.T[:, :, None]
    return _any(
        (others[:, 0] < right) & (others[:, 2] > left) & (others[:, 1] < top) & (others[:, 3] > bottom)
    )


def _circles_meet(boxes: Numbers, circles: Numbers) -> NDArray[np.bool_]:
    left, bottom, right, top = boxes.T[:, :, None]
    aside = circles[:, 0] - np.clip(circles[:, 0], left, right)
    above = circles[:, 1] - np.clip(circles[:, 1], bottom, top)
    return _any(np.hypot(aside, above) < circles[:, 2])


def _lines_meet(boxes: Numbers, lines: Numbers) -> NDArray[np.bool_]:
    return _any(_crossing(lines[None], boxes[:, None]))


def _any(met: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Whether anything is met in each row."""
    return np.asarray(met.any(axis=1), dtype=bool)


def _side(lines: Numbers, x: Any, y: Any) -> Numbers:
    result: Numbers = (lines[:, 2] - lines[:, 0]) * (y - lines[:, 1]) - (lines[:, 3] - lines[:, 1]) * (
        x - lines[:, 0]
    )
    return result


def _table(rows: list[tuple[float, ...]], columns: int) -> Numbers:
    return np.array(rows, dtype=np.float64).reshape(-1, columns)


def _box(box: Bounds) -> tuple[float, ...]:
    return (box.left, box.bottom, box.right, box.top)


def _ends(line: Line) -> tuple[float, ...]:
    return (line.start.x, line.start.y, line.end.x, line.end.y)


def _crossing(lines: Numbers, boxes: Numbers) -> NDArray[np.bool_]:
    """Whether each line enters each box, both (..., 4) and broadcast, by cutting it at the four sides."""
    low: Any = 0.0
    high: Any = 1.0
    for axis in (0, 1):
        start, step = lines[..., axis], lines[..., axis + 2] - lines[..., axis]
        flat = np.where(np.abs(step) < 1e-12, 1e-12, step)
        one, two = (boxes[..., axis] - start) / flat, (boxes[..., axis + 2] - start) / flat
        low, high = np.maximum(low, np.minimum(one, two)), np.minimum(high, np.maximum(one, two))
    return np.asarray(low < high)
