"""The drilling schedule: every step from the first mark to the last screw, in the order in which it is done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from geometry.bench.bore_fit import bore_fits, choose, pressed
from geometry.bench.fit_words import choice_notes
from geometry.bench.hollows import takes_wood
from geometry.bench.operations import TWIST, BoreWork, Hole, Operation, Spot, bore_steps, point_length
from geometry.bench.small_holes import (
    old_hole_names,
    pilot,
    small_hole_fit,
    small_hole_names,
    tree_screw_names,
)
from geometry.bench.straight_rows import Laid, laid_by
from geometry.document.build import Build, OldHole
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, SmallHole, thickness_at
from geometry.layout.regions import region_distance
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import REAMED
from geometry.trade.hardware import SideButton
from geometry.trade.quantities import show_fine, show_length, show_measured
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import find_wood, pilot_share

_LEAST_LEFT = 2.0  # mm of wood that stay between the point of a drill and the face: from memory
_WAXED_FROM = 0.9  # share of the root; woods that want so wide a pilot want their screws waxed too


def schedule(build: Build, layout: Layout, shop: Shop) -> tuple[Operation, ...]:
    """All steps in their order; holes that are drilled alike share one. Nothing without tuners."""
    if not layout.posts:
        return ()
    named = list(zip(small_hole_names(layout), layout.holes, strict=True))
    pins, screws = ([each for each in named if each[1].kind == kind] for kind in ("pin", "screw"))
    trees = list(zip(tree_screw_names(build, layout), layout.tree_screws, strict=True))
    return (
        *_marking(build, layout),
        *old_hole_steps(build, layout, shop),
        *_bores(build, layout, shop),
        _dry_fit(layout),
        *(step for kind in (pins, screws, trees) for step in _small(build, layout, shop, kind)),
        *_driving(build, shop, [*screws, *trees]),
    )


# Bores


def _marking(build: Build, layout: Layout) -> Iterator[Operation]:
    new, there = _to_drill(build, layout), [post for post in layout.posts if post.post.drilled]
    if there:
        yield Operation("Drilled already", _spots(there), notes=("These bores stay as they are.",))
    if not new:
        return
    said = [
        "Punch every centre by one template or from one reference line, with veneer and overlay glued on."
    ]
    if build.head.angle_deg > SAME:
        said.append(
            "The face lies square to the spindle: an angled head is held level for that, by a cradle of blocks."
        )
    yield Operation("Mark", _spots(new), notes=tuple(said))


def _to_drill(build: Build, layout: Layout) -> list[PlacedPost]:
    """The posts whose bores are still to be drilled; an old hole that is opened up is not."""
    opened = opened_bores(build, layout)
    return [post for post in layout.posts if not post.post.drilled and post.key not in opened]


def _bores(build: Build, layout: Layout, shop: Shop) -> Iterator[Operation]:
    """One run of steps for the bores of each kind of tuner that enter the same hollow, or none."""
    alike: dict[tuple[str, str], list[PlacedPost]] = {}
    for post in _to_drill(build, layout):
        alike.setdefault((post.hardware.key, _entered(build, post)), []).append(post)
    for (_, hollow), posts in alike.items():
        hardware = posts[0].hardware
        thickest = max(post.thickness for post in posts)
        work = BoreWork(hardware, bore_fits(hardware, build.head, shop), _spots(posts), thickest, hollow)
        yield from bore_steps(work, shop)


def _entered(build: Build, post: PlacedPost) -> str:
    """The names of the pockets that a bore runs into; old holes in its way are plugged before."""
    wall = post.bore / 2 - SAME
    hollow = (region for region in build.keep_clear if takes_wood(region))
    at = np.array([[post.at.x, post.at.y]])
    met = (each for each in hollow if region_distance(at, each)[0][0] < wall)
    return " and ".join(each.name or each.key for each in met)


def _spots(posts: Iterable[PlacedPost]) -> tuple[Spot, ...]:
    return tuple(Spot(post.label, post.at) for post in posts)


_LAID: dict[Laid, str] = {
    "straightedge": "All bodies of a row against a straightedge, in one line, held lightly.",
    "comb": "Each body between its own lines on the comb, held lightly: not every row is straight.",
    "back": "Each tuner turned as the back is drawn, held lightly: not every row is straight.",
}


def _dry_fit(layout: Layout) -> Operation:
    said = []
    if any(pressed(post.hardware) for post in layout.posts):
        said.append("Press bushings in square, with a clamp and a block; no glue.")
    if layout.plates:
        said.append("A plate goes on with all its posts through their bores, so that none binds.")
    elif layout.holes:
        said.append(_LAID[laid_by(layout)])
    # A peg with its button at the back is held by friction, or gives that feel; only worm and wheel run free.
    free = any(isinstance(post.hardware.button, SideButton) for post in layout.posts)
    said.append("Turn every post: it runs free." if free else "Turn every peg: it turns evenly.")
    return Operation("Fit dry", _spots(layout.posts), notes=tuple(said))


# Screws and pins

NamedHole = tuple[str, SmallHole]


def _small(build: Build, layout: Layout, shop: Shop, named: Iterable[NamedHole]) -> Iterator[Operation]:
    """One step for those of the holes that have the same drill and depth."""
    alike: dict[tuple[float, float, float], list[NamedHole]] = {}
    for name, hole in named:
        key = (pilot(build, hole, shop.own_woods), hole.root, hole.depth)
        alike.setdefault(key, []).append((name, hole))
    for (drill, _, _), same in alike.items():
        yield _small_step(build, layout, shop, drill, same)


def _small_step(build: Build, layout: Layout, shop: Shop, drill: float, named: list[NamedHole]) -> Operation:
    first = named[0][1]
    fit = small_hole_fit(first, drill)
    choice = choose(fit, shop.drills)
    stop = first.depth + point_length(TWIST, fit, choice)
    hole = Hole(TWIST, fit, choice, first.depth, first.side, False, stop)
    left = min(thickness_at(build, each.at.y, layout.top) - stop for _, each in named)
    notes = [*choice_notes(fit, choice, shop.units)]
    notes.append(_how(first, layout))
    if left < _LEAST_LEFT - SAME:
        notes.append(_thin(left, first, shop.units))
    spots = tuple(Spot(called, each.at) for called, each in named)
    return Operation(_step_name(first), spots, hole, tuple(notes))


_BODIES: dict[Laid, str] = {
    "straightedge": "all bodies in line",
    "comb": "each body between its lines on the comb",
    "back": "each tuner turned as the back is drawn",
}


def _how(hole: SmallHole, layout: Layout) -> str:
    if hole.kind == "pin":
        return "Press each fitted tuner down lightly: its pins print where they want their holes."
    if hole.tree:
        return "The tree across its strings, its own hole on the mark; a tape flag on the bit."
    bodies = _BODIES[laid_by(layout)]
    return f"Through the tuners' own screw holes, with {bodies}; a tape flag on the bit."


def _step_name(hole: SmallHole) -> str:
    if hole.kind == "pin":
        return "Pin holes"
    return "Tree pilots" if hole.tree else "Screw pilots"


def _thin(left: float, hole: SmallHole, units: Units) -> str:
    under, through = ("over the back", "back") if hole.side == "face" else ("under the face", "face")
    if left <= SAME:
        return f"At this depth the point comes through the {through}: a shorter screw, or a shallower hole."
    return f"Only {show_measured(left, units)} of wood stays {under}: set the stop with care."


def _driving(build: Build, shop: Shop, screws: list[NamedHole]) -> Iterator[Operation]:
    if not screws:
        return
    said = ["By hand, turned, never hammered; back out a screw that gets tight."]
    if pilot_share(find_wood(build.head.wood, shop.own_woods)) >= _WAXED_FROM:
        said.insert(0, "Wax every screw: in hard wood small ones snap.")
    spots = tuple(Spot(name, hole.at) for name, hole in screws)
    yield Operation("Drive the screws", spots, notes=tuple(said))


# Old holes in the way of new ones


REACH = 1.0
"""mm; a plug ends so far outside a new bore at least: from memory."""

_CENTRED = 0.25  # mm; an old hole whose centre is no further off leads a reamer or a drill by itself


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
    return old.at.distance(at) <= _CENTRED + SAME and old.diameter <= diameter + SAME


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
