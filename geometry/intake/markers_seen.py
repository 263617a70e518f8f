"""Finds the markers of the sheet in a picture, and says which are missing."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.linear_light import linear_light
from geometry.intake.marker_cells import MARKER_SET
from geometry.intake.marker_sheet import CELLS, Marker, MarkerSheet, sheet_of
from geometry.intake.picture_error import PictureError
from geometry.shape.close import Floats

Grey = npt.NDArray[np.uint8]

FEWEST = 10
"""Markers that must be seen: with fewer of them, or none on one side, the camera cannot be told well enough."""

_OUT_OF_PLACE = 0.3
"""A marker that lies further from where the others have it than this share of its side is none of the sheet."""


class MarkersSeen(msgspec.Struct, frozen=True, eq=False):
    """The markers of `sheet` that a picture shows, and their corners (n, 4, 2) in pixels."""

    sheet: MarkerSheet
    markers: tuple[Marker, ...]
    corners: Floats

    @property
    def places(self) -> Floats:
        """Where the corners lie on the sheet (n, 4, 2), in mm."""
        return np.array([marker.corners for marker in self.markers])

    @property
    def missing(self) -> tuple[Marker, ...]:
        """The markers that are not seen."""
        seen = {marker.number for marker in self.markers}
        return tuple(marker for marker in self.sheet.markers if marker.number not in seen)


def find_markers(grey: Grey) -> MarkersSeen:
    """The markers in a grey picture; PictureError where too few are seen."""
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate = 0.01
    known = cv2.aruco.getPredefinedDictionary(MARKER_SET)
    corners, numbers, _ = cv2.aruco.ArucoDetector(known, settings).detectMarkers(grey)
    found = {} if numbers is None else dict(zip(map(int, np.ravel(numbers)), corners, strict=True))
    sheet = sheet_of(found)
    if sheet is None:
        message = "no marker of the sheet is seen; expected a sharp picture with the whole sheet of intake-sheet in it."
        raise PictureError(message)
    markers = [marker for marker in sheet.markers if marker.number in found]
    squares = np.array([np.asarray(found[marker.number], float).reshape(4, 2) for marker in markers])
    seen = _in_place(MarkersSeen(sheet, tuple(markers), squares))
    return _enough(msgspec.structs.replace(seen, corners=_finer(grey, seen.corners)), grey.shape)


def _finer(grey: Grey, corners: Floats) -> Floats:
    """Corners finer than pixels, in linear light: half-way between a picture's own values black is thinner."""
    light = linear_light()[grey]
    finer = corners.copy()
    for square in finer:
        side = float(np.linalg.norm(square - np.roll(square, 1, axis=0), axis=1).min())
        reach = int(np.clip(side / CELLS / 2, 2, 7))
        ends = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 40, 0.005)
        points = square.reshape(-1, 1, 2).astype(np.float32)
        square[:] = cv2.cornerSubPix(light, points, (reach, reach), (-1, -1), ends).reshape(-1, 2)
    return finer


def _in_place(seen: MarkersSeen) -> MarkersSeen:
    """Without what was taken for a marker and does not lie where it should."""
    if len(seen.markers) < 3:
        return seen
    to_picture = _to_picture(seen)
    sides = np.linalg.norm(seen.corners - np.roll(seen.corners, 1, axis=1), axis=2).mean(axis=1)
    off = np.linalg.norm(_mapped(to_picture, seen.places) - seen.corners, axis=2).max(axis=1)
    kept = off < _OUT_OF_PLACE * sides
    markers = tuple(marker for marker, good in zip(seen.markers, kept, strict=True) if good)
    return MarkersSeen(seen.sheet, markers, seen.corners[kept])


def _to_picture(seen: MarkersSeen) -> Floats:
    """The perspective from the sheet to the picture, without the lens (3, 3)."""
    across, along = seen.places.reshape(-1, 2), seen.corners.reshape(-1, 2)
    side = float(np.linalg.norm(along[0] - along[1]))
    return np.asarray(cv2.findHomography(across, along, cv2.RANSAC, 0.15 * side)[0], float)


def _mapped(perspective: Floats, points: Floats) -> Floats:
    return np.asarray(cv2.perspectiveTransform(points.reshape(-1, 1, 2), perspective), float).reshape(
        points.shape
    )


def _enough(seen: MarkersSeen, size: tuple[int, ...]) -> MarkersSeen:
    inner = seen.sheet.frame.grown(-seen.sheet.side)
    centres = [marker.centre for marker in seen.markers]
    sides = {
        "left": any(at.x < inner.left for at in centres),
        "right": any(at.x > inner.right for at in centres),
        "bottom": any(at.y < inner.bottom for at in centres),
        "top": any(at.y > inner.top for at in centres),
    }
    if len(centres) >= FEWEST and all(sides.values()):
        return seen
    message = f"{say_seen(seen, size)}; expected {FEWEST} at least, and some on each side."
    raise PictureError(message)


def say_seen(seen: MarkersSeen, size: tuple[int, ...]) -> str:
    """How many markers are seen, and where the others are: "17 of 21 markers seen: bottom left is covered"."""
    words = f"{len(seen.markers)} of {len(seen.sheet.markers)} markers seen"
    if not seen.missing:
        return words
    outside = _outside(seen, size)
    hidden = [marker for marker in seen.missing if marker not in outside]
    parts = [
        f"{_names(seen.sheet, markers)} {'is' if len(markers) == 1 else 'are'} {what}"
        for markers, what in ((hidden, "covered"), (outside, "outside the picture"))
        if markers
    ]
    return f"{words}: {', '.join(parts)}"


def _outside(seen: MarkersSeen, size: tuple[int, ...]) -> list[Marker]:
    if len(seen.markers) < 2:
        return []
    to_picture = _to_picture(seen)
    high, wide = size[:2]
    outside = []
    for marker in seen.missing:
        at = _mapped(to_picture, marker.corners)
        if (at < 0).any() or (at[:, 0] > wide).any() or (at[:, 1] > high).any():
            outside.append(marker)
    return outside


def _names(sheet: MarkerSheet, markers: Sequence[Marker]) -> str:
    return " and ".join(dict.fromkeys(sheet.named_place(marker) for marker in markers))
