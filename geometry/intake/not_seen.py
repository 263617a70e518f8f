"""The pieces of the edge that no picture shows and that are drawn by guess: where, how long, why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.dense import lengths_along
from geometry.intake.face_edge import Face
from geometry.intake.silhouette import Silhouette
from geometry.shape.close import Floats
from geometry.trade.sentence import Note, Sentence

TOLD = 2.5
"""mm of edge; a shorter piece that is not seen lies within what is said of its neighbours."""

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
    pieces = [piece for piece in pieces if piece.long > TOLD]
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
