"""The bores of a build and the shop's drills: which drill makes each, and which bore the wood and the drills suggest.

Diameters in mm. What is drilled is what the build says; another bore is only suggested, and taken over by an edit.
"""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.checks.bore import judged_fit
from geometry.document.build import Build, Head
from geometry.document.edits import change_hardware
from geometry.document.row_edits import is_drilled
from geometry.layout.layout import Layout
from geometry.shape.tolerance import SAME
from geometry.trade.agreement import agreement
from geometry.trade.bore_fit import (
    Fit,
    bushing_place,
    drawn_bore,
    passing_fit,
    widened,
    with_drawn_bore,
    wood_fit,
)
from geometry.trade.drills import FRACTIONS, LETTERS, NUMBERS, Drill, nearest
from geometry.trade.hardware import Hardware, Tried
from geometry.trade.shop import Shop, stored_fit
from geometry.trade.wood import find_wood

_NEAR = 0.05  # a bore outside the fit for its wood is drilled no narrower or wider than this

NARROWER, WIDER = 0.15, 0.3
"""What a bore that something passes through may be narrower or wider than in the build."""

# Share of a diameter; an inch drill that is further off is another size, not another name for it: from memory.
_SAME_SIZE = 0.02


class BoreFits(msgspec.Struct, frozen=True, gc=False):
    """How the bores of one kind of tuner are drilled, round what the build has, and which of them matters.

    `wanted` is the fit of the one that matters in this wood.
    """

    through: Fit
    counterbore: Fit | None
    main: Fit
    wanted: Fit

    @property
    def suits(self) -> bool:
        """Whether the build's bore is inside the fit for this wood."""
        return self.wanted.holds(self.main.diameter)

    @property
    def good(self) -> Fit:
        """What may be told as good: of a bore that something only passes through, what is near the build's."""
        return self.main if self.wanted.kind == "passes" and self.suits else self.wanted


def pressed(hardware: Hardware) -> bool:
    """Whether a bushing is pressed into the bore."""
    return hardware.bushing is not None and hardware.bushing.kind == "press-in"


def bore_fits(hardware: Hardware, head: Head, shop: Shop) -> BoreFits:
    """How the bores of a tuner are drilled in a head."""
    bore, wide = hardware.bore, hardware.bore.counterbore
    wanted = shop_fit(hardware, head, shop)
    main = _round(drawn_bore(hardware), wanted)
    if wide is None:
        return BoreFits(main, None, main, wanted)
    # The other one only lets the post or the collar through.
    if bushing_place(hardware) == "counterbore":
        other = widened(passing_fit(bore.through, hardware.post_diameter, 0.0), head.finish_build_up)
        return BoreFits(_round(bore.through, other), main, main, wanted)
    other = passing_fit(wide.diameter, bore.through, hardware.collar_diameter)
    return BoreFits(main, _round(wide.diameter, other), main, wanted)


def _round(bore: float, fit: Fit) -> Fit:
    """How a bore of the build may be drilled: inside its fit if it is in it, else no wider off than it is near."""
    if not fit.holds(bore):
        return Fit(bore, bore - _NEAR, bore + _NEAR, fit.kind, fit.build_up)
    if fit.kind == "passes":
        least, most = max(fit.least, bore - NARROWER), min(fit.most, bore + WIDER)
        return replace(fit, diameter=bore, least=least, most=most)
    return replace(fit, diameter=bore)


def shop_fit(hardware: Hardware, head: Head, shop: Shop) -> Fit:
    """The fit in the wood of a head as the shop knows it: by what felt right there, else by its hardness."""
    return wood_fit(
        felt(hardware, head.wood, shop), head.wood, find_wood(head.wood, shop.own_woods), head.finish_build_up
    )


def felt(hardware: Hardware, wood: str, shop: Shop) -> Hardware:
    """The tuner with what felt right for its bushing on scrap, if the shop keeps that of this wood."""
    bushing = hardware.bushing
    kept = None if bushing is None else stored_fit(shop.fits, wood, bushing)
    if bushing is None or kept is None:
        return hardware
    return replace(hardware, bushing=replace(bushing, tried=Tried(wood=kept.wood, bore=kept.bore)))


# The drill


class Choice(msgspec.Struct, frozen=True):
    """A drill, how much wider it is than wanted in mm, and whether its bore is inside the fit."""

    drill: Drill
    difference: float
    inside: bool


def choose(fit: Fit, drills: tuple[Drill, ...]) -> Choice | None:
    """The drill nearest to a fit: inside it if one is, else the nearest that can be reamed up, else the nearest.

    None without any drill.
    """
    inside = tuple(drill for drill in drills if fit.holds(drill.diameter))
    found = nearest(fit.diameter, inside) or nearest(fit.diameter, drills, fit.most)
    found = found or nearest(fit.diameter, drills)
    if found is None:
        return None
    drill, difference = found
    return Choice(drill, difference, fit.holds(drill.diameter))


def inch_drill(fit: Fit, shop: Shop) -> Drill | None:
    """The inch drill that makes a bore as well: of the shop's own if one does, else a 64th, a number or a letter.

    None where there is none inside the fit and as near as a fiftieth of the diameter.
    """
    near = _SAME_SIZE * fit.diameter + SAME
    own = tuple(drill for drill in shop.drills if drill.series not in ("metric", "own"))
    for drills in (own, (*FRACTIONS, *NUMBERS, *LETTERS)):
        good = tuple(d for d in drills if fit.holds(d.diameter) and abs(d.diameter - fit.diameter) <= near)
        found = nearest(fit.diameter, good)
        if found is not None:
            return found[0]
    return None


# Another bore


class Advice(msgspec.Struct, frozen=True):
    """A bore that suits better than the build's: the tuner with it, its diameter, and the drill if one makes it."""

    hardware: Hardware
    diameter: float
    drill: Drill | None


def advice(build: Build, post: str, shop: Shop) -> Advice | None:
    """The bore that wood, bushing and the shop's drills suggest for the tuners of a post, by its key.

    None where the build's own is inside the fit, where one of the holes is drilled already, for no such post, and where
    nothing else of the tuner would suit that bore: then one of its measures is wrong.
    """
    keys = {row.hardware for row in build.rows if any(each.key == post for each in row.posts)}
    for hardware in build.hardware:
        if hardware.key in keys - drilled_kinds(build):
            found = advised(hardware, build.head, shop)
            return found if found is not None and agreement(found.hardware).room >= 0 else None
    return None


def drilled_kinds(build: Build) -> frozenset[str]:
    """The keys of the tuners that have a hole in the wood already: their bore is a fact."""
    return frozenset(row.hardware for row in build.rows if is_drilled(row))


def advised(hardware: Hardware, head: Head, shop: Shop) -> Advice | None:
    """The bore for a kind of tuner; None where its own is inside the fit."""
    bore, fit = drawn_bore(hardware), shop_fit(hardware, head, shop)
    if not fit.holds(bore):
        return best_bore(hardware, head, shop)
    if judged_fit(hardware, head).holds(bore):
        return None
    # Only the shop knows yet that it felt right.
    return Advice(felt(hardware, head.wood, shop), bore, None)


def best_bore(hardware: Hardware, head: Head, shop: Shop) -> Advice:
    """The drill of the shop nearest to a fit; without one inside it the best diameter, to a hundredth, to be reamed."""
    fit = shop_fit(hardware, head, shop)
    choice = choose(fit, shop.drills)
    drill = choice.drill if choice is not None and choice.inside else None
    diameter = round(fit.diameter, 2) if drill is None else drill.diameter
    return Advice(with_drawn_bore(felt(hardware, head.wood, shop), diameter), diameter, drill)


def begun(build: Build, wood: str, shop: Shop) -> Build:
    """A new build in a wood, by name, as the shop begins one: limits, finish, smallest cutter, best bores for bushings.

    Where the hardness of the wood is not known, and where something only passes through, bores stay as they are.
    """
    head = replace(build.head, wood=wood, finish_build_up=shop.finish_build_up)
    cutter = min(shop.cutters, default=0.0)
    build = replace(build, head=head, limits=shop.limits, cutter_diameter=cutter)
    for each in build.hardware:
        if shop_fit(each, head, shop).kind in ("felt", "soft", "medium", "hard"):
            build = change_hardware(build, best_bore(each, head, shop).hardware)
    return build


# The bore ladder


RUNGS = 7
"""So many bores at most."""

SPAN = 0.8
"""mm; no bore of a ladder is further off that of the build, unless the shop has fewer than two that near."""

APART = 0.02
"""mm; of drills that are nearer to each other only one is tried."""

TIGHT, LOOSE = 0.2, 0.25
"""mm; bores so much narrower than the root of the ribs, or wider than their crest, show no more than others do."""


class Ladder(msgspec.Struct, frozen=True):
    """The bores to try for one kind of tuner, rising; that of the build, the fit that is looked for, what is good."""

    hardware: Hardware
    bore: float
    fit: Fit
    good: Fit
    rungs: tuple[Drill, ...]


def ladders(build: Build, layout: Layout, shop: Shop) -> tuple[Ladder, ...]:
    """A ladder for each kind of tuner that has a bore to be drilled; none where the shop has no drills.

    Finish is not on the scrap, so its build-up is left out.
    """
    bare = replace(build.head, finish_build_up=0.0)
    kinds = {post.hardware.key: post.hardware for post in layout.posts if not post.post.drilled}
    found = []
    for hardware in kinds.values():
        bore = drawn_bore(hardware) - (0.0 if hardware.tapered else build.head.finish_build_up)
        rungs = rungs_round(bore, _worth_trying(hardware, shop.drills))
        if rungs:
            fits = bore_fits(with_drawn_bore(hardware, bore), bare, shop)
            found.append(Ladder(hardware, bore, fits.wanted, fits.good, rungs))
    return tuple(found)


def _worth_trying(hardware: Hardware, drills: tuple[Drill, ...]) -> tuple[Drill, ...]:
    """The drills without those far from the ribs of a pressed bushing, unless fewer than two are left."""
    bushing = hardware.bushing
    if bushing is None or not pressed(hardware):
        return drills
    low, high = bushing.root - TIGHT - SAME, bushing.crest + LOOSE + SAME
    near = tuple(drill for drill in drills if low <= drill.diameter <= high)
    return near if len(near) > 1 else drills


def rungs_round(diameter: float, drills: tuple[Drill, ...]) -> tuple[Drill, ...]:
    """The drills nearest to a diameter, rising; where there are any, at least one on either side of it."""
    below = _distinct([drill for drill in drills if drill.diameter < diameter - SAME], diameter)
    above = _distinct([drill for drill in drills if drill.diameter >= diameter - SAME], diameter)
    first = [*below[:1], *above[:1]]
    rest = [each for each in below[1:] + above[1:] if abs(each.diameter - diameter) <= SPAN + SAME]
    rest.sort(key=lambda each: abs(each.diameter - diameter))
    return tuple(sorted(first + rest[: RUNGS - len(first)], key=lambda each: each.diameter))


def _distinct(drills: list[Drill], diameter: float) -> list[Drill]:
    """The drills by their distance from a diameter, those left out that are as wide as one before them."""
    kept: list[Drill] = []
    for drill in sorted(drills, key=lambda each: abs(each.diameter - diameter)):
        if all(abs(drill.diameter - other.diameter) > APART for other in kept):
            kept.append(drill)
    return kept
