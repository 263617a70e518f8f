"""What a reader found of a head in a drawing, a table or a picture; every reader gives this."""

from __future__ import annotations

import msgspec
import numpy as np
import numpy.typing as npt

from geometry.document.build import Polygon, RoundRegion
from geometry.intake.dense import distinct, signed_area
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.trade.sentence import Note, refuse

_ON_LINE = 0.01  # mm from the nut line within which a point of a contour lies on it


class FoundHole(msgspec.Struct, frozen=True):
    """A hole: its centre and its diameter, in head mm."""

    centre: Point
    diameter: float


class FoundRegion(msgspec.Struct, frozen=True):
    """Something else with a closed edge, in head mm: offered as a place where no hole may come."""

    name: str
    shape: RoundRegion | Polygon


class FacePicture(msgspec.Struct, frozen=True, eq=False):
    """The face of a head in a picture, square on: linear light (high, wide, 3), 0 to 1, blue first.

    The middle of the first pixel lies at `left`, `top` in head mm; a mm has `fine` pixels.
    """

    light: npt.NDArray[np.float32]
    left: float
    top: float
    fine: float


class Found(msgspec.Struct, frozen=True, eq=False):
    """A head as it was found, in head mm: x to the right, y towards the tip, origin in the middle of the nut line.

    `points` (n, 2) is the open contour from the right end of the nut line round the tip to the left end, dense
    wherever it is not straight; its ends are the ends of the nut line, on y = 0. `unsure` are sentences about what may
    be wrong, `left_out` about what was there and not used. `picture` is the face as a reader of pictures saw it.
    """

    points: Floats
    holes: tuple[FoundHole, ...] = ()
    regions: tuple[FoundRegion, ...] = ()
    unsure: tuple[Note, ...] = ()
    left_out: tuple[Note, ...] = ()
    picture: FacePicture | None = None

    @property
    def nut_width(self) -> float:
        """How far the ends of the nut line are apart, in mm."""
        return float(np.hypot(*(self.points[0] - self.points[-1])))


def into_head_frame(places: Floats, right: Floats, left: Floats) -> Floats:
    """Places (n, 2) of a picture, y upwards, in the frame whose nut line runs from `left` (2,) to `right` (2,)."""
    across = (right - left) / max(float(np.hypot(*(right - left))), 1e-300)
    middle = (right + left) / 2
    return np.asarray((places - middle) @ np.array([[across[0], -across[1]], [across[1], across[0]]]))


def cut_at_nut(loop: Floats) -> Floats:
    """The open contour (k, 2) of what a closed one (n, 2), in head mm, has above the nut line y = 0.

    From the outermost crossing on the right counter-clockwise round the tip to the outermost one on the left. An edge
    that lies along the nut line is dropped. A SentenceError where the contour does not lie on both sides of the nut
    line, nor on it.
    """
    points = distinct(np.vstack([loop, loop[:1]]))[:-1]
    if signed_area(points) < 0:
        points = points[::-1]
    points = points * np.stack([np.ones(len(points)), np.abs(points[:, 1]) > _ON_LINE], axis=1)
    around = np.vstack([points, points[:1]])
    starts = _crossings(around, upwards=True)
    if not len(starts):
        refuse("The outline does not reach the nut line.")
    number, place = max(starts, key=lambda found: found[1])
    onward = np.vstack([[[place, 0.0]], np.roll(points, -number - 1, axis=0), [[place, 0.0]]])
    ends = _crossings(onward[1:], upwards=False)
    if not ends:
        refuse("The outline does not reach the nut line.")
    last, left = ends[0] if len(ends) == 1 else min(ends, key=lambda found: found[1])
    return distinct(np.vstack([onward[: last + 2], [[left, 0.0]]]))


def _crossings(points: Floats, *, upwards: bool) -> list[tuple[int, float]]:
    """Steps of points (n, 2) that leave y <= 0 upwards, or reach it downwards, and the x of where they do."""
    y = points[:, 1]
    above = y > 0
    steps = np.flatnonzero((above[1:] & ~above[:-1]) if upwards else (above[:-1] & ~above[1:]))
    share = y[steps] / (y[steps] - y[steps + 1])
    places = points[steps, 0] + share * (points[steps + 1, 0] - points[steps, 0])
    return [(int(step), float(place)) for step, place in zip(steps, places, strict=True)]
