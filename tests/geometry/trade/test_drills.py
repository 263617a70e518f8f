"""The drill series against the standard's decimals, and the choice of a drill."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import cast, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.trade.drills import (
    FRACTIONS,
    LETTERS,
    METRIC,
    NUMBERS,
    Drill,
    Series,
    nearest,
    own_drill,
    series_drills,
)

EVERY_DRILL = METRIC + FRACTIONS + NUMBERS + LETTERS

diameters = st.floats(0.1, 40)
largest_diameters = st.floats(0.1, 30)


# Inch decimal and its millimetres, from the table of ASME B94.11M.
@pytest.mark.parametrize(
    ("name", "inches", "millimetres"),
    [
        ("#1", 0.2280, 5.791),
        ("#7", 0.2010, 5.105),
        ("#12", 0.1890, 4.801),
        ("#19", 0.1660, 4.216),
        ("#25", 0.1495, 3.797),
        ("#30", 0.1285, 3.264),
        ("#36", 0.1065, 2.705),
        ("#43", 0.0890, 2.261),
        ("#47", 0.0785, 1.994),
        ("#52", 0.0635, 1.613),
        ("#56", 0.0465, 1.181),
        ("#60", 0.0400, 1.016),
        ("letter A", 0.234, 5.944),
        ("letter F", 0.257, 6.528),
        ("letter I", 0.272, 6.909),
        ("letter N", 0.302, 7.671),
        ("letter O", 0.316, 8.026),
        ("letter S", 0.348, 8.839),
        ("letter U", 0.368, 9.347),
        ("letter X", 0.397, 10.084),
        ("letter Z", 0.413, 10.490),
        ("25/64 in", 0.390625, 9.921875),
        ("11/32 in", 0.34375, 8.73125),
        ("1/64 in", 0.015625, 0.396875),
        ("3/4 in", 0.75, 19.05),
        ("1 in", 1.0, 25.4),
        ("10.0 mm", 0.3937, 10.0),
        ("2.95 mm", 0.11614, 2.95),
        ("14.25 mm", 0.56102, 14.25),
    ],
)
def test_marked_sizes(name: str, inches: float, millimetres: float) -> None:
    [drill] = [drill for drill in EVERY_DRILL if drill.name == name]
    assert drill.diameter_inch == pytest.approx(inches, abs=0.000005)
    assert drill.diameter == pytest.approx(millimetres, abs=0.0005)


NUMBER_INCHES = """
0.2280 0.2210 0.2130 0.2090 0.2055 0.2040 0.2010 0.1990 0.1960 0.1935 0.1910 0.1890 0.1850 0.1820 0.1800
0.1770 0.1730 0.1695 0.1660 0.1610 0.1590 0.1570 0.1540 0.1520 0.1495 0.1470 0.1440 0.1405 0.1360 0.1285
0.1200 0.1160 0.1130 0.1110 0.1100 0.1065 0.1040 0.1015 0.0995 0.0980 0.0960 0.0935 0.0890 0.0860 0.0820
0.0810 0.0785 0.0760 0.0730 0.0700 0.0670 0.0635 0.0595 0.0550 0.0520 0.0465 0.0430 0.0420 0.0410 0.0400
"""
LETTER_INCHES = """
0.234 0.238 0.242 0.246 0.250 0.257 0.261 0.266 0.272 0.277 0.281 0.290 0.295
0.302 0.316 0.323 0.332 0.339 0.348 0.358 0.368 0.377 0.386 0.397 0.404 0.413
"""


@pytest.mark.parametrize(("drills", "table"), [(NUMBERS, NUMBER_INCHES), (LETTERS, LETTER_INCHES)])
def test_the_whole_tables_of_numbers_and_letters(drills: tuple[Drill, ...], table: str) -> None:
    # ASME B94.11M, number sizes 1 to 60 and letter sizes A to Z, in inches; read in a copy.
    assert [drill.diameter_inch for drill in drills] == pytest.approx([float(each) for each in table.split()])


def test_letter_e_is_a_quarter_inch() -> None:
    [letter] = [drill for drill in LETTERS if drill.name == "letter E"]
    assert letter.diameter == 6.35


def test_number_sizes_fall_and_letters_rise_from_where_numbers_end() -> None:
    numbers = [drill.diameter for drill in NUMBERS]
    letters = [drill.diameter for drill in LETTERS]
    assert len(numbers) == 60
    assert numbers == sorted(set(numbers), reverse=True)
    assert len(letters) == 26
    assert letters == sorted(set(letters))
    assert numbers[0] < letters[0]


def test_fractions_are_exact_64ths_in_lowest_terms() -> None:
    assert [drill.diameter_inch for drill in FRACTIONS] == [n / 64 for n in range(1, 65)]
    assert [drill.diameter for drill in FRACTIONS] == [
        float(Decimal(n) / 64 * Decimal("25.4")) for n in range(1, 65)
    ]
    assert [drill.name for drill in FRACTIONS[:4]] == ["1/64 in", "1/32 in", "3/64 in", "1/16 in"]


def test_metric_steps() -> None:
    sizes = [Decimal(str(drill.diameter)) for drill in METRIC]
    steps = {upper - lower for lower, upper in pairwise(sizes)}
    assert steps == {Decimal("0.05"), Decimal("0.1"), Decimal("0.25")}
    assert [size for size in sizes if size < 3] == [Decimal(n) / 20 for n in range(20, 60)]
    assert [size for size in sizes if 3 <= size < 14] == [Decimal(n) / 10 for n in range(30, 140)]
    assert [size for size in sizes if size >= 14] == [Decimal(n) / 4 for n in range(56, 101)]


def test_names_are_unique_and_inches_agree_with_millimetres() -> None:
    assert len({drill.name for drill in EVERY_DRILL}) == len(EVERY_DRILL)
    for drill in EVERY_DRILL:
        assert drill.diameter_inch * 25.4 == pytest.approx(drill.diameter, rel=1e-15)


def test_series_by_name() -> None:
    for series in cast(tuple[Series, ...], get_args(Series)):
        assert {drill.series for drill in series_drills(series)} == {series}
    assert sum(len(series_drills(series)) for series in get_args(Series)) == len(EVERY_DRILL)


def test_own_drill_is_named_by_its_size() -> None:
    reamer = own_drill(10.05)
    assert (reamer.name, reamer.series, reamer.diameter) == ("10.05 mm", "own", 10.05)
    assert own_drill(8).name == "8.0 mm"


@pytest.mark.parametrize(
    ("diameter", "largest", "name", "difference"),
    [
        (10.0, None, "10.0 mm", 0.0),
        (8.73, None, "8.7 mm", -0.03),
        (8.77, None, "8.8 mm", 0.03),
        (8.77, 8.77, "8.7 mm", -0.07),
        (8.8, 8.8, "8.8 mm", 0.0),
        (10.05, None, "10.0 mm", -0.05),  # as far from 10.1: the smaller
        (40.0, None, "25.0 mm", -15.0),
    ],
)
def test_nearest_metric_drill(diameter: float, largest: float | None, name: str, difference: float) -> None:
    found = nearest(diameter, METRIC, largest)
    assert found is not None
    assert found[0].name == name
    assert found[1] == pytest.approx(difference, abs=1e-9)


def test_of_equal_drills_the_first_listed_is_taken() -> None:
    for drills, name in ((FRACTIONS + LETTERS, "1/4 in"), (LETTERS + FRACTIONS, "letter E")):
        found = nearest(6.35, drills)
        assert found is not None
        assert found[0].name == name


def test_no_drill_left_is_none() -> None:
    assert nearest(8.0, ()) is None
    assert nearest(8.0, METRIC, largest=0.9) is None


@pytest.mark.parametrize(
    ("diameter", "name"),
    [(10.0, "25/64 in"), (8.8, "11/32 in"), (6.35, "1/4 in"), (0.01, "1/64 in"), (90.0, "1 in")],
)
def test_the_nearest_64th_of_an_inch(diameter: float, name: str) -> None:
    found = nearest(diameter, FRACTIONS)
    assert found is not None
    assert found[0].name == name


@given(diameters, largest_diameters | st.none())
def test_no_allowed_drill_is_nearer(diameter: float, largest: float | None) -> None:
    allowed = [drill for drill in EVERY_DRILL if largest is None or drill.diameter <= largest]
    found = nearest(diameter, EVERY_DRILL, largest)
    assert (found is None) == (not allowed)
    if found is not None:
        drill, difference = found
        assert difference == drill.diameter - diameter
        assert all(abs(difference) <= abs(other.diameter - diameter) + 1e-6 for other in allowed)
        assert largest is None or drill.diameter <= largest + 1e-6
