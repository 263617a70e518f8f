"""The bore ladder: bores of the shop's own drills round that of the build, to feel the fit on scrap."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.bench.bore_fit import bore_fits
from geometry.bench.fit_words import pressed
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import Fit, drawn_bore, with_drawn_bore
from geometry.trade.drills import Drill
from geometry.trade.hardware import Hardware
from geometry.trade.shop import Shop

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
