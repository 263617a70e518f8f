"""From a dense contour of a head to an outline of few nodes: corners, between them smooth lines, arcs and cubics."""

from __future__ import annotations

import math
from itertools import pairwise

import msgspec
import numpy as np
import shapely
from msgspec.structs import replace

from geometry.intake.dense import (
    at_lengths,
    dense,
    distinct,
    even,
    evened,
    lengths_along,
    scatter,
    slopes,
    smoothed,
    turn_between,
)
from geometry.intake.fit_chain import fitted
from geometry.intake.fit_pieces import Part, Run, fewest_parts, joints_of, run_through
from geometry.shape.biarc import as_arcs
from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.pieces import flattened, pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Segment
from geometry.shape.tolerance import ARCS, CHORD, SAME

TOLERANCE = 0.2
"""mm; how far an outline may stray from the contour that it is fitted to, by default: a fine pencil line."""

# Shares of the tolerance that pieces are looked for with, in turn, until the whole keeps it.
_STRICTER = (0.9, 0.6, 0.35)
_ROUGH_SHARE = 0.98  # share of the points of a contour that wavers which must lie within the tolerance
# Times as many pieces as at first are not worth a fit within the tolerance: it is noise that they follow.
_MOST_MORE = 4
# A tip that meets the centre line nearer to square than this runs smoothly over it.
_SMOOTH_TIP = math.radians(6)


class Fit(msgspec.Struct, frozen=True):
    """An outline and how it fits: median and largest distance in mm of the contour's points from it, and where.

    `contour` is open and runs from the right end of the nut line round the tip to the left end. `scatter` is how far
    the points of the contour waver about their own course, in mm.
    """

    contour: Contour
    median: float
    largest: float
    where: Point
    scatter: float


def fit_outline(points: Floats, tolerance: float = TOLERANCE, *, symmetric: bool = False) -> Fit:
    """The outline of few nodes within `tolerance` mm of a dense contour (n, 2) in head mm.

    The contour is open: from the right end of the nut line round the tip to the left end (`cut_at_nut` opens a closed
    one). Corners stay corners, between them the outline is smooth. Where the points waver by more than a quarter of the
    tolerance, four times that is kept instead: noise is not followed. `symmetric` makes the outline the mean of both
    halves, its own mirror image in the centre line. Raises a ValueError for a contour that is no curve, or that does
    not cross the centre line where halves are asked for.
    """
    points = distinct(np.asarray(points, float))
    if len(points) < 3 or not np.isfinite(points).all():
        message = "The contour has no length."
        raise ValueError(message)
    wavers = scatter(points)
    kept = max(tolerance, 4 * wavers)
    if symmetric:
        half = _fit_edge(dense(evened(points)), kept, wavers, to_centre_line=True)
        contour = _both_halves(half)
    else:
        contour = Contour(_fit_edge(dense(points), kept, wavers))
    return measured(contour, points, wavers)


def measured(contour: Contour, points: Floats, wavers: float = 0.0) -> Fit:
    """How an outline fits a dense contour (n, 2)."""
    distance = strays(contour, dense(points))
    worst = dense(points)[int(np.argmax(distance))]
    at = Point(float(worst[0]), float(worst[1]))
    return Fit(contour, float(np.median(distance)), float(distance.max()), at, wavers)


def strays(contour: Contour, points: Floats) -> Floats:
    """Distances (n,) in mm of points (n, 2) from a contour."""
    line = shapely.LineString(flattened(pieces_of(as_arcs(contour, ARCS)), CHORD))
    shapely.prepare(line)
    return np.asarray(shapely.distance(line, shapely.points(points)))


def _fit_edge(
    points: Floats, tolerance: float, wavers: float, *, to_centre_line: bool = False
) -> tuple[Segment, ...]:
    """The segments along a dense contour; one that ends on the centre line may run smoothly over it."""
    along = lengths_along(points)
    ways = corners(points, tolerance, wavers)
    if wavers < tolerance / 10:
        ways = to_vertices(points, ways, tolerance)
    cuts = np.concatenate([[0.0], ways, [along[-1]]])
    cuts = cuts[np.concatenate([[True], np.diff(cuts) > SAME])]
    segments: list[Segment] = []
    for start, end in pairwise(cuts):
        inside = points[(along > start + SAME) & (along < end - SAME)]
        ends = at_lengths(points, along, np.array([start, end]))
        piece = np.vstack([ends[:1], inside, ends[1:]])
        smooth = to_centre_line and bool(end == along[-1]) and _smooth_at_tip(piece)
        run = run_through(piece, last=math.pi if smooth else None, slides=smooth)
        segments += _fit_run(run, tolerance, wavers)
    return tuple(segments)


def _smooth_at_tip(points: Floats) -> bool:
    """Whether a half contour meets the centre line square."""
    along = lengths_along(points)
    near = points[along > along[-1] - 3.0]
    chord = near[-1] - near[0]
    if len(near) < 2 or not np.hypot(*chord) > 1.0:
        return False
    # A round tip has turned by half of what it turns over this stretch.
    first = near[len(near) // 2] - near[0]
    last = near[-1] - near[len(near) // 2]
    onward = math.atan2(last[1], last[0]) + 0.5 * _turn(first, last)
    return abs(math.remainder(onward - math.pi, math.tau)) <= _SMOOTH_TIP


def _turn(first: Floats, last: Floats) -> float:
    return math.atan2(first[0] * last[1] - first[1] * last[0], first[0] * last[0] + first[1] * last[1])


def _fit_run(run: Run, tolerance: float, wavers: float) -> tuple[Segment, ...]:
    """The segments along a smooth run: the first that keep the tolerance, else those that stray least."""
    reach = max(0.75, 10 * wavers)
    rough = wavers > tolerance / 10
    course = run_through(smoothed(run.points, 2 * reach), run.first, run.last) if rough else run
    best: tuple[Segment, ...] = ()
    least = math.inf
    tried: list[list[Part]] = []
    joints = joints_of(course, (_STRICTER[-1] * tolerance, _STRICTER[0] * tolerance), reach)
    for share in _STRICTER:
        parts = fewest_parts(joints, share * tolerance)
        if parts in tried:
            continue
        if tried and len(parts) > _MOST_MORE * len(tried[0]):
            break
        tried.append(parts)
        segments = fitted(run, parts, reach)
        stray = _stray(segments, run, rough=rough)
        if stray < least:
            best, least = segments, stray
        if least <= tolerance:
            return _straightened(run, parts, segments, tolerance, reach, rough=rough)
    return best


def _stray(segments: tuple[Segment, ...], run: Run, *, rough: bool) -> float:
    """How far the points of a run are from its segments, but for a few of points that waver."""
    distance = strays(Contour(segments), run.points)
    return float(np.quantile(distance, _ROUGH_SHARE) if rough else distance.max())


def _straightened(
    run: Run, parts: list[Part], segments: tuple[Segment, ...], tolerance: float, reach: float, *, rough: bool
) -> tuple[Segment, ...]:
    """The segments with lines for arcs that hardly bend, where that keeps the tolerance as well."""
    flat = [isinstance(each, Arc) and _height(each) < tolerance / 2 for each in segments]
    if not any(flat):
        return segments
    plainer = [
        replace(part, kind="line") if straight else part for part, straight in zip(parts, flat, strict=True)
    ]
    fit = fitted(run, plainer, reach)
    return fit if _stray(fit, run, rough=rough) <= tolerance else segments


def _height(arc: Arc) -> float:
    """How far the middle of an arc is from its chord, in mm."""
    return abs(arc.bulge) * arc.start.distance(arc.end) / 2


def _both_halves(half: tuple[Segment, ...]) -> Contour:
    """The half from the nut to the tip and its mirror image; what runs straight over the tip stays one segment."""
    mirrored = [segment.mirrored().reversed() for segment in reversed(half)]
    last = half[-1]
    square = abs(last.tangent_at(1.0).y) <= SAME
    if square and isinstance(last, Arc):
        whole: Segment = Arc(last.start, last.start.mirrored, math.tan(2 * math.atan(last.bulge)))
    elif square and not hasattr(last, "leave"):
        whole = replace(last, end=last.start.mirrored)
    else:
        return Contour((*half, *mirrored))
    return Contour((*half[:-1], whole, *mirrored[1:]))


# Corners: the direction turns at a place, and straight sides meet in it


_STEPS = 8  # steps of the window over which a turn is looked at
# A smaller turn is no corner: within the tolerance it is a bend like any other.
_LEAST_TURN = math.radians(10)


def corners(points: Floats, tolerance: float, scatter: float) -> Floats:
    """Ways (k,) in mm along a dense contour (n, 2) to its corners, in order, the ends not among them.

    A window is five tolerances long: a rounding that lies within the tolerance of a corner fits in it, so that what
    turns less sharply is a curve. `scatter` is how far the points waver, in mm.
    """
    window = max(5 * tolerance, 20 * scatter)
    places = even(points, window / _STEPS)
    step = lengths_along(points)[-1] / max(1, len(places) - 1)
    if len(places) <= 2 * _STEPS:
        return np.empty(0)
    arriving, leaving = slopes(places, _STEPS)
    turn = turn_between(arriving, leaving)
    found = _peaks(np.abs(np.nan_to_num(turn)), max(_LEAST_TURN, 5 * _waver(turn)))
    line = shapely.LineString(points)
    shapely.prepare(line)
    ways = [_way(places, number, line, tolerance) for number in found if _is_sharp(places, turn, number)]
    along = np.array([way for way in ways if way is not None])
    return along[(along > step) & (along < lengths_along(points)[-1] - step)] if len(along) else along


def _waver(turn: Floats) -> float:
    """The standard deviation of turns (k,) in radians that noise makes: from how windows side by side differ."""
    change = np.abs(turn[_STEPS:] - turn[:-_STEPS])
    return float(1.4826 * np.nanmedian(change)) / math.sqrt(2) if np.isfinite(change).any() else 0.0


def _is_sharp(places: Floats, turn: Floats, number: int) -> bool:
    """Whether a place turns by more than the bend of its sides explains, as they run two windows before and after."""
    first, last = number - 3 * _STEPS, number + 3 * _STEPS
    if first < 0 or last >= len(places):
        return True
    before, after = places[first : number - _STEPS + 1], places[number + _STEPS : last + 1]
    ways = [piece[-1] - piece[0] for piece in (before, after)]
    outer = turn_between(*(np.arctan2(way[1], way[0]) for way in ways))
    # The middles of the outer stretches are four windows apart, those of the inner ones one.
    bend = (outer - turn[number]) / 3
    return bool(abs(turn[number] - bend) > max(_LEAST_TURN, abs(turn[number]) / 2))


def _peaks(turn: Floats, least: float) -> list[int]:
    """Places that turn more than `least` and more than all within a window."""
    found: list[int] = []
    for number in np.flatnonzero(turn > least):
        around = turn[max(0, number - _STEPS) : number + _STEPS + 1]
        if turn[number] == around.max() and not (found and number - found[-1] <= _STEPS):
            found.append(int(number))
    return found


def _way(places: Floats, number: int, line: shapely.LineString, tolerance: float) -> float | None:
    """The way along the contour to where the sides beside a place meet; None where that is not on the contour."""
    before = places[max(0, number - 3 * _STEPS // 2) : number - _STEPS // 4 + 1]
    after = places[number + _STEPS // 4 : number + 3 * _STEPS // 2 + 1]
    meeting = _meeting(before, after)
    if meeting is None or line.distance(shapely.Point(*meeting)) > 0.6 * tolerance:
        return None
    if np.hypot(*(meeting - places[number])) > 8 * tolerance:
        return None
    return float(line.project(shapely.Point(*meeting)))


def _meeting(before: Floats, after: Floats) -> Floats | None:
    """Where straight fits of two runs of places meet; None where they are next to parallel."""
    (one, along), (two, other) = _straight(before), _straight(after)
    turn = along[0] * other[1] - along[1] * other[0]
    if abs(turn) < math.sin(_LEAST_TURN) / 2:
        return None
    apart = two - one
    return np.asarray(one + along * ((apart[0] * other[1] - apart[1] * other[0]) / turn))


def _straight(places: Floats) -> tuple[Floats, Floats]:
    """Middle and direction of the straight line nearest to places (n, 2)."""
    middle = places.mean(axis=0)
    direction: Floats = np.linalg.svd(places - middle, full_matrices=False)[2][0]
    return middle, direction


def to_vertices(points: Floats, ways: Floats, reach: float) -> Floats:
    """The ways (k,) moved to the sharpest point of the contour (n, 2) within `reach` mm: there it was drawn."""
    along = lengths_along(points)
    angles = np.arctan2(*np.diff(points, axis=0).T[::-1])
    turn = np.concatenate([[0.0], np.abs(turn_between(angles[:-1], angles[1:])), [0.0]])
    moved = []
    for way in ways:
        near = np.flatnonzero(np.abs(along - way) <= reach)
        best = near[np.argmax(turn[near])] if len(near) else None
        moved.append(along[best] if best is not None and turn[best] > _LEAST_TURN / 2 else way)
    return np.array(moved)
