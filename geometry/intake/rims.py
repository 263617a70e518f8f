"""Drilled holes in a picture of the face: the rim is fitted, not the dark spot, for the far wall shows inside."""

from __future__ import annotations

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.rectified import Light, Rectified
from geometry.intake.wood_in_picture import Mask
from geometry.shape.close import Floats

LEAST, MOST = 1.5, 32.0
"""mm of the narrowest and the widest hole that is looked for."""

RAYS = 120

LEAST_RIM = 0.75
"""Share of a rim that must lie on one circle."""

ROUND = 0.12
"""mm beside the circle that a place of the rim may lie, or a twentieth of the radius where that is more."""

_HOUGH_FINE = 3.0  # pixels in a mm
_MOST_CIRCLES = 60
_GROUND = 14.0  # mm over which the wood itself is levelled
_BLEND = 3.0  # a hole differs from the wood round it by this many times the scatter of the grain
_LEVEL = 0.8  # mm outside the rim where the wood shows its own level
_LEVEL_WITHIN = 0.7  # mm inside the rim within which wall or paper shows its own
_FAINTEST = 0.03  # of white, as the root of the light: the least that a rim differs from wood
_SHARP = 0.6  # of its own height a rim rises in a mm at least


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


def rims_in(picture: Rectified, head: Mask) -> list[Rim]:
    """The holes in the face of a head, whose pixels `head` are, in a picture rectified to the plane of the face."""
    grey = np.asarray(np.sqrt(np.maximum(picture.light.mean(axis=2), 0.0)), np.float32)
    found = [
        rim for spot in _spots(grey, head, picture.fine) if (rim := _rim(picture, grey, *spot)) is not None
    ]
    return _apart(found)


def _spots(grey: Light, head: Mask, fine: float) -> list[tuple[float, float, float]]:
    """Where a hole may be: centre and radius in pixels, of spots that differ from wood and of edges that are round."""
    strange = _strange(grey, head, fine)
    whole = cv2.morphologyEx(strange.astype(np.uint8), cv2.MORPH_CLOSE, _disc(0.5 * fine))
    whole = cv2.morphologyEx(whole, cv2.MORPH_OPEN, _disc(0.3 * fine))
    outlines, _ = cv2.findContours(whole, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    spots = []
    for outline in outlines:
        (x, y), radius = cv2.minEnclosingCircle(outline)
        filled = cv2.contourArea(outline) / (np.pi * radius**2 + 1e-9)
        if LEAST <= 2 * radius / fine <= MOST * 1.3 and filled > 0.4:
            spots.append((float(x), float(y), float(radius)))
    return [*spots, *_round_edges(grey, head, fine)]


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
        minRadius=max(2, round(LEAST * mm / 2)),
        maxRadius=round(MOST / 2 * mm),
    )
    circles = np.empty((0, 3)) if found is None else np.asarray(found, float).reshape(-1, 3) / small
    return [(float(x), float(y), float(r)) for x, y, r in circles[:_MOST_CIRCLES]]


def _strange(grey: Light, head: Mask, fine: float) -> Mask:
    """The pixels of the head that are darker or brighter than wood."""
    inner = cv2.erode(head.astype(np.uint8), _disc(0.8 * fine)) > 0
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


def _rim(picture: Rectified, grey: Light, x: float, y: float, radius: float) -> Rim | None:
    """The circle that most of the rim about a spot lies on, None where it is no hole."""
    circle = np.array([x, y, radius])
    places = np.empty((0, 2))
    for width in (0.45, 0.25, 0.15):
        places = _rim_places(grey, circle, picture.fine, width)
        if len(places) < RAYS * LEAST_RIM * 0.8:
            return None
        fitted = _consensus(places, max(ROUND * picture.fine, 0.7, 0.05 * circle[2]), circle)
        if fitted is None:
            return None
        circle = fitted
    near = np.abs(np.linalg.norm(places - circle[:2], axis=1) - circle[2]) < max(
        ROUND * picture.fine, 0.7, 0.05 * circle[2]
    )
    share = float(near.sum()) / RAYS
    diameter = 2 * float(circle[2]) / picture.fine
    if share < LEAST_RIM or not LEAST <= diameter <= MOST:
        return None
    off = (np.linalg.norm(places[near] - circle[:2], axis=1) - circle[2]) / picture.fine
    # Neighbouring rays see the same grain, so a quarter of them count; nothing is surer than a sixth of a pixel.
    spread = max(float(off.std()) / np.sqrt(near.sum() / 4), 0.17 / picture.fine)
    centre = picture.places(circle[None, :2])[0]
    return Rim(float(centre[0]), float(centre[1]), diameter, spread * np.sqrt(2.0), 2 * spread, share)


def _rim_places(grey: Light, circle: Floats, fine: float, width: float) -> Floats:
    """Where rays from outside first leave the level of the wood, half-way to what comes next (k, 2), in pixels."""
    radius = circle[2]
    reach = max(width * radius, 1.2 * fine * width + 1.5)
    angles = np.linspace(0, 2 * np.pi, RAYS, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    # From outside inwards.
    radii = np.arange(radius + reach + _LEVEL * fine, max(radius - 1.6 * reach, 0.3), -0.25)
    points = circle[:2] + radii[None, :, None] * ways[:, None]
    profile = cv2.remap(
        grey,
        points[..., 0].astype(np.float32),
        points[..., 1].astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    ).astype(float)
    outside = profile[:, radii > radius + reach]
    off = profile - np.median(outside, axis=1)[:, None]
    grain = 1.4826 * float(np.median(np.abs(off[:, radii > radius + reach])))
    found = [_leaves(line, max(4 * grain, _FAINTEST), fine) for line in off]
    at = [(way, radii[0] - 0.25 * where) for way, where in zip(ways, found, strict=True) if where is not None]
    return np.array([circle[:2] + r * way for way, r in at]).reshape(-1, 2)


def _leaves(off: Floats, least: float, fine: float) -> float | None:
    """After how many steps a ray leaves the wood: half-way to the first level that is off by `least` at the least.

    None where it never does, or gradually, as where a shine begins.
    """
    past = np.flatnonzero(np.abs(off) > least)
    if not len(past):
        return None
    first = int(past[0])
    sign = np.sign(off[first])
    ahead = sign * off[first : first + max(6, round(4 * _LEVEL_WITHIN * fine))]
    # The first level ends where the ray turns back to the wood.
    turn = np.flatnonzero(np.diff(ahead) < -0.15 * np.maximum.accumulate(ahead)[:-1])
    level = float(ahead[: int(turn[0]) + 1].max() if len(turn) else ahead.max())
    before = sign * off[: first + len(ahead)]
    crossed = np.flatnonzero(before >= level / 2)
    at = int(crossed[0])
    if at == 0:
        return None
    rise = before[at] - before[at - 1]
    if rise * 4 * fine < _SHARP * level:
        return None
    return float(at - (before[at] - level / 2) / rise)


def _consensus(
    places: Floats, tolerance: float, guess: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64] | None:
    """The circle (centre and radius) that most places lie on, by trying three at a time, then by least squares."""
    random = np.random.default_rng(len(places))
    best, most = guess, -1
    for _ in range(60):
        circle = _fitted(places[random.choice(len(places), 3, replace=False)])
        if circle is None or not 0.5 * guess[2] < circle[2] < 1.8 * guess[2]:
            continue
        count = int((np.abs(np.linalg.norm(places - circle[:2], axis=1) - circle[2]) < tolerance).sum())
        if count > most:
            best, most = circle, count
    if most < 0:
        return None
    for _ in range(3):
        near = np.abs(np.linalg.norm(places - best[:2], axis=1) - best[2]) < tolerance
        fitted = _fitted(places[near]) if near.sum() >= 6 else None
        if fitted is None:
            return None
        best = fitted
    return best


def _fitted(places: Floats) -> npt.NDArray[np.float64] | None:
    """The circle of least squares through places (Kasa 1976), None where they lie on a line."""
    middle = places.mean(axis=0)
    x, y = (places - middle).T
    terms = np.column_stack([2 * x, 2 * y, np.ones_like(x)])
    solved, _, rank, _ = np.linalg.lstsq(terms, x * x + y * y, rcond=1e-9)
    if rank < 3:
        return None
    radius = float(np.sqrt(max(solved[2] + solved[0] ** 2 + solved[1] ** 2, 0.0)))
    return np.array([solved[0] + middle[0], solved[1] + middle[1], radius])


def _apart(rims: list[Rim]) -> list[Rim]:
    """Without a rim that lies within a larger one, from the nut to the tip."""
    kept: list[Rim] = []
    for rim in sorted(rims, key=lambda each: -each.diameter):
        if all(np.hypot(rim.x - other.x, rim.y - other.y) > other.diameter / 2 for other in kept):
            kept.append(rim)
    return sorted(kept, key=lambda rim: (rim.y, rim.x))


def _disc(radius: float) -> npt.NDArray[np.uint8]:
    across = 2 * max(1, round(radius)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (across, across)), np.uint8)
