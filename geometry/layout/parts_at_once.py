"""Many parts of a build moved or taken away together."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.document import edits, mark_edits, row_edits
from geometry.document.build import Build, OnPlate
from geometry.document.mark_edits import moved_region
from geometry.document.node_edits import move_nodes, remove_node
from geometry.document.outline_nodes import is_end, kept_place, node_of, nodes_of, partner_of
from geometry.document.twins import followed, twin_region
from geometry.layout.by_hand import drag_row, move_posts, row_of
from geometry.layout.layout import lay_out
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME


class Parts(msgspec.Struct, frozen=True):
    """Keys of parts by their kind."""

    nodes: tuple[str, ...] = ()
    posts: tuple[str, ...] = ()
    rows: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    retainers: tuple[str, ...] = ()
    old_holes: tuple[str, ...] = ()

    @property
    def count(self) -> int:
        """How many parts there are."""
        return sum(len(getattr(self, kind)) for kind in self.__struct_fields__)


def move_parts(build: Build, parts: Parts, step: Vector, *, symmetric: bool = False) -> Build:
    """Move parts by a step in mm.

    Posts go by hand; those of a plate, or of a row that is among the parts, take their whole row along. The ends of
    the outline stay on the nut line. With symmetric editing the other side follows, and a region that lies evenly
    across the centre line stays so. Trees, guide posts and old holes go alone. Drilled holes stay where they are.
    """
    before = build
    tuners = _tuner_places(build, parts, step)
    if parts.nodes:
        places = {key: node_of(build, key).at + step for key in parts.nodes}
        build = move_nodes(build, places, symmetric=symmetric)
    if tuners:
        build = _with_tuners_at(build, parts, tuners)
    for key in parts.regions:
        region = next(each for each in build.keep_clear if each.key == key)
        even = symmetric and twin_region(before, key) == key
        build = mark_edits.set_region(build, moved_region(region, Vector(0.0, step.y) if even else step))
    for key in parts.retainers:
        retainer = next(each for each in build.retainers if each.key == key)
        build = mark_edits.set_retainer(build, replace(retainer, at=kept_place(retainer.at + step)))
    for key in parts.old_holes:
        hole = next(each for each in build.old_holes if each.key == key)
        build = mark_edits.set_old_hole(build, replace(hole, at=kept_place(hole.at + step)))
    return followed(before, build, parts.posts) if symmetric else build


def _tuner_places(build: Build, parts: Parts, step: Vector) -> dict[str, Point]:
    """Where the posts are to lie; for a row that moves as a whole, its first post that is among the parts."""
    if not parts.posts and not parts.rows:
        return {}
    layout = lay_out(build)
    loose = [[each.key for each in row.posts if not each.drilled] for row in build.rows]
    leads = [keys[0] for row, keys in zip(build.rows, loose, strict=True) if row.key in parts.rows and keys]
    wanted = {*leads, *(key for keys in loose for key in keys if key in parts.posts)}
    return {post.key: post.at + step for post in layout.posts if post.key in wanted}


def _with_tuners_at(build: Build, parts: Parts, places: dict[str, Point]) -> Build:
    # Nodes that moved have taken posts along already: only what is missing is made up for.
    layout = lay_out(build)
    placed = {post.key: post for post in layout.posts}
    loose: dict[str, Point] = {}
    dragged: set[str] = set()
    for key, to in places.items():
        row = row_of(build, key)
        missing = to - placed[key].at if key in placed else Vector(0.0, 0.0)
        if missing.length <= SAME or row.key in dragged:
            continue
        if row.key in parts.rows or isinstance(row.rule, OnPlate):
            dragged.add(row.key)
            build = drag_row(build, layout, key, missing)
        else:
            loose[key] = to
    return move_posts(build, layout, loose)


def remove_parts(build: Build, parts: Parts, *, symmetric: bool = False) -> Build:
    """Take parts away; the ends of the outline stay.

    With symmetric editing partners of nodes and regions go too; tuners go alone, for the strings count them.
    """
    for key in parts.nodes:
        build = _without_node(build, key, symmetric=symmetric)
    for key in parts.posts:
        build = row_edits.remove_post(build, key)
    for key in parts.rows:
        build = edits.remove_row(build, key)
    for key in _with_twins(build, parts.regions) if symmetric else parts.regions:
        build = edits.remove_region(build, key)
    for key in parts.retainers:
        build = mark_edits.remove_retainer(build, key)
    for key in parts.old_holes:
        build = mark_edits.remove_old_hole(build, key)
    return build


def _with_twins(build: Build, regions: tuple[str, ...]) -> tuple[str, ...]:
    twins = (twin_region(build, key) for key in regions)
    return tuple(dict.fromkeys((*regions, *(key for key in twins if key is not None))))


def _without_node(build: Build, key: str, *, symmetric: bool) -> Build:
    if all(node.key != key for node in nodes_of(build)) or is_end(build, key):
        return build
    partner = partner_of(build, key) if symmetric else None
    return remove_node(build, key, symmetric=partner is not None and not is_end(build, partner))
