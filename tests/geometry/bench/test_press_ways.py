"""What a drill press needs for a cradle, against rays that are cast from every bore in all directions."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.bench.cradle import Cradle, cradle
from geometry.bench.press_ways import WORTH, PressWay, fit_press, press_ways, table_edge
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.trade.shop import CradleSizes
from tests.amount import sampled
from tests.builds import (
    bass_two_and_two,
    four_friction,
    mirror_of,
    plain_head,
    post_at,
    six_in_line,
    three_and_three,
    twelve_strings,
)

HEADS = pytest.mark.parametrize(
    "made", [three_and_three, six_in_line, four_friction, bass_two_and_two, twelve_strings]
)


def ways_for(build: Build) -> tuple[Cradle, tuple[Point, ...], tuple[PressWay, ...]]:
    layout = lay_out(build)
    done = cradle(build, layout, CradleSizes())
    bores = tuple(post.at for post in layout.posts)
    return done, bores, press_ways(done, bores)


def to_the_column(plate: Bounds, bore: Point, degrees: float) -> float:
    """How far from a bore the plate ends that way; never, where the neck leaves over its lower edge."""
    way = Point(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    ray = shapely.LineString([(bore.x, bore.y), (bore.x + 1e4 * way.x, bore.y + 1e4 * way.y)])
    inside = ray.intersection(shapely.box(plate.left, plate.bottom, plate.right, plate.top))
    end = inside.coords[-1]
    return math.inf if end[1] <= plate.bottom + 1e-6 else float(inside.length)


def least_of_all_angles(plate: Bounds, bores: tuple[Point, ...]) -> float:
    """The least throat when the base plate may be turned to any whole or quarter degree for each bore."""
    angles = [quarter / 4 for quarter in range(4 * 360)]
    return max(min(to_the_column(plate, bore, angle) for angle in angles) for bore in bores)


@HEADS
def test_no_turning_at_all_needs_a_smaller_throat(made: Callable[[], Build]) -> None:
    done, bores, ways = ways_for(made())
    least = min(way.throat for way in ways if way.holding == "wedges")
    assert least - WORTH <= least_of_all_angles(done.base, bores) <= least + 1e-6


@given(
    places=st.lists(st.tuples(st.floats(-30, 30), st.floats(25, 140)), min_size=1, max_size=6),
)
@settings(max_examples=sampled(6, of=15), deadline=None)
def test_wherever_the_bores_lie(places: list[tuple[float, float]]) -> None:
    bores = tuple(Point(*place) for place in places)
    done = cradle(three_and_three(), lay_out(three_and_three()), CradleSizes())
    least = min(way.throat for way in press_ways(done, bores) if way.holding == "wedges")
    assert least - WORTH <= least_of_all_angles(done.base, bores) <= least + 1e-6


def test_two_bores_by_hand() -> None:
    done, bores, ways = ways_for(plain_head(post_at(10.0, 60.0), post_at(-20.0, 90.0, "bass", key="two")))
    half, top = done.base.right, done.base.top
    assert -done.base.left == pytest.approx(half)
    by_name = {(way.holding, way.turning): way for way in ways}
    # The right side to the column: bore two is 20 left of the middle.
    assert by_name["wedges", "one side"].throat == pytest.approx(half + 10.0)
    assert by_name["wedges", "turned"].throat == pytest.approx(half - 10.0)
    assert by_name["wedges", "tip"].throat == pytest.approx(top - 60.0)
    assert by_name["screwed", "turned"].throat == pytest.approx(done.right.outer - 10.0)
    # From the lower bore to the tip on one side of the spindle, as much table on the other.
    assert by_name["wedges", "turned"].table == pytest.approx(2 * (top - 60.0))
    assert by_name["wedges", "tip"].table == pytest.approx(2 * (half + 20.0))
    # Face up or down the farther support stands at fret 12, half the scale from the nut, and is 16 wide.
    far = 90.0 + done.rest.far.away + 8.0
    assert by_name["wedges", "turned"].with_supports == pytest.approx(2 * far)
    assert by_name["wedges", "tip"].with_supports is None
    assert table_edge(done, bores) == pytest.approx(60.0 - done.base.bottom)


@HEADS
def test_each_way_needs_less_than_the_ways_that_are_less_work(made: Callable[[], Build]) -> None:
    _, _, ways = ways_for(made())
    for holding in ("wedges", "screwed"):
        throats = [way.throat for way in ways if way.holding == holding]
        assert throats == sorted(throats, reverse=True)
    assert ways[0].turning == "one side"
    assert min(way.throat for way in ways if way.holding == "screwed") < ways[0].throat


@HEADS
def test_the_mirror_image_needs_the_same_press(made: Callable[[], Build]) -> None:
    one, other = (
        [number for way in ways for number in (way.throat, way.table)]
        for ways in (ways_for(made())[2], ways_for(mirror_of(made()))[2])
    )
    assert one == pytest.approx(other)


def test_a_press_gets_the_way_that_is_least_work() -> None:
    _, _, ways = ways_for(three_and_three())
    for way in ways:
        fit = fit_press(ways, way.throat)
        assert (fit.way, fit.lacks) == (way, 0.0)
    least = min(way.throat for way in ways)
    none = fit_press(ways, least - 2.5)
    assert none.lacks == pytest.approx(2.5)
    assert none.way.throat == least


def test_nothing_to_drill_needs_no_press() -> None:
    done, _, _ = ways_for(three_and_three())
    assert press_ways(done, ()) == ()
