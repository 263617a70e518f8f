"""The rim of a hole about a spot: rays from outside, the circle that most agree on, and what hides part of it."""

from __future__ import annotations

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.circles import consensus, off_circle
from geometry.intake.rectified import Light
from geometry.shape.close import Floats

RAYS = 120

_LEAST_RIM = 0.75  # share of a rim that must lie on one circle
# mm beside the circle that a place of the rim may lie, or a twentieth of the radius where that is more.
_ROUND = 0.12
_LENS = 0.65  # how much better than one circle both rims must fit, as a share of what is left over

_ROUGH = 0.45, 0.25, 0.15  # of the radius: how far a rough spot may be off
# The same of one that is good from the first, where grain is taken for a rim further off.
_GOOD = 0.2, 0.12, 0.09
_SOME = 0.45  # of the places that are found lies on a circle, or there is none
_LEVEL = 0.8  # mm outside the rim where the wood shows its own level
_LEVEL_WITHIN = 0.7  # mm inside the rim within which wall or paper shows its own
_FAINTEST = 0.03  # of white, as the root of the light: the least that a rim differs from wood
# Radii from the foot of the camera within which a lower rim lies all within the upper one, or nearly.
_WITHIN = 1.2
_ROUND_ABOUT = 0.9  # of a rim
_DARKER = 0.5  # of the places on a lower rim
_SHARP = 0.6  # of its own height a rim rises in a mm at least


class Fitted(msgspec.Struct, frozen=True, eq=False):
    """A circle (centre across and down, radius) in pixels, the `share` of its rim that is seen, and what is left over.

    `spread` is the standard deviation in pixels of the places about it.
    """

    circle: Floats
    share: float
    spread: float


class Below(msgspec.Struct, frozen=True, eq=False):
    """Where the lower rim of a hole right through is seen: drawn towards the `foot` (2,) in pixels by a factor."""

    foot: Floats
    nearer: float

    def seen(self, circle: Floats) -> Floats:
        """The lower rim of a hole with this upper one, in a picture square onto the face."""
        centre = self.foot + (circle[:2] - self.foot) * self.nearer
        return np.append(centre, circle[2] * self.nearer)

    def above(self, circle: Floats) -> Floats:
        """The upper rim of a hole with this lower one: the way back."""
        centre = self.foot + (circle[:2] - self.foot) / self.nearer
        return np.append(centre, circle[2] / self.nearer)


class Channel(msgspec.Struct, frozen=True, eq=False):
    """One value for each pixel (high, wide), in which holes show; whether they are the roots of linear light."""

    values: Light
    roots: bool


def fit_rim(grey: Channel, spot: Floats, fine: float, below: Below | None) -> Fitted | None:
    """The rim about a spot (centre and radius in pixels), None where too little that is round is there.

    Where walls are as dark as the wood, what is seen of a hole is only what its upper and its lower rim have in common;
    then the circle is the upper rim which, together with its lower one, fits all that is seen.
    """
    for widths, lower in ((_ROUGH, below), (_GOOD, None)):
        found = _from(grey, spot, fine, lower, widths)
        if found is not None and found.share >= _LEAST_RIM:
            return found if below is None else _under_camera(grey, found, fine, below)
    return None


def _under_camera(grey: Channel, found: Fitted, fine: float, below: Below) -> Fitted:
    """The rim, where a camera right above a hole sees its lower one all round, and its walls as dark as the wood.

    A wall lies in shade, so that it gets darker at an upper rim; where it gets brighter, paper is seen, and of it what
    both rims have in common. Nothing tells a bright wall from that: the spread is wide enough for both.
    """
    within = float(np.linalg.norm(found.circle[:2] - below.foot)) < _WITHIN * found.circle[2]
    if not (within and grey.roots and _brighter(grey, found.circle, fine)):
        return found
    upper = below.above(found.circle)
    either = float(np.linalg.norm(upper - found.circle)) / 2
    return Fitted(upper, found.share, float(np.hypot(found.spread, either)))


def _brighter(grey: Channel, circle: Floats, fine: float) -> bool:
    """Whether rays get brighter where they first leave the wood, nearly all round a rim."""
    rays = _rays(grey, circle, fine, _GOOD[-1])
    past = np.abs(rays.off) > rays.least
    first = rays.off[np.arange(len(past)), past.argmax(axis=1)]
    return bool((past.any(axis=1) & (first > 0)).mean() > _ROUND_ABOUT)


def _from(
    grey: Channel, spot: Floats, fine: float, below: Below | None, widths: tuple[float, ...]
) -> Fitted | None:
    """The rim as it is found by looking ever nearer to the circle, by `widths` as shares of its radius."""
    circle = np.asarray(spot, float)
    places = np.empty((0, 2))
    for width in widths:
        places, _ = _rim_places(grey, circle, fine, width)
        if len(places) < RAYS / 2:
            return None
        fitted = consensus(places, _tolerance(circle, fine), circle)
        if fitted is None:
            return None
        circle = fitted
    off = np.abs(off_circle(places, circle))
    if (off < _tolerance(circle, fine)).mean() < _SOME:
        return None
    if below is not None:
        circle, off = _or_lens(grey, circle, off, fine, below)
    near = off < _tolerance(circle, fine)
    if near.sum() < 6:
        return None
    # What is left over is seldom chance: it is a rim that is taken for another, all along a stretch.
    spread = float(np.sqrt(np.mean(off[near] ** 2))) / 2
    return Fitted(circle, float(near.sum()) / RAYS, spread)


def _tolerance(circle: Floats, fine: float) -> float:
    return max(_ROUND * fine, 0.7, 0.05 * float(circle[2]))


def _or_lens(grey: Channel, circle: Floats, off: Floats, fine: float, below: Below) -> tuple[Floats, Floats]:
    """The circle, or the one that fits better with its lower rim, and how far the places are off."""
    from scipy.optimize import least_squares

    places, darker = _rim_places(grey, circle, fine, 0.45)
    most = 3 * _tolerance(circle, fine)

    def off_both(upper: Floats) -> Floats:
        upper_off, lower_off = off_circle(places, upper), off_circle(places, below.seen(upper))
        return np.asarray(np.where(np.abs(upper_off) < np.abs(lower_off), upper_off, lower_off), float)

    def slopes(upper: Floats) -> Floats:
        lower = below.seen(upper)
        is_upper = np.abs(off_circle(places, upper)) < np.abs(off_circle(places, lower))
        centres = np.where(is_upper[:, None], upper[:2], lower[:2])
        ways = (centres - places) / np.maximum(np.linalg.norm(centres - places, axis=1), 1e-9)[:, None]
        shrunk = np.where(is_upper, 1.0, below.nearer)[:, None]
        return np.asarray(shrunk * np.column_stack([ways, -np.ones(len(places))]), float)

    def contradicted(upper: Floats) -> bool:
        """Whether what should be a lower rim leads from wood into a dark wall, which only an upper one does."""
        lower = np.abs(off_circle(places, below.seen(upper))) < np.abs(off_circle(places, upper))
        return bool(lower.any() and darker[lower].mean() > _DARKER)

    def left(upper: Floats) -> float:
        return float(np.minimum(np.abs(off_both(upper)), most).mean())

    from_foot = circle[:2] - below.seen(circle)[:2]
    wider = float(np.linalg.norm(from_foot)) / 2
    starts = [
        np.append(circle[:2] + share * from_foot, circle[2] + share * wider) for share in (0.0, 0.4, 0.8)
    ]
    found = [
        np.asarray(
            least_squares(off_both, start, slopes, loss="soft_l1", f_scale=0.05 * fine + 0.2, max_nfev=25).x,
            float,
        )
        for start in starts
    ]
    lens = min(
        (each for each in found if 0.6 * circle[2] < each[2] < 1.5 * circle[2]), key=left, default=circle
    )
    as_circle = float(np.minimum(np.abs(off_circle(places, circle)), most).mean())
    if left(lens) < _LENS * as_circle and not (grey.roots and contradicted(lens)):
        return lens, np.abs(off_both(lens))
    return circle, off


class _Rays(msgspec.Struct, frozen=True, eq=False):
    """Unit `ways` (n, 2) out of a circle, and values along each after `radii` (k,), from outside inwards.

    `wood` (n,) is the level outside, `off` (n, k) what differs from it, by more than `least` where it is no grain.
    """

    ways: Floats
    radii: Floats
    wood: Floats
    off: Floats
    least: float


def _rim_places(
    grey: Channel, circle: Floats, fine: float, width: float
) -> tuple[Floats, npt.NDArray[np.bool_]]:
    """Where rays from outside first leave the level of the wood, half-way to what comes next (k, 2), in pixels.

    And whether what comes next is darker (k,).
    """
    rays = _rays(grey, circle, fine, width)
    steps = _leaves(rays.off, rays.wood if grey.roots else None, rays.least, fine)
    left = np.isfinite(steps)
    found: Floats = circle[:2] + (rays.radii[0] - 0.25 * steps[left])[:, None] * rays.ways[left]
    past = np.abs(rays.off[left]) > rays.least
    first = past.argmax(axis=1)[:, None]
    return found, np.take_along_axis(rays.off[left], first, axis=1)[:, 0] < 0


def _rays(grey: Channel, circle: Floats, fine: float, width: float) -> _Rays:
    radius = circle[2]
    reach = max(width * radius, 1.2 * fine * width + 1.5)
    angles = np.linspace(0, 2 * np.pi, RAYS, endpoint=False)
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    # From outside inwards.
    radii = np.arange(radius + reach + _LEVEL * fine, max(radius - 1.6 * reach, 0.3), -0.25)
    points = circle[:2] + radii[None, :, None] * ways[:, None]
    profile = cv2.remap(
        grey.values,
        points[..., 0].astype(np.float32),
        points[..., 1].astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    ).astype(float)
    outside = profile[:, radii > radius + reach]
    wood = np.median(outside, axis=1)
    off = profile - wood[:, None]
    grain = 1.4826 * float(np.median(np.abs(off[:, radii > radius + reach])))
    return _Rays(ways, radii, wood, off, max(4 * grain, _FAINTEST))


def _leaves(off: Floats, wood: Floats | None, least: float, fine: float) -> Floats:
    """After how many steps rays (n, k) leave the wood (n,): half-way to the first level that is off by `least`.

    Half-way in linear light where `wood` (n,) are the roots of the light on it.

    Not a number where one never does, or gradually, as where a shine begins.
    """
    rows, steps = np.arange(len(off)), np.arange(off.shape[1])
    past = np.abs(off) > least
    first = past.argmax(axis=1)
    rising = np.sign(off[rows, first])[:, None] * off
    far = first + max(6, round(4 * _LEVEL_WITHIN * fine))
    ahead = (steps >= first[:, None]) & (steps < far[:, None])
    highest = np.maximum.accumulate(np.where(ahead, rising, -np.inf), axis=1)
    # The first level ends where the ray turns back to the wood.
    turns = ahead[:, 1:] & ahead[:, :-1] & (np.diff(rising, axis=1) < -0.15 * highest[:, :-1])
    end = np.where(turns.any(axis=1), turns.argmax(axis=1), steps[-1])
    level = highest[rows, end]
    half = level / 2
    if wood is not None:
        there = np.maximum(wood + np.sign(off[rows, first]) * level, 0.0)
        half = np.abs(np.sqrt((wood**2 + there**2) / 2) - wood)
    at = (rising >= half[:, None]).argmax(axis=1)
    rise = rising[rows, at] - rising[rows, at - 1]
    sharp = past.any(axis=1) & (at > 0) & (rise * 4 * fine >= _SHARP * level)
    back = (rising[rows, at] - half) / np.where(sharp, rise, 1.0)
    return np.where(sharp, at - back, np.nan)
