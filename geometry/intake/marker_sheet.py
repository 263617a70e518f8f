"""The sheet of square markers that a head is laid on: where each marker lies, on every size of paper.

Frame of the sheet: as a head's own, x to the right, y towards the tip, origin in the middle of the nut line, in mm.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec
import numpy as np

from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.segment import Bounds

COLUMNS, ROWS = 5, 8
"""Markers along the top and along each side; the middle one of the foot is left out: there lies the neck."""

_CLEAR = 8.0  # mm from the markers at the foot to the nut line

QUIET = 2.5
"""mm of white round a marker that nothing may cover: markers are found by the white round them."""

CELLS = 7
"""Cells along the side of a marker: five of its number between two of its black border."""


class Marker(msgspec.Struct, frozen=True):
    """A square marker: its number in the set of markers, its place in the frame of the sheet, its side.

    It stands upright but for a `turn` in radians, counter-clockwise, which a sheet that is taped to another may have.
    """

    number: int
    centre: Point
    side: float
    turn: float = 0.0

    @property
    def bounds(self) -> Bounds:
        """The upright box of its black square."""
        at = self.centre
        half = self.side / 2 * (math.cos(self.turn) + abs(math.sin(self.turn)))
        return Bounds(at.x - half, at.y - half, at.x + half, at.y + half)

    @property
    def corners(self) -> Floats:
        """Its corners (4, 2), clockwise from the upper left one: the order in which OpenCV finds them."""
        half = self.side / 2
        upright = half * np.array([(-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)])
        return np.array([self.centre.x, self.centre.y]) + turned(upright, self.turn)


Part = Literal["whole", "lower", "upper"]
"""A sheet is one on its own, or the lower or the upper one of a pair for long heads."""


class MarkerSheet(msgspec.Struct, frozen=True):
    """The markers on one size of paper, on a frame `width` by `height` mm over all, each `side` mm wide.

    `first` is the number of the first marker: every paper has numbers of its own, so that a picture tells which
    sheet it shows. `bottom` is the lower end of the frame; the upper one of a pair lies `bottom` over the nut line.
    """

    paper: str
    first: int
    width: float
    height: float
    side: float
    bottom: float
    part: Part = "whole"

    @property
    def frame(self) -> Bounds:
        """The rectangle round all markers."""
        return Bounds(-self.width / 2, self.bottom, self.width / 2, self.bottom + self.height)

    @property
    def field(self) -> Bounds:
        """The free field inside the markers; that of a pair's sheet ends where the other one joins it."""
        inner, frame = self.frame.grown(-self.side - QUIET), self.frame
        if self.part == "lower":
            return msgspec.structs.replace(inner, top=frame.top + QUIET)
        if self.part == "upper":
            return msgspec.structs.replace(inner, bottom=frame.bottom - QUIET)
        return inner

    @property
    def markers(self) -> tuple[Marker, ...]:
        """All markers: the foot from the left, the sides upwards, the top."""
        return tuple(
            Marker(self.first + number, centre, self.side) for number, centre in enumerate(self._centres)
        )

    @property
    def _centres(self) -> list[Point]:
        inner = self.frame.grown(-self.side / 2)
        across = np.linspace(inner.left, inner.right, COLUMNS)
        up = np.linspace(inner.bottom, inner.top, ROWS)
        foot = [Point(float(x), inner.bottom) for number, x in enumerate(across) if number != COLUMNS // 2]
        top = [Point(float(x), inner.top) for x in across]
        rows = {"whole": up[1:-1], "lower": up[1:], "upper": up[:-1]}[self.part]
        sides = [Point(x, float(y)) for y in rows for x in (inner.left, inner.right)]
        return [*(foot if self.part != "upper" else []), *sides, *(top if self.part != "lower" else [])]


def turned(places: Floats, turn: float) -> Floats:
    """Places (n, 2) turned about the origin by radians, counter-clockwise."""
    cos, sin = math.cos(turn), math.sin(turn)
    return np.asarray(places @ np.array([[cos, sin], [-sin, cos]]), float)


def place_named(inner: Bounds, marker: Marker) -> str:
    """Where a marker lies about the inner rectangle of its sheet, in words: "bottom left", "right", "top"."""
    third = (inner.top - inner.bottom) / 3, (inner.right - inner.left) / 3
    up = _part(marker.centre.y, inner.bottom + third[0], inner.top - third[0], ("bottom", "", "top"))
    across = _part(marker.centre.x, inner.left + third[1], inner.right - third[1], ("left", "", "right"))
    return " ".join(part for part in (up, across) if part)


def _part(at: float, low: float, high: float, names: tuple[str, str, str]) -> str:
    return names[0] if at < low else names[2] if at > high else names[1]


_EACH = 2 * (COLUMNS + ROWS - 2) - 1

# Over all as large as a page leaves beside its rulers and title block, with 2 % to spare for the printer's correction.
_SIZES = {
    "A5": (110.0, 150.0, 11.0),
    "A4": (170.0, 235.0, 15.0),
    "A3": (255.0, 355.0, 20.0),
    "A2": (375.0, 525.0, 27.0),
    "A1": (545.0, 765.0, 36.0),
    "Letter": (175.0, 217.0, 15.0),
    "Legal": (175.0, 290.0, 15.0),
    "Tabloid": (238.0, 365.0, 20.0),
}


def _whole(paper: str, first: int) -> MarkerSheet:
    width, height, side = _SIZES[paper]
    return MarkerSheet(paper, first, width, height, side, -side - _CLEAR)


MARKER_SHEETS = {paper: _whole(paper, _EACH * place) for place, paper in enumerate(_SIZES)}
"""The sheet of each paper, by its name."""
