"""Cubics as arcs: pairs of arcs that keep the directions of the curve, halved until they are near enough."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from math import sqrt

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
    found: list[tuple[complex, complex, float]] = []
    start, end, leave, arrive = (
        complex(each.x, each.y) for each in (cubic.start, cubic.end, cubic.leave, cubic.arrive)
    )
    _halve(found, start, end, leave, arrive, tolerance)
    return tuple(without_specks(_piece(*each) for each in found))


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
        # An arc is never shorter than its chord.
        if joined.start.distance(joined.end) <= SAME and joined.length <= SAME:
            start = joined.start
            continue
        yield number, joined
        start = joined.end


# Places and directions are complex numbers from here on: this is asked for every half of every cubic while a node is
# dragged, and conj(a) b is the scalar product of a and b with the area they span.


def _halve(
    found: list[tuple[complex, complex, float]],
    start: complex,
    end: complex,
    leave: complex,
    arrive: complex,
    tolerance: float,
) -> None:
    """Add the arcs of a cubic in order, halving it where one pair strays too far: start, end and bulge."""
    chord = end - start
    if abs(chord) + 2 * (abs(leave) + abs(arrive)) <= tolerance / 4:
        found.append((start, end, 0.0))
        return
    # The samples may miss the worst place by a little.
    pair = _pair(chord, leave, arrive, 0.95 * tolerance)
    if pair:
        joint, first, second = start + pair[0], *pair[1:]
        found += [(start, joint, first), (joint, end, second)]
        return
    middle = start + (chord / 2 + (leave + arrive) * 0.375)
    step = (chord + arrive - leave) / 2 + (leave - arrive) / 4
    _halve(found, start, middle, leave / 2, step / -2, tolerance)
    _halve(found, middle, end, step / 2, arrive / 2, tolerance)


def _pair(
    chord: complex, leave: complex, arrive: complex, tolerance: float
) -> tuple[complex, float, float] | None:
    """Joint and bulges of two arcs from end to end of a cubic in its directions there.

    None when they would turn far, or the cubic strays from them. Both tangents get the same length d, so that
    2 d^2 (1 - s.t) + 2 d c.(s + t) = c.c with the directions s, t at the ends and the chord c (Bolton, Biarc curves,
    Computer-Aided Design 7, 1975).
    """
    leaving, arriving = _directions(chord, leave, arrive)
    both = leaving + arriving
    square, along = _dot(chord, chord), _dot(chord, both)
    # Directions that are alike may have a product a little over 1.
    divisor = along + sqrt(along * along + 2 * max(0.0, 1 - _dot(leaving, arriving)) * square)
    if divisor <= 1e-6 * sqrt(square):
        return None
    reach = square / divisor
    joint = chord / 2 + (leaving - arriving) * (reach / 2)
    rest = chord - joint
    length, other = abs(joint), abs(rest)
    if min(length, other) <= SAME:
        return None
    first, second = _bulge(leaving, joint, length), -_bulge(arriving, rest, other)
    if max(abs(first), abs(second)) > _BULGE_MOST:
        return None
    bends = _curvature(first, length), _curvature(second, other)
    through = (chord - both * reach).conjugate()
    out, back = leaving.conjugate(), arriving.conjugate()
    for share, of_leave, of_arrive in _SAMPLES:
        place = chord * share + leave * of_leave + arrive * of_arrive
        ahead, behind = out * place, back * (place - chord)
        if ahead.real < -tolerance or behind.real > tolerance:
            return None
        before = (through * (place - joint)).real < 0
        if abs(_stray(ahead, bends[0]) if before else _stray(behind, bends[1])) > tolerance:
            return None
    return joint, first, second


def _directions(chord: complex, leave: complex, arrive: complex) -> tuple[complex, complex]:
    """The unit directions in which a cubic leaves and arrives."""
    least = 1e-9 * (abs(chord) + abs(leave) + abs(arrive))
    if abs(leave) > least and abs(arrive) > least:
        return leave / abs(leave), -arrive / abs(arrive)
    ends = (Vector(each.real, each.imag) for each in (leave, arrive))
    cubic = Cubic(Point(0.0, 0.0), Point(chord.real, chord.imag), *ends)
    tangents = cubic.tangent_at(0.0), cubic.tangent_at(1.0)
    return complex(tangents[0].x, tangents[0].y), complex(tangents[1].x, tangents[1].y)


def _dot(a: complex, b: complex) -> float:
    return a.real * b.real + a.imag * b.imag


def _bulge(direction: complex, way: complex, length: float) -> float:
    """The tangent of half the angle from a unit direction to a way; large when the way leads back."""
    turn = direction.conjugate() * way
    forward = length + turn.real
    return turn.imag / forward if forward > 1e-3 * length else 1e3


def _curvature(bulge: float, chord: float) -> float:
    """The signed curvature in 1/mm of an arc."""
    return 4 * bulge / ((1 + bulge * bulge) * chord)


def _stray(place: complex, curvature: float) -> float:
    """Signed distance in mm of a place to the circle through the origin that runs along x there."""
    reach = abs(curvature * place - 1j)
    return (curvature * _dot(place, place) - 2 * place.imag) / (1 + reach)


def _piece(start: complex, end: complex, bulge: float) -> Piece:
    """The arc, or the line when it is as good as straight."""
    one, two = Point(start.real, start.imag), Point(end.real, end.imag)
    return Line(one, two) if abs(bulge) < _LINE_BULGE else Arc(one, two, bulge)
