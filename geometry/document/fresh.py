"""A new build from a starter: tuners placed by rules that suit the part and the head."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Head, Nut, OnLine, OnPlate, Post, Row, SideName, String
from geometry.document.outline import StarterShape
from geometry.document.starters import STARTERS
from geometry.trade.hardware import Hardware, SideButton
from geometry.trade.string_sets import StringSet

Rule = AlongEdge | OnLine | OnPlate


class Suggestion(msgspec.Struct, frozen=True):
    """What goes well with a starter: nut width in mm, string set and hardware by key, head angle, thickness in mm."""

    nut_width: float
    string_set: str
    hardware: str
    angle_deg: float
    thickness: float


SUGGESTIONS: dict[StarterShape, Suggestion] = {
    "straight-taper": Suggestion(44.5, "guitar-acoustic-light", "enclosed", 13.0, 13.5),
    "waisted": Suggestion(44.5, "guitar-acoustic-light", "enclosed", 13.0, 13.5),
    "one-sided": Suggestion(42.0, "guitar-electric-light", "split-post", 0.0, 14.0),
    "narrow": Suggestion(30.0, "stick-dulcimer-three", "enclosed-small", 10.0, 13.0),
    "rounded-paddle": Suggestion(36.0, "ukulele-tenor", "friction", 13.0, 12.0),
    "broad-for-plates": Suggestion(28.6, "mandolin", "four-on-plate", 13.0, 13.5),
}
"""Ready choices for every starter; the maker changes what differs."""

SHORTEST_START = 30.0
WIDEST_PITCH = 40.0
"""First post and pitch of a guitar-sized row, mm; common practice, no source."""


def new_build(
    shape: StarterShape,
    *,
    name: str,
    nut_width: float,
    string_set: StringSet,
    hardware: Hardware,
    left_handed: bool,
) -> Build:
    """A build of a starter with its tuners placed by rule, still without trees; it is judged like any other."""
    suggestion = SUGGESTIONS[shape]
    starter = STARTERS[shape]
    extra = max(0.0, nut_width - suggestion.nut_width)
    outline = replace(starter, width_low=starter.width_low + extra, width_high=starter.width_high + extra)
    flat_from = starter.shoulder * 0.75
    strings = strings_of(string_set)
    sides = _sides(shape, len(strings))
    start = max(SHORTEST_START, flat_from + _half_length(hardware) + 3.0)
    rows = tuple(
        _row(side, count, hardware, _rule(shape, hardware, count, start, starter.length))
        for side, count in sides
        if count
    )
    if shape == "narrow":
        rows = _staggered(rows)
    flat = suggestion.angle_deg == 0
    return Build(
        name=name,
        hand="left" if left_handed else "right",
        outline=outline,
        nut=_nut(nut_width, string_set, flat=flat),
        head=Head(
            thickness_nut=suggestion.thickness,
            thickness_tip=suggestion.thickness,
            angle_deg=suggestion.angle_deg,
            back_flat_from=round(flat_from, 1),
        ),
        strings=strings,
        hardware=(hardware,),
        rows=rows,
        scale_length=string_set.scale_length,
        bridge_spread=round(max(nut_width, 20.0) * 1.25, 1),
    )


def strings_of(string_set: StringSet) -> tuple[String, ...]:
    """The strings of a set, with keys of their own."""
    return tuple(
        String(key=f"s{number}", name=each.pitch, diameter=each.diameter, kind=each.kind, course=each.course)
        for number, each in enumerate(string_set.gauges, start=1)
    )


def _nut(width: float, string_set: StringSet, *, flat: bool) -> Nut:
    courses = any(gauge.course for gauge in string_set.gauges)
    margin = round(width * 0.13 if len(string_set.gauges) < 4 else min(3.2, width * 0.075), 2)
    return Nut(
        width=width,
        spacing="equal gaps" if courses else "equal centres",
        margin_bass=margin,
        margin_treble=margin,
        course_gap=1.6 if width < 40 else 1.2,
        slot_floor=8.0 if flat else 7.0,
    )


def _staggered(rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """The treble row half a pitch further up: on a narrow head facing bodies would meet."""
    return tuple(
        replace(row, rule=replace(row.rule, start=row.rule.start + 0.5 * row.rule.pitch))
        if row.side == "treble" and isinstance(row.rule, AlongEdge)
        else row
        for row in rows
    )


def _sides(shape: StarterShape, strings: int) -> tuple[tuple[SideName, int], tuple[SideName, int]]:
    """How many posts go on each side."""
    if shape == "one-sided":
        return ("treble", 0), ("bass", strings)
    return ("treble", strings // 2), ("bass", strings - strings // 2)


def _row(side: SideName, count: int, hardware: Hardware, rule: Rule) -> Row:
    posts = tuple(Post(key=f"{side}-{number}") for number in range(1, count + 1))
    return Row(key=side, side=side, hardware=hardware.key, rule=rule, posts=posts)


def _rule(shape: StarterShape, hardware: Hardware, count: int, start: float, length: float) -> Rule:
    inset = _inset(hardware)
    if hardware.plate is not None and hardware.plate.posts == count:
        return OnPlate(start=start, inset=inset)
    room = length - start - 30.0
    pitch = min(WIDEST_PITCH, max(15.0, room / max(1, count - 1)))
    if hardware.butts:
        pitch = _length(hardware) + 0.2
    pitch = round(pitch, 1)
    if shape == "one-sided":
        return OnLine(start=start, pitch=pitch, inset=inset)
    return AlongEdge(start=start, pitch=pitch, inset=inset)


def _inset(hardware: Hardware) -> float:
    """Half-way between what wall, seat and washer want and where the button begins to rub the edge."""
    bore = hardware.bore.largest
    wanted = max(bore / 2 + max(5.5, 0.55 * bore), hardware.collar_diameter / 2 + 2.0)
    if hardware.seat is not None:
        wanted = max(wanted, hardware.seat.across / 2 + hardware.seat.shift_outward + 1.5)
    if hardware.plate is not None:
        wanted = max(wanted, hardware.plate.across / 2 + hardware.plate.shift_outward + 1.5)
    if isinstance(hardware.button, SideButton):
        wanted = (wanted + max(wanted, hardware.button.shaft_length - 3.0)) / 2
    return round(wanted, 1)


def _length(hardware: Hardware) -> float:
    return hardware.body.along if hardware.body else hardware.collar_diameter


def _half_length(hardware: Hardware) -> float:
    """How far the seat reaches towards the nut from the first post."""
    if hardware.plate is not None:
        return hardware.plate.beyond
    if hardware.seat is None:
        return hardware.collar_diameter / 2
    return hardware.seat.along / 2 - hardware.seat.shift_along
