"""A chain of lines, arcs and cubics, each in the direction in which the one before it ends, brought nearest to a run.

The chain is described by what each piece adds to the one before it, so that it has no corner whatever the numbers are;
least squares of the distances of its places from the run find the numbers, and its end is put exactly where it belongs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import msgspec
import numpy as np

from geometry.intake.dense import at_lengths, turn_between
from geometry.intake.fit_pieces import Kind, Part, Run, direction_at, run_through
from geometry.shape.close import Floats, dot, point_segment
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Segment
from geometry.shape.tolerance import SAME

_STEP = 0.7  # mm between the places of a chain whose distances are made small, about
_HOLD = 100.0  # how much more than a place the end of a chain counts; it is put right exactly afterwards
_MOST_AT_ONCE = 12  # parts of a chain that are fitted at once

SIZES: dict[Kind, int] = {"line": 1, "arc": 2, "cubic": 5}
"""Numbers of a piece. Line: logarithm of its length. Arc: the same and its turn. Cubic: logarithm of its chord, turns
from its first direction to the chord and to its last direction, logarithms of its handles."""

# mm for each factor e by which a handle differs from a third of the chord: settles what the run leaves open.
_FREE_HANDLES = 2e-3


class _Chain(msgspec.Struct, frozen=True, eq=False):
    """What stays the same while a chain is fitted: its start, first direction if given, kinds, places on each piece."""

    start: Floats
    first: float | None
    kinds: tuple[Kind, ...]
    counts: tuple[int, ...]

    def pieces(self, numbers: Floats) -> list[tuple[Kind, Floats]]:
        """The numbers of each piece."""
        found, begin = [], 0 if self.first is not None else 1
        for kind in self.kinds:
            found.append((kind, numbers[begin : begin + SIZES[kind]]))
            begin += SIZES[kind]
        return found

    def heading(self, numbers: Floats) -> float:
        """The first direction."""
        return float(numbers[0]) if self.first is None else self.first


def fitted(run: Run, parts: Sequence[Part], reach: float) -> tuple[Segment, ...]:
    """The segments of the chain of such parts that is nearest to a run, exactly between the run's ends.

    Many parts are fitted a few at a time, between joints that lie on the run in its own direction there.
    """
    if len(parts) <= _MOST_AT_ONCE:
        return _fitted(run, parts, reach)
    middle = len(parts) // 2
    way = parts[middle].start
    angle = direction_at(run, way, min(reach, run.length / 3))
    place = at_lengths(run.points, run.along, np.array([way]))
    before = np.vstack([run.points[run.along < way - SAME], place])
    after = np.vstack([place, run.points[run.along > way + SAME]])
    moved = [Part(part.kind, part.start - way, part.end - way) for part in parts[middle:]]
    return (
        *fitted(run_through(before, run.first, angle), parts[:middle], reach),
        *fitted(run_through(after, angle, run.last, slides=run.slides), moved, reach),
    )


def _fitted(run: Run, parts: Sequence[Part], reach: float) -> tuple[Segment, ...]:
    chain = _Chain(
        run.points[0],
        run.first,
        tuple(part.kind for part in parts),
        tuple(max(8, math.ceil((part.end - part.start) / _STEP)) for part in parts),
    )
    numbers = _closed(chain, _nearest(chain, _led(chain, run, parts, reach), run), run)
    return _segments(chain, numbers, run.points[-1])


def _led(chain: _Chain, run: Run, parts: Sequence[Part], reach: float) -> Floats:
    """A first guess brought near: each place of the chain to that of the run after the same share of its part."""
    from scipy.optimize import least_squares

    ways = [
        part.start + (part.end - part.start) * (np.arange(count) + 1.0) / count
        for part, count in zip(parts, chain.counts, strict=True)
    ]
    wanted = at_lengths(run.points, run.along, np.concatenate(ways))

    def misses(numbers: Floats) -> Floats:
        gaps = (_places(chain, numbers)[0] - wanted).ravel()
        return np.clip(np.nan_to_num(gaps, nan=1e6), -1e6, 1e6)

    def slopes(numbers: Floats) -> Floats:
        return _slopes(misses, numbers)

    guess = _first_guess(run, parts, reach)
    if misses(guess).size < guess.size:
        return guess
    found = least_squares(misses, guess, slopes, method="lm", x_scale="jac", max_nfev=8, xtol=1e-4, ftol=1e-2)
    return np.asarray(found.x)


def _nearest(chain: _Chain, guess: Floats, run: Run) -> Floats:
    """The numbers that make the chain's distances from the run least."""
    from scipy.optimize import least_squares
    from scipy.spatial import cKDTree

    tree = cKDTree(run.points)

    def rest(numbers: Floats, end: Floats, angle: float) -> Floats:
        """What counts beside the distances: the end, and that handles are settled."""
        settled = [
            _FREE_HANDLES * (handle - piece[0] + math.log(3.0))
            for kind, piece in chain.pieces(numbers)
            if kind == "cubic"
            for handle in piece[3:]
        ]
        return np.concatenate([_HOLD * _end_miss(run, end, angle), settled])

    def strays(numbers: Floats) -> Floats:
        places, end, angle = _places(chain, numbers)
        return np.concatenate([_feet(run, tree, places)[0], rest(numbers, end, angle)])

    def slopes(numbers: Floats) -> Floats:
        # The nearest places of the run stay where they are for a small step, so that only the chain is moved.
        across = _feet(run, tree, _places(chain, numbers)[0])[1]

        def moved(tried: Floats) -> Floats:
            places, end, angle = _places(chain, tried)
            return np.concatenate([dot(places, across), rest(tried, end, angle)])

        return _slopes(moved, numbers)

    if len(strays(guess)) < len(guess):
        return guess
    found = least_squares(
        strays, guess, slopes, method="lm", x_scale="jac", max_nfev=25, xtol=1e-7, ftol=1e-4
    )
    return np.asarray(found.x)


def _feet(run: Run, tree: object, places: Floats) -> tuple[Floats, Floats]:
    """Signed distances (k,) in mm of places (k, 2) from the run, positive to its left, and unit ways (k, 2)."""
    places = np.nan_to_num(places, nan=1e6, posinf=1e6, neginf=-1e6)
    _, near = tree.query(places)  # type: ignore[attr-defined]
    last = len(run.points) - 1
    begin = np.clip(np.stack([near - 1, near]), 0, last - 1)
    starts, ends = run.points[begin], run.points[begin + 1]
    distance, feet = point_segment(np.broadcast_to(places, starts.shape), starts, ends)
    best, row = np.argmin(distance, axis=0), np.arange(len(places))
    along, gap = (ends - starts)[best, row], places - feet[best, row]
    side = along[:, 0] * gap[:, 1] - along[:, 1] * gap[:, 0]
    signed: Floats = np.where(side < 0, -1.0, 1.0) * distance[best, row]
    left = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.hypot(*along.T)[:, None]
    # Beside the end of the run, and next to none away, its own direction serves.
    far = np.abs(signed) > 1e-6
    across = np.where(far[:, None], gap / np.where(far, signed, 1.0)[:, None], left)
    return signed, across


def _end_miss(run: Run, end: Floats, angle: float) -> Floats:
    """By how much the end of a chain is missed: in x, in y unless it slides, and in direction where it is given."""
    miss = [*(end - run.points[-1])[: 1 if run.slides else 2]]
    if run.last is not None:
        miss.append(10 * math.sin(angle - run.last))
    return np.array(miss)


def _closed(chain: _Chain, numbers: Floats, run: Run) -> Floats:
    """The numbers changed as little as it takes for the end to be met exactly, by Newton steps."""

    def miss(tried: Floats) -> Floats:
        _, end, angle = _places(chain, tried)
        return _end_miss(run, end, angle)

    for _ in range(8):
        off = miss(numbers)
        if np.abs(off).max() < 1e-11:
            break
        numbers = numbers - np.linalg.lstsq(_slopes(miss, numbers), off, rcond=None)[0]
    return numbers


def _slopes(function: Callable[[Floats], Floats], at: Floats) -> Floats:
    """The derivatives (m, n) of a function by differences."""
    here = function(at)
    return np.stack([(function(at + step) - here) / 1e-7 for step in 1e-7 * np.eye(len(at))], axis=1)


def _places(chain: _Chain, numbers: Floats) -> tuple[Floats, Floats, float]:
    """Places (k, 2) along the chain, where it ends and in which direction."""
    at, angle = chain.start, chain.heading(numbers)
    found = []
    with np.errstate(over="ignore", invalid="ignore"):
        for (kind, piece), count in zip(chain.pieces(numbers), chain.counts, strict=True):
            local, turn = _local(kind, piece, (np.arange(count) + 1.0) / count)
            cosine, sine = math.cos(angle), math.sin(angle)
            places = at + local @ np.array([[cosine, sine], [-sine, cosine]])
            found.append(places)
            at, angle = places[-1], angle + turn
    return np.vstack(found), at, angle


def _local(kind: Kind, piece: Floats, t: Floats) -> tuple[Floats, float]:
    """Places (k, 2) of a piece that starts in the origin along +x, after shares (k,), and how far it turns."""
    size = _size(piece[0])
    if kind == "line":
        return np.stack([size * t, np.zeros_like(t)], axis=1), 0.0
    if kind == "arc":
        half = float(piece[1]) / 2
        # The chord after a share t of the turn 2 a is length * t * sin(a t) / (a t), in the direction a t.
        chord = size * t * np.sinc(half * t / np.pi)
        return np.stack([chord * np.cos(half * t), chord * np.sin(half * t)], axis=1), 2 * half
    leave, arrive, end = _handles(piece)
    s = (1 - t)[:, None]
    t = t[:, None]
    places = 3 * s * s * t * leave + 3 * s * t * t * (end + arrive) + t**3 * end
    return places, float(piece[2])


def _size(logarithm: float) -> float:
    return math.exp(min(20.0, max(-20.0, float(logarithm))))


def _handles(piece: Floats) -> tuple[Floats, Floats, Floats]:
    """Both handles and the end of a cubic that starts in the origin along +x."""
    size, turn, last = _size(piece[0]), float(piece[1]), float(piece[2])
    leave = np.array([_size(piece[3]), 0.0])
    arrive = -_size(piece[4]) * np.array([math.cos(last), math.sin(last)])
    return leave, arrive, size * np.array([math.cos(turn), math.sin(turn)])


# The first guess


def _first_guess(run: Run, parts: Sequence[Part], reach: float) -> Floats:
    """Numbers of a chain through the run's own places at the joints."""
    ways = np.array([part.start for part in parts] + [parts[-1].end])
    joints = at_lengths(run.points, run.along, ways)
    chords = np.diff(joints, axis=0)
    headings = np.arctan2(chords[:, 1], chords[:, 0])
    angles = _joint_angles(run, parts, ways, headings, reach)
    numbers: list[float] = [] if run.first is not None else [angles[0]]
    for number, part in enumerate(parts):
        chord = max(1e-6, float(np.hypot(*chords[number])))
        turn = float(turn_between(angles[number], angles[number + 1]))
        if part.kind == "line":
            numbers += [math.log(chord)]
        elif part.kind == "arc":
            numbers += [math.log(max(1e-6, part.end - part.start)), turn]
        else:
            first = float(turn_between(angles[number], headings[number]))
            numbers += [
                math.log(chord),
                first,
                first + float(turn_between(headings[number], angles[number + 1])),
            ]
            numbers += [math.log(chord / 3)] * 2
    return np.array(numbers)


def _joint_angles(run: Run, parts: Sequence[Part], ways: Floats, headings: Floats, reach: float) -> Floats:
    """Directions (k,) at the joints: of a line beside it, else of the run there."""
    angles = np.array([direction_at(run, float(way), min(reach, run.length / 3)) for way in ways])
    for number, part in enumerate(parts):
        if part.kind == "line":
            angles[number : number + 2] = headings[number]
    if run.first is not None:
        angles[0] = run.first
    if run.last is not None:
        angles[-1] = run.last
    return angles


# The chain as segments


def _segments(chain: _Chain, numbers: Floats, end: Floats) -> tuple[Segment, ...]:
    """The chain as segments, the last of which ends exactly at `end` where that is where the chain ends."""
    at, angle = chain.start, chain.heading(numbers)
    found: list[Segment] = []
    for kind, piece in chain.pieces(numbers):
        local, turn = _local(kind, piece, np.array([1.0]))
        cosine, sine = math.cos(angle), math.sin(angle)
        rotation = np.array([[cosine, sine], [-sine, cosine]])
        following = at + local[0] @ rotation
        start, stop = Point(*map(float, at)), Point(*map(float, following))
        found.append(_segment(kind, piece, start, stop, rotation))
        at, angle = following, angle + turn
    return _ended(found, Point(*map(float, end)))


def _segment(kind: Kind, piece: Floats, start: Point, stop: Point, rotation: Floats) -> Segment:
    if kind == "line":
        return Line(start, stop)
    if kind == "arc":
        return Arc(start, stop, math.tan(float(piece[1]) / 4))
    leave, arrive, _ = _handles(piece)
    return Cubic(start, stop, Vector(*map(float, leave @ rotation)), Vector(*map(float, arrive @ rotation)))


def _ended(segments: list[Segment], end: Point) -> tuple[Segment, ...]:
    """The segments with the dust of rounding taken off the last end."""
    if segments[-1].end.distance(end) <= 1e-9:
        segments[-1] = msgspec.structs.replace(segments[-1], end=end)
    return tuple(segments)
