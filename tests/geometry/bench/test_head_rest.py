"""Where the neck goes while the head lies level: closed forms."""

from __future__ import annotations

import math

import pytest

from geometry.bench.head_rest import LEAST_SUPPORT, fall, fret_distance, head_rest
from geometry.document.build import Build
from geometry.trade.shop import CradleSizes
from tests.builds import change, plain_head

SIZES = CradleSizes(base=18.0, backing=6.0)


def head_at(degrees: float, **fields: float) -> Build:
    build = plain_head(scale_length=650.0)
    return change(
        build, head=change(build.head, angle_deg=degrees, thickness_nut=15.0, neck_depth=16.0, **fields)
    )


def test_marked_value_a_neck_at_14_degrees_falls_116_mm_at_480_mm_from_the_nut() -> None:
    # Workshop figure: 116 mm. The way along the neck is the long side of the triangle, so it is the sine that
    # gives 116.1; along the table the tangent would give 119.7.
    assert fall(480.0, math.radians(14.0)) == pytest.approx(116.1, abs=0.05)
    assert 480.0 * math.tan(math.radians(14.0)) == pytest.approx(119.7, abs=0.05)


@pytest.mark.parametrize(("fret", "share"), [(12, 0.5), (24, 0.75), (1, 1 - 2 ** (-1 / 12))])
def test_frets_lie_by_twelve_equal_steps_to_the_octave(fret: int, share: float) -> None:
    assert fret_distance(650.0, fret) == pytest.approx(650.0 * share)


def test_a_flat_head_needs_no_riser() -> None:
    rest = head_rest(head_at(0.0), SIZES)
    assert (rest.riser, rest.riser_face_down, rest.at_bridge) == (0.0, 0.0, 0.0)
    assert (rest.near.falls, rest.far.falls) == (0.0, 0.0)
    # Boards 24, head 15, neck 16 deep: its back lies 23 over the table, at both stations.
    assert (rest.near.on_riser, rest.far.at_edge) == pytest.approx((23.0, 23.0))


def test_the_riser_lifts_the_neck_just_clear_of_the_table_at_the_far_station() -> None:
    rest = head_rest(head_at(14.0), SIZES)
    under = 24.0 + 15.0 - 325.0 * math.sin(math.radians(14)) - 16.0 * math.cos(math.radians(14))
    assert rest.far.along == pytest.approx(325.0)
    assert rest.far.away == pytest.approx(325.0 * math.cos(math.radians(14)))
    assert rest.far.at_edge == pytest.approx(under)
    assert rest.riser == pytest.approx(LEAST_SUPPORT - under)
    assert rest.far.on_riser == pytest.approx(LEAST_SUPPORT)
    assert rest.near.on_riser - rest.far.on_riser == pytest.approx(rest.far.falls - rest.near.falls)
    assert rest.at_bridge == pytest.approx(650.0 * math.sin(math.radians(14)))


def test_a_head_that_is_thicker_at_its_tip_lies_as_high_as_there() -> None:
    # Its nut end is packed by 3 mm, so that the face is level 18 mm over the boards.
    rest = head_rest(head_at(0.0, thickness_tip=18.0), SIZES)
    assert (rest.packing, rest.packed_end) == (3.0, "nut")
    assert rest.near.at_edge == pytest.approx(24.0 + 18.0 - 16.0)


def test_face_down_the_neck_rises_by_what_it_falls_face_up() -> None:
    build = head_at(14.0)
    rest = head_rest(build, SIZES)
    low = 24.0 - build.nut.slot_floor * math.cos(math.radians(14))
    assert rest.near.face_down == pytest.approx(low + rest.near.falls)
    assert rest.far.face_down == pytest.approx(low + rest.far.falls)


def test_a_fingerboard_deeper_than_the_boards_is_lifted_face_down() -> None:
    build = head_at(0.0)
    build = change(build, nut=change(build.nut, slot_floor=20.0))
    rest = head_rest(build, CradleSizes(base=18.0, backing=3.0))
    assert rest.riser_face_down == pytest.approx(LEAST_SUPPORT - 1.0)
    assert rest.near.face_down == pytest.approx(LEAST_SUPPORT)


def test_stations_are_told_from_the_nut_on_whatever_their_order() -> None:
    rest = head_rest(head_at(10.0), CradleSizes(near_fret=12, far_fret=5))
    assert rest.near.along == pytest.approx(fret_distance(650.0, 5))
    assert rest.far.along == pytest.approx(325.0)


@pytest.mark.parametrize(
    ("tip", "packing", "end"), [(13.0, 2.0, "tip"), (16.5, 1.5, "nut"), (15.0, 0.0, "nut")]
)
def test_a_head_that_tapers_in_thickness_is_packed_under_its_thinner_end(
    tip: float, packing: float, end: str
) -> None:
    rest = head_rest(head_at(0.0, thickness_tip=tip), SIZES)
    assert rest.packing == pytest.approx(packing)
    assert rest.packed_end == end
