"""The schedule: which steps, in which order, how deep, from where, with what."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from geometry.bench.drilling import pilot_fit, pin_fit, schedule
from geometry.bench.operations import Operation
from geometry.build.build import Build, Head, OldHole
from geometry.build.codec import read_build
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


def test_twist_bit_a_pilot_right_through_then_from_both_faces() -> None:
    found = steps(head_with(bushing=RIBBED, bore=Bore(through=8.8)), bit="twist")
    assert named(found) == [
        "Mark",
        "Pilot right through",
        "First half of the bore",
        "Bore from the back",
        "Fit dry",
    ]
    pilot, first, back = (each.hole for each in found[1:4])
    assert pilot is not None
    assert first is not None
    assert back is not None
    assert (pilot.fit.diameter, pilot.depth, pilot.side, pilot.backing) == (2.0, None, "face", True)
    # 15 mm, 1 mm into the backing, the point of 118 degrees 0.3 of the diameter.
    assert pilot.stop == pytest.approx(15 + 1 + 0.6)
    assert (first.depth, first.side, first.backing) == (7.5, "face", False)
    assert first.stop == pytest.approx(7.5 + 0.3 * 8.8)
    assert (back.depth, back.side, back.backing) == (7.5, "back", True)


def test_twist_bit_with_a_counterbore_from_the_face_and_the_post_hole_from_the_back() -> None:
    found = steps(head_with(bushing=RIBBED, bore=STEPPED), bit="twist")
    assert named(found)[1:4] == ["Pilot right through", "Counterbore", "Bore from the back"]
    wide, back = found[2].hole, found[3].hole
    assert wide is not None
    assert back is not None
    assert (wide.fit.diameter, wide.depth) == (8.8, 9.0)
    assert (back.fit.diameter, back.depth) == (6.5, 6.0)


@pytest.mark.parametrize(("bit", "words"), [("brad point", "brad point bit"), ("Forstner", "Forstner bit")])
def test_a_bit_that_stays_the_wide_bore_first_then_on_backing(bit: BitKind, words: str) -> None:
    found = steps(head_with(bushing=RIBBED, bore=STEPPED), bit=bit)
    assert named(found) == ["Mark", "Counterbore", "Bore right through", "Fit dry"]
    wide, through = found[1].hole, found[2].hole
    assert wide is not None
    assert through is not None
    assert (wide.bit, wide.stop, wide.backing) == (words, 9.0, False)
    assert (through.stop, through.backing) == (16.0, True)
    assert "centre mark of the counterbore" in " ".join(found[2].notes)
    plain = steps(head_with(bushing=RIBBED, bore=Bore(through=8.8)), bit=bit)
    assert named(plain) == ["Mark", "Bore right through", "Fit dry"]
    assert "centre mark" not in " ".join(plain[1].notes)


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


def test_a_wide_twist_bit_is_warned_of() -> None:
    wide = head_with(bore=Bore(through=17.5), post_diameter=14.0)
    assert "grabs" in " ".join(step(steps(wide, bit="twist"), "First half of the bore").notes)
    assert "grabs" not in " ".join(step(steps(wide, bit="Forstner"), "Bore right through").notes)


def test_a_tapered_head_is_drilled_through_where_it_is_thickest_and_met_in_the_middle() -> None:
    build = plain_head(row(count=2), head=Head(thickness_nut=20.0, thickness_tip=10.0))
    # Posts at y = 60 and 100 of 200: 17 and 15 mm thick.
    found = steps(build)
    pilot, first, back = (found[n].hole for n in (1, 2, 3))
    assert pilot is not None
    assert first is not None
    assert back is not None
    assert pilot.stop == pytest.approx(17 + 1 + 0.6)
    assert first.depth == pytest.approx(7.5)
    assert back.depth == pytest.approx(9.5)


# Notes


def test_the_bore_of_the_build_is_told_where_the_wood_wants_another() -> None:
    told = " ".join(
        step(steps(head_with(bushing=RIBBED, bore=Bore(through=8.6))), "First half of the bore").notes
    )
    assert "Wanted 8.8 mm: at the crest of the ribs for hard wood, ribs 8.5 mm to 8.8 mm." in told
    assert "The build draws it 8.6 mm." in told
    same = " ".join(
        step(steps(head_with(bushing=RIBBED, bore=Bore(through=8.8))), "First half of the bore").notes
    )
    assert "draws" not in same


def test_finish_is_told_and_no_difference_from_the_build() -> None:
    coated = steps(head_with(bushing=RIBBED, bore=Bore(through=8.8)), finish_build_up=0.2)
    told = " ".join(step(coated, "First half of the bore").notes)
    assert "and 0.2 mm for the finish" in told
    assert "draws" not in told


def test_a_shop_without_a_drill_for_it() -> None:
    build = head_with(bushing=RIBBED, bore=Bore(through=8.8))
    ream = " ".join(step(steps(build, drill_sets=("fraction",)), "First half of the bore").notes)
    assert "No drill of the shop makes 8.75 mm to 8.8 mm: this one is 0.07 mm narrower." in ream
    assert "ream up to 8.8 mm by hand" in ream
    wide = " ".join(step(steps(build, drill_sets=(), extra_drills=(9.0,)), "First half of the bore").notes)
    assert "0.2 mm wider. Try it on the ladder, or get a drill of 8.8 mm." in wide
    none = step(steps(build, drill_sets=()), "First half of the bore")
    assert "The shop has no drills yet; 8.8 mm is wanted." in none.notes
    assert none.hole is not None
    assert none.hole.choice is None
    assert none.hole.stop == pytest.approx(7.5 + 0.3 * 8.8)


def test_inches() -> None:
    told = " ".join(step(steps(head_with(bushing=RIBBED), units="inch"), "First half of the bore").notes)
    assert "Wanted 0.346 in" in told
    assert " mm" not in told


def test_a_tapered_bore_is_reamed() -> None:
    told = " ".join(step(steps(head_with(tapered=True)), "First half of the bore").notes)
    assert "where the reamer for the taper begins" in told
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
    [(12.5, None), (13.5, "Only 1.08 mm stay under the face"), (15.0, "comes through the face")],
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
        assert named(found).index("Plug old holes") < named(found).index("Pilot right through")


def test_a_plugged_hole_is_wood() -> None:
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(24.0, 60.0, 8.0, plugged=True),))
    assert "Plug old holes" not in named(steps(build))


def test_an_old_hole_in_the_middle_of_a_bore_is_opened_up() -> None:
    build = plain_head(post_at(20.0, 60.0), old_holes=(old(20.2, 60.0, 6.5),))
    found = steps(build)
    assert named(found) == ["Open an old hole", "Fit dry"]
    assert "10 mm right through" in found[0].notes[0]
    stepped = change(build, hardware=(tuner(bore=STEPPED, bushing=RIBBED),))
    assert "8.73 mm for 9 mm from the face and 6.5 mm right through" in steps(stepped)[0].notes[0]


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
