"""Where rules put posts, against edges sampled by hand, plain geometry and another library's distances."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from geometry.checks.judge import Level
from geometry.document.build import AlongEdge, Build, Moved, OnLine, OnPlate, Post, StraightPull
from geometry.document.outline import Bend, Curve, Node, Nodes
from geometry.layout.layout import Layout, lay_out
from geometry.layout.least_splay import least_largest
from geometry.layout.parts import PlacedPost
from geometry.layout.slots import slots_x
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import Plate, Screw
from geometry.trade.sentence import say_note
from tests.builds import (
    HALF,
    INSET,
    LENGTH,
    PLAIN_TUNER,
    READY_MADE,
    change,
    found,
    laden_head,
    mirror_of,
    nodes,
    nut_with,
    plain_head,
    post_at,
    rectangle,
    row,
    strings,
    three_and_three,
    tuner,
)

Run = Bend | Curve | None


def head_of(*places: tuple[float, float, Run]) -> Nodes:
    """A free outline with given runs."""
    return Nodes(
        nodes=tuple(
            Node(key=f"n{n}", at=Point(x, y), onward=run) if run else Node(key=f"n{n}", at=Point(x, y))
            for n, (x, y, run) in enumerate(places)
        )
    )


def sampled(outline: Nodes, count: int = 4000) -> shapely.LineString:
    """The outline as a dense polyline, from the textbook formulas of arc and cubic."""
    points: list[tuple[float, float]] = []
    shares = np.linspace(0.0, 1.0, count)
    for one, two in pairwise(outline.nodes):
        a, b = complex(one.at.x, one.at.y), complex(two.at.x, two.at.y)
        match one.onward:
            case Bend(bulge=bulge):
                # The sweep is four times the arc tangent of the bulge; the centre lies beside the chord's middle.
                sweep = 4 * math.atan(bulge)
                centre = (a + b) / 2 + 1j * (b - a) / 2 / math.tan(sweep / 2)
                places = centre + (a - centre) * np.exp(1j * sweep * shares)
            case Curve(leave=leave, arrive=arrive):
                c, d = a + complex(leave.x, leave.y), b + complex(arrive.x, arrive.y)
                t = shares
                places = (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * c + 3 * t**2 * (1 - t) * d + t**3 * b
            case _:
                places = np.array([a, b])
        points += [(place.real, place.imag) for place in places]
    return shapely.LineString(points)


def xy(*things: Any) -> Any:
    """Places of posts or holes as an array."""
    return np.array([(each.at.x, each.at.y) for each in things])


def far(post: PlacedPost, edge: shapely.LineString) -> float:
    return float(edge.distance(shapely.Point(post.at.x, post.at.y)))


def pitches(posts: tuple[PlacedPost, ...]) -> list[float]:
    return [one.at.distance(two.at) for one, two in pairwise(posts)]


TAPERED = nodes((40.0, 0.0), (25.0, 200.0), (-25.0, 200.0), (-40.0, 0.0))
# Bulging sides, waisted sides, sides of cubics and a round tip: all curves bend one way or both.
BULGING = head_of((30, 0, Bend(bulge=0.15)), (30, 190, None), (-30, 190, Bend(bulge=0.15)), (-30, 0, None))
WAISTED = head_of((36, 0, Bend(bulge=-0.08)), (36, 190, None), (-36, 190, Bend(bulge=-0.08)), (-36, 0, None))
WAVY = head_of(
    (22, 0, Curve(leave=Vector(2, 30), arrive=Vector(-6, -30))),
    (38, 90, Curve(leave=Vector(6, 30), arrive=Vector(9, -25))),
    (26, 180, Bend(bulge=0.4)),
    (-26, 180, Curve(leave=Vector(-9, -25), arrive=Vector(-6, 30))),
    (-38, 90, Curve(leave=Vector(6, -30), arrive=Vector(-2, 30))),
    (-22, 0, None),
)
CURVED = {"tapered": TAPERED, "bulging": BULGING, "waisted": WAISTED, "wavy": WAVY}


# Along the edge


def test_along_a_straight_edge() -> None:
    layout = lay_out(plain_head(row(count=3, rule=AlongEdge(start=30, pitch=41.5, inset=12.5))))
    assert xy(*layout.posts) == pytest.approx(np.array([(27.5, 30.0), (27.5, 71.5), (27.5, 113.0)]))


def test_along_a_round_edge() -> None:
    # The right side is part of a circle about (-60, 100) with radius 100 root 2: at an inset of 20 the posts lie on one
    # with radius 100 root 2 - 20, a chord of 40 apart, from y = 40 on.
    bulge = math.tan(math.pi / 8)
    outline = head_of((40, 0, Bend(bulge=bulge)), (40, 200, None), (-40, 200, None), (-40, 0, None))
    layout = lay_out(plain_head(row(count=3, rule=AlongEdge(start=40, pitch=40, inset=20)), outline=outline))
    radius = 100 * math.sqrt(2) - 20
    angle = math.asin((40 - 100) / radius)
    for post in layout.posts:
        expected = (-60 + radius * math.cos(angle), 100 + radius * math.sin(angle))
        assert (post.at.x, post.at.y) == pytest.approx(expected, abs=1e-6)
        # Its shaft points away from the circle's centre.
        assert math.atan2(post.frame.outward.y, post.frame.outward.x) == pytest.approx(angle)
        angle += 2 * math.asin(20 / radius)


@pytest.mark.parametrize("outline", CURVED.values(), ids=CURVED)
@pytest.mark.parametrize("side", ["treble", "bass"])
@pytest.mark.parametrize("inset", [8.0, 13.0])
def test_inset_pitch_and_shaft_along_any_edge(outline: Nodes, side: Any, inset: float) -> None:
    build = plain_head(row(side, count=4, rule=AlongEdge(start=35, pitch=36, inset=inset)), outline=outline)
    layout, edge = lay_out(build), sampled(outline)
    assert layout.problems == ()
    assert layout.posts[0].at.y == pytest.approx(35.0, abs=1e-6)
    assert pitches(layout.posts) == pytest.approx([36.0] * 3, abs=1e-6)
    for post in layout.posts:
        assert far(post, edge) == pytest.approx(inset, abs=0.001)
        foot = edge.interpolate(edge.project(shapely.Point(post.at.x, post.at.y)))
        outward = post.frame.outward
        assert (outward.x, outward.y) == pytest.approx(
            ((foot.x - post.at.x) / inset, (foot.y - post.at.y) / inset), abs=2e-3
        )
        assert post.frame.along.dot(outward) == pytest.approx(0.0, abs=1e-12)
        assert post.frame.along.y > 0


@settings(deadline=None)
@given(
    st.sampled_from(sorted(CURVED)),
    st.floats(5, 60),
    st.floats(15, 50),
    st.floats(4, 18),
    st.sampled_from(["treble", "bass"]),
)
def test_any_start_pitch_and_inset(outline: str, start: float, pitch: float, inset: float, side: Any) -> None:
    build = plain_head(
        row(side, count=3, rule=AlongEdge(start=start, pitch=pitch, inset=inset)), outline=CURVED[outline]
    )
    layout, edge = lay_out(build), sampled(CURVED[outline], 1500)
    assert layout.posts
    assert layout.posts[0].at.y == pytest.approx(start, abs=1e-6)
    assert pitches(layout.posts) == pytest.approx([pitch] * 2, abs=1e-6)
    for post in layout.posts:
        assert far(post, edge) == pytest.approx(inset, abs=0.001)


def test_corner_that_comes_nearer_than_the_inset_is_left_out() -> None:
    # Up the side the inset of 20 mm ends 20 mm below the tip; 19 mm below it there is no place.
    def layout(start: float) -> Layout:
        return lay_out(plain_head(row(rule=AlongEdge(start=start, pitch=40, inset=20))))

    (post,) = layout(LENGTH - 20).posts
    assert (post.at.x, post.at.y) == pytest.approx((20.0, 180.0))
    beyond = layout(LENGTH - 19)
    assert beyond.posts == ()
    assert tuple(say_note(each, "mm") for each in beyond.problems) == (
        "The right side of the head has no place 20.0 mm from the edge at 181.0 mm from the nut.",
    )


def test_row_that_is_too_long() -> None:
    build = plain_head(row("bass", count=9, rule=AlongEdge(start=60, pitch=90, inset=20)))
    layout = lay_out(build)
    assert layout.posts == ()
    assert tuple(say_note(each, "mm") for each in layout.problems) == (
        "The left side of the head ends before a place 90.0 mm on, 20.0 mm from the edge.",
    )
    (finding,) = [each for each in found(build, "placement") if "ends before" in say_note(each.note, "mm")]
    assert finding.level is Level.STOP


def test_row_that_cannot_be_placed_leaves_the_others_standing() -> None:
    rows = (row("treble", rule=AlongEdge(start=600, pitch=9, inset=9)), row("bass", count=2))
    layout = lay_out(plain_head(*rows))
    assert [post.key for post in layout.posts] == ["bass1", "bass2"]
    assert len(layout.problems) == 1


def test_notch_in_front_of_the_row_is_walked_round() -> None:
    # A slot cut 25 mm deep into the side comes nearer than 12 mm to the straight row: places beside it are left out.
    outline = nodes((40, 0), (40, 98), (15, 98), (15, 102), (40, 102), (40, 200), (-40, 200), (-40, 0))
    layout = lay_out(plain_head(row(count=3, rule=AlongEdge(start=60, pitch=40, inset=12)), outline=outline))
    edge = shapely.LineString([(node.at.x, node.at.y) for node in outline.nodes])
    assert [far(post, edge) for post in layout.posts] == pytest.approx([12.0] * 3, abs=1e-6)
    assert pitches(layout.posts) == pytest.approx([40.0] * 2, abs=1e-6)


# On a line, on a plate


@pytest.mark.parametrize("side", ["treble", "bass"])
def test_a_short_line_goes_on_towards_the_tip(side: Any) -> None:
    # As far from the first post there is a place by the shoulder too, towards the nut.
    outline = nodes((20, 0), (20, 1), (32, 20), (30, 150), (-30, 150), (-32, 20), (-20, 1), (-20, 0))
    rule = OnLine(start=30, pitch=28, inset=11)
    one, two = lay_out(plain_head(row(side, count=2, rule=rule), outline=outline)).posts
    assert (one.at.y, two.at.y) == pytest.approx((30.0, 58.0), abs=0.1)


def test_line_of_one_post() -> None:
    (post,) = lay_out(plain_head(row(rule=OnLine(start=32, pitch=27, inset=12)))).posts
    assert (post.at.x, post.at.y) == pytest.approx((28.0, 32.0))


@pytest.mark.parametrize("outline", CURVED.values(), ids=CURVED)
@pytest.mark.parametrize("side", ["treble", "bass"])
@pytest.mark.parametrize("inset_last", [None, 9.0])
def test_straight_line(outline: Nodes, side: Any, inset_last: float | None) -> None:
    rule = OnLine(start=32, pitch=27, inset=12, inset_last=inset_last)
    layout = lay_out(plain_head(row(side, count=5, rule=rule), outline=outline))
    edge, posts = sampled(outline), layout.posts
    assert posts[0].at.y == pytest.approx(32.0, abs=1e-6)
    assert pitches(posts) == pytest.approx([27.0] * 4, abs=1e-6)
    line = (posts[-1].at - posts[0].at).unit()
    for post in posts:
        assert line.cross(post.at - posts[0].at) == pytest.approx(0.0, abs=1e-6)
        assert (post.frame.along.x, post.frame.along.y) == pytest.approx((line.x, line.y))
        assert post.frame.outward.x * (1 if side == "treble" else -1) > 0.5
    assert far(posts[0], edge) == pytest.approx(12.0, abs=0.001)
    assert far(posts[-1], edge) == pytest.approx(inset_last or 12.0, abs=0.001)


@pytest.mark.parametrize("inset_last", [None, 15.0])
@pytest.mark.parametrize("shoulder", ["lines", "a curve", "a tall arc"])
def test_line_shorter_than_its_start_runs_to_the_tip(shoulder: str, inset_last: float | None) -> None:
    # The side is 30 mm from the first post below it, too, between there and the nut.
    drawn_as: dict[str, tuple[Any, ...]] = {
        "lines": (None, (32, 8, None), (36, 16, None)),
        "a curve": (Curve(leave=Vector(0, 12), arrive=Vector(0, -12)),),
        "a tall arc": (Bend(0.6), (34, 12, None)),
    }
    run, *within = drawn_as[shoulder]
    ends: list[tuple[float, float, Run]] = [(40, 24, None), (40, 200, None), (-40, 200, None), (-40, 0, None)]
    drawn = head_of((30, 0, run), *within, *ends)
    rule = OnLine(start=50, pitch=30, inset=12, inset_last=inset_last)
    one, two = lay_out(plain_head(row(count=2, rule=rule), outline=drawn)).posts
    assert one.at.y == pytest.approx(50.0)
    assert two.at.y > 70.0
    assert one.at.distance(two.at) == pytest.approx(30.0)


def test_last_post_of_a_line_may_stand_under_a_round_tip() -> None:
    # The tip's arc of radius 64 about (0, 110) goes away from the first post, and then comes nearer again.
    outline = head_of((40, 0, None), (40, 160, Bend(0.35)), (-40, 160, None), (-40, 0, None))
    rule = OnLine(start=30, pitch=128, inset=12, inset_last=20)
    one, two = lay_out(plain_head(row(count=2, rule=rule), outline=outline)).posts
    radius = 80 * (1 + 0.35**2) / (4 * 0.35)
    assert one.at.distance(two.at) == pytest.approx(128.0)
    assert two.at.distance(Point(0.0, 160 + 0.35 * 40 - radius)) == pytest.approx(radius - 20)
    assert two.at.x > -14.0


PLATE = Plate(
    posts=4,
    pitch=23.0,
    beyond=13.0,
    across=15.0,
    shift_outward=2.0,
    screws=(
        Screw(along=-11.0, outward=4.5, diameter=2.2, root=1.5, length=9.0),
        Screw(along=80.0, outward=-4.5, diameter=2.2, root=1.5, length=9.0),
    ),
)


def on_plate(count: int = 4, plate: Plate | None = PLATE, **fields: Any) -> Build:
    rule = OnPlate(start=34, inset=12)
    return plain_head(row(count=count, rule=rule), hardware=(tuner(plate=plate),), **fields)


def test_plate_brings_its_own_pitch_and_screws() -> None:
    layout = lay_out(on_plate())
    assert xy(*layout.posts) == pytest.approx(
        np.array([(28.0, 34.0), (28.0, 57.0), (28.0, 80.0), (28.0, 103.0)])
    )
    # One body for all: 3 x 23 mm and 13 mm beyond at each end, its middle 2 mm outwards.
    (plate,) = layout.plates
    assert all(post.body is None and post.seat is None for post in layout.posts)
    bounds = plate.box.bounds
    assert (bounds.left, bounds.right, bounds.bottom, bounds.top) == pytest.approx((22.5, 37.5, 21.0, 116.0))
    assert xy(*layout.holes) == pytest.approx(np.array([(32.5, 23.0), (23.5, 114.0)]))
    assert layout.holes[0].owners == plate.posts == tuple(f"treble{n}" for n in range(1, 5))


@pytest.mark.parametrize(
    ("build", "problem"),
    [
        (on_plate(3), "Row treble: the plate carries 4 posts, but the row has 3."),
        (
            on_plate(plate=None),
            "Row treble: its tuners have no plate; it takes tuners on a plate or another rule.",
        ),
        (
            plain_head(row(count=2, rule=StraightPull(start=40, pitch=30)), slots=(0.0,)),
            "Straight pull needs a string on every post of the row.",
        ),
    ],
)
def test_rules_say_what_they_miss(build: Build, problem: str) -> None:
    layout = lay_out(build)
    assert layout.problems == (problem,)
    assert (layout.posts, layout.plates, layout.holes) == ((), (), ())


# Straight pull


def turn(build: Build, slot: float, post: tuple[float, float], left: bool, diameter: float) -> float:
    """The turn in radians of a string from its run over the board to the tangent of a post, by plain trigonometry."""
    x, y = post[0] - slot, post[1]
    to_centre = math.atan2(x, y)
    beside = math.asin((3.0 + diameter / 2) / math.hypot(x, y))
    lean = to_centre - beside if left else to_centre + beside
    slots = slots_x(build).values()
    widest = max(slots) - min(slots)
    run = math.atan2(slot - slot * build.bridge_spread / widest, build.scale_length)
    return lean - run


def pulling(side: Any, count: int = 4, exact: bool = False, **fields: Any) -> Build:
    rule = StraightPull(start=35, pitch=26, exact=exact)
    return plain_head(
        row(side, count=count, rule=rule),
        strings=strings(0.3, 0.5, 0.9, 1.3)[:count],
        nut=nut_with(15.0, 15.0 - 7.0 * (count - 1))
        if side == "treble"
        else nut_with(7.0 * (count - 1) - 15.0, -15.0),
        **{"bridge_spread": 30.0, **fields},
    )


@pytest.mark.parametrize("side", ["treble", "bass"])
@pytest.mark.parametrize("bridge", [20.0, 30.0])
def test_exact_straight_pull_has_no_splay_at_all(side: Any, bridge: float) -> None:
    layout = lay_out(pulling(side, exact=True, bridge_spread=bridge))
    assert layout.posts[0].at.y == pytest.approx(35.0)
    assert pitches(layout.posts) == pytest.approx([26.0] * 3)
    assert [path.splay for path in layout.paths] == pytest.approx([0.0] * 4, abs=1e-9)
    assert len(layout.paths) == 4


@pytest.mark.parametrize("side", ["treble", "bass"])
@pytest.mark.parametrize("bridge", [20.0, 30.0])
@pytest.mark.parametrize("count", [2, 3, 4])
def test_straight_line_with_the_least_largest_splay(side: Any, bridge: float, count: int) -> None:
    build = pulling(side, count, bridge_spread=bridge)
    layout = lay_out(build)
    places = [(post.at.x, post.at.y) for post in layout.posts]
    assert places[0][1] == pytest.approx(35.0)
    assert pitches(layout.posts) == pytest.approx([26.0] * (count - 1))
    line = layout.posts[-1].at - layout.posts[0].at
    assert all(abs(line.cross(post.at - layout.posts[0].at)) < 1e-9 for post in layout.posts)

    sizes = {string.key: string.diameter for string in build.strings}
    slots = [layout.slots[post.string or ""] for post in layout.posts]
    diameters = [sizes[post.string or ""] for post in layout.posts]

    def largest(guess: Any) -> float:
        across, lean = guess
        each = [(across + 26 * n * math.sin(lean), 35 + 26 * n * math.cos(lean)) for n in range(count)]
        turns = [
            turn(build, slot, place, side == "treble", size)
            for slot, place, size in zip(slots, each, diameters, strict=True)
        ]
        return max(abs(angle) for angle in turns)

    ours = largest((places[0][0], math.atan2(line.x, line.y)))
    assert ours == pytest.approx(max(abs(path.splay) for path in layout.paths), abs=1e-9)
    starts = [
        (places[0][0] + dx, math.atan2(line.x, line.y) + da) for dx in (-4, 0, 4) for da in (-0.1, 0, 0.1)
    ]
    best = min(
        minimize(
            largest, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-11, "maxiter": 900}
        ).fun
        for start in starts
    )
    assert ours <= best + 1e-6
    if count == 2:
        # A line goes through any two places.
        assert ours == pytest.approx(0.0, abs=1e-6)


def test_one_string_pulls_straight() -> None:
    layout = lay_out(pulling("treble", 1))
    assert layout.paths[0].splay == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("side", ["treble", "bass"])
def test_straight_pull_winds_as_the_post_says(side: Any) -> None:
    posts = tuple(Post(key=f"p{n}", flip_wound_side=True) for n in range(3))
    build = pulling(side, 3, exact=True)
    build = change(build, rows=(change(build.rows[0], posts=posts),))
    assert [path.splay for path in lay_out(build).paths] == pytest.approx([0.0] * 3, abs=1e-9)


def test_exact_straight_pull_of_strings_further_apart_than_their_posts() -> None:
    # Slots 7 mm apart, posts 5 mm apart.
    build = pulling("bass", 2)
    rule = StraightPull(start=35, pitch=5, exact=True)
    layout = lay_out(change(build, rows=(change(build.rows[0], rule=rule),)))
    assert tuple(say_note(each, "mm") for each in layout.problems) == (
        "Straight pull: the strings run further apart than the pitch of 5 mm.",
    )
    assert layout.posts == ()


def test_straight_line_of_posts_closer_than_their_strings_keeps_its_pitch() -> None:
    build = pulling("bass", 3)
    layout = lay_out(change(build, rows=(change(build.rows[0], rule=StraightPull(start=35, pitch=5)),)))
    assert layout.posts[0].at.y == pytest.approx(35.0)
    assert pitches(layout.posts) == pytest.approx([5.0] * 2)


@pytest.mark.parametrize("exact", [True, False])
def test_shafts_of_a_straight_pull_row_stand_square_to_it(exact: bool) -> None:
    # The posts of the outer strings lie beyond the centre line, nearer to the other edge; their buttons do not.
    posts = lay_out(pulling("treble", exact=exact)).posts
    assert posts[-1].at.x < 0
    line = (posts[-1].at - posts[0].at).unit()
    for post in posts:
        assert post.frame.outward.dot(line) == pytest.approx(0.0, abs=1e-9)
        assert post.frame.outward.x > 0.5


line_values = st.lists(st.tuples(st.floats(-1, 1), st.floats(0.2, 4)), min_size=1, max_size=7)


@given(line_values)
def test_no_step_near_the_best_is_better(values: list[tuple[float, float]]) -> None:
    # As of a line: a step of the first number moves all alike, one of the second each by how far it is up the row.
    found = [value for value, _ in values]
    slopes = [(weight, weight * number) for number, (_, weight) in enumerate(values)]

    def largest(a: float, b: float) -> float:
        return max(abs(value + one * a + two * b) for value, (one, two) in zip(found, slopes, strict=True))

    step = least_largest(found, slopes)
    assert step is not None
    best = largest(*step)
    for da in (-0.3, -0.01, -1e-4, 0.0, 1e-4, 0.01, 0.3):
        for db in (-0.03, -1e-3, -1e-5, 0.0, 1e-5, 1e-3, 0.03):
            assert best <= largest(step[0] + da, step[1] + db) + 1e-9


def test_posts_too_near_for_their_strings_share_the_turn() -> None:
    # The first string passes its post on the other side: 13 mm and more lie between the ideal lines of two posts 9 mm
    # apart, so both strings turn, alike and as little as any line allows.
    build = pulling("treble", 2)
    posts = (Post(key="p1", flip_wound_side=True), Post(key="p2"))
    rule = StraightPull(start=35, pitch=9)
    build = change(build, rows=(change(build.rows[0], posts=posts, rule=rule),))
    layout = lay_out(build)
    one, two = (path.splay for path in layout.paths)
    assert one == pytest.approx(-two, abs=1e-7)
    sizes = [string.diameter for string in build.strings]
    slots = [layout.slots[post.string or ""] for post in layout.posts]
    first = layout.posts[0].at

    def largest(guess: Any) -> float:
        across, lean = guess
        places = [(across, 35.0), (across + 9 * math.sin(lean), 35 + 9 * math.cos(lean))]
        sides = (False, True)
        turns = [
            turn(build, slot, place, side, size)
            for slot, place, side, size in zip(slots, places, sides, sizes, strict=True)
        ]
        return max(abs(angle) for angle in turns)

    starts = [(first.x + dx, lean) for dx in (-3, 0, 3) for lean in (-1.2, -0.5, 0.0, 0.5, 1.2)]
    options: Any = {"xatol": 1e-9, "fatol": 1e-11, "maxiter": 900}
    best = min(minimize(largest, start, method="Nelder-Mead", options=options).fun for start in starts)
    assert max(abs(one), abs(two)) <= best + 1e-6


# By hand


def test_moved_in_the_frame_of_the_edge() -> None:
    # The right side of the tapered head leans 3 in 40: along is (-3, 40) / root 1609, outward (40, 3) / root 1609.
    rule = AlongEdge(start=60, pitch=40, inset=15)
    ruled = lay_out(plain_head(row(count=2, rule=rule), outline=TAPERED)).posts
    by_hand = row(count=2, rule=rule, moved=(Moved(post="treble2", along=2.0, inward=1.5),))
    posts = lay_out(plain_head(by_hand, outline=TAPERED)).posts
    size = math.sqrt(1609)
    step = posts[1].at - ruled[1].at
    assert (step.x, step.y) == pytest.approx(
        ((-3 * 2.0 - 40 * 1.5) / size, (40 * 2.0 - 3 * 1.5) / size), abs=1e-6
    )
    assert posts[0] == ruled[0]
    assert posts[1].ruled == ruled[1].frame
    assert (posts[1].frame.outward - ruled[1].frame.outward).length < 1e-12


def test_giving_back_a_moved_post_restores_its_place() -> None:
    build = three_and_three()
    moved = change(build.rows[0], moved=(Moved(post="t2", along=3.0, inward=1.0),))
    away = change(build, rows=(moved, build.rows[1]))
    assert lay_out(away) != lay_out(build)
    assert lay_out(change(away, rows=(change(moved, moved=()), build.rows[1]))) == lay_out(build)


# Parts in their places


def test_shaft_and_button_pass_beside_the_post() -> None:
    # The shaft 6 mm tipward of the post at (20, 60), 30 mm long; the button 12 mm long and 22 mm wide.
    (post,) = lay_out(plain_head(row())).posts
    assert post.shaft == (Point(20.0, 66.0), Point(50.0, 66.0))
    bounds = post.button.bounds
    assert (bounds.left, bounds.right, bounds.bottom, bounds.top) == pytest.approx((50, 62, 55, 77))
    (other,) = lay_out(plain_head(row("bass"))).posts
    assert (other.button.bounds.left, other.button.bounds.top) == pytest.approx((-62, 77))
    assert (post.piece, other.piece) == ("right", "left")


@pytest.mark.parametrize(("side", "piece"), [("treble", "left"), ("bass", "right")])
def test_piece_of_the_wrong_hand_has_its_shaft_on_the_other_side(side: Any, piece: Any) -> None:
    assert PLAIN_TUNER.body is not None
    hardware = tuner(
        body=change(PLAIN_TUNER.body, shift_along=3.0),
        screws=(Screw(along=-9.0, outward=-8.0, diameter=2.2, root=1.5, length=9.0),),
    )
    build = plain_head(row(side, posts=(Post(key="p", piece=piece),)), hardware=(hardware,))
    layout = lay_out(build)
    (post,) = layout.posts
    assert post.shaft is not None
    assert post.shaft[0].y == pytest.approx(54.0)
    assert post.body is not None
    assert post.body.centre.y == pytest.approx(57.0)
    assert layout.holes[0].at.y == pytest.approx(69.0)
    (finding,) = found(build, "piece")
    assert finding.level is Level.WATCH


def test_pieces_without_a_hand_are_never_wrong() -> None:
    hardware = tuner(button=change(PLAIN_TUNER.button, shaft_offset=0.0))
    build = plain_head(row(posts=(Post(key="p", piece="left"),)), hardware=(hardware,))
    (finding,) = found(build, "piece")
    assert finding.level is Level.FINE


def test_turned_tuner_turns_about_its_post() -> None:
    # A quarter counter-clockwise: outward from +x to +y, along from +y to -x.
    (post,) = lay_out(plain_head(row(posts=(Post(key="p", turned_deg=90.0),)))).posts
    assert post.shaft is not None
    assert (post.shaft[1].x, post.shaft[1].y) == pytest.approx((20 - 6, 60 + 30))
    assert (post.at.x, post.at.y) == pytest.approx((20.0, 60.0))


SHARED = (
    Screw(along=-12.0, outward=-5.5, diameter=2.2, root=1.5, length=10.0, shared=True),
    Screw(along=12.0, outward=-5.5, diameter=2.2, root=1.5, length=10.0, shared=True),
)


@pytest.mark.parametrize("count", [1, 2, 6])
def test_shared_screws_are_one_hole_each(count: int) -> None:
    rule = OnLine(start=30, pitch=24, inset=INSET)
    layout = lay_out(plain_head(row(count=count, rule=rule), hardware=(tuner(screws=SHARED),)))
    holes = sorted(layout.holes, key=lambda hole: hole.at.y)
    assert xy(*holes) == pytest.approx(
        np.array([(HALF - INSET - 5.5, 18.0 + 24 * n) for n in range(count + 1)])
    )
    owners = sorted(hole.owners for hole in layout.holes)
    assert len(owners) == count + 1
    assert sum(len(each) == 2 for each in owners) == count - 1


def test_left_out_rows_have_no_parts() -> None:
    layout = lay_out(plain_head(row(count=0), row("bass")))
    assert [post.key for post in layout.posts] == ["bass1"]


# Left-handed


@pytest.mark.parametrize("ready", [*READY_MADE, laden_head])
def test_left_handed_head_is_the_mirror_image(ready: Callable[[], Build]) -> None:
    build = ready()
    here, there = lay_out(build), lay_out(mirror_of(build))
    assert [post.key for post in here.posts] == [post.key for post in there.posts]
    for one, other in zip(here.posts, there.posts, strict=True):
        assert (-one.at.x, one.at.y) == pytest.approx((other.at.x, other.at.y), abs=1e-6)
        mine, its = one.button.mirrored().bounds, other.button.bounds
        assert [mine.left, mine.right, mine.top] == pytest.approx([its.left, its.right, its.top], abs=1e-6)
        assert {one.piece, other.piece} == {"left", "right"}
    for hole, its_hole in zip(here.holes, there.holes, strict=True):
        assert (-hole.at.x, hole.at.y) == pytest.approx((its_hole.at.x, its_hole.at.y), abs=1e-6)
    for path, its_path in zip(here.paths, there.paths, strict=True):
        assert path.splay == pytest.approx(-its_path.splay, abs=1e-9)
        assert path.heights == pytest.approx(its_path.heights)


# Labels


def test_posts_are_called_after_their_strings_and_spares_by_letters() -> None:
    build = plain_head(row(count=2), row("bass", count=2), slots=(5.0, -5.0))
    labels = lay_out(change(build, strings=build.strings[:1])).labels
    assert labels == {"s1": "1", "treble1": "1", "treble2": "spare A", "bass1": "spare B", "bass2": "spare C"}


def test_edge_without_a_line_has_labels_still() -> None:
    layout = lay_out(plain_head(row(), slots=(0.0,), outline=nodes((1.0, 0.0))))
    assert layout.edge is None
    assert layout.top == 0.0
    assert layout.labels["treble1"] == "1"


def test_top_of_the_head() -> None:
    layout = lay_out(plain_head(row(), post_at(-20, 50, "bass", key="two"), outline=rectangle(length=150)))
    assert layout.top == 150.0
    assert layout.post("two1").at.y == pytest.approx(50.0)
