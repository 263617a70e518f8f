"""Strength in words: how much of what is allowed the strings use, where, what a knock may be, and what is not in it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from msgspec.structs import replace

from geometry.bench.fit_words import unknown_wood
from geometry.bench.grain import LEAST_ACROSS, LONG_SHARE, MOST_ACROSS, SAFETY, USUAL_ACROSS, VARIATION
from geometry.bench.strength import BEFORE_NUT, Station, Strength, strength
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build, Head, Polygon, Region
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.point import Point
from geometry.trade import hardware_library
from geometry.trade.quantities import (
    ESTIMATE,
    SECTION,
    figures,
    show_force,
    show_length,
    show_measured,
    show_stress,
    typed_number,
)
from geometry.trade.sentence import listed
from geometry.trade.string_sets import find_string_set
from geometry.trade.units import Units

GOVERNS = (
    "An aid to compare designs. Thin walls and splitting at holes and screws are not in these figures: see wall, web "
    "and end distance in the check report."
)
"""What stands beside every figure."""

# Half an ellipse 47.6 wide and 16 deep under a board of 6 bears 0.6 of the stress of the rectangle without the board.
ASSUMED = (
    (
        "A timber code counts on a weak board, one that 19 of 20 surpass, and on a load that stays for years. Sections "
        "are net: bores, pockets and open old holes are missing wood, and no factor is put on their rims, where peaks "
        "of stress even out. Holes of screws and pins are not counted."
    ),
    (
        "Sections stand square to the centre line. Behind the nut the neck is taken to go on as wide as the nut and as "
        "deep as the build says, its grain along it. The rounding of its back, which weakens it, and the fingerboard, "
        "which strengthens it more, are left out."
    ),
    (
        "A knock is held against a weak board too, but it is short: nothing is taken off for time. What the strings "
        "press along the head is not counted."
    ),
)
"""What the figures take for granted."""

_NEAR_NUT = 20.0  # mm from the nut within which a volute helps; workshop practice, no source


def percent(share: float) -> str:
    """A share of 1 in percent: whole ones up to 100, to two figures above."""
    return f"{figures(100 * share, ESTIMATE) if share > 1 else round(100 * share)} %"


def place_words(station: Station, units: Units) -> str:
    """Where a section lies, and which hollows it cuts."""
    y = station.y
    if abs(y) < 0.5:
        where = "on the nut line" if y >= 0 else "in the neck at the nut"
    elif y < 0:
        where = f"in the neck {show_length(-y, units, SECTION)} before the nut"
    else:
        where = f"{show_length(y, units, SECTION)} past the nut"
    return f"at {listed(list(dict.fromkeys(station.holes)))}, {where}" if station.holes else where


# The figures


def say_strength(found: Strength, build: Build, layout: Layout, units: Units = "mm") -> tuple[str, ...]:
    """How much is used and where, the band of that, a knock, how it compares; or why nothing is told."""
    weakest = found.weakest
    if not outline_is_sound(layout.edge):
        return ("Strength cannot be told while the outline is open or crosses itself.",)
    if weakest is None:
        return ("No string pulls on this head yet, so there is nothing to work out.",)
    if math.isinf(weakest.bending):
        return (f"The strings pull where no wood is left: {place_words(weakest, units)}.", GOVERNS)
    if not found.told:
        return (*_why_not(found, build, layout), _stress_only(weakest, units), GOVERNS)
    use, place = percent(found.use(weakest)), place_words(weakest, units)
    return (
        f"The strings use about {use} of what a timber code would allow, weakest {place}.",
        *_band(found),
        verdict(found, build.head),
        knock_words(found, units),
        f"Index {figures(index(found), ESTIMATE)}: the {REFERENCE_NAME} stands at 100, a stronger head higher.",
        GOVERNS,
    )


def _why_not(found: Strength, build: Build, layout: Layout) -> Iterator[str]:
    """Why there is no figure."""
    if found.wood is None and build.head.wood and not found.doubt:
        yield f"The head is of {unknown_wood(build.head.wood)}: no figure of its strength."
    elif found.wood is None:
        wood = f'"{build.head.wood}" has' if build.head.wood else "The wood is not named, so it has"
        doubt = f" ({found.doubt})" if found.doubt else ""
        yield f"{wood} no strength here that can be relied on{doubt}; no figure without it."
    if found.unknown:
        names = listed([layout.labels[key] for key in found.unknown])
        strings = "string" if len(found.unknown) == 1 else "strings"
        yield f"The pull of {strings} {names} is not known: give a pitch or a tension. No figure without it."


def _stress_only(weakest: Station, units: Units) -> str:
    return (
        f"Weakest {place_words(weakest, units)}: the strings that are known bend the wood there with "
        f"{show_stress(weakest.bending, units, ESTIMATE)}."
    )


def _band(found: Strength) -> Iterator[str]:
    """What the figure is in woods that are stronger or weaker across their grain, where that matters."""
    low, high = (percent(use) for use in found.band)
    if low != high:
        yield f"The grain slopes through this head. Woods differ in how much that costs: {low} to {high}."


def is_beyond(use: float) -> bool:
    """Whether a use is told as more than 100 %: beyond what is usual."""
    return float(percent(use).removesuffix(" %")) > 100


def verdict(found: Strength, head: Head) -> str:
    """What the use means, plainly, and what helps where it is beyond what is usual."""
    weakest = found.weakest
    assert weakest is not None, "without a pull there is nothing to judge"
    if is_beyond(found.use(weakest)):
        return f"That is beyond what is usual: {_cures(weakest, head)}."
    if is_beyond(found.band[1]):
        return (
            "Ordinary heads stay below 100 %; in a wood that is weak across its grain this one would be beyond "
            f"that: {_cures(weakest, head)}."
        )
    return "Ordinary heads stay below 100 %."


def _cures(weakest: Station, head: Head) -> str:
    """What would help at the weakest place."""
    helps = ["scarf it"] if weakest.y >= 0 and head.joint == "one piece" and head.angle_deg > 0 else []
    helps.append("thicken it" if weakest.y >= 0 else "make the neck deeper")
    if abs(weakest.y) <= _NEAR_NUT:
        helps.append("raise the volute" if head.volute_height > 0 else "add a volute")
    return listed(helps, "or")


def knock_words(found: Strength, units: Units) -> str:
    """What the head holds besides its strings."""
    told, weakest = found.knock(), found.weakest
    if told.force < 1:
        return "Nothing is left for a knock at the tip."
    low, high = (found.knock(across).force for across in (LEAST_ACROSS, MOST_ACROSS))
    force, least, most = (show_force(each, units, ESTIMATE) for each in (told.force, low, high))
    band = f" ({least} to {most})" if least != most else ""
    where = f", {place_words(told.station, units)}" if told.station != weakest else ""
    return (
        f"Reserve for a knock: about {force}{band} at the tip, square to the face, would break it with the strings "
        f"on{where}."
    )


# Sources


def sources(found: Strength, units: Units = "mm") -> tuple[tuple[str, str, str], ...]:
    """What goes in: its name, its value, where it is from."""
    wood = (
        ("Modulus of rupture", show_stress(found.wood.modulus_of_rupture, units, ESTIMATE), found.wood.source)
        if found.wood
        else ("Modulus of rupture", "unknown", found.doubt or "the wood has none that can be relied on")
    )
    across = f"{percent(USUAL_ACROSS)} ({percent(LEAST_ACROSS)} to {percent(MOST_ACROSS)})"
    return (
        wood,
        ("Scatter of boards", percent(VARIATION), "from memory: Wood Handbook, ch. 5"),
        ("Strength across", across, "Hankinson's formula, exponent 2; from memory: Wood Handbook, ch. 5"),
        ("Load that stays", percent(LONG_SHARE), "from memory: EN 1995-1-1, permanent load"),
        ("Margin", f"1 / {typed_number(SAFETY)}", "from memory: EN 1995-1-1, solid timber"),
        (
            "Sections",
            f"from {show_measured(BEFORE_NUT, units)} before the nut",
            "beam theory on the wood that is left",
        ),
    )


# The head that others are compared with


REFERENCE_NAME = "three-plus-three sample"
"""What a sentence calls it."""

_WOOD = "true mahogany"
_POCKET_WIDTH, _POCKET_LENGTH, _POCKET_DEPTH = 10.0, 22.0, 9.0  # mm, from the nut line, of the rod


def reference_head() -> Build:
    """Three tuners a side on a mahogany head at 13 degrees, as the sample has it, made like any new one.

    It is given the sample's wood and rod pocket.
    """
    suggestion = SUGGESTIONS["straight-taper"]
    string_set, hardware = find_string_set(suggestion.string_set), hardware_library.find(suggestion.hardware)
    assert string_set is not None, "a starter suggests a set that there is"
    assert hardware is not None, "a starter suggests tuners that there are"
    fresh = new_build(
        "straight-taper",
        name=REFERENCE_NAME,
        nut_width=suggestion.nut_width,
        string_set=string_set,
        hardware=hardware,
        left_handed=False,
    )
    half = _POCKET_WIDTH / 2
    corners = (
        Point(-half, 0.0),
        Point(half, 0.0),
        Point(half, _POCKET_LENGTH),
        Point(-half, _POCKET_LENGTH),
    )
    pocket = Region(
        key="rod", name="rod pocket", shape=Polygon(points=corners), side="face", depth=_POCKET_DEPTH
    )
    return replace(fresh, head=replace(fresh.head, wood=_WOOD), keep_clear=(pocket,))


@lru_cache(maxsize=1)
def reference_use() -> float:
    """How much its strings use of what a timber code would allow of its wood, as a share."""
    build = reference_head()
    return strength(build, lay_out(build)).most_used()


def index(found: Strength) -> float:
    """How a head that has a figure compares: 100 for the reference, 200 for one that is used half as much."""
    return 100 * reference_use() / found.most_used()
