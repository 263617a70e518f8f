"""Drilled holes against their plan, in words."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.layout.layout import Layout
from geometry.search.answers.all_read import AllRead, Off
from geometry.search.answers.drilled import ROUGH_EDGE, AsDrilled, Hit, Seen
from geometry.search.answers.missed_words import say_step
from geometry.search.answers.readings import Kind
from geometry.shape.point import Vector
from geometry.trade.quantities import CLEARANCE, CLOSE, show_length, show_measured, show_radius
from geometry.trade.units import Units

_OTHER_SIZE = (
    0.1  # mm by which a diameter differs from its drill, beyond what the picture is good for, and is told
)
_SMALL = 4.0  # mm of diameter below which a hole that is none of the plan is one of a screw or a pin


def say_drilled(head: AsDrilled, units: Units = "mm") -> Iterator[str]:
    """Each hole of the plan that is drilled, which are not, and what else there is."""
    yield from (say_hit(hit, units) for hit in head.hits)
    done = {hit.post for hit in head.hits}
    unseen = [post for post in head.layout.posts if post.key not in done]
    if left := [post.label for post in unseen if not post.post.drilled]:
        yield f"Not drilled, or not measured: {_holes(left)}."
    if before := [post.label for post in unseen if post.post.drilled]:
        yield f"Drilled before, but not measured: {_holes(before)}."
    if head.besides.old:
        yield (
            "1 old hole, as the build has it."
            if len(head.besides.old) == 1
            else f"{len(head.besides.old)} old holes, as the build has them."
        )
    small = sum(hole.diameter < _SMALL for hole in head.besides.others)
    if small:
        yield f"{small} small hole{'s' if small > 1 else ''} for screws or pins: not looked at."
    yield from (_say_other(hole, units) for hole in head.besides.others if hole.diameter >= _SMALL)
    if head.besides.edge_off > ROUGH_EDGE:
        yield f"Half of the head's edge is {show_measured(head.besides.edge_off, units)} or more off the plan."


def say_hit(hit: Hit, units: Units = "mm") -> str:
    """Where a hole is, what that is good for, and whether it left its ring."""
    give = f"give or take {show_length(max(hit.seen.give, 0.05), units, CLOSE)}"
    # A miss is told in tenths of a mm: finer figures would only seem so.
    step = say_step(Vector(round(hit.by.x, 1), round(hit.by.y, 1)), units)
    if hit.kind == "drilled before":
        off = f"{step} of where the build has it" if hit.told else "where the build has it"
        kept = "; the build keeps its place" if hit.told else ""
        return f"Hole {hit.label}, drilled before: {off}, {give}{kept}{_say_width(hit, units)}."
    place = f"{step}, {give}{_say_ring(hit, units)}" if hit.told else f"on its mark, {give}"
    if hit.kind == "pilot":
        pilot = show_length(hit.seen.diameter, units, CLEARANCE)
        return f"Hole {hit.label}: only a pilot of {pilot}, {place}."
    return f"Hole {hit.label}: {place}{_say_width(hit, units)}."


def say_read(layout: Layout, read: AllRead, units: Units = "mm") -> Iterator[str]:
    """What the readings say of themselves: the one that contradicts the others, and holes that none proves."""
    yield from (_say_off(layout, off, units) for off in read.off)
    if alone := [layout.post(hole.post).label for hole in read.holes if not hole.proved]:
        yield f"Nothing proves the readings of {_holes(alone)}: one more of each would show a slip."


def _say_off(layout: Layout, off: Off, units: Units) -> str:
    words = _READ[off.reading.kind]
    to = "" if off.reading.post is None else f" {layout.post(off.reading.post).label}"
    far = show_measured(abs(off.by), units)
    size = "more" if off.by > 0 else "less"
    label = layout.post(off.post).label
    if not off.sure:
        return f"The readings of hole {label} contradict each other by {far}: read them again."
    return f"The reading of hole {label} {words}{to} is {far} {size} than the others say, and left out: read it again."


_READ: dict[Kind, str] = {
    "nut": "to the nut line",
    "side": "to the side",
    "left": "to the left side",
    "right": "to the right side",
    "centre": "to the centre line",
    "between": "over the wood to hole",
    "across": "to the far rim of hole",
}


def _say_width(hit: Hit, units: Units) -> str:
    if abs(hit.seen.diameter - hit.bore) <= hit.seen.diameter_give + _OTHER_SIZE:
        return ""
    seen, bore = (show_length(each, units, CLEARANCE) for each in (hit.seen.diameter, hit.bore))
    return f"; it is {seen} wide, not {bore}"


def _say_ring(hit: Hit, units: Units) -> str:
    ring = show_radius(hit.ring, units)
    if hit.by.length - hit.seen.give > hit.ring:
        return f"; it left its ring of {ring}" if hit.ring > 0 else "; there was no room to miss"
    if hit.by.length + hit.seen.give > hit.ring:
        return f"; it may have left its ring of {ring}" if hit.ring > 0 else "; there was no room to miss"
    return f"; within its ring of {ring}"


def _say_other(hole: Seen, units: Units) -> str:
    size = show_length(hole.diameter, units, CLEARANCE)
    x, y = (show_length(round(each, 1), units) for each in (hole.at.x, hole.at.y))
    return f"A hole of {size} at x {x}, y {y} is not in the plan."


def _holes(labels: list[str]) -> str:
    return f"hole{'s' if len(labels) > 1 else ''} {', '.join(labels)}"
