"""Factors of printers: wanted length over measured length, on each axis."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.messages import Refusal
from app.output.printer_correction import factor, rulers_of, rulers_page, with_printer, without_printer
from export.drawing import Role, Text
from export.paper import PAPERS
from geometry.document.codec import read_shop, write_shop
from geometry.trade.shop import PrinterProfile, Shop


def test_a_short_ruler_is_lengthened() -> None:
    assert factor(150.0, 149.6) == pytest.approx(1.0026738, abs=1e-7)


@given(st.floats(0.951, 1.049), st.floats(50.0, 300.0))
def test_the_factor_makes_the_next_print_true(stretch: float, wanted: float) -> None:
    printed = wanted * stretch  # what a printer that stretches by so much makes of it
    if 0.95 <= 1 / stretch <= 1.05:
        assert factor(wanted, printed) * wanted * stretch == pytest.approx(wanted)
    else:
        with pytest.raises(Refusal):
            factor(wanted, printed)


@pytest.mark.parametrize("measured", [188.0, 211.0, 0.0])
def test_a_page_that_was_fitted_is_refused_in_words(measured: float) -> None:
    with pytest.raises(Refusal, match="instead of 200 mm is no fault of the printer"):
        factor(200.0, measured)


def test_the_ends_of_the_range_are_in_it() -> None:
    assert factor(0.95, 1.0) == 0.95
    assert factor(1.05, 1.0) == 1.05


def test_a_refusal_speaks_the_makers_units() -> None:
    with pytest.raises(Refusal, match="5 in instead of 6 in"):
        factor(6 * 25.4, 5 * 25.4, "inch")


@pytest.mark.parametrize("name", list(PAPERS))
def test_the_rulers_that_are_asked_for_are_on_the_page(name: str) -> None:
    paper = PAPERS[name]
    words = [
        mark.shape.words
        for placed in rulers_page(paper, "Back room").placed
        for mark in placed.sheet.drawing.marks
        if isinstance(mark.shape, Text) and mark.role is Role.TITLE
    ]
    asked = rulers_of(paper, "mm")
    assert any(f"0 to {asked['across']:.0f} must measure" in line for line in words)
    if asked["across"] != asked["up"]:
        assert any(f"0 to {asked['up']:.0f} must measure" in line for line in words) or name == "A5"
    assert any("Back room" in line and "x 1.0000 y 1.0000" in line for line in words)


def test_inches_are_read_at_a_whole_inch() -> None:
    rulers = rulers_of(PAPERS["A4"], "inch")
    assert (rulers["across"] / 25.4, rulers["up"] / 25.4) == pytest.approx((6.0, 8.0))


def test_a_shop_keeps_one_correction_a_printer() -> None:
    first = with_printer(Shop(), PrinterProfile(name="Back room", factor_x=1.01))
    second = with_printer(first, PrinterProfile(name="Back room", factor_x=1.02))
    assert [(each.name, each.factor_x) for each in second.printers] == [
        ("not corrected", 1.0),
        ("Back room", 1.02),
    ]
    assert read_shop(write_shop(second)) == second
    assert without_printer(second, "Back room") == Shop()
    assert without_printer(Shop(), "not corrected") == Shop()
