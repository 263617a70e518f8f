"""The fewest lines, arcs and cubics along a smooth run of a dense contour: a shortest way over possible joints."""

from __future__ import annotations

from typing import Literal

import msgspec
import numpy as np

from geometry.intake.dense import at_lengths, lengths_along, parabola_direction, turn_between
from geometry.shape.close import Flags, Floats

Kind = Literal["line", "arc", "cubic"]

PRICES: dict[Kind, float] = {"line": 1.0, "arc": 1.3, "cubic": 2.2}
"""What a piece costs: about the numbers that describe it. Two lines and an arc are worth more than one cubic."""

# What the square of the worst stray costs, in tolerances: it draws joints to where they belong.
_ERROR_PRICE = 0.4
# rad; how far a line or an arc may leave the contour's own direction at a joint, which is known roughly.
_LINE_TURN, _ARC_TURN = 0.06, 0.2

SAMPLES = 48
MOST_JOINTS = 100
LEAST_STEP = 1.5
"""mm between possible joints."""


class Run(msgspec.Struct, frozen=True, eq=False):
    """A smooth run: its points (n, 2), the ways (n,) along it, and directions at both ends where they are given.

    One that `slides` may end anywhere on the upright line through its last point.
    """

    points: Floats
    along: Floats
    first: float | None = None
    last: float | None = None
    slides: bool = False

    @property
    def length(self) -> float:
        """Length in mm."""
        return float(self.along[-1])


class Part(msgspec.Struct, frozen=True):
    """One piece in a run: its kind, from which way to which in mm."""

    kind: Kind
    start: float
    end: float


class Joints(msgspec.Struct, frozen=True, eq=False):
    """Where pieces of a run may meet, as ways (n + 1,) along it, and how far each piece between two of them strays.

    `strays` has for each joint, by kind, those of pieces from it to every later one, in mm; infinite for those that
    serve nobody.
    """

    ways: Floats
    strays: tuple[dict[Kind, Floats], ...]


def run_through(
    points: Floats, first: float | None = None, last: float | None = None, *, slides: bool = False
) -> Run:
    """The run through points (n, 2)."""
    return Run(points, lengths_along(points), first, last, slides)


def direction_at(run: Run, way: float, reach: float) -> float:
    """The direction in radians of a run after a way, from its points within `reach` mm."""
    if run.first is not None and way <= 0:
        return run.first
    if run.last is not None and way >= run.length:
        return run.last
    ways = np.linspace(max(0.0, way - reach), min(run.length, way + reach), 15)
    return parabola_direction(at_lengths(run.points, run.along, ways), ways, way)


def joints_of(run: Run, tolerances: tuple[float, float], reach: float) -> Joints:
    """The possible joints of a run, for pieces that are to stay within a tolerance between two, in mm.

    `reach` mm to both sides tell the direction at a joint.
    """
    count = int(min(MOST_JOINTS, max(1, round(run.length / LEAST_STEP))))
    ways = np.linspace(0.0, run.length, count + 1)
    angles = np.array([direction_at(run, way, min(reach, run.length / 3)) for way in ways])
    return Joints(ways, tuple(_strays(run, ways, angles, start, tolerances) for start in range(count)))


def fewest_parts(joints: Joints, tolerance: float) -> list[Part]:
    """The cheapest pieces from end to end of a run that stay within `tolerance` mm, one that its joints are for."""
    count = len(joints.strays)
    least, came = np.full(count + 1, np.inf), [(0, "cubic")] * (count + 1)
    least[0] = 0.0
    for start, strays in enumerate(joints.strays):
        for kind, price in _prices(strays, tolerance).items():
            total = least[start] + price
            for end in np.flatnonzero(total < least[start + 1 :]):
                least[start + 1 + end], came[start + 1 + end] = total[end], (start, kind)
    return _parts(joints.ways, came)


def _parts(ways: Floats, came: list[tuple[int, str]]) -> list[Part]:
    parts: list[Part] = []
    end = len(ways) - 1
    while end > 0:
        start, kind = came[end]
        parts.append(Part(kind, float(ways[start]), float(ways[end])))  # type: ignore[arg-type]
        end = start
    return parts[::-1]


def _prices(strays: dict[Kind, Floats], tolerance: float) -> dict[Kind, Floats]:
    """What pieces from one joint to every later one (k,) cost, by kind; infinite where they stray too far."""
    # The next joint can always be reached, so that there always is a way.
    nearest = strays["cubic"].copy()
    nearest[0] = min(nearest[0], tolerance)
    return {
        kind: np.where(stray <= tolerance, PRICES[kind] + _ERROR_PRICE * (stray / tolerance) ** 2, np.inf)
        for kind, stray in {**strays, "cubic": nearest}.items()
    }


def _strays(
    run: Run, ways: Floats, angles: Floats, start: int, tolerances: tuple[float, float]
) -> dict[Kind, Floats]:
    """How far pieces from one joint to every later one (k,) stray, by kind.

    Infinite where a piece turns too far, strays by more than the larger tolerance, or is dearer than another anyway.
    """
    ends = np.arange(start + 1, len(ways))
    shares = np.linspace(0.0, 1.0, SAMPLES)
    wanted = ways[start] + (ways[ends] - ways[start])[:, None] * shares
    places = at_lengths(run.points, run.along, wanted)
    chord = places[:, -1] - places[:, 0]
    length = np.maximum(np.hypot(*chord.T), 1e-9)
    across = chord / length[:, None]
    offset = places - places[:, :1]
    u = offset[..., 0] * across[:, :1] + offset[..., 1] * across[:, 1:]
    v = offset[..., 1] * across[:, :1] - offset[..., 0] * across[:, 1:]
    heading = np.arctan2(across[:, 1], across[:, 0])
    leaving, arriving = turn_between(heading, angles[start]), turn_between(heading, angles[ends])
    # Ends of a run are corners, or have a direction that was given: only there may a piece turn away freely.
    strict = (
        np.full(len(ends), bool(start > 0 or run.first is not None)),
        (ends < len(ways) - 1) | (run.last is not None),
    )
    line = np.abs(v).max(axis=1)
    bad = _turned(leaving, strict[0], _LINE_TURN) | _turned(arriving, strict[1], _LINE_TURN)
    arc, bulge = _arcs(u, v, length)
    half = 2 * np.arctan(bulge)
    off = _turned(leaving + half, strict[0], _ARC_TURN) | _turned(arriving - half, strict[1], _ARC_TURN)
    line, arc, cubic = np.where(bad, np.inf, line), np.where(off, np.inf, arc), np.full(len(ends), np.inf)
    # A line or an arc costs less than any cubic, however far it strays within the tolerance.
    wanted = (np.minimum(line, arc) > min(tolerances)) & ~winds(v, max(tolerances))
    cubic[wanted] = _cubics(*(each[wanted] for each in (u, v, length, leaving, arriving)))
    return {"line": line, "arc": arc, "cubic": cubic}


def _turned(turn: Floats, strict: Flags, most: float) -> Flags:
    return np.asarray((np.abs(turn) > most) & strict)


def winds(v: Floats, tolerance: float) -> Flags:
    """Which samples (k, m), given left of their chords, no cubic from end to end has within a tolerance.

    A line meets a cubic three times at most, and one beside the chord an even number of times: so of what lies
    to one side of the chord, twice beyond such a line by more than the tolerance and once short of it by as much, none
    is near.
    """
    winds = np.zeros(len(v), bool)
    for side in (v, -v):
        before = np.maximum.accumulate(side, axis=1)
        behind = np.maximum.accumulate(side[:, ::-1], axis=1)[:, ::-1]
        beyond = np.minimum(before, behind)
        winds |= ((beyond > tolerance) & (beyond - side > 2 * tolerance)).any(axis=1)
    return winds


def _arcs(u: Floats, v: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Worst strays and bulges (k,) of arcs over chords (k,) through samples (k, m) given along and left of them.

    On the circle with the bulge b over the chord 2 h is b (u^2 + v^2 - h^2) / h = v (1 - b^2), u from the middle.
    """
    half = length[:, None] / 2
    middle = u - half
    power = (middle**2 + v**2 - half**2) / half
    slope = (v * power).sum(axis=1) / np.maximum((power**2).sum(axis=1), 1e-12)
    bulge = np.where(
        np.abs(slope) < 1e-9, slope, (np.sqrt(1 + 4 * slope**2) - 1) / np.where(slope, 2 * slope, 1)
    )
    grown = (1 + bulge**2)[:, None]
    curvature, cosine = 2 * bulge[:, None] / (grown * half), (1 - bulge[:, None] ** 2) / grown
    reach = np.hypot(curvature * middle, cosine - curvature * v)
    stray = (curvature * (middle**2 + v**2 - half**2) - 2 * v * cosine) / (1 + reach)
    return np.abs(stray).max(axis=1), bulge


def _cubics(u: Floats, v: Floats, length: Floats, leaving: Floats, arriving: Floats) -> Floats:
    """Worst strays (k,) of cubics with both ends and directions given, as P. J. Schneider fits them.

    (An Algorithm for Automatically Fitting Digitized Curves, Graphics Gems, 1990): the lengths of the handles by
    least squares, then the parameters of the samples moved to their feet, and so on.
    """
    t = np.broadcast_to(np.linspace(0.0, 1.0, u.shape[1]), u.shape).copy()
    out = np.stack([np.cos(leaving), np.sin(leaving)], axis=-1)
    back = -np.stack([np.cos(arriving), np.sin(arriving)], axis=-1)
    stray = np.full(len(length), np.inf)
    for _ in range(4):
        a, b = _handles(u, v, t, length, out, back)
        misses = _misses(u, v, t, length, out * a[:, None], back * b[:, None])
        worst = np.hypot(misses[0], misses[1]).max(axis=1)
        stray = np.minimum(stray, np.where((a > 0) & (b > 0), worst, np.inf))
        t = np.clip(t - misses[2], 0.0, 1.0)
    return stray


def _handles(
    u: Floats, v: Floats, t: Floats, length: Floats, out: Floats, back: Floats
) -> tuple[Floats, Floats]:
    """Lengths (k,) of the handles that bring cubics nearest to samples (k, m) at parameters (k, m)."""
    s = 1 - t
    leave, arrive = 3 * s * s * t, 3 * s * t * t
    rest_u, rest_v = u - length[:, None] * t * t * (3 - 2 * t), v
    aligned = (out * back).sum(axis=1)
    ll, aa = (leave**2).sum(axis=1), (arrive**2).sum(axis=1)
    la = (leave * arrive).sum(axis=1) * aligned
    x = (leave * (rest_u * out[:, :1] + rest_v * out[:, 1:])).sum(axis=1)
    y = (arrive * (rest_u * back[:, :1] + rest_v * back[:, 1:])).sum(axis=1)
    determinant = ll * aa - la * la
    safe = np.where(determinant > 1e-9, determinant, 1.0)
    a, b = (x * aa - y * la) / safe, (y * ll - x * la) / safe
    most = 2 * length
    return np.clip(a, 0.0, most), np.clip(b, 0.0, most)


def _misses(
    u: Floats, v: Floats, t: Floats, length: Floats, leave: Floats, arrive: Floats
) -> tuple[Floats, Floats, Floats]:
    """How far cubics at parameters (k, m) are from samples in u and v, and the Newton step to the feet."""
    s = 1 - t
    chord = length[:, None]

    def value(way: Floats, out: Floats, back: Floats) -> tuple[Floats, Floats]:
        place = way * t * t * (3 - 2 * t) + out * 3 * s * s * t + back * 3 * s * t * t
        speed = way * 6 * s * t + out * 3 * s * (s - 2 * t) + back * 3 * t * (2 * s - t)
        return place, speed

    x, dx = value(chord, leave[:, :1], arrive[:, :1])
    y, dy = value(np.zeros_like(chord), leave[:, 1:], arrive[:, 1:])
    step = ((x - u) * dx + (y - v) * dy) / np.maximum(dx**2 + dy**2, 1e-9)
    return x - u, y - v, step
