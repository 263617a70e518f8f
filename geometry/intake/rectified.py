"""Pictures turned into a view square onto one plane, every pixel the same fraction of a mm."""

from __future__ import annotations

from typing import Protocol

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.linear_light import linear_light
from geometry.intake.picture_error import refuse_picture
from geometry.shape.close import Floats
from geometry.shape.segment import Bounds

Picture = npt.NDArray[np.uint8]
Light = npt.NDArray[np.float32]

FINEST = 10.0
"""Pixels in a mm, no more: a finer edge than 0.03 mm has no wood."""

_STEP = 16


class View(Protocol):
    """Where places over the paper are seen in a picture."""

    def pixels(self, points: Floats, z: float | Floats) -> Floats:
        """Places (n, 2) in mm, `z` mm or heights (n,) over the paper, to pixels (n, 2)."""


class Plane(msgspec.Struct, frozen=True):
    """A plane over the paper: its height in mm on the nut line, and how much higher it is a mm further to the tip."""

    at_nut: float = 0.0
    slope: float = 0.0

    def heights(self, places: Floats) -> Floats:
        """Its heights (n,) over places (n, 2) of the paper, in mm."""
        return np.asarray(self.at_nut + self.slope * places[:, 1], float)


PAPER = Plane()


class Rectified(msgspec.Struct, frozen=True, eq=False):
    """Linear light (high, wide, 3), blue first, of a plane; the middle of the first pixel lies at `left`, `top`.

    `fine` is how many pixels a mm has. `inside` tells which pixels the picture shows at all.
    """

    light: Light
    inside: npt.NDArray[np.bool_]
    left: float
    top: float
    fine: float

    def places(self, pixels: Floats) -> Floats:
        """Pixels (n, 2), across and down, to places in mm."""
        return np.column_stack([self.left + pixels[:, 0] / self.fine, self.top - pixels[:, 1] / self.fine])

    def pixels(self, places: Floats) -> Floats:
        """Places (n, 2) in mm to pixels, across and down."""
        return np.column_stack(
            [(places[:, 0] - self.left) * self.fine, (self.top - places[:, 1]) * self.fine]
        )


def fineness(view: View, box: Bounds) -> float:
    """How many pixels of a picture a mm in the middle of a box has."""
    at = box.centre
    seen = view.pixels(np.array([(at.x, at.y), (at.x + 1.0, at.y), (at.x, at.y + 1.0)]), 0.0)
    return float(np.sqrt(abs(np.linalg.det(seen[1:] - seen[0]))))


def rectified(picture: Picture, view: View, plane: Plane, box: Bounds, fine: float) -> Rectified:
    """What a picture shows of a box on a plane over the paper."""
    wide, high = round(box.width * fine) + 1, round(box.height * fine) + 1
    # The resizing of OpenCV has the middle of its first pixel half a step within; remap would round the grid's steps.
    us, vs = (_STEP * (np.arange(-1, size // _STEP + 2) + 0.5) - 0.5 for size in (wide, high))
    grid = np.stack(np.meshgrid(us, vs), axis=-1).reshape(-1, 2)
    places = np.column_stack([box.left + grid[:, 0] / fine, box.top - grid[:, 1] / fine])
    seen = view.pixels(places, plane.heights(places))
    at_grid = seen.reshape(len(vs), len(us), 2).astype(np.float32)
    maps = [
        cv2.resize(part, None, fx=_STEP, fy=_STEP, interpolation=cv2.INTER_LINEAR)[
            _STEP : _STEP + high, _STEP : _STEP + wide
        ]
        for part in cv2.split(at_grid)
    ]
    rows, columns = picture.shape[:2]
    inside = (maps[0] >= 0) & (maps[0] <= columns - 1) & (maps[1] >= 0) & (maps[1] <= rows - 1)
    if not inside.any():
        refuse_picture("the sheet lies outside the picture.")
    low = [max(0, int(part[inside].min()) - 2) for part in maps]
    far = [int(part[inside].max()) + 3 for part in maps]
    cut = cv2.LUT(picture[low[1] : far[1], low[0] : far[0]], linear_light())
    light = cv2.remap(
        cut,
        maps[0] - np.float32(low[0]),
        maps[1] - np.float32(low[1]),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return Rectified(np.asarray(light, np.float32), inside, box.left, box.top, fine)
