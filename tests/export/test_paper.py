"""Paper sizes and what a printer may be corrected by."""

from __future__ import annotations

import math

import pytest

from export.paper import PAPERS, Paper, paper_named
from geometry.trade.shop import PrinterProfile


def test_iso_sizes_halve() -> None:
    # ISO 216: A0 is 841 by 1189 mm; each next size is half the one before, whole millimetres, rounded down.
    long, short = 1189, 841
    for number in range(1, 6):
        long, short = short, math.floor(long / 2)
        assert (PAPERS[f"A{number}"].width, PAPERS[f"A{number}"].height) == (short, long)


@pytest.mark.parametrize(
    ("name", "wide", "high"), [("Letter", 8.5, 11), ("Legal", 8.5, 14), ("Tabloid", 11, 17)]
)
def test_american_sizes_are_whole_halves_of_an_inch(name: str, wide: float, high: float) -> None:
    # ANSI/ASME Y14.1: A is 8.5 by 11 in, B is 11 by 17 in.
    paper = PAPERS[name]
    assert paper.width == pytest.approx(wide * 25.4)
    assert paper.height == pytest.approx(high * 25.4)


def test_papers_stand_upright_and_lie_down() -> None:
    assert all(paper.width < paper.height for paper in PAPERS.values())
    assert PAPERS["A4"].landscape == Paper("A4 landscape", 297.0, 210.0)


def test_papers_are_found_by_name() -> None:
    assert paper_named(" letter") is PAPERS["Letter"]
    with pytest.raises(ValueError, match=r'no paper called "A9".*A5, A4'):
        paper_named("A9")


@pytest.mark.parametrize("factor", [0.95, 1.0, 1.05])
def test_small_corrections_are_taken(factor: float) -> None:
    assert PrinterProfile("laser", factor, factor).correction == f"x {factor:.4f} y {factor:.4f}"


@pytest.mark.parametrize("factor", [0.9499, 1.0501, math.nan, math.inf, 0.0, -1.0])
def test_large_corrections_are_refused(factor: float) -> None:
    with pytest.raises(ValueError, match="factor across"):
        PrinterProfile("laser", factor, 1.0)
    with pytest.raises(ValueError, match="factor up"):
        PrinterProfile("laser", 1.0, factor)
