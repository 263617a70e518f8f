"""The bore ladder on paper: true bores, apart from each other, with their words."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest

from export.drawing import Drawing, Role, Sheet, Text
from export.page import paginate, room
from export.paper import PAPERS, Stamp
from export.sheets.cautions import FOR_TEMPLATES
from export.sheets.ladder import HOW, KEEP, LADDER, RIGHT_FREE, RIGHT_RIBBED, WALL
from geometry.bench.bore_fit import ladders
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.segment import Bounds, Circle
from geometry.trade.shop import Shop
from tests.builds import (
    READY_MADE,
    bass_two_and_two,
    change,
    four_friction,
    laden_head,
    plain_head,
    row,
    six_in_line,
    three_and_three,
    tuner,
)

BLANK = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=FOR_TEMPLATES)
A4, A5 = (room(BLANK, Stamp(build="Build", paper=PAPERS[name])) for name in ("A4", "A5"))
ALL_SETS = ("metric", "fraction", "number", "letter")


def sheets_of(build: Build, within: tuple[float, float] = A4, **shop: object) -> tuple[Sheet, ...]:
    return LADDER.drawn(build, lay_out(build), Shop(**shop), within)  # type: ignore[arg-type]


def bores(sheets: tuple[Sheet, ...]) -> list[Circle]:
    marks = [mark for sheet in sheets for mark in sheet.drawing.only(Role.BORE).marks]
    return [mark.shape for mark in marks if isinstance(mark.shape, Circle)]


def texts(sheet: Sheet) -> list[Text]:
    return [mark.shape for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


@pytest.mark.parametrize("within", [A4, A5])
@pytest.mark.parametrize("sets", [("metric", "fraction"), ALL_SETS, ("fraction",)])
@pytest.mark.parametrize("make", [*READY_MADE, laden_head])
def test_bores_are_true_and_stand_apart(
    make: Callable[[], Build], sets: tuple[str, ...], within: tuple[float, float]
) -> None:
    build, shop = make(), Shop(drill_sets=sets)  # type: ignore[arg-type]
    sheets = sheets_of(build, within, drill_sets=sets)
    wanted = [drill.diameter for ladder in ladders(build, lay_out(build), shop) for drill in ladder.rungs]
    assert [2 * bore.radius for bore in bores(sheets)] == pytest.approx(wanted)
    for sheet in sheets:
        for one, other in combinations(bores((sheet,)), 2):
            assert one.centre.distance(other.centre) - one.radius - other.radius >= WALL - 1e-6
        for block, next_block in combinations([text.bounds.grown(-0.05) for text in texts(sheet)], 2):
            assert not block.overlaps(next_block)
        for bore in bores((sheet,)):
            for text in texts(sheet):
                assert not text.bounds.overlaps(bore.bounds)
        assert sheet.bounds.width <= within[0] + 1e-6
        assert sheet.bounds.height <= within[1] + 1e-6


def test_every_bore_lies_on_its_coupon_and_has_a_crosshair() -> None:
    (sheet,) = sheets_of(six_in_line())
    coupon = sheet.drawing.only(Role.CUT_LINE).bounds
    for bore in bores((sheet,)):
        assert coupon.joined(bore.bounds.grown(WALL / 2)) == coupon
    assert len(sheet.drawing.only(Role.CENTRE_DOT).marks) == len(bores((sheet,)))


def test_one_kind_of_tuner_one_coupon_and_pages_where_they_do_not_fit() -> None:
    kinds = tuple(tuner(key=f"kind{n}", name=f"kind {n}") for n in range(9))
    rows = tuple(
        change(row(key=f"row{n}"), hardware=f"kind{n}", side="bass" if n % 2 else "treble") for n in range(9)
    )
    build = plain_head(*rows, hardware=kinds)
    sheets = sheets_of(build)
    assert len(sheets) > 1
    assert [sheet.name for sheet in sheets] == [f"ladder-{n}" for n in range(1, len(sheets) + 1)]
    assert sum(len(sheet.drawing.only(Role.CUT_LINE).marks) for sheet in sheets) == 9
    for sheet in sheets:
        assert len(paginate(sheet, Stamp(build="Ladder", paper=PAPERS["A4"]))) == 1


def test_what_is_inside_the_fit_stands_in_bold() -> None:
    build = six_in_line()
    build = change(build, head=change(build.head, wood="sugar maple"))
    (sheet,) = sheets_of(build)
    bold = {text.words for text in texts(sheet) if text.bold}
    # Hard wood, crest 8.8: drills from 8.63 to 8.75, and the build has 8.7.
    assert {"8.7 mm", "as the build", "11/32 in"} <= bold
    assert not {"8.8 mm", "8.6 mm"} & bold
    assert "in bold" in " ".join(text.words for text in texts(sheet))


def test_where_no_drill_is_inside_the_fit_it_says_so() -> None:
    build = bass_two_and_two()
    build = change(build, head=change(build.head, wood="white ash"))
    (sheet,) = sheets_of(build, drill_sets=("fraction",))
    assert "none of these" in " ".join(text.words for text in texts(sheet))


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (six_in_line, {RIGHT_RIBBED, KEEP}),
        (three_and_three, {RIGHT_FREE, KEEP}),
        (four_friction, {RIGHT_FREE}),
    ],
)
def test_only_what_these_tuners_want_is_told(make: Callable[[], Build], told: set[str]) -> None:
    (sheet,) = sheets_of(make())
    words = " ".join(text.words for text in texts(sheet))
    assert HOW in words
    for sentence in (RIGHT_RIBBED, RIGHT_FREE, KEEP):
        assert (sentence in words) == (sentence in told)


def test_nothing_to_try_no_sheet() -> None:
    assert sheets_of(plain_head()) == ()
    assert sheets_of(six_in_line(), drill_sets=()) == ()
