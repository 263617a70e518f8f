"""A tuner's drawing: figures as large as its measures, and every measure as long as its number."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from geometry.shape.bounds import Bounds
from geometry.trade.hardware import Counterbore, Hardware, RearButton, SideButton
from geometry.trade.hardware_library import (
    ENCLOSED_SCREW_IN,
    ENCLOSED_TWO_PINS,
    FOUR_ON_PLATE,
    FRICTION,
    LIBRARY,
)
from geometry.trade.part_dimensions import dimension
from geometry.trade.part_view import bounds_of, plan, section, string_height, wood_thickness

BORED = replace(
    ENCLOSED_SCREW_IN, bore=replace(ENCLOSED_SCREW_IN.bore, counterbore=Counterbore(diameter=12.0, depth=6.0))
)

MEASURES = [
    (ENCLOSED_SCREW_IN, "post_diameter", 6.0),
    (ENCLOSED_SCREW_IN, "hole_height", 20.0),
    (ENCLOSED_SCREW_IN, "bore.through", 10.0),
    (BORED, "bore.counterbore.diameter", 12.0),
    (BORED, "bore.counterbore.depth", 6.0),
    (ENCLOSED_SCREW_IN, "bushing.root", 8.3),
    (ENCLOSED_SCREW_IN, "bushing.crest", 9.0),
    (ENCLOSED_SCREW_IN, "washer.diameter", 14.0),
    (ENCLOSED_SCREW_IN, "washer.height", 1.0),
    (ENCLOSED_SCREW_IN, "hexagon.diameter", 11.5),
    (ENCLOSED_SCREW_IN, "body.along", 16.0),
    (ENCLOSED_SCREW_IN, "body.across", 21.0),
    (ENCLOSED_SCREW_IN, "body.shift_along", 3.0),
    (ENCLOSED_SCREW_IN, "seat.shift_outward", 0.0),
    (ENCLOSED_SCREW_IN, "button.shaft_offset", 6.5),
    (ENCLOSED_SCREW_IN, "button.shaft_depth", 8.0),
    (ENCLOSED_SCREW_IN, "button.shaft_length", 18.0),
    (ENCLOSED_SCREW_IN, "button.length", 13.0),
    (ENCLOSED_SCREW_IN, "button.swept_diameter", 22.0),
    (ENCLOSED_SCREW_IN, "screws[0].along", 8.5),
    (ENCLOSED_SCREW_IN, "screws[0].outward", 8.5),
    (ENCLOSED_SCREW_IN, "screws[0].diameter", 2.2),
    (ENCLOSED_TWO_PINS, "pins[1].outward", 8.0),
]


@pytest.mark.parametrize(("hardware", "path", "length"), MEASURES, ids=lambda each: str(each)[:30])
def test_a_measure_is_as_long_as_its_number(hardware: Hardware, path: str, length: float) -> None:
    found = dimension(hardware, path)
    assert found is not None
    assert found.one.distance(found.two) == pytest.approx(length)


def test_measures_of_a_rear_button_and_a_plate() -> None:
    assert isinstance(FRICTION.button, RearButton)
    assert FOUR_ON_PLATE.plate is not None
    plate = FOUR_ON_PLATE.plate
    wanted = [
        (FRICTION, "hole_height", FRICTION.hole_height),
        (FRICTION, "button.swept_diameter", FRICTION.button.swept_diameter),
        (FRICTION, "button.length", FRICTION.button.length),
        (FOUR_ON_PLATE, "plate.pitch", plate.pitch),
        (FOUR_ON_PLATE, "plate.first to last", 3 * plate.pitch),
        (FOUR_ON_PLATE, "plate.beyond", plate.beyond),
        (FOUR_ON_PLATE, "plate.across", plate.across),
        (FOUR_ON_PLATE, "plate.shift_outward", abs(plate.shift_outward)),
    ]
    for hardware, path, length in wanted:
        found = dimension(hardware, path)
        assert found is not None
        assert found.one.distance(found.two) == pytest.approx(length), path


@pytest.mark.parametrize(
    "path",
    [
        "bore.counterbore.depth",
        "bushing.root",
        "washer.height",
        "body.along",
        "plate.pitch",
        "plate.posts",
        "pins[0].along",
        "screws[9].along",
        "screws[0].length",
        "button.axis",
        "name",
        "",
    ],
)
def test_what_is_not_there_has_no_measure(path: str) -> None:
    bare = replace(ENCLOSED_SCREW_IN, bushing=None, washer=None, body=None)
    assert dimension(bare, path) is None
    assert dimension(FRICTION, "button.axis") is None
    assert dimension(FOUR_ON_PLATE, "plate.posts") is None


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_measures_lie_on_the_drawing(hardware: Hardware) -> None:
    views = {"plan": bounds_of(plan(hardware)), "section": bounds_of(section(hardware))}
    paths = [
        "post_diameter",
        "hole_height",
        "bore.through",
        "button.length",
        "button.swept_diameter",
        "body.along",
    ]
    for path in paths:
        found = dimension(hardware, path)
        if found is None:
            assert path == "body.along"
            continue
        whole = views[found.view]
        for end in (found.one, found.two):
            if not (path == "body.along" and hardware.plate):
                assert whole.left - 1e-9 <= end.x <= whole.right + 1e-9
                assert whole.bottom - 1e-9 <= end.y <= whole.top + 1e-9


def test_the_plan_is_as_large_as_the_part() -> None:
    # The button reaches 18 + 13 outward, the body half of 21 inward; the button 22/2 beside the shaft at 6.5.
    assert bounds_of(plan(ENCLOSED_SCREW_IN)) == Bounds(-10.5, min(-9.6, 6.5 - 11), 31.0, 17.5)


def test_the_section_stands_on_the_wood_in_the_middle_of_its_range() -> None:
    thick = (11.0 + 16.0) / 2
    assert wood_thickness(ENCLOSED_SCREW_IN) == thick
    assert string_height(ENCLOSED_SCREW_IN) == pytest.approx(20.0 - thick)
    whole = bounds_of(section(ENCLOSED_SCREW_IN))
    # The button hangs 22/2 below its shaft, the shaft 8 below the back.
    assert whole.bottom == pytest.approx(-thick - 8.0 - 11.0)
    assert whole.right == pytest.approx(31.0)


def test_a_rear_button_counts_its_string_from_the_collar() -> None:
    assert string_height(FRICTION) == pytest.approx(FRICTION.collar_height + FRICTION.hole_height)
    kinds = [figure.kind for figure in section(FRICTION)]
    assert "shaft" not in kinds
    assert kinds.count("button") == 1


def test_all_posts_of_a_plate_are_drawn() -> None:
    kinds = [figure.kind for figure in plan(FOUR_ON_PLATE)]
    assert kinds.count("post") == 4
    assert kinds.count("button") == 4
    assert kinds.count("plate") == 1
    assert kinds.count("body") == 0
    assert isinstance(FOUR_ON_PLATE.button, SideButton)


def test_a_counterbore_is_cut_from_the_face() -> None:
    bores = [figure.box for figure in section(BORED) if figure.kind == "bore"]
    assert bores[1] == Bounds(-6.0, -6.0, 6.0, 0.0)
