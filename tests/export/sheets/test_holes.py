"""The list of all holes says every hole once, where and how it is drilled."""

from __future__ import annotations

import csv
import io

import pytest

from export.sheets.holes import (
    COUNTERBORE,
    HEADER,
    PIN_HOLE,
    POST_BORE,
    SCREW_PILOT,
    Hole,
    hole_rows,
    write_holes,
)
from geometry.bench.small_holes import small_hole_names
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.layout.names import natural
from geometry.trade.hardware_library import ENCLOSED_TWO_PINS, OPEN_GEAR
from tests.builds import (
    INSET,
    PITCH,
    START,
    change,
    eight_on_plates,
    plain_head,
    row,
    six_in_line,
    three_and_three,
    tuner,
    twelve_strings,
)


def holes(build: Build) -> tuple[Hole, ...]:
    return hole_rows(build, lay_out(build))


def test_bores_of_a_plain_head_stand_where_the_rule_puts_them() -> None:
    found = holes(plain_head(row("treble", 2), row("bass", 1)))
    x = 40.0 - INSET
    assert [hole.name for hole in found] == ["spare A", "spare B", "spare C"]
    assert [hole.x for hole in found] == pytest.approx([x, x, -x])
    assert [hole.y for hole in found] == pytest.approx([START, START + PITCH, START])
    assert {(hole.diameter, hole.depth, hole.side, hole.purpose) for hole in found} == {
        (10.0, None, "face", POST_BORE)
    }


def test_a_counterbore_is_a_hole_of_its_own() -> None:
    build = plain_head(row("treble", 1, hardware=OPEN_GEAR.key), hardware=(OPEN_GEAR,))
    bore, counterbore, *screws = holes(build)
    assert (bore.diameter, bore.depth, bore.side, bore.purpose) == (6.5, None, "face", POST_BORE)
    assert (counterbore.diameter, counterbore.depth, counterbore.side) == (8.8, 9.0, "face")
    assert counterbore.purpose == COUNTERBORE
    assert (counterbore.x, counterbore.y) == (bore.x, bore.y)
    assert [(hole.name, hole.purpose) for hole in screws] == [
        ("S1", f"{SCREW_PILOT} of spare A"),
        ("S2", f"{SCREW_PILOT} of spare A"),
    ]


def test_a_tapered_bore_says_so() -> None:
    build = plain_head(row("treble", 1), hardware=(tuner(tapered=True),))
    assert [hole.purpose for hole in holes(build)] == ["post bore, reamed to a taper"]


# National Design Specification, wood screws: 90 % of the root in hard wood, 70 % in soft wood; root 1.5 mm.
@pytest.mark.parametrize(("wood", "pilot"), [("sugar maple", 1.4), ("Sitka spruce", 1.1), ("", 1.4)])
def test_screws_get_the_pilot_of_the_wood(wood: str, pilot: float) -> None:
    build = three_and_three()
    found = holes(change(build, head=change(build.head, wood=wood)))
    screws = [hole for hole in found if hole.purpose.startswith(SCREW_PILOT)]
    assert len(screws) == 6
    for hole in screws:
        assert hole.diameter == pytest.approx(pilot)
        assert (hole.depth, hole.side) == (10.0, "back")


def test_pins_are_drilled_to_their_own_diameter_from_the_back() -> None:
    build = plain_head(row("treble", 1, hardware=ENCLOSED_TWO_PINS.key), hardware=(ENCLOSED_TWO_PINS,))
    pins = [hole for hole in holes(build) if hole.purpose.startswith(PIN_HOLE)]
    # 2 mm towards the nut, 8 mm outward and inward of the post at (20, 60): the library's places.
    assert sorted((round(hole.x, 9), round(hole.y, 9)) for hole in pins) == [(12.0, 58.0), (28.0, 58.0)]
    assert {(hole.diameter, hole.depth, hole.side) for hole in pins} == {(2.0, 3.0, "back")}
    assert [hole.name for hole in pins] == ["P1", "P2"]


def test_a_shared_screw_is_listed_once_under_both_names() -> None:
    screws = [hole for hole in holes(six_in_line()) if hole.name.startswith("S")]
    # String 6 goes to the post nearest the nut, string 1 to the one at the tip.
    owners = {hole.purpose.removeprefix(f"{SCREW_PILOT} of ") for hole in screws}
    assert owners == {"6", "6 and 5", "5 and 4", "4 and 3", "3 and 2", "2 and 1", "1"}
    assert len(screws) == 7


def test_screws_of_a_plate_say_which_posts_it_carries() -> None:
    screws = [hole.purpose for hole in holes(eight_on_plates()) if hole.name.startswith("S")]
    assert screws == [f"{SCREW_PILOT} of 1a to 2b"] * 4 + [f"{SCREW_PILOT} of 4b to 3a"] * 4


def test_screws_have_the_names_that_the_back_shows() -> None:
    build = three_and_three()
    layout = lay_out(build)
    listed = {hole.name: (hole.x, hole.y) for hole in hole_rows(build, layout)}
    for name, hole in zip(small_hole_names(layout), layout.holes, strict=True):
        assert listed[name] == (hole.at.x, hole.at.y)


def test_rows_are_sorted_by_purpose_and_as_people_count() -> None:
    found = holes(twelve_strings())
    numbers = "123456"
    bores = [f"{number}{letter}" for number in numbers for letter in "ab"]
    assert [hole.name for hole in found] == bores + [f"S{number}" for number in range(1, 13)]


def test_names_sort_with_their_numbers() -> None:
    assert sorted(["S10", "10", "2", "1b", "S2", "1a"], key=natural) == ["1a", "1b", "2", "10", "S2", "S10"]


def test_the_table_reads_back() -> None:
    build = three_and_three()
    lines = list(csv.reader(io.StringIO(write_holes(holes(build), "1A2B3C4D").decode(), newline="")))
    assert tuple(lines[0]) == HEADER
    places = {post.label: post.at for post in lay_out(build).posts}
    bores = [line for line in lines[1:] if line[-2] == POST_BORE]
    assert len(bores) == 6
    for name, x, y, diameter, depth, side, *_ in bores:
        assert (float(x), float(y)) == pytest.approx((places[name].x, places[name].y), abs=0.00051)
        assert (diameter, depth, side) == ("10.000", "through", "face")


def test_a_left_handed_build_mirrors() -> None:
    right, left = holes(three_and_three()), holes(three_and_three(hand="left"))
    assert [hole.name for hole in left] == [hole.name for hole in right]
    assert [hole.x for hole in left] == pytest.approx([-hole.x for hole in right])
    assert [hole.y for hole in left] == pytest.approx([hole.y for hole in right])
