"""Every check exactly at, just inside and just beyond each of its limits.

Each case makes a build in which the measured quantity has, by plain arithmetic, a chosen value; the limits are those
of the workshop's table. The plain head is 80 x 200 mm and 15 mm thick, the plain tuner's bore is 10 mm, its post 6 mm,
its string 1 mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import pytest

from geometry.checks.judge import Level
from geometry.document.build import (
    AlongEdge,
    Blank,
    Build,
    Head,
    OldHole,
    Polygon,
    Region,
    RoundRegion,
    Row,
    String,
)
from geometry.document.outline import Bend, Node, Nodes
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Counterbore, Disc, Hardware, Pin, Screw
from tests.builds import (
    HALF,
    INSET,
    LENGTH,
    PITCH,
    PLAIN_TUNER,
    REAR_TUNER,
    START,
    THICK,
    change,
    closest,
    nodes,
    plain_head,
    post_at,
    rectangle,
    row,
    side_button,
    strings,
    tuner,
)


class Case(NamedTuple):
    """A quantity of one check, the build that has it at a given value, and what it is held against."""

    check: str
    name: str
    build: Callable[[float], Build]
    watch: float | None
    stop: float | None
    at_most: bool = False


def along(start: float = START, pitch: float = PITCH, inset: float = INSET) -> AlongEdge:
    return AlongEdge(start=start, pitch=pitch, inset=inset)


def one(inset: float = INSET, start: float = START, hardware: Hardware = PLAIN_TUNER, **fields: Any) -> Build:
    """A lone tuner without a string."""
    return plain_head(row(rule=along(start, PITCH, inset)), hardware=(hardware,), **fields)


def two(pitch: float = PITCH, hardware: Hardware = PLAIN_TUNER, **fields: Any) -> Build:
    """Two tuners along one edge."""
    return plain_head(row(count=2, rule=along(START, pitch)), hardware=(hardware,), **fields)


def across(apart: float, **fields: Any) -> Build:
    """Two tuners across the head from each other."""
    rule = along(inset=HALF - apart / 2)
    return plain_head(row("treble", rule=rule), row("bass", rule=rule), **fields)


def slanted(slot_x: float, angle: float, length: float, key: str = "one") -> Row:
    """A post whose 1 mm string runs `length` mm from its slot at `angle` to the centre line, post on the inside.

    The tangent is length x (sin, cos) from the slot, the post's centre 3.5 mm to the left of the string there.
    """
    sine, cosine = math.sin(angle), math.cos(angle)
    return post_at(slot_x + length * sine - 3.5 * cosine, length * cosine + 3.5 * sine, "bass", key=key)


def straight(slot_x: float = 0.0, y: float = 150.0, **fields: Any) -> Row:
    """A post whose 1 mm string runs straight up the head from its slot."""
    return post_at(slot_x + 3.5, y, **fields)


def screw(along_row: float, outward: float, length: float = 10.0) -> Screw:
    return Screw(along=along_row, outward=outward, diameter=2.2, root=1.5, length=length)


def pin(along_row: float, outward: float, depth: float = 3.0) -> Pin:
    return Pin(along=along_row, outward=outward, diameter=2.0, depth=depth)


def bored(diameter: float) -> Hardware:
    return tuner(bore=Bore(through=diameter))


def round_region(x: float, y: float, radius: float, **fields: Any) -> tuple[Region, ...]:
    return (Region(key="r", name="rod", shape=RoundRegion(centre=Point(x, y), radius=radius), **fields),)


# Wood


def wide_apart(v: float) -> Build:
    """A 10 mm and a 6 mm bore in line: the larger one counts."""
    small = tuner(key="small", bore=Bore(through=6.0))
    rows = (row(), post_at(HALF - INSET, START + 8 + v, key="small", hardware="small"))
    return plain_head(*rows, hardware=(PLAIN_TUNER, small))


def stepped(v: float) -> Build:
    """A counterbore of 12 mm over a bore of 8 mm: D is 12, watch 6, stop 3."""
    return one(
        6 + v, hardware=tuner(bore=Bore(through=8.0, counterbore=Counterbore(diameter=12.0, depth=5.0)))
    )


def between(right: float, left: float) -> Nodes:
    """A head that reaches so far to the right and to the left of the centre line; its nut is 80 mm wide."""
    return nodes((right, 0.0), (right, LENGTH), (-left, LENGTH), (-left, 0.0))


def rounded_edges(v: float) -> Build:
    """The back stays 1.5 + 0.5 behind the outline, the face 0.5 + 0.5: the smaller wall is at the back."""
    head = Head(thickness_nut=THICK, thickness_tip=THICK, edge_face=0.5, edge_back=1.5, binding=0.5)
    return one(5 + 2 + v, head=head)


def bevelled_face(v: float) -> Build:
    return one(5 + 3 + v, head=Head(edge_face=2.5, edge_back=1.0, binding=0.5))


def tapered(v: float) -> Build:
    """15 mm at the nut, 11 mm at the tip 200 mm up: 13.8 mm thick at 60 mm."""
    head = Head(thickness_nut=15.0, thickness_tip=11.0)
    return one(hardware=tuner(thickness_least=13.8 - v, thickness_most=30.0), head=head)


def polygon_beside(v: float) -> Build:
    x = HALF - INSET - 5 - v
    shape = Polygon(points=(Point(x, 50.0), Point(x, 70.0), Point(x - 8, 70.0), Point(x - 8, 50.0)))
    return one(keep_clear=(Region(key="r", name="", shape=shape),))


def screw_and_face_region(v: float) -> Build:
    """A screw 9 mm deep meets what reaches 6 mm down from the face of a 15 mm head."""
    regions = round_region(20 - 12 - 1.1 - 3 - v, START, 3.0, side="face", depth=6.0)
    return one(hardware=tuner(screws=(screw(0.0, -12.0, 9.0),)), keep_clear=regions)


def hollow(v: float) -> Build:
    """A half round hollow of radius 20 in the treble edge, cut with a cutter of radius 20 - v."""
    places = [(40.0, 0.0), (40.0, 80.0), (40.0, 120.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0)]
    nodes = [Node(key=f"n{n}", at=Point(x, y)) for n, (x, y) in enumerate(places)]
    nodes[1] = change(nodes[1], onward=Bend(bulge=-1.0))
    return one(outline=Nodes(nodes=tuple(nodes)), cutter_diameter=2 * (20.0 - v))


WOOD = (
    Case("wall", "bore 10", lambda v: one(5 + v), 5.0, 3.0),
    Case("wall", "bore 8", lambda v: one(4 + v, hardware=bored(8.0)), 4.8, 3.0),
    Case("wall", "bore 16", lambda v: one(8 + v, hardware=bored(16.0)), 8.0, 4.0),
    Case("wall", "counterbore", stepped, 6.0, 3.0),
    Case("wall", "rounded back", rounded_edges, 5.0, 3.0),
    Case("wall", "bevelled face", bevelled_face, 5.0, 3.0),
    Case("end distance", "bore 10", lambda v: plain_head(post_at(20, LENGTH - v)), 15.0, 10.0),
    Case(
        "end distance",
        "bore 16",
        lambda v: plain_head(post_at(20, LENGTH - v), hardware=(bored(16.0),)),
        24.0,
        16.0,
    ),
    Case("web", "along", lambda v: two(10 + v), 10.0, 5.0),
    Case("web", "across", lambda v: across(10 + v), 7.5, 5.0),
    # The limits go over from one to the other with the square of the cosine: half-way at 45 degrees.
    Case("web", "grain at 45", lambda v: two(10 + v, head=Head(grain_deg=45.0)), 8.75, 5.0),
    Case("web", "grain across", lambda v: two(10 + v, head=Head(grain_deg=90.0)), 7.5, 5.0),
    Case("web", "two sizes", wide_apart, 10.0, 5.0),
    Case(
        "web",
        "old hole",
        lambda v: one(old_holes=(OldHole(key="o", at=Point(HALF - INSET, START + 8 + v), diameter=6.0),)),
        10.0,
        5.0,
    ),
    Case("into the nut", "washer", lambda v: one(start=7 + v), None, 0.0),
    Case("into the nut", "bare bore", lambda v: one(start=5 + v, hardware=tuner(washer=None)), None, 0.0),
    Case(
        "thickness",
        "least",
        lambda v: one(hardware=tuner(thickness_least=THICK - v, thickness_most=30.0)),
        0.5,
        0.0,
    ),
    Case(
        "thickness",
        "most",
        lambda v: one(hardware=tuner(thickness_least=5.0, thickness_most=THICK + v)),
        0.5,
        0.0,
    ),
    Case("thickness", "tapered head", tapered, 0.5, 0.0),
    Case("keep clear", "bore", lambda v: one(keep_clear=round_region(20, START + 5 + 4 + v, 4.0)), 2.0, 0.0),
    Case("keep clear", "polygon", polygon_beside, 2.0, 0.0),
    Case("keep clear", "screw below the face", screw_and_face_region, 2.0, 0.0),
)

OUTLINE = (
    Case("width at nut", "head", lambda v: one(outline=rectangle(80 + 2 * v)), None, -0.1),
    Case("overhang at nut", "head", lambda v: one(outline=rectangle(80 + 2 * v)), 1.0, None, at_most=True),
    # Each end of the nut on its own side: that the other end has wood to spare does not help.
    Case("width at nut", "treble end", lambda v: one(outline=between(40 + v, 60)), None, -0.1),
    Case("width at nut", "bass end", lambda v: one(outline=between(60, 40 + v)), None, -0.1),
    Case(
        "width at nut",
        "treble end, left-handed",
        lambda v: one(outline=between(60, 40 + v), hand="left"),
        None,
        -0.1,
    ),
    Case("overhang at nut", "bass end", lambda v: one(outline=between(20, 40 + v)), 1.0, None, at_most=True),
    Case("cutter radius", "hollow", hollow, 0.0, None),
    Case(
        "blank", "right", lambda v: one(head=Head(blank=Blank(left=60, right=40 + v, length=220))), 0.0, 0.0
    ),
    Case("blank", "left", lambda v: one(head=Head(blank=Blank(left=40 + v, right=60, length=220))), 0.0, 0.0),
    Case("blank", "tip", lambda v: one(head=Head(blank=Blank(left=60, right=60, length=200 + v))), 0.0, 0.0),
)


# Tuners


def side_and_rear(v: float) -> Build:
    """The side button reaches from x = 50 on, its shaft at y = 66; the disc of 9 mm lies beside it."""
    rows = (row(), post_at(50 - 9 - v, START + 6, key="rear", hardware="rear"))
    return plain_head(*rows, hardware=(PLAIN_TUNER, REAR_TUNER))


def button(**fields: Any) -> Hardware:
    return tuner(button=side_button(**fields))


REAR = change(REAR_TUNER, key="plain")
TRIMMED = Head(edge_back=1.0, binding=0.5)
EDGE_OF_FACE = Head(edge_face=2.0)
# A pilot of 90 % of a 1.5 mm root has a point of 0.3 x 1.35 = 0.405 mm, one of 70 % has 0.315 mm.
TWO_SCREWS = 40 - 2.2 - 10

TUNERS = (
    Case("body gap", "bodies", lambda v: two(16 + v), 1.0, 0.0),
    Case("butting body gap", "bodies", lambda v: two(16 + v, tuner(butts=True)), None, -0.1),
    Case("washer gap", "washers", lambda v: two(14 + v), 1.0, 0.0),
    Case("washer gap", "edge", lambda v: one(7 + v), 1.0, 0.0),
    Case("washer gap", "bevelled face", lambda v: one(9 + v, head=EDGE_OF_FACE), 1.0, 0.0),
    Case("seat", "side", lambda v: one(9 + v), 0.5, 0.0),
    Case("seat", "rounded back", lambda v: one(10.5 + v, head=TRIMMED), 0.5, 0.0),
    Case("seat", "tip", lambda v: plain_head(post_at(15, LENGTH - 7 - v)), 0.5, 0.0),
    Case("seat on flat back", "seat", lambda v: one(head=Head(back_flat_from=START - 7 - v)), 1.0, 0.0),
    Case("button gap", "side", lambda v: two(22 + v), 3.0, 0.5),
    Case("button gap", "rear", lambda v: two(18 + v, REAR), 3.0, 0.5),
    Case("button gap", "side and rear", side_and_rear, 3.0, 0.5),
    Case("button to edge", "side", lambda v: one(hardware=button(shaft_length=INSET + v)), 1.5, 0.5),
    Case(
        "button to edge",
        "just touching the back's level",
        lambda v: one(hardware=button(shaft_length=INSET + v, shaft_depth=11.0)),
        1.5,
        0.5,
    ),
    Case("screw to edge", "screw", lambda v: one(hardware=tuner(screws=(screw(0, 18.9 - v),))), 3.0, 1.5),
    Case("screw to edge", "pin", lambda v: one(hardware=tuner(pins=(pin(0, 19.0 - v),))), 3.0, 1.5),
    Case(
        "screw to edge",
        "rounded back",
        lambda v: one(hardware=tuner(screws=(screw(0, 17.4 - v),)), head=TRIMMED),
        3.0,
        1.5,
    ),
    Case("screw to hole", "bore", lambda v: two(hardware=tuner(screws=(screw(-33.9 + v, 0),))), 3.0, 1.0),
    Case(
        "screw to hole",
        "screw",
        lambda v: two(hardware=tuner(screws=(screw(10, 0), screw(v - TWO_SCREWS, 0)))),
        3.0,
        1.0,
    ),
    Case("screw to hole", "pin", lambda v: two(hardware=tuner(pins=(pin(10, 0), pin(v - 28, 0)))), 3.0, 1.0),
    Case(
        "screw to hole",
        "old hole",
        lambda v: one(
            hardware=tuner(screws=(screw(-20, 0),)),
            old_holes=(OldHole(key="o", at=Point(20 - 1.1 - 2 - v, 40), diameter=4.0),),
        ),
        3.0,
        1.0,
    ),
    Case("screw to own bore", "screw", lambda v: one(hardware=tuner(screws=(screw(0, -6.1 - v),))), 0.5, 0.0),
    Case("screw to own bore", "pin", lambda v: one(hardware=tuner(pins=(pin(-6 - v, 0),))), 0.5, 0.0),
    Case("screw depth", "screw", lambda v: one(hardware=tuner(screws=(screw(0, 10, 14.595 - v),))), 2.0, 0.5),
    # The widest pilot counts, 90 % of the root, in a wood that wants a narrower one, too.
    Case(
        "screw depth",
        "screw in walnut",
        lambda v: one(hardware=tuner(screws=(screw(0, 10, 14.595 - v),)), head=Head(wood="black walnut")),
        2.0,
        0.5,
    ),
    # A pin's hole is drilled at the pin's 2 mm: a point of 0.6 mm.
    Case("screw depth", "pin", lambda v: one(hardware=tuner(pins=(pin(0, 10, 14.4 - v),))), 2.0, 0.5),
    # A bore is at least 0.1 wider than the post of 6, and a washer of 14 at least 1 wider than its bore.
    Case(
        "bore fit", "post", lambda v: one(hardware=tuner(bore=Bore(through=6.1 + v), washer=None)), 0.0, None
    ),
    Case("bore fit", "washer", lambda v: one(hardware=tuner(bore=Bore(through=13.0 - v))), 0.0, None),
    Case("first washer", "washer", lambda v: one(start=7 + v), 3.0, 0.0),
    # The button is centred 6 mm past the post and 22 mm wide.
    Case("first button", "button", lambda v: one(start=v + 11 - 6), 20.0, None),
)


# Strings


def past_post(v: float) -> Build:
    """String 1 runs up the centre line past the post of string 2, 1.2 mm thick: 3 + 1.2 + 0.5 + v to its left."""
    x = -(3 + 1.2 + 0.5 + v)
    return plain_head(
        straight(), post_at(x, START, "bass", key="two"), slots=(0.0, x + 3.6), strings=strings(1.0, 1.2)
    )


def past_bare_post(v: float) -> Build:
    """The string runs up the centre line past a post of 6 mm without a string: 3 + 0.5 + v to its left."""
    spare = post_at(-(3 + 0.5 + v), START, "bass", key="spare", post={"string": None})
    return plain_head(straight(), spare, slots=(0.0,))


def side_by_side(v: float) -> Build:
    """Two strings straight up, v between them at the nut too."""
    return plain_head(straight(), post_at(-1 - v - 3.5, START, "bass", key="two"), slots=(0.0, -1.0 - v))


def closing(own_gap: float) -> Callable[[float], Build]:
    """String 1 runs up the centre line, string 2 leans towards it until 5 mm (3 + 2 x 1) before its post, 100 mm on."""

    def build(v: float) -> Build:
        lean = math.asin((own_gap - v) / 100.0)
        return plain_head(
            straight(), slanted(-own_gap - 1.0, lean, 105.0, key="two"), slots=(0.0, -own_gap - 1.0)
        )

    return build


def over_disc(washer: Disc, hexagon: Disc | None = None, drop: float = 0.0) -> Build:
    """A string up the centre line, 7.5 mm high, over the washer of a post without a string at (-5, 60)."""
    other = tuner(key="other", washer=washer, hexagon=hexagon)
    spare = post_at(-5.0, START, "bass", key="spare", hardware="other", post={"string": None})
    mine = tuner(hole_height=PLAIN_TUNER.hole_height - drop)
    return plain_head(straight(), spare, hardware=(mine, other), slots=(0.0,))


def falling(v: float) -> Build:
    """The string falls 3 mm in 150; over a disc of 13 mm about (-5, 60) it is lowest at y = 60 + 12, 1.44 mm down."""
    return over_disc(Disc(diameter=26.0, height=7.0 - 1.44 - v), drop=3.0)


def over_cover(v: float) -> Build:
    regions = round_region(0.0, START, 10.0, side="face", cover_height=7.0 - v)
    return plain_head(straight(), slots=(0.0,), keep_clear=regions)


def over_square_cover(v: float) -> Build:
    """A cover from the nut line to y = 30, under a string that falls 3 mm in 150: 0.6 mm there."""
    shape = Polygon(points=(Point(-9, -5), Point(9, -5), Point(9, 30), Point(-9, 30)))
    cover = Region(key="c", name="cover", shape=shape, side="face", cover_height=7.0 - 0.6 - v)
    low = tuner(hole_height=PLAIN_TUNER.hole_height - 3.0)
    return plain_head(straight(), slots=(0.0,), keep_clear=(cover,), hardware=(low,))


def turning(degrees: float) -> Build:
    return plain_head(slanted(0.0, math.radians(degrees), 100.0), slots=(0.0,))


def pulling(percent: float) -> Build:
    """A plain string of 0.010 in with so many percent of 387 000 psi, the least by ASTM A228 for such wire."""
    diameter = 0.254
    newton = percent / 100 * 387 * 6.894757293168 * math.pi / 4 * diameter**2
    string = String(key="s1", name="E4", diameter=diameter, tension=newton)
    return plain_head(straight(), slots=(0.0,), strings=(string,))


def loaded(string: String, **takes: float) -> Build:
    """One string on a tuner that takes so much."""
    return plain_head(straight(), slots=(0.0,), strings=(string,), hardware=(tuner(**takes),))


def bending(angle_deg: float) -> Callable[[float], Build]:
    """A string 150 mm long that rises or falls so that it bends by v degrees on a head at an angle."""

    def build(v: float) -> Build:
        rise = 150.0 * math.tan(math.radians(angle_deg - v))
        return plain_head(
            straight(),
            slots=(0.0,),
            hardware=(tuner(hole_height=PLAIN_TUNER.hole_height + rise),),
            head=Head(angle_deg=angle_deg),
        )

    return build


def low_turn(v: float) -> Build:
    """The string's underside is 7 mm over the face."""
    return plain_head(straight(), slots=(0.0,), hardware=(tuner(washer=Disc(diameter=14.0, height=7.0 - v)),))


STRINGS = (
    Case("string to post", "past another post", past_post, 1.0, 0.0),
    Case("string to post", "past a bare post", past_bare_post, 1.0, 0.0),
    # Side by side the gap is the own gap at the nut: never below 0.8 of it.
    Case("string to string", "side by side", side_by_side, None, 0.2),
    Case("string to string", "wide at the nut", closing(19.0), 1.5, 0.2),
    Case("string to string", "1.5 mm at the nut", closing(1.5), 1.2, 0.2),
    Case("string over washers", "washer", lambda v: over_disc(Disc(diameter=14.0, height=7.0 - v)), 0.5, 0.0),
    Case(
        "string over washers",
        "hexagon",
        lambda v: over_disc(Disc(diameter=14.0, height=1.0), Disc(diameter=11.0, height=7.0 - v)),
        0.5,
        0.0,
    ),
    Case("string over washers", "falling", falling, 0.5, 0.0),
    Case("string over washers", "round cover", over_cover, 0.5, 0.0),
    Case("string over washers", "square cover", over_square_cover, 0.5, 0.0),
    Case("string over wood", "edge", lambda v: plain_head(straight(HALF - v), slots=(HALF - v,)), 0.0, None),
    Case("wraps", "washer", low_turn, 0.5, 0.0),
    Case("splay", "angle", turning, 13.0, None, at_most=True),
    Case("break", "flat head", bending(0.0), 4.0, 0.5),
    Case("break", "angled head", bending(10.0), 4.0, 0.5),
    Case("high break", "angled head", bending(20.0), 21.0, None, at_most=True),
    Case("string stress", "typed tension", pulling, 75.0, 95.0, at_most=True),
    Case(
        "hardest pull",
        "typed tension",
        lambda v: loaded(String(key="s1", name="E4", diameter=1.0, tension=0.8 * v), most_pull=80.0),
        100.0,
        None,
        at_most=True,
    ),
    Case(
        "thickest string",
        "gauge",
        lambda v: loaded(String(key="s1", name="E4", diameter=0.011 * v), most_string=1.1),
        100.0,
        None,
        at_most=True,
    ),
    Case("first post", "tangent", lambda v: plain_head(straight(y=v), slots=(0.0,)), 20.0, None),
)

CASES = (*WOOD, *OUTLINE, *TUNERS, *STRINGS)
LIMITS = [
    (case, limit) for case in CASES for limit in dict.fromkeys((case.watch, case.stop)) if limit is not None
]
JUST, PASSES = 0.0006, 0.0004
"""What is half a thousandth short of its limit passes: no output shows it."""


def level_of(case: Case, value: float) -> Level:
    """What the table says of a value."""

    def beyond(limit: float | None) -> bool:
        return limit is not None and (value - limit if case.at_most else limit - value) > 0.0005

    if beyond(case.stop):
        return Level.STOP
    return Level.WATCH if beyond(case.watch) else Level.FINE


@pytest.mark.parametrize("step", [-JUST, -PASSES, PASSES, JUST])
@pytest.mark.parametrize(
    ("case", "limit"), LIMITS, ids=[f"{case.check}, {case.name}, {limit:g}" for case, limit in LIMITS]
)
def test_level_at_the_limit(case: Case, limit: float, step: float) -> None:
    value = limit + step
    finding = closest(case.build(value), case.check)
    assert finding.measured == pytest.approx(value, abs=1e-7)
    assert finding.level is level_of(case, value)


@pytest.mark.parametrize("away", [-0.9, 0.7])
@pytest.mark.parametrize("case", CASES, ids=[f"{case.check}, {case.name}" for case in CASES])
def test_measured_and_margin_away_from_the_limits(case: Case, away: float) -> None:
    limit = case.stop if case.stop is not None else case.watch
    assert limit is not None
    value = limit + away
    finding = closest(case.build(value), case.check)
    assert finding.measured == pytest.approx(value, abs=1e-7)
    assert finding.margin == pytest.approx(-away if case.at_most else away, abs=1e-7)
    assert finding.level is level_of(case, value)
