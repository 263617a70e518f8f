"""Rings on plain heads, where they have closed forms, and what is said of them."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from geometry.checks.judge import EDGE_CHECKS
from geometry.document.build import Build, Moved, OnLine, Post
from geometry.document.edits import set_limit
from geometry.document.outline import Nodes
from geometry.layout.layout import lay_out
from geometry.search.rings.allowance import Allowance, Ring, allowance, ring_of, rounded_down
from geometry.search.rings.allowance_words import ENDS, say_ring, say_rings
from geometry.shape.point import Vector
from geometry.trade.hardware import Hardware
from geometry.trade.limits import RULE_NAMES, ChangedLimit
from geometry.trade.quantities import show_radius
from tests.builds import PITCH, REAR_TUNER, START, mirror_of, of_rear, plain_head, post_at, row, tuner
from tests.generated_builds import generated

# A plain head is 80 x 200 mm. Its tuner has a bore of 10, a washer of 14, a body of 16 x 20 and a seat of 14 x 18 mm;
# a rear button keeps off the edges. At stop: wall 3 mm, end 10 mm, web 5 mm, bodies and seats 0 mm.


def rings(build: Build) -> tuple[Ring, ...]:
    return allowance(build).rings


def test_a_lone_hole_may_move_until_its_seat_meets_the_edge() -> None:
    # From x = 25 the seat, 9 mm to each side, has 40 - 25 - 9 = 6 mm to the edge; the wall would have 40 - 25 - 5 - 3.
    (ring,) = rings(of_rear((25.0, 100.0)))
    assert (ring.radius, ring.alone, ring.broken) == (6.0, 6.0, False)
    assert ring.ends is not None
    assert ring.ends.check == "seat"
    assert ring.ends.toward == Vector(1.0, 0.0)


def test_two_holes_share_the_gap_between_their_bodies() -> None:
    # 24 mm apart along the row, bodies 16 mm long: 8 mm between them, 4 for each; alone the seat's 6 mm count.
    build = of_rear((25.0, 80.0), (25.0, 104.0))
    assert [(ring.radius, ring.alone) for ring in rings(build)] == [(4.0, 6.0), (4.0, 6.0)]


def test_a_hole_near_the_tip_keeps_its_grain() -> None:
    # 185 + 10 mm of grain leave 5 mm to the tip at 200; the seat would leave 8, the wall 7.
    (ring,) = rings(of_rear((0.0, 185.0)))
    assert ring.alone == 5.0
    assert ring.ends is not None
    assert ring.ends.check == "end distance"
    assert ring.ends.toward == Vector(0.0, 1.0)


def test_holes_lean_by_what_their_exits_may_move() -> None:
    # Two degrees over 15 mm move the exit by 15 tan 2 = 0.524 mm; twice that between two bodies.
    gap = 2 * 15 * math.tan(math.radians(2.0))
    build = of_rear((25.0, 80.0), (25.0, 96.0 + gap))
    assert gap / 2 == pytest.approx(0.524, abs=5e-4)
    assert [ring.lean_deg for ring in rings(build)] == [2.0, 2.0]


def test_a_broken_limit_leaves_nothing_to_those_it_is_about() -> None:
    build = of_rear((25.0, 80.0), (25.0, 95.0), (-20.0, 100.0))
    found = allowance(build)
    assert [ring.broken for ring in found.rings] == [True, True, False]
    assert [ring.radius for ring in found.rings] == [0.0, 0.0, 10.0]
    assert found.smallest == 0
    assert say_rings(found) == "Holes spare A, spare B have no room to miss: a limit is broken already."


def test_nothing_can_be_told_of_an_open_outline() -> None:
    build = of_rear((25.0, 100.0))
    assert isinstance(build.outline, Nodes)
    low, *rest = build.outline.nodes
    raised = replace(low, at=low.at + Vector(0.0, 5.0))
    opened = replace(build, outline=Nodes(nodes=(raised, *rest)))
    found = allowance(opened)
    assert not found.told
    assert [ring.radius for ring in found.rings] == [0.0]
    assert "cannot be told" in say_rings(found)
    assert ring_of(opened, lay_out(opened), "p01") == found.ring("p01")


def test_a_build_without_tuners_has_no_rings() -> None:
    found = allowance(plain_head())
    assert found.rings == ()


def test_a_stricter_limit_makes_the_ring_smaller() -> None:
    build = of_rear((25.0, 100.0))
    strict = set_limit(build, ChangedLimit("seat", "stop", 2.5))
    assert rings(strict)[0].alone == 3.5


def test_a_row_looks_even_within_half_of_what_is_left() -> None:
    # The middle post 0.2 mm up: 40.2 and 39.8 mm instead of 40. Of 0.5 mm, 0.3 are left; two neighbours share them.
    row_of = row(count=3, moved=(Moved(post="treble2", along=0.2, inward=0.0),))
    assert [ring.even for ring in rings(plain_head(row_of))] == pytest.approx([0.15] * 3)
    even = rings(plain_head(row(count=3)))
    assert [ring.even for ring in even] == pytest.approx([0.25] * 3)
    assert [ring.even for ring in rings(plain_head(row(count=2)))] == [None, None]


def test_a_post_out_of_line_makes_its_row_uneven() -> None:
    rule = OnLine(start=START, pitch=PITCH, inset=20.0)
    aside = row(count=3, rule=rule, moved=(Moved(post="treble2", along=0.0, inward=0.3),))
    assert [ring.even for ring in rings(plain_head(aside))] == pytest.approx([0.1] * 3)


@pytest.mark.parametrize("seed", range(0, 40, 4))
def test_the_mirror_image_has_the_same_rings(seed: int) -> None:
    build = generated(seed)
    here, there = allowance(build), allowance(mirror_of(build))
    assert [ring.post for ring in here.rings] == [ring.post for ring in there.rings]
    assert there.smallest == pytest.approx(here.smallest, abs=5e-3)
    for one, other in zip(here.rings, there.rings, strict=True):
        assert one.broken == other.broken
        assert one.even == pytest.approx(other.even)
        assert other.alone == pytest.approx(one.alone, abs=0.1001)


@pytest.mark.parametrize("seed", range(0, 40, 4))
def test_one_ring_is_that_of_them_all(seed: int) -> None:
    build = generated(seed)
    layout = lay_out(build)
    assert tuple(ring_of(build, layout, post.key) for post in layout.posts) == rings(build)


@pytest.mark.parametrize(
    ("value", "shown"),
    [(1.39, 1.3), (1.4 - 1e-9, 1.4), (0.3, 0.3), (0.299, 0.29), (0.05, 0.05), (0.0999, 0.09), (0.0, 0.0)],
)
def test_radii_are_rounded_down_to_a_tenth_and_small_ones_to_a_hundredth(value: float, shown: float) -> None:
    assert rounded_down(value) == shown


# Words


def test_every_check_that_can_end_a_ring_has_its_words() -> None:
    names = {check.__name__.replace("_", " ") for check in EDGE_CHECKS}
    about_posts = names - {
        "string over wood",
        "width at nut",
        "overhang at nut",
        "cutter radius",
        "blank",
    }
    assert about_posts <= set(ENDS)
    assert set(ENDS) - {"web", "shared screw"} <= RULE_NAMES


def test_a_hole_alone_in_words() -> None:
    (ring,) = rings(of_rear((25.0, 100.0)))
    words = "Hole spare A alone: 6.0 mm towards the treble side; then its seat hangs over the back's edge."
    assert say_ring(ring, of_rear((25.0, 100.0))) == words
    assert "0.236 in" in say_ring(ring, of_rear((25.0, 100.0)), "inch")


def test_the_neighbour_is_named() -> None:
    build = of_rear((0.0, 80.0), (0.0, 97.0))
    assert say_ring(rings(build)[0], build) == (
        "Hole spare A alone: 1.0 mm towards the tip; then its body meets body spare B."
    )


def test_directions_in_words_on_a_left_handed_head() -> None:
    build = mirror_of(of_rear((25.0, 100.0)))
    assert build.hand == "left"
    assert "towards the treble side" in say_ring(rings(build)[0], build)


def test_a_hole_with_room_all_round_in_words() -> None:
    build = plain_head(post_at(0.0, 100.0, hardware="slim"), hardware=(_slim(),))
    assert say_ring(rings(build)[0], build) == "Hole spare A alone: 10.0 mm and more."
    assert say_rings(allowance(build)) == (
        "All holes may miss at once, each within its ring; the smallest is 10.0 mm (all holes)."
    )


def _slim() -> Hardware:
    return tuner(key="slim", button=REAR_TUNER.button)


def test_a_broken_hole_in_words() -> None:
    build = of_rear((25.0, 80.0), (25.0, 95.0))
    assert (
        say_ring(rings(build)[0], build)
        == "Hole spare A: no room to miss, because a limit is broken already."
    )


def test_radii_are_shown_with_one_decimal() -> None:
    assert show_radius(0.4, "mm") == "0.4 mm"
    told = [show_radius(radius, "mm") for radius in (0.05, 0.1, 0.0)]
    assert told == ["0.05 mm", "0.10 mm", "0.0 mm"]
    assert show_radius(1.3, "inch") == "0.051 in"


def test_a_spare_post_without_a_string_has_its_ring() -> None:
    build = plain_head(row(count=1, posts=(Post(key="a", string=None),)))
    assert isinstance(allowance(build), Allowance)
    assert allowance(build).ring("a").radius > 0
