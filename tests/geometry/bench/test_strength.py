"""The worked example of two bores abreast, statics of strings that rise, and what is told when nothing can be."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from msgspec.structs import replace

from geometry.bench.strength import Station, Strength, strength
from geometry.bench.strength_words import (
    about,
    place_words,
    say_strength,
    sources,
    times,
    two_figures,
    verdict,
)
from geometry.bench.string_pull import crossings, strung
from geometry.build.build import Build, Head, Node, Nodes, OldHole, Polygon, Region, Retainer
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.own_wood import OwnWood
from tests.builds import READY_MADE, change, plain_head, post_at, three_and_three, tuner

THICK = 15.0
PULL = 110.0
ASIDE = 5.0  # by so much this head is narrower, on each side, than the one that `post_at` is made for

# Four strings 8 mm over the face run straight up a head 70 mm wide to posts at y = 180; two open holes of 10 mm stand
# abreast at y = 90.


def example(**fields: object) -> Build:
    half = 35.0
    corners = (Point(half, 0), Point(half, 200), Point(-half, 200), Point(-half, 0))
    rows = (
        post_at(ASIDE + 23.5, 180.0, "treble", key="a"),
        post_at(ASIDE + 20 / 3 + 3.5, 170.0, "treble", key="b"),
        post_at(-ASIDE - 23.5, 180.0, "bass", key="d"),
        post_at(-ASIDE - 20 / 3 - 3.5, 170.0, "bass", key="c"),
    )
    ready: dict[str, object] = {
        "outline": Nodes(nodes=tuple(Node(key=f"n{n}", at=at) for n, at in enumerate(corners))),
        "head": Head(thickness_nut=THICK, thickness_tip=THICK, angle_deg=14.0, wood="true mahogany"),
        "hardware": (tuner(hole_height=THICK + 8.0),),
        "slots": (20.0, 20 / 3, -20 / 3, -20.0),
        "old_holes": tuple(
            OldHole(key=f"o{n}", at=Point(x, 90.0), diameter=10.0) for n, x in enumerate((-20.0, 20.0))
        ),
    }
    build = plain_head(*rows, **{**ready, **fields})
    return replace(build, nut=replace(build.nut, slot_floor=7.5))


def pulls(build: Build, each: float = PULL) -> dict[str, float]:
    return {string.key: each for string in build.strings}


def strength_of(build: Build, each: float = PULL) -> Strength:
    return strength(build, lay_out(build), pulls(build, each))


def station_at(found: Strength, y: float) -> Station:
    return min(found.stations, key=lambda station: abs(station.y - y))


def test_the_worked_example() -> None:
    # b = 70, t = 15, two bores of 10 abreast, four strings at 110 N, 15.5 mm over the middle: M = 6820 N mm on
    # S = 1875 mm3.
    found = strength_of(example())
    station = station_at(found, 90.0)
    assert station.pull == pytest.approx(440, rel=1e-9)
    assert station.moment == pytest.approx(6820, rel=1e-9)
    assert station.bending == pytest.approx(3.64, abs=0.005)
    assert station.pressure == pytest.approx(0.59, abs=0.005)
    assert station.hole_factor == pytest.approx(2.39, abs=0.005)
    assert station.at_rim == pytest.approx(8.7, abs=0.05)
    # 79.3 MPa x 0.42 = 33 MPa: 9 times as a plain section, 3.8 times at the rim; 0.6 of that for years.
    assert found.nominal(station) * found.grain == pytest.approx(9.1, abs=0.1)
    assert found.ratio(station) / found.duration == pytest.approx(3.8, abs=0.1)
    assert found.duration == 0.6
    assert about(found.ratio(station)) == "about 2"
    assert station.holes == ("old hole H1", "old hole H2")


def test_a_scarf_joint_gives_the_grain_back() -> None:
    build = example()
    scarfed = replace(build, head=replace(build.head, joint="scarf"))
    one, other = strength_of(build), strength_of(scarfed)
    assert other.grain == pytest.approx(1.0)
    assert station_at(one, 90.0).at_rim == station_at(other, 90.0).at_rim
    weakest = other.weakest
    assert weakest is not None
    assert other.ratio(weakest) * one.grain == pytest.approx(one.ratio(weakest))


def test_the_figure_holds_all_four() -> None:
    found = strength_of(example())
    for station in found.stations:
        if station.bending:
            product = found.nominal(station) / station.hole_factor * found.grain * found.duration
            assert found.ratio(station) == pytest.approx(product)
    weakest = found.weakest
    assert weakest is not None
    assert found.ratio(weakest) == min(found.ratio(station) for station in found.stations)


def test_sections_run_from_the_neck_to_the_tip() -> None:
    found = strength_of(example())
    heights = [station.y for station in found.stations]
    assert heights == sorted(heights)
    assert heights[0] == -15.0
    assert 199.5 < heights[-1] < 200.0
    assert max(b - a for a, b in pairwise(heights)) <= 0.5 + 1e-9
    # Behind the nut the strings keep their height: 7.5 + 0.5 over the face, 15.5 over the middle.
    assert found.stations[0].moment == pytest.approx(4 * PULL * 15.5)
    assert found.stations[0].section.width == pytest.approx(70.0)
    # Nothing pulls beyond the last post.
    assert found.stations[-1].moment == 0
    assert found.nominal(found.stations[-1]) == math.inf


@pytest.mark.parametrize(("each", "more"), [(0.1, 4.0), (70.0, 2.0), (500.0, 0.1)])
def test_twice_the_pull_halves_the_figure(each: float, more: float) -> None:
    build = example()
    one, other = strength_of(build, each), strength_of(build, each * more)
    assert one.weakest is not None
    assert other.weakest is not None
    assert other.ratio(other.weakest) * more == pytest.approx(one.ratio(one.weakest))


def test_a_thicker_head_is_stronger_by_more_than_its_square_of_the_lever() -> None:
    # S grows by (16/15)^2, the arm from 15.5 to 16.
    thin, thick = strength_of(example(old_holes=())), strength_of(_thick(16.0))
    one, other = station_at(thin, 60.0), station_at(thick, 60.0)
    assert one.bending / other.bending == pytest.approx((16 / 15) ** 2 * 15.5 / 16.0, rel=1e-3)


def _thick(thickness: float) -> Build:
    build = example(old_holes=(), hardware=(tuner(hole_height=thickness + 8.0),))
    return replace(build, head=replace(build.head, thickness_nut=thickness, thickness_tip=thickness))


def test_a_volute_helps_where_it_is() -> None:
    build = example()
    with_volute = replace(build, head=replace(build.head, volute_height=3.0, volute_length=20.0))
    plain, helped = strength_of(build), strength_of(with_volute)
    # At the nut 18 thick: S by (18/15)^2, the arm from 15.5 to 17.
    ratio = station_at(plain, 0.0).bending / station_at(helped, 0.0).bending
    assert ratio == pytest.approx((18 / 15) ** 2 * 15.5 / 17.0)
    assert station_at(plain, 60.0).bending == pytest.approx(station_at(helped, 60.0).bending)


def test_a_pocket_counts_as_a_hole_only_on_the_side_that_is_pulled() -> None:
    corners = Polygon(points=(Point(-5, 40), Point(5, 40), Point(5, 60), Point(-5, 60)))
    factors = {}
    for side in ("face", "back", "through"):
        pocket = Region(key="p", name="pocket", shape=corners, side=side, depth=6.0)
        factors[side] = station_at(strength_of(example(keep_clear=(pocket,))), 50.0).hole_factor
    assert factors["face"] == 1.0
    assert factors["back"] == factors["through"] == pytest.approx(2.39, abs=0.005)


def test_strings_below_the_middle_pull_the_face_apart() -> None:
    # Strings 10 mm below the face, as over rollers in a slotted head: 2.5 mm below the middle.
    low = example(hardware=(tuner(hole_height=THICK - 10.0),), old_holes=())
    sunk = replace(low, nut=replace(low.nut, slot_floor=-10.5))
    found = strength_of(sunk)
    station = station_at(found, 60.0)
    assert station.moment == pytest.approx(-4 * PULL * 2.5)
    corners = Polygon(points=(Point(-5, 40), Point(5, 40), Point(5, 60), Point(-5, 60)))
    pocket = Region(key="p", name="pocket", shape=corners, side="face", depth=2.0)
    assert station_at(strength_of(replace(sunk, keep_clear=(pocket,))), 50.0).hole_factor > 2


def test_no_wood_left_is_no_strength() -> None:
    everything = OldHole(key="gone", at=Point(0.0, 100.0), diameter=80.0)
    found = strength_of(example(old_holes=(everything,)))
    assert found.weakest is not None
    assert found.weakest.bending == math.inf
    assert found.weakest.pressure == 0
    assert found.ratio(found.weakest) == 0


# Strings on their way


def test_a_string_that_rises_pulls_along_its_slope() -> None:
    # From 8 mm over the face at the nut to 28 mm at its post, 100 mm on and straight ahead.
    build = plain_head(
        post_at(3.5, 100.0, key="a"),
        slots=(0.0,),
        hardware=(tuner(hole_height=THICK + 28.0),),
        scale_length=650.0,
    )
    build = replace(
        build, nut=replace(build.nut, slot_floor=7.5), head=Head(thickness_nut=THICK, thickness_tip=THICK)
    )
    (string,) = strung(lay_out(build), {"s1": 100.0})
    (met,) = crossings(string, 50.0)
    assert met.height == pytest.approx(18.0, abs=0.01)
    assert met.along == pytest.approx(100 * math.cos(math.atan(0.2)), rel=1e-4)
    (behind,) = crossings(string, -10.0)
    assert (behind.along, behind.height) == (100.0, 8.0)
    # From its tangent to the axis of its post it still counts, beyond that no more.
    (last,) = crossings(string, 100.0)
    assert last.height == pytest.approx(28.0)
    assert crossings(string, 100.001) == []


def test_a_tree_bends_the_way_down() -> None:
    tree = Retainer(key="tree", at=Point(0.0, 40.0), height=3.0, strings=("s1",))
    build = plain_head(
        post_at(3.5, 100.0, key="a"),
        slots=(0.0,),
        hardware=(tuner(hole_height=THICK + 9.0),),
        retainers=(tree,),
    )
    build = replace(
        build, nut=replace(build.nut, slot_floor=7.5), head=Head(thickness_nut=THICK, thickness_tip=THICK)
    )
    (string,) = strung(lay_out(build), {"s1": 100.0})
    heights = [crossings(string, y)[0].height for y in (0.0, 20.0, 40.0, 70.0)]
    assert heights == pytest.approx([8.0, 5.5, 3.0, 6.0], abs=0.01)


def test_strings_without_a_pull_or_a_post_are_left_out() -> None:
    build = example()
    assert len(strung(lay_out(build), {"s1": 70.0})) == 1
    assert strung(lay_out(replace(build, rows=())), pulls(build)) == ()


# What is told


def test_the_pull_follows_from_the_pitches() -> None:
    build = three_and_three(head=change(Head(), wood="sugar maple"))
    found = strength(build, lay_out(build))
    assert found.unknown == ()
    assert found.told
    untold = replace(build, strings=tuple(replace(string, name="x") for string in build.strings))
    assert len(strength(untold, lay_out(untold)).unknown) == 6


@pytest.mark.parametrize("make", READY_MADE)
def test_every_ready_made_head_has_a_finite_figure(make: object) -> None:
    build = make()  # type: ignore[operator]
    build = replace(build, head=replace(build.head, wood="sugar maple"))
    layout = lay_out(build)
    found = strength(build, layout, pulls(build, 70.0))
    assert found.weakest is not None
    assert 0.1 < found.ratio(found.weakest) < 100
    words = " ".join(say_strength(found, build, layout))
    assert "govern" in words
    assert "All four" in words


def test_no_wood_no_figure() -> None:
    for wood, told in (("", "not named"), ("cardboard", '"cardboard"'), ("African ebony", '"African ebony"')):
        build = example()
        build = replace(build, head=replace(build.head, wood=wood))
        layout = lay_out(build)
        found = strength(build, layout, pulls(build))
        assert found.wood is None
        assert not found.told
        words = say_strength(found, build, layout)
        assert told in words[0]
        assert "8.7 MPa" in words[1]
        assert sources(found)[0][1] == "unknown"


def test_a_guessed_strength_is_told_to_be_one() -> None:
    build = example()
    build = replace(build, head=replace(build.head, wood="plum"))
    layout = lay_out(build)
    own = (OwnWood(name="plum", specific_gravity=0.7, janka=7000.0).wood,)
    found = strength(build, layout, pulls(build), own)
    assert not found.told
    assert (
        "(your own wood; strength guessed from its specific gravity" in say_strength(found, build, layout)[0]
    )
    assert sources(found)[0] == ("Modulus of rupture", "unknown", own[0].source)


def test_unknown_pulls_are_named() -> None:
    build = example()
    layout = lay_out(build)
    for known, told in ((("s1", "s2", "s3"), "string 4 is"), (("s1",), "strings 2, 3 and 4")):
        found = strength(build, layout, dict.fromkeys(known, PULL))
        assert not found.told
        assert told.split(" is")[0] in say_strength(found, build, layout)[0]


def test_nothing_pulls_and_no_edge() -> None:
    build = example(rows=())
    words = say_strength(strength_of(build), build, lay_out(build))
    assert words == ("No string pulls on this head yet, so there is nothing to reckon.",)
    empty = replace(example(), outline=Nodes(nodes=()))
    assert strength_of(empty).stations == ()


def test_a_plain_head_says_that_no_hole_is_in_it() -> None:
    build = example(old_holes=())
    layout = lay_out(build)
    found = strength(build, layout, pulls(build))
    weakest = found.weakest
    assert weakest is not None
    bare = replace(build, head=replace(build.head, thickness_nut=5.0, thickness_tip=60.0))
    words = say_strength(strength(bare, lay_out(bare), pulls(bare)), bare, lay_out(bare))
    assert "no hole weakens" in words[1]
    assert "in the neck" in words[0] or "at the nut line" in words[0]


@pytest.mark.parametrize(
    ("ratio", "words"),
    [
        (0.03, "less than 0.1"),
        (0.99, "about 0.9"),
        (1.0, "about 1"),
        (2.3, "about 2"),
        (2.99, "about 2.5"),
        (7.9, "about 7"),
        (20.0, "about 20"),
        (25.0, "more than 20"),
    ],
)
def test_a_ratio_is_rounded_down_and_never_to_three_figures(ratio: float, words: str) -> None:
    assert about(ratio) == words


def test_words_of_ratios() -> None:
    assert times(0.8) == "about 0.8 of what the strings pull"
    assert times(1.2) == "about as much as the strings pull"
    assert times(3.2) == "about 3 times what the strings pull"
    assert "fails" in verdict(0.9)
    assert "little" in verdict(1.9)
    assert "no promise" in verdict(2.0)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.0, "0"),
        (8.704, "8.7"),
        (0.1234, "0.12"),
        (687.0, "690"),
        (33.2, "33"),
        (9.97, "10"),
        (math.inf, "no limit"),
    ],
)
def test_two_figures(value: float, words: str) -> None:
    assert two_figures(value) == words


def test_places_in_words() -> None:
    found = strength_of(example())
    assert place_words(station_at(found, 0.0), "mm") == "at the nut line"
    assert place_words(station_at(found, -10.0), "mm") == "10.0 mm before the nut, in the neck"
    assert (
        place_words(station_at(found, 90.0), "mm") == "90.0 mm past the nut, at old hole H1 and old hole H2"
    )
