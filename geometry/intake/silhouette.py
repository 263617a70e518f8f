"""The edge of the head's silhouette, finer than the pixels, and how well each piece of it is seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.dense import at_lengths, bridge, lengths_along, signed_area
from geometry.intake.rectified import Light, Rectified
from geometry.intake.wood_in_picture import Mask, Wood
from geometry.shape.close import Floats

STEP = 0.4
"""mm between two places of the edge."""

_FAINT = 0.3  # of the usual contrast; where less is left, shine or shadow hides the edge
_GRADUAL = 3.0  # times the usual width; what passes more gradually is the border of a shine, no edge

_SURE = 3.0  # mm of edge that is seen on end, between two gaps and beside one
_TOLD = 2.5  # mm of a gap that is drawn over
_FARTHEST = 45.0  # mm of a gap over which nobody can guess
_INTO = 2.0  # times as long as straight over it a gap is that goes into the head
_NEAR = 1.6  # mm of edge at both its ends that may be its border
_BACK = 0.65  # of the parts of such a gap together, how long it is straight over it at most
_LITTLE = 0.5  # of what is not seen of such a gap, what is seen within it
_REACH = 1.4  # mm looked at on both sides of the edge
_FURTHER = (1.2, 2.4)  # mm further in where an edge is looked for that was not found
_LEVEL = (0.7, 1.4)  # mm from the edge between which each side shows its own level
_SOFT = 0.7  # mm over which the direction of the edge is taken
_STRAY = 0.2  # mm beside its neighbours that a place may lie


class Silhouette(msgspec.Struct, frozen=True, eq=False):
    """Places (n, 2) in mm round the head, counter-clockwise, as if all lay on the plane of the picture.

    `seen` (n,) tells where the edge is seen; elsewhere the place is a guess between its neighbours.
    """

    places: Floats
    seen: npt.NDArray[np.bool_]


def silhouette_of(picture: Rectified, wood: Wood) -> Silhouette:
    """The closed edge of the wood."""
    outlines, _ = cv2.findContours(wood.mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    rough = max(outlines, key=len).reshape(-1, 2).astype(float)
    places = _even(picture.places(rough))
    for reach in (_REACH, _REACH / 2):
        out = _outward(places)
        shift, seen = _crossings(picture, wood.share, places, out, reach)
        if reach == _REACH:
            shift, seen = _further_in(picture, wood.share, places, out, shift, seen)
        places = places + out * _steady(shift, seen)[:, None]
    return _over_gaps(places, seen)


def _further_in(
    picture: Rectified, share: Light, places: Floats, out: Floats, shift: Floats, seen: npt.NDArray[np.bool_]
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Shifts (n,), and where there are any, with those of an edge that lies further in than was looked.

    Deep shadow on the paper looks half like wood, and the head is then taken for larger by a part of it.
    """
    shift, seen = shift.copy(), seen.copy()
    for back in _FURTHER:
        again, there = _crossings(picture, share, places - back * out, out, _REACH)
        new = there & ~seen
        shift[new], seen[new] = again[new] - back, True
    return shift, seen


def _over_gaps(places: Floats, seen: npt.NDArray[np.bool_]) -> Silhouette:
    """The edge drawn on smoothly over what is not seen, as far as that is not too far to guess."""
    start = _middle_of_longest(seen)
    places, seen = np.roll(places, -start, axis=0), np.roll(seen, -start)
    dark = np.flatnonzero(~seen)
    if not len(dark):
        return Silhouette(places, seen)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > _SURE / STEP) + 1)
    parts, flags, after, tangent = [], [], 0, round(_SURE / STEP)
    for first, last in _gaps(places, runs):
        chord = _chord(places, first, last)
        if not _TOLD < chord < _FARTHEST or first < tangent or last + tangent >= len(places):
            continue
        between = bridge(places[first - tangent], places[first], places[last], places[last + tangent])
        parts += [places[after : first + 1], between]
        flags += [seen[after : first + 1], np.zeros(len(between), bool)]
        after = last
    return Silhouette(np.vstack([*parts, places[after:]]), np.concatenate([*flags, seen[after:]]))


def _gaps(places: Floats, runs: Sequence[npt.NDArray[np.int_]]) -> Iterator[tuple[int, int]]:
    """From the last place before each run of such as are not seen to the first one behind it.

    The border of a shine goes from the edge into the head and back, perhaps along the rim of a hole, which is seen but
    is no edge of the head: what belongs to one such way is one gap, and a narrow one begins where none of it is near.
    """
    ends = [(max(int(run[0]) - 1, 0), min(int(run[-1]) + 1, len(places) - 1)) for run in runs]
    joined = [(*ends[0], ends[0][1] - ends[0][0])]
    for first, last in ends[1:]:
        begun, ended, dark = joined[-1]
        both = dark + last - first
        parts = _chord(places, begun, ended) + _chord(places, first, last)
        turns_back = _goes_in(places, begun, last) and _chord(places, begun, last) < _BACK * parts
        if turns_back and first - ended < _LITTLE * both:
            joined[-1] = begun, last, both
        else:
            joined.append((first, last, last - first))
    for first, last, _ in joined:
        narrow = _goes_in(places, first, last) and _chord(places, first, last) < 2 * _TOLD
        near = round(_NEAR / STEP) if narrow else 0
        yield max(first - near, 0), min(last + near, len(places) - 1)


def _goes_in(places: Floats, first: int, last: int) -> bool:
    """Whether the way from one place to another goes far into the head, which lies on its left."""
    chord, middle = places[last] - places[first], places[first : last + 1].mean(axis=0) - places[first]
    inside = chord[0] * middle[1] - chord[1] * middle[0] > 0
    long = (last - first) * STEP
    return bool(inside and long > max(_INTO * float(np.linalg.norm(chord)), 2 * _TOLD))


def _chord(places: Floats, first: int, last: int) -> float:
    return float(np.linalg.norm(places[last] - places[first]))


def _middle_of_longest(seen: npt.NDArray[np.bool_]) -> int:
    """The place in the middle of the longest run round a closed edge that is seen, so that no gap lies at its start."""
    if seen.all() or not seen.any():
        return 0
    first = int(np.argmin(seen))
    hidden = np.append(np.flatnonzero(np.roll(~seen, -first)), len(seen))
    longest = int(np.argmax(np.diff(hidden)))
    return int((first + (hidden[longest] + hidden[longest + 1]) // 2) % len(seen))


def _even(places: Floats) -> Floats:
    """Places evenly STEP apart round a closed, counter-clockwise edge, without the stairs of the pixels."""
    closed = np.vstack([places, places[:1]])
    along = lengths_along(closed)
    even = at_lengths(closed, along, np.linspace(0.0, along[-1], round(along[-1] / STEP), endpoint=False))
    even = even if signed_area(even) > 0 else even[::-1]
    return np.asarray((np.roll(even, -1, axis=0) + 2 * even + np.roll(even, 1, axis=0)) / 4, float)


def _outward(places: Floats) -> Floats:
    """Unit vectors (n, 2) square to the edge, away from the head."""
    steps = max(1, round(_SOFT / STEP))
    along = np.roll(places, -steps, axis=0) - np.roll(places, steps, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
    return np.column_stack([along[:, 1], -along[:, 0]])


def _crossings(
    picture: Rectified, share: Light, places: Floats, out: Floats, reach: float
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """How far outward (n,) the share of wood passes half-way between its levels on both sides, and where it does."""
    count = 2 * max(8, round(reach * picture.fine * 2)) + 1
    offsets = np.linspace(-_REACH, _REACH, count)
    points = places[:, None] + offsets[None, :, None] * out[:, None]
    pixels = picture.pixels(points.reshape(-1, 2)).astype(np.float32)
    profile = cv2.remap(
        share,
        pixels[:, 0].reshape(-1, count),
        pixels[:, 1].reshape(-1, count),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    ).astype(float)
    inner = np.median(profile[:, (offsets >= -_LEVEL[1]) & (offsets <= -_LEVEL[0])], axis=1)
    outer = np.median(profile[:, (offsets >= _LEVEL[0]) & (offsets <= _LEVEL[1])], axis=1)
    contrast = inner - outer
    half = profile - ((inner + outer) / 2)[:, None]
    falls = (half[:, :-1] >= 0) & (half[:, 1:] < 0) & (np.abs(offsets[:-1]) <= reach)[None, :]
    drop = np.where(falls, half[:, :-1] - half[:, 1:], 1.0)
    where = offsets[:-1] + half[:, :-1] / drop * (offsets[1] - offsets[0])
    distance = np.where(falls, np.abs(where), np.inf)
    best = distance.argmin(axis=1)
    rows = np.arange(len(places))
    found = np.isfinite(distance[rows, best])
    seen = found.copy()
    if found.any():
        width = contrast / np.maximum(drop[rows, best], 1e-6)
        seen &= (contrast > _FAINT * np.median(contrast[found])) & (
            width < _GRADUAL * np.median(width[found])
        )
    return np.where(seen, where[rows, best], np.nan), seen


def _steady(shift: Floats, seen: npt.NDArray[np.bool_]) -> Floats:
    """Shifts with gaps filled between their neighbours, and strays put back among theirs."""
    if not seen.any():
        return np.zeros(len(shift))
    numbers = np.arange(len(shift))
    filled = np.interp(numbers, numbers[seen], shift[seen], period=len(shift))
    around = np.stack([np.roll(filled, step) for step in range(-3, 4)])
    middle = np.median(around, axis=0)
    return np.where(np.abs(filled - middle) > _STRAY, middle, filled)


def inside_mask(picture: Rectified, places: Floats) -> Mask:
    """The pixels inside a closed line of places."""
    filled = np.zeros(picture.light.shape[:2], np.uint8)
    cv2.fillPoly(filled, [np.round(picture.pixels(places)).astype(np.int32)], 1)
    return filled > 0
