"""What can be dragged: where it was, what the build becomes when it is elsewhere, what to measure meanwhile."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from app.canvas.tool import Aids
from app.canvas.words import move_name, place_words, run_words, step_words, tr
from app.document.scene import Scene
from app.document.selection import Item, Selection
from app.tools.keyed import parts_of
from app.tools.painting import Tag
from geometry.document.build import Build, OnPlate, Polygon
from geometry.document.node_edits import set_handle
from geometry.document.outline_nodes import (
    End,
    following,
    handles_of,
    is_smooth,
    node_of,
    partner_of,
    run_measures,
    runs_at,
    runs_of,
    segment_of,
)
from geometry.document.run_edits import drag_run
from geometry.layout.by_hand import row_of
from geometry.layout.parts_at_once import move_parts
from geometry.layout.pick import Picked
from geometry.shape.point import Point, Vector
from geometry.trade.units import Units

MOST_TAGS = 6
"""More runs than this are not measured while dragging: the numbers would hide the head."""

Edit = Callable[[Point, bool], Build]


class Drag(msgspec.Struct, frozen=True):
    """Something taken hold of at `place`; `edit` makes the build with it elsewhere, the flag says that Alt is held.

    `moving` are nodes that go along and so do not attract, `lines` tells whether lines attract at all, `runs` are
    measured while dragging.
    """

    name: str
    selection: Selection
    place: Point
    edit: Edit
    moving: tuple[str, ...] = ()
    lines: bool = True
    runs: tuple[str, ...] = ()


def drag_of(scene: Scene, picked: Picked, at: Point, selection: Selection, aids: Aids) -> Drag:
    """The drag of a picked part, together with whatever else is selected; `at` is where it was taken hold of."""
    if picked.kind == "handle":
        assert picked.end is not None, "a handle belongs to an end of its curve"
        return _of_handle(scene, picked.key, picked.end, aids)
    if picked.kind == "run" and len(selection) == 1:
        return _of_run(scene, picked, selection, aids)
    return _of_parts(scene, picked, at, selection, aids)


def _of_handle(scene: Scene, node: str, end: End, aids: Aids) -> Drag:
    build, symmetric = scene.build, aids.symmetric
    at = node_of(build, node).at
    smooth = is_smooth(build, node)

    def edit(to: Point, alone: bool) -> Build:  # noqa: FBT001
        keep = smooth and not alone
        return set_handle(build, node, end, to - at, keep_smooth=keep, symmetric=symmetric)

    place = next(handle.at for handle in handles_of(build, node) if handle.end == end)
    before, after = runs_at(build, node)
    run = before if end == "arrive" else after
    runs = (run,) if run is not None else ()
    return Drag(tr("Move handle"), (Item("node", node),), place, edit, lines=False, runs=runs)


def _of_run(scene: Scene, picked: Picked, selection: Selection, aids: Aids) -> Drag:
    build, run, t, symmetric = scene.build, picked.key, picked.t, aids.symmetric
    assert t is not None, "a run is taken hold of at a place"

    def edit(to: Point, _: bool) -> Build:  # noqa: FBT001
        return drag_run(build, run, t, to, symmetric=symmetric)

    place = segment_of(build, run).point_at(t)
    before, _ = runs_at(build, run)
    _, after = runs_at(build, following(build, run))
    runs = tuple(each for each in (run, before, after) if each is not None)
    return Drag(move_name(scene, selection), selection, place, edit, lines=False, runs=runs)


def _of_parts(scene: Scene, picked: Picked, at: Point, selection: Selection, aids: Aids) -> Drag:
    build, symmetric = scene.build, aids.symmetric
    # What was taken hold of leads: of two partners that both move, the first one is followed.
    taken = Item(picked.kind, picked.key) if picked.kind != "handle" else None
    parts = parts_of(build, tuple(sorted(selection, key=lambda item: item != taken)))
    place = _place(scene, picked, at)

    def edit(to: Point, _: bool) -> Build:  # noqa: FBT001
        return move_parts(build, parts, to - place, symmetric=symmetric)

    partners = [partner_of(build, key) for key in parts.nodes] if symmetric else []
    moving = tuple(dict.fromkeys((*parts.nodes, *(key for key in partners if key is not None))))
    named = _rigid(scene, selection) if picked.kind == "post" else selection
    return Drag(
        move_name(scene, named), selection, place, edit, moving=moving, runs=_runs_at_all(build, parts.nodes)
    )


def _rigid(scene: Scene, selection: Selection) -> Selection:
    """The row in place of a single post on a plate, because the plate goes along as a whole."""
    if len(selection) == 1 and selection[0].kind == "post":
        row = row_of(scene.build, selection[0].key)
        if isinstance(row.rule, OnPlate):
            return (Item("row", row.key),)
    return selection


def _runs_at_all(build: Build, nodes: tuple[str, ...]) -> tuple[str, ...]:
    """The runs that end at any of the nodes, but not those between two of them: these keep their measures."""
    found = []
    for key in nodes:
        before, after = runs_at(build, key)
        if before is not None and before not in nodes:
            found.append(before)
        if after is not None and following(build, after) not in nodes:
            found.append(after)
    return tuple(dict.fromkeys(found))


def _place(scene: Scene, picked: Picked, at: Point) -> Point:
    """The place of a part that snaps: its centre, the nearest corner of a polygon, the pointer's on a run."""
    build = scene.build
    match picked.kind:
        case "node":
            return node_of(build, picked.key).at
        case "post":
            return scene.layout.post(picked.key).at
        case "retainer":
            return next(each.at for each in build.retainers if each.key == picked.key)
        case "old hole":
            return next(each.at for each in build.old_holes if each.key == picked.key)
        case "region":
            shape = next(each.shape for each in build.keep_clear if each.key == picked.key)
            return min(shape.points, key=at.distance) if isinstance(shape, Polygon) else shape.centre
        case _:
            return at


def tags_of(drag: Drag, build: Build, to: Point, units: Units) -> tuple[Tag, ...]:
    """What is measured while dragging: the place, the way to it, and the runs that change."""
    step: Vector = to - drag.place
    tags = [Tag(to, (place_words(to, units), step_words(step, units)))]
    runs = dict(runs_of(build))
    tags += [
        # The edge runs counter-clockwise: to its right there is room outside of the head.
        Tag(
            runs[key].point_at(0.5),
            (run_words(run_measures(build, key), units),),
            away=runs[key].tangent_at(0.5).right,
        )
        for key in drag.runs[:MOST_TAGS]
        if key in runs
    ]
    return tuple(tags)
