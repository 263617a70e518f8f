"""What lies under the pointer, and what lies in a box."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Literal

import msgspec
import numpy as np

from geometry.document.build import Build, OldHole, Polygon, Region, Retainer
from geometry.document.outline_nodes import End, following, handles_of, nodes_of, runs_of, segment_of
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.layout.regions import region_distance
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point
from geometry.shape.segment import Circle

PickedKind = Literal["handle", "node", "post", "retainer", "old hole", "region", "run"]
Shown = Literal["face", "back", "both"]


class Picked(msgspec.Struct, frozen=True, gc=False):
    """A part under the pointer: a handle by its node's key and end, a run by the key of the node it goes on from.

    `t` is the parameter of the place on a run.
    """

    kind: PickedKind
    key: str
    end: End | None = None
    t: float | None = None


Found = tuple[float, Picked]
"""A candidate with its distance in mm."""

BESIDE, OF_RUN = 1.5, 0.25
"""Who takes hold of the edge so near to a node means the node: times the pointer's reach, share of the run at most."""


def pick(
    build: Build, layout: Layout, at: Point, reach: float, side: Shown, handles: Collection[str] = ()
) -> Picked | None:
    """The part at a place, what is small before what is large: the nearest of the first kind that has one.

    `reach` is how near in mm counts, `side` what is in view, `handles` the nodes whose handles are shown.
    """
    finders = (
        _handles(build, at, handles),
        _nodes(build, at),
        _posts(layout, at, reach),
        _retainers(build, at, reach, side),
        _old_holes(build, at, reach, side),
        _region_edges(build, at, side),
        _runs(build, at, reach),
        _region_areas(build, at, side),
        _bodies(layout, at, side),
    )
    for found in finders:
        near = min((each for each in found if each[0] <= reach), key=lambda each: each[0], default=None)
        if near is not None:
            return _node_beside(build, near[1], at, reach) or near[1]
    return None


def _node_beside(build: Build, picked: Picked, at: Point, reach: float) -> Picked | None:
    """The node that is meant by a press on a run beside it; the middle half of a run is always the run's."""
    if picked.kind != "run":
        return None
    run = segment_of(build, picked.key)
    counts = min(BESIDE * reach, OF_RUN * run.start.distance(run.end))
    ends = (run.start.distance(at), picked.key), (run.end.distance(at), following(build, picked.key))
    away, key = min(ends)
    return Picked("node", key) if away <= counts else None


def _handles(build: Build, at: Point, keys: Collection[str]) -> Iterator[Found]:
    places = {node.key: node.at for node in nodes_of(build)} if keys else {}
    for key in keys:
        for handle in handles_of(build, key) if key in places else ():
            distance = handle.at.distance(at)
            # A handle that lies on its node leaves the node within reach.
            if distance < places[key].distance(at):
                yield distance, Picked("handle", key, end=handle.end)


def _nodes(build: Build, at: Point) -> Iterator[Found]:
    return ((node.at.distance(at), Picked("node", node.key)) for node in nodes_of(build))


def _posts(layout: Layout, at: Point, reach: float) -> Iterator[Found]:
    return (
        _disc(Circle(post.at, _radius(post)), at, reach, Picked("post", post.key)) for post in layout.posts
    )


def _radius(post: PlacedPost) -> float:
    return max(post.bore, post.hardware.collar_diameter) / 2


def _disc(circle: Circle, at: Point, reach: float, picked: Picked) -> Found:
    """A disc counts from its middle as far as it is wide, and however small, as far as the pointer reaches."""
    away = at.distance(circle.centre)
    return (away * reach / max(circle.radius, reach)), picked


def _retainers_seen(build: Build, side: Shown) -> tuple[Retainer, ...]:
    return build.retainers if side != "back" else ()


def _retainers(build: Build, at: Point, reach: float, side: Shown) -> Iterator[Found]:
    for each in _retainers_seen(build, side):
        yield _disc(Circle(each.at, each.radius), at, reach, Picked("retainer", each.key))


def _holes_seen(build: Build, side: Shown) -> Iterator[OldHole]:
    return (hole for hole in build.old_holes if hole.depth is None or side in {hole.side, "both"})


def _old_holes(build: Build, at: Point, reach: float, side: Shown) -> Iterator[Found]:
    for hole in _holes_seen(build, side):
        yield _disc(Circle(hole.at, hole.diameter / 2), at, reach, Picked("old hole", hole.key))


def _seen(build: Build, side: Shown) -> Iterator[Region]:
    return (each for each in build.keep_clear if each.side == "through" or side in {each.side, "both"})


def _region_edges(build: Build, at: Point, side: Shown) -> Iterator[Found]:
    return ((abs(_beside(region, at)), Picked("region", region.key)) for region in _seen(build, side))


def _region_areas(build: Build, at: Point, side: Shown) -> Iterator[Found]:
    inside = (region for region in _seen(build, side) if _beside(region, at) <= 0)
    return ((0.0, Picked("region", region.key)) for region in inside)


def _beside(region: Region, at: Point) -> float:
    """How far a place is from a region in mm, negative inside."""
    return float(region_distance(np.array([[at.x, at.y]]), region)[0][0])


def _bounds(region: Region) -> Bounds:
    if isinstance(region.shape, Polygon):
        return bounds_of(region.shape.points)
    return Circle(region.shape.centre, region.shape.radius).bounds


def _runs(build: Build, at: Point, reach: float) -> Iterator[Found]:
    for key, segment in runs_of(build):
        if segment.bounds.grown(reach).contains(at):
            nearest = segment.nearest(at)
            yield nearest.distance, Picked("run", key, t=nearest.t)


def _bodies(layout: Layout, at: Point, side: Shown) -> Iterator[Found]:
    """From the back a tuner can be taken by its body."""
    for post in layout.posts if side != "face" else ():
        if post.body is not None and post.body.contains(at):
            yield 0.0, Picked("post", post.key)


def in_box(build: Build, layout: Layout, box: Bounds, side: Shown) -> tuple[Picked, ...]:
    """The nodes, posts, retainers and old holes whose centre is in a box, and the regions that lie wholly in it."""
    found: list[Picked] = [Picked("node", node.key) for node in nodes_of(build) if box.contains(node.at)]
    found += [Picked("post", post.key) for post in layout.posts if box.contains(post.at)]
    found += [Picked("retainer", each.key) for each in _retainers_seen(build, side) if box.contains(each.at)]
    found += [Picked("old hole", hole.key) for hole in _holes_seen(build, side) if box.contains(hole.at)]
    found += [Picked("region", each.key) for each in _seen(build, side) if _within(box, _bounds(each))]
    return tuple(found)


def _within(box: Bounds, other: Bounds) -> bool:
    return box.joined(other) == box


def pick_run(build: Build, at: Point, reach: float) -> Picked | None:
    """The run nearest to a place, whatever else lies there: where a new node can go.

    Its middle counts as long as that is within reach; near its ends, where nodes are, there is nothing.
    """
    found = min(_runs(build, at, reach), key=lambda each: each[0], default=None)
    if found is None or found[0] > reach:
        return None
    picked = found[1]
    segment = segment_of(build, picked.key)
    if segment.point_at(0.5).distance(at) <= reach:
        return msgspec.structs.replace(picked, t=0.5)
    near_end = min(segment.start.distance(at), segment.end.distance(at)) <= reach / 2
    return None if near_end or picked.t in (0, 1) else picked


def pick_node(build: Build, at: Point, reach: float) -> str | None:
    """The key of the node nearest to a place, whatever else lies there."""
    near = min(_nodes(build, at), key=lambda each: each[0], default=None)
    return near[1].key if near is not None and near[0] <= reach else None
