"""The strings' sheet: every string with its pull and its length, sources, estimates, units."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest

from export.drawing import Drawing, Sheet, Text
from export.page import paginate, room
from export.paper import PAPERS, Stamp
from export.sheets.cautions import FOR_STRINGS
from export.sheets.strings import STRINGS, cut_table, load_table
from geometry.document.build import Build, String
from geometry.layout.layout import lay_out
from geometry.layout.string_loads import string_cuts, string_loads
from geometry.shape.segment import Bounds
from geometry.trade.limits import ChangedLimit
from geometry.trade.quantities import show_force, show_stress
from geometry.trade.shop import Shop
from tests.builds import READY_MADE, change, plain_head, post_at, six_in_line, twelve_strings

BLANK = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=FOR_STRINGS)
A4, A5 = (room(BLANK, Stamp(build="Build", paper=PAPERS[name])) for name in ("A4", "A5"))


def sheets_of(build: Build, shop: Shop | None = None, within: tuple[float, float] = A4) -> tuple[Sheet, ...]:
    return STRINGS.drawn(build, lay_out(build), shop or Shop(), within)


def texts(sheets: tuple[Sheet, ...]) -> list[Text]:
    return [mark.shape for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def said(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(text.words for text in texts(sheets))


@pytest.mark.parametrize("make", READY_MADE)
def test_one_page_on_usual_paper_with_its_cautions(make: Callable[[], Build]) -> None:
    (sheet,) = sheets_of(make())
    assert (sheet.name, sheet.cautions) == ("strings", FOR_STRINGS)
    assert len(paginate(sheet, Stamp(build="Strings", paper=PAPERS["A4"]))) == 1


def test_narrow_paper_halves_the_table_and_loses_nothing() -> None:
    narrow = sheets_of(twelve_strings(), within=A5)
    assert len(narrow) > 1
    # Twice in the halves of the loads and once in the lengths.
    assert [text.words for text in texts(narrow)].count("6b") == 3
    for sheet in narrow:
        for one, other in combinations([text.bounds.grown(-0.05) for text in texts((sheet,))], 2):
            assert not one.overlaps(other)


def test_no_strings_no_sheet() -> None:
    assert sheets_of(plain_head()) == ()


def test_a_row_of_loads_and_a_row_of_lengths() -> None:
    # By hand: 0.010 in of steel at E4 over 25.5 in with 7850 kg/m3 is 72.5 N, 1431 MPa, 54 % of 387 000 psi,
    # with 7800 it is 72.1, 1422 and 53; 100 mm to the post, then 3 turns round 6.254 mm and 25 mm: 58.9 + 25 = 84 mm.
    string = String(key="s1", name="E4", diameter=0.254)
    build = plain_head(
        post_at(3.127, 100.0, turns=3.0), slots=(0.0,), strings=(string,), scale_length=25.5 * 25.4
    )
    layout = lay_out(build)
    (load,) = load_table(string_loads(build), layout, "mm").rows
    assert load.cells == (
        "1", "E4", "329.63 Hz", "0.254 mm", "plain", "0.395 g/m", "72.1 N", "1420 MPa", "53 %",
    )  # fmt: skip
    (cut,) = cut_table(string_cuts(layout), layout, "mm").rows
    assert cut.cells == ("1", "3", "100 mm", "84 mm", "184 mm")
    (cut,) = cut_table(string_cuts(layout), layout, "inch").rows
    # 3.94, 3.30 and 7.24 in to the sixteenth.
    assert cut.cells[2:] == ("3 15/16 in", "3 5/16 in", "7 1/4 in")


def test_units_of_pull_and_stress() -> None:
    assert show_force(72.5, "mm") == "72.5 N"
    assert show_force(72.5, "inch") == "16.3 lbf"
    assert show_stress(1431.0, "mm") == "1430 MPa"
    assert show_stress(1431.0, "inch") == "208,000 psi"


def test_an_estimate_is_told_until_the_weight_is_typed_in() -> None:
    build = plain_head(strings=(String(key="s1", name="E2", diameter=1.17, kind="wound"),))
    assert "≈ marks an estimate" in said(sheets_of(build))
    assert "All together ≈" in said(sheets_of(build))
    typed = change(build, strings=(change(build.strings[0], unit_weight=6.5),))
    assert "≈" not in said(sheets_of(typed))
    assert "wound: typed in" in said(sheets_of(typed))


def test_strings_without_a_pitch_are_counted() -> None:
    known = String(key="s1", name="E4", diameter=0.254)
    build = plain_head(strings=(known, change(known, key="s2", name="second")))
    assert "without 1 of 2 strings whose pitch is not known" in said(sheets_of(build))
    assert "Where to cut" not in said(sheets_of(build))


def test_only_steel_speaks_of_its_strength() -> None:
    assert "ASTM A228 music wire" in said(sheets_of(six_in_line()))
    assert "watch above 75 %, stop above 95 %" in said(sheets_of(six_in_line()))
    stricter = six_in_line(limits=(ChangedLimit("string stress", "watch", 60.0),))
    assert "watch above 60 %, stop above 95 %" in said(sheets_of(stricter))
    nylon = plain_head(strings=(String(key="s", name="A4", diameter=0.6, kind="nylon"),))
    assert "ASTM A228 music wire" not in said(sheets_of(nylon))


def test_every_source_is_told_once() -> None:
    words = said(sheets_of(six_in_line()))
    assert words.count("Unit weight, plain:") == 1
    assert words.count("Unit weight, wound:") == 1
    assert "Mersenne" in words
