"""A head found among the curves of a drawing, in mm in its own frame."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import msgspec
import numpy as np
import shapely

from geometry.document.build import Polygon
from geometry.intake.contours import Circular, Sorted, area_shape, sort_out
from geometry.intake.drawn import Curve, Drawn, Side, Thing, refuse_drawing, things_left_out
from geometry.intake.found import Found, FoundHole, FoundRegion, cut_at_nut, into_head_frame
from geometry.intake.nut_end import NutLine, nut_line
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.trade.sentence import Note, Sentence, refuse

SHORTEST, LONGEST = 60.0, 450.0
"""mm; heads are not shorter or longer, from the smallest of four strings to a long bass: from memory."""

# mm; smaller circles mark centres, larger ones are no holes for tuners: common practice, no source.
_LEAST_HOLE, _MOST_HOLE = 1.0, 30.0
_MOST_CORNERS = 200  # corners of a region's polygon in a build


class Asked(msgspec.Struct, frozen=True):
    """What the maker tells about a drawing: lengths in mm that are known, the side of the nut, whether it is the back.

    `length` is that of the head from the nut line to the tip.
    """

    length: float | None = None
    nut_width: float | None = None
    nut_end: Side | None = None
    from_back: bool = False


def found_in(drawn: Drawn, asked: Asked) -> Found:
    """The head in a drawing; a DrawingError or SentenceError says what is missing or wrong."""
    parts = sort_out(drawn)
    told = asked.nut_width / drawn.unit if asked.nut_width and drawn.certain else None
    line = nut_line(parts, asked.nut_end, told)
    edge = _edge(parts.head, line)
    scale, unsure = _scale(drawn, asked, float(edge[:, 1].max()), line.width)
    points = edge * scale
    left_out = parts.left_out
    holes = _holes(parts.circles, line, scale, points, left_out)
    regions = _regions(parts.closed, line, scale, points, left_out)
    left_out["open"] += sum(not _is_along(curve, line) for curve in parts.lines)
    found = Found(points, holes, regions, unsure + _doubts(parts), things_left_out(left_out))
    return mirrored(found) if asked.from_back else found


def _edge(head: Floats, line: NutLine) -> Floats:
    """The open contour in the head's frame, in units of the drawing."""
    if line.edge is None:
        return cut_at_nut(into_head_frame(head, line.right, line.left))
    edge = into_head_frame(line.edge, line.right, line.left)
    edge[[0, -1], 1] = 0.0
    return edge


def _scale(drawn: Drawn, asked: Asked, length: float, width: float) -> tuple[float, tuple[Note, ...]]:
    """What a unit of the drawing is in mm, and what is to be said about it."""
    own = length * drawn.unit
    if not length > 0:
        refuse_drawing("The head has no length beyond its nut line.")
    if asked.length is not None:
        if drawn.certain and abs(own / asked.length - 1) > 0.01:
            text = "By its own unit the drawing would be {0} long; it was made {1} as told."
            return asked.length / length, (Sentence(text, (own,), (asked.length,)),)
        return asked.length / length, ()
    plausible = SHORTEST <= own <= LONGEST
    if drawn.certain and plausible:
        return drawn.unit, ()
    if asked.nut_width is not None:
        return asked.nut_width / width, ()
    if drawn.certain:
        refuse(
            "By the unit of the drawing the head would be {0} long, which no head is; "
            "tell its length, or its width at the nut.",
            (own,),
        )
    return _guessed(drawn, length)


def _guessed(drawn: Drawn, length: float) -> tuple[float, tuple[Note, ...]]:
    """The only unit of mm and inches in which the head would be one; a SentenceError where there is none."""
    fitting = [unit for unit in (1.0, 25.4) if SHORTEST <= length * unit <= LONGEST]
    if len(fitting) != 1 or drawn.unit != 1.0:
        refuse(
            f"The size of the head is not known: {drawn.doubt} (it would be {{0}} long); "
            "tell its length, or its width at the nut.",
            (length * drawn.unit,),
        )
    word = "millimetres" if fitting[0] == 1 else "inches"
    text = f"The size is not sure: {drawn.doubt}, and {word} were taken, which make the head {{0}} long."
    return fitting[0], (Sentence(text, (length * fitting[0],)),)


def _doubts(parts: Sorted) -> tuple[Note, ...]:
    """What may be wrong about which curve is the head."""
    notes: list[Note] = []
    if parts.frames:
        notes.append("A rectangle round everything was taken for the edge of the sheet.")
    if parts.rivals:
        notes.append("Another closed shape is about as large as the one that was taken for the head.")
    return tuple(notes)


def _is_along(curve: Curve, line: NutLine) -> bool:
    """Whether an open line is the nut line itself."""
    ends = into_head_frame(curve.points[[0, -1]], line.right, line.left)
    return bool(np.abs(ends[:, 1]).max() < 0.01 * line.width) and len(curve.points) == 2


# Holes and regions


def _holes(
    circles: tuple[Circular, ...], line: NutLine, scale: float, edge: Floats, left_out: Counter[Thing]
) -> tuple[FoundHole, ...]:
    """The circles within the head, of those with the same centre the smallest that is a hole."""
    area = area_shape(edge)
    kept: list[FoundHole] = []
    for circle in sorted(circles, key=lambda each: each.radius):
        place = into_head_frame(np.array([[circle.x, circle.y]]), line.right, line.left)[0] * scale
        if not shapely.contains_xy(area, *place):
            left_out["outside"] += 1
            continue
        hole = FoundHole(Point(float(place[0]), float(place[1])), 2 * circle.radius * scale)
        fits = _LEAST_HOLE <= hole.diameter <= _MOST_HOLE
        if fits and all(hole.centre.distance(other.centre) > 0.2 for other in kept):
            kept.append(hole)
        else:
            left_out["circle"] += 1
    return _in_order(kept)


def _in_order(holes: Iterable[FoundHole]) -> tuple[FoundHole, ...]:
    """The holes of the right side up from the nut, then those of the left side."""
    return tuple(sorted(holes, key=lambda hole: (hole.centre.x < 0, hole.centre.y)))


def _regions(
    closed: tuple[Curve, ...], line: NutLine, scale: float, edge: Floats, left_out: Counter[Thing]
) -> tuple[FoundRegion, ...]:
    """The closed shapes within the head that are no circles."""
    area = shapely.buffer(area_shape(edge), 0.1)
    shapely.prepare(area)
    found = []
    for curve in closed:
        places = into_head_frame(curve.points, line.right, line.left) * scale
        if not shapely.covers(area, shapely.LineString(places)):
            left_out["shape" if shapely.intersects(area, shapely.LineString(places)) else "outside"] += 1
            continue
        corners = _corners(places)
        if corners is None:
            left_out["point"] += 1
            continue
        name = " ".join(curve.name.split())[:60] or "from the drawing"
        found.append(FoundRegion(name, Polygon(corners)))
    return tuple(found)


def _corners(places: Floats) -> tuple[Point, ...] | None:
    """At most _MOST_CORNERS corners of a closed shape, as many as it takes; None where it has no area."""
    ring = shapely.LineString(np.vstack([places, places[:1]]))
    tolerance = 0.02
    for _ in range(12):
        corners = shapely.get_coordinates(ring.simplify(tolerance))[:-1]
        if len(corners) <= _MOST_CORNERS:
            break
        tolerance *= 2
    if not 3 <= len(corners) <= _MOST_CORNERS:
        return None
    return tuple(Point(float(x), float(y)) for x, y in corners)


def mirrored(found: Found) -> Found:
    """The head seen from the other side."""
    return msgspec.structs.replace(
        found,
        points=(found.points * [-1.0, 1.0])[::-1],
        holes=_in_order(FoundHole(hole.centre.mirrored, hole.diameter) for hole in found.holes),
        regions=tuple(
            FoundRegion(region.name, Polygon(tuple(point.mirrored for point in region.shape.points)))
            for region in found.regions
            if isinstance(region.shape, Polygon)
        ),
    )
