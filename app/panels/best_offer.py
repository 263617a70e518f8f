"""The search for the best placement as a window wants it: with the rings of both placements, and how to tell them."""

from __future__ import annotations

import msgspec

from app.document.ghost import Ghost
from app.document.messages import Progress
from app.panels.searching import STEPS, in_steps
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.best import best
from geometry.search.placing.cures import Remedy, remedies
from geometry.search.placing.standing import mean_splay
from geometry.search.placing.wish import Wish
from geometry.search.rings.allowance import Allowance, Ring, allowance
from geometry.search.rings.joint import exact_rings
from geometry.trade.quantities import show_radius
from geometry.trade.units import Units


class Placement(msgspec.Struct, frozen=True):
    """One placement with what is told of it; `splay` is the mean turn of the strings at the nut in degrees."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    allowance: Allowance
    splay: float

    @property
    def stops(self) -> int:
        """How many findings are at stop."""
        return sum(each.level is Level.STOP for each in self.found)


class Offer(msgspec.Struct, frozen=True):
    """What a search has found: today's placement, the proposed one, and what even that breaks, if anything.

    `refused` says what another one that was found would have broken, `remedies` what cures what moving does not.
    `given_up` is how many mm more were not worth what they would have spoilt.
    """

    today: Placement
    proposed: Placement
    forbidden: str | None
    refused: str | None
    remedies: tuple[Remedy, ...]
    ghost: Ghost
    given_up: float

    @property
    def nothing_better(self) -> bool:
        """Whether the tuners had better stay."""
        return self.proposed.build == self.today.build


def searched(build: Build, wish: Wish, units: Units, words: str, progress: Progress) -> Offer:
    """Look for the best placement; `words` name it on the drawing. `progress` may raise to end the search."""
    found = best(build, wish, in_steps(progress), units)
    progress(STEPS, STEPS)
    proposed = _placement(found.build)
    ghost = Ghost(found.build, proposed.layout, words, exact_rings(found.build, proposed.layout))
    cures = remedies(found.build, units)
    today = _placement(build)
    return Offer(today, proposed, found.forbidden, found.refused, cures, ghost, found.given_up)


def _placement(build: Build) -> Placement:
    layout = lay_out(build)
    return Placement(build, layout, findings(build, layout), allowance(build, layout), mean_splay(layout))


def say_smallest(found: Allowance, units: Units) -> str:
    """The radius of the smallest ring of a hole still to be drilled; a dash where there is none."""
    radii = [ring.radius for ring in found.rings if not ring.drilled]
    return show_radius(min(radii), units) if radii and found.told else "–"


def narrowest(found: Allowance) -> Ring | None:
    """The hole with the smallest ring of those to be drilled, None where nothing ends it or a limit is broken."""
    free = [ring for ring in found.rings if not ring.drilled and ring.ends is not None]
    if any(ring.broken for ring in found.rings):
        return None
    return min(free, key=lambda ring: (ring.radius, ring.alone), default=None)
