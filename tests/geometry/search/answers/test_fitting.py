"""Which tuners go into drilled bores: sizes by subtraction, places by closed forms."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import Build, Head, OldHole, OnLine, OnPlate, StraightPull
from geometry.document.edits import set_hardware
from geometry.layout.layout import lay_out
from geometry.search.answers.fitting import BUSH_FILLS, DROPS_IN, Fit, beside, drilled_bores, fits
from geometry.search.answers.fitting_words import say_sight, say_work
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Bushing, Counterbore, Hardware, Screw
from geometry.trade.hardware_library import FOUR_ON_PLATE, FRICTION, LIBRARY
from tests.builds import (
    READY_MADE,
    change,
    eight_on_plates,
    plain_head,
    row,
    strings,
    three_and_three,
    tuner,
)


def stepped(through: float, wide: float, deep: float) -> Bore:
    return Bore(through=through, counterbore=Counterbore(diameter=wide, depth=deep))


def head(diameter: float | Bore = 10.0, **fields: object) -> Build:
    """Two posts on a plain head, drilled so wide, with strings so that nothing is amiss."""
    bore = diameter if isinstance(diameter, Bore) else Bore(through=diameter)
    return plain_head(
        row(count=2),
        hardware=(tuner(bore=bore),),
        head=Head(thickness_nut=15.0, thickness_tip=15.0, angle_deg=8.0),
        slots=(20.0, 10.0),
        **fields,
    )


def fit_of(build: Build, model: Hardware) -> Fit:
    (found,) = fits(build, (model,))
    return found


# Sizes


@pytest.mark.parametrize(
    ("drilled", "verdict", "ream", "loose"),
    [
        (10.0, "drops in", 0.0, 0.0),
        (10.0 + DROPS_IN, "drops in", 0.0, DROPS_IN),
        (10.0 - DROPS_IN, "drops in", DROPS_IN, 0.0),
        (9.89, "ream", 0.11, 0.0),
        (8.8, "ream", 1.2, 0.0),
        # From memory: 1.5 mm on the diameter at most.
        (8.5, "ream", 1.5, 0.0),
        (8.49, "plug", 1.51, 0.0),
        (6.35, "plug", 3.65, 0.0),
        (10.11, "bush down", 0.0, 0.11),
        (10.0 + BUSH_FILLS, "bush down", 0.0, BUSH_FILLS),
        (13.7, "plug", 0.0, 3.7),
    ],
)
def test_what_a_straight_bore_asks_for(drilled: float, verdict: str, ream: float, loose: float) -> None:
    found = fit_of(head(drilled), tuner(key="new", bore=Bore(through=10.0)))
    assert found.verdict == verdict
    assert (found.ream, found.loose) == pytest.approx((ream, loose))


PRESSED = tuner(key="new", bore=Bore(through=8.7), bushing=Bushing(kind="press-in", root=8.5, crest=8.8))


@pytest.mark.parametrize(
    ("hole", "verdict", "ream", "loose"),
    [
        # Measured old holes in maple: a press from 0.12 under the crest of 8.8 to as wide is meant, and left.
        (8.67, "ream", 0.03, 0.0),
        (8.68, "drops in", 0.0, 0.0),
        (8.8, "drops in", 0.0, 0.0),
        (8.81, "bush down", 0.0, 0.11),
    ],
)
def test_an_interference_inside_its_band_is_not_reamed_away(
    hole: float, verdict: str, ream: float, loose: float
) -> None:
    holes = tuple(OldHole(key=f"h{y}", at=Point(20.0, y), diameter=hole) for y in (60.0, 100.0))
    build = head(old_holes=holes)
    found = fit_of(change(build, head=change(build.head, wood="sugar maple")), PRESSED)
    assert found.verdict == verdict
    assert (found.ream, found.loose) == pytest.approx((ream, loose))
    assert found.model.bore.through == 8.7


def test_bores_of_the_build_are_told_by_their_drill() -> None:
    # A drill of 8.63 leaves 8.68, one of 8.75 leaves 8.8.
    for drill, verdict in ((8.62, "ream"), (8.63, "drops in"), (8.75, "drops in"), (8.76, "bush down")):
        build = head(drill)
        assert fit_of(change(build, head=change(build.head, wood="sugar maple")), PRESSED).verdict == verdict


def test_the_model_gets_the_bore_that_suits_the_wood() -> None:
    build = head(8.0)
    soft = fit_of(change(build, head=change(build.head, wood="western redcedar")), PRESSED)
    # 0.20 under the crest of 8.8, less the 0.05 that the hole comes out wider.
    assert soft.model.bore.through == 8.55
    assert say_work(soft) == "ream by 0.55 mm, to 8.55 mm"


def test_a_narrow_bore_is_plugged_in_words() -> None:
    found = fit_of(head(6.4), tuner(key="new", bore=Bore(through=10.0)))
    assert say_work(found) == "3.6 mm too narrow to ream: plug and drill 10 mm"


@pytest.mark.parametrize(
    ("drilled", "needed", "ream", "loose"),
    [
        # A straight bore of 8.7 for a post hole of 6.5 under 8.8: only the face is a little tight.
        (Bore(through=8.7), stepped(6.5, 8.8, 9.0), 0.1, -0.1),
        # The other way round the lower part is too narrow.
        (stepped(6.5, 8.8, 9.0), Bore(through=8.7), 2.2, 0.1),
        (stepped(6.5, 8.8, 6.0), stepped(6.5, 8.8, 9.0), 2.3, 0.0),
        (stepped(6.5, 8.8, 9.0), stepped(6.5, 8.8, 6.0), 0.0, 0.0),
        (stepped(6.5, 10.0, 5.0), stepped(7.0, 8.0, 9.0), 1.5, 2.0),
        # A counterbore as deep as the wood goes all through.
        (stepped(6.5, 10.0, 15.0), Bore(through=10.0), 0.0, 0.0),
    ],
)
def test_stepped_bores_are_compared_at_every_depth(
    drilled: Bore, needed: Bore, ream: float, loose: float
) -> None:
    assert beside(drilled, needed, 15.0) == pytest.approx((ream, loose))


def test_the_worst_bore_counts() -> None:
    holes = (OldHole(key="one", at=Point(20.0, 60.0), diameter=9.0),)
    found = fit_of(head(old_holes=holes), tuner(key="new"))
    assert found.verdict == "ream"
    assert (found.ream, found.loose) == pytest.approx((1.0, 0.0))


# What is drilled


def test_open_old_holes_at_posts_are_the_bores() -> None:
    build = head(
        old_holes=(
            OldHole(key="through", at=Point(20.5, 60.0), diameter=6.5),
            OldHole(key="step", at=Point(20.5, 60.0), diameter=8.8, depth=9.0, side="face"),
            OldHole(key="screw", at=Point(20.0, 61.0), diameter=2.2, depth=9.0),
            OldHole(key="filled", at=Point(20.0, 100.0), diameter=12.0, plugged=True),
        )
    )
    first, second = drilled_bores(build, lay_out(build), ("treble",))
    assert (first.at, first.bore, first.old) == (Point(20.5, 60.0), stepped(6.5, 8.8, 9.0), True)
    assert (second.bore, second.old) == (Bore(through=10.0), False)
    assert second.at.distance(Point(20.0, 100.0)) < 1e-9


def test_the_model_is_judged_where_the_bores_are() -> None:
    holes = (OldHole(key="low", at=Point(23.0, 58.0), diameter=10.0),)
    found = fit_of(head(old_holes=holes), tuner(key="new"))
    places = [post.at for post in found.layout.posts]
    assert places[0].distance(Point(23.0, 58.0)) < 1e-9
    assert places[1].distance(Point(20.0, 100.0)) < 1e-9


def test_wood_that_is_gone_counts_against_a_smaller_model() -> None:
    # Two bores of 13 mm, 19 apart: 6 mm between them, half of 13 is needed; of bores of 10 there would be 9.
    near = change(row(count=2), rule=OnLine(start=60.0, pitch=19.0, inset=20.0))
    small = tuner(key="new", bore=Bore(through=10.0), body=None, seat=None, washer=None)
    build, plugged = (
        plain_head(near, hardware=(tuner(bore=Bore(through=wide)),), slots=(20.0, 10.0))
        for wide in (13.0, 14.0)
    )
    assert "web" in [each.check for each in fit_of(build, small).stops]
    assert fit_of(plugged, small).verdict == "plug"
    assert "web" not in [each.check for each in fit_of(plugged, small).stops]


# Plates


def plate_head(pitch: float, posts: int = 4) -> Build:
    """Bores on a straight line at a pitch, as the plate's own tuners would have them singly."""
    single = change(FOUR_ON_PLATE, key="single", plate=None)
    return plain_head(
        row(count=posts, hardware="single", rule=OnLine(start=60.0, pitch=pitch, inset=20.0)),
        hardware=(single,),
        slots=(20.0, 10.0),
        strings=strings(*(1.0,) * posts),
    )


@pytest.mark.parametrize(
    ("pitch", "meets"), [(23.0, True), (23.033, True), (23.034, False), (22.967, True), (22.966, False)]
)
def test_a_plate_meets_bores_within_the_play_of_its_posts(pitch: float, meets: bool) -> None:
    # A post of 6 mm has 0.05 mm of play in a bushing of 6.1 mm; the ends of the row are off by three errors of the
    # pitch, which they share: 1.5 x 0.0333 = 0.05.
    found = fit_of(plate_head(pitch), FOUR_ON_PLATE)
    assert (found.misfit is None) == meets
    assert found.verdict == ("drops in" if meets else "plug")


def test_a_loose_bushing_takes_more() -> None:
    loose = change(FOUR_ON_PLATE, bushing_bore=6.4)
    assert [fit_of(plate_head(pitch), loose).verdict for pitch in (23.13, 23.14)] == ["drops in", "plug"]


def test_a_plate_needs_as_many_posts() -> None:
    found = fit_of(plate_head(23.0, posts=3), FOUR_ON_PLATE)
    assert found.verdict == "plug"
    assert "carries 4 posts" in say_work(found)
    plates = eight_on_plates()
    assert FOUR_ON_PLATE.plate is not None
    five = change(FOUR_ON_PLATE, plate=change(FOUR_ON_PLATE.plate, posts=5))
    assert fit_of(plates, five).verdict == "plug"
    assert len(fit_of(plates, FRICTION).layout.posts) == 8


def test_any_rule_takes_any_model() -> None:
    pulled = change(three_and_three().rows[0], rule=StraightPull(start=40.0, pitch=40.0))
    build = three_and_three(rows=(pulled, three_and_three().rows[1]))
    before = lay_out(build)
    for found in fits(build):
        for post in found.layout.posts:
            assert post.at.distance(before.post(post.key).at) < 1e-6


# Scars


def screwed(*places: tuple[float, float]) -> tuple[Screw, ...]:
    return tuple(
        Screw(along=along, outward=outward, diameter=2.0, root=1.4, length=8.0) for along, outward in places
    )


def test_holes_of_the_former_screws_stay_in_sight_unless_covered() -> None:
    # The seat reaches 7 along and 9 across the row; the screw's hole has a radius of 1.
    for place, seen in (((5.9, 7.9), 0), ((6.1, 0.0), 2), ((0.0, 8.1), 2), ((0.0, 3.9), 0)):
        build = head()
        before = change(build.hardware[0], screws=screwed(place))
        build = change(build, hardware=(before,))
        assert len(fit_of(build, tuner(key="new")).scars) == seen
        # Tuners on the same screws leave nothing behind.
        assert fit_of(build, change(before, key="new")).scars == ()


def test_holes_that_are_noted_are_the_scars_of_an_empty_head() -> None:
    holes = (
        OldHole(key="low", at=Point(20.0, 60.0), diameter=10.0),
        OldHole(key="high", at=Point(20.0, 100.0), diameter=10.0),
        OldHole(key="far", at=Point(0.0, 150.0), diameter=2.0, depth=8.0),
    )
    build = head(old_holes=holes)
    build = change(build, hardware=(change(build.hardware[0], screws=screwed((20.0, 0.0))),))
    assert [part.key for part in fit_of(build, tuner(key="new")).scars] == ["far"]


# Order and groups


def test_best_first_and_plugs_last() -> None:
    models = (
        tuner(key="plug", bore=Bore(through=5.0)),
        tuner(key="bush", bore=Bore(through=9.0)),
        tuner(key="ream", bore=Bore(through=10.5)),
        tuner(key="more", bore=Bore(through=11.0)),
        tuner(key="stopped", thickness_least=19.0),
        tuner(key="good"),
    )
    found = fits(head(), models)
    assert [each.model.key for each in found] == ["good", "ream", "more", "bush", "stopped", "plug"]
    assert [each.check for each in found[4].stops] == ["thickness", "thickness"]


def test_rows_with_their_own_tuners_are_asked_on_their_own() -> None:
    build = set_hardware(three_and_three(), "t", FRICTION)
    found = fits(build)
    assert [each.rows for each in found] == [("t",)] * len(LIBRARY) + [("b",)] * len(LIBRARY)
    assert (found[0].model.key, found[len(LIBRARY)].model.key) == ("friction", "enclosed")
    nowhere = change(build.rows[0], rule=OnPlate(start=40.0, inset=12.0))
    assert {each.rows for each in fits(change(build, rows=(nowhere, build.rows[1])))} == {("b",)}
    assert fits(change(build, rows=())) == ()


@pytest.mark.parametrize("make", READY_MADE)
def test_the_tuners_of_a_head_fit_it_and_nothing_new_is_found(make: Callable[[], Build]) -> None:
    build = make()
    mine = [each for each in fits(build) if each.model.key == build.hardware[0].key]
    already = tuple((each.check, each.measured) for each in findings(build) if each.level is Level.STOP)
    (found,) = mine
    assert (found.verdict, found.scars) == ("drops in", ())
    assert tuple((each.check, each.measured) for each in found.stops) == already


# Words


def test_words() -> None:
    new = tuner(key="new")
    assert say_work(fit_of(head(10.05), new)) == "as they are"
    assert say_work(fit_of(head(9.0), new)) == "ream by 1.0 mm, to 10 mm"
    assert say_work(fit_of(head(11.5), new)) == "1.5 mm too wide: bush to 10 mm"
    # 0.1575 and 0.3937 in, neither of them a 64th.
    assert say_work(fit_of(head(14.0), new), "inch") == "0.157 in too wide: plug and drill 0.394 in"
    steps = tuner(key="new", bore=stepped(6.5, 8.8, 9.0))
    assert say_work(fit_of(head(8.0), steps)) == (
        "ream by 0.80 mm, to 6.5 mm and 8.8 mm, 9 mm deep from the face"
    )
    assert say_work(fit_of(head(stepped(6.6, 10.0, 9.0)), tuner(key="n", bore=Bore(through=8.0)))) == (
        "2.0 mm too wide: bush to 8 mm, ream by 1.4 mm"
    )
    assert say_work(fit_of(plate_head(30.0), FOUR_ON_PLATE)) == (
        "Body 1 to 4: shafts of the plate lie up to 10.5 mm off the middles of their holes; at most 0.05 mm allowed. "
        "Its holes stand further apart than its shafts"
    )


def test_words_about_what_stays_in_sight() -> None:
    holes = tuple(OldHole(key=f"o{n}", at=Point(5.0 * n, 150.0), diameter=2.0, depth=8.0) for n in range(5))
    seen = [say_sight(fit_of(head(old_holes=holes[:count]), tuner(key="new"))) for count in (0, 2, 5)]
    assert seen == ["none", "2 holes", "5 holes"]
