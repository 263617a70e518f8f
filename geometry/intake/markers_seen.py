"""Finds the markers of the sheet in a picture, says which are missing, and takes their corners from their sides."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.linear_light import linear_light
from geometry.intake.marker_cells import known_markers
from geometry.intake.marker_pair import MarkerPair, Sheets, sheets_of
from geometry.intake.marker_sheet import CELLS, Marker, place_named
from geometry.intake.picture_error import PictureError, refuse_picture
from geometry.intake.rectified import Light, View
from geometry.shape.close import Flags, Floats

Grey = npt.NDArray[np.uint8]

# Markers that must be seen: with fewer of them, or none on one side, the camera cannot be told well enough.
_FEWEST = 10
_FEWEST_OF_HALF = 6  # markers that must be seen of each sheet of a pair, on both of its sides

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
        refuse_picture(
            "no marker of the sheet is seen; expected a sharp picture with the whole sheet of intake-sheet in it."
        )
    twice = len(numbers) - len(set(numbers))
    if twice >= _STRANGERS:
        refuse_picture(
            f"{twice} markers are seen twice: sheets that are alike cannot be told apart; expected one sheet, or the "
            "two of a pair (intake-sheet --pair)."
        )
    if len(found) > 1 and found[1][1] >= _STRANGERS:
        names = " and ".join(_said(sheet) for sheet, _ in found[:2])
        refuse_picture(
            f"markers of different sheets are seen, {names}; expected one sheet, or the two of one pair."
        )
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
            if len(across) < _FEWEST_OF_HALF or min(across) > 0 or max(across) < 0:
                refuse_picture(
                    f"{len(across)} markers of the {name} sheet of the pair are seen; expected {_FEWEST_OF_HALF} of "
                    "each at least, on both sides."
                )
    inner = seen.sheet.frame.grown(-seen.sheet.side)
    centres = [marker.centre for marker in seen.markers]
    sides = {
        "left": any(at.x < inner.left for at in centres),
        "right": any(at.x > inner.right for at in centres),
        "bottom": any(at.y < inner.bottom for at in centres),
        "top": any(at.y > inner.top for at in centres),
    }
    if len(centres) >= _FEWEST and all(sides.values()):
        return seen
    message = f"{say_seen(seen, size)}; expected {_FEWEST} at least, and some on each side."
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
    inner = sheet.frame.grown(-sheet.side)
    return " and ".join(dict.fromkeys(place_named(inner, marker) for marker in markers))


# Corners from sides: half-way between black and white a straight edge stays where it is, however soft the picture is; a
# corner goes inwards.


_ENDS = 0.12  # of a side that is left out at either end, where the corner is rounded
_ALONG = 24  # places on a side
_ACROSS = 49  # places on a line square to a side
_REACH = 0.6  # cells on both sides of an edge that are looked at; a marker's border is one cell wide
_LEVEL = 0.55  # of the reach beyond which black and white show their own level
_CONTRAST = 0.5  # of the usual one; less of it is something that lies on the marker
_MOST = 0.8  # of the places of a side on which the edge must be found
_LEAST_SCALE = 0.005  # mm


def by_sides(grey: Grey, view: View, seen: MarkersSeen, sheet: Sheets) -> MarkersSeen:
    """The markers seen in a grey picture, their corners where their sides meet.

    `view` and `sheet` tell about where they lie. Where a side of a marker is not seen, its corners stay as they are.
    """
    lying = {marker.number: marker for marker in sheet.markers}
    places = np.array([lying[marker.number].corners for marker in seen.markers])
    along = np.roll(places, -1, axis=1) - places
    out = np.stack([-along[..., 1], along[..., 0]], axis=-1) / np.linalg.norm(along, axis=2)[..., None]
    off, shown = _sides(linear_light()[grey], view, places, along, out)
    moved = out * off[..., :1] + np.roll(out * off[..., 1:], 1, axis=1)
    met = view.pixels((places + moved).reshape(-1, 2), 0.0).reshape(places.shape)
    both = shown & np.roll(shown, 1, axis=1)
    return msgspec.structs.replace(seen, corners=np.where(both[..., None], met, seen.corners))


def _sides(light: Light, view: View, places: Floats, along: Floats, out: Floats) -> tuple[Floats, Flags]:
    """How far outward in mm each side of markers lies at its start and its end (n, 4, 2), and which are seen (n, 4).

    By straight lines through the places of an edge, an edge for each side of markers at `places` (n, 4, 2).
    """
    shares = np.linspace(_ENDS, 1 - _ENDS, _ALONG)
    reach = _REACH / CELLS * np.linalg.norm(along, axis=2)
    across = np.linspace(-1.0, 1.0, _ACROSS)
    on_side = places[:, :, None] + along[:, :, None] * shares[:, None]
    lines = on_side[:, :, :, None] + (out * reach[..., None])[:, :, None, None] * across[:, None]
    pixels = view.pixels(lines.reshape(-1, 2), 0.0).astype(np.float32)
    rows = pixels.reshape(-1, _ACROSS, 2)
    profile = cv2.remap(
        light, rows[..., 0], rows[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    ).reshape(*on_side.shape[:3], _ACROSS)
    crossing, contrast = _crossings(np.asarray(profile, float), across)
    crossing = crossing * reach[..., None]
    crossing[contrast < _CONTRAST * np.median(contrast)] = np.nan
    return _lines(crossing, shares)


def _crossings(profile: Floats, across: Floats) -> tuple[Floats, Floats]:
    """Where profiles (..., k) pass from black to white, nearest to their middle, else not a number; their contrast."""
    black = np.median(profile[..., across < -_LEVEL], axis=-1)
    white = np.median(profile[..., across > _LEVEL], axis=-1)
    over = profile - ((black + white) / 2)[..., None]
    rises = (over[..., :-1] < 0) & (over[..., 1:] >= 0)
    step = np.where(rises, over[..., 1:] - over[..., :-1], 1.0)
    where = across[:-1] - over[..., :-1] / step * (across[1] - across[0])
    distance = np.where(rises, np.abs(where), np.inf)
    best = distance.argmin(axis=-1)[..., None]
    found = np.take_along_axis(where, best, axis=-1)[..., 0]
    return np.where(rises.any(axis=-1), found, np.nan), white - black


def _lines(crossing: Floats, shares: Floats) -> tuple[Floats, Flags]:
    """Lines through (n, 4, k) crossings after `shares` (k,) of each side, strays counting less (Cauchy's weights)."""
    known = np.isfinite(crossing)
    # Of a side that is nowhere seen nothing counts in the end; until then all of it does, for a median wants numbers.
    counted = known | ~known.any(axis=-1, keepdims=True)
    off = np.where(known, crossing, 0.0)
    weights = known.astype(float)
    for _ in range(6):
        total = np.maximum(weights.sum(axis=-1), 1e-9)
        middle = (weights * shares).sum(axis=-1) / total
        level = (weights * off).sum(axis=-1) / total
        apart = shares - middle[..., None]
        slope = (weights * apart * off).sum(axis=-1) / np.maximum((weights * apart**2).sum(axis=-1), 1e-9)
        left = np.abs(off - level[..., None] - slope[..., None] * apart)
        scale = np.nanmedian(np.where(counted, left, np.nan), axis=-1)
        scale = np.maximum(1.4826 * scale, _LEAST_SCALE)[..., None]
        weights = known / (1 + (left / (2 * scale)) ** 2)
    ends = np.stack([level - slope * middle, level + slope * (1 - middle)], axis=-1)
    seen = known.mean(axis=-1) >= _MOST
    return np.where(seen[..., None], ends, 0.0), seen
