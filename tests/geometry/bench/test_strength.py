"""Worked examples by hand, statics of strings that rise, knocks, and what is told when nothing can be."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.bench.strength import Station, Strength, crossings, strength, strung
from geometry.bench.strength_words import (
    GOVERNS,
    REFERENCE_NAME,
    index,
    is_beyond,
    knock_words,
    percent,
    place_words,
    reference_use,
    say_strength,
    sources,
    verdict,
)
from geometry.document.build import Build, Head, OldHole, Polygon, Region, Retainer
from geometry.document.codec import read_build
from geometry.document.outline import Node, Nodes
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.quantities import ESTIMATE, figures, show_force, show_stress
from geometry.trade.shop import OwnWood
from tests.amount import sampled
from tests.builds import READY_MADE, change, plain_head, post_at, three_and_three, tuner

SAMPLES = Path(__file__).parents[3] / "sample_builds"

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
    assert station.holes == ("old hole H1", "old hole H2")
    # 79.3 MPa x (1 - 1.645 x 0.16) x 0.6 / 1.3 = 27.0 MPa along the grain; at 14 degrees 0.42, 0.56, 0.65 of that.
    allowed = [found.allowed(station, across) for across in (0.04, 0.07, 0.10)]
    assert allowed == pytest.approx([11.3, 15.2, 17.6], abs=0.1)
    assert found.use(station) == pytest.approx(3.64 / 15.2, abs=0.003)


def sample(name: str) -> Build:
    return read_build((SAMPLES / f"{name}.pegwright").read_bytes())


@pytest.mark.parametrize(
    ("name", "total", "degrees", "across", "percent"),
    [
        ("three-plus-three", 701.0, 13.0, 0.04, 74),
        ("three-plus-three", 701.0, 13.0, 0.07, 56),
        ("three-plus-three", 701.0, 17.0, 0.07, 72),
        ("twelve-string", 1116.0, 13.0, 0.07, 76),
        ("six-in-line", 475.0, 0.0, 0.07, 14),
    ],
)
def test_heads_that_were_worked_by_hand(
    name: str, total: float, degrees: float, across: float, percent: float
) -> None:
    # Net section at the nut under so many newtons, worked by hand and by someone else, to the whole percent.
    build = sample(name)
    build = replace(build, head=replace(build.head, angle_deg=degrees))
    found = strength(build, lay_out(build), pulls(build, total / len(build.strings)))
    assert 100 * found.most_used(across) == pytest.approx(percent, abs=1)


def test_the_section_at_a_rod_pocket_by_hand() -> None:
    # 44.5 x 13.5 less 10 x 9 from the face: A = 510.75, its middle 7.146 below the face, I = 7980, S = 7980 / 7.146.
    build = sample("three-plus-three")
    found = strength(build, lay_out(build), pulls(build, 701 / 6))
    weakest = found.weakest
    assert weakest is not None
    assert (weakest.y, weakest.holes) == (0.0, ("the rod pocket",))
    assert weakest.section.area == pytest.approx(510.75)
    assert weakest.section.middle == pytest.approx(7.146, abs=0.001)
    assert weakest.section.modulus == pytest.approx(1116.8, abs=0.5)
    # A weak board bears 79.3 x 0.737 x 0.45 to 0.60 on that; the strings take 10 200 N mm of it; 178 mm to the tip.
    assert weakest.moment == pytest.approx(701 * (7.0 + 0.38 + 7.146), rel=0.01)
    assert found.tip == pytest.approx(178.0)
    assert found.knock(0.04).force == pytest.approx(110, abs=3)
    assert found.knock(0.07).force == pytest.approx(160, abs=3)


def with_pocket(build: Build, depth: float, low: float = 0.0) -> Build:
    corners = (Point(-5, low), Point(5, low), Point(5, 22), Point(-5, 22))
    pocket = Region(key="rod", name="rod pocket", shape=Polygon(points=corners), side="face", depth=depth)
    return replace(build, keep_clear=(pocket,))


def used(build: Build) -> float:
    return strength(build, lay_out(build)).most_used()


def test_a_deeper_rod_pocket_uses_more() -> None:
    build = sample("three-plus-three")
    shallow = [used(with_pocket(build, depth)) for depth in (0.0, 2.0, 4.0, 6.0)]
    deep = [used(with_pocket(build, depth)) for depth in (11.0, 12.0, 13.0, 13.5)]
    for uses in (shallow, deep):
        assert uses == sorted(uses)
        assert len(set(uses)) == 4
    assert deep[-1] > 1.25 * shallow[0]
    # Half-way through the wood there is hardly any stress, so what is taken out there is hardly missed.
    assert used(with_pocket(build, 9.0)) == pytest.approx(shallow[-1], abs=0.005)
    # Right through, 34.5 of 44.5 mm are left.
    assert deep[-1] / shallow[0] == pytest.approx(44.5 / 34.5)


def test_a_higher_volute_uses_less() -> None:
    build = sample("three-plus-three")
    uses = [
        used(replace(build, head=replace(build.head, volute_height=high, volute_length=50.0)))
        for high in (0.0, 1.0, 2.0, 3.0)
    ]
    assert uses == sorted(uses, reverse=True)
    assert uses[-1] < 0.9 * uses[0]


def test_a_pocket_that_runs_on_into_the_neck_takes_its_wood_too() -> None:
    # 70 x 16 less 10 x 9 from the face: A = 1030, its middle (1120 x 8 - 90 x 4.5) / 1030 = 8.306 below the face.
    found = strength_of(with_pocket(example(), 9.0, low=-20.0))
    station = station_at(found, -10.0)
    assert station.holes == ("the rod pocket",)
    inertia = 70 * 16**3 / 12 + 1120 * 0.306**2 - 10 * 9**3 / 12 - 90 * 3.806**2
    assert station.section.modulus == pytest.approx(inertia / 8.306, rel=1e-3)
    assert station.moment == pytest.approx(4 * PULL * (8.0 + 8.306), rel=1e-3)


def test_grain_is_lost_in_the_head_of_one_piece_and_not_in_its_neck() -> None:
    found = strength_of(example())
    assert {station.grain() for station in found.stations if station.y < 0} == {1.0}
    # 0.07 / (sin^2 14 + 0.07 cos^2 14) = 0.56.
    assert {round(station.grain(), 2) for station in found.stations if station.y >= 0} == {0.56}


def test_a_scarf_joint_gives_the_grain_back() -> None:
    build = example()
    one, other = strength_of(build), strength_of(replace(build, head=replace(build.head, joint="scarf")))
    assert {station.grain() for station in other.stations} == {1.0}
    here, there = station_at(one, 90.0), station_at(other, 90.0)
    assert here.bending == there.bending
    assert other.use(there) == pytest.approx(one.use(here) * here.grain())
    assert other.band == (other.most_used(), other.most_used())


def test_a_shallow_neck_is_the_weakest_place() -> None:
    build = example(old_holes=())
    head = replace(build.head, joint="scarf", neck_depth=12.0)
    found = strength_of(replace(build, head=head))
    weakest = found.weakest
    assert weakest is not None
    # 440 N on 8 + 6 mm over 70 x 12^2 / 6 = 1680 mm3.
    assert weakest.y < 0
    assert weakest.bending == pytest.approx(440 * 14.0 / 1680)
    assert "make the neck deeper" in verdict(_many_times_the_pull(found), head)
    assert "scarf" not in verdict(_many_times_the_pull(found), head)


def _many_times_the_pull(found: Strength) -> Strength:
    return replace(found, stations=tuple(replace(each, moment=40 * each.moment) for each in found.stations))


def test_sections_run_from_the_neck_to_the_tip() -> None:
    found = strength_of(example())
    heights = [station.y for station in found.stations]
    assert heights == sorted(heights)
    assert heights[0] == -15.0
    assert 199.5 < heights[-1] < 200.0
    assert max(b - a for a, b in pairwise(heights)) <= 0.5 + 1e-9
    # Behind the nut the strings keep their height: 7.5 + 0.5 over the face.
    assert found.stations[0].moment == pytest.approx(4 * PULL * 16.0)
    assert found.stations[0].section.width == pytest.approx(70.0)
    # The neck is 16 deep: 8 over the face and 8 below it.
    assert found.stations[0].section.thickness == 16.0
    # Nothing pulls beyond the last post.
    assert found.stations[-1].moment == 0
    assert found.use(found.stations[-1]) == 0


@pytest.mark.parametrize(("each", "more"), [(0.1, 4.0), (70.0, 2.0), (500.0, 0.1)])
def test_twice_the_pull_uses_twice_as_much(each: float, more: float) -> None:
    build = example()
    one, other = strength_of(build, each), strength_of(build, each * more)
    assert other.most_used() == pytest.approx(one.most_used() * more)
    assert index(other) * more == pytest.approx(index(one))


@given(st.floats(5, 150), st.sampled_from([0.04, 0.07, 0.10]), st.sampled_from(["one piece", "scarf"]))
@settings(max_examples=sampled(4, of=8), deadline=None)
def test_a_knock_takes_the_worst_section_to_what_a_weak_board_bears(
    each: float, across: float, joint: str
) -> None:
    build = example()
    found = strength_of(replace(build, head=replace(build.head, joint=joint)), each)
    knock = found.knock(across)
    worn = [
        (abs(station.moment) + knock.force * (200.0 - station.y))
        / (station.section.modulus * 79.3 * (1 - 1.645 * 0.16) * station.grain(across))
        for station in found.stations
    ]
    assert max(worn) == pytest.approx(1.0)
    at = found.stations.index(knock.station)
    assert worn[at] == pytest.approx(1.0)


def test_strings_alone_leave_nothing_for_a_knock() -> None:
    found = strength_of(example(), 5000.0)
    assert found.knock().force == 0
    assert knock_words(found, "mm") == "Nothing is left for a knock at the tip."


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


@pytest.mark.parametrize("side", ["face", "back"])
def test_a_pocket_is_missing_wood_on_either_side(side: str) -> None:
    corners = Polygon(points=(Point(-5, 40), Point(5, 40), Point(5, 60), Point(-5, 60)))
    pocket = Region(key="p", name="pocket", shape=corners, side=side, depth=6.0)  # type: ignore[arg-type]
    plain = station_at(strength_of(example()), 50.0)
    there = station_at(strength_of(example(keep_clear=(pocket,))), 50.0)
    assert there.section.modulus < plain.section.modulus
    # From the back it raises the middle, and with it the arm of the strings falls.
    assert (there.moment < plain.moment) is (side == "back")


def test_strings_below_the_middle_pull_the_face_apart() -> None:
    # Strings 10 mm below the face, as over rollers in a slotted head: 2.5 mm below the middle.
    low = example(hardware=(tuner(hole_height=THICK - 10.0),), old_holes=())
    sunk = replace(low, nut=replace(low.nut, slot_floor=-10.5))
    found = strength_of(sunk)
    station = station_at(found, 60.0)
    assert station.moment == pytest.approx(-4 * PULL * 2.5)
    assert station.bending == pytest.approx(4 * PULL * 2.5 / (70 * THICK**2 / 6))


def test_no_wood_left_is_no_strength() -> None:
    everything = OldHole(key="gone", at=Point(0.0, 100.0), diameter=80.0)
    build = example(old_holes=(everything,))
    found = strength_of(build)
    weakest = found.weakest
    assert weakest is not None
    assert weakest.bending == math.inf
    assert weakest.pressure == 0
    assert not found.told
    words = say_strength(found, build, lay_out(build))
    assert words[0].startswith("The strings pull where no wood is left: at old hole H1, ")


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
def test_ordinary_heads_stay_below_100_percent(make: object) -> None:
    # Every ready-made head is of an ordinary size; so are 70 N a string, and a hard maple.
    build = make()  # type: ignore[operator]
    build = replace(build, head=replace(build.head, wood="sugar maple"))
    layout = lay_out(build)
    found = strength(build, layout, pulls(build, 70.0))
    assert 0.02 < found.most_used() < 1
    words = say_strength(found, build, layout)
    assert "of what a timber code would allow, weakest " in words[0]
    assert "Ordinary heads stay below 100 %." in words
    assert words[-1] == GOVERNS
    assert not any("fail" in each for each in words)


def test_a_head_beyond_what_is_usual_is_told_what_helps() -> None:
    build = sample("three-plus-three")
    build = replace(build, head=replace(build.head, wood="western redcedar", thickness_nut=11.0))
    layout = lay_out(build)
    words = say_strength(strength(build, layout), build, layout)
    assert "That is beyond what is usual: scarf it, thicken it or add a volute." in words
    assert not any("fail" in each for each in words)


def test_a_head_that_is_beyond_it_only_in_some_woods_says_so() -> None:
    build = sample("twelve-string")
    build = replace(build, head=replace(build.head, angle_deg=15.0))
    layout = lay_out(build)
    found = strength(build, layout)
    assert not is_beyond(found.most_used())
    assert is_beyond(found.band[1])
    assert any("weak across its grain" in each for each in say_strength(found, build, layout))


def test_the_index_holds_against_the_sample_itself() -> None:
    found = strength(build := sample("three-plus-three"), lay_out(build))
    assert index(found) == pytest.approx(100, rel=1e-6)
    assert reference_use() == pytest.approx(found.most_used(), rel=1e-6)
    words = say_strength(found, build, lay_out(build))
    assert f"Index 100: the {REFERENCE_NAME} stands at 100, a stronger head higher." in words


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
        # 440 N on 15.5 mm over 1875 mm3 at the bores, and on 16 mm over 70 x 16^2 / 6 in the neck.
        assert "with 3.6 MPa" in words[1]
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
    assert words == ("No string pulls on this head yet, so there is nothing to work out.",)
    empty = replace(example(), outline=Nodes(nodes=()))
    assert strength_of(empty).stations == ()


@pytest.mark.parametrize(
    ("share", "words", "beyond"),
    [
        (0.003, "0 %", False),
        (0.564, "56 %", False),
        (0.999, "100 %", False),
        (1.02, "100 %", False),
        (1.13, "110 %", True),
        (12.34, "1200 %", True),
    ],
)
def test_percents_are_judged_as_they_are_told(share: float, words: str, beyond: bool) -> None:
    assert percent(share) == words
    assert is_beyond(share) is beyond


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0.0, "0"),
        (8.704, "8.7"),
        (0.1234, "0.12"),
        (687.0, "690"),
        (33.2, "33"),
        (9.97, "10"),
        (math.inf, "–"),
    ],
)
def test_two_figures(value: float, words: str) -> None:
    assert figures(value, ESTIMATE) == words


def test_places_in_words() -> None:
    found = strength_of(with_pocket(example(), 9.0))
    assert place_words(station_at(found, 0.0), "mm") == "at the rod pocket, on the nut line"
    assert place_words(station_at(found, -10.0), "mm") == "in the neck 10.0 mm before the nut"
    assert place_words(station_at(found, 60.0), "mm") == "60.0 mm past the nut"
    assert (
        place_words(station_at(found, 90.0), "mm") == "at old hole H1 and old hole H2, 90.0 mm past the nut"
    )
    behind = next(station for station in reversed(found.stations) if station.y < 0)
    assert place_words(behind, "mm") == "in the neck at the nut"


def test_forces_and_stresses_in_the_units_of_the_shop() -> None:
    # 1 lbf is 4.448 N, 1000 psi are 6.895 MPa.
    assert (show_force(160.0, "mm", ESTIMATE), show_force(160.0, "inch", ESTIMATE)) == ("160 N", "36 lbf")
    assert (show_stress(9.13, "mm", ESTIMATE), show_stress(6.895, "inch", ESTIMATE)) == (
        "9.1 MPa",
        "1,000 psi",
    )
