"""Strength in words: about how much, where, what is in it, and what is not."""

from __future__ import annotations

import math

from geometry.bench.grain import ACROSS_SHARE, VARIATION
from geometry.bench.strength import BEFORE_NUT, Station, Strength
from geometry.build.build import Build
from geometry.build.lengths import Units
from geometry.checks.outline import outline_is_sound
from geometry.checks.words import length_words
from geometry.layout.layout import Layout

GOVERNS = (
    "Thin walls, splitting at holes and screws, drops and knocks govern, and none of them is in this figure: see wall, "
    "web and end distance in the check report."
)
"""What stands beside every figure."""

ASSUMED = (
    (
        "Sections stand square to the centre line. Behind the nut the neck is taken to go on as wide as the nut and "
        "as thick as the head; the fingerboard is not counted."
    ),
    (
        "Pockets count as missing wood, and as a hole of their width where they reach the side that is pulled: round "
        "their corners. Holes of screws and pins are not counted."
    ),
    "What the strings press along the head is not counted: it closes cracks.",
)
"""What the figures take for granted."""

LITTLE = 2.0
"""Below this there is little in hand; workshop practice, no source."""

_MOST = 20.0


def about(ratio: float) -> str:
    """A ratio as no more than it is worth, rounded down: tenths below 1, halves below 5, whole numbers up to 20."""
    if ratio > _MOST:
        return f"more than {_MOST:.0f}"
    if ratio >= 5:
        return f"about {math.floor(ratio)}"
    if ratio >= 1:
        return f"about {math.floor(ratio * 2) / 2:g}"
    return f"about {math.floor(ratio * 10) / 10:g}" if ratio >= 0.1 else "less than 0.1"


def times(ratio: float) -> str:
    """How much of the strings' pull the wood holds."""
    if ratio < 1:
        return f"{about(ratio)} of what the strings pull"
    if ratio < 1.5:
        return "about as much as the strings pull"
    return f"{about(ratio)} times what the strings pull"


def two_figures(value: float) -> str:
    """A stress, force or factor to two figures at most."""
    if not math.isfinite(value):
        return "no limit"
    if value == 0:
        return "0"
    rounded = float(f"{value:.1e}")
    digits = 1 - math.floor(math.log10(abs(rounded)))
    return f"{rounded:.{max(0, digits)}f}" if digits > 0 else f"{rounded:.0f}"


def place_words(station: Station, units: Units) -> str:
    """Where a section lies, and which hollows it cuts."""
    y = station.y
    if abs(y) < 0.5:
        where = "at the nut line"
    elif y < 0:
        where = f"{length_words(-y, units)} before the nut, in the neck"
    else:
        where = f"{length_words(y, units)} past the nut"
    return f"{where}, at {_named(station.holes)}" if station.holes else where


def _named(holes: tuple[str, ...]) -> str:
    *most, last = dict.fromkeys(holes)
    return f"{', '.join(most)} and {last}" if most else last


def say_strength(found: Strength, build: Build, layout: Layout, units: Units = "mm") -> tuple[str, ...]:
    """The figure with its place, then what is in it, then what to make of it; or why there is none."""
    weakest = found.weakest
    if not outline_is_sound(layout.edge):
        return ("Strength cannot be told while the outline is open or crosses itself.",)
    if weakest is None:
        return ("No string pulls on this head yet, so there is nothing to reckon.",)
    if not found.told:
        return (*_why_not(found, build, layout), _stress_only(weakest, units), GOVERNS)
    ratio = found.ratio(weakest)
    return (
        f"Weakest {place_words(weakest, units)}: by these figures the wood holds {times(ratio)}.",
        _what_is_in_it(found, weakest),
        verdict(ratio),
        GOVERNS,
    )


def _why_not(found: Strength, build: Build, layout: Layout) -> tuple[str, ...]:
    """Why there is no figure."""
    why = []
    if found.wood is None:
        wood = f'"{build.head.wood}" has' if build.head.wood else "The wood is not named, so it has"
        doubt = f" ({found.doubt})" if found.doubt else ""
        why.append(f"{wood} no strength here that can be relied on{doubt}; no figure without it.")
    if found.unknown:
        names = _named(tuple(layout.labels[key] for key in found.unknown))
        strings = "string" if len(found.unknown) == 1 else "strings"
        why.append(
            f"The pull of {strings} {names} is not known: give a pitch or a tension. No figure without it."
        )
    return tuple(why)


def _stress_only(weakest: Station, units: Units) -> str:
    return (
        f"Highest stress {place_words(weakest, units)}: {two_figures(weakest.at_rim)} MPa with the factor of the "
        "holes, by the strings that are known."
    )


def _what_is_in_it(found: Strength, weakest: Station) -> str:
    """The four things in the figure, beside each other."""
    return (
        f"All four are in it: a plain section would hold {times(found.nominal(weakest))}; "
        f"{_rim(weakest)}; {percent(found.grain)} of the strength is left with the grain "
        f"{math.degrees(found.slope):.0f}° off the length of the head; {percent(found.duration)} of that under a load "
        "that stays."
    )


def _rim(weakest: Station) -> str:
    if weakest.hole_factor == 1:
        return "no hole weakens the pulled side there"
    return f"the stress is {two_figures(weakest.hole_factor)} times as high at the rim of the hole"


def percent(share: float) -> str:
    """A share of 1 in percent."""
    return f"{100 * share:.0f} %"


def verdict(ratio: float) -> str:
    """What a ratio means, plainly."""
    if ratio < 1:
        return "By these figures the head fails under its own strings."
    if ratio < LITTLE:
        return f"That is little: boards of one wood alone scatter by {percent(VARIATION)} about their mean."
    return (
        "By these figures the strings alone do not break it. That is an aid to compare designs, no promise."
    )


# Sources


def sources(found: Strength) -> tuple[tuple[str, str, str], ...]:
    """What goes in: its name, its value, where it is from."""
    wood = (
        ("Modulus of rupture", f"{found.wood.modulus_of_rupture:.0f} MPa", found.wood.source)
        if found.wood
        else ("Modulus of rupture", "unknown", found.doubt or "the wood has none that can be relied on")
    )
    return (
        wood,
        (
            "Rim of a hole",
            "1.8 to 3.0",
            "plate that bends, a hole in it: handbook Table 17.1; not made for wood",
        ),
        (
            "Grain across",
            percent(ACROSS_SHARE),
            "Hankinson's formula, exponent 2; from memory: Wood Handbook, ch. 5",
        ),
        ("Load that stays", percent(found.duration), "from memory"),
        ("Scatter of boards", percent(VARIATION), "from memory: Wood Handbook, ch. 5"),
        ("Sections", f"from {BEFORE_NUT:.0f} mm before the nut", "beam theory on the wood that is left"),
    )
