"""Corners of markers from their sides: where two straight edges meet is known better than what blur makes of a corner.

Half-way between black and white a straight edge stays where it is, however soft the picture is; a corner goes inwards.
"""

from __future__ import annotations

import cv2
import msgspec
import numpy as np

from geometry.intake.linear_light import linear_light
from geometry.intake.marker_pair import Sheets
from geometry.intake.marker_sheet import CELLS
from geometry.intake.markers_seen import Grey, MarkersSeen
from geometry.intake.rectified import Light, View
from geometry.shape.close import Flags, Floats

_ENDS = 0.12  # of a side that is left out at either end, where the corner is rounded
_ALONG = 24  # places on a side
_ACROSS = 49  # places on a line square to a side
_REACH = 0.6  # cells on both sides of an edge that are looked at; a marker's border is one cell wide
_LEVEL = 0.55  # of the reach beyond which black and white show their own level
_CONTRAST = 0.5  # of the usual one; less of it is something that lies on the marker
_MOST = 0.8  # of the places of a side on which the edge must be found
_LEAST_SCALE = 0.005  # mm


class Sides(msgspec.Struct, frozen=True, eq=False):
    """How far outward in mm each side of markers lies at its start and its end (n, 4, 2), and which are seen (n, 4)."""

    off: Floats
    seen: Flags


def by_sides(grey: Grey, view: View, seen: MarkersSeen, sheet: Sheets) -> MarkersSeen:
    """The markers seen in a grey picture, their corners where their sides meet.

    `view` and `sheet` tell about where they lie. Where a side of a marker is not seen, its corners stay as they are.
    """
    lying = {marker.number: marker for marker in sheet.markers}
    places = np.array([lying[marker.number].corners for marker in seen.markers])
    along = np.roll(places, -1, axis=1) - places
    out = np.stack([-along[..., 1], along[..., 0]], axis=-1) / np.linalg.norm(along, axis=2)[..., None]
    sides = _sides(linear_light()[grey], view, places, along, out)
    moved = out * sides.off[..., :1] + np.roll(out * sides.off[..., 1:], 1, axis=1)
    met = view.pixels((places + moved).reshape(-1, 2), 0.0).reshape(places.shape)
    both = sides.seen & np.roll(sides.seen, 1, axis=1)
    return msgspec.structs.replace(seen, corners=np.where(both[..., None], met, seen.corners))


def _sides(light: Light, view: View, places: Floats, along: Floats, out: Floats) -> Sides:
    """Straight lines through the places of an edge, an edge for each side of markers at `places` (n, 4, 2)."""
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


def _lines(crossing: Floats, shares: Floats) -> Sides:
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
    return Sides(np.where(seen[..., None], ends, 0.0), seen)
