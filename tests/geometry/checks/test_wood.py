"""Checks of the wood on heads where every measure has a closed form, worked out in the comments."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Literal

import numpy as np
import pytest

from geometry.bench.balance import head_wood
from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Gaps
from geometry.checks.hardware import screw_to_hole
from geometry.checks.judge import Finding, Level
from geometry.checks.wood import wall as wall_gaps
from geometry.checks.wood import web
from geometry.document.build import Build, Head, OldHole, Polygon, Region, RoundRegion
from geometry.document.outline import Bend, Node, Nodes
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.shape.tolerance import CHORD
from geometry.trade.hardware import Bore, Counterbore, Pin, Screw
from tests.builds import (
    LENGTH,
    PLAIN_TUNER,
    REAR_TUNER,
    change,
    closest,
    found,
    nodes,
    plain_head,
    post_at,
    row,
    tuner,
)


def end_of(build: Build) -> float | None:
    """The one end distance of a build, None when no end is met."""
    of_end = found(build, "end distance")
    return of_end[0].measured if of_end else None


def grained(degrees: float) -> Head:
    return Head(grain_deg=degrees)


def tip(bulge: float, y: float) -> Nodes:
    """A head 80 mm wide whose tip is one arc between corners at y."""
    places = ((40.0, 0.0), (40.0, y), (-40.0, y), (-40.0, 0.0))
    each = [Node(key=f"n{n}", at=Point(*place)) for n, place in enumerate(places)]
    each[1] = change(each[1], onward=Bend(bulge=bulge))
    return Nodes(nodes=tuple(each))


# End distance


@pytest.mark.parametrize("degrees", [30.0, -150.0])
def test_end_along_slanted_grain(degrees: float) -> None:
    # Grain (-1/2, root 3/4): the strip is 10 mm wide; its corner 5 mm to the right lies 2.5 mm higher, so that the tip
    # 20 mm on is (20 - 2.5) / cos 30 away. Grain has no sense: turned half round it is the same.
    build = plain_head(post_at(0.0, LENGTH - 20.0), head=grained(degrees))
    assert end_of(build) == pytest.approx(17.5 / math.cos(math.pi / 6))


def test_edges_from_45_degrees_on_are_ends() -> None:
    # Grain (-1, 1) / root 2 meets the left side 20 mm off under 45 degrees: 20 root 2 on,
    # 5 mm less at the strip's side.
    at_45 = plain_head(post_at(-20.0, 100.0, "bass"), head=grained(45.0))
    assert end_of(at_45) == pytest.approx(20 * math.sqrt(2) - 5)
    assert end_of(change(at_45, head=grained(44.9))) is None
    assert end_of(change(at_45, head=grained(45.1))) is not None


@pytest.mark.parametrize(
    ("x", "y", "measured"),
    [
        # A half round tip of radius 40 about (0, 100). Over a bore of 10 mm at x = 10 it is lowest at x = 15.
        (10.0, 120.0, 100 + math.sqrt(40**2 - 15**2) - 120),
        # Under the middle both sides of the strip are as low.
        (0.0, 120.0, 100 + math.sqrt(40**2 - 5**2) - 120),
        # Beyond x = 40 / root 2 it is steeper than 45 degrees and a matter of walls.
        (26.0, 110.0, 100 + 40 / math.sqrt(2) - 110),
        (34.0, 90.0, None),
    ],
)
def test_end_under_a_round_tip(x: float, y: float, measured: float | None) -> None:
    build = plain_head(post_at(x, y), outline=tip(1.0, 100.0))
    assert end_of(build) == (None if measured is None else pytest.approx(measured, abs=CHORD))


@pytest.mark.parametrize(
    ("x", "measured"),
    [
        # A hollow tip 10 mm deep over 80 mm: an arc of radius 85 about (0, 235), lowest at (0, 150).
        (2.0, 150 - 120),
        (10.0, 235 - math.sqrt(85**2 - 5**2) - 120),
        (-10.0, 235 - math.sqrt(85**2 - 5**2) - 120),
    ],
)
def test_end_under_a_hollow_tip(x: float, measured: float) -> None:
    build = plain_head(post_at(x, 120.0), outline=tip(-0.25, 160.0))
    assert end_of(build) == pytest.approx(measured, abs=CHORD)


def test_end_under_a_slanted_tip() -> None:
    # The tip rises from (40, 180) to (-40, 220), 1 in 2: 200 mm up in the middle, 2.5 mm lower at the strip's side.
    build = plain_head(
        post_at(0.0, 170.0), outline=nodes((40.0, 0.0), (40.0, 180.0), (-40.0, 220.0), (-40.0, 0.0))
    )
    assert end_of(build) == pytest.approx(30.0 - 2.5)


def test_shoulders_towards_the_nut_are_no_ends() -> None:
    right = ((20.0, 0.0), (20.0, 30.0), (40.0, 30.0), (40.0, 200.0))
    outline = nodes(*right, *((-x, y) for x, y in reversed(right)))
    assert end_of(plain_head(post_at(30.0, 60.0), outline=outline)) == pytest.approx(140.0)


def test_nearest_of_several_ends_counts() -> None:
    # A notch down to y = 120 stands over x = 0 to 10; the strip of a bore at x = -4 just reaches it.
    outline = nodes(
        (40.0, 0.0),
        (40.0, 200.0),
        (10.0, 200.0),
        (10.0, 120.0),
        (0.0, 120.0),
        (0.0, 200.0),
        (-40.0, 200.0),
        (-40.0, 0.0),
    )
    assert end_of(plain_head(post_at(-4.0, 60.0, "bass"), outline=outline)) == pytest.approx(60.0)
    assert end_of(plain_head(post_at(-6.0, 60.0, "bass"), outline=outline)) == pytest.approx(140.0)


# Wall


@pytest.mark.parametrize(
    ("x", "y", "side"),
    [
        (25.0, 60.0, "treble"),
        (-25.0, 60.0, "bass"),
        (3.0, 180.0, "tip"),
        (45.0, 60.0, "treble"),
        (3.0, 205.0, "tip"),
    ],
)
def test_wall_names_the_nearest_side(x: float, y: float, side: str) -> None:
    (wall,) = found(plain_head(post_at(x, y)), "wall")
    assert [part.name for part in wall.about] == ["bore spare A", f"{side} edge"]


def test_wall_of_a_bore_outside_is_negative() -> None:
    # The centre 3 mm outside the edge, the bore reaches 2 mm into the wood.
    wall = closest(plain_head(post_at(43.0, 60.0)), "wall")
    assert wall.measured == pytest.approx(-8.0)
    assert wall.level is Level.STOP


def test_nut_line_is_no_edge() -> None:
    assert closest(plain_head(post_at(0.0, 8.0)), "wall").measured == pytest.approx(35.0)


def test_ends_of_the_dimension_lie_on_bore_and_edge() -> None:
    wall = closest(plain_head(post_at(20.0, 60.0)), "wall")
    assert wall.where is not None
    (one, other) = wall.where
    assert (one.x, one.y, other.x, other.y) == pytest.approx((25.0, 60.0, 40.0, 60.0))


# Webs and old holes


def old(x: float, y: float, diameter: float, **fields: Any) -> tuple[OldHole, ...]:
    return (OldHole(key="o", at=Point(x, y), diameter=diameter, **fields),)


def test_new_bore_swallows_an_old_hole_whole_or_leaves_a_web() -> None:
    # A hole of 6 mm lies wholly in a bore of 10 mm up to 2 mm off its centre.
    def webs(off: float) -> list[Any]:
        return found(plain_head(post_at(0.0, 60.0), old_holes=old(off, 60.0, 6.0)), "web")

    assert webs(0.0) == []
    assert webs(2.0) == []
    (web,) = webs(2.01)
    assert web.measured == pytest.approx(2.01 - 8)
    assert web.level is Level.STOP


def test_old_hole_larger_than_the_bore_counts_with_its_own_diameter() -> None:
    web = closest(plain_head(post_at(0.0, 60.0), old_holes=old(0.0, 60 + 5 + 8 + 9, 16.0)), "web")
    assert (web.measured, web.watch, web.stop) == pytest.approx((9.0, 16.0, 8.0))


def rebored(off: float, diameter: float = 10.0, **fields: Any) -> Build:
    """A bore of 10 mm over an old hole, two pins 6.8614 mm off its middle, and a tuner 12 mm up the head."""
    pins = tuple(Pin(along=along, outward=-4.7, diameter=2.0, depth=3.0) for along in (-5.0, 5.0))
    rows = (post_at(0.0, 60.0), post_at(0.0, 72.0, key="two", hardware="small"))
    pinned, small = tuner(pins=pins), tuner(key="small", bore=Bore(through=4.0))
    return plain_head(*rows, hardware=(pinned, small), old_holes=old(off, 60.0, diameter, **fields))


def to_old(build: Build, check: Callable[[Facts], Gaps]) -> list[float]:
    """All that a check measures to old holes, the closest or not."""
    gaps = check(facts_of(build, lay_out(build)))
    assert gaps.j is not None
    measured = zip(gaps.measured.tolist(), gaps.j.tolist(), strict=True)
    return sorted(value for value, j in measured if gaps.parts[j].kind == "hole")


@pytest.mark.parametrize("check", [web, screw_to_hole])
@pytest.mark.parametrize(("off", "diameter"), [(0.0, 10.0), (0.0, 9.0), (0.5, 9.0)])
def test_a_hole_that_a_new_bore_swallows_is_gone_for_everything(
    check: Callable[[Facts], Gaps], off: float, diameter: float
) -> None:
    assert to_old(rebored(off, diameter), check) == []


def test_a_hole_that_a_new_bore_does_not_swallow_whole_counts_for_everything() -> None:
    build = rebored(0.1)
    # From pins of 2 mm, 4.7 mm inwards and 5 mm along, to a hole of 10 mm whose middle is 0.1 mm outwards.
    assert to_old(build, screw_to_hole) == pytest.approx([math.hypot(4.8, 5.0) - 6] * 2)
    assert to_old(build, web) == pytest.approx([0.1 - 10, math.hypot(12.0, 0.1) - 7])
    pins = [each for each in found(build, "screw to hole") if each.about[1].kind == "hole"]
    assert [each.level for each in pins] == [Level.STOP] * 2


def test_a_plugged_hole_counts_for_nothing_wherever_it_is() -> None:
    assert to_old(rebored(3.0, plugged=True), web) == to_old(rebored(3.0, plugged=True), screw_to_hole) == []


def test_a_swallowed_hole_takes_no_wood_away_twice() -> None:
    swallowed, none_at_all = (rebored(0.0, 9.0), change(rebored(0.0, 9.0), old_holes=()))
    weights = [head_wood(build, lay_out(build)).point_mass.mass for build in (swallowed, none_at_all)]
    assert weights[0] == pytest.approx(weights[1])
    beside = rebored(20.0, 9.0)
    # 9 mm wide, 15 mm thick, 600 kg/m3 where no wood is named.
    assert weights[0] - head_wood(beside, lay_out(beside)).point_mass.mass == pytest.approx(
        math.pi * 4.5**2 * 15 * 0.6e-3
    )


def test_old_hole_inside_nothing_new_has_no_web_to_another_old_hole() -> None:
    holes = (*old(-20.0, 100.0, 6.0), OldHole(key="p", at=Point(-20.0, 107.0), diameter=6.0))
    webs = found(plain_head(post_at(20.0, 60.0), old_holes=holes), "web")
    assert len(webs) == 2
    assert all([part.kind for part in each.about] == ["bore", "hole"] for each in webs)


@pytest.mark.parametrize(
    ("hole", "hidden"),
    [
        # The bore of 10 mm hides what lies inside it, whatever its side.
        (old(3.0, 60.0, 4.0), True),
        # The washer of 14 mm hides a blind hole from the face, the seat of 14 x 18 mm one from the back.
        (old(5.0, 60.0, 4.0, side="face", depth=5.0), True),
        (old(5.1, 60.0, 4.0, side="face", depth=5.0), False),
        (old(7.0, 65.0, 4.0, depth=5.0), True),
        (old(7.1, 65.0, 4.0, depth=5.0), False),
        (old(7.0, 65.1, 4.0, depth=5.0), False),
        (old(7.0, 65.0, 4.0, side="face", depth=5.0), False),
        # What goes through must be hidden on both sides.
        (old(5.0, 60.0, 4.0), True),
        (old(7.0, 65.0, 4.0), False),
        (old(7.0, 65.0, 4.0, plugged=True), False),
    ],
)
def test_scars(hole: tuple[OldHole, ...], hidden: bool) -> None:
    build = plain_head(post_at(0.0, 60.0), old_holes=hole)
    (scar,) = found(build, "scar")
    assert scar.level is (Level.FINE if hidden else Level.WATCH)
    assert scar.measured == (0.0 if hidden else 1.0)


# The nut


def test_bore_in_the_nut_stops_by_itself() -> None:
    build = plain_head(post_at(0.0, 4.0), hardware=(tuner(washer=None),))
    finding = closest(build, "into the nut")
    assert finding.measured == pytest.approx(-1.0)
    assert finding.level is Level.STOP


def test_bare_post_has_no_washer_to_keep_from_anything() -> None:
    build = plain_head(post_at(20.0, 30.0), post_at(20.0, 60.0, key="two"), hardware=(tuner(washer=None),))
    assert found(build, "first washer") == found(build, "washer gap") == []


# Keep clear: only volumes that meet count

Side = Literal["face", "back", "through"]


def clear_of(side: Side, depth: float, length: float, taper: float = 0.0) -> list[Any]:
    """What is said of a screw `length` deep right under a region; the bore is 30 mm away from it."""
    hardware = tuner(screws=(Screw(along=0.0, outward=-30.0, diameter=2.0, root=1.5, length=length),))
    region = Region(
        key="r",
        name="inlay",
        shape=RoundRegion(centre=Point(-10.0, 60.0), radius=4.0),
        side=side,
        depth=depth,
    )
    head = Head(thickness_nut=15.0 + taper, thickness_tip=15.0 - taper)
    build = plain_head(post_at(20.0, 60.0), hardware=(hardware,), keep_clear=(region,), head=head)
    return [each for each in found(build, "keep clear") if each.about[0].kind == "screw"]


@pytest.mark.parametrize(
    ("side", "depth", "length", "meets"),
    [
        ("through", 0.0, 3.0, True),
        ("back", 2.0, 3.0, True),
        # 15 mm thick: 9 mm from the back and 6 mm from the face just meet.
        ("face", 6.0, 9.0, True),
        ("face", 5.9, 9.0, False),
        ("face", 2.0, 12.9, False),
    ],
)
def test_screw_under_a_region(side: Side, depth: float, length: float, meets: bool) -> None:
    of_screw = clear_of(side, depth, length)
    assert bool(of_screw) is meets
    # The screw of 2 mm stands in the middle of a region of radius 4.
    assert all(each.measured == pytest.approx(-5.0) and each.level is Level.STOP for each in of_screw)


def test_bore_meets_every_region() -> None:
    region = Region(
        key="r", name="", shape=RoundRegion(centre=Point(20.0, 60.0), radius=4.0), side="face", depth=0.5
    )
    (finding,) = found(plain_head(post_at(20.0, 60.0), keep_clear=(region,)), "keep clear")
    assert finding.measured == pytest.approx(-9.0)
    assert [part.name for part in finding.about] == ["bore spare A", "region r"]


def test_bore_inside_a_polygon_counts_from_its_nearest_side() -> None:
    shape = Polygon(points=(Point(10, 50), Point(40, 50), Point(40, 80), Point(10, 80)))
    (finding,) = found(
        plain_head(post_at(20.0, 62.0), keep_clear=(Region(key="r", name="rod", shape=shape),)), "keep clear"
    )
    assert finding.measured == pytest.approx(-10 - 5)


def test_polygon_of_one_place() -> None:
    shape = Polygon(points=(Point(20, 80), Point(20, 80), Point(20, 80)))
    (finding,) = found(
        plain_head(post_at(20.0, 60.0), keep_clear=(Region(key="r", name="dot", shape=shape),)), "keep clear"
    )
    assert finding.measured == pytest.approx(15.0)


# Screws take the thickness at their own place


def test_screw_depth_on_a_tapered_head() -> None:
    # 16 mm at the nut and 12 mm at the tip 200 mm up: 14 mm at y = 100, where the screw 40 mm past its post stands. Its
    # pilot is 90 % of 1.5 mm, the point 0.405 mm long.
    hardware = tuner(screws=(Screw(along=40.0, outward=0.0, diameter=2.2, root=1.5, length=10.0),))
    build = plain_head(
        post_at(20.0, 60.0), hardware=(hardware,), head=Head(thickness_nut=16.0, thickness_tip=12.0)
    )
    assert closest(build, "screw depth").measured == pytest.approx(14 - 10 - 0.405)


def test_keep_clear_on_a_tapered_head() -> None:
    # 17.5 - 0.0125 y = 16.25 mm thick at the screw, y = 100: 9 mm of screw meet what
    # is 7.25 mm deep or more.
    hardware = tuner(screws=(Screw(along=40.0, outward=0.0, diameter=2.0, root=1.5, length=9.0),))
    head = Head(thickness_nut=17.5, thickness_tip=15.0)

    def meets(depth: float) -> bool:
        region = Region(
            key="r",
            name="",
            shape=RoundRegion(centre=Point(20.0, 100.0), radius=3.0),
            side="face",
            depth=depth,
        )
        build = plain_head(post_at(20.0, 60.0), hardware=(hardware,), head=head, keep_clear=(region,))
        return any(each.about[0].kind == "screw" for each in found(build, "keep clear"))

    assert [meets(depth) for depth in (7.2, 7.25, 7.7)] == [False, True, True]


# Seats over hollows


@pytest.mark.parametrize("along", [14.0, 30.0])
def test_seat_over_a_hollow_side(along: float) -> None:
    # The right side is hollowed 5 mm deep between y = 80 and 120, to x = 35; the seat, 18 mm wide about x = 28, reaches
    # to x = 37: it hangs over by 2 mm in the middle, whether its corners do or not.
    places = ((40.0, 0.0), (40.0, 80.0), (40.0, 120.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0))
    each = [Node(key=f"n{n}", at=Point(*place)) for n, place in enumerate(places)]
    each[1] = change(each[1], onward=Bend(bulge=-0.25))
    assert PLAIN_TUNER.seat is not None
    hardware = tuner(seat=change(PLAIN_TUNER.seat, along=along))
    seat = closest(
        plain_head(post_at(28.0, 100.0), outline=Nodes(nodes=tuple(each)), hardware=(hardware,)), "seat"
    )
    assert seat.measured == pytest.approx(-2.0, abs=CHORD)
    assert seat.level is Level.STOP


def test_seat_over_a_convex_edge_counts_its_furthest_corner() -> None:
    # Corners at x = 43: 3 mm outside.
    assert closest(plain_head(post_at(34.0, 60.0)), "seat").measured == pytest.approx(-3.0)


def test_rear_buttons_have_no_edge_to_keep_from_but_the_nut() -> None:
    tuner = change(REAR_TUNER, key="plain")
    build = plain_head(row(), hardware=(tuner,))
    assert found(build, "button to edge") == []
    # The disc reaches half its swept diameter from the post, which stands 60 mm from the nut.
    (first,) = found(build, "first button")
    assert first.measured == pytest.approx(60.0 - tuner.button.swept_diameter / 2)


def test_a_counterbore_swallows_only_as_deep_as_it_is() -> None:
    # 6.5 mm through and 8.8 mm for 9 mm from the face, over an old hole of 8 mm on the same place.
    def webs(**hole: object) -> list[Finding]:
        old = OldHole(key="o", at=Point(20.0, 60.0), diameter=8.0, **hole)  # type: ignore[arg-type]
        bore = change(tuner().bore, through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0))
        head = plain_head(row(), hardware=(change(tuner(), bore=bore),), old_holes=(old,))
        return [each for each in found(head, "web") if any(part.kind == "hole" for part in each.about)]

    assert webs(side="face", depth=9.0) == []
    assert [each.level for each in webs(side="face", depth=9.5)] == [Level.STOP]
    assert [each.level for each in webs()] == [Level.STOP]
    assert [each.level for each in webs(side="back", depth=3.0)] == [Level.STOP]


def test_a_counterbore_that_ends_above_a_region_on_the_back_does_not_meet_it() -> None:
    # 15 mm thick, counterbored 9 mm deep: 6 mm are left. The region begins 4 mm from the post's axis.
    def measured(depth: float) -> float:
        region = Region(
            key="r",
            name="",
            shape=RoundRegion(centre=Point(20.0, 74.0), radius=10.0),
            side="back",
            depth=depth,
        )
        bore = change(tuner().bore, through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0))
        head = plain_head(row(), hardware=(change(tuner(), bore=bore),), keep_clear=(region,))
        (only,) = found(head, "keep clear")
        assert only.measured is not None
        return only.measured

    assert measured(5.9) == pytest.approx(4.0 - 3.25)
    assert measured(6.0) == pytest.approx(4.0 - 4.4)


# Hollows and the cutter


@pytest.mark.parametrize(("cutter", "level"), [(0.0, None), (6.0, Level.WATCH)])
def test_sharp_hollow_corner_cannot_be_routed(cutter: float, level: Level | None) -> None:
    # Drawn in to a sharp corner on both sides: hollows of radius 0.
    right = ((40.0, 0.0), (40.0, 60.0), (20.0, 100.0), (40.0, 140.0), (40.0, 200.0))
    outline = nodes(*right, *((-x, y) for x, y in reversed(right)))
    hollows = found(plain_head(post_at(0.0, 60.0), outline=outline, cutter_diameter=cutter), "cutter radius")
    assert [each.level for each in hollows] == ([] if level is None else [level] * len(hollows))
    assert all(each.measured == pytest.approx(-cutter / 2) for each in hollows)
    assert bool(hollows) is (level is not None)


def test_convex_heads_suit_any_cutter() -> None:
    assert found(plain_head(post_at(0.0, 60.0), cutter_diameter=50.0), "cutter radius") == []


# Rounded edges


def test_ends_of_the_dimension_lie_on_bore_and_rounding() -> None:
    """A bore of 10 mm, its middle 20 mm inside the edge: of its 15 mm to the edge the rounding takes 1."""
    head = Head(edge_face=1.0)
    wall = closest(plain_head(post_at(20.0, 60.0), head=head), "wall")
    assert wall.where is not None
    one, other = wall.where
    assert (one.x, one.y, other.x, other.y) == pytest.approx((25.0, 60.0, 39.0, 60.0))
    assert wall.measured == pytest.approx(one.distance(other))


@pytest.mark.parametrize("x", [28.0, 34.0, 38.0])
def test_the_dimension_is_as_long_as_what_is_measured(x: float) -> None:
    """Well inside, cut by the rounding, and through the edge: by the outward coordinates of both ends."""
    head = Head(edge_back=2.0, binding=1.0)
    wall = closest(plain_head(post_at(x, 60.0), head=head), "wall")
    assert wall.where is not None
    one, other = wall.where
    assert wall.measured == pytest.approx(other.x - one.x) == pytest.approx(40.0 - 3.0 - (x + 5.0))


def test_just_no_wood_left_has_a_direction() -> None:
    """On the rounding to the last digit the way from bore to wood still runs straight out."""
    head = Head(edge_face=1.0)
    build = plain_head(post_at(34.0, 60.0), head=head)
    found = wall_gaps(facts_of(build, lay_out(build)))
    assert found.measured == pytest.approx([0.0], abs=1e-9)
    (way,) = found.there - found.here
    assert np.hypot(*way) == pytest.approx(2e-6, rel=1e-3)
