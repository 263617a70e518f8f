"""Drilled holes in a picture of the face: the rim is fitted, not the dark spot, for the far wall shows inside."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import msgspec
import numpy as np

from geometry.intake.rectified import Light, Rectified
from geometry.intake.rim_fit import Below, Channel, fit_rim
from geometry.intake.wood_in_picture import Mask, disc
from geometry.shape.close import Floats

_LEAST, _MOST = 1.5, 32.0  # mm of the narrowest and the widest hole that is looked for

_WHOLE = 0.9  # share of a rim
_HOUGH_FINE = 3.0  # pixels in a mm
_MOST_CIRCLES = 60
_GROUND = 14.0  # mm over which the wood itself is levelled
_BLEND = 3.0  # a hole differs from the wood round it by this many times the scatter of the grain


class Rim(msgspec.Struct, frozen=True):
    """A hole on the face: its centre and diameter in mm, with the standard deviation of each.

    `share` is how much of the rim was seen on the circle.
    """

    x: float
    y: float
    diameter: float
    centre_spread: float
    diameter_spread: float
    share: float


def rims_in(picture: Rectified, head: Mask, below: Callable[[Floats], Below] | None = None) -> list[Rim]:
    """The holes in the face of a head, whose pixels `head` are, in a picture rectified to the plane of the face.

    `below` tells of a spot in pixels where a camera sees the lower rim of a hole there, where it looks at an angle.
    """
    grey = np.asarray(np.sqrt(np.maximum(picture.light.mean(axis=2), 0.0)), np.float32)
    found: list[Rim] = []
    spots = [*_spots(grey, head, picture.fine), *_round_edges(grey, head, picture.fine)]
    found += _rims(picture, Channel(grey, roots=True), spots, found, below)
    unlike = _unlike_wood(picture, head)
    spots = _spots(unlike, head, picture.fine)
    found += _rims(picture, Channel(unlike, roots=False), spots, found, below)
    return _apart(found)


def _rims(
    picture: Rectified,
    grey: Channel,
    spots: list[tuple[float, float, float]],
    before: list[Rim],
    below: Callable[[Floats], Below] | None,
) -> list[Rim]:
    """The holes at spots that one channel of a picture shows (high, wide) besides those that were found before."""
    found = list(before)
    for spot in spots:
        x, y = picture.places(np.array([spot[:2]]))[0]
        # What lies in a hole whose rim is seen nearly all round is that hole again.
        if any(rim.share > _WHOLE and np.hypot(rim.x - x, rim.y - y) < rim.diameter / 2 for rim in found):
            continue
        at = np.array(spot)
        rim = _rim(picture, grey, at, None if below is None else below(at))
        found += [] if rim is None else [rim]
    return found[len(before) :]


def _unlike_wood(picture: Rectified, head: Mask) -> Light:
    """How far each pixel is in colour from the wood round it (high, wide), by the roots of linear light.

    In brightness alone what is seen of the paper through a hole may be just as the wood is.
    """
    inner = cv2.erode(head.astype(np.uint8), disc(0.8 * picture.fine)) > 0
    coded = np.sqrt(np.maximum(picture.light, 0.0))
    colours = [np.asarray(coded[..., number], np.float32) for number in range(3)]
    off = [part - _ground(part, inner, picture.fine) for part in colours]
    return np.asarray(np.sqrt(sum(part * part for part in off)), np.float32)


def _spots(grey: Light, head: Mask, fine: float) -> list[tuple[float, float, float]]:
    """Where a hole may be: centre and radius in pixels, of spots that differ from wood."""
    strange = _strange(grey, head, fine)
    whole = cv2.morphologyEx(strange.astype(np.uint8), cv2.MORPH_CLOSE, disc(0.5 * fine))
    whole = cv2.morphologyEx(whole, cv2.MORPH_OPEN, disc(0.3 * fine))
    outlines, _ = cv2.findContours(whole, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    spots = []
    for outline in outlines:
        (x, y), radius = cv2.minEnclosingCircle(outline)
        filled = cv2.contourArea(outline) / (np.pi * radius**2 + 1e-9)
        if _LEAST <= 2 * radius / fine <= _MOST * 1.3 and filled > 0.4:
            spots.append((float(x), float(y), float(radius)))
    return spots


def _round_edges(grey: Light, head: Mask, fine: float) -> list[tuple[float, float, float]]:
    """Circles that many edges point at (Hough), on a coarse picture: what shine lies beside does not hide them."""
    small = min(1.0, _HOUGH_FINE / fine)
    size = (max(3, round(grey.shape[1] * small)), max(3, round(grey.shape[0] * small)))
    usual = float(np.median(grey[head])) if head.any() else 0.0
    coded = np.clip(np.where(head, grey, usual) * 255, 0, 255).astype(np.uint8)
    coarse = cv2.medianBlur(cv2.resize(coded, size, interpolation=cv2.INTER_AREA), 3)
    mm = fine * small
    found = cv2.HoughCircles(
        coarse,
        cv2.HOUGH_GRADIENT,
        dp=1.5,
        minDist=4.0 * mm,
        param1=60,
        param2=14,
        minRadius=max(2, round(_LEAST * mm / 2)),
        maxRadius=round(_MOST / 2 * mm),
    )
    circles = np.empty((0, 3)) if found is None else np.asarray(found, float).reshape(-1, 3) / small
    return [(float(x), float(y), float(r)) for x, y, r in circles[:_MOST_CIRCLES]]


def _strange(grey: Light, head: Mask, fine: float) -> Mask:
    """The pixels of the head that are darker or brighter than wood."""
    inner = cv2.erode(head.astype(np.uint8), disc(0.8 * fine)) > 0
    ground = _ground(grey, inner, fine)
    off = cv2.GaussianBlur(grey - ground, (0, 0), max(0.12 * fine, 0.5))
    values = off[inner]
    if not len(values):
        return inner
    usual = np.median(values)
    spread = 1.4826 * np.median(np.abs(values - usual))
    return np.asarray(inner & (np.abs(off - usual) > max(_BLEND * spread, 0.04)), bool)


def _ground(grey: Light, inner: Mask, fine: float) -> Light:
    """The brightness of the wood itself: a median over the coarse picture, which no hole is wide enough to move."""
    small = min(1.0, 1.0 / fine)
    size = (max(3, round(grey.shape[1] * small)), max(3, round(grey.shape[0] * small)))
    usual = float(np.median(grey[inner])) if inner.any() else 0.0
    filled = np.where(inner, grey, usual).astype(np.float32)
    coarse = cv2.resize(filled, size, interpolation=cv2.INTER_AREA)
    coded = np.clip(coarse * 255, 0, 255).astype(np.uint8)
    across = 2 * round(_GROUND * fine * small) + 1
    level = cv2.GaussianBlur(cv2.medianBlur(coded, across), (0, 0), _GROUND * fine * small / 6)
    return np.asarray(cv2.resize(level.astype(np.float32) / 255, grey.shape[1::-1]), np.float32)


def _rim(picture: Rectified, grey: Channel, spot: Floats, below: Below | None) -> Rim | None:
    """The hole at a spot, None where it is none."""
    fitted = fit_rim(grey, spot, picture.fine, below)
    if fitted is None:
        return None
    diameter = 2 * float(fitted.circle[2]) / picture.fine
    if not _LEAST <= diameter <= _MOST:
        return None
    # Nothing is surer than a sixth of a pixel.
    spread = max(fitted.spread, 0.17) / picture.fine
    centre = picture.places(fitted.circle[None, :2])[0]
    return Rim(float(centre[0]), float(centre[1]), diameter, spread * np.sqrt(2.0), 2 * spread, fitted.share)


def _apart(rims: list[Rim]) -> list[Rim]:
    """Without a rim that lies within a larger one, from the nut to the tip."""
    kept: list[Rim] = []
    for rim in sorted(rims, key=lambda each: -each.diameter):
        if all(np.hypot(rim.x - other.x, rim.y - other.y) > other.diameter / 2 for other in kept):
            kept.append(rim)
    return sorted(kept, key=lambda rim: (rim.y, rim.x))
