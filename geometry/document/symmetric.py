"""Edits of an outline made on both sides of the centre line at once.

The other side is edited in the mirror: there a node's partner lies where the node lies, with the same runs around
it, so that one edit serves for both.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from geometry.document.build import Build, Curve
from geometry.document.edits import free_outline, mirrored, set_run
from geometry.document.outline_nodes import following, node_of, partner_of, run_partner_of

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
