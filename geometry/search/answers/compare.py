"""Two heads held against each other: margins, rings, strings at the nut, and the mass of the tuners."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

import msgspec
from msgspec.structs import replace

from geometry.checks.judge import Finding, Level
from geometry.checks.words import COUNTS
from geometry.document.build import Build
from geometry.document.edits import fresh_key
from geometry.layout.layout import Layout
from geometry.search.placing.standing import mean_splay
from geometry.search.refitting import refit
from geometry.search.rings.allowance import Judged, judged, rounded_down
from geometry.trade.hardware import Hardware
from geometry.trade.limits import DEFAULT_RULES, Sense, Unit

Better = Literal["one", "two", "same"]


class Side(Judged, frozen=True):
    """One of the two heads, with what it is called."""

    name: str


class CheckLine(msgspec.Struct, frozen=True):
    """The closest of one check on both heads, None where it does not apply or cannot be told.

    `change` is how much more margin the second has, in the unit of the check, None where one of them has none.
    """

    check: str
    unit: Unit
    one: Finding | None
    two: Finding | None

    @property
    def change(self) -> float | None:
        """How much more margin the second head has."""
        margins = [each.margin if each is not None else None for each in (self.one, self.two)]
        if margins[0] is None or margins[1] is None:
            return None
        return margins[1] - margins[0]

    @property
    def levels(self) -> tuple[Level, Level]:
        """The levels of both; what does not apply is fine."""
        one, two = (Level.FINE if each is None else each.level for each in (self.one, self.two))
        return one, two

    @property
    def worst(self) -> Level:
        """The worse level of both."""
        return min(self.levels, key=lambda level: WORST_FIRST[level])

    @property
    def better(self) -> Better:
        """Which head has the better level, and of equals the more margin; "same" where no difference shows."""
        levels = self.levels
        if levels[0] is not levels[1]:
            return "one" if WORST_FIRST[levels[0]] > WORST_FIRST[levels[1]] else "two"
        return _better(self.change, "at least", SHOWN[self.unit])


class Number(msgspec.Struct, frozen=True):
    """A quantity of both heads, None where one has none; `sense` tells which is better, None where neither is."""

    name: str
    unit: Literal["mm", "deg", "g"]
    one: float | None
    two: float | None
    sense: Sense | None

    @property
    def change(self) -> float | None:
        """How much more the second head has."""
        return None if self.one is None or self.two is None else self.two - self.one

    @property
    def better(self) -> Better:
        """Which head is better; "same" where neither is, or the difference does not show."""
        return "same" if self.sense is None else _better(self.change, self.sense, SHOWN[self.unit])


class HoleLine(msgspec.Struct, frozen=True):
    """One hole of both heads: how far the second is from the first in mm, joint rings in mm, angles in degrees."""

    label: str
    apart: float | None
    ring: Number
    splay: Number
    break_angle: Number


class Comparison(msgspec.Struct, frozen=True):
    """Two heads and all lines of the comparison, checks in the order in which they are made."""

    one: Side
    two: Side
    numbers: tuple[Number, ...]
    holes: tuple[HoleLine, ...]
    checks: tuple[CheckLine, ...]


SHOWN: dict[str, float] = {"mm": 0.05, "deg": 0.05, "g": 0.5, "%": 0.5, "": 0.5}
"""Differences of less than this, by unit, do not show and count for nothing."""

WORST_FIRST = {Level.STOP: 0, Level.WATCH: 1, Level.FINE: 2}


def _better(change: float | None, sense: Sense, shown: float) -> Better:
    if change is None or abs(change) < shown:
        return "same"
    return "two" if (change > 0) == (sense == "at least") else "one"


def side_of(build: Build, name: str) -> Side:
    """A head with what is found of it."""
    head = judged(build)
    return Side(head.build, head.layout, head.found, head.allowance, name)


def compared(one: Side, two: Side) -> Comparison:
    """All lines of a comparison; holes are matched by their labels."""
    return Comparison(one, two, tuple(_numbers(one, two)), tuple(_holes(one, two)), tuple(_checks(one, two)))


# The same head with other tuners


def with_hardware(build: Build, model: Hardware) -> Build:
    """The head with one model of tuners in all rows, which keep their rules unless a plate asks for another."""
    fitted = replace(model, key=fresh_key("h", {each.key for each in build.hardware}))
    for row in build.rows:
        build = refit.with_hardware(build, row.key, fitted)
    return build


# Lines


def _numbers(one: Side, two: Side) -> Iterator[Number]:
    rings = [rounded_down(side.allowance.smallest) if side.allowance.rings else None for side in (one, two)]
    yield Number("smallest ring", "mm", rings[0], rings[1], "at least")
    splays = [mean_splay(side.layout) if side.layout.paths else None for side in (one, two)]
    yield Number("splay, mean", "deg", splays[0], splays[1], "at most")
    largest = [max(_splays(side).values(), default=None) for side in (one, two)]
    yield Number("splay, largest", "deg", largest[0], largest[1], "at most")
    least = [min(_breaks(side).values(), default=None) for side in (one, two)]
    yield Number("break, least", "deg", least[0], least[1], None)
    masses = [mass_of(side.layout) for side in (one, two)]
    yield Number("mass of the tuners", "g", masses[0], masses[1], None)


def mass_of(layout: Layout) -> float | None:
    """The mass of all tuners with their buttons in g; None where none is known of one of them, or there are none."""
    masses = [post.hardware.body_mass for post in layout.posts]
    if not masses or min(masses) == 0:
        return None
    return sum(masses) + sum(post.hardware.button_mass for post in layout.posts)


def _holes(one: Side, two: Side) -> Iterator[HoleLine]:
    places = [{post.label: post.at for post in side.layout.posts} for side in (one, two)]
    rings = [{ring.label: ring.radius for ring in side.allowance.rings} for side in (one, two)]
    splays, breaks = [_splays(one), _splays(two)], [_breaks(one), _breaks(two)]
    for label in dict.fromkeys([*places[0], *places[1]]):
        both = label in places[0] and label in places[1]
        yield HoleLine(
            label,
            places[0][label].distance(places[1][label]) if both else None,
            _number("ring", "mm", rings, label, "at least"),
            _number("splay", "deg", splays, label, "at most"),
            _number("break", "deg", breaks, label, None),
        )


def _number(
    name: str,
    unit: Literal["mm", "deg"],
    values: list[dict[str, float]],
    label: str,
    sense: Sense | None,
) -> Number:
    return Number(name, unit, values[0].get(label), values[1].get(label), sense)


def _splays(side: Side) -> dict[str, float]:
    """How far each string turns at the nut in degrees, whichever way, by the label of its post."""
    labels = side.layout.labels
    return {labels[path.post]: abs(math.degrees(path.splay)) for path in side.layout.paths}


def _breaks(side: Side) -> dict[str, float]:
    labels = side.layout.labels
    return {labels[path.post]: math.degrees(path.break_angle) for path in side.layout.paths}


def _checks(one: Side, two: Side) -> Iterator[CheckLine]:
    """The closest of every check that applies to one of them; counts only where something is wrong."""
    closest = [_closest(side.found) for side in (one, two)]
    for rule in DEFAULT_RULES:
        for name in _CHECKS_OF.get(rule.name, (rule.name,)):
            both = [each.get(name) for each in closest]
            fine = all(each is None or each.level is Level.FINE for each in both)
            if both != [None, None] and not (name in COUNTS and fine):
                yield CheckLine(name, rule.unit, both[0], both[1])


# The checks that a rule limits, where they are not called like it.
_CHECKS_OF: Mapping[str, tuple[str, ...]] = {"web along grain": ("web",), "web across grain": ()}


def _closest(found: tuple[Finding, ...]) -> dict[str, Finding]:
    """The worst finding of each check, by level and then by margin."""
    worst_of: dict[str, Finding] = {}
    for each in found:
        before = worst_of.get(each.check)
        if before is None or _rank(each) < _rank(before):
            worst_of[each.check] = each
    return worst_of


def _rank(finding: Finding) -> tuple[int, float]:
    return WORST_FIRST[finding.level], 0.0 if finding.margin is None else finding.margin
