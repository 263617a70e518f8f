"""The sheet of square markers that a head is laid on: where each marker lies, on every size of paper.

Frame of the sheet: as a head's own, x to the right, y towards the tip, origin in the middle of the nut line, in mm.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
import numpy as np

from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.segment import Bounds

COLUMNS, ROWS = 5, 8
"""Markers along the top and along each side; the middle one of the foot is left out: there lies the neck."""

CLEAR = 8.0
"""mm from the markers at the foot to the nut line."""

QUIET = 2.5
"""mm of white round a marker that nothing may cover: markers are found by the white round them."""

CELLS = 7
"""Cells along the side of a marker: five of its number between two of its black border."""


class Marker(msgspec.Struct, frozen=True):
    """A square marker, upright: its number in the set of markers, its place in the frame of the sheet, its side."""

    number: int
    centre: Point
    side: float

    @property
    def bounds(self) -> Bounds:
        """Its black square."""
        half, at = self.side / 2, self.centre
        return Bounds(at.x - half, at.y - half, at.x + half, at.y + half)

    @property
    def corners(self) -> Floats:
        """Its corners (4, 2), clockwise from the upper left one: the order in which OpenCV finds them."""
        box = self.bounds
        return np.array(
            [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
        )


class MarkerSheet(msgspec.Struct, frozen=True):
    """The markers on one size of paper, on a frame `width` by `height` mm over all, each `side` mm wide.

    `first` is the number of the first marker: every paper has numbers of its own, so that a picture tells which
    sheet it shows.
    """

    paper: str
    first: int
    width: float
    height: float
    side: float

    @property
    def frame(self) -> Bounds:
        """The rectangle round all markers."""
        bottom = -self.side - CLEAR
        return Bounds(-self.width / 2, bottom, self.width / 2, bottom + self.height)

    @property
    def field(self) -> Bounds:
        """The free field inside the markers."""
        return self.frame.grown(-self.side - QUIET)

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
        sides = [Point(x, float(y)) for y in up[1:-1] for x in (inner.left, inner.right)]
        return [*foot, *sides, *(Point(float(x), inner.top) for x in across)]

    def named_place(self, marker: Marker) -> str:
        """Where a marker lies, in words: "bottom left", "right", "top"."""
        inner = self.frame.grown(-self.side)
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

MARKER_SHEETS = {
    paper: MarkerSheet(paper, _EACH * place, *sizes) for place, (paper, sizes) in enumerate(_SIZES.items())
}
"""The sheet of each paper, by its name."""


def sheet_of(numbers: Iterable[int]) -> MarkerSheet | None:
    """The sheet that most of these markers belong to; None where none does."""
    found = [number // _EACH for number in numbers if 0 <= number < _EACH * len(MARKER_SHEETS)]
    if not found:
        return None
    sheets = list(MARKER_SHEETS.values())
    return sheets[max(set(found), key=found.count)]
