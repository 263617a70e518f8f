"""Brute-force checks of the wood: walls, ends, webs, the nut line, the thickness, what is there already."""

from __future__ import annotations

import math

import numpy as np
import shapely

from tests.oracle.curve import Floats, Json, unit
from tests.oracle.edge import Edge, hollows
from tests.oracle.gaps import Found, Gap
from tests.oracle.head import Head
from tests.oracle.parts import Hole, collar_diameter
from tests.oracle.placing import Post


def check_wood(head: Head, found: Found) -> None:
    """Everything about bores and the wood round them."""
    for post, distance in zip(head.posts, head.edge.distances(head.at), strict=True):
        name, radius = f"bore {post.label}", post.bore / 2
        wall = float(distance) - radius - max(head.trim_face, head.trim_back)
        found.add("wall", name, measured=wall, bore=post.bore)
        end, *nearly = (end_distance(head.build, post, steep) for steep in head.steep)
        if end < math.inf:
            loose = max(abs(each - end) for each in nearly)
            found.add("end distance", name, measured=end, bore=post.bore, loose=loose)
        lowest = post.at[1] - max(post.bore, collar_diameter(post)) / 2
        found.add("into the nut", name, measured=lowest)
        thick = head.thickness(post.at[1])
        room = min(
            thick - post.part.get("thickness_least", 10.0), post.part.get("thickness_most", 20.0) - thick
        )
        found.add("thickness", name, measured=room)
    _webs(head, found)
    _keep_clear(head, found)


def end_distance(build: Json, post: Post, steep: tuple[Floats, Floats]) -> float:
    """Least distance along the grain to those chords of the edge, cut to the strip as wide as the bore."""
    along, across = grain(build)
    start, end = (chords - post.at for chords in steep)
    u, v = np.stack([start @ across, end @ across]), np.stack([start @ along, end @ along])
    half = post.bore / 2
    met = (u.min(axis=0) <= half) & (u.max(axis=0) >= -half)
    u, v = u[:, met], v[:, met]
    cut = np.clip(u, -half, half)
    share = (cut - u[0]) / np.where(u[1] == u[0], 1.0, u[1] - u[0])
    reached = v[0] + share * (v[1] - v[0])
    return float(reached[reached >= 0].min(initial=math.inf))


def grain(build: Json) -> tuple[Floats, Floats]:
    """Directions along and across the grain."""
    turn = math.radians(build.get("head", {}).get("grain_deg", 0.0))
    return np.array([-math.sin(turn), math.cos(turn)]), np.array([math.cos(turn), math.sin(turn)])


# Webs and old holes


def _swallowed(post: Post, old: Json) -> bool:
    """Whether the new bore takes the old hole away whole, at every depth that it has."""
    bore = post.part["bore"]
    widest = bore["through"]
    counterbore = bore.get("counterbore")
    if counterbore and old.get("side", "back") == "face" and old.get("depth") is not None:
        widest = max(widest, counterbore["diameter"]) if old["depth"] <= counterbore["depth"] else widest
    apart = float(np.linalg.norm(post.at - np.array(old["at"])))
    return bool(apart + old["diameter"] / 2 <= widest / 2 + 1e-6)


def open_holes(head: Head) -> list[Json]:
    """Old holes that are holes still: neither plugged nor swallowed by a new bore."""
    return [
        old
        for old in head.build.get("old_holes", [])
        if not old.get("plugged", False) and not any(_swallowed(post, old) for post in head.posts)
    ]


def _webs(head: Head, found: Found) -> None:
    bores = [(f"bore {post.label}", post.at, post.bore) for post in head.posts]
    pairs = [(one, two) for n, one in enumerate(bores) for two in bores[:n]]
    for old in open_holes(head):
        hole = (f"hole {old['key']} (old)", np.array(old["at"], float), old["diameter"])
        pairs += [(bore, hole) for bore in bores]
    for (one, at, wide), (two, there, other) in pairs:
        apart, larger = there - at, max(wide, other)
        watch, stop = _between_directions(head, found, apart, larger)
        measured = float(np.linalg.norm(apart)) - (wide + other) / 2
        found.gaps.append(Gap("web", (one, two), measured, watch, stop))


def _between_directions(
    head: Head, found: Found, apart: Floats, larger: float
) -> tuple[float | None, float | None]:
    """Between along and across the grain the limits are mixed by the square of the cosine."""
    share = float(unit(apart) @ grain(head.build)[0]) ** 2
    along, across = (found.limits.of(f"web {way} grain", larger) for way in ("along", "across"))
    mixed = [
        None if one is None or two is None else one * share + two * (1 - share)
        for one, two in zip(along, across, strict=True)
    ]
    return mixed[0], mixed[1]


# What must be kept clear


def _keep_clear(head: Head, found: Found) -> None:
    for region in head.build.get("keep_clear", []):
        name = f"region {region['name']}"
        for post in head.posts:
            distance = region_distance(region, post.at) - _bore_beside(head, post, region) / 2
            found.add("keep clear", f"bore {post.label}", name, measured=distance)
        for hole in head.holes:
            if _reaches(head, hole, region):
                distance = region_distance(region, hole.at) - hole.diameter / 2
                found.add("keep clear", hole.name, name, measured=distance)


def region_distance(region: Json, at: Floats) -> float:
    """Distance of a place to a region, negative inside."""
    shape = region["shape"]
    if shape["shape"] == "circle":
        return float(np.linalg.norm(at - np.array(shape["centre"])) - shape["radius"])
    polygon = shapely.Polygon(shape["points"])
    distance = polygon.exterior.distance(shapely.Point(at))
    return float(-distance if polygon.contains(shapely.Point(at)) else distance)


def _bore_beside(head: Head, post: Post, region: Json) -> float:
    """The widest that a bore is at a depth that the region has, too."""
    through, counterbore = post.part["bore"]["through"], post.part["bore"].get("counterbore")
    if not counterbore:
        return float(through)
    top = (
        head.thickness(post.at[1]) - region.get("depth", 0.0)
        if region.get("side", "through") == "back"
        else 0.0
    )
    return float(max(through, counterbore["diameter"]) if counterbore["depth"] > top else through)


def _reaches(head: Head, hole: Hole, region: Json) -> bool:
    """Whether a hole comes as deep as a region of the other side."""
    if region.get("side", "through") in ("through", hole.side):
        return True
    return hole.depth > head.thickness(hole.at[1]) - float(region.get("depth", 0.0))


# The outline itself


def check_outline(edge: Edge, build: Json, found: Found) -> None:
    """What the outline is for itself, on the nut line and on its board."""
    right, left = edge.points[0][0], edge.points[-1][0]
    half = build["nut"]["width"] / 2
    left_handed = build.get("hand", "right") == "left"
    sides = ("bass edge", "treble edge") if left_handed else ("treble edge", "bass edge")
    for side, stands_out in zip(sides, (right - half, -half - left), strict=True):
        found.add("width at nut", side, measured=float(stands_out))
        found.add("overhang at nut", side, measured=float(stands_out))
    if (cutter := build.get("cutter_diameter", 0.0)) > 0 and (hollow := hollows(edge)) < math.inf:
        # Arcs that follow a curve within a thousandth of a millimetre have another radius than its tightest place.
        found.add("cutter radius", "hollow", measured=hollow - cutter / 2, loose=0.5 * hollow)
    if blank := build.get("head", {}).get("blank"):
        x, y = edge.points[:, 0], edge.points[:, 1]
        found.add("blank", "left edge", measured=float(x.min() + blank["left"]))
        found.add("blank", "right edge", measured=float(blank["right"] - x.max()))
        found.add("blank", "tip edge", measured=float(blank["length"] - y.max()))
