"""String paths against closed forms worked out in the comments."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from geometry.document.build import Build, Head, Post, Retainer
from geometry.layout.layout import lay_out
from geometry.layout.paths import StringPath, tangent_point
from geometry.shape.point import Point
from geometry.trade.hardware import Disc
from tests.builds import (
    PLAIN_TUNER,
    READY_MADE,
    REAR_TUNER,
    THICK,
    change,
    mirror_of,
    nut_with,
    plain_head,
    post_at,
    row,
    strings,
    tuner,
)


def path_of(build: Build, number: int = 0) -> StringPath:
    return lay_out(build).paths[number]


def away(line_start: Point, line_end: Point, point: Point) -> float:
    """Distance of a point from the whole line, positive to the left of it."""
    way = line_end - line_start
    return way.cross(point - line_start) / way.length


# In plan


@pytest.mark.parametrize("left", [True, False])
def test_tangent_of_the_right_triangle(left: bool) -> None:
    # From 50 mm off, a circle of radius 30 is touched 40 mm away: 3-4-5. The angle to the centre has sine 3/5, so the
    # tangent is at 40 (sin, cos) = (24, 32) to the side.
    place = tangent_point(Point(0, 0), Point(0, 50), 30.0, left=left)
    assert (place.x, place.y) == pytest.approx((-24.0 if left else 24.0, 32.0))


def test_no_tangent_from_inside() -> None:
    assert tangent_point(Point(1, 1), Point(1, 3), 2.5, left=True) == Point(1, 3)


places = st.tuples(st.floats(-30, 30), st.floats(20, 150))


@given(places, st.floats(-15, 15), st.sampled_from(["treble", "bass"]), st.booleans(), st.floats(0.2, 3.0))
def test_path_touches_its_post_on_the_wound_side(
    place: tuple[float, float], slot: float, side: str, flip: bool, diameter: float
) -> None:
    treble = side == "treble"
    build = plain_head(
        post_at(*place, side, post={"flip_wound_side": flip}),  # type: ignore[arg-type]
        slots=(slot,),
        strings=strings(diameter),
    )
    # A lone string stands in the middle between the margins.
    path = path_of(change(build, nut=nut_with(slot, slot)))
    centre, reach = Point(*place), 3 + diameter / 2
    assert path.contact_radius == pytest.approx(reach)
    assert (path.slot.x, path.slot.y) == pytest.approx((slot, 0.0))
    assert path.tangent.distance(centre) == pytest.approx(reach)
    assert (path.tangent - path.slot).dot(path.tangent - centre) == pytest.approx(0.0, abs=1e-6)
    # Buttons stand outwards, so a treble post is right of its string, a bass post left of it.
    centre_on_left = (not treble) != flip
    assert away(path.slot, path.tangent, centre) == pytest.approx(reach if centre_on_left else -reach)
    assert path.left is not centre_on_left


@pytest.mark.parametrize(("side", "sign"), [("treble", -1), ("bass", 1)])
def test_rear_buttons_wind_away_from_the_side_of_their_row(side: str, sign: int) -> None:
    build = plain_head(
        post_at(0.0, 80.0, side, post={"turned_deg": 70.0}),  # type: ignore[arg-type]
        slots=(0.0,),
        hardware=(change(REAR_TUNER, key="plain"),),
    )
    path = path_of(build)
    assert sign * path.tangent.x > 0


def test_buttons_turned_round_turn_the_wound_side_round() -> None:
    build = plain_head(post_at(0.0, 80.0, post={"turned_deg": 180.0}), slots=(0.0,))
    assert path_of(build).tangent.x > 0


# Angles


def test_splay_from_the_strings_own_run() -> None:
    # Slots 20 mm off the centre line come from 30 mm off at the bridge, 650 mm away: they close in by 10 in 650. The
    # tangent lies 100 mm from the slot along (0.6, 0.8); the post's centre 3.5 mm to the right of it.
    x, y = 20 + 60 + 3.5 * 0.8, 80 - 3.5 * 0.6
    build = plain_head(
        post_at(x, y), post_at(-30, 80, "bass", key="two"), slots=(20.0, -20.0), bridge_spread=60.0
    )
    path = path_of(build)
    assert (path.tangent.x, path.tangent.y) == pytest.approx((80.0, 80.0))
    assert path.splay == pytest.approx(-math.asin(0.6) - math.atan(10 / 650))


def test_run_is_seen_square_to_the_face_of_an_angled_head() -> None:
    # Seen from a face that falls back by 60 degrees, 650 mm of string are 325 long.
    build = plain_head(
        post_at(23.5, 80.0),
        post_at(-30, 80, "bass", key="two"),
        slots=(20.0, -20.0),
        bridge_spread=60.0,
        head=Head(angle_deg=60.0),
    )
    assert path_of(build).splay == pytest.approx(-math.atan(10 / 325))


def test_other_splay_is_that_of_the_other_wound_side() -> None:
    # From the slot straight below the post the tangents lean by the same angle to both sides: sine 3.5 / 70.
    path = path_of(plain_head(post_at(0.0, 70.0), slots=(0.0,)))
    assert path.splay == pytest.approx(math.asin(0.05))
    assert path.other_splay == pytest.approx(-math.asin(0.05))


def test_break_of_an_angled_head() -> None:
    # 7.5 mm high at the nut, 6.5 at the post 100 mm on: falls by atan(1/100) towards a head at 14 degrees.
    hardware = tuner(hole_height=THICK + 6.5)
    build = plain_head(post_at(3.5, 100.0), slots=(0.0,), hardware=(hardware,), head=Head(angle_deg=14.0))
    path = path_of(build)
    assert path.heights == pytest.approx((7.5, 6.5))
    assert math.degrees(path.break_angle) == pytest.approx(14 + 0.57294, abs=1e-4)
    # Without any splay the true bend is the break.
    assert path.bend == pytest.approx(path.break_angle)


def test_break_of_a_flat_head_holds_the_step() -> None:
    # Slot floor 9 mm over the face, string centre 0.5 higher; 4 mm over the face at the post 55 mm on: 5.5 in 55.
    hardware = tuner(hole_height=THICK + 4.0)
    build = plain_head(post_at(3.5, 55.0), slots=(0.0,), hardware=(hardware,))
    path = path_of(change(build, nut=change(build.nut, slot_floor=9.0)))
    assert path.break_angle == pytest.approx(math.atan(0.1))


@given(places, st.floats(-15, 15), st.floats(0, 20), st.floats(-5, 10), st.floats(10, 90))
def test_true_bend_is_the_angle_between_the_directions_in_space(
    place: tuple[float, float], slot: float, angle: float, rise: float, spread: float
) -> None:
    assume(abs(slot) > 0.5)
    build = plain_head(
        post_at(*place),
        post_at(-30, 80, "bass", key="two"),
        slots=(slot, slot - 20.0),
        bridge_spread=spread,
        hardware=(tuner(hole_height=THICK + 7.5 + rise),),
        head=Head(angle_deg=angle),
    )
    path = path_of(build)
    # In the world the fingerboard is level and the face falls away from it about the nut line.
    alpha = math.radians(angle)
    face = np.array(
        [[1, 0, 0], [0, math.cos(alpha), -math.sin(alpha)], [0, math.sin(alpha), math.cos(alpha)]]
    )
    leg = path.tangent - path.slot
    over_head = np.array([leg.x, leg.y, rise]) @ face
    over_board = np.array([slot - slot * spread / 20.0, 650.0, 0.0])
    cosine = over_head @ over_board / np.linalg.norm(over_head) / np.linalg.norm(over_board)
    assert math.cos(path.bend) == pytest.approx(cosine, abs=1e-9)


# Heights


@pytest.mark.parametrize(
    ("kind", "turns", "lowest"),
    [
        # The hole 7.5 mm over the face; wound strings take 2 turns of 1 mm, plain ones 4, unless said otherwise.
        ("wound", None, 5.5),
        ("plain", None, 3.5),
        ("nylon", None, 3.5),
        ("wound", 3.0, 4.5),
        ("plain", 0.5, 7.0),
    ],
)
def test_turns_lower_the_string_at_its_post(kind: str, turns: float | None, lowest: float) -> None:
    post = Post(key="p") if turns is None else Post(key="p", turns=turns)
    build = plain_head(row(posts=(post,)), slots=(0.0,), strings=strings(1.0, kind=kind))
    assert path_of(build).heights == pytest.approx((7.5, lowest))


def test_rear_button_pegs_are_measured_from_their_collar() -> None:
    # 16 mm over a washer of 3 mm, whatever the thickness, less half a turn of 1 mm.
    hardware = change(REAR_TUNER, key="plain", hole_height=16.0, washer=Disc(diameter=13.0, height=3.0))
    build = plain_head(
        post_at(0, 80, turns=0.5), slots=(0.0,), hardware=(hardware,), head=Head(thickness_nut=11.0)
    )
    assert path_of(build).heights[-1] == pytest.approx(18.5)


def test_thickness_at_the_post_counts() -> None:
    # 15 mm at the nut, 11 mm at the tip: 13 mm half-way up the 200 mm; the hole is 22.5 mm over the back.
    build = plain_head(post_at(3.5, 100.0), slots=(0.0,), head=Head(thickness_nut=15.0, thickness_tip=11.0))
    assert path_of(build).heights[-1] == pytest.approx(22.5 - 13.0)


# Retainers


def tree(x: float, y: float, height: float, *keys: str, key: str = "tree") -> Retainer:
    return Retainer(key=key, at=Point(x, y), height=height, strings=keys or ("s1",), half_width=15.0)


def guide(x: float, y: float, side: str, radius: float = 2.0, key: str = "guide") -> Retainer:
    return Retainer(
        key=key,
        at=Point(x, y),
        height=6.0,
        strings=("s1",),
        kind="guide post",
        radius=radius,
        passed_on=side,  # type: ignore[arg-type]
    )


def test_tree_holds_the_string_down_on_its_straight_way() -> None:
    # 3 mm down in 30 mm to the tree: atan 0.1. In plan the way to the tangent stays as straight as without it.
    plain = plain_head(post_at(20.0, 120.0), slots=(0.0,))
    without, held = path_of(plain), path_of(change(plain, retainers=(tree(0.0, 30.0, 4.5),)))
    slope = without.tangent.x / without.tangent.y
    assert held.points[0] == without.points[0]
    assert (held.points[1].x, held.points[1].y) == pytest.approx((30 * slope, 30.0))
    assert (held.tangent.x, held.tangent.y) == pytest.approx((without.tangent.x, without.tangent.y))
    assert held.heights == pytest.approx((7.5, 4.5, 7.5))
    assert held.splay == pytest.approx(without.splay)
    assert held.break_angle == pytest.approx(math.atan2(3.0, math.hypot(30.0, 30 * slope)))
    assert held.other_splay == pytest.approx(without.other_splay)


@pytest.mark.parametrize(("side", "sign"), [("treble", 1), ("bass", -1)])
def test_guide_post_turns_the_string_aside(side: str, sign: int) -> None:
    # The string touches a circle of 2 + 0.5 mm about (8, 40): at its tangent from the slot the splay is settled.
    path = path_of(plain_head(post_at(20.0, 120.0), slots=(0.0,), retainers=(guide(8.0, 40.0, side),)))
    centre = Point(8.0, 40.0)
    assert len(path.points) == 3
    assert path.points[1].distance(centre) == pytest.approx(2.5)
    assert away(path.slot, path.points[1], centre) == pytest.approx(sign * 2.5)
    lean = math.atan2(8, 40) + sign * math.asin(2.5 / math.hypot(8, 40))
    assert path.splay == pytest.approx(-lean)
    assert path.other_splay == pytest.approx(path.splay)
    # From there on it runs to the tangent of its post.
    assert away(path.points[1], path.tangent, Point(20.0, 120.0)) == pytest.approx(-3.5)


def test_retainers_are_taken_in_order_from_the_nut() -> None:
    retainers = (tree(0, 70, 5.0, key="c"), guide(6, 45, "treble"), tree(0, 20, 6.5, key="a"))
    path = path_of(plain_head(post_at(20.0, 120.0), slots=(0.0,), retainers=retainers))
    assert [round(point.y) for point in path.points[1:-1]] == [20, 45, 70]
    assert path.heights == pytest.approx((7.5, 6.5, 6.0, 5.0, 7.5))
    slot, low, aside, high, tangent = path.points
    assert away(slot, aside, low) == pytest.approx(0.0, abs=1e-9)
    assert away(aside, tangent, high) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("y", [-5.0, 0.0, 120.0, 150.0])
def test_retainer_that_is_not_between_nut_and_post_holds_nothing(y: float) -> None:
    plain = plain_head(post_at(20.0, 120.0), slots=(0.0,))
    assert path_of(change(plain, retainers=(tree(0, y, 4.0),))) == path_of(plain)


def test_a_tree_that_a_string_passes_outside_of_does_not_bend_it() -> None:
    plain = plain_head(post_at(20.0, 120.0), slots=(0.0,))
    assert path_of(change(plain, retainers=(tree(25.0, 30.0, 4.5),))) == path_of(plain)
    # What still holds it does: a tree of the usual width on its way, 30 mm on, where the string is at 4.1.
    narrow = change(tree(8.0, 30.0, 4.5, key="near"), half_width=6.0)
    both = path_of(change(plain, retainers=(tree(25.0, 50.0, 4.5), narrow)))
    assert [each.key for each in both.held] == ["near"]
    assert both.heights == pytest.approx((7.5, 4.5, 7.5))


def test_retainer_holds_only_its_own_strings() -> None:
    build = plain_head(
        post_at(20, 120),
        post_at(-20, 120, "bass", key="two"),
        slots=(5.0, -5.0),
        retainers=(tree(0, 30, 4.0, "s2"),),
    )
    assert [len(path.points) for path in lay_out(build).paths] == [2, 3]


# All of it


@pytest.mark.parametrize("ready", READY_MADE)
def test_paths_come_in_the_order_of_the_strings(ready: type) -> None:
    build = ready()
    assert [path.string for path in lay_out(build).paths] == list(build.strings)


def test_guide_posts_mirror() -> None:
    build = plain_head(
        post_at(20.0, 120.0),
        slots=(4.0,),
        retainers=(guide(8.0, 40.0, "bass"), tree(0, 70, 5.0)),
        hardware=(PLAIN_TUNER,),
    )
    here, there = path_of(build), path_of(mirror_of(build))
    for one, other in zip(here.points, there.points, strict=True):
        assert (one.x, one.y) == pytest.approx((-other.x, other.y))
    assert here.splay == pytest.approx(-there.splay)
