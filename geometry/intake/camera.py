"""The camera that took a picture of the sheet, worked out from the markers alone, or the glass that it lay on.

One calibration from one picture of a plane, after Zhang, "A Flexible New Technique for Camera Calibration" (2000):
first as OpenCV does it, with the optical axis through the middle of the picture, square pixels and two radial terms
of the lens; then once more with what is known of cameras beforehand (maximum a posteriori), for what one picture tells
badly is then held by what is usual, and comes out as unsure as it is.
"""

from __future__ import annotations

import math
from typing import Any

import cv2
import msgspec
import numpy as np

from geometry.intake.joint import checked, joint_guessed
from geometry.intake.lines import KnownPoints
from geometry.intake.marker_pair import Joint, MarkerPair, Sheets
from geometry.intake.markers_seen import MarkersSeen
from geometry.intake.picture_error import PictureError, refuse_picture
from geometry.shape.close import Floats
from geometry.trade.units import INCH

# Focal length as a share of the picture's longer side: 26 to 29 mm on film 36 mm wide, as most telephones have.
_USUAL_FOCAL = 0.8
# How far other cameras are from that, as a standard deviation of the logarithm: from memory.
_USUAL_SPREAD = 0.3
# The same of a focal length that the picture's file tells, which is rounded and leaves cropping out: from memory.
_TOLD_SPREAD = 0.04

HEIGHT_SPREAD = 12.0
"""mm, one standard deviation of a height over the paper that is measured by hand, and where in a camera its lens lies:
from memory."""

FARTHEST = 3.0
"""Standard deviations by which a height that is told may differ from what the picture tells of it."""

# How far the optical axis misses the middle, as a share of the longer side, one standard deviation: from memory.
_AXIS_OFF = 0.005
_RADIAL_SPREAD = (0.15, 0.25)  # usual radial terms of a lens, one standard deviation: from memory
# Pixels; no corner is known better, whatever the scatter says: paper is not as flat as that, no source.
_LEAST_ERROR = 0.05

STEP = 0.05
"""So small that everything is still proportional to it."""

# Pixels of a mean error at a corner, on a picture 4000 px wide, beyond which the markers lie on no flat sheet.
_ROUGH = 1.5

_OF_CAMERA = 11  # values that tell a camera: focal length, axis, two terms of the lens, turn, place

_FLAGS = (
    cv2.CALIB_USE_INTRINSIC_GUESS
    | cv2.CALIB_FIX_PRINCIPAL_POINT
    | cv2.CALIB_FIX_ASPECT_RATIO
    | cv2.CALIB_ZERO_TANGENT_DIST
    | cv2.CALIB_FIX_K3
)


class Camera(msgspec.Struct, frozen=True, eq=False):
    """A camera in the frame of the sheet: `matrix` (3, 3) in pixels, two `radial` terms, `turn` (3, 3), `place` in mm.

    `error` is the mean error of a corner in pixels.
    """

    matrix: Floats
    radial: Floats
    turn: Floats
    place: Floats
    error: float = 0.0

    @property
    def foot(self) -> Floats:
        """The point of the paper under the camera (2,), in mm."""
        return self.place[:2]

    @property
    def height(self) -> float:
        """Height over the paper in mm."""
        return float(self.place[2])

    def pixels(self, points: Floats, z: float | Floats) -> Floats:
        """Where places (n, 2) at a height of `z` mm over the paper, or heights (n,), are seen (n, 2)."""
        in_space = np.column_stack([points, np.broadcast_to(z, len(points))])
        found, _ = cv2.projectPoints(
            in_space, cv2.Rodrigues(self.turn)[0], -self.turn @ self.place, self.matrix, self.radial
        )
        return np.asarray(found, float).reshape(-1, 2)


class CameraTold(msgspec.Struct, frozen=True):
    """What is known of a camera beside its picture: its focal length in pixels, its height over the paper in mm."""

    focal: float | None = None
    height: float | None = None


UNTOLD = CameraTold()
"""Nothing is known but the picture."""


class Calibrated(msgspec.Struct, frozen=True, eq=False):
    """The likeliest camera, and others: each differs from it by STEP standard deviations of one thing on its own.

    `sheet` is the one that was seen, the sheets of a pair as they lie to each other.
    """

    camera: Camera
    others: tuple[Camera, ...]
    sheet: Sheets

    @property
    def height_spread(self) -> float:
        """The relative standard deviation of the camera's height."""
        off = [(other.height / self.camera.height - 1) / STEP for other in self.others]
        return math.sqrt(sum(each * each for each in off))


def calibrated(seen: MarkersSeen, wide: int, high: int, told: CameraTold = UNTOLD) -> Calibrated:
    """The camera of a picture `wide` by `high` pixels; PictureError where the markers fit none."""
    from scipy.optimize import least_squares

    longer = max(wide, high)
    places = _Places(seen)
    likely = told.focal or _USUAL_FOCAL * longer
    start, error = _by_opencv(seen, places.on_sheet(places.start), wide, high, likely)
    corners = seen.corners.reshape(-1, 2)
    usual = np.array([math.log(likely), (wide - 1) / 2, (high - 1) / 2, 0.0, 0.0])
    spreads = np.array(
        [
            _TOLD_SPREAD if told.focal else _USUAL_SPREAD,
            _AXIS_OFF * longer,
            _AXIS_OFF * longer,
            *_RADIAL_SPREAD,
        ]
    )
    unsure = max(error, _LEAST_ERROR)

    def seen_at(values: Floats) -> Floats:
        return _project(values, places.on_sheet(values[_OF_CAMERA:]))

    def off(values: Floats) -> Floats:
        known = (values[:5] - usual) / spreads
        if told.height is not None:
            known = np.append(known, (_height(values) - told.height) / HEIGHT_SPREAD)
        return np.concatenate([((seen_at(values) - corners) / unsure).ravel(), known])

    begin = np.concatenate([start, places.start])
    found: Any = least_squares(off, begin, x_scale="jac", loss="soft_l1", f_scale=3.0)
    error = float(np.sqrt(np.mean((seen_at(found.x) - corners) ** 2) * 2))
    if error > _ROUGH * max(1.0, longer / 4000):
        refuse_picture(
            f"the markers do not lie on one flat sheet: {error:.1f} px off on average; "
            "expected a flat sheet, and a picture that was neither cut nor straightened."
        )
    # What the joint of a pair leaves open is in how unsure the camera is.
    unsure_by = np.linalg.inv(found.jac.T @ found.jac)[:_OF_CAMERA, :_OF_CAMERA]
    ways = np.linalg.cholesky(unsure_by)
    camera = found.x[:_OF_CAMERA]
    return Calibrated(
        _camera(camera, error),
        tuple(_camera(camera + STEP * way, error) for way in ways.T),
        places.sheet(found.x[_OF_CAMERA:]),
    )


class _Places:
    """Where the corners of the markers lie (n, 3), by how the upper sheet of a pair lies to the lower one."""

    def __init__(self, seen: MarkersSeen) -> None:
        self._sheet = seen.sheet
        self._flat = seen.places.reshape(-1, 2)
        self.start = np.empty(0)
        if isinstance(seen.sheet, MarkerPair):
            joint = joint_guessed(seen)
            upper = [marker.number >= seen.sheet.upper.first for marker in seen.markers]
            self._upper = np.repeat(upper, 4)
            self.start = np.array([joint.across, joint.up, joint.turn])

    def on_sheet(self, joint: Floats) -> Floats:
        flat = self._flat
        if isinstance(self._sheet, MarkerPair):
            flat = flat.copy()
            flat[self._upper] = Joint(*map(float, joint)).moved(flat[self._upper], self._sheet.meets)
        return np.column_stack([flat, np.zeros(len(flat))])

    def sheet(self, joint: Floats) -> Sheets:
        if isinstance(self._sheet, MarkerPair):
            return msgspec.structs.replace(self._sheet, joint=checked(Joint(*map(float, joint))))
        return self._sheet


def _by_opencv(seen: MarkersSeen, places: Floats, wide: int, high: int, focal: float) -> tuple[Floats, float]:
    """The same camera with its axis through the middle: eleven values to begin with, and the mean error of a corner."""
    guess = np.array([[focal, 0, (wide - 1) / 2], [0, focal, (high - 1) / 2], [0, 0, 1.0]])
    pairs: tuple[Any, Any] = (
        [places.reshape(-1, 1, 3).astype(np.float32)],
        [seen.corners.reshape(-1, 1, 2).astype(np.float32)],
    )
    try:
        error, matrix, radial, turns, shifts = cv2.calibrateCamera(
            *pairs, (wide, high), guess, np.zeros(5), flags=_FLAGS
        )
    except cv2.error as fault:
        message = "the markers do not tell where the camera was; expected more of them."
        raise PictureError(message) from fault
    length = float(np.clip(matrix[0, 0], 0.3 * max(wide, high), 5.0 * max(wide, high)))
    lens = np.clip(np.ravel(radial)[:2], -1.0, 1.0)
    values = [math.log(length), matrix[0, 2], matrix[1, 2], *lens, *np.ravel(turns[0]), *np.ravel(shifts[0])]
    return np.array(values, float), float(error)


def _project(values: Floats, places: Floats) -> Floats:
    focal, x, y = math.exp(values[0]), values[1], values[2]
    matrix = np.array([[focal, 0, x], [0, focal, y], [0, 0, 1.0]])
    seen, _ = cv2.projectPoints(places, values[5:8], values[8:11], matrix, np.append(values[3:5], [0.0, 0.0]))
    return np.asarray(seen, float).reshape(-1, 2)


def _height(values: Floats) -> float:
    return float(-(np.asarray(cv2.Rodrigues(values[5:8])[0], float).T @ values[8:11])[2])


def _camera(values: Floats, error: float) -> Camera:
    focal = math.exp(values[0])
    matrix = np.array([[focal, 0, values[1]], [0, focal, values[2]], [0, 0, 1.0]])
    turn = np.asarray(cv2.Rodrigues(values[5:8])[0], float)
    return Camera(matrix, np.append(values[3:5], [0.0, 0.0]), turn, -turn.T @ values[8:11], error)


# The glass of a flatbed: no perspective, a scale across and one along, perhaps slightly askew


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
