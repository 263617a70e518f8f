"""Where the parts that can be selected are, read from a scene."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache, reduce
from itertools import pairwise
from typing import Protocol

from app.document.scene import Scene
from app.document.selection import Item, ItemKind, Selection
from export.sheets.head import region_shape
from geometry.document.build import Build
from geometry.document.outline import Node, Nodes
from geometry.document.outline_nodes import SMOOTH, nodes_of, segment_between, segment_of
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.bounds import Bounds
from geometry.shape.contour import Contour, through
from geometry.shape.segment import Circle
from geometry.shape.tolerance import PRINT

Shape = Contour | Circle

RETAINER = 1.5
"""Radius in mm that stands for a retainer without one."""


def shapes_of(scene: Scene, item: Item) -> tuple[Shape, ...]:
    """The shapes that show where a part is, in head mm; none for a part that has not been placed."""
    if item.kind in {"node", "run"}:
        return _of_outline(scene, item)
    if item.kind in {"post", "row"}:
        return tuple(
            Circle(post.at, post_radius(post))
            for post in scene.layout.posts
            if item.key == (post.key if item.kind == "post" else post.row)
        )
    if item.kind == "string":
        return tuple(
            through(path.points) for path in scene.layout.paths if path.string.key == item.key and path.points
        )
    return _of_head(scene.build, item)


def _of_outline(scene: Scene, item: Item) -> tuple[Shape, ...]:
    nodes = nodes_of(scene.build)
    if item.kind == "node":
        return tuple(Circle(node.at, 0.0) for node in nodes if node.key == item.key)
    if any(node.key == item.key for node in nodes[:-1]):
        return (Contour((segment_of(scene.build, item.key),)),)
    return ()


def _of_head(build: Build, item: Item) -> tuple[Shape, ...]:
    match item.kind:
        case "region":
            return tuple(region_shape(region) for region in build.keep_clear if region.key == item.key)
        case "old hole":
            return tuple(
                Circle(hole.at, hole.diameter / 2) for hole in build.old_holes if hole.key == item.key
            )
        case _:
            return tuple(
                Circle(each.at, each.radius or RETAINER) for each in build.retainers if each.key == item.key
            )


def post_radius(post: PlacedPost) -> float:
    """Radius in mm of all that lies round a post on the face."""
    return max(post.bore, post.hardware.collar_diameter) / 2


def bounds_of_items(scene: Scene, items: Selection) -> Bounds | None:
    """The box round parts in head mm, None when none of them has a place."""
    boxes = [shape.bounds for item in items for shape in shapes_of(scene, item)]
    return reduce(Bounds.joined, boxes) if boxes else None


def moved_posts(before: Layout, now: Layout) -> Selection:
    """The posts that do not lie where they lay in another layout, told apart to what a print shows."""
    places = {post.key: post.at for post in before.posts}
    return tuple(
        Item("post", post.key)
        for post in now.posts
        if post.key not in places or (post.at - places[post.key]).length > PRINT
    )


def in_turn(scene: Scene) -> Selection:
    """What the Tab key goes through: nodes round the outline, posts, and what else lies on the head."""
    build = scene.build
    nodes = build.outline.nodes if isinstance(build.outline, Nodes) else ()
    return (
        *(Item("node", node.key) for node in nodes),
        *(Item("post", post.key) for post in scene.layout.posts),
        *_items("retainer", build.retainers),
        *_items("region", build.keep_clear),
        *_items("old hole", build.old_holes),
    )


class _Keyed(Protocol):
    @property
    def key(self) -> str: ...


def _items(kind: ItemKind, parts: Iterable[_Keyed]) -> tuple[Item, ...]:
    return tuple(Item(kind, part.key) for part in parts)


@lru_cache(maxsize=4)
def smooth_nodes(nodes: tuple[Node, ...]) -> frozenset[str]:
    """Keys of the nodes of an outline through which it goes without a corner."""
    runs = [(one.key, segment_between(one, two)) for one, two in pairwise(nodes)]
    return frozenset(
        key
        for (_, before), (key, after) in pairwise(runs)
        if abs((arriving := before.tangent_at(1.0)).cross(leaving := after.tangent_at(0.0))) <= SMOOTH
        and arriving.dot(leaving) > 0
    )
