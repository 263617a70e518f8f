"""The edge of the face from the silhouette: each piece of it lies on the plane that makes it.

A camera over `foot` sees a head `thickness` high on the paper as the union of all its slices, each drawn larger about
the foot the higher it lies. So the plan of the face lies within the silhouette taken as on the paper, and within the
silhouette taken as on the face; with upright sides it is what both have in common: away from the foot the upper edge
makes the silhouette, towards it the lower one. Sides that lean make the lower edge wider or narrower all round.
"""

from __future__ import annotations

import math

import msgspec
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.dense import at_lengths, bridge, lengths_along
from geometry.intake.picture_error import refuse_picture
from geometry.intake.rectified import Plane
from geometry.shape.close import Floats

_STEEPEST = math.radians(80.0)  # from the centre line: no arc to the nut line begins more across
_SLANT = 0.04  # sine to the way from the foot within which an edge may be made by either plane
_APART = 0.1  # mm between the silhouettes on both planes below which it does not matter which made an edge
_ONE_RUN = 1.5  # mm between hidden places of one run at most
_SHORT = 1.0  # mm of a run that is not told
_LONG = 25.0  # mm of a run that is told and left as it is: nobody can guess so much
_CORNER = 2.0  # mm from the nut end of a loose head within which its corners are rounded by what finds it
_TANGENT = 1.5  # mm from which the direction at either end of a run is taken


class Lifted(msgspec.Struct, frozen=True, eq=False):
    """The plane of a face over the paper, under a camera `height` mm over the `foot` (2,) on the paper."""

    foot: Floats
    height: float
    plane: Plane

    def nearer(self, places: Floats) -> Floats:
        """How much nearer (n,) to the foot the rays to places (n, 2) of the paper go through the plane."""
        down = self.height - self.plane.heights(self.foot[None, :])
        return np.asarray(down / (self.height + self.plane.slope * (places[:, 1] - self.foot[1])), float)

    def passed(self, places: Floats) -> Floats:
        """Where they do (n, 2)."""
        return np.asarray(self.foot + self.nearer(places)[:, None] * (places - self.foot), float)


class Face(msgspec.Struct, frozen=True, eq=False):
    """The plan of a face, and the silhouette it comes from: taken as on the paper and as on the face.

    `lifted` is the plane of the face, None where that is the paper's. A side shows its wall where it faces the foot by
    more than `lean_reach` mm, and hides it elsewhere.
    """

    plan: shapely.Polygon
    on_paper: shapely.Polygon
    on_face: shapely.Polygon
    foot: Floats
    lean_reach: float
    lifted: Lifted | None = None

    def hides_wall(self, edge: Floats) -> Floats:
        """Sines (n,) by which places (n, 2) of an open edge hide their wall; negative where it shows."""
        from_foot = edge - self.foot
        beyond = np.sum(outward(edge) * from_foot, axis=1) - self.lean_reach
        return np.asarray(beyond / np.maximum(np.linalg.norm(from_foot, axis=1), 1.0), float)


def face_of(silhouette: Floats, lifted: Lifted, lean: float) -> Face:
    """The plan of the face from places (n, 2) of the silhouette on the plane of the paper.

    `lean` in radians is how far the sides lean, positive where the back is wider than the face.
    """
    on_paper = _sound(shapely.Polygon(silhouette))
    on_face = _sound(shapely.transform(on_paper, lifted.passed))
    if lean:
        # As thick as the head is half-way, for all of its edge.
        middle = float(lifted.plane.heights(np.asarray(on_face.centroid.coords)).item())
        on_paper = _sound(on_paper.buffer(-middle * math.tan(lean), join_style="mitre"))
    # The way in which a wall that leans by an angle is just seen edge on rises by as much from the camera.
    reach = lifted.height * math.tan(lean)
    return Face(_sound(on_paper.intersection(on_face)), on_paper, on_face, lifted.foot, reach, lifted)


def flat_face(silhouette: Floats) -> Face:
    """The same where the face lies on the plane itself."""
    plan = _sound(shapely.Polygon(silhouette))
    return Face(plan, plan, plan, np.zeros(2), 0.0)


def guessed(edge: Floats, face: Face) -> npt.NDArray[np.bool_]:
    """Which places (n,) of an open edge (n, 2) the head itself hides: in a hollow behind its own upper edge.

    There the silhouette on one plane bounds the plan where only one on the other plane could have made its edge.
    """
    if face.on_face is face.on_paper:
        return np.zeros(len(edge), bool)
    hides = face.hides_wall(edge)
    places = shapely.points(edge)
    to_face, to_paper = (shapely.distance(part.exterior, places) for part in (face.on_face, face.on_paper))
    wrong = np.where(to_face < to_paper, hides < -_SLANT, hides > _SLANT)
    return np.asarray(wrong & (np.abs(to_face - to_paper) > _APART), bool)


def bridged(edge: Floats, hidden: npt.NDArray[np.bool_]) -> tuple[Floats, list[Floats]]:
    """The edge with what is hidden drawn smoothly on from both sides, and the ends (2, 2) of what was."""
    ends, parts, after = [], [], 0
    numbers = np.flatnonzero(hidden)
    if not len(numbers):
        return edge, []
    along = lengths_along(edge)
    gaps = np.flatnonzero(np.diff(along[numbers]) > _ONE_RUN)
    for run in np.split(numbers, gaps + 1):
        first, last = max(int(run[0]) - 1, 0), min(int(run[-1]) + 1, len(edge) - 1)
        if np.linalg.norm(edge[last] - edge[first]) < _SHORT:
            continue
        ends.append(edge[[first, last]])
        if along[last] - along[first] > _LONG:
            continue
        ways = np.array([along[first] - _TANGENT, along[last] + _TANGENT])
        before, beyond = at_lengths(edge, along, ways)
        if first == 0:
            parts.append(_to_nut(beyond, edge[last], edge[0, 1])[::-1])
        elif last == len(edge) - 1:
            parts += [edge[after : first + 1], _to_nut(before, edge[first], edge[-1, 1])]
            return np.vstack(parts), ends
        else:
            parts += [edge[after : first + 1], bridge(before, edge[first], edge[last], beyond)]
        after = last
    return np.vstack([*parts, edge[after:]]), ends


def _to_nut(further: Floats, last: Floats, nut: float) -> Floats:
    """Places of the arc on from the `last` one that is seen to the nut line, which it meets along the centre line."""
    way = last - further
    down = last[1] - nut
    turn = math.atan2(-way[0], -way[1])
    if way[1] >= 0 or down <= 0 or abs(turn) > _STEEPEST:
        return np.array([[last[0], nut]])
    if abs(turn) < 1e-3:
        return np.array([[last[0] + way[0] / way[1] * -down, nut]])
    radius = down / math.sin(turn)
    left = np.linspace(turn, 0.0, max(3, round(down / 0.3)))[1:]
    across = radius * (np.cos(left) - math.cos(turn))
    return np.column_stack([last[0] - across, nut + radius * np.sin(left)])


def outward(edge: Floats) -> Floats:
    """Unit vectors (n, 2) square to an open, counter-clockwise edge (n, 2), away from the head."""
    along = np.gradient(edge, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
    return np.column_stack([along[:, 1], -along[:, 0]])


def _sound(shape: shapely.Polygon | shapely.MultiPolygon | shapely.Geometry) -> shapely.Polygon:
    """The largest part of a shape, its outside alone."""
    parts = [part for part in shapely.get_parts(shapely.buffer(shape, 0)) if part.geom_type == "Polygon"]
    if not parts:
        refuse_picture("the edge of the head cannot be followed; expected wood on white paper in even light.")
    return shapely.Polygon(max(parts, key=lambda part: part.area).exterior)


def above_nut(face: shapely.Polygon, nut: float, *, loose: bool = False) -> Floats:
    """The open edge (n, 2) above the nut line at y = `nut`, from its right end round the tip to its left end.

    Where the head is loose, the corners at its nut end are taken as sharp, which no picture shows.
    """
    edge = _cut(face, nut + (_CORNER if loose else 0.0))
    if not loose:
        return edge
    ends = [_on_to(part, nut) for part in (edge, edge[::-1])]
    return np.vstack([ends[0], edge, ends[1]])


def _on_to(edge: Floats, nut: float) -> Floats:
    """Where the straight line through the first few mm of an edge meets the nut line."""
    first = edge[0]
    further = edge[np.argmax(edge[:, 1] > first[1] + 2 * _CORNER)]
    rise = further[1] - first[1]
    if rise <= 0:
        return np.array([first[0], nut])
    return np.array([first[0] + (further[0] - first[0]) / rise * (nut - first[1]), nut])


def _cut(face: shapely.Polygon, nut: float) -> Floats:
    left, bottom, right, top = face.bounds
    if top - nut < 5.0 or bottom > nut + 0.5:
        refuse_picture(
            "the head does not reach over the nut line; expected its nut end on the printed nut line."
        )
    whole = _sound(face.intersection(shapely.box(left - 1, nut, right + 1, top + 1)))
    ring = np.asarray(shapely.geometry.polygon.orient(whole).exterior.coords)[:-1]
    on_line = np.flatnonzero(np.abs(ring[:, 1] - nut) < 1e-6)
    start = on_line[np.argmax(ring[on_line, 0])]
    ring = np.roll(ring, -start, axis=0)
    end = int(np.argmin(np.where(np.abs(ring[:, 1] - nut) < 1e-6, ring[:, 0], np.inf)))
    return ring[: end + 1]
