"""Cubics as arcs: pairs of arcs that keep the directions of the curve, halved until they are near enough."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from math import hypot, sqrt

import msgspec
from msgspec.structs import replace

from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Piece
from geometry.shape.tolerance import SAME

# An arc with a smaller bulge is drawn as a line; its direction changes by less than 4e-7 rad.
_LINE_BULGE = 1e-7
_BULGE_MOST = 0.42  # arcs of a pair turn at most a quarter, so that a curve and its arcs run side by side

_SAMPLES = tuple(
    (t * t * (3 - 2 * t), 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t)
    for t in (step / 16 for step in (8, 4, 12, 2, 14, 6, 10, 1, 3, 5, 7, 9, 11, 13, 15))
)
"""Shares of chord, leaving and arriving handle in places of a cubic; first those that stray soonest."""


@lru_cache(maxsize=512)
def cubic_to_arcs(cubic: Cubic, tolerance: float) -> tuple[Piece, ...]:
    """Arcs and lines that follow a cubic within `tolerance` mm, in the same directions where they join.

    A cusp, or a loop smaller than the tolerance, keeps its corner. A cubic that is one point gives nothing.
    The mirrored cubic gives the mirrored pieces to the last bit.
    """
    assert tolerance >= SAME, "arcs cannot be nearer than what counts as the same"
    return tuple(without_specks(_halved(cubic, tolerance)))


def as_arcs(contour: Contour, tolerance: float) -> Contour:
    """The contour with every cubic as arcs within `tolerance` mm; lines and arcs stay as they are.

    Pieces shorter than SAME are dropped; a contour that is only one point becomes one line without length.
    """
    return arcs_and_origins(contour, tolerance)[0]


def arcs_and_origins(contour: Contour, tolerance: float) -> tuple[Contour, tuple[int, ...]]:
    """The same with the number of the segment that each piece follows."""
    pieces: list[Piece] = []
    origins: list[int] = []
    for number, segment in enumerate(contour.segments):
        pieces += cubic_to_arcs(segment, tolerance) if isinstance(segment, Cubic) else (segment,)
        origins += [number] * (len(pieces) - len(origins))
    joined = list(_joined(pieces))
    kept = [piece for _, piece in joined] or [Line(contour.start, contour.start)]
    if contour.closed and kept[-1].end != kept[0].start:
        kept[-1] = replace(kept[-1], end=kept[0].start)
    return Contour(tuple(kept), contour.closed), tuple(origins[place] for place, _ in joined) or (0,)


def without_specks(pieces: Iterable[Piece]) -> list[Piece]:
    """The pieces without those shorter than SAME; each starts exactly where the one before it ends."""
    return [piece for _, piece in _joined(pieces)]


def _joined(pieces: Iterable[Piece]) -> Iterator[tuple[int, Piece]]:
    """The same, with the place that each had among all pieces."""
    start: Point | None = None
    for number, piece in enumerate(pieces):
        joined = piece if start is None or start == piece.start else replace(piece, start=start)
        if joined.length <= SAME:
            start = joined.start
            continue
        yield number, joined
        start = joined.end


class _Pair(msgspec.Struct, frozen=True, gc=False):
    """Two arcs that share `joint` and the direction `through` there; curvatures in 1/mm."""

    joint: Point
    through: Vector
    leaving: Vector
    arriving: Vector
    bulges: tuple[float, float]
    curvatures: tuple[float, float]


def _halved(cubic: Cubic, tolerance: float) -> list[Piece]:
    """The pairs of arcs of a cubic in order, halving it where one pair strays too far."""
    size = cubic.start.distance(cubic.end) + 2 * (cubic.leave.length + cubic.arrive.length)
    if size <= tolerance / 4:
        return [Line(cubic.start, cubic.end)]
    pair = _pair(cubic)
    # The samples may miss the worst place by a little.
    if pair and _stays_near(cubic, pair, 0.95 * tolerance):
        first, second = pair.bulges
        return [_piece(cubic.start, pair.joint, first), _piece(pair.joint, cubic.end, second)]
    before, after = cubic.split(0.5)
    return _halved(before, tolerance) + _halved(after, tolerance)


def _pair(cubic: Cubic) -> _Pair | None:
    """Two arcs from end to end of a cubic in its directions there; none when they would turn far.

    Both tangents get the same length d, so that 2 d^2 (1 - s.t) + 2 d c.(s + t) = c.c with the directions
    s, t at the ends and the chord c (Bolton, Biarc curves, Computer-Aided Design 7, 1975).
    """
    chord, leaving, arriving = cubic.end - cubic.start, cubic.tangent_at(0.0), cubic.tangent_at(1.0)
    square = chord.dot(chord)
    along, opening = chord.dot(leaving + arriving), 2 * (1 - leaving.dot(arriving))
    divisor = along + sqrt(along * along + opening * square)
    if divisor <= 1e-6 * sqrt(square):
        return None
    reach = square / divisor
    joint = cubic.start.toward(cubic.end, 0.5) + (leaving - arriving) * (reach / 2)
    first, second = joint - cubic.start, cubic.end - joint
    lengths = first.length, second.length
    if min(lengths) <= SAME:
        return None
    bulges = _bulge(leaving, first, lengths[0]), -_bulge(arriving, second, lengths[1])
    if max(abs(bulges[0]), abs(bulges[1])) > _BULGE_MOST:
        return None
    curvatures = (_curvature(bulges[0], lengths[0]), _curvature(bulges[1], lengths[1]))
    return _Pair(joint, chord - (leaving + arriving) * reach, leaving, arriving, bulges, curvatures)


def _bulge(direction: Vector, way: Vector, length: float) -> float:
    """The tangent of half the angle from a unit direction to a way; large when the way leads back."""
    forward = length + direction.dot(way)
    return direction.cross(way) / forward if forward > 1e-3 * length else 1e3


def _curvature(bulge: float, chord: float) -> float:
    """The signed curvature in 1/mm of an arc."""
    return 4 * bulge / ((1 + bulge * bulge) * chord)


def _piece(start: Point, end: Point, bulge: float) -> Piece:
    """The arc, or the line when it is as good as straight."""
    return Line(start, end) if abs(bulge) < _LINE_BULGE else Arc(start, end, bulge)


def _stays_near(cubic: Cubic, pair: _Pair, tolerance: float) -> bool:
    """Whether places all along the cubic lie within `tolerance` mm of the pair of arcs.

    Plain numbers, because this is asked for every half of every cubic while a node is dragged.
    """
    chord, leave, arrive = cubic.end - cubic.start, cubic.leave, cubic.arrive
    chord_x, chord_y, leave_x, leave_y, arrive_x, arrive_y = (
        chord.x, chord.y, leave.x, leave.y, arrive.x, arrive.y,
    )  # fmt: skip
    out_x, out_y, in_x, in_y = pair.leaving.x, pair.leaving.y, pair.arriving.x, pair.arriving.y
    joint_x, joint_y = pair.joint.x - cubic.start.x, pair.joint.y - cubic.start.y
    through_x, through_y = pair.through.x, pair.through.y
    first, second = pair.curvatures
    for share, of_leave, of_arrive in _SAMPLES:
        x = chord_x * share + leave_x * of_leave + arrive_x * of_arrive
        y = chord_y * share + leave_y * of_leave + arrive_y * of_arrive
        back_x, back_y = x - chord_x, y - chord_y
        if x * out_x + y * out_y < -tolerance or back_x * in_x + back_y * in_y > tolerance:
            return False
        if (x - joint_x) * through_x + (y - joint_y) * through_y < 0:
            stray = _stray(x, y, out_x, out_y, first)
        else:
            stray = _stray(back_x, back_y, in_x, in_y, second)
        if abs(stray) > tolerance:
            return False
    return True


def _stray(x: float, y: float, along_x: float, along_y: float, curvature: float) -> float:
    """Signed distance in mm of a place to the circle through the origin with a unit direction there."""
    reach = hypot(curvature * x + along_y, curvature * y - along_x)
    return (curvature * (x * x + y * y) - 2 * (along_x * y - along_y * x)) / (1 + reach)
