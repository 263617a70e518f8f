"""The schedule: which steps, in which order, how deep, from where, with what."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from geometry.bench.drilling import schedule
from geometry.bench.operations import Operation
from geometry.bench.small_holes import pilot_fit, pin_fit
from geometry.document.build import Build, Head, OldHole, Region, RoundRegion
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Bushing, Counterbore, Pin, Screw
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.shop import BitKind, Shop
from geometry.trade.wood import WOODS, Wood, pilot_diameter
from tests.builds import READY_MADE, change, laden_head, plain_head, post_at, row, tuner

SAMPLES = sorted((Path(__file__).parents[3] / "sample_builds").glob("*.pegwright"))
STEPPED = Bore(through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0))
RIBBED = Bushing(kind="press-in", root=8.5, crest=8.8)


def steps(build: Build, **shop: object) -> tuple[Operation, ...]:
    return schedule(build, lay_out(build), Shop(**shop))  # type: ignore[arg-type]


def named(found: tuple[Operation, ...]) -> list[str]:
    return [step.name for step in found]


def step(found: tuple[Operation, ...], name: str) -> Operation:
    return next(each for each in found if each.name == name)


def head_with(**hardware: object) -> Build:
    """Two tuners on a maple head 15 mm thick."""
    build = plain_head(row(count=2), hardware=(tuner(**hardware),))
    return change(build, head=change(build.head, wood="sugar maple"))


# The ways


def test_twist_bit_a_pilot_right_through_then_the_bore_on_backing() -> None:
    found = steps(head_with(bushing=RIBBED, bore=Bore(through=8.7)), bit="twist")
    assert named(found) == ["Mark", "Pilot right through", "Bore right through", "Fit dry"]
    pilot, bore = (each.hole for each in found[1:3])
    assert pilot is not None
    assert bore is not None
    assert (pilot.fit.diameter, pilot.depth, pilot.side, pilot.backing) == (2.0, None, "face", True)
    # 15 mm, 1 mm into the backing, the point of 118 degrees 0.3 of the diameter.
    assert pilot.stop == pytest.approx(15 + 1 + 0.6)
    assert (bore.bit, bore.depth, bore.side, bore.backing) == ("twist bit", None, "face", True)
    assert bore.stop == pytest.approx(15 + 1 + 0.3 * 8.7)


@pytest.mark.parametrize(
    ("bit", "words"),
    [("twist", "twist bit"), ("brad point", "brad point bit"), ("Forstner", "Forstner bit")],
)
def test_the_wide_bore_first_then_right_through_on_backing(bit: BitKind, words: str) -> None:
    found = steps(head_with(bushing=RIBBED, bore=STEPPED), bit=bit)
    led = ["Pilot right through"] if bit == "twist" else []
    assert named(found) == ["Mark", *led, "Counterbore", "Bore right through", "Fit dry"]
    wide, through = (step(found, name).hole for name in ("Counterbore", "Bore right through"))
    assert wide is not None
    assert through is not None
    point = 0.3 if bit == "twist" else 0.0
    assert (wide.bit, wide.fit.diameter, wide.depth, wide.backing) == (words, 8.8, 9.0, False)
    assert wide.stop == pytest.approx(9 + point * 8.8)
    assert (through.bit, through.fit.diameter, through.backing) == (words, 6.5, True)
    assert through.stop == pytest.approx(16 + point * 6.5)
    assert "centre mark of the counterbore" in " ".join(step(found, "Bore right through").notes)
    plain = steps(head_with(bushing=RIBBED, bore=Bore(through=8.8)), bit=bit)
    assert named(plain) == ["Mark", *led, "Bore right through", "Fit dry"]
    assert "centre mark" not in " ".join(step(plain, "Bore right through").notes)


def test_no_bit_ever_meets_a_hole_half_drilled_from_the_other_side() -> None:
    for bit in ("twist", "brad point", "Forstner", "piloted counterbore"):
        for bore in (Bore(through=8.8), STEPPED):
            drilled = [each.hole for each in steps(head_with(bore=bore), bit=bit) if each.hole]
            assert {hole.side for hole in drilled} == {"face"}


def test_a_piloted_counterbore_runs_in_the_post_hole() -> None:
    found = steps(head_with(bushing=RIBBED, bore=STEPPED), bit="piloted counterbore")
    assert named(found) == ["Mark", "Post hole", "Counterbore", "Fit dry"]
    assert found[2].hole is not None
    assert found[2].hole.bit == "piloted counterbore"
    plain = steps(head_with(bore=Bore(through=10.0)), bit="piloted counterbore")
    assert named(plain) == ["Mark", "Post hole", "Bore right through", "Fit dry"]
    post = plain[1].hole
    assert post is not None
    assert (post.fit.diameter, post.bit) == (6.0, "brad point bit")


def bits(build: Build, **shop: object) -> list[str]:
    """The bits of the bores, the 2 mm pilot left out."""
    return [each.hole.bit for each in steps(build, **shop) if each.hole and each.hole.fit.diameter > 2]


def test_a_brad_point_bit_is_the_usual_one() -> None:
    assert bits(head_with(bore=Bore(through=10.0))) == ["brad point bit"]


@pytest.mark.parametrize(
    ("diameter", "bit", "words"),
    [
        (13.0, "twist", "twist bit"),
        (13.1, "twist", "Forstner bit"),
        (13.0, "brad point", "brad point bit"),
        (17.5, "brad point", "Forstner bit"),
        (17.5, "piloted counterbore", "piloted counterbore"),
    ],
)
def test_bits_by_width(diameter: float, bit: BitKind, words: str) -> None:
    wide = head_with(bore=Bore(through=diameter), post_diameter=12.0, washer=None)
    assert bits(wide, bit=bit)[-1] == words
    why = " ".join(step(steps(wide, bit=bit), "Bore right through").notes)
    assert ("Over 13 mm" in why) == (words == "Forstner bit")
    inches = " ".join(step(steps(wide, bit=bit, units="inch"), "Bore right through").notes)
    assert ("Over half an inch" in inches) == (words == "Forstner bit")


def test_only_the_wide_part_asks_for_another_bit() -> None:
    stepped = Bore(through=6.5, counterbore=Counterbore(diameter=14.0, depth=5.0))
    assert bits(head_with(bore=stepped), bit="brad point") == ["Forstner bit", "brad point bit"]


@pytest.mark.parametrize(("depth", "side"), [(0.0, "through"), (4.0, "back"), (0.0, "face")])
def test_a_twist_bit_enters_no_hollow(depth: float, side: str) -> None:
    # Posts at y = 60 and 100, 20 from the edge; bores of 10: the pocket reaches the first one only.
    pocket = Region(
        key="rod",
        name="rod pocket",
        shape=RoundRegion(centre=Point(10.0, 60.0), radius=6.0),
        side=side,  # type: ignore[arg-type]
        depth=depth,
    )
    build = change(head_with(bore=Bore(through=10.0)), keep_clear=(pocket,))
    found = [each for each in steps(build, bit="twist") if each.name == "Bore right through"]
    told = [(each.hole.bit, len(each.spots)) for each in found if each.hole]
    if side == "face":  # a mark on the surface takes no wood away
        assert told == [("twist bit", 2)]
    else:
        assert sorted(told) == [("brad point bit", 1), ("twist bit", 1)]
        (brad,) = (each for each in found if each.hole and each.hole.bit == "brad point bit")
        assert "It enters rod pocket, where a twist bit grabs" in " ".join(brad.notes)


def test_a_tapered_head_is_drilled_through_where_it_is_thickest() -> None:
    build = plain_head(row(count=2), head=Head(thickness_nut=20.0, thickness_tip=10.0))
    # Posts at y = 60 and 100 of 200: 17 and 15 mm thick.
    bore = step(steps(build), "Bore right through").hole
    assert bore is not None
    assert bore.stop == pytest.approx(17 + 1)


# Notes


def told_of(build: Build, **shop: object) -> str:
    return " ".join(step(steps(build, **shop), "Bore right through").notes)


def test_a_bore_outside_its_fit_is_drilled_as_the_build_says_and_told() -> None:
    build = head_with(bushing=RIBBED, bore=Bore(through=8.9))
    assert "Outside the fit for this wood: see bore fit among the findings." in told_of(build)
    bore = step(steps(build), "Bore right through").hole
    assert bore is not None
    assert bore.choice is not None
    assert (bore.fit.diameter, bore.choice.drill.name, bore.choice.difference) == (8.9, "8.9 mm", 0.0)
    same = told_of(head_with(bushing=RIBBED, bore=Bore(through=8.7)))
    assert (
        "A light press in hard wood, the hole up to 0.12 mm smaller than the ribs' crest of 8.8 mm." in same
    )
    assert "Outside" not in same


def test_finish_is_told() -> None:
    build = head_with(bushing=RIBBED, bore=Bore(through=8.9))
    coated = told_of(change(build, head=change(build.head, finish_build_up=0.2)))
    assert "and 0.2 mm for the finish" in coated
    assert "Outside" not in coated


def test_a_shop_without_a_drill_for_it() -> None:
    build = head_with(bushing=RIBBED, bore=Bore(through=8.7))
    # In hard wood drills from 8.8 - 0.12 - 0.05 to 8.8 - 0.05 are good: 11/32 in is 8.731.
    assert "No drill" not in told_of(build, drill_sets=("fraction",))
    ream = told_of(build, drill_sets=(), extra_drills=(8.5,))
    assert "No drill of the shop makes 8.63 mm to 8.75 mm: this one is 0.2 mm narrower." in ream
    assert "ream by hand until the hole measures 8.68 mm to 8.8 mm" in ream
    wide = told_of(build, drill_sets=(), extra_drills=(9.0,))
    assert "0.3 mm wider. Try it on the ladder, or get a drill of 8.7 mm." in wide
    none = step(steps(build, drill_sets=()), "Bore right through")
    assert "The shop has no drills yet; 8.7 mm is wanted." in none.notes
    assert none.hole is not None
    assert none.hole.choice is None
    assert none.hole.stop == 16.0


def test_inches() -> None:
    told = told_of(head_with(bushing=RIBBED), units="inch")
    assert "Outside the fit" in told
    fitting = told_of(head_with(bushing=RIBBED, bore=Bore(through=8.7)), units="inch")
    assert "the hole up to 0.005 in smaller than the ribs' crest of 0.346 in" in fitting
    assert " mm" not in fitting


def test_a_tapered_bore_is_reamed() -> None:
    told = told_of(head_with(tapered=True))
    assert "Where the reamer for the taper begins" in told
    assert "Ream by hand" in told


@pytest.mark.parametrize(("angle", "told"), [(0.0, False), (14.0, True)])
def test_a_head_that_falls_back_is_laid_level(angle: float, told: bool) -> None:
    build = plain_head(row(), head=Head(angle_deg=angle))
    assert ("square to the spindle" in " ".join(step(steps(build), "Mark").notes)) == told


# Screws and pins


def test_pins_then_pilots_come_last_after_the_dry_fit() -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
    pin = Pin(along=9.0, outward=0.0, diameter=2.0, depth=3.0)
    found = steps(head_with(screws=(screw,), pins=(pin,)))
    assert named(found)[-4:] == ["Fit dry", "Pin holes", "Screw pilots", "Drive the screws"]
    pins, pilots = step(found, "Pin holes"), step(found, "Screw pilots")
    assert [spot.name for spot in pins.spots] == ["P1", "P2"]
    assert [spot.name for spot in pilots.spots] == ["S1", "S2"]
    assert pins.hole is not None
    assert pilots.hole is not None
    # 90 % of the root in maple; half of the tenth rounds up.
    assert (pilots.hole.fit.diameter, pilots.hole.side, pilots.hole.depth) == (1.4, "back", 10.0)
    assert pilots.hole.stop == pytest.approx(10 + 0.3 * 1.4)
    assert (pins.hole.fit.diameter, pins.hole.depth) == (2.0, 3.0)
    assert "Press each fitted tuner down lightly" in " ".join(pins.notes)
    assert "Wax every screw" in " ".join(found[-1].notes)
    assert "straightedge" in " ".join(step(found, "Fit dry").notes)


def test_in_soft_wood_screws_need_no_wax() -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
    build = head_with(screws=(screw,))
    soft = change(build, head=change(build.head, wood="true mahogany"))
    assert "Wax" not in " ".join(steps(soft)[-1].notes)


GUITAR_ROOTS = sorted(
    {screw.root for each in LIBRARY if "bass" not in each.key for screw in each.screws}
    # Gauges 2 and 3: shank 0.060 + 0.013 x gauge in; root 2/3 of the shank (Wood Handbook, chapter 8).
    | {2 / 3 * (0.060 + 0.013 * gauge) * 25.4 for gauge in (2, 3)}
)


@pytest.mark.parametrize("root", GUITAR_ROOTS)
@pytest.mark.parametrize("wood", WOODS, ids=lambda wood: wood.name)
def test_common_practice_for_pilots_of_small_tuner_screws(root: float, wood: Wood) -> None:
    # Common practice, no source: 1 to 1.5 mm for small tuner screws, 1.0 only in woods up to 0.5 specific gravity.
    wide = pilot_diameter(root, wood)
    assert 1.0 <= wide <= 1.5
    assert wide > 1.0 or wood.gravity_when_dry <= 0.5
    if wood.gravity_when_dry >= 0.6:
        # Common practice, no source: 90 % of the root in hard woods, to the next tenth.
        assert wide == pytest.approx(0.9 * root, abs=0.05 + 1e-9)


def test_a_pilot_is_never_drilled_wider_than_the_root() -> None:
    assert pilot_fit(1.4, 1.5).most == 1.5
    assert pilot_fit(1.1, 1.5).most == pytest.approx(1.25)
    assert pilot_fit(1.4, 1.35).most == 1.4


def test_a_pin_of_two_sits_in_two_to_two_point_two() -> None:
    # From memory: pins of 2.0 are bored 2.0 to 2.2.
    fit = pin_fit(2.0)
    assert [fit.holds(bore) for bore in (1.95, 2.0, 2.2, 2.25)] == [False, True, True, False]


def test_pilots_without_a_drill_that_fits() -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
    build = head_with(screws=(screw,))
    tight = " ".join(step(steps(build, drill_sets=(), extra_drills=(1.0,)), "Screw pilots").notes)
    assert "Get a drill of 1.4 mm: a tight pilot snaps screws." in tight
    wide = " ".join(step(steps(build, drill_sets=(), extra_drills=(1.8,)), "Screw pilots").notes)
    assert "in a wide pilot a screw holds less" in wide


@pytest.mark.parametrize(
    ("length", "told"),
    [(12.5, None), (13.5, "Only 1.1 mm of wood stays under the face"), (15.0, "comes through the face")],
)
def test_a_long_screw_comes_near_the_face(length: float, told: str | None) -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=length)
    said = " ".join(step(steps(head_with(screws=(screw,))), "Screw pilots").notes)
    # 15 - 13.5 - 0.3 x 1.4 = 1.08
    assert (told in said) if told else ("face" not in said)


# What is there already


def test_drilled_bores_stay_and_their_screws_are_still_to_do() -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
    build = head_with(screws=(screw,))
    (only,) = build.rows
    first, second = only.posts
    build = change(build, rows=(change(only, posts=(change(first, drilled=True), second)),))
    found = steps(build)
    done, new = step(found, "Drilled already").spots, step(found, "Mark").spots
    assert [len(done), len(new)] == [1, 1]
    assert {spot.name for spot in done + new} == {post.label for post in lay_out(build).posts}
    assert [spot.name for spot in step(found, "Screw pilots").spots] == ["S1", "S2"]
    all_done = change(
        build, rows=(change(only, posts=tuple(change(each, drilled=True) for each in only.posts)),)
    )
    assert named(steps(all_done))[:2] == ["Drilled already", "Fit dry"]


def old(x: float, y: float, diameter: float, *, plugged: bool = False) -> OldHole:
    return OldHole(key="old", at=Point(x, y), diameter=diameter, plugged=plugged)


@pytest.mark.parametrize(
    ("x", "told"),
    [
        (30.0, True),  # 10 mm away, radii 5 and 4: 1 mm of wood would stay, less than nothing is needed
        (30.01, False),
        (24.0, True),
    ],
)
def test_an_old_hole_beside_a_bore_is_plugged(x: float, told: bool) -> None:
    x -= 0.001 if told else 0.0
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(x, 60.0, 8.0),))
    found = steps(build)
    assert ("Plug old holes" in named(found)) == told
    if told:
        assert [spot.name for spot in step(found, "Plug old holes").spots] == ["H1"]
        assert named(found).index("Plug old holes") < named(found).index("Bore right through")


def test_a_plugged_hole_is_wood() -> None:
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(24.0, 60.0, 8.0, plugged=True),))
    assert "Plug old holes" not in named(steps(build))


def test_an_old_hole_in_the_middle_of_a_bore_is_opened_up() -> None:
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(20.2, 60.0, 8.5),))
    found = steps(build)
    assert named(found) == ["Open an old hole", "Fit dry"]
    assert "10 mm right through" in found[0].notes[0]
    stepped = change(
        build,
        hardware=(tuner(bore=STEPPED, bushing=RIBBED),),
        old_holes=(old(20.2, 60.0, 6.5), old(20.2, 60.0, 8.0)),
    )
    assert "Open an old hole" not in named(steps(stepped))
    post_hole = change(build, hardware=(tuner(bore=change(STEPPED, through=7.5), bushing=RIBBED),))
    tight = change(post_hole, old_holes=(old(20.2, 60.0, 7.4),))
    assert "8.8 mm for 9 mm from the face and 7.5 mm right through" in steps(tight)[0].notes[0]


@pytest.mark.parametrize(("diameter", "opened"), [(8.5, True), (8.499, False)])
def test_more_than_one_and_a_half_is_plugged_and_drilled_anew(diameter: float, opened: bool) -> None:
    # From memory: a reamer opens a hole by 1.5 mm on its diameter at most.
    found = named(steps(plain_head(post_at(20.0, 60.0), old_holes=(old(20.0, 60.0, diameter),))))
    assert ("Open an old hole" in found) == opened
    assert ("Plug old holes" in found) == (not opened)


def test_a_blind_old_hole_is_plugged_even_in_the_middle() -> None:
    blind = OldHole(key="old", at=Point(20.0, 60.0), diameter=6.5, depth=8.0, side="face")
    found = steps(plain_head(post_at(20.0, 60.0), old_holes=(blind,)))
    assert "Open an old hole" not in named(found)
    assert "Plug old holes" in named(found)


@pytest.mark.parametrize(("x", "diameter"), [(20.3, 6.5), (20.0, 10.5)])
def test_one_out_of_the_middle_or_too_wide_is_plugged(x: float, diameter: float) -> None:
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(x, 60.0, diameter),))
    assert "Plug old holes" in named(steps(build))


def test_an_old_screw_hole_leads_the_new_pilot_or_is_plugged() -> None:
    screw = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
    build = plain_head(post_at(20.0, 60.0), hardware=(tuner(screws=(screw,)),))
    at = lay_out(build).holes[0].at
    narrow, wide = (change(build, old_holes=(old(at.x, at.y, size),)) for size in (1.0, 2.0))
    assert "Plug old holes" not in named(steps(narrow))
    assert "Plug old holes" in named(steps(wide))


# Everything


@pytest.mark.parametrize("bit", ["twist", "brad point", "Forstner", "piloted counterbore"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples_are_scheduled_whole(path: Path, bit: BitKind) -> None:
    build = read_build(path.read_bytes())
    layout = lay_out(build)
    found = schedule(build, layout, Shop(bit=bit))
    bored = [spot.name for each in found if each.hole and each.hole.depth is None for spot in each.spots]
    new = {post.label for post in layout.posts if not post.post.drilled}
    assert set(bored) == new
    small = [spot.name for each in found if each.name in ("Pin holes", "Screw pilots") for spot in each.spots]
    assert len(small) == len(set(small)) == len(layout.holes)
    for each in found:
        assert each.spots
        if each.hole is not None:
            assert each.hole.stop > 0
            assert each.hole.choice is not None
            assert each.hole.depth is None or each.hole.depth < build.head.thickness_nut


@pytest.mark.parametrize("make", [*READY_MADE, laden_head])
def test_ready_made_heads_in_both_units(make: Callable[[], Build]) -> None:
    build = make()
    assert named(steps(build)) == named(steps(build, units="inch"))


def test_no_tuners_no_schedule() -> None:
    assert steps(plain_head()) == ()


def test_plates_go_on_with_all_their_posts() -> None:
    build = READY_MADE[2]()
    assert "A plate goes on with all its posts" in " ".join(step(steps(build), "Fit dry").notes)
