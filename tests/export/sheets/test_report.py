"""The report says whether to drill, what is wrong, how near the rest is, and what to buy."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import msgspec
import pytest

from export.drawing import Drawing, Role, Sheet, Text
from export.flow import BODY
from export.page import paginate_all
from export.page import room as page_room
from export.paper import PAPERS, Stamp
from export.sheets.report import pieces_to_buy, report_sheets
from export.text import SMALLEST
from geometry.checks.judge import Finding, Level, findings
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.segment import Bounds
from geometry.trade.hardware_library import FOUR_ON_PLATE
from geometry.trade.limits import ChangedLimit
from geometry.trade.sentence import say_note
from geometry.trade.shop import PrinterProfile, Shop
from geometry.trade.units import Units
from tests.builds import (
    PLAIN_TUNER,
    READY_MADE,
    REAR_TUNER,
    bass_two_and_two,
    change,
    eight_on_plates,
    four_friction,
    nodes,
    plain_head,
    row,
    six_in_line,
    three_and_three,
    three_strings,
)

BANNER = "Stop: 2 faults. Do not drill this head."

Room = tuple[float, float]
"""Width and height in mm that a page leaves."""


def room_of(stamp: Stamp) -> Room:
    """The room of a page without cautions."""
    return page_room(Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing()), stamp)


A4 = room_of(Stamp(build=""))


def report(build: Build, shop: Shop | None = None, room: Room | None = None) -> tuple[Sheet, ...]:
    layout = lay_out(build)
    return report_sheets(build, layout, findings(build, layout), shop or Shop(), room or A4)


def first_line(build: Build, found: tuple[Finding, ...]) -> str:
    """The headline of a report on whatever is said to be found."""
    return lines(report_sheets(build, lay_out(build), found, Shop(), A4))[0].words


def lines(sheets: tuple[Sheet, ...]) -> list[Text]:
    return [mark.shape for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def words(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(text.words for text in lines(sheets))


def row_of(sheets: tuple[Sheet, ...], first: str) -> list[str]:
    """The cells of the table row that begins with these words, from left to right."""
    for sheet in sheets:
        texts = lines((sheet,))
        for text in texts:
            if text.words == first:
                level = [each for each in texts if abs(each.at.y - text.at.y) < 0.1]
                return [each.words for each in sorted(level, key=lambda each: each.bounds.left)]
    raise AssertionError(first)


def level_of(found: tuple[Finding, ...], level: Level) -> list[Finding]:
    return [finding for finding in found if finding.level is level]


@pytest.mark.parametrize("make", READY_MADE)
def test_nothing_overlaps_and_all_can_be_read(make: Callable[[], Build]) -> None:
    for sheet in report(make()):
        for text in lines((sheet,)):
            assert text.height >= SMALLEST
        for one, other in combinations([text.bounds for text in lines((sheet,))], 2):
            assert not one.overlaps(other.grown(-1e-6))


@pytest.mark.parametrize("make", READY_MADE)
def test_every_open_finding_has_its_sentence_and_every_check_its_row(make: Callable[[], Build]) -> None:
    build = make()
    layout = lay_out(build)
    found = findings(build, layout)
    said = words(report_sheets(build, layout, found, Shop(), A4))
    squeezed = said.replace(" ", "")
    for finding in found:
        if finding.level is Level.FINE:
            assert f"✓ {finding.check}" in said
        else:
            start = say(finding).split(";")[0].replace(" ", "")[:20]
            assert start in squeezed


def test_open_findings_come_worst_first_with_sign_word_measure_and_limits() -> None:
    build = bass_two_and_two()
    found = findings(build)
    stops, watches = level_of(found, Level.STOP), level_of(found, Level.WATCH)
    assert stops
    assert watches
    sheets = report(build)
    signs = [text.words for text in lines(sheets) if text.words in {"■ STOP", "▲ watch"}]
    assert signs == ["■ STOP"] * len(stops) + ["▲ watch"] * len(watches)
    worst = stops[0]
    assert worst.measured is not None
    assert worst.check == "wraps"  # its limits: at least 0 mm, 0.5 mm or more is good
    cells = row_of(sheets, "■ STOP")
    assert cells[-3:] == [f"−{abs(worst.measured):.1f} mm", "< 0.00 mm", "< 0.50 mm"]
    roles = {
        mark.shape.words: mark.role
        for sheet in sheets
        for mark in sheet.drawing.marks
        if isinstance(mark.shape, Text)
    }
    assert (roles["■ STOP"], roles["▲ watch"], roles["✓ wall"]) == (Role.STOP, Role.WATCH, Role.FINE)


def test_fine_checks_show_the_closest_and_how_many() -> None:
    # Plain head: bores of 10 mm 20 mm inside straight edges, so 15 mm of wood; half a bore is 5 mm.
    sheets = report(plain_head(row("treble", 2), row("bass", 2)))
    cells = row_of(sheets, "✓ wall")
    assert cells[1:3] == ["15.0 mm", "≥ 5.0 mm"]
    assert cells[-1] == "4"
    assert row_of(sheets, "✓ piece")[1:] == ["none wrong", "–", "all", "4"]
    assert row_of(sheets, "✓ overhang at nut")[2] == "≤ 1.0 mm"


def test_the_closest_of_a_check_is_the_one_with_the_least_margin() -> None:
    build = three_and_three()
    fine = [each for each in findings(build) if each.check == "button gap" and each.level is Level.FINE]
    least = min(each.measured for each in fine if each.measured is not None)
    assert row_of(report(build), "✓ button gap")[1] == f"{least:.1f} mm"


def test_lengths_are_in_the_units_of_the_shop() -> None:
    sheets = report(plain_head(row("treble", 1)), Shop(units="inch"))
    # 15 mm = 0.5906 in, 5 mm = 0.1969 in.
    assert row_of(sheets, "✓ wall")[1:3] == ["0.591 in", "≥ 0.197 in"]


def test_what_cannot_be_told_is_unknown() -> None:
    crossed = nodes((40.0, 0.0), (-40.0, 200.0), (40.0, 200.0), (-40.0, 0.0))
    sheets = report(plain_head(row("treble", 1), outline=crossed))
    assert "unknown" in {text.words for text in lines(sheets)}
    assert words(sheets).startswith("■ Do not drill: ")


# The headline


def test_headline_of_a_head_that_is_fine() -> None:
    build = three_strings(rows=three_and_three().rows[:0])
    assert first_line(build, ()) == "▲ There is nothing to drill yet: no tuner has its place."
    assert first_line(three_and_three(), ()) == "✓ It can be drilled: everything clears."


@pytest.mark.parametrize(
    ("stops", "watches", "sentence"),
    [
        (1, 5, "■ Do not drill: fix 1 problem first."),
        (2, 0, "■ Do not drill: fix 2 problems first."),
        (0, 1, "▲ It can be drilled; look at 1 finding first."),
        (0, 3, "▲ It can be drilled; look at 3 findings first."),
    ],
)
def test_headline_counts(stops: int, watches: int, sentence: str) -> None:
    build = three_and_three()
    fine = findings(build)[0]
    found = [msgspec.structs.replace(fine, level=Level.STOP)] * stops
    found += [msgspec.structs.replace(fine, level=Level.WATCH)] * watches
    assert first_line(build, (*found, fine)) == sentence


# Pieces to buy


@pytest.mark.parametrize(
    ("build", "pieces"),
    [
        (three_and_three(), "3 left, 3 right"),
        (three_and_three(hand="left"), "3 left, 3 right"),
        (six_in_line(), "6 left"),
        (six_in_line(hand="left"), "6 right"),
        (four_friction(), "4 pieces"),
        (eight_on_plates(), "1 left plate, 1 right plate"),
        (three_strings(), "2 left, 1 right"),
        (plain_head(row("treble", 1, hardware="rear"), hardware=(REAR_TUNER,)), "1 piece"),
        (plain_head(hardware=(PLAIN_TUNER,)), ""),
    ],
)
def test_pieces_to_buy(build: Build, pieces: str) -> None:
    assert pieces_to_buy(build.hardware[0], lay_out(build)) == pieces


def test_plates_that_fit_either_side_are_only_counted() -> None:
    assert FOUR_ON_PLATE.handed
    button = msgspec.structs.replace(FOUR_ON_PLATE.button, shaft_offset=0.0)
    plain = change(FOUR_ON_PLATE, button=button)
    build = eight_on_plates(hardware=(plain,))
    assert pieces_to_buy(plain, lay_out(build)) == "2 plates"


def test_pieces_and_what_could_not_be_placed_are_in_the_report() -> None:
    build = three_and_three()
    assert "3 left, 3 right" in words(report(build))
    far = change(build.rows[0], rule=change(build.rows[0].rule, start=900.0))
    broken = change(build, rows=(far, build.rows[1]))
    (problem,) = lay_out(broken).problems
    said = words(report(broken))
    assert "3 left" in said
    assert say_note(problem, "mm").split()[0] in said


# Limits and notes


def test_changed_limits_stand_beside_the_usual_ones() -> None:
    changes = (
        ChangedLimit("wall", "watch", 4.0, 0.4),
        ChangedLimit("splay", "stop", 20.0),
        ChangedLimit("string stress", "watch", 25.0),
        ChangedLimit("button gap", "stop", 0.25),
    )
    sheets = report(three_and_three(limits=changes))
    assert "Limits changed for this build" in words(sheets)
    assert row_of(sheets, "wall") == ["wall", "watch", "4 mm, and 0.4 × bore", "4.8 mm, and 0.5 × bore"]
    assert row_of(sheets, "string stress") == ["string stress", "watch", "25 %", "75 %"]
    assert "> 25 %" in [text.words for text in lines(sheets)]
    assert row_of(sheets, "splay") == ["splay", "stop", "20°", "none"]
    assert row_of(sheets, "button gap") == ["button gap", "stop", "0.25 mm", "0.5 mm"]
    assert "Limits changed" not in words(report(three_and_three()))


def test_notes_of_the_build_are_printed_line_by_line() -> None:
    sheets = report(three_and_three(notes="Ebony veneer.\n\n  Second line."))
    said = [text.words for text in lines(sheets)]
    assert said[-3:] == ["Notes", "Ebony veneer.", "Second line."]
    assert "Notes" not in {text.words for text in lines(report(three_and_three()))}


# Pages


@pytest.mark.parametrize("paper", ["A4", "Letter", "A5"])
def test_every_sheet_is_one_page_even_with_a_banner(paper: str) -> None:
    stamp = Stamp(
        build="Bass",
        paper=PAPERS[paper],
        printer=PrinterProfile("inkjet", 1.02, 1.01),
        banner=BANNER,
    )
    sheets = report(bass_two_and_two(), room=room_of(stamp))
    pages = paginate_all(sheets, stamp)
    assert len(pages) == len(sheets)
    assert {(page.width, page.height) for page in pages} == {(PAPERS[paper].width, PAPERS[paper].height)}


def test_text_is_set_in_the_size_of_running_text_or_larger() -> None:
    assert min(text.height for text in lines(report(three_and_three()))) == BODY


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_on_the_smallest_paper_no_word_of_the_rings_is_broken(units: Units) -> None:
    sheets = report(three_and_three(), Shop(units=units), room_of(Stamp(build="", paper=PAPERS["A5"])))
    told = [text.words for text in lines(sheets)]
    assert {"Hole", "Ring", "Lean", "10.0°"} <= set(told)
    assert not {"mm", "in", "°"} & set(told)
