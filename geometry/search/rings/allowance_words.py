"""The miss allowance in words."""

from __future__ import annotations

from geometry.document.build import Build
from geometry.layout.names import run_words
from geometry.search.rings.allowance import Allowance, End, Joint, Ring
from geometry.search.rings.slack import LARGEST
from geometry.shape.point import Vector
from geometry.trade.quantities import show_radius
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

ENDS: dict[str, str] = {
    "wall": "too little wood is left at the {b}",
    "end distance": "the grain between it and the end of the wood is too short",
    "web": "too little wood is left to {b}",
    "body gap": "its body meets {b}",
    "butting body gap": "its body meets {b}",
    "washer gap": "its washer meets {b}",
    "seat": "its seat hangs over the back's edge",
    "seat on flat back": "its seat leaves the flat back",
    "button gap": "its button meets {b}",
    "button to edge": "its button rubs the edge of the head",
    "screw to edge": "{a} comes too near the {b}",
    "screw to hole": "{a} and {b} come too near each other",
    "screw to own bore": "{a} comes too near the bore",
    "screw depth": "the wood is too thin for {a}",
    "string to post": "its string rubs {b} or its windings",
    "string to string": "its string touches {b}",
    "string over washers": "its string lies on {b}",
    "order": "its string crosses {b}",
    "wraps": "the lowest turn of its string lies on the bushing or washer",
    "retainer": "its string comes to an end of {b}, and is no longer held as it is",
    "break": "its string hardly presses on the nut",
    "first washer": "its washer touches the nut",
    "into the nut": "it runs into the nut",
    "thickness": "the wood is not as thick as its tuner needs",
    "keep clear": "{a} meets {b}",
    "plate fit": "its post binds: the shafts of its plate do not meet all their holes any more",
    "shared screw": "it does not meet the screw that it shares any more",
}
"""What ends a ring, by check: `a` is a part of the hole's own tuner, `b` the other one."""

OF_OTHERS: dict[str, str] = {
    "string to post": "{a} rubs its post or the windings",
    "string over washers": "{a} lies on its washer",
}
"""The same where the string is another tuner's."""


def say_ring(ring: Ring, build: Build, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """How far a hole may miss when all others are where they belong, and what ends that in which direction."""
    if ring.broken or ring.drilled:
        return translate("Hole {0}: {1}.").format(ring.label, say_alone(ring, build, units, translate))
    return translate("Hole {0} alone: {1}.").format(ring.label, say_alone(ring, build, units, translate))


def say_alone(ring: Ring, build: Build, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """The same without the name of the hole, as part of a sentence."""
    if ring.drilled:
        return translate("drilled already")
    if ring.broken:
        return translate("no room to miss, because a limit is broken already")
    if ring.ends is None or ring.alone >= LARGEST:
        return translate("{0} and more").format(show_radius(LARGEST, units))
    reach = show_radius(ring.alone, units)
    where = translate(direction(ring.ends.toward, build)) if ring.ends.toward else ""
    text = "{0} {1}; then {2}" if where else "{0}; then {2}"
    return translate(text).format(reach, where, say_end(ring.ends, translate))


def say_end(end: End, translate: Translate = as_it_is) -> str:
    """What ends a ring, as part of a sentence."""
    names = [part.name for part in end.about]
    others = names[end.own :] or names
    text = ENDS[end.check]
    if end.check in OF_OTHERS and end.own and end.about[0].kind != "string":
        return translate(OF_OTHERS[end.check]).format(a=others[0])
    return translate(text).format(a=names[0], b=others[0])


def say_rings(found: Allowance | Joint, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """One sentence about all rings together."""
    if not found.rings:
        return translate("There are no holes yet.")
    if not found.told:
        return translate("How far holes may miss cannot be told while the outline is open or crosses itself.")
    left = [ring for ring in found.rings if not ring.drilled]
    if not left:
        return translate("All holes are drilled already.")
    broken = [ring.label for ring in left if ring.broken]
    if broken:
        text = (
            "Hole {0} has no room to miss: a limit is broken already."
            if len(broken) == 1
            else "Holes {0} have no room to miss: a limit is broken already."
        )
        return translate(text).format(run_words(broken))
    least = min(ring.radius for ring in left)
    narrow = [ring.label for ring in left if ring.radius == least]
    if len(narrow) == len(found.rings):
        which = translate("all holes")
    else:
        which = translate("hole {0}" if len(narrow) == 1 else "holes {0}").format(run_words(narrow))
    text = "All holes may miss at once, each within its ring; the smallest is {0} ({1})."
    if len(left) < len(found.rings):
        text = "All holes still to drill may miss at once, each within its ring; the smallest is {0} ({1})."
    return translate(text).format(show_radius(least, units), which)


def direction(way: Vector, build: Build) -> str:
    """A direction on the head in words."""
    along = "towards the tip" if way.y > 0 else "towards the nut"
    treble = way.x * build.sign_of("treble") > 0
    across = "towards the treble side" if treble else "towards the bass side"
    if abs(way.y) > 2 * abs(way.x):
        return along
    if abs(way.x) > 2 * abs(way.y):
        return across
    return f"{along} and the {'treble' if treble else 'bass'} side"
