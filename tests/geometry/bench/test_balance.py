"""Mass, centre of gravity and moments against closed forms, and other tuners on the same head."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.bench.balance import (
    USUAL_DENSITY,
    Balance,
    PointMass,
    area_integrals,
    balance,
    head_wood,
    together,
    usual_place,
)
from geometry.bench.balance_words import NOTE, place_words, rival_row, say_balance, unweighed
from geometry.bench.rivals import lightened, metal_button, rivals
from geometry.bench.strength import strength
from geometry.bench.strength_words import say_strength
from geometry.document.build import Build, OldHole, Polygon, Region, RoundRegion
from geometry.document.outline import Node, Nodes
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Arc
from geometry.trade.hardware import Bore, Counterbore, Pin
from geometry.trade.hardware_library import FOUR_ON_PLATE, FRICTION
from geometry.trade.units import GRAVITY
from tests.builds import (
    eight_on_plates,
    four_friction,
    plain_head,
    post_at,
    side_button,
    three_and_three,
    tuner,
)

MAPLE = 706e-6
"""g/mm3 of sugar maple, Wood Handbook: 0.63 x 1.12."""


def even(_: float) -> float:
    return 1.0


def head(build: Build, **fields: object) -> Build:
    return replace(build, head=replace(build.head, wood="sugar maple", **fields))


def balanced(build: Build) -> Balance:
    return balance(build, lay_out(build))


# Areas


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(1, 100), st.floats(1, 100))
def test_integrals_over_a_rectangle(left: float, low: float, wide: float, high: float) -> None:
    corners = (
        Point(left, low),
        Point(left + wide, low),
        Point(left + wide, low + high),
        Point(left, low + high),
    )
    region = through(corners, closed=True)
    middle = (left + wide / 2, low + high / 2)
    area = wide * high
    assert area_integrals(region, even) == pytest.approx(
        (area, area * middle[0], area * middle[1]), rel=1e-9, abs=1e-6
    )
    # Weighted by y: the first moment, the product (no tilt), the second moment.
    second = area * (high**2 / 12 + middle[1] ** 2)
    found = area_integrals(region, lambda y: y)
    assert found == pytest.approx(
        (area * middle[1], area * middle[0] * middle[1], second), rel=1e-9, abs=1e-5
    )


def test_integrals_over_a_half_disc() -> None:
    # Area pi r^2 / 2, its centroid 4 r / (3 pi) from the flat side.
    region = Contour((Arc(Point(30, 0), Point(-30, 0), 1.0),)).closed_by_line()
    whole, across, up = area_integrals(region, even)
    assert whole == pytest.approx(math.pi * 900 / 2, rel=1e-9)
    assert across == pytest.approx(0.0, abs=1e-6)
    assert up / whole == pytest.approx(4 * 30 / (3 * math.pi), rel=1e-9)
    # The second moment about the flat side: pi r^4 / 8.
    assert area_integrals(region, lambda y: y)[2] == pytest.approx(math.pi * 30**4 / 8, rel=1e-9)


# Wood


def test_a_plain_board() -> None:
    # 80 x 200 x 15 mm of sugar maple.
    wood = head_wood(build := head(plain_head()), lay_out(build))
    assert wood.known
    assert wood.point_mass.mass == pytest.approx(80 * 200 * 15 * MAPLE)
    assert wood.point_mass.at.x == pytest.approx(0.0, abs=1e-9)
    assert wood.point_mass.at.y == pytest.approx(100.0)


def test_a_board_that_tapers() -> None:
    # From 18 to 12: the mean is 15, the centroid 200 (18 + 2 x 12) / (3 (18 + 12)) from the thick end.
    build = head(plain_head(), thickness_nut=18.0, thickness_tip=12.0)
    wood = head_wood(build, lay_out(build))
    assert wood.point_mass.mass == pytest.approx(80 * 200 * 15 * MAPLE)
    assert wood.point_mass.at.y == pytest.approx(200 * 42 / 90)


def test_a_volute_adds_half_of_its_height_beyond_the_nut() -> None:
    # The mean of (1 + cos) / 2 is a half: 80 x 12 x 3 / 2.
    build = head(plain_head(), volute_height=3.0, volute_length=24.0)
    more = head_wood(build, lay_out(build)).point_mass.mass - 80 * 200 * 15 * MAPLE
    assert more == pytest.approx(80 * 12 * 1.5 * MAPLE, rel=1e-3)


def test_every_hole_is_left_out() -> None:
    stepped = tuner(
        bore=Bore(through=6.0, counterbore=Counterbore(diameter=9.0, depth=8.0)),
        pins=(Pin(along=-9.0, outward=0.0, diameter=2.0, depth=3.0),),
    )
    square = Polygon(points=(Point(-5, -4), Point(5, -4), Point(5, 20), Point(-5, 20)))
    build = head(
        plain_head(
            post_at(20.0, 60.0),
            hardware=(stepped,),
            keep_clear=(
                Region(key="rod", name="rod", shape=square, side="face", depth=9.0),
                Region(key="slot", name="slot", shape=RoundRegion(centre=Point(0, 150), radius=5.0)),
                Region(key="far", name="far", shape=RoundRegion(centre=Point(0, 900), radius=5.0)),
            ),
            old_holes=(
                OldHole(key="a", at=Point(0, 80), diameter=6.0),
                OldHole(key="b", at=Point(0, 100), diameter=6.0, depth=5.0),
                OldHole(key="c", at=Point(0, 120), diameter=6.0, plugged=True),
            ),
        )
    )
    missing = math.pi / 4 * (6**2 * 15 + (9**2 - 6**2) * 8 + 2**2 * 3 + 6**2 * (15 + 5) + 10**2 * 15)
    # Of the pocket only what lies beyond the nut line.
    missing += 10 * 20 * 9
    solid = 80 * 200 * 15
    point_mass = head_wood(build, lay_out(build)).point_mass
    assert point_mass.mass == pytest.approx((solid - missing) * MAPLE, rel=1e-5)
    assert point_mass.at.x < 0


def test_an_unknown_wood_is_taken_as_usual() -> None:
    build = plain_head()
    wood = head_wood(build, lay_out(build))
    assert not wood.known
    assert wood.point_mass.mass == pytest.approx(80 * 200 * 15 * USUAL_DENSITY * 1e-6)
    assert "wood not known" in say_balance(balanced(build), Point(0.0, 0.0))[0]


@pytest.mark.parametrize(
    "nodes", [(), ((35, 0), (-35, 100), (35, 100), (-35, 0)), ((-35, 0), (-35, 90), (35, 90), (35, 0))]
)
def test_half_drawn_heads_are_not_weighed(nodes: tuple[tuple[float, float], ...]) -> None:
    outline = Nodes(nodes=tuple(Node(key=f"n{n}", at=Point(x, y)) for n, (x, y) in enumerate(nodes)))
    build = replace(head(plain_head(), thickness_nut=15.0), outline=outline)
    wood = head_wood(build, lay_out(build))
    assert not wood.told
    assert wood.point_mass.mass == 0.0
    assert say_balance(balanced(build), Point(0.0, 0.0)) == (
        "The weight cannot be told while the outline is open or crosses itself.",
    )
    assert rivals(build, lay_out(build)) == ()
    assert strength(build, lay_out(build)).weakest is None
    assert say_strength(strength(build, lay_out(build)), build, lay_out(build)) == (
        "Strength cannot be told while the outline is open or crosses itself.",
    )


def test_a_line_there_and_back_weighs_nothing() -> None:
    outline = Nodes(nodes=tuple(Node(key=f"n{n}", at=Point(0, y)) for n, y in enumerate((0.0, 50.0))))
    build = replace(plain_head(), outline=outline)
    assert head_wood(build, lay_out(build)).point_mass.mass == pytest.approx(0.0, abs=1e-9)


# Tuners and moments


def test_a_tuner_with_its_button() -> None:
    part = tuner(body_mass=27.0, button_mass=7.0, button=side_button())
    build = head(plain_head(post_at(20.0, 60.0), hardware=(part,)))
    found = balanced(build)
    (post,) = lay_out(build).posts
    assert found.tuners == pytest.approx(34.0)
    assert found.buttons == PointMass(7.0, post.button.centre)
    assert post.body is not None
    assert found.bodies.at.distance(post.body.centre) < 1e-9
    assert found.whole.mass == pytest.approx(found.wood.point_mass.mass + 34.0)


def test_a_plate_weighs_at_its_middle() -> None:
    build = eight_on_plates()
    layout = lay_out(build)
    found = balance(build, layout)
    assert found.bodies.mass == pytest.approx(8 * FOUR_ON_PLATE.body_mass)
    middles = [plate.box.centre for plate in layout.plates]
    assert found.bodies.at.y == pytest.approx(sum(middle.y for middle in middles) / 2)


def test_moments_on_a_level_neck() -> None:
    # 1 kg, its centre 100 mm up a head that falls back by 60 degrees: 50 mm along the neck, 0.49 N m about the nut.
    found = Balance(
        head_wood(plain_head(), lay_out(replace(plain_head(), rows=()))),
        PointMass(0, Point(0, 0)),
        PointMass(0, Point(0, 0)),
        math.radians(60),
    )
    found = replace(found, wood=replace(found.wood, point_mass=PointMass(1000.0, Point(4.0, 100.0))))
    nut = found.about_nut
    assert nut.lever == pytest.approx(50.0)
    assert nut.turns == pytest.approx(GRAVITY * 0.05)
    strap = found.about(Point(10.0, -650.0))
    assert strap.lever == pytest.approx(700.0)
    assert strap.aside == pytest.approx(-6.0)
    assert strap.turns == pytest.approx(GRAVITY * 0.7)
    assert "4 mm right" in say_balance(found, Point(0.0, -650.0))[1]


def test_masses_together() -> None:
    both = together((PointMass(1.0, Point(0, 0)), PointMass(3.0, Point(4, 8))))
    assert both == PointMass(4.0, Point(3, 6))
    assert together((PointMass(1.0, Point(3, 3)), PointMass(-1.0, Point(0, 0)))) == PointMass(
        0.0, Point(0, 0)
    )


# Other tuners


def test_lighter_buttons_save_what_they_are_lighter() -> None:
    build = head(three_and_three())
    own, light, *others = rivals(build, lay_out(build))
    # Six metal buttons of 7 g; plastic ones weigh 30 % of that (from memory: 1.5 to 3 g against 6 to 9 g).
    assert own.balance.whole.mass - light.balance.whole.mass == pytest.approx(6 * 7 * 0.7)
    assert not own.light
    assert light.light
    assert rival_row(light, own, usual_place(build), "mm")[-1] == "29 g"
    assert rival_row(own, own, usual_place(build), "mm")[-1] == "–"
    assert len({(rival.name, rival.light) for rival in (own, light, *others)}) == 2 + len(others)
    assert "plate" not in " ".join(rival.name for rival in others if "four" in rival.name)


def test_a_worked_set_of_tuners() -> None:
    # 6 x 35 g = 210 g against 6 x 25 g = 150 g.
    build = head(three_and_three())
    by_name = {rival.name: rival.balance.tuners for rival in rivals(build, lay_out(build)) if not rival.light}
    assert by_name["enclosed gear, screw-in bushing, one screw"] == pytest.approx(210.0)
    assert by_name["open gear, press-in bushing, own plate"] == pytest.approx(150.0)
    # Friction pegs are light, but these strings pull up to 129 N.
    assert "friction peg" not in by_name


def test_only_metal_buttons_get_lighter() -> None:
    assert metal_button(tuner(button_mass=7.0))
    assert not metal_button(tuner(button_mass=1.5))
    assert not metal_button(FRICTION)
    assert lightened(tuner(button_mass=7.5)).button_mass == pytest.approx(2.25)
    build = four_friction()
    assert not any(rival.light for rival in rivals(build, lay_out(build))[:1])


def test_mixed_rows_keep_the_other_button() -> None:
    parts = (
        tuner(key="one", button_mass=7.0, body_mass=20.0),
        tuner(key="two", button_mass=1.0, body_mass=0.0),
    )
    rows = (
        post_at(20.0, 60.0, key="a", hardware="one"),
        post_at(-20.0, 60.0, "bass", key="b", hardware="two"),
    )
    build = head(plain_head(*rows, hardware=parts))
    own, light = rivals(build, lay_out(build))[:2]
    assert own.name == "plain and plain"
    assert light.balance.buttons.mass == pytest.approx(7.0 * 0.3 + 1.0)
    assert unweighed(lay_out(build)) == ("plain",)


def test_no_tuners_no_rivals() -> None:
    assert rivals(plain_head(), lay_out(plain_head())) == ()


def test_words() -> None:
    build = head(three_and_three())
    words = say_balance(balanced(build), usual_place(build))
    assert words[0].startswith("The head weighs ")
    assert "tuners 168 g, buttons 42 g" in words[0]
    assert "on the centre line" in words[1]
    assert "650 mm from the nut along the neck" in words[2]
    assert place_words(Point(0.0, 30.0), "mm") == "a place 30 mm past the nut"
    assert "from memory" in NOTE
