"""The sheet of the printed guide says what this guide is, and what its holes may lead."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from export.drawing import Text
from export.sheet_kind import SheetError
from export.sheets.guide_use import GUIDE_USE
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.trade.shop import Shop
from tests.builds import plain_head, three_and_three

ROOM = (180.0, 240.0)


def said(build: Build, shop: Shop) -> str:
    sheets = GUIDE_USE.drawn(build, lay_out(build), shop, ROOM)
    assert len(sheets) == 1
    marks = sheets[0].drawing.marks
    return " ".join(mark.shape.words for mark in marks if isinstance(mark.shape, Text))


def test_a_printed_hole_leads_a_pilot_bit_and_nothing_else() -> None:
    words = said(three_and_three(), Shop())
    assert "Its holes lead a pilot bit of 2 mm and nothing else" in words
    assert "in one piece" in words
    assert "dowels" not in words


def test_metal_bushings_are_pressed_in() -> None:
    words = said(three_and_three(), Shop(guide_bushing=6.0))
    assert "take metal bushings of 6 mm outside" in words
    assert "Press the bushings in" in words
    assert "pilot bit of" not in words


def test_an_inch_shop_reads_which_drill_serves_as_well() -> None:
    # 5/64 in is 1.984 mm, which runs in a hole of 2 mm; the next, 3/32 in, is 2.381 mm.
    assert "a pilot bit of 2.0 mm · 5/64 in and nothing else" in said(three_and_three(), Shop(units="inch"))


def test_it_is_proved_over_the_two_holes_farthest_apart() -> None:
    posts = lay_out(three_and_three()).posts
    far = max(math.hypot(a.at.x - b.at.x, a.at.y - b.at.y) for a, b in combinations(posts, 2))
    assert f"{far:.2f} mm plus the thickness of one bit" in said(three_and_three(), Shop())


def test_what_is_larger_than_the_bed_is_joined_by_dowels() -> None:
    words = said(three_and_three(), Shop(bed_width=120.0, bed_depth=130.0))
    assert "in two pieces, joined by dowels" in words
    assert "Two dowels of 3 mm, 24 mm long" in words


@pytest.mark.parametrize("bed", [(60.0, 60.0), (80.0, 80.0), (150.0, 60.0)])
def test_what_is_larger_than_the_bed_in_two_has_no_sheet(bed: tuple[float, float]) -> None:
    with pytest.raises(SheetError, match="Even in two pieces"):
        said(three_and_three(), Shop(bed_width=bed[0], bed_depth=bed[1]))


def test_a_head_without_bores_has_no_guide() -> None:
    with pytest.raises(SheetError, match="it has no bores"):
        said(plain_head(), Shop())
