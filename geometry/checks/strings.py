"""Checks of the strings: what they rub, how they turn at the nut, and how they lie on their posts."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely

from geometry.checks.facts import Facts, pairs
from geometry.checks.gaps import Gaps, Part, gaps, none_of
from geometry.checks.hardware import lowest_corners
from geometry.checks.near_edge import deepest
from geometry.document.build import Region, Retainer, String
from geometry.layout.paths import StringPath
from geometry.layout.regions import region_core
from geometry.shape.close import Floats, Indices, cross, dot
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.shape.shapes import lines_of, places_at, points, shortest
from geometry.shape.tolerance import SAME
from geometry.trade.limits import STRING_GAP_SHARE
from geometry.trade.quantities import bare_angle


def string_to_post(facts: Facts) -> Gaps:
    """A string that touches another post, bare or with the windings on it, buzzes and wears."""
    legs = facts.legs
    reach = post_reach(facts)
    leg, other = (index.ravel() for index in np.indices((len(legs.path), len(reach))))
    own = np.array([facts.paths[k].post for k in legs.path], dtype=object)
    keys = np.array([post.key for post in facts.posts], dtype=object)
    keep = own[leg] != keys[other] if len(leg) else np.empty(0, dtype=bool)
    leg, other = leg[keep], other[keep]
    path = legs.path[leg]
    distance, near, centres = shortest(legs.lines[leg], facts.centres[other])
    measured = distance - reach[other] - facts.string_radii[path]
    parts = (*facts.strings, *(Part("post", post.key, post.label) for post in facts.posts))
    j = other + len(facts.paths)
    return gaps(facts.rule("string to post"), parts, measured, path, near, centres, j=j)


def post_reach(facts: Facts) -> Floats:
    """How far (n,) in mm each post reaches from its middle: its radius, and the turns of a string that is on it."""
    turns = {path.post: path.string.diameter for path in facts.paths}
    return np.array([post.hardware.post_diameter / 2 + turns.get(post.key, 0.0) for post in facts.posts])


def unwound(post_diameter: float, string: String) -> float:
    """How much of a string before its post belongs to the turns there, in mm."""
    return post_diameter / 2 + 2 * string.diameter


def string_to_string(facts: Facts) -> Gaps:
    """Strings that come much closer than at the nut touch when they swing or are tuned."""
    rule = facts.rule("string to string")
    ends = _short_ends(facts)
    legs = facts.legs
    a, b = pairs(len(legs.path))
    i, j = legs.path[a], legs.path[b]
    keep = i != j
    a, b, i, j = a[keep], b[keep], i[keep], j[keep]
    radii = facts.string_radii
    slots = np.array([path.slot.x for path in facts.paths])
    if not len(a):
        return none_of(rule)
    short = lines_of(np.stack([legs.starts, ends], axis=1))
    distance, here, there = shortest(short[a], short[b])
    found = gaps(rule, facts.strings, distance - radii[i] - radii[j], i, here, there, j=j)
    at_nut = np.abs(slots[i] - slots[j]) - radii[i] - radii[j]
    watch = np.minimum(found.watch, STRING_GAP_SHARE * at_nut)
    return Gaps(rule, found.parts, found.measured, i, j, watch, found.stop, here, there)


def _short_ends(facts: Facts) -> Floats:
    """Ends (m, 2) of the legs, those at the posts drawn back by post radius + 2 string diameters."""
    ends = facts.legs.ends.copy()
    last = np.flatnonzero(np.diff(np.append(facts.legs.path, -1)) != 0)
    for leg, path in zip(last, facts.paths, strict=True):
        post = facts.layout.post(path.post)
        back = unwound(post.hardware.post_diameter, path.string)
        way = facts.legs.ends[leg] - facts.legs.starts[leg]
        length = math.hypot(*way)
        share = max(0.0, 1 - back / length) if length > 0 else 0.0
        ends[leg] = facts.legs.starts[leg] + way * share
    return ends


def string_over_washers(facts: Facts) -> Gaps:
    """A string that lies on a washer, a hexagon or a cover rattles."""
    legs = facts.legs
    discs = [
        (Part("washer", post.key, post.label), Circle(post.at, disc.diameter / 2), disc.height)
        for post in facts.posts
        for disc in (post.hardware.washer, post.hardware.hexagon)
        if disc is not None
    ]
    centres = points([disc.centre for _, disc, _ in discs])
    radii = np.array([disc.radius for _, disc, _ in discs])
    tops = np.array([top for _, _, top in discs])
    leg, other = (index.ravel() for index in np.indices((len(legs.path), len(discs))))
    own = np.array([facts.paths[k].post for k in legs.path], dtype=object)
    keys = np.array([part.key for part, _, _ in discs], dtype=object)
    keep = own[leg] != keys[other] if len(leg) else np.empty(0, dtype=bool)
    leg, other = leg[keep], other[keep]
    first, last = _over_disc(legs.starts[leg], legs.ends[leg], centres[other], radii[other])
    over = first < last
    leg, other, first, last = leg[over], other[over], first[over], last[over]
    rise = legs.end_heights[leg] - legs.start_heights[leg]
    low = legs.start_heights[leg] + np.minimum(first * rise, last * rise)
    path = legs.path[leg]
    measured = low - facts.string_radii[path] - tops[other]
    middle = legs.starts[leg] + (legs.ends[leg] - legs.starts[leg]) * ((first + last) / 2)[:, None]
    # The washer and the hexagon of a post are one part: what is told of a string is the nearer of both.
    washers = list(dict.fromkeys(part for part, _, _ in discs))
    whose = np.array([washers.index(part) for part, _, _ in discs], dtype=np.intp)
    return gaps(
        facts.rule("string over washers"),
        (*facts.strings, *washers),
        measured,
        path,
        middle,
        centres[other],
        j=whose[other] + len(facts.paths),
    )


def string_over_covers(facts: Facts) -> Gaps:
    """A cover on the face must stay below the strings that pass over it."""
    covers = [region for region in facts.build.keep_clear if region.cover_height > 0]
    rule = facts.rule("string over washers")
    legs = facts.legs
    found = []
    for number, cover in enumerate(covers):
        for leg, path in enumerate(legs.path.tolist()):
            span = _over_region(legs.lines[leg], cover)
            if span is None:
                continue
            rise = legs.end_heights[leg] - legs.start_heights[leg]
            low = legs.start_heights[leg] + min(span[0] * rise, span[1] * rise)
            radius = facts.paths[path].string.diameter / 2
            middle = legs.starts[leg] + (legs.ends[leg] - legs.starts[leg]) * sum(span) / 2
            found.append((low - radius - cover.cover_height, path, number + len(facts.paths), middle))
    if not found:
        return none_of(rule)
    parts = (*facts.strings, *(Part("region", cover.key, cover.name or cover.key) for cover in covers))
    places = np.array([row[3] for row in found])
    i, j = (np.array([row[n] for row in found], dtype=np.intp) for n in (1, 2))
    return gaps(rule, parts, np.array([row[0] for row in found]), i, places, places, j=j)


def _over_region(leg: shapely.LineString, region: Region) -> tuple[float, float] | None:
    """Shares of a leg at which it comes over a region and leaves it for good, None when it misses it."""
    core, radius = region_core(region)
    if isinstance(core, shapely.Point):
        start, end = shapely.get_coordinates(leg)
        first, last = _over_disc(start[None], end[None], shapely.get_coordinates(core), np.array([radius]))
        return (float(first[0]), float(last[0])) if first[0] < last[0] else None
    over = shapely.get_coordinates(shapely.intersection(leg, shapely.make_valid(core)))
    if not len(over):
        return None
    shares = np.asarray(shapely.line_locate_point(leg, places_at(over), normalized=True))
    return (float(shares.min()), float(shares.max())) if shares.min() < shares.max() else None


def _over_disc(starts: Floats, ends: Floats, centres: Floats, radii: Floats) -> tuple[Floats, Floats]:
    """Shares (k,) of legs at which they come over a disc and leave it; equal where they miss it.

    From the foot of the middle of the disc on the line through the leg, by half a chord to either side.
    """
    way, back = ends - starts, centres - starts
    square = np.maximum(dot(way, way), 1e-30)
    foot, aside = dot(back, way) / square, cross(back, way) ** 2 / square
    half = np.sqrt(np.maximum(0.0, radii**2 - aside) / square)
    return np.clip(foot - half, 0.0, 1.0), np.clip(foot + half, 0.0, 1.0)


def string_over_wood(facts: Facts) -> Gaps:
    """A string that runs outside the head and comes back snags and looks wrong."""
    legs = facts.legs
    rule = facts.rule("string over wood")
    if not len(legs.path):
        return none_of(rule)
    near, wood = facts.near.legs, facts.edge.wood
    measured, here, there = near.distance.copy(), near.here.copy(), near.there.copy()
    for leg in np.flatnonzero(~shapely.contains_properly(wood, legs.lines)):
        over = shapely.difference(legs.lines[leg], wood)
        measured[leg], here[leg], there[leg] = deepest(over, facts.edge.line)
    return gaps(rule, facts.strings, measured, legs.path, here, there)


def wraps(facts: Facts) -> Gaps:
    """The lowest turn must stand clear of the bushing or washer."""
    posts = [facts.layout.post(path.post) for path in facts.paths]
    measured = np.array(
        [
            path.heights[-1] - path.string.diameter / 2 - post.hardware.collar_height
            for path, post in zip(facts.paths, posts, strict=True)
        ]
    )
    at = points([post.at for post in posts])
    return gaps(facts.rule("wraps"), facts.strings, measured, _all(facts), at, at)


def splay(facts: Facts) -> Gaps:
    """A string that turns too far sideways at the nut binds in its slot and goes out of tune."""
    rule = facts.rule("splay")
    measured = np.degrees([abs(path.splay) for path in facts.paths])
    other = np.degrees([abs(path.other_splay) for path in facts.paths])
    most = rule.watch.least if rule.watch else math.inf
    notes = [
        f"Wound on the other side of its post it would turn {bare_angle(across)} degrees."
        if across <= most < now
        else ""
        for now, across in zip(measured, other, strict=True)
    ]
    return gaps(rule, facts.strings, measured, _all(facts), *_first_legs(facts), notes=notes)


def break_at_nut(facts: Facts) -> Gaps:
    """A string that hardly bends over the nut does not press on it, and buzzes."""
    measured = np.degrees([path.break_angle for path in facts.paths])
    return gaps(facts.rule("break"), facts.strings, measured, _all(facts), *_first_legs(facts))


def high_break(facts: Facts) -> Gaps:
    """A string that bends too far over the nut binds and loads it."""
    measured = np.degrees([path.break_angle for path in facts.paths])
    return gaps(facts.rule("high break"), facts.strings, measured, _all(facts), *_first_legs(facts))


def first_post(facts: Facts) -> Gaps:
    """A first post close to the nut leaves no length for the string to bend and turn, nor for a hand to wind it."""
    tangents = points([path.tangent for path in facts.paths])
    at_nut = np.column_stack([tangents[:, 0], np.zeros(len(tangents))])
    return gaps(facts.rule("first post"), facts.strings, tangents[:, 1], _all(facts), at_nut, tangents)


def first_washer(facts: Facts) -> Gaps:
    """A washer that touches the nut does not lie flat, and the nut cannot be taken off."""
    has = np.flatnonzero(facts.collar > 0)
    edge = facts.at[has] - np.column_stack([np.zeros(len(has)), facts.collar[has] / 2])
    at_nut = np.column_stack([edge[:, 0], np.zeros(len(edge))])
    parts = [Part("washer", post.key, post.label) for post in facts.posts]
    return gaps(facts.rule("first washer"), parts, edge[:, 1], has, edge, at_nut)


def first_button(facts: Facts) -> Gaps:
    """A button beside the nut is in the way of the hand at the first fret."""
    discs = [(n, post.button) for n, post in enumerate(facts.posts) if isinstance(post.button, Circle)]
    below = points([Point(disc.centre.x, disc.centre.y - disc.radius) for _, disc in discs])
    lowest = np.concatenate([lowest_corners(facts.button_shapes), below])
    owners = np.concatenate([facts.side_buttons, np.array([n for n, _ in discs], dtype=np.intp)])
    at_nut = np.column_stack([lowest[:, 0], np.zeros(len(lowest))])
    parts = [Part("button", post.key, post.label) for post in facts.posts]
    return gaps(facts.rule("first button"), parts, lowest[:, 1], owners, at_nut, lowest)


def retainer(facts: Facts) -> Gaps:
    """A tree or guide post holds a string only between nut and post, a tree only within its half width."""
    rows = [
        (each, path)
        for each in facts.build.retainers
        for path in facts.paths
        if path.string.key in each.strings
    ]
    rule = facts.rule("retainer")
    if not rows:
        return none_of(rule)
    keys = [each.key for each in facts.build.retainers]
    strings = [path.string.key for path in facts.paths]
    parts = [*(Part("retainer", key, key) for key in keys), *facts.strings]
    i = np.array([keys.index(each.key) for each, _ in rows], dtype=np.intp)
    j = np.array([len(keys) + strings.index(path.string.key) for _, path in rows], dtype=np.intp)
    misses = np.array([float(each not in path.held) for each, path in rows])
    there = points([_passing(each, path) for each, path in rows])
    notes = [_why_loose(facts, each, path) for each, path in rows]
    return gaps(rule, parts, misses, i, points([each.at for each, _ in rows]), there, j=j, notes=notes)


def _passing(each: Retainer, path: StringPath) -> Point:
    """Where a string passes level with a retainer; the retainer's place where it does not come by."""
    legs = (leg for leg in pairwise(path.points) if leg[0].y < each.at.y <= leg[1].y)
    leg = next(legs, None)
    return each.at if leg is None else leg[0].toward(leg[1], (each.at.y - leg[0].y) / (leg[1].y - leg[0].y))


def _why_loose(facts: Facts, each: Retainer, path: StringPath) -> str:
    """Why a tree does not hold a string that comes by; empty where it does, or where the string does not."""
    if each in path.held or not SAME < each.at.y < facts.layout.post(path.post).at.y:
        return ""
    label = facts.layout.labels[path.string.key]
    return (
        f"String {label} passes outside of retainer {each.key} and is not held by it: move that, or give the string "
        "one of its own."
    )


def order(facts: Facts) -> Gaps:
    """Strings that cross rub each other and confuse the player's hand."""
    legs = facts.legs
    a, b = pairs(len(legs.path))
    keep = legs.path[a] != legs.path[b]
    a, b = a[keep], b[keep]
    rule = facts.rule("order")
    if not len(a):
        return none_of(rule)
    _, here, there = shortest(legs.lines[a], legs.lines[b])
    crosses = shapely.intersects(legs.lines[a], legs.lines[b]).astype(float)
    return gaps(rule, facts.strings, crosses, legs.path[a], here, there, j=legs.path[b])


def _all(facts: Facts) -> Indices:
    return np.arange(len(facts.paths))


def _first_legs(facts: Facts) -> tuple[Floats, Floats]:
    return points([path.points[0] for path in facts.paths]), points([path.points[1] for path in facts.paths])
