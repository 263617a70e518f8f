"""Edits of the nodes of an outline: moving, adding and removing them, their handles, corners.

Every edit of a starter turns it into nodes first. `symmetric` does the same to the node's partner across the centre
line. A ValueError is a sentence for the maker.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from geometry.document.build import Build
from geometry.document.edits import free_outline, fresh_key, mirrored, set_run
from geometry.document.outline import Bend, Curve, Node, Nodes, Straight
from geometry.document.outline_nodes import (
    End,
    Run,
    as_curve,
    bulge_through,
    following,
    has_handle,
    index_of,
    is_end,
    kept_place,
    kept_step,
    node_of,
    nodes_of,
    partner_of,
    run_partner_of,
    runs_at,
    segment_between,
    tangents_at,
)
from geometry.document.starters import run_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Segment
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import refuse


def with_nodes(build: Build, nodes: tuple[Node, ...]) -> Build:
    """The build with other nodes."""
    return replace(build, outline=Nodes(nodes=nodes))


def new_node_key(build: Build) -> str:
    """The key that the next new node takes."""
    return fresh_key("n", {node.key for node in nodes_of(build)})


# Places


def move_nodes(build: Build, places: dict[str, Point], *, symmetric: bool = False) -> Build:
    """Put nodes elsewhere; their handles go with them, and the ends of the outline stay on the nut line.

    With symmetric editing a partner goes to the mirrored place, and a node on the centre line stays on it. Of two
    partners that both move, the first one named leads.
    """
    build = free_outline(build)
    wanted: dict[str, Point] = {}
    for key, at in places.items():
        partner = partner_of(build, key) if symmetric else None
        if key in wanted:
            continue
        place = Point(0.0, at.y) if partner == key else at
        place = kept_place(Point(place.x, 0.0) if is_end(build, key) else place)
        wanted[key] = place
        if partner is not None and partner != key:
            wanted[partner] = place.mirrored
    nodes = tuple(replace(node, at=wanted.get(node.key, node.at)) for node in nodes_of(build))
    return with_nodes(build, nodes)


# Nodes that come and go


def add_node(build: Build, run: str, t: float, *, symmetric: bool = False) -> Build:
    """Put a node on a run at its parameter `t`, between 0 and 1; the shape stays.

    The new node takes `new_node_key`; a run that crosses the centre line gets the mirrored node as well.
    """
    assert 0 < t < 1, "a new node lies between the ends of its run"
    build = free_outline(build)
    if symmetric and run_partner_of(build, run) == run and abs(t - 0.5) > SAME:
        far, near = max(t, 1 - t), min(t, 1 - t)
        return _split(_split(build, run, far), run, near / far)
    if symmetric and run_partner_of(build, run) == run:
        return _split(build, run, 0.5)
    other = run_partner_of(build, run) if symmetric else None
    build = _split(build, run, t)
    return build if other is None else _split(build, other, 1 - t)


def _split(build: Build, run: str, t: float) -> Build:
    nodes = nodes_of(build)
    number = index_of(nodes, run)
    before, after = nodes[number], nodes[number + 1]
    first, second = segment_between(before, after).split(t)
    share = before.follows_nut + (after.follows_nut - before.follows_nut) * t
    new = Node(key=new_node_key(build), at=first.end, onward=run_of(second), follows_nut=share)
    return with_nodes(
        build, (*nodes[:number], replace(before, onward=run_of(first)), new, *nodes[number + 1 :])
    )


def remove_node(build: Build, node: str, *, symmetric: bool = False) -> Build:
    """Take a node away and join its two runs: exactly when they were one before, else near their shape.

    ValueError for the ends of the outline.
    """
    if is_end(build, node):
        refuse("The ends of the outline on the nut line stay.")
    before, _ = runs_at(build, node)
    assert before is not None, "only an end has no run before it"
    build = at_both(build, node, _removed, symmetric=symmetric)
    keys = {each.key for each in nodes_of(build)}
    return evened(build, before) if symmetric and before in keys else build


def _removed(build: Build, node: str) -> Build:
    nodes = nodes_of(build)
    number = index_of(nodes, node)
    before, gone, after = nodes[number - 1 : number + 2]
    joined = replace(before, onward=_joined(segment_between(before, gone), segment_between(gone, after)))
    return with_nodes(build, (*nodes[: number - 1], joined, *nodes[number + 1 :]))


def _joined(first: Segment, second: Segment) -> Run:
    """One run in place of two."""
    if isinstance(first, Arc) and isinstance(second, Arc):
        return Bend(bulge=bulge_through(first.start, first.end, second.end))
    if not isinstance(first, Arc | Cubic) and not isinstance(second, Arc | Cubic):
        return Straight()
    one, two = as_curve(first), as_curve(second)
    # Parts of one cubic have handles in the ratio of their parameters where they meet.
    whole = one.arrive.length + two.leave.length
    share = min(0.99, max(0.01, one.arrive.length / whole)) if whole > SAME else 0.5
    return Curve(leave=kept_step(one.leave / share), arrive=kept_step(two.arrive / (1 - share)))


# Handles


def set_handle(
    build: Build, node: str, end: End, to: Vector, *, keep_smooth: bool = False, symmetric: bool = False
) -> Build:
    """Put a handle elsewhere, as seen from its node; a node without that handle stays as it is.

    `keep_smooth` turns the handle on the other side along; where the other side has none, the handle stays in line with
    the run there. On the centre line, symmetric editing mirrors a handle onto the other side of the node.
    """
    build = free_outline(build)
    if symmetric and partner_of(build, node) == node:
        return _on_centre_line(build, node, end, to, keep_smooth=keep_smooth)

    def edit(each: Build, key: str) -> Build:
        return _handled(each, key, end, to, keep_smooth=keep_smooth)

    return at_both(build, node, edit, symmetric=symmetric)


def _handled(build: Build, node: str, end: End, to: Vector, *, keep_smooth: bool) -> Build:
    tangents = tangents_at(build, node)
    if not keep_smooth or tangents is None:
        return with_handle(build, node, end, to)
    other: End = "arrive" if end == "leave" else "leave"
    if has_handle(build, node, other):
        if not to.length > SAME:
            return build
        turned = to.unit() * -handle_of(build, node, other).length
        return with_handle(with_handle(build, node, end, to), node, other, turned)
    line = tangents[0] if end == "leave" else -tangents[1]
    return with_handle(build, node, end, line * max(to.dot(line), 10 * SAME))


def _on_centre_line(build: Build, node: str, end: End, to: Vector, *, keep_smooth: bool) -> Build:
    if keep_smooth:
        to = Vector(to.x, 0.0)
    other: End = "arrive" if end == "leave" else "leave"
    return with_handle(with_handle(build, node, end, to), node, other, to.mirrored)


def handle_of(build: Build, node: str, end: End) -> Vector:
    """A handle as seen from its node; asking for one that is not there is a programming error."""
    run = runs_at(build, node)[0 if end == "arrive" else 1]
    curve = node_of(build, run).onward if run is not None else None
    assert isinstance(curve, Curve), "only curves have handles"
    return curve.arrive if end == "arrive" else curve.leave


def with_handle(build: Build, node: str, end: End, to: Vector) -> Build:
    """The build with one handle changed, if the node has it."""
    run = runs_at(build, node)[0 if end == "arrive" else 1]
    curve = node_of(build, run).onward if run is not None else None
    if run is None or not isinstance(curve, Curve):
        return build
    to = kept_step(to)
    return set_run(build, run, replace(curve, arrive=to) if end == "arrive" else replace(curve, leave=to))


# Both sides of the centre line: the other one is edited in the mirror, where a node's partner lies where the node lies,
# with the same runs around it, so that one edit serves for both.


KeyedEdit = Callable[[Build, str], Build]


def at_both(build: Build, node: str, edit: KeyedEdit, *, symmetric: bool) -> Build:
    """Edit a node, and its partner likewise; a node without a partner is edited alone."""
    build = free_outline(build)
    partner = partner_of(build, node) if symmetric else None
    after = edit(build, node)
    if partner is None or partner == node:
        return after
    return mirrored(edit(mirrored(after), partner))


def on_both(build: Build, run: str, edit: KeyedEdit, *, symmetric: bool) -> Build:
    """Edit a run, and its mirror image likewise; one that crosses the centre line is made even afterwards."""
    build = free_outline(build)
    other = run_partner_of(build, run) if symmetric else None
    if other is None:
        return edit(build, run)
    if other == run:
        return evened(edit(build, run), run)
    # In the mirror a run goes on from its other end.
    start = following(build, other)
    return mirrored(edit(mirrored(edit(build, run)), start))


def evened(build: Build, run: str) -> Build:
    """The build with a run across the centre line made its own mirror image; other kinds than curves are so already."""
    onward = node_of(build, run).onward
    if not isinstance(onward, Curve) or run_partner_of(build, run) != run:
        return build
    leave = (onward.leave + onward.arrive.mirrored) / 2
    return set_run(build, run, replace(onward, leave=leave, arrive=leave.mirrored))
