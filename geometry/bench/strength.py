"""Will it hold: the wood of a head and of the neck behind the nut against the pull of its strings, section by section.

Plain beam theory on the wood that is left, as timber design has it: no factor for the rim of a hole, where peaks of
stress even out in wood (from memory). The stress is held against what a timber code would allow, and what is left of
the strength against a knock at the tip. An aid to compare designs: thin walls and splitting are not in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise

import msgspec

from geometry.bench.grain import (
    ALLOWED_SHARE,
    LEAST_ACROSS,
    MOST_ACROSS,
    USUAL_ACROSS,
    WEAK_SHARE,
    hankinson,
    head_slope,
    neck_slope,
)
from geometry.bench.hollows import Hollow, hollows
from geometry.bench.sections import Section, section, thickness_with_volute
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.paths import StringPath
from geometry.layout.string_loads import string_loads
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME
from geometry.trade.wood import Wood, find_wood

BEFORE_NUT = 15.0
"""How far in mm the sections go into the neck."""

_STEP = 0.5  # distance of the sections in mm; more stand wherever a hole is widest or something begins

MOST = 800
"""No more even sections than this, however long the head."""


class Station(msgspec.Struct, frozen=True):
    """One section and what the strings do to it.

    `slope` in radians is that of the grain there. `pull` in N is that of the strings along the head, `moment` in N mm
    theirs about the middle of the wood, positive when it pulls the back apart. `holes` are the names of the hollows
    that it cuts.
    """

    section: Section
    slope: float
    pull: float
    moment: float
    holes: tuple[str, ...]

    @property
    def y(self) -> float:
        """Height of the section over the nut line in mm."""
        return self.section.y

    @property
    def bending(self) -> float:
        """Greatest bending stress in MPa on the wood that is left; infinite where strings pull and none is."""
        if self.section.modulus > 0:
            return abs(self.moment) / self.section.modulus
        return math.inf if self.moment else 0.0

    @property
    def pressure(self) -> float:
        """Stress in MPa by which the strings press the section; it counts for nothing here, for it closes cracks."""
        return self.pull / self.section.area if self.section.area > 0 else 0.0

    def grain(self, across: float = USUAL_ACROSS) -> float:
        """Share of its strength that the wood keeps there, by its strength `across` the grain."""
        return hankinson(self.slope, across)


class Knock(msgspec.Struct, frozen=True):
    """The force in N at the tip, square to the face, that breaks the head with its strings on, and where."""

    force: float
    station: Station


class Strength(msgspec.Struct, frozen=True):
    """The stations from the neck to the tip at y = `tip`, and what the wood can take.

    `wood` is None where the build's wood has no figures that can be relied on; what is used is then unknown, and
    `doubt` is the source of those that it has, empty without any. `unknown` are the keys of strings that have a post
    but no known pull: without them no figure is given either. All that depends on the strength `across` the grain (as
    a share of that along it) is told for the usual one unless another is given.
    """

    stations: tuple[Station, ...]
    tip: float
    wood: Wood | None
    unknown: tuple[str, ...]
    doubt: str = ""

    @property
    def weakest(self) -> Station | None:
        """The station whose wood is used most; None where no string pulls on anything."""
        return self._weakest(USUAL_ACROSS)

    def _weakest(self, across: float) -> Station | None:
        laden = [station for station in self.stations if station.bending > 0]
        return max(laden, key=lambda station: station.bending / station.grain(across), default=None)

    @property
    def told(self) -> bool:
        """Whether a figure can be given."""
        weakest = self.weakest
        known = self.wood is not None and not self.unknown
        return known and weakest is not None and math.isfinite(weakest.bending)

    def allowed(self, station: Station, across: float = USUAL_ACROSS) -> float:
        """What a timber code would allow there for years, in MPa."""
        return self._rupture * ALLOWED_SHARE * station.grain(across)

    def use(self, station: Station, across: float = USUAL_ACROSS) -> float:
        """The stress by the strings as a share of what is allowed there."""
        return station.bending / self.allowed(station, across)

    def most_used(self, across: float = USUAL_ACROSS) -> float:
        """The use at the weakest station, whichever that then is; 0 where no string pulls."""
        weakest = self._weakest(across)
        return 0.0 if weakest is None else self.use(weakest, across)

    @property
    def band(self) -> tuple[float, float]:
        """The use where wood is strongest and where it is weakest across its grain."""
        return self.most_used(MOST_ACROSS), self.most_used(LEAST_ACROSS)

    def knock(self, across: float = USUAL_ACROSS) -> Knock:
        """The least force at the tip that breaks a weak board, pushing the way the strings pull.

        Nothing is taken off for time: a knock is short.
        """
        knocks = (
            Knock(self._left_over(station, across) / (self.tip - station.y), station)
            for station in self.stations
            if station.y < self.tip
        )
        return min(knocks, key=lambda knock: knock.force)

    def _left_over(self, station: Station, across: float) -> float:
        """The moment in N mm that a weak board holds there besides that of the strings."""
        holds = self._rupture * WEAK_SHARE * station.grain(across) * station.section.modulus
        return max(0.0, holds - abs(station.moment))

    @property
    def _rupture(self) -> float:
        assert self.wood is not None, "without a wood there is no figure"
        return self.wood.modulus_of_rupture


def strength(
    build: Build, layout: Layout, pulls: Mapping[str, float] | None = None, own: tuple[Wood, ...] = ()
) -> Strength:
    """The strength of a build's head; `pulls` in N by string key, by default what the strings' pitches ask for.

    `own` are the woods of the maker's shop. A wood whose figures are doubtful counts as none.
    """
    if pulls is None:
        loads = string_loads(build)
        pulls = {load.string.key: load.pull for load in loads if load.pull is not None}
    wood = find_wood(build.head.wood, own)
    doubtful = wood is not None and wood.doubtful
    return Strength(
        stations=_stations(build, layout, strung(layout, pulls)),
        tip=layout.top,
        wood=None if doubtful else wood,
        doubt=wood.source if wood is not None and doubtful else "",
        unknown=tuple(path.string.key for path in layout.paths if path.string.key not in pulls),
    )


def _stations(build: Build, layout: Layout, strings: tuple[Strung, ...]) -> tuple[Station, ...]:
    if layout.edge is None or not outline_is_sound(layout.edge):
        return ()
    gone = hollows(build, layout)
    slopes = neck_slope(build.head), head_slope(build.head)
    stations = []
    for y in _heights(layout, gone):
        thick = thickness_with_volute(build, y, layout.top)
        there = section(layout.edge.region, thick, gone, y)
        if there.width > SAME:
            stations.append(_station(there, slopes[y >= 0], strings, gone))
    return tuple(stations)


def _heights(layout: Layout, gone: Iterable[Hollow]) -> list[float]:
    """From the neck to the tip: evenly, at what is special, and just before what begins there."""
    low, high = -BEFORE_NUT, layout.top - _STEP / 10
    special = {0.0, *(y for hollow in gone for y in hollow.heights), *(post.at.y for post in layout.posts)}
    if layout.edge is not None:
        special |= {node.y for node in layout.edge.drawn.points}
    count = min(MOST, max(1, math.ceil((high - low) / _STEP)))
    even = (low + (high - low) * step / count for step in range(count + 1))
    return sorted(y for y in {*even, *special, *(y - SAME for y in special)} if low <= y <= high)


def _station(there: Section, slope: float, strings: Iterable[Strung], gone: Iterable[Hollow]) -> Station:
    met = [each for string in strings for each in crossings(string, there.y)]
    return Station(
        section=there,
        slope=slope,
        pull=sum(each.along for each in met),
        moment=sum(each.along * (each.height + there.middle) for each in met),
        holes=tuple(hollow.name for hollow in gone if hollow.spans(there.y)),
    )


# What the strings do


class Strung(msgspec.Struct, frozen=True):
    """A string that is anchored on the head: its path, the y of its post in mm, its pull in N."""

    path: StringPath
    anchored: float
    pull: float


class Crossing(msgspec.Struct, frozen=True, gc=False):
    """A string where it crosses a section: the part of its pull along the head in N, its height over the face in mm.

    The part is negative where the string runs back towards the nut.
    """

    along: float
    height: float


def strung(layout: Layout, pulls: Mapping[str, float]) -> tuple[Strung, ...]:
    """All strings that have a post and whose pull in N is given, by string key."""
    return tuple(
        Strung(path, layout.post(path.post).at.y, pulls[path.string.key])
        for path in layout.paths
        if path.string.key in pulls
    )


def crossings(string: Strung, y: float) -> list[Crossing]:
    """Where a string crosses the section at height `y`.

    On the neck it keeps its height over the nut. Between the place where it meets the post and the post's axis it
    still counts, for the post stands in the wood there.
    """
    path = string.path
    if y < 0:
        return [Crossing(string.pull, path.heights[0])]
    found, along = [], 0.0
    for (start, end), (low, high) in zip(pairwise(path.points), pairwise(path.heights), strict=True):
        along = string.pull * _share_along(end - start, high - low)
        if min(start.y, end.y) <= y < max(start.y, end.y):
            share = (y - start.y) / (end.y - start.y)
            found.append(Crossing(along, low + (high - low) * share))
    if not found and path.tangent.y <= y <= string.anchored:
        found.append(Crossing(along, path.heights[-1]))
    return found


def _share_along(way: Vector, rise: float) -> float:
    """How much of a pull along one leg of a path runs along the head; 1 is all of it."""
    length = (way.length**2 + rise**2) ** 0.5
    return way.y / length if length > 0 else 1.0
