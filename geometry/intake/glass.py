"""The glass of a flatbed: no perspective, a scale across and one along, perhaps slightly askew."""

from __future__ import annotations

import math

import msgspec
import numpy as np

from geometry.intake.markers_seen import MarkersSeen
from geometry.intake.picture_error import PictureError
from geometry.shape.close import Floats
from geometry.trade.units import INCH

NOT_FLAT = 0.35
"""mm of a mean error beyond which a picture is no scan."""


class Glass(msgspec.Struct, frozen=True, eq=False):
    """From the glass to the picture: `matrix` (2, 3) in pixels for mm; `error` is the mean error of a corner in mm.

    `on_sheet` tells whether markers gave it.
    """

    matrix: Floats
    error: float
    on_sheet: bool

    def pixels(self, points: Floats, z: float) -> Floats:  # noqa: ARG002 - everything lies on the glass
        """Where places (n, 2) are seen (n, 2); `z` is of no account."""
        return np.asarray(points @ self.matrix[:, :2].T + self.matrix[:, 2], float)


def glass_of(seen: MarkersSeen) -> Glass:
    """The glass from the markers on it, by least squares; PictureError where the picture is no scan."""
    places, corners = seen.places.reshape(-1, 2), seen.corners.reshape(-1, 2)
    known = np.column_stack([places, np.ones(len(places))])
    found = np.linalg.lstsq(known, corners, rcond=None)[0].T
    off = np.linalg.norm(known @ found.T - corners, axis=1)
    error = float(np.sqrt(np.mean(off**2))) / math.sqrt(abs(np.linalg.det(found[:, :2])))
    if error > NOT_FLAT:
        text = (
            "this is no scan: the markers are {0} off a flat picture on average; expected the print on the glass, or "
            "the thickness of the head for a photo."
        )
        raise PictureError(text, (round(error, 1),))
    return Glass(np.asarray(found, float), error, on_sheet=True)


def glass_at(dpi: float, wide: int, high: int) -> Glass:
    """The glass of a scan whose pixels are so many to the inch, the origin at the middle of the lower edge."""
    fine = dpi / INCH
    return Glass(np.array([[fine, 0.0, (wide - 1) / 2], [0.0, -fine, high - 1.0]]), 0.0, on_sheet=False)
