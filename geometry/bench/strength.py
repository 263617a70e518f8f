"""Will it hold: the wood of a head and of the neck behind the nut against the pull of its strings, section by section.

Plain beam theory on the wood that is left, with four things that take from it, each told by itself: the stress of the
strings, the rim of a hole, grain that does not run along the head, and a load that stays for years. An aid to compare
designs: thin walls, splitting and knocks govern, and none of them is in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import msgspec

from geometry.bench.grain import DURATION_SHARE, hankinson, slope
from geometry.bench.hole_factor import factor_across
from geometry.bench.hollows import Hollow, hollows
from geometry.bench.sections import Section, section, thickness_with_volute
from geometry.bench.string_pull import Strung, crossings, strung
from geometry.build.build import Build
from geometry.checks.outline import outline_is_sound
from geometry.layout.layout import Layout
from geometry.layout.string_loads import string_loads
from geometry.shape.tolerance import SAME
from geometry.trade.wood import Wood, find_wood

BEFORE_NUT = 15.0
"""How far in mm the sections go into the neck."""

STEP = 0.5
"""Distance of the sections in mm; more stand wherever a hole is widest or something begins."""

MOST = 800
"""No more even sections than this, however long the head."""


class Station(msgspec.Struct, frozen=True):
    """One section and what the strings do to it.

    `pull` in N is that of the strings along the head, `moment` in N mm theirs about the middle of the wood, positive
    when it pulls the back apart. `holes` are the names of the hollows that it cuts, `hole_factor` is the largest factor
    of those that reach the pulled side, 1 without any.
    """

    section: Section
    pull: float
    moment: float
    holes: tuple[str, ...]
    hole_factor: float

    @property
    def y(self) -> float:
        """Height of the section over the nut line in mm."""
        return self.section.y

    @property
    def bending(self) -> float:
        """Greatest bending stress in MPa as in a plain section; infinite where strings pull and no wood is left."""
        if self.section.modulus > 0:
            return abs(self.moment) / self.section.modulus
        return math.inf if self.moment else 0.0

    @property
    def pressure(self) -> float:
        """Stress in MPa by which the strings press the section; it counts for nothing here, for it closes cracks."""
        return self.pull / self.section.area if self.section.area > 0 else 0.0

    @property
    def at_rim(self) -> float:
        """Bending stress in MPa at the rim of the worst hole."""
        return self.bending * self.hole_factor


class Strength(msgspec.Struct, frozen=True):
    """The stations from the neck to the tip, and what the wood can take.

    `wood` is None where the build's wood has no figures that can be relied on; ratios are then unknown, and `doubt` is
    the source of those that it has, empty without any. `slope` in radians is that of
    the grain, `grain` and `duration` are shares of the modulus of rupture. `unknown` are the keys of strings that have
    a post but no known pull: without them no figure is given either.
    """

    stations: tuple[Station, ...]
    wood: Wood | None
    slope: float
    grain: float
    duration: float
    unknown: tuple[str, ...]
    doubt: str = ""

    @property
    def weakest(self) -> Station | None:
        """The station with the highest stress; None where no string pulls on anything."""
        laden = [station for station in self.stations if station.at_rim > 0]
        return max(laden, key=lambda station: station.at_rim, default=None)

    @property
    def told(self) -> bool:
        """Whether a figure can be given."""
        return self.wood is not None and not self.unknown and self.weakest is not None

    def nominal(self, station: Station) -> float:
        """Modulus of rupture over the bending stress of the plain section: with nothing else taken off."""
        assert self.wood is not None, "without a wood there is no figure"
        return self.wood.modulus_of_rupture / station.bending if station.bending else math.inf

    def ratio(self, station: Station) -> float:
        """How many times the strings' pull the wood holds there, by these figures: all four counted."""
        return self.nominal(station) * self.grain * self.duration / station.hole_factor


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
    angle = slope(build.head)
    return Strength(
        stations=_stations(build, layout, strung(layout, pulls)),
        wood=None if doubtful else wood,
        doubt=wood.source if wood is not None and doubtful else "",
        slope=angle,
        grain=hankinson(angle),
        duration=DURATION_SHARE,
        unknown=tuple(path.string.key for path in layout.paths if path.string.key not in pulls),
    )


def _stations(build: Build, layout: Layout, strings: tuple[Strung, ...]) -> tuple[Station, ...]:
    if layout.edge is None or not outline_is_sound(layout.edge):
        return ()
    gone = hollows(build, layout)
    stations = []
    for y in _heights(layout, gone):
        thick = thickness_with_volute(build, y, layout.top)
        there = section(layout.edge.region, thick, gone, y)
        if there.width > SAME:
            stations.append(_station(there, strings, gone))
    return tuple(stations)


def _heights(layout: Layout, gone: Iterable[Hollow]) -> list[float]:
    """From the neck to the tip: evenly, at what is special, and just before what begins there."""
    low, high = -BEFORE_NUT, layout.top - STEP / 10
    special = {0.0, *(y for hollow in gone for y in hollow.heights), *(post.at.y for post in layout.posts)}
    if layout.edge is not None:
        special |= {node.y for node in layout.edge.drawn.points}
    count = min(MOST, max(1, math.ceil((high - low) / STEP)))
    even = (low + (high - low) * step / count for step in range(count + 1))
    return sorted(y for y in {*even, *special, *(y - SAME for y in special)} if low <= y <= high)


def _station(there: Section, strings: Iterable[Strung], gone: Iterable[Hollow]) -> Station:
    met = [each for string in strings for each in crossings(string, there.y)]
    moment = sum(each.along * (each.height + there.middle) for each in met)
    cut = [(hollow, spans) for hollow in gone if (spans := hollow.spans(there.y))]
    pulled = there.thickness if moment >= 0 else 0.0
    factors = [
        factor_across(right - left, hollow.width, there.thickness)
        for hollow, spans in cut
        if pulled in hollow.levels(there.thickness)
        for left, right in spans
    ]
    return Station(
        section=there,
        pull=sum(each.along for each in met),
        moment=moment,
        holes=tuple(hollow.name for hollow, _ in cut),
        hole_factor=max(factors, default=1.0),
    )
