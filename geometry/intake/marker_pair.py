"""Two sheets of markers, one taped above the other, for a head that is longer than one of them.

Nobody tapes exactly, so how the upper sheet lies to the lower one is found out from each picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache, reduce

import msgspec
import numpy as np

from geometry.intake.marker_sheet import COLUMNS, MARKER_SHEETS, QUIET, ROWS, Marker, MarkerSheet, turned
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.segment import Bounds


class Joint(msgspec.Struct, frozen=True):
    """How the upper sheet of a pair lies off where it should: mm `across` and `up`, and a `turn` in radians.

    It is turned about the middle of the line where both meet.
    """

    across: float = 0.0
    up: float = 0.0
    turn: float = 0.0

    def moved(self, places: Floats, about: float) -> Floats:
        """Where places (n, 2) of the upper sheet lie, the sheets meeting at y = `about`."""
        middle = np.array([0.0, about])
        return np.asarray(middle + turned(places - middle, self.turn) + np.array([self.across, self.up]))


class MarkerPair(msgspec.Struct, frozen=True):
    """Two sheets for a long head, the upper one taped above the lower one, in whose frame both lie."""

    lower: MarkerSheet
    upper: MarkerSheet
    joint: Joint = Joint()

    @property
    def paper(self) -> str:
        """The paper of both."""
        return self.lower.paper

    @property
    def side(self) -> float:
        """Mm of a marker's side."""
        return self.lower.side

    @property
    def meets(self) -> float:
        """Y of the line where the sheets meet."""
        return self.lower.field.top

    @property
    def markers(self) -> tuple[Marker, ...]:
        """Those of the lower sheet, then those of the upper one where it lies."""
        at = self.joint.moved(_centres(self.upper), self.meets)
        moved = (
            Marker(marker.number, Point(float(x), float(y)), marker.side, self.joint.turn)
            for marker, (x, y) in zip(self.upper.markers, at, strict=True)
        )
        return (*self.lower.markers, *moved)

    @property
    def frame(self) -> Bounds:
        """The rectangle round all markers."""
        return reduce(Bounds.joined, (marker.bounds for marker in self.markers))

    @property
    def field(self) -> Bounds:
        """The upright free field inside the markers."""
        top = self.markers[-COLUMNS:]
        sides = [marker.bounds for marker in self.markers[COLUMNS - 1 : -COLUMNS]]
        return Bounds(
            max(box.right for box in sides if box.right < 0) + QUIET,
            self.lower.field.bottom,
            min(box.left for box in sides if box.left > 0) - QUIET,
            min(marker.bounds.bottom for marker in top) - QUIET,
        )


def _centres(sheet: MarkerSheet) -> Floats:
    return np.array([(marker.centre.x, marker.centre.y) for marker in sheet.markers])


Sheets = MarkerSheet | MarkerPair
"""What a head may be laid on."""

_JOINED = 8.0  # mm that the frames of a pair are lower than that of a sheet, for the marks where they meet
_LOWER = COLUMNS - 1 + 2 * (ROWS - 1)  # markers
_BOTH = _LOWER + 2 * (ROWS - 1) + COLUMNS


def _pair(whole: MarkerSheet, first: int) -> MarkerPair:
    height = whole.height - _JOINED
    lower = msgspec.structs.replace(whole, first=first, height=height, part="lower")
    above = lower.frame.top + 2 * QUIET
    upper = msgspec.structs.replace(whole, first=first + _LOWER, height=height, bottom=above, part="upper")
    return MarkerPair(lower, upper)


_FIRST = sum(len(sheet.markers) for sheet in MARKER_SHEETS.values())

MARKER_PAIRS = {
    paper: _pair(sheet, _FIRST + _BOTH * place) for place, (paper, sheet) in enumerate(MARKER_SHEETS.items())
}
"""The pair of sheets of each paper."""

MARKERS = _FIRST + _BOTH * len(MARKER_PAIRS)
"""How many markers all sheets take."""


def sheets_of(numbers: Iterable[int]) -> list[tuple[Sheets, int]]:
    """The sheets and pairs that markers with these numbers belong to, and how many of each, most first."""
    owners = _owners()
    found = [owners[number] for number in numbers if number in owners]
    return sorted(((sheet, found.count(sheet)) for sheet in set(found)), key=lambda each: -each[1])


@lru_cache(maxsize=1)
def _owners() -> dict[int, Sheets]:
    every: Sequence[Sheets] = (*MARKER_SHEETS.values(), *MARKER_PAIRS.values())
    return {marker.number: sheet for sheet in every for marker in sheet.markers}
