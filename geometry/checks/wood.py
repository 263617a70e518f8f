"""Checks of the wood round the bores: walls, ends, webs, the nut, the thickness and what must be kept clear."""

from __future__ import annotations

import math

import numpy as np
import shapely

from geometry.checks.caps import caps_of
from geometry.checks.facts import Facts, pairs
from geometry.checks.gaps import Gaps, Part, gaps, none_of, required
from geometry.checks.trimmed import once_trimmed, trimmed_end
from geometry.document.build import OldHole, Region
from geometry.layout.old_holes import holes_left, swallows
from geometry.layout.parts import PlacedPost, SmallHole, thickness_at
from geometry.layout.regions import region_distance
from geometry.shape.close import Floats
from geometry.shape.shapes import depth_out, places_at, points
from geometry.shape.tolerance import SAME
from geometry.trade.limits import Rule
from geometry.trade.sentence import Sentence


def wall(facts: Facts) -> Gaps:
    """Too little wood between a bore and the edge breaks out when the bit comes through or the head is knocked."""
    trim = max(facts.trim_face, facts.trim_back)
    beside = facts.near.posts
    measured = beside.distance - facts.bore / 2 - trim
    here = _toward(facts.at, beside.foot, facts.bore / 2)
    there = trimmed_end(facts.at, beside.foot, beside.distance, trim, measured)
    parts = (*facts.bores, *facts.edge_parts)
    j = len(facts.posts) + facts.edge_index(beside)
    notes = (once_trimmed(facts.build.head, "either"),) * len(measured)
    rule = facts.rule("wall")
    return gaps(rule, parts, measured, _all(facts), here, there, j=j, bore=facts.bore, notes=notes)


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
    parts, regions = [*facts.bores, *facts.holes], facts.build.keep_clear
    rule = facts.rule("keep clear")
    if not regions:
        return none_of(rule)
    at = np.vstack([facts.at, points([hole.at for hole in facts.layout.small_holes])])
    reach = np.array([_reach_beside(facts, region) for region in regions])
    beside = [region_distance(at, region) for region in regions]
    distance, there = np.stack([each[0] for each in beside]), np.stack([each[1] for each in beside])
    number, i = np.nonzero(~np.isnan(reach))
    names = [Part("region", region.key, region.name or region.key) for region in regions]
    measured = distance[number, i] - reach[number, i]
    return gaps(rule, (*parts, *names), measured, i, at[i], there[number, i], j=len(parts) + number)


def _reach_beside(facts: Facts, region: Region) -> list[float]:
    """The radii in mm of bores, screws and pins at the depth of a region, NaN for what does not come so deep."""
    holes = facts.layout.small_holes
    thick = [thickness_at(facts.build, hole.at.y, facts.layout.top) for hole in holes]
    return [
        *(_bore_beside(post, region) / 2 for post in facts.posts),
        *(
            hole.diameter / 2 if _volumes_meet(hole, deep, region) else math.nan
            for hole, deep in zip(holes, thick, strict=True)
        ),
    ]


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
    parts = [Part("edge", "", side) for side in ("left", "right", "tip")]
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
    spots = np.tile([hole.at.x, hole.at.y], (len(facts.seats), 1))
    face = (
        shapely.distance(facts.centres, shapely.Point(hole.at.x, hole.at.y))
        <= facts.collar / 2 - radius + SAME
    )
    back = depth_out(facts.seat_shapes, spots)[0] <= SAME - radius
    return bool((face.any() or not on_face) and (back.any() or not on_back))


def _all(facts: Facts) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    return np.arange(len(facts.posts))


def _hole_parts(holes: list[OldHole]) -> tuple[Part, ...]:
    return tuple(Part("hole", hole.key, f"{hole.key} (old)") for hole in holes)


def _toward(start: Floats, end: Floats, step: Floats) -> Floats:
    """Places (n, 2) that lie `step` (n,) mm from start on the way to end."""
    way = end - start
    length = np.hypot(way[:, 0], way[:, 1])
    return start + way * (step / np.where(length > 0, length, 1.0))[:, None]
