"""Brute-force checks of tuners against each other and the edge: bodies, washers, seats, buttons, screws, pins."""

from __future__ import annotations

import numpy as np
import shapely

from tests.oracle.curve import Json
from tests.oracle.gaps import Found
from tests.oracle.head import Head
from tests.oracle.parts import Body, Hole, Round, button, collar_diameter, rows_of, span
from tests.oracle.placing import Post
from tests.oracle.wood import open_holes


def check_hardware(head: Head, found: Found) -> None:
    """Everything about tuners."""
    _bodies(head, found)
    _washers(head, found)
    _seats(head, found)
    _buttons(head, found)
    _small_holes(head, found)
    for row in rows_of(head.posts):
        if plate := head.plates.get(row[0].row["key"]):
            found.add("plate fit", f"body {span(row)}", measured=plate.worst, bore=play(row[0].part))


def play(part: Json) -> float:
    """How far a post may lie off the middle of the bore in which it turns."""
    return float(part.get("bushing_bore", part["post_diameter"] + 0.1) - part["post_diameter"]) / 2


def apart(one: shapely.Polygon, two: shapely.Polygon) -> float:
    """Distance of two shapes, negative where they overlap: the least shift that would part two convex ones."""
    if not one.intersects(two) or one.touches(two):
        return float(one.distance(two))
    best = -np.inf
    for shape in (one, two):
        corners = shapely.get_coordinates(shape)
        for way in np.diff(corners, axis=0):
            across = np.array([way[1], -way[0]]) / np.linalg.norm(way)
            a, b = shapely.get_coordinates(one) @ across, shapely.get_coordinates(two) @ across
            best = max(best, a.min() - b.max(), b.min() - a.max())
    return float(best)


def _bodies(head: Head, found: Found) -> None:
    for n, one in enumerate(head.bodies):
        for two in head.bodies[:n]:
            check = "butting body gap" if one.butts and two.butts else "body gap"
            found.add(check, one.name, two.name, measured=apart(one.shape, two.shape), overlaps=True)


def _washers(head: Head, found: Found) -> None:
    washers = [
        (post, radius, distance)
        for post, distance in zip(head.posts, head.edge.distances(head.at), strict=True)
        if (radius := collar_diameter(post) / 2) > 0
    ]
    for n, (post, radius, distance) in enumerate(washers):
        name = f"washer {post.label}"
        found.add("washer gap", name, measured=float(distance) - radius - head.rounded_face)
        found.add("first washer", name, measured=float(post.at[1] - radius))
        for other, wide, _ in washers[:n]:
            between = float(np.linalg.norm(post.at - other.at)) - radius - wide
            found.add("washer gap", name, f"washer {other.label}", measured=between)


def _seats(head: Head, found: Found) -> None:
    flat_from = head.build.get("head", {}).get("back_flat_from", 5.0)
    for seat in head.seats:
        corners = shapely.get_coordinates(seat.shape)
        found.add("seat on flat back", seat.name, measured=float(corners[:, 1].min() - flat_from))
        inside = head.edge.wood.contains(seat.shape)
        clear = float(seat.shape.distance(head.edge.line)) if inside else -_over(head, seat)
        found.add("seat", seat.name, measured=clear - head.trim_back, overlaps=not inside)


def _over(head: Head, seat: Body) -> float:
    """How far a seat's rim hangs over the edge: its farthest place off the wood."""
    rim = shapely.segmentize(seat.shape.exterior, 0.05)
    distances = head.edge.distances(shapely.get_coordinates(rim))
    return float(-distances.min())


def _shape(thing: shapely.Polygon | Round) -> shapely.Polygon:
    if isinstance(thing, Round):
        return shapely.Point(thing.at).buffer(thing.radius, quad_segs=256)
    return thing


def _buttons(head: Head, found: Found) -> None:
    buttons = [(post, button(post, head.plates)) for post in head.posts]
    for n, (post, mine) in enumerate(buttons):
        name = f"button {post.label}"
        low = mine.at[1] - mine.radius if isinstance(mine, Round) else shapely.bounds(mine)[1]
        found.add("first button", name, measured=float(low))
        if isinstance(mine, shapely.Polygon) and not _below(post):
            _button_to_edge(head, found, name, mine)
        for other, theirs in buttons[:n]:
            if isinstance(mine, Round) and isinstance(theirs, Round):
                between = float(np.linalg.norm(mine.at - theirs.at)) - mine.radius - theirs.radius
                found.add("button gap", name, f"button {other.label}", measured=between)
            else:
                between = apart(_shape(mine), _shape(theirs))
                found.add("button gap", name, f"button {other.label}", measured=between, overlaps=True)


def _below(post: Post) -> bool:
    """Whether a side button turns wholly below the back."""
    said = post.part["button"]
    return bool(said["swept_diameter"] / 2 < said["shaft_depth"])


def _button_to_edge(head: Head, found: Found, name: str, mine: shapely.Polygon) -> None:
    if not mine.intersects(head.edge.wood):
        found.add("button to edge", name, measured=float(mine.distance(head.edge.line)))
        return
    corners = shapely.get_coordinates(mine)[:-1]
    inside = head.edge.distances(corners).max()
    within = np.asarray(shapely.points(head.edge.points))
    within = within[shapely.contains(mine, within)]
    reach = shapely.distance(mine.exterior, within).max() if len(within) else 0.0
    found.add("button to edge", name, measured=-float(max(inside, reach, 0.0)), overlaps=True)


# Screws and pins


def _small_holes(head: Head, found: Found) -> None:
    at = np.stack([hole.at for hole in head.holes]) if head.holes else np.empty((0, 2))
    for hole, distance in zip(head.holes, head.edge.distances(at), strict=True):
        trim = head.trim_face if hole.side == "face" else head.trim_back
        found.add("screw to edge", hole.name, measured=float(distance) - hole.diameter / 2 - trim)
        deepest = max(hole.depth, hole.tip)
        found.add("screw depth", hole.name, measured=head.thickness(hole.at[1]) - deepest)
        _to_bores(head, found, hole)
    for n, one in enumerate(head.holes):
        for two in head.holes[:n]:
            wood = float(np.linalg.norm(one.at - two.at)) - (one.diameter + two.diameter) / 2
            found.add("screw to hole", one.name, two.name, measured=wood)


def _to_bores(head: Head, found: Found, hole: Hole) -> None:
    for post in head.posts:
        wood = float(np.linalg.norm(hole.at - post.at)) - (hole.diameter + post.bore) / 2
        if post.key in hole.posts:
            found.add("screw to own bore", hole.name, measured=wood)
        else:
            found.add("screw to hole", hole.name, f"bore {post.label}", measured=wood)
    for old in open_holes(head):
        wood = float(np.linalg.norm(hole.at - np.array(old["at"]))) - (hole.diameter + old["diameter"]) / 2
        found.add("screw to hole", hole.name, f"hole {old['key']} (old)", measured=wood)
