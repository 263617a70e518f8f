"""The pieces of the edge that no picture shows and that are drawn by guess: where, how long, why."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import msgspec
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.dense import lengths_along
from geometry.intake.face_edge import Face, guessed
from geometry.intake.silhouette import STEP, Silhouette
from geometry.shape.close import Floats
from geometry.trade.sentence import Note, Sentence

_TOLD = 2.5  # mm of edge; a shorter piece that is not seen lies within what is said of its neighbours

BEHIND = 0.25
"""Share of a piece at the nut that counts where the head hides it: its end is off by 0.3 mm in 6 mm, one standard
deviation, on 17 made-up photos; where shine hides it, by a fifth of its length."""

_ONE_PIECE = 1.5  # mm that is seen between two pieces of one
_AT_NUT = 2.5  # mm from an end of the edge within which the end of the nut is told by it


class Guessed(msgspec.Struct, frozen=True, eq=False):
    """A piece of the edge that is drawn by guess: its `ends` (2, 2), `long` in mm, and whether the head hides it."""

    ends: Floats
    long: float
    behind: bool


class EdgeSeen(msgspec.Struct, frozen=True, eq=False):
    """Which places (n,) of an open edge are seen, and the pieces that are not.

    `long` is the length of the whole edge in mm, `guessed` that of all pieces, `at_nut` that of the longest piece at an
    end of the nut, 0 where both are seen; a piece that the head itself hides counts as BEHIND of it.
    """

    seen: npt.NDArray[np.bool_]
    pieces: tuple[Guessed, ...]
    long: float
    guessed: float
    at_nut: float


def shone_at_nut(edge: Floats, silhouette: Silhouette, face: Face) -> npt.NDArray[np.bool_]:
    """Which places (n,) of an open edge belong to a piece at an end of the nut that shine or shadow hides.

    The border of a shine that lies there goes into the head.
    """
    along = lengths_along(edge)
    at_end = np.zeros(len(edge), bool)
    for first, last in _runs(along, ~shown(edge, silhouette, face)):
        begins, ends = along[first] < _AT_NUT, along[-1] - along[last] < _AT_NUT
        if begins != ends:
            at_end[0 if begins else first : len(edge) if ends else last + 1] = True
    return at_end


def edge_seen(
    edge: Floats, silhouette: Silhouette, face: Face, behind: Sequence[Floats], shone: Sequence[Floats] = ()
) -> EdgeSeen:
    """What is seen of an open edge (n, 2) of a face, `behind` being the ends (2, 2) of what the head itself hides.

    `shone` are those of what is drawn on at the nut over shine or shadow.
    """
    along = lengths_along(edge)
    pieces = [_piece(edge, along, _nearest(edge, ends), behind=True) for ends in behind]
    hidden = ~shown(edge, silhouette, face)
    for ends in shone:
        first, last = _nearest(edge, ends)
        pieces.append(_piece(edge, along, (first, last), behind=False))
        hidden[first : last + 1] = False
    pieces += [_piece(edge, along, run, behind=False) for run in _runs(along, hidden)]
    pieces = [piece for piece in pieces if piece.long > _TOLD]
    seen = np.ones(len(edge), bool)
    for piece in pieces:
        first, last = _nearest(edge, piece.ends)
        seen[first : last + 1] = False
    at_nut = [piece.long * (BEHIND if piece.behind else 1.0) for piece in pieces if _ends_at_nut(piece, edge)]
    guessed = float(np.diff(along)[~seen[1:] & ~seen[:-1]].sum())
    return EdgeSeen(seen, tuple(pieces), float(along[-1]), guessed, max(at_nut, default=0.0))


def _ends_at_nut(piece: Guessed, edge: Floats) -> bool:
    away = np.hypot(*(piece.ends[:, None] - edge[[0, -1]]).transpose(2, 0, 1))
    return bool(away.min() < _AT_NUT)


def shown(edge: Floats, silhouette: Silhouette, face: Face) -> npt.NDArray[np.bool_]:
    """Which places (n,) of the edge come from such of the silhouette as are seen, on either of its planes."""
    from scipy.spatial import cKDTree

    places = silhouette.places
    either = places if face.lifted is None else np.vstack([places, face.lifted.passed(places)])
    nearest = cKDTree(either).query(edge)[1] % len(places)
    return np.asarray(silhouette.seen[nearest], bool)


def _runs(along: Floats, hidden: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """The first and last place of each piece of what is hidden."""
    numbers = np.flatnonzero(hidden)
    if not len(numbers):
        return []
    runs = np.split(numbers, np.flatnonzero(np.diff(along[numbers]) > _ONE_PIECE) + 1)
    return [(int(run[0]), int(run[-1])) for run in runs]


def _piece(edge: Floats, along: Floats, run: tuple[int, int], *, behind: bool) -> Guessed:
    """A piece from the last place before that is seen to the first one after."""
    first, last = max(run[0] - 1, 0), min(run[1] + 1, len(edge) - 1)
    return Guessed(edge[[first, last]], float(along[last] - along[first]), behind)


def _nearest(edge: Floats, ends: Floats) -> tuple[int, int]:
    near = [int(np.hypot(*(edge - end).T).argmin()) for end in ends]
    return min(near), max(near)


def say_guessed(pieces: Sequence[Guessed], shift: Floats, printed: float) -> Iterator[Note]:
    """A sentence on each piece, its places in the head's own frame to a millimetre."""
    for piece in pieces:
        ends = np.round((piece.ends - shift) * printed).ravel()
        yield Sentence(
            _BEHIND if piece.behind else _SHINE,
            (*(float(each) for each in ends), float(round(piece.long * printed))),
        )


_WHERE = "over {4} between x {0}, y {1} and x {2}, y {3}"
_CHECK = "It is drawn there by guess and may be far off: check it against the head."
_SHINE = f"The edge is not seen {_WHERE}: shine or shadow hides it. {_CHECK}"
_BEHIND = f"The head hides its own edge {_WHERE}. {_CHECK} A camera higher up sees more."


# An end of the nut from the side of the neck below it, drawn on to the nut line. The sides of a neck are straight
# there. They may lie higher or lower than the face, as a fingerboard does, and are then seen as if they were further
# from the foot of the camera, or nearer: by as much on both sides as the end tells that is seen. Where both ends are
# hidden nothing tells it, which makes them less sure.


BY_NECK = 0.12
"""mm, one standard deviation of an end of the nut that the side of the neck tells; as made-up photos show."""

# Of its distance from the foot, one standard deviation: how far a side seems out where nothing tells its height, for
# 6 mm of a fingerboard under a camera half a metre up; common practice, no source.
_HIGHER = 0.012

_FIRST, _LAST = 2.5, 20.0  # mm below the nut line between which the sides of the neck are taken
_FEWEST = 15
_SPAN = 8.0  # mm of a side that must be seen
_STRAIGHT = 0.1  # mm that the places of a side lie beside a straight line on average
_WIDER = 0.05  # of its distance from the foot that a side may seem further out or in, for up to 25 mm of half a metre
_AT_END = 2.5  # mm from an end of the edge


def ends_by_neck(
    edge: Floats, pieces: Sequence[Floats], face: Face, silhouette: Silhouette, nut: float
) -> tuple[Floats, float | None]:
    """The open edge (n, 2) with its hidden ends at the nut where the neck has them.

    And how well the neck tells the middle between the ends, one standard deviation in mm; None where it tells nothing.
    `pieces` are the ends (2, 2) of what was drawn by guess; a piece at an end of the edge is bent to the new one.
    """
    runs = [_run_at(edge, ends) for ends in pieces]
    hidden = {run[0]: run[1] for run in runs if run is not None}
    sides = [_side(face, silhouette, nut, number) for number in (0, 1)]
    if not hidden or sides[0] is None or sides[1] is None:
        return edge, None
    of_neck = sides[0], sides[1]
    foot = float(face.foot[0]) if face.lifted is not None else sum(of_neck) / 2
    if len(hidden) == 2:
        wider, spread = 0.0, _HIGHER * abs(sum(of_neck) / 2 - foot)
    else:
        seen = 1 - next(iter(hidden))
        off = of_neck[seen] - foot
        wider = (float(edge[-seen, 0]) - of_neck[seen]) / off if abs(off) > 1.0 else 0.0
        spread = 0.0
    if abs(wider) > _WIDER:
        return edge, None
    for number, meets in hidden.items():
        edge = _bent(edge, number, meets, of_neck[number] + wider * (of_neck[number] - foot))
    return edge, math.hypot(BY_NECK / 2, spread)


def _run_at(edge: Floats, ends: Floats) -> tuple[int, int] | None:
    """At which end of the edge a piece lies, 0 at its begin, and the number of the place where it meets the rest."""
    near = sorted(int(np.hypot(*(edge - end).T).argmin()) for end in ends)
    along = lengths_along(edge)
    if along[near[0]] < _AT_END:
        return 0, near[1]
    if along[-1] - along[near[1]] < _AT_END:
        return 1, near[0]
    return None


def _side(face: Face, silhouette: Silhouette, nut: float, number: int) -> float | None:
    """X where the right (0) or the left (1) side of the neck, drawn on, meets the nut line."""
    ring = shapely.geometry.polygon.orient(face.plan).exterior
    places = shapely.get_coordinates(shapely.segmentize(ring, STEP))[:-1]
    below = nut - places[:, 1]
    near = (below > _FIRST) & (below < _LAST)
    middle = float(np.mean(places[near, 0])) if near.any() else 0.0
    of_side = places[near & ((places[:, 0] > middle) if number == 0 else (places[:, 0] < middle))]
    # Counter-clockwise: up on the right, down on the left.
    of_side = of_side[np.argsort(of_side[:, 1] if number == 0 else -of_side[:, 1])]
    if len(of_side) < _FEWEST:
        return None
    return _drawn_on(of_side[shown(of_side, silhouette, face) & ~guessed(of_side, face)], nut)


def _drawn_on(places: Floats, nut: float) -> float | None:
    """X at the nut line of the straight line through places (n, 2), strays left out."""
    for _ in range(3):
        if len(places) < _FEWEST or np.ptp(places[:, 1]) < _SPAN:
            return None
        slope, at_nut = np.polyfit(places[:, 1] - nut, places[:, 0], 1)
        off = np.abs(places[:, 0] - at_nut - slope * (places[:, 1] - nut))
        kept = off <= max(3 * float(np.median(off)), 0.03)
        if kept.all():
            break
        places = places[kept]
    return float(at_nut) if float(off.mean()) < _STRAIGHT else None


def _bent(edge: Floats, number: int, meets: int, end: float) -> Floats:
    """The edge with what lies between a place and its right (0) or left (1) end drawn to that end's new x."""
    along = lengths_along(edge)
    first, last = (0, meets) if number == 0 else (meets, len(edge) - 1)
    left = np.abs(along[first : last + 1] - along[meets]) / max(along[last] - along[first], 1e-9)
    found = edge.copy()
    found[first : last + 1, 0] += (end - edge[-number, 0]) * left**2
    return found
