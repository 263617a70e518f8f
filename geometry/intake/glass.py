"""The glass of a flatbed: no perspective, a scale across and one along, perhaps slightly askew."""

from __future__ import annotations

import math

import msgspec
import numpy as np

from geometry.intake.lines import KnownPoints
from geometry.intake.markers_seen import MarkersSeen
from geometry.intake.picture_error import refuse_picture
from geometry.shape.close import Floats
from geometry.trade.units import INCH

_NOT_FLAT = 0.35  # mm of a mean error beyond which a picture is no scan
_FEWEST_PIXELS = 100  # pixels between two places of known distance at least
_POINTED = 1.0  # pixels, one standard deviation: how well a place of a picture is pointed at, from memory
_BY_HAND = 0.2  # mm, one standard deviation of a distance measured with a rule, no source


class Glass(msgspec.Struct, frozen=True, eq=False):
    """From the glass to the picture: `matrix` (2, 3) in pixels for mm; `error` is the mean error of a corner in mm.

    `on_sheet` tells whether markers gave it. `scale_spread` is the relative standard deviation of its scale.
    """

    matrix: Floats
    error: float
    on_sheet: bool
    scale_spread: float = 0.0

    def pixels(self, points: Floats, z: float | Floats) -> Floats:  # noqa: ARG002 - everything lies on the glass
        """Where places (n, 2) are seen (n, 2); `z` is of no account."""
        return np.asarray(points @ self.matrix[:, :2].T + self.matrix[:, 2], float)


def glass_of(seen: MarkersSeen) -> Glass:
    """The glass from the markers on it, by least squares; PictureError where the picture is no scan."""
    places, corners = seen.places.reshape(-1, 2), seen.corners.reshape(-1, 2)
    known = np.column_stack([places, np.ones(len(places))])
    found = np.linalg.lstsq(known, corners, rcond=None)[0].T
    off = np.linalg.norm(known @ found.T - corners, axis=1)
    error = float(np.sqrt(np.mean(off**2))) / math.sqrt(abs(np.linalg.det(found[:, :2])))
    if error > _NOT_FLAT:
        refuse_picture(
            "this is no scan: the markers are {0} off a flat picture on average; expected the print on the glass, or "
            "the thickness of the head for a photo.",
            (round(error, 1),),
        )
    return Glass(np.asarray(found, float), error, on_sheet=True)


def glass_at(dpi: float, wide: int, high: int) -> Glass:
    """The glass of a scan whose pixels are so many to the inch, the origin at the middle of the lower edge."""
    fine = dpi / INCH
    return Glass(np.array([[fine, 0.0, (wide - 1) / 2], [0.0, -fine, high - 1.0]]), 0.0, on_sheet=False)


def glass_known(known: KnownPoints, wide: int, high: int) -> Glass:
    """The glass of a flat picture in which two places are known; PictureError where they cannot tell its scale."""
    for x, y in (known.one, known.other):
        if not (-0.5 <= x <= wide - 0.5 and -0.5 <= y <= high - 0.5):
            refuse_picture(
                f"the place {x:g}, {y:g} lies outside the picture, which is {wide} by {high} pixels."
            )
    if known.pixels < _FEWEST_PIXELS:
        refuse_picture(
            f"the two places are {known.pixels:.0f} pixels apart; expected {_FEWEST_PIXELS} at least, "
            "better most of the picture."
        )
    spread = math.hypot(math.sqrt(2.0) * _POINTED / known.pixels, _BY_HAND / known.apart)
    glass = glass_at(known.pixels / known.apart * INCH, wide, high)
    return msgspec.structs.replace(glass, scale_spread=spread)
