"""What the maker shows over a picture of a head: its nut line and centre line, two places of known distance."""

from __future__ import annotations

import math

import msgspec
import numpy as np

from geometry.intake.marker_sheet import turned
from geometry.shape.close import Floats


class Lines(msgspec.Struct, frozen=True):
    """Where the nut line and the centre line cross, in mm of the sheet or the glass, and a turn in radians.

    The turn is counter-clockwise, from the sheet's own directions.
    """

    x: float
    y: float
    turn: float = 0.0

    def seen_from(self, places: Floats) -> Floats:
        """Places (n, 2) of the sheet in the frame of the lines."""
        return turned(places - np.array([self.x, self.y]), -self.turn)

    def on_sheet(self, places: Floats) -> Floats:
        """Places (n, 2) in the frame of the lines on the sheet."""
        return np.asarray(turned(places, self.turn) + np.array([self.x, self.y]))


class KnownPoints(msgspec.Struct, frozen=True):
    """Two places of a picture that are `apart` mm from each other, in pixels from the middle of its upper left one.

    Across and down, of the file the right way up, or of the picture that is worked on (`in_opened` of the photo).
    """

    one: tuple[float, float]
    other: tuple[float, float]
    apart: float

    @property
    def pixels(self) -> float:
        """How many pixels they are apart."""
        return math.dist(self.one, self.other)
