"""All holes from the caliper readings of all: known places come back, slips are found, what is not told is said."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.edits import set_drilled
from geometry.layout.layout import lay_out
from geometry.search.answers.all_read import ReadHole, all_read
from geometry.search.answers.drilled import as_read
from geometry.search.answers.drilled_words import say_hit, say_read
from geometry.search.answers.readings import Reading
from geometry.shape.point import Point, Vector
from geometry.trade.sentence import SentenceError
from tests.builds import three_and_three

BUILD = three_and_three()
LAYOUT = lay_out(BUILD)
ONE, TWO, THREE = LAYOUT.posts[:3]
WIDE = ONE.bore


def nut(at: Point, diameter: float = WIDE) -> Reading:
    """From the nearest rim square to the nut line, y = 0."""
    return Reading("nut", at.y - diameter / 2)


def centre(at: Point, diameter: float = WIDE) -> Reading:
    """From the nearest rim square to the centre line, x = 0."""
    return Reading("centre", abs(at.x) - diameter / 2)


def between(one: Point, two: Point, post: str, diameter: float = WIDE) -> Reading:
    return Reading("between", math.dist((one.x, one.y), (two.x, two.y)) - diameter, post)


def across(one: Point, two: Point, post: str, diameter: float = WIDE) -> Reading:
    return Reading("across", math.dist((one.x, one.y), (two.x, two.y)) + diameter, post)


miss = st.floats(-2.0, 2.0)


@settings(max_examples=8, deadline=None)
@given(miss, miss, miss, miss)
def test_places_come_back_from_lines_and_from_hole_to_hole(a: float, b: float, c: float, d: float) -> None:
    one, two = ONE.at + Vector(a, b), TWO.at + Vector(c, d)
    read = all_read(
        LAYOUT,
        [
            ReadHole(ONE.key, (nut(one), centre(one), between(one, two, TWO.key))),
            ReadHole(TWO.key, (across(two, one, ONE.key), centre(two))),
        ],
    )
    for placed, at in zip(read.holes, (one, two), strict=True):
        assert placed.at.distance(at) < 0.05
        assert placed.untold is None
        assert placed.diameter == pytest.approx(WIDE, abs=0.02)
    assert not read.off


def test_half_the_difference_of_both_jaws_is_the_diameter() -> None:
    wide = WIDE + 0.25
    read = all_read(
        LAYOUT,
        [
            ReadHole(ONE.key, (nut(ONE.at, wide), centre(ONE.at, wide)), diameter=wide),
            ReadHole(
                TWO.key,
                (
                    nut(TWO.at, wide),
                    centre(TWO.at, wide),
                    between(TWO.at, ONE.at, ONE.key, wide),
                    across(TWO.at, ONE.at, ONE.key, wide),
                ),
            ),
        ],
    )
    second = read.holes[1]
    # Their difference, good for 0.05 mm times the root of 2, and the drill, good for 0.1 mm, by their inverse squares.
    share = 0.1**2 / (0.1**2 + 2 * 0.05**2)
    assert second.diameter == pytest.approx(WIDE + 0.25 * share, abs=0.01)
    assert second.diameter_spread < 0.1


def test_the_certainty_is_that_of_the_readings() -> None:
    """To the nut and to the centre line, each good for its own spread and half that of the diameter, 0.1 mm."""
    (hole,) = all_read(LAYOUT, [ReadHole(ONE.key, (nut(ONE.at), centre(ONE.at)))]).holes
    # Both lie off by half the same diameter, so that the worst direction is askew: 0.05^2 + 2 (0.1 / 2)^2.
    assert hole.spread == pytest.approx(math.sqrt(0.05**2 + 2 * 0.05**2), rel=0.02)
    assert not hole.proved
    narrow = all_read(LAYOUT, [ReadHole(ONE.key, (nut(ONE.at), centre(ONE.at)), diameter=WIDE)]).holes[0]
    assert narrow.spread == pytest.approx(math.sqrt(0.05**2 + 2 * 0.025**2), rel=0.02)


def test_the_two_sides_tell_a_place_across() -> None:
    assert LAYOUT.edge is not None
    at = ONE.at + Vector(0.9, 0.0)
    right = float(LAYOUT.edge.distance(_array(at))[0][0]) - WIDE / 2
    (hole,) = all_read(LAYOUT, [ReadHole(ONE.key, (nut(at), Reading("right", right)))]).holes
    assert hole.at.distance(at) < 0.03
    # The other side is as far as the width of the head there leaves.
    left = _left(at) - WIDE / 2
    (both,) = all_read(
        LAYOUT, [ReadHole(ONE.key, (nut(at), Reading("right", right), Reading("left", left)))]
    ).holes
    assert both.at.distance(at) < 0.03
    assert both.proved
    assert both.spread < hole.spread


def _array(at: Point):  # type: ignore[no-untyped-def]
    import numpy as np

    return np.array([(at.x, at.y)])


def _left(at: Point) -> float:
    """The shortest way to the left half of a head that mirrors itself: that of the mirrored place to the right one."""
    import numpy as np
    import shapely

    assert LAYOUT.edge is not None
    places = shapely.get_coordinates(LAYOUT.edge.line)
    left = places[int(np.argmax(places[:, 1])) :]
    return float(shapely.LineString(left).distance(shapely.Point(at.x, at.y)))


def test_a_slip_is_found_where_other_readings_contradict_it() -> None:
    slip = Reading("nut", nut(ONE.at).length + 1.0)
    read = all_read(
        LAYOUT,
        [
            ReadHole(ONE.key, (slip, centre(ONE.at), between(ONE.at, TWO.at, TWO.key))),
            ReadHole(TWO.key, (nut(TWO.at), centre(TWO.at), between(TWO.at, THREE.at, THREE.key))),
            ReadHole(THREE.key, (nut(THREE.at), centre(THREE.at), between(THREE.at, ONE.at, ONE.key))),
        ],
    )
    assert read.off[0].post == ONE.key
    assert read.off[0].reading == slip
    assert read.off[0].by == pytest.approx(1.0, abs=0.05)
    assert read.off[0].sure
    assert read.holes[0].at.distance(ONE.at) < 0.05
    words = list(say_read(LAYOUT, read))
    assert words[0].startswith(f"The reading of hole {ONE.label} to the nut line is ")
    assert words[0].endswith("mm more than the others say, and left out: read it again.")


def test_two_readings_of_one_thing_that_differ_leave_open_which_is_the_slip() -> None:
    twice = (nut(ONE.at), Reading("nut", nut(ONE.at).length + 0.8), centre(ONE.at))
    (off,) = all_read(LAYOUT, [ReadHole(ONE.key, twice)]).off
    assert (off.post, off.sure) == (ONE.key, False)
    assert abs(off.by) == pytest.approx(0.8, abs=0.02)


def test_what_the_readings_do_not_tell_is_refused_and_what_none_proves_is_said() -> None:
    read = all_read(LAYOUT, [ReadHole(ONE.key, (nut(ONE.at),))])
    assert read.holes[0].untold is not None
    with pytest.raises(SentenceError, match=f"do not tell where hole {ONE.label} is across it"):
        as_read(BUILD, LAYOUT, read.holes)
    far = replace(read.holes[0], untold=None, at=ONE.at + Vector(9.0, 0.0))
    with pytest.raises(SentenceError, match=r"9\.0 mm from its mark; expected 6\.0 mm at most"):
        as_read(BUILD, LAYOUT, [far])
    two = all_read(LAYOUT, [ReadHole(ONE.key, (nut(ONE.at), centre(ONE.at)))])
    assert list(say_read(LAYOUT, two)) == [
        f"Nothing proves the readings of hole {ONE.label}: one more of each would show a slip."
    ]


def test_misses_go_into_the_build_as_those_of_a_picture_do() -> None:
    at = ONE.at + Vector(0.6, -0.4)
    read = all_read(
        LAYOUT,
        [
            ReadHole(ONE.key, (nut(at), centre(at)), diameter=WIDE),
            ReadHole(TWO.key, (nut(TWO.at), centre(TWO.at)), diameter=WIDE),
            ReadHole(THREE.key, (nut(THREE.at, 3.0), centre(THREE.at, 3.0)), diameter=3.0),
        ],
    )
    head = as_read(BUILD, LAYOUT, read.holes)
    one, two, three = head.hits
    assert (one.by.x, one.by.y) == pytest.approx((0.6, -0.4), abs=0.02)
    assert (one.told, two.told, three.kind) == (True, False, "pilot")
    there = lay_out(head.build)
    assert there.post(ONE.key).at.distance(at) < 0.02
    assert there.post(TWO.key).at.distance(TWO.at) < 1e-6
    assert [post.post.drilled for post in there.posts[:3]] == [True, True, False]
    assert say_hit(one).startswith(
        f"Hole {ONE.label}: 0.6 mm right, 0.4 mm towards the nut, give or take 0.1"
    )


def test_a_hole_drilled_before_is_where_the_build_has_it() -> None:
    layout = lay_out(set_drilled(BUILD, TWO.key, drilled=True))
    at = ONE.at + Vector(0.0, 0.7)
    read = all_read(layout, [ReadHole(ONE.key, (between(at, TWO.at, TWO.key), centre(at)))])
    assert [hole.post for hole in read.holes] == [ONE.key]
    assert read.holes[0].at.distance(at) < 0.05
