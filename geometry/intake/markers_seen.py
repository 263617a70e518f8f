"""Finds the markers of the sheet in a picture, and says which are missing."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.linear_light import linear_light
from geometry.intake.marker_cells import known_markers
from geometry.intake.marker_pair import MarkerPair, Sheets, sheets_of
from geometry.intake.marker_sheet import CELLS, Marker
from geometry.intake.picture_error import PictureError
from geometry.shape.close import Floats

Grey = npt.NDArray[np.uint8]

FEWEST = 10
"""Markers that must be seen: with fewer of them, or none on one side, the camera cannot be told well enough."""

FEWEST_OF_HALF = 6
"""Markers that must be seen of each sheet of a pair, on both of its sides."""

_STRANGERS = 3  # markers of another sheet, or twice the same, that are no slip of what finds them

_OUT_OF_PLACE = 0.3
"""A marker that lies further from where the others have it than this share of its side is none of the sheet."""


class MarkersSeen(msgspec.Struct, frozen=True, eq=False):
    """The markers of `sheet` that a picture shows, and their corners (n, 4, 2) in pixels."""

    sheet: Sheets
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
    corners, numbers, _ = cv2.aruco.ArucoDetector(known_markers(), settings).detectMarkers(grey)
    every = [] if numbers is None else [int(number) for number in np.ravel(numbers)]
    sheet = _only_sheet(every)
    found = dict(zip(every, corners, strict=True))
    markers = [marker for marker in sheet.markers if marker.number in found]
    squares = np.array([np.asarray(found[marker.number], float).reshape(4, 2) for marker in markers])
    seen = MarkersSeen(sheet, tuple(markers), squares)
    parts = [_in_place(part) for part in ([seen] if not isinstance(sheet, MarkerPair) else halves(seen))]
    seen = MarkersSeen(
        sheet,
        tuple(marker for part in parts for marker in part.markers),
        _finer(grey, np.concatenate([part.corners for part in parts])),
    )
    return _enough(seen, grey.shape)


def _only_sheet(numbers: Sequence[int]) -> Sheets:
    """The sheet or the pair that markers are of; PictureError where there is none, or more than one."""
    found = sheets_of(numbers)
    if not found:
        message = "no marker of the sheet is seen; expected a sharp picture with the whole sheet of intake-sheet in it."
        raise PictureError(message)
    twice = len(numbers) - len(set(numbers))
    if twice >= _STRANGERS:
        message = (
            f"{twice} markers are seen twice: sheets that are alike cannot be told apart; expected one sheet, or the "
            "two of a pair (intake-sheet --pair)."
        )
        raise PictureError(message)
    if len(found) > 1 and found[1][1] >= _STRANGERS:
        names = " and ".join(_said(sheet) for sheet, _ in found[:2])
        message = (
            f"markers of different sheets are seen, {names}; expected one sheet, or the two of one pair."
        )
        raise PictureError(message)
    return found[0][0]


def _said(sheet: Sheets) -> str:
    return f"a pair for {sheet.paper}" if isinstance(sheet, MarkerPair) else f"one for {sheet.paper}"


def halves(seen: MarkersSeen) -> tuple[MarkersSeen, MarkersSeen]:
    """What is seen of the lower and of the upper sheet of a pair."""
    assert isinstance(seen.sheet, MarkerPair), "a sheet on its own has no halves"
    upper = np.array([marker.number >= seen.sheet.upper.first for marker in seen.markers], bool)
    lower, above = (
        MarkersSeen(
            seen.sheet,
            tuple(marker for marker, wanted in zip(seen.markers, of_it, strict=True) if wanted),
            seen.corners[of_it],
        )
        for of_it in (~upper, upper)
    )
    return lower, above


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
    perspective = to_picture(seen)
    sides = np.linalg.norm(seen.corners - np.roll(seen.corners, 1, axis=1), axis=2).mean(axis=1)
    off = np.linalg.norm(mapped(perspective, seen.places) - seen.corners, axis=2).max(axis=1)
    kept = off < _OUT_OF_PLACE * sides
    markers = tuple(marker for marker, good in zip(seen.markers, kept, strict=True) if good)
    return MarkersSeen(seen.sheet, markers, seen.corners[kept])


def to_picture(seen: MarkersSeen) -> Floats:
    """The perspective from the sheet to the picture, without the lens (3, 3)."""
    across, along = seen.places.reshape(-1, 2), seen.corners.reshape(-1, 2)
    side = float(np.linalg.norm(along[0] - along[1]))
    return np.asarray(cv2.findHomography(across, along, cv2.RANSAC, 0.15 * side)[0], float)


def mapped(perspective: Floats, points: Floats) -> Floats:
    """Where points (..., 2) go by a perspective (3, 3)."""
    return np.asarray(cv2.perspectiveTransform(points.reshape(-1, 1, 2), perspective), float).reshape(
        points.shape
    )


def _enough(seen: MarkersSeen, size: tuple[int, ...]) -> MarkersSeen:
    if isinstance(seen.sheet, MarkerPair):
        for half, name in zip(halves(seen), ("lower", "upper"), strict=True):
            across = [marker.centre.x for marker in half.markers]
            if len(across) < FEWEST_OF_HALF or min(across) > 0 or max(across) < 0:
                message = (
                    f"{len(across)} markers of the {name} sheet of the pair are seen; expected {FEWEST_OF_HALF} of "
                    "each at least, on both sides."
                )
                raise PictureError(message)
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
    perspective = to_picture(seen)
    high, wide = size[:2]
    outside = []
    for marker in seen.missing:
        at = mapped(perspective, marker.corners)
        if (at < 0).any() or (at[:, 0] > wide).any() or (at[:, 1] > high).any():
            outside.append(marker)
    return outside


def _names(sheet: Sheets, markers: Sequence[Marker]) -> str:
    return " and ".join(dict.fromkeys(sheet.named_place(marker) for marker in markers))
