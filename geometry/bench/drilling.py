"""The drilling schedule: every step from the first mark to the last screw, in the order in which it is done."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from geometry.bench.bore_fit import bore_fits, choose
from geometry.bench.drilling_ways import BoreWork, bore_steps
from geometry.bench.fit_words import choice_notes, pressed
from geometry.bench.hollows import takes_wood
from geometry.bench.old_bores import old_hole_steps, opened_bores
from geometry.bench.operations import TWIST, Hole, Operation, Spot, point_length
from geometry.bench.small_holes import pilot, small_hole_fit, small_hole_names, tree_screw_names
from geometry.bench.straight_rows import Laid, laid_by
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, SmallHole, thickness_at
from geometry.layout.regions import region_distance
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import SideButton
from geometry.trade.quantities import show_measured
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import find_wood, pilot_share

LEAST_LEFT = 2.0
"""mm of wood that stay between the point of a drill and the face: from memory."""

WAXED_FROM = 0.9
"""Share of the root; woods that want so wide a pilot want their screws waxed too."""


def schedule(build: Build, layout: Layout, shop: Shop) -> tuple[Operation, ...]:
    """All steps in their order; holes that are drilled alike share one. Nothing without tuners."""
    if not layout.posts:
        return ()
    return (
        *_marking(build, layout),
        *old_hole_steps(build, layout, shop),
        *_bores(build, layout, shop),
        _dry_fit(layout),
        *_small(build, layout, shop, "pin"),
        *_small(build, layout, shop, "screw"),
        *_trees(build, layout, shop),
        *_driving(build, layout, shop),
    )


# Bores


def _marking(build: Build, layout: Layout) -> Iterator[Operation]:
    new, there = _to_drill(build, layout), [post for post in layout.posts if post.post.drilled]
    if there:
        names = tuple(_spot(post) for post in there)
        yield Operation("Drilled already", names, notes=("These bores stay as they are.",))
    if not new:
        return
    said = [
        "Punch every centre by one template or from one reference line, with veneer and overlay glued on."
    ]
    if build.head.angle_deg > SAME:
        said.append(
            "The face lies square to the spindle: an angled head is held level for that, by a cradle of blocks."
        )
    yield Operation("Mark", tuple(_spot(post) for post in new), notes=tuple(said))


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
        spots = tuple(_spot(post) for post in posts)
        thickest = max(post.thickness for post in posts)
        work = BoreWork(hardware, bore_fits(hardware, build.head, shop), spots, thickest, hollow)
        yield from bore_steps(work, shop)


def _entered(build: Build, post: PlacedPost) -> str:
    """The names of the pockets that a bore runs into; old holes in its way are plugged before."""
    wall = post.bore / 2 - SAME
    hollow = (region for region in build.keep_clear if takes_wood(region))
    at = np.array([[post.at.x, post.at.y]])
    met = (each for each in hollow if region_distance(at, each)[0][0] < wall)
    return " and ".join(each.name or each.key for each in met)


def _spot(post: PlacedPost) -> Spot:
    return Spot(post.label, post.at)


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
    return Operation("Fit dry", tuple(_spot(post) for post in layout.posts), notes=tuple(said))


# Screws and pins


def _small(build: Build, layout: Layout, shop: Shop, kind: str) -> Iterator[Operation]:
    """One step for the holes of one kind of the tuners that have the same drill and depth."""
    named = zip(small_hole_names(layout), layout.holes, strict=True)
    yield from _alike(build, layout, shop, [(name, hole) for name, hole in named if hole.kind == kind])


def _trees(build: Build, layout: Layout, shop: Shop) -> Iterator[Operation]:
    """One step for the screws of trees that have the same drill and depth."""
    named = zip(tree_screw_names(build, layout), layout.tree_screws, strict=True)
    yield from _alike(build, layout, shop, list(named))


def _alike(
    build: Build, layout: Layout, shop: Shop, named: list[tuple[str, SmallHole]]
) -> Iterator[Operation]:
    """One step for those of the holes that have the same drill and depth."""
    alike: dict[tuple[float, float, float], list[tuple[str, SmallHole]]] = {}
    for name, hole in named:
        key = (pilot(build, hole, shop.own_woods), hole.root, hole.depth)
        alike.setdefault(key, []).append((name, hole))
    for (drill, _, _), same in alike.items():
        yield _small_step(build, layout, shop, drill, same)


def _small_step(
    build: Build, layout: Layout, shop: Shop, drill: float, named: list[tuple[str, SmallHole]]
) -> Operation:
    first = named[0][1]
    fit = small_hole_fit(first, drill)
    choice = choose(fit, shop.drills)
    stop = first.depth + point_length(TWIST, fit, choice)
    hole = Hole(TWIST, fit, choice, first.depth, first.side, False, stop)
    left = min(thickness_at(build, each.at.y, layout.top) - stop for _, each in named)
    notes = [*choice_notes(fit, choice, shop.units)]
    notes.append(_how(first, layout))
    if left < LEAST_LEFT - SAME:
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


def _driving(build: Build, layout: Layout, shop: Shop) -> Iterator[Operation]:
    names = (*small_hole_names(layout), *tree_screw_names(build, layout))
    holes = zip(names, layout.small_holes, strict=True)
    spots = tuple(Spot(name, hole.at) for name, hole in holes if hole.kind == "screw")
    if not spots:
        return
    said = ["By hand, turned, never hammered; back out a screw that gets tight."]
    if pilot_share(find_wood(build.head.wood, shop.own_woods)) >= WAXED_FROM:
        said.insert(0, "Wax every screw: in hard wood small ones snap.")
    yield Operation("Drive the screws", spots, notes=tuple(said))
