"""How the bores of a build are drilled, and which bore is suggested instead: closed forms and drill series."""

from __future__ import annotations

import pytest

from geometry.bench.bore_fit import (
    NARROWER,
    WIDER,
    advice,
    advised,
    begun,
    best_bore,
    bore_fits,
    choose,
    inch_drill,
    shop_fit,
)
from geometry.checks.judge import findings
from geometry.document.build import Build, Head
from geometry.document.edits import change_hardware
from geometry.trade.bore_fit import Fit, drawn_bore, with_drawn_bore
from geometry.trade.drills import FRACTIONS, METRIC
from geometry.trade.hardware import Bore, Bushing, Hardware
from geometry.trade.hardware_library import ENCLOSED_SCREW_IN, FRICTION, LIBRARY, OPEN_GEAR, SPLIT_POST
from geometry.trade.shop import OwnWood, Shop, with_fit
from tests.builds import change, plain_head, row, tuner

MAPLE, MAHOGANY = Head(wood="sugar maple"), Head(wood="true mahogany")


def split(diameter: float) -> Hardware:
    """A split post, crest 8.8, with another bore: drills of 8.63 to 8.75 are good in hard wood, 8.7 best."""
    return with_drawn_bore(SPLIT_POST, diameter)


# What is drilled


@pytest.mark.parametrize("diameter", [8.5, 8.7, 8.8, 9.3])
def test_what_the_build_says_is_drilled(diameter: float) -> None:
    fits = bore_fits(split(diameter), MAPLE, Shop())
    assert fits.main.diameter == fits.through.diameter == diameter
    assert fits.suits == (diameter == 8.7)
    found = choose(fits.main, METRIC)
    assert found is not None
    assert (found.drill.diameter, found.difference, found.inside) == (diameter, 0.0, True)


def test_a_bore_inside_its_fit_may_be_drilled_anywhere_in_it() -> None:
    fits = bore_fits(SPLIT_POST, MAPLE, Shop())
    assert (fits.main.least, fits.main.most) == pytest.approx((8.63, 8.75))
    outside = bore_fits(split(9.3), MAPLE, Shop()).main
    assert (outside.least, outside.most) == pytest.approx((9.25, 9.35))


def test_both_bores_of_a_stepped_one() -> None:
    fits = bore_fits(OPEN_GEAR, MAPLE, Shop())
    assert fits.counterbore == fits.main
    assert (fits.main.diameter, fits.through.diameter, fits.through.kind) == (8.8, 6.5, "passes")
    # The post of 6.0 passes with a tenth to spare, and 6.5 - 0.15 is more.
    assert fits.through.least == pytest.approx(6.5 - NARROWER)
    assert fits.through.most == pytest.approx(6.5 + WIDER)


def test_what_only_passes_is_good_near_the_build_not_as_far_as_it_would_pass() -> None:
    fits = bore_fits(FRICTION, MAPLE, Shop())
    assert (fits.good.least, fits.good.most) == pytest.approx((7.85, 8.3))
    narrow = bore_fits(with_drawn_bore(FRICTION, 6.0), MAPLE, Shop())
    assert not narrow.suits
    assert narrow.good.least == pytest.approx(6.1)


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda hardware: hardware.key)
@pytest.mark.parametrize("wood", ["true mahogany", "sugar maple", "western redcedar", ""])
def test_all_of_the_library_gets_a_bore_its_post_goes_into(hardware: Hardware, wood: str) -> None:
    suited = best_bore(hardware, Head(wood=wood), Shop()).hardware
    fits = bore_fits(suited, Head(wood=wood), Shop())
    assert fits.suits
    for fit in (fits.through, fits.counterbore):
        if fit is not None:
            assert hardware.post_diameter < fit.least <= fit.diameter <= fit.most


# The drill


def test_a_drill_inside_the_fit_comes_before_a_nearer_one_outside() -> None:
    found = choose(Fit(8.74, 8.75, 8.8, "hard"), (*METRIC, *FRACTIONS))
    assert found is not None
    assert (found.drill.name, found.inside) == ("8.8 mm", True)


def test_without_one_inside_the_nearest_that_can_be_reamed_up() -> None:
    # 11/32 in is 8.73125 mm; 23/64 in is 9.128 mm.
    found = choose(Fit(8.9, 8.85, 8.95, "hard"), FRACTIONS)
    assert found is not None
    assert (found.drill.name, found.inside) == ("11/32 in", False)
    assert found.difference == pytest.approx(8.73125 - 8.9)


def test_a_shop_with_wide_drills_only_and_with_none() -> None:
    wide = tuple(drill for drill in METRIC if drill.diameter >= 12)
    found = choose(Fit(8.9, 8.85, 8.95, "hard"), wide)
    assert found is not None
    assert (found.drill.name, found.inside) == ("12.0 mm", False)
    assert choose(Fit(8.9, 8.85, 8.95, "hard"), ()) is None


@pytest.mark.parametrize(
    ("fit", "name"),
    [
        # 1/16 in is 1.5875 mm: wider than the root of 1.5. #54 is 0.0550 in, 1.397 mm (ASME B94.11M).
        (Fit(1.4, 1.25, 1.5, "pilot"), "#54"),
        # 1/16 in is inside what a pilot of 1.7 may be, but another size; #51 is 0.0670 in, 1.702 mm.
        (Fit(1.7, 1.55, 1.85, "pilot"), "#51"),
        (Fit(8.7, 8.63, 8.75, "hard"), "11/32 in"),  # 8.731
        (Fit(8.6, 8.6, 8.65, "medium"), "letter R"),  # 0.339 in, 8.611; 11/32 in would be loose
        (Fit(17.6, 17.53, 17.65, "hard"), None),  # 11/16 in is 17.462, 45/64 in 17.859
    ],
)
def test_the_inch_drill_is_one_that_does_as_well(fit: Fit, name: str | None) -> None:
    found = inch_drill(fit, Shop())
    assert (found.name if found else None) == name


def test_the_inch_drills_of_the_shop_come_first() -> None:
    # Letter S is 0.348 in, 8.839 mm.
    fit = Fit(8.8, 8.73, 8.85, "hard")
    found = [inch_drill(fit, Shop(drill_sets=sets)) for sets in (("fraction",), ("letter",))]
    assert [each.name for each in found if each] == ["11/32 in", "letter S"]


# Another bore


def test_nothing_is_suggested_for_a_bore_inside_its_fit() -> None:
    assert advised(SPLIT_POST, MAPLE, Shop()) is None
    assert advised(ENCLOSED_SCREW_IN, MAPLE, Shop()) is None


@pytest.mark.parametrize(
    ("drills", "diameter"),
    [
        ({}, 8.7),
        ({"drill_sets": ("fraction",)}, 11 / 32 * 25.4),
        ({"drill_sets": (), "extra_drills": (8.66, 9.0)}, 8.66),
        # None inside 8.63 to 8.75: the best diameter, to be reamed.
        ({"drill_sets": (), "extra_drills": (8.5, 9.0)}, 8.7),
        ({"drill_sets": ()}, 8.7),
    ],
)
def test_the_drill_nearest_to_the_best_inside_the_fit(drills: dict[str, object], diameter: float) -> None:
    found = advised(split(8.9), MAPLE, Shop(**drills))  # type: ignore[arg-type]
    assert found is not None
    assert found.diameter == pytest.approx(diameter)
    assert drawn_bore(found.hardware) == found.diameter
    assert (found.drill is None) == (drills.get("extra_drills") == (8.5, 9.0) or drills == {"drill_sets": ()})


def test_what_felt_right_is_suggested_with_its_proof() -> None:
    assert SPLIT_POST.bushing is not None
    shop = Shop(fits=with_fit((), "sugar maple", SPLIT_POST.bushing, 8.5))
    assert shop_fit(SPLIT_POST, MAPLE, shop).kind == "felt"
    assert shop_fit(SPLIT_POST, MAHOGANY, shop).kind == "medium"
    found = advised(SPLIT_POST, MAPLE, shop)
    assert found is not None
    assert found.diameter == 8.5
    # Another shop, which never felt it, believes the build.
    assert advised(found.hardware, MAPLE, Shop()) is None
    build = plain_head(row(hardware="split-post"), hardware=(found.hardware,), head=MAPLE)
    (fit,) = (each for each in findings(build) if each.check == "bore fit")
    assert str(fit.level) == "fine"


def test_a_bore_that_felt_right_already_only_gets_its_proof() -> None:
    assert SPLIT_POST.bushing is not None
    shop = Shop(fits=with_fit((), "sugar maple", SPLIT_POST.bushing, 8.5))
    found = advised(split(8.5), MAPLE, shop)
    assert found is not None
    assert (found.diameter, found.drill) == (8.5, None)
    assert advised(found.hardware, MAPLE, shop) is None


def test_woods_of_the_shop_count() -> None:
    plum = Shop(woods=(OwnWood(name="plum", specific_gravity=0.7, janka=7000),))
    found = advised(split(8.5), Head(wood="plum"), plum)
    assert found is not None
    assert found.diameter == 8.7


def test_of_a_drilled_hole_nothing_is_suggested() -> None:
    posts = row(count=2, hardware="split-post")
    build = plain_head(posts, hardware=(split(8.9),), head=MAPLE)
    key = posts.posts[0].key
    assert advice(build, key, Shop()) is not None
    drilled = change(posts, posts=(posts.posts[0], change(posts.posts[1], drilled=True)))
    assert advice(change(build, rows=(drilled,)), key, Shop()) is None
    assert advice(build, "no such post", Shop()) is None


def test_using_it_is_one_change_of_the_tuners() -> None:
    build = plain_head(row(hardware="split-post"), hardware=(split(8.9),), head=MAPLE)
    found = advice(build, build.rows[0].posts[0].key, Shop())
    assert found is not None
    after = change_hardware(build, found.hardware)
    assert after == change(build, hardware=(split(8.7),))
    assert advice(after, build.rows[0].posts[0].key, Shop()) is None


# New builds


def new(hardware: Hardware) -> Build:
    return plain_head(row(hardware=hardware.key), hardware=(hardware,))


@pytest.mark.parametrize("wood", ["true mahogany", "sugar maple", "western redcedar"])
@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda hardware: hardware.key)
def test_a_new_build_begins_with_a_bore_that_suits(hardware: Hardware, wood: str) -> None:
    build = begun(new(hardware), wood, Shop())
    assert build.head.wood == wood
    assert advice(build, build.rows[0].posts[0].key, Shop()) is None
    pressed = hardware.bushing is not None and hardware.bushing.kind == "press-in"
    assert pressed or build.hardware == (hardware,)


def test_without_a_wood_bores_stay_as_they_are() -> None:
    for wood in ("", "cardboard"):
        assert begun(new(SPLIT_POST), wood, Shop()).hardware == (SPLIT_POST,)


def test_finish_of_the_shop_goes_into_new_builds() -> None:
    build = begun(new(SPLIT_POST), "sugar maple", Shop(finish_build_up=0.2))
    assert build.head.finish_build_up == 0.2
    assert drawn_bore(build.hardware[0]) == 8.9


def test_a_plain_bore_is_not_rounded_to_a_drill() -> None:
    odd = tuner(bore=Bore(through=10.03))
    assert begun(new(odd), "sugar maple", Shop()).hardware == (odd,)


@pytest.mark.parametrize(("cutters", "smallest"), [((), 0.0), ((12.7,), 12.7), ((12.7, 6.0, 8.0), 6.0)])
def test_a_new_build_is_held_to_the_smallest_cutter_of_the_shop(
    cutters: tuple[float, ...], smallest: float
) -> None:
    assert begun(new(LIBRARY[0]), "", Shop(cutters=cutters)).cutter_diameter == smallest


def test_no_bore_is_suggested_that_the_rest_of_the_tuner_falls_into() -> None:
    wide = tuner(bore=Bore(through=8.8), bushing=Bushing(kind="screw-in", root=8.4, crest=15.0))
    build = plain_head(row(), hardware=(wide,), head=MAPLE)
    assert advised(wide, MAPLE, Shop()) is not None
    assert advice(build, "treble1", Shop()) is None
    right = change(wide, bushing=Bushing(kind="screw-in", root=8.4, crest=8.9))
    assert advice(change(build, hardware=(right,)), "treble1", Shop()) is not None
