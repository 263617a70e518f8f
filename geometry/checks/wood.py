"""Checks of the wood round the bores: walls, ends, webs, the nut, the thickness and what must be kept clear."""

from __future__ import annotations

import numpy as np
import shapely

from geometry.checks.caps import caps_of
from geometry.checks.facts import Facts, pairs
from geometry.checks.gaps import Gaps, Part, gaps, none_of, points, required
from geometry.document.build import OldHole, Region, RoundRegion
from geometry.layout.old_holes import holes_left, swallows
from geometry.layout.parts import PlacedPost, SmallHole, thickness_at
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.shape.shapes import places_at
from geometry.shape.tolerance import SAME
from geometry.trade.limits import Rule
from geometry.trade.sentence import Sentence


def wall(facts: Facts) -> Gaps:
    """Too little wood between a bore and the edge breaks out when the bit comes through or the head is knocked."""
    trim = max(facts.trim_face, facts.trim_back)
    beside = facts.near.posts
    measured = beside.distance - facts.bore / 2 - trim
    here = _toward(facts.at, beside.foot, facts.bore / 2)
    parts = (*facts.bores, *facts.edge_parts)
    j = len(facts.posts) + facts.edge_index(beside)
    return gaps(facts.rule("wall"), parts, measured, _all(facts), here, beside.foot, j=j, bore=facts.bore)


def end_distance(facts: Facts) -> Gaps:
    """Short grain between a bore and the tip splits along the grain."""
    found, ends = caps_of(facts.edge.contour, facts.build.head.grain_deg).along_grain(
        facts.at, facts.bore / 2
    )
    has = np.isfinite(found)
    return gaps(
        facts.rule("end distance"),
        facts.bores,
        found[has],
        np.flatnonzero(has),
        facts.at[has],
        ends[has],
        bore=facts.bore[has],
    )


def web(facts: Facts) -> Gaps:
    """Two holes with too little wood between them split into one; along the grain it takes more than across it."""
    old = holes_left(facts.build, facts.posts)
    at = np.vstack([facts.at, points([hole.at for hole in old])])
    diameter = np.concatenate([facts.bore, [hole.diameter for hole in old]])
    i, j = pairs(len(at))
    keep = i < len(facts.at)
    i, j = i[keep], j[keep]
    apart, middles = at[j] - at[i], places_at(at)
    distance = shapely.distance(middles[i], middles[j])
    larger = np.maximum(diameter[i], diameter[j])
    found = gaps(
        facts.rule("web along grain"),
        (*facts.bores, *_hole_parts(old)),
        distance - (diameter[i] + diameter[j]) / 2,
        i,
        _toward(at[i], at[j], diameter[i] / 2),
        _toward(at[j], at[i], diameter[j] / 2),
        j=j,
        bore=larger,
    )
    return _between_grain_directions(facts, found, apart, distance, larger)


def _between_grain_directions(
    facts: Facts, found: Gaps, apart: Floats, distance: Floats, larger: Floats
) -> Gaps:
    """The web's limits between those along and across the grain, by the square of the cosine."""
    angle = np.radians(facts.build.head.grain_deg)
    grain = np.array([-np.sin(angle), np.cos(angle)])
    share = (apart @ grain / np.where(distance > 0, distance, 1.0)) ** 2
    across = facts.rule("web across grain")
    mixed = [
        share * along + (1 - share) * required(limit, larger)
        for along, limit in ((found.watch, across.watch), (found.stop, across.stop))
    ]
    rule = Rule("web", found.rule.watch, found.rule.stop, source=found.rule.source)
    return Gaps(
        rule, found.parts, found.measured, found.i, found.j, mixed[0], mixed[1], found.here, found.there
    )


def into_the_nut(facts: Facts) -> Gaps:
    """A bore or washer that reaches below the nut line runs into the nut and the neck."""
    reach = np.maximum(facts.bore, facts.collar) / 2
    here = facts.at - np.column_stack([np.zeros_like(reach), reach])
    there = np.column_stack([facts.at[:, 0], np.zeros_like(reach)])
    return gaps(facts.rule("into the nut"), facts.bores, here[:, 1], _all(facts), here, there)


def thickness(facts: Facts) -> Gaps:
    """A head thinner or thicker than the tuner is made for leaves a loose bushing or too short a thread."""
    here = np.array([post.thickness for post in facts.posts])
    least = np.array([post.hardware.thickness_least for post in facts.posts])
    most = np.array([post.hardware.thickness_most for post in facts.posts])
    measured = np.minimum(here - least, most - here)
    notes = [
        Sentence("The head is {0} thick there; the tuner takes {1} to {2}.", (post.thickness,), (low, high))
        for post, low, high in zip(facts.posts, least.tolist(), most.tolist(), strict=True)
    ]
    return gaps(facts.rule("thickness"), facts.bores, measured, _all(facts), facts.at, facts.at, notes=notes)


def keep_clear(facts: Facts) -> Gaps:
    """A hole that meets a rod pocket, an inlay or a glue line spoils it; only volumes that meet count."""
    parts = [*facts.bores, *facts.holes]
    regions = facts.build.keep_clear
    first = len(facts.posts)
    rows = [
        (i, len(parts) + j, post.at, _bore_beside(post, region) / 2, region)
        for i, post in enumerate(facts.posts)
        for j, region in enumerate(regions)
    ]
    rows += [
        (first + i, len(parts) + j, hole.at, hole.diameter / 2, region)
        for i, hole in enumerate(facts.layout.small_holes)
        for j, region in enumerate(regions)
        if _volumes_meet(hole, thickness_at(facts.build, hole.at.y, facts.layout.top), region)
    ]
    if not rows:
        return none_of(facts.rule("keep clear"))
    beside = [region_distance(at, region) for _, _, at, _, region in rows]
    names = [Part("region", region.key, region.name or region.key) for region in regions]
    return gaps(
        facts.rule("keep clear"),
        (*parts, *names),
        np.array([distance - row[3] for (distance, _), row in zip(beside, rows, strict=True)]),
        np.array([row[0] for row in rows], dtype=np.intp),
        points([row[2] for row in rows]),
        points([place for _, place in beside]),
        j=np.array([row[1] for row in rows], dtype=np.intp),
    )


def _bore_beside(post: PlacedPost, region: Region) -> float:
    """Diameter in mm of the bore at the depth of a region: a counterbore that ends above it does not count."""
    counter = post.hardware.bore.counterbore
    if region.side == "back" and counter is not None:
        reaches = counter.depth + region.depth >= post.thickness - SAME
        return post.bore if reaches else post.hardware.bore.through
    return post.bore


def _volumes_meet(hole: SmallHole, thickness: float, region: Region) -> bool:
    """Whether a hole, drilled from its side, reaches the depth that a region takes up."""
    if region.side in ("through", hole.side):
        return True
    return hole.depth + region.depth >= thickness - SAME


def region_distance(at: Point, region: Region) -> tuple[float, Point]:
    """Distance in mm from a place to a region, negative inside, and the nearest place of its edge."""
    if isinstance(region.shape, RoundRegion):
        centre = region.shape.centre
        distance = at.distance(centre)
        outward = (at - centre) / distance if distance > 0 else Vector(1.0, 0.0)
        return distance - region.shape.radius, centre + outward * region.shape.radius
    place = shapely.Point(at.x, at.y)
    corners = [(point.x, point.y) for point in region.shape.points]
    way = shapely.shortest_line(shapely.LineString([*corners, corners[0]]), place)
    foot = Point(*way.coords[0])
    inside = shapely.contains(shapely.Polygon(corners), place)
    return -way.length if inside else way.length, foot


def blank(facts: Facts) -> Gaps:
    """The head must fit on its board."""
    board = facts.build.head.blank
    if board is None:
        return none_of(facts.rule("blank"))
    bounds = facts.edge.contour.bounds
    middle = (bounds.bottom + bounds.top) / 2
    measured = np.array([board.left + bounds.left, board.right - bounds.right, board.length - bounds.top])
    here = np.array([(bounds.left, middle), (bounds.right, middle), (0.0, bounds.top)])
    there = np.array([(-board.left, middle), (board.right, middle), (0.0, board.length)])
    parts = [Part("edge", "", side) for side in ("on the left", "on the right", "at the tip")]
    return gaps(facts.rule("blank"), parts, measured, np.arange(3), here, there)


def scar(facts: Facts) -> Gaps:
    """An old hole that no new bore, washer or seat hides stays in sight."""
    holes = facts.build.old_holes
    if not holes:
        return none_of(facts.rule("scar"))
    at = points([hole.at for hole in holes])
    seen = np.array([float(not _is_hidden(facts, hole)) for hole in holes])
    return gaps(facts.rule("scar"), _hole_parts(list(holes)), seen, np.arange(len(holes)), at, at)


def _is_hidden(facts: Facts, hole: OldHole) -> bool:
    radius = hole.diameter / 2
    if any(swallows(post, hole) for post in facts.posts):
        return True
    on_face, on_back = hole.depth is None or hole.side == "face", hole.depth is None or hole.side == "back"
    face = any(
        post.at.distance(hole.at) + radius <= post.hardware.collar_diameter / 2 + SAME for post in facts.posts
    )
    seats = [post.seat for post in facts.posts if post.seat] + [plate.box for plate in facts.layout.plates]
    back = any(
        abs((hole.at - seat.centre).dot(seat.along)) + radius <= seat.half_along + SAME
        and abs((hole.at - seat.centre).dot(seat.across)) + radius <= seat.half_across + SAME
        for seat in seats
    )
    return (face or not on_face) and (back or not on_back)


def _all(facts: Facts) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    return np.arange(len(facts.posts))


def _hole_parts(holes: list[OldHole]) -> tuple[Part, ...]:
    return tuple(Part("hole", hole.key, f"{hole.key} (old)") for hole in holes)


def _toward(start: Floats, end: Floats, step: Floats) -> Floats:
    """Places (n, 2) that lie `step` (n,) mm from start on the way to end."""
    way = end - start
    length = np.hypot(way[:, 0], way[:, 1])
    return start + way * (step / np.where(length > 0, length, 1.0))[:, None]
