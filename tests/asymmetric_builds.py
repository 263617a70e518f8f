"""Heads whose sides are unlike, one for each number: four and two, five and two, two and one, mixed, a drilled hole.

All measures are drawn here, so that the heads stay what they are when the library of tuners or starters changes.
"""

from __future__ import annotations

import random
from typing import NamedTuple

from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Head, Moved, Nut, OnLine, Post, Row, SideName, String
from geometry.document.outline import Bend, Node, Nodes, Starter, StarterShape, Straight
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Bushing, Disc, Hardware, RearButton, Rectangle, Screw, SideButton


class Sides(NamedTuple):
    """How many posts stand on each side, whether their tuners differ, whether one hole is drilled beside its mark."""

    bass: int
    treble: int
    mixed: bool = False
    drilled: bool = False


HEADS = (
    *(Sides(4, 2) for _ in range(6)),
    *(Sides(5, 2) for _ in range(4)),
    *(Sides(2, 1) for _ in range(4)),
    Sides(3, 3, mixed=True),
    Sides(4, 2, mixed=True),
    Sides(2, 2, mixed=True),
    Sides(4, 2, drilled=True),
    Sides(3, 3, drilled=True),
    Sides(5, 2, drilled=True),
)
"""One for each number."""

TUNERS = (
    Hardware(
        key="boxed",
        name="boxed gear, one screw",
        post_diameter=6.0,
        hole_height=20.0,
        bore=Bore(through=10.0),
        bushing=Bushing(kind="screw-in", root=8.3, crest=9.0),
        washer=Disc(diameter=14.0, height=1.0),
        body=Rectangle(along=15.0, across=20.0, shift_along=2.5),
        seat=Rectangle(along=14.0, across=18.0, shift_along=2.0),
        button=SideButton(
            shaft_offset=6.0, shaft_depth=8.0, shaft_length=18.0, length=13.0, swept_diameter=21.0
        ),
        screws=(Screw(along=-8.5, outward=-8.0, diameter=2.2, root=1.5, length=10.0),),
        thickness_least=10.0,
        thickness_most=16.0,
    ),
    Hardware(
        key="small",
        name="small gear on a plate of its own",
        post_diameter=6.0,
        hole_height=19.0,
        bore=Bore(through=8.5),
        washer=Disc(diameter=11.0, height=1.5),
        body=Rectangle(along=24.0, across=14.0, shift_along=1.0),
        seat=Rectangle(along=24.0, across=11.0, shift_along=1.0),
        button=SideButton(
            shaft_offset=5.0, shaft_depth=6.5, shaft_length=16.0, length=11.0, swept_diameter=17.0
        ),
        thickness_least=10.0,
        thickness_most=16.0,
    ),
    Hardware(
        key="rear",
        name="button behind",
        post_diameter=7.0,
        hole_height=7.5,
        bore=Bore(through=9.5),
        washer=Disc(diameter=15.0, height=1.0),
        body=Rectangle(along=16.0, across=16.0),
        seat=Rectangle(along=16.0, across=16.0),
        button=RearButton(swept_diameter=24.0, length=20.0),
        thickness_least=10.0,
        thickness_most=16.0,
    ),
)
"""Invented tuners of three classes."""

GAUGES = (0.30, 0.41, 0.61, 0.81, 1.07, 1.35, 1.60)
"""Diameters in mm from the treble side; the first two are plain."""


def asymmetric(number: int) -> Build:
    """The head with this number; the same number always gives the same head."""
    sides, draw = HEADS[number], random.Random(4200 + number)
    count = sides.bass + sides.treble
    first, second = draw.sample(TUNERS, 2) if sides.mixed else (draw.choice(TUNERS),) * 2
    build = Build(
        name=f"asymmetric {number}",
        hand="left" if draw.random() < 0.3 else "right",
        outline=Nodes(nodes=()),
        nut=Nut(width=round(draw.uniform(6.6, 7.8) * (count - 1) + 7.0, 1)),
        head=Head(
            thickness_nut=13.5,
            thickness_tip=draw.choice([13.5, 13.5, 12.9]),
            angle_deg=draw.uniform(10.0, 14.0),
            back_flat_from=14.0,
            grain_deg=draw.choice([0.0, 0.0, draw.uniform(-6.0, 6.0)]),
        ),
        strings=tuple(
            String(key=f"s{n}", name=f"string {n}", diameter=size, kind="plain" if n < 3 else "wound")
            for n, size in enumerate(GAUGES[:count], start=1)
        ),
        hardware=(first,) if first == second else (first, second),
        rows=(_row(draw, "treble", sides.treble, second), _row(draw, "bass", sides.bass, first)),
        bridge_spread=52.0,
    )
    reach: dict[SideName, float] = {"bass": _reach(sides.bass, first), "treble": _reach(sides.treble, second)}
    outline = _drawn(draw, build, reach) if number % 2 else _shaped(draw, count, max(reach.values()))
    build = replace(build, outline=outline)
    return _with_a_drilled_hole(draw, build) if sides.drilled else build


def _pitch(tuner: Hardware) -> float:
    body = tuner.body
    return max(tuner.button.swept_diameter, body.along if body else 0.0) + 3.0


def _reach(count: int, tuner: Hardware) -> float:
    """How far up the head the last post of a side stands about, in mm."""
    return 31.0 + (count - 1) * _pitch(tuner)


def _shaped(draw: random.Random, count: int, reach: float) -> Starter:
    """A head of some shape that is as long as its longer row needs."""
    shapes: list[StarterShape] = ["straight-taper", "waisted", "rounded-paddle", "one-sided"]
    shape = "narrow" if count == 3 else draw.choice(shapes)
    width = draw.uniform(44.0, 52.0) if shape == "narrow" else draw.uniform(60.0, 74.0)
    return Starter(
        shape=shape,
        length=reach + draw.uniform(24.0, 36.0),
        width_low=width,
        width_high=width * draw.uniform(0.82, 0.97),
        shoulder=draw.uniform(16.0, 22.0),
        tip_rise=draw.uniform(0.0, 10.0),
        corner=draw.uniform(5.0, 9.0),
        waist=draw.uniform(2.0, 5.0) if shape == "waisted" else 0.0,
        lean_deg=draw.uniform(2.0, 7.0) if shape == "one-sided" else 0.0,
    )


def _drawn(draw: random.Random, build: Build, reach: dict[SideName, float]) -> Nodes:
    """A head drawn by hand: each side has a shoulder, a side straight or a little bent, and a cut corner of its own."""
    right: list[Node] = []
    left: list[Node] = []
    for side in ("treble", "bass"):
        sign = build.sign_of(side)
        narrow = len(build.strings) == 3
        half = draw.uniform(22.0, 26.0) if narrow else draw.uniform(30.0, 37.0)
        top, narrower = reach[side] + draw.uniform(22.0, 34.0), half * draw.uniform(0.84, 0.98)
        places = (
            Point(sign * build.nut.width / 2, 0.0),
            Point(sign * half, draw.uniform(15.0, 21.0)),
            Point(sign * narrower, top),
            Point(sign * (narrower - 7.0), top + 6.0),
        )
        bulge = draw.choice([0.0, draw.uniform(-0.05, 0.05)])
        nodes = [Node(key=f"{side}{n}", at=at, onward=Straight()) for n, at in enumerate(places)]
        if sign > 0:
            nodes[1] = replace(nodes[1], onward=Bend(bulge=bulge))
            right = nodes
        else:
            nodes[2] = replace(nodes[2], onward=Bend(bulge=bulge))
            left = nodes[::-1]
    return Nodes(nodes=(*right, *left))


def _row(draw: random.Random, side: SideName, count: int, tuner: Hardware) -> Row:
    start = draw.uniform(28.0, 34.0)
    pitch = _pitch(tuner) * draw.uniform(0.95, 1.1)
    inset = draw.uniform(10.0, 12.5)
    rule = draw.choice([AlongEdge, AlongEdge, OnLine])(start=start, pitch=pitch, inset=inset)
    posts = tuple(Post(key=f"{side}-{n}") for n in range(1, count + 1))
    return Row(key=side, side=side, hardware=tuner.key, rule=rule, posts=posts)


def _with_a_drilled_hole(draw: random.Random, build: Build) -> Build:
    """One hole in the wood, a little beside where the rule has it."""
    number = draw.randrange(len(build.rows))
    row = build.rows[number]
    hole = draw.choice(row.posts)
    moved = Moved(post=hole.key, along=draw.uniform(-0.7, 0.7), inward=draw.uniform(-0.7, 0.7))
    posts = tuple(replace(post, drilled=post.key == hole.key) for post in row.posts)
    rows = list(build.rows)
    rows[number] = replace(row, posts=posts, moved=(moved,))
    return replace(build, rows=tuple(rows))


def placed(number: int) -> bool:
    """Whether all rows of a head have their places."""
    build = asymmetric(number)
    return len(lay_out(build).posts) == sum(len(row.posts) for row in build.rows)
