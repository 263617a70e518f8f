"""Parts of a build copied, to be put into it again or into another one."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from msgspec import UNSET
from msgspec.structs import replace

from geometry.document import edits
from geometry.document.build import Build, OldHole, Polygon, Post, Region, Retainer
from geometry.document.mark_edits import moved_region
from geometry.document.node_edits import add_node, move_nodes, new_node_key
from geometry.document.outline import MOST_NODES, Node
from geometry.document.outline_nodes import kept_place, nodes_of, runs_of
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import refuse

ASIDE = Vector(5.0, -5.0)
"""How far in mm a copy is put from a part that lies in its place."""

ENOUGH = 200
"""More copies than this on one place are not moved apart any further."""


class CopiedPost(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A post and the key of the row it comes from."""

    row: str
    post: Post


class Copies(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Parts as they were when copied."""

    nodes: tuple[Node, ...] = ()
    posts: tuple[CopiedPost, ...] = ()
    regions: tuple[Region, ...] = ()
    retainers: tuple[Retainer, ...] = ()
    old_holes: tuple[OldHole, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to put anywhere."""
        return not (self.nodes or self.posts or self.regions or self.retainers or self.old_holes)


class Pasted(msgspec.Struct, frozen=True):
    """A build with copies in it, and the keys that they were given."""

    build: Build
    nodes: tuple[str, ...] = ()
    posts: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    retainers: tuple[str, ...] = ()
    old_holes: tuple[str, ...] = ()


def copied(build: Build, keys: Iterable[tuple[str, str]]) -> Copies:
    """Copies of the parts with these kinds ("node", "post", "region", "retainer", "old hole") and keys."""
    chosen = set(keys)
    return Copies(
        nodes=tuple(each for each in nodes_of(build) if ("node", each.key) in chosen),
        posts=tuple(
            CopiedPost(row.key, post)
            for row in build.rows
            for post in row.posts
            if ("post", post.key) in chosen
        ),
        regions=tuple(each for each in build.keep_clear if ("region", each.key) in chosen),
        retainers=tuple(each for each in build.retainers if ("retainer", each.key) in chosen),
        old_holes=tuple(each for each in build.old_holes if ("old hole", each.key) in chosen),
    )


def paste(build: Build, copies: Copies) -> Pasted:
    """Put copies into a build: where they were, or a little aside of what lies there already.

    A node goes into the nearest run; a post becomes the last of its row, or of the first row there is. Raises
    ValueError, a sentence for the maker, when a build cannot hold that many.
    """
    step = _free_step(build, copies)
    build, nodes = _with_nodes(build, copies.nodes, step)
    build, posts = _with_posts(build, copies.posts)
    regions, retainers, holes = [], [], []
    for region in copies.regions:
        regions.append(edits.fresh_key("k", {each.key for each in build.keep_clear}))
        build = edits.add_region(build, replace(moved_region(region, step), key=regions[-1]))
    strings = {string.key for string in build.strings}
    for retainer in copies.retainers:
        retainers.append(edits.fresh_key("g", {each.key for each in build.retainers}))
        held = tuple(key for key in dict.fromkeys(retainer.strings) if key in strings)
        new = replace(retainer, key=retainers[-1], at=kept_place(retainer.at + step), strings=held)
        build = edits.add_retainer(build, new)
    for hole in copies.old_holes:
        holes.append(edits.fresh_key("o", {each.key for each in build.old_holes}))
        build = edits.add_old_hole(build, replace(hole, key=holes[-1], at=kept_place(hole.at + step)))
    check_room(build)
    return Pasted(build, nodes, posts, tuple(regions), tuple(retainers), tuple(holes))


def _free_step(build: Build, copies: Copies) -> Vector:
    """The first of none, one, two... steps aside at which no copy lies on another part of its kind."""
    taken = _places(nodes_of(build), build.keep_clear, build.retainers, build.old_holes)
    wanted = _places(copies.nodes, copies.regions, copies.retainers, copies.old_holes)
    there = {(kind, _rounded(at)) for kind, at in taken}
    for count in range(ENOUGH):
        step = ASIDE * count
        if not any((kind, _rounded(at + step)) in there for kind, at in wanted):
            break
    return step


def _places(
    nodes: Iterable[Node], regions: Iterable[Region], *others: Iterable[Retainer | OldHole]
) -> list[tuple[int, Point]]:
    """Where parts lie, each with a number for its kind."""
    kinds = [[node.at for node in nodes], [_place(region) for region in regions]]
    kinds += [[each.at for each in parts] for parts in others]
    return [(kind, at) for kind, places in enumerate(kinds) for at in places]


def _rounded(at: Point) -> tuple[float, float]:
    return round(at.x, 3), round(at.y, 3)


def _place(region: Region) -> Point:
    shape = region.shape
    return shape.points[0] if isinstance(shape, Polygon) else shape.centre


def _with_nodes(build: Build, nodes: tuple[Node, ...], step: Vector) -> tuple[Build, tuple[str, ...]]:
    keys = []
    for node in nodes:
        place = node.at + step
        found = [(segment.nearest(place), run) for run, segment in runs_of(build) if segment.length > SAME]
        if not found:
            continue
        nearest, run = min(found, key=lambda each: each[0].distance)
        keys.append(new_node_key(build))
        build = add_node(build, run, min(0.95, max(0.05, nearest.t)))
        build = move_nodes(build, {keys[-1]: place})
    return build, tuple(keys)


def _with_posts(build: Build, posts: tuple[CopiedPost, ...]) -> tuple[Build, tuple[str, ...]]:
    keys: list[str] = []
    for each in posts if build.rows else ():
        there = [row for row in build.rows if row.key == each.row] or [build.rows[0]]
        keys.append(edits.fresh_key("p", {post.key for row in build.rows for post in row.posts}))
        # A string goes to one post only: the copy takes its own by rule.
        row = replace(there[0], posts=(*there[0].posts, replace(each.post, key=keys[-1], string=UNSET)))
        build = replace(build, rows=tuple(row if old.key == row.key else old for old in build.rows))
    return build, tuple(keys)


def check_room(build: Build) -> None:
    """Raise ValueError, a sentence for the maker, when there is more of something than a file takes."""
    counts = [
        (len(nodes_of(build)), MOST_NODES, "nodes"),
        (max((len(row.posts) for row in build.rows), default=0), 40, "tuners in a row"),
        (len(build.keep_clear), 100, "regions to keep clear"),
        (len(build.retainers), 40, "trees and guide posts"),
        (len(build.old_holes), 200, "old holes"),
    ]
    for count, most, what in counts:
        if count > most:
            refuse(f"A build has room for {most} {what}.")
