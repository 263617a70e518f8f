"""Holes that a head has already, where new ones come: which are plugged first, which are opened up."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.bench.operations import Operation, Spot
from geometry.bench.small_holes import old_hole_names, pilot
from geometry.document.build import Build, OldHole
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import REAMED
from geometry.trade.quantities import show_fine, show_length
from geometry.trade.shop import Shop

REACH = 1.0
"""mm; a plug ends so far outside a new bore at least: from memory."""

CENTRED = 0.25
"""mm; an old hole whose centre is no further off leads a reamer or a drill by itself."""


def opened_bores(build: Build, layout: Layout) -> dict[str, OldHole]:
    """The old hole that each of these posts, by key, takes over: through, in the middle, a little narrower, alone."""
    found = {}
    for post in layout.posts:
        met = [] if post.post.drilled else [old for old in _open(build) if _meets(old, post.at, post.bore)]
        if len(met) != 1 or met[0].depth is not None:
            continue
        if (
            _leads(met[0], post.at, post.hardware.bore.through)
            and post.bore - met[0].diameter <= REAMED + SAME
        ):
            found[post.key] = met[0]
    return found


def old_hole_steps(build: Build, layout: Layout, shop: Shop) -> Iterator[Operation]:
    """What to do first with open old holes; nothing about those that no new hole comes near."""
    named = {old.key: name for name, old in zip(old_hole_names(build), build.old_holes, strict=True)}
    opened = opened_bores(build, layout)
    plugged = [old for old in _open(build) if _in_the_way(old, build, layout, shop, opened)]
    if plugged:
        spots = tuple(Spot(named[old.key], old.at) for old in plugged)
        reach = show_length(REACH, shop.units)
        note = (
            f"Plug with the grain of the head, {reach} beyond the new hole all round; let the glue cure, level, and "
            "mark again: on the rim of a hole no bit keeps its place."
        )
        yield Operation("Plug old holes", spots, notes=(note,))
    for key, old in opened.items():
        yield _opening(layout.post(key), named[old.key], shop)


def _open(build: Build) -> list[OldHole]:
    return [old for old in build.old_holes if not old.plugged]


def _meets(old: OldHole, at: Point, diameter: float) -> bool:
    return old.at.distance(at) < (old.diameter + diameter) / 2 + REACH - SAME


def _leads(old: OldHole, at: Point, diameter: float) -> bool:
    return old.at.distance(at) <= CENTRED + SAME and old.diameter <= diameter + SAME


def _in_the_way(old: OldHole, build: Build, layout: Layout, shop: Shop, opened: dict[str, OldHole]) -> bool:
    """Whether a new hole comes near an old one and does not simply take it over."""
    posts = (post for post in layout.posts if not post.post.drilled and opened.get(post.key) != old)
    if any(_meets(old, post.at, post.bore) for post in posts):
        return True
    return any(
        _meets(old, hole.at, hole.diameter) and not _leads(old, hole.at, pilot(build, hole, shop.own_woods))
        for hole in layout.small_holes
    )


def _opening(post: PlacedPost, old: str, shop: Shop) -> Operation:
    wanted = [f"{show_fine(post.hardware.bore.through, shop.units)} right through"]
    wide = post.hardware.bore.counterbore
    if wide is not None:
        deep = show_length(wide.depth, shop.units)
        wanted.insert(0, f"{show_fine(wide.diameter, shop.units)} for {deep} from the face")
    note = (
        f"Old hole {old} is the bore, only narrower: open it to {' and '.join(wanted)}, with a reamer or a piloted "
        "bit. A brad point finds no centre there."
    )
    return Operation("Open an old hole", (Spot(post.label, post.at),), notes=(note,))
