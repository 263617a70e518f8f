"""The schedule on paper and in a spreadsheet: every step, nothing lost, nothing over each other."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from itertools import combinations

import pytest

from export.drawing import Drawing, Sheet, Text
from export.page import paginate, room
from export.paper import PAPERS, Stamp
from export.sheets.cautions import FOR_SCHEDULE
from export.sheets.schedule import (
    HEADER,
    SCHEDULE,
    drill_words,
    off_words,
    on_the_press,
    remarks,
    schedule_csv,
    schedule_table,
    short_length,
)
from geometry.bench.drilling import schedule
from geometry.document.build import Build, Head
from geometry.layout.layout import lay_out
from geometry.shape.segment import Bounds
from geometry.trade.drills import FRACTIONS, LETTERS, METRIC, NUMBERS, own_drill
from geometry.trade.shop import BitKind, Shop
from tests.builds import READY_MADE, change, laden_head, plain_head, rectangle, six_in_line, twelve_strings

BLANK = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=FOR_SCHEDULE)
A4, A5 = (room(BLANK, Stamp(build="Build", paper=PAPERS[name])) for name in ("A4", "A5"))


def sheets_of(build: Build, within: tuple[float, float] = A4, **shop: object) -> tuple[Sheet, ...]:
    return SCHEDULE.drawn(build, lay_out(build), Shop(**shop), within)  # type: ignore[arg-type]


def texts(sheets: tuple[Sheet, ...]) -> list[Text]:
    return [mark.shape for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def said(sheets: tuple[Sheet, ...]) -> str:
    return " ".join(text.words for text in texts(sheets))


@pytest.mark.parametrize("bit", ["twist", "brad point", "Forstner", "piloted counterbore"])
@pytest.mark.parametrize("make", READY_MADE)
def test_one_page_on_usual_paper_with_its_cautions(make: Callable[[], Build], bit: BitKind) -> None:
    (sheet,) = sheets_of(make(), bit=bit)
    assert (sheet.name, sheet.cautions) == ("schedule", FOR_SCHEDULE)
    assert len(paginate(sheet, Stamp(build="Steps", paper=PAPERS["A4"]))) == 1
    assert "Every step, in this order" in said((sheet,))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("within", [A4, A5])
@pytest.mark.parametrize("make", [*READY_MADE, laden_head])
def test_no_words_lie_over_others(make: Callable[[], Build], within: tuple[float, float], units: str) -> None:
    for sheet in sheets_of(make(), within, units=units):
        for one, other in combinations([text.bounds.grown(-0.05) for text in texts((sheet,))], 2):
            assert not one.overlaps(other)


def test_narrow_paper_halves_the_table_and_loses_nothing() -> None:
    sheets = sheets_of(twelve_strings(), A5)
    assert len(sheets) > 1
    words = said(sheets)
    for part in ("Screw pilots", "brad point bit", "through", "Turn every post"):
        assert part in words


def test_no_tuners_no_sheet() -> None:
    assert sheets_of(plain_head()) == ()


def test_a_shop_without_drills_still_has_a_schedule() -> None:
    assert "The shop has no drills yet" in said(sheets_of(six_in_line(), drill_sets=())).replace("  ", " ")


def test_a_drill_outside_the_fit_is_marked() -> None:
    build = six_in_line()
    build = change(build, head=change(build.head, wood="black walnut"))
    steps = schedule(build, lay_out(build), Shop(drill_sets=("fraction",)))
    cells = [row.cells for row in schedule_table(steps, "mm").rows]
    # The build bores 8.7; 11/32 in = 8.731 mm.
    assert ("11/32 in, 8.73 mm", "+0.03") in [each[3:5] for each in cells]
    steps = schedule(build, lay_out(build), Shop(drill_sets=(), extra_drills=(8.5,)))
    cells = [row.cells for row in schedule_table(steps, "mm").rows]
    assert ("8.5 mm, 0.335 in", "−0.20 !") in [each[3:5] for each in cells]


@pytest.mark.parametrize(
    ("drill", "words"),
    [
        (METRIC[0], "1.0 mm, 0.039 in"),
        (FRACTIONS[21], "11/32 in, 8.73 mm"),
        (NUMBERS[0], "#1, 5.79 mm, 0.228 in"),
        (LETTERS[0], "letter A, 5.94 mm, 0.234 in"),
        (own_drill(8.75), "8.75 mm, 0.344 in"),
    ],
)
def test_drills_are_told_in_both_measures(drill: object, words: str) -> None:
    assert drill_words(drill) == words  # type: ignore[arg-type]


def test_differences_and_lengths() -> None:
    assert [off_words(off, "mm") for off in (0.054, -0.054, 0.001)] == ["+0.05", "−0.05", "0"]
    assert [off_words(off, "inch") for off in (0.254, -0.254)] == ["+0.010", "−0.010"]
    assert (short_length(7.25, "mm"), short_length(25.4, "inch")) == ("7.3", "1.00")


def test_finish_is_told_as_the_build_has_it() -> None:
    bare, coated = (plain_head(head=Head(finish_build_up=up)) for up in (0.0, 0.2))
    assert "0.1 mm to 0.3 mm narrower (common practice, no source)" in " ".join(remarks(bare, Shop()))
    assert "makes them 0.2 mm narrower: that is in them" in " ".join(remarks(coated, Shop()))
    assert "makes them 0.008 in narrower" in " ".join(remarks(coated, Shop(units="inch")))


def test_the_overcut_is_told() -> None:
    # From memory: a hole is 0.05 wider than its drill, 0.15 with a worn or hand-held bit.
    told = " ".join(remarks(plain_head(), Shop()))
    assert "about 0.05 mm wider than its drill" in told
    assert "0.15 mm with a worn" in told


@pytest.mark.parametrize("make", READY_MADE)
@pytest.mark.parametrize("wood", ["sugar maple", "black walnut", "western redcedar", ""])
def test_the_bore_of_the_build_is_the_only_one_told(make: Callable[[], Build], wood: str) -> None:
    build = make()
    build = change(build, head=change(build.head, wood=wood))
    layout = lay_out(build)
    bored = {post.label: post.hardware.bore for post in layout.posts}
    lines = csv.DictReader(
        io.StringIO(schedule_csv(schedule(build, layout, Shop()), "1A2B3C4D").decode(), newline="")
    )
    told = {(line["operation"], line["hole"]): line["bore_mm"] for line in lines if line["bore_mm"]}
    for label, bore in bored.items():
        assert float(told["Bore right through", label]) == pytest.approx(bore.through, abs=5e-4)
        if bore.counterbore is not None:
            assert float(told["Counterbore", label]) == pytest.approx(bore.counterbore.diameter, abs=5e-4)


# Spreadsheet


@pytest.mark.parametrize("make", READY_MADE)
def test_a_line_for_each_hole_of_each_step(make: Callable[[], Build]) -> None:
    build = make()
    steps = schedule(build, lay_out(build), Shop())
    heads, *lines = csv.reader(io.StringIO(schedule_csv(steps, "1A2B3C4D").decode(), newline=""))
    assert tuple(heads) == (*HEADER, "fingerprint")
    assert all(line[-1] == "1A2B3C4D" and len(line) == len(heads) for line in lines)
    assert len(lines) == sum(len(step.spots) for step in steps)
    assert [int(line[0]) for line in lines] == sorted(int(line[0]) for line in lines)


def test_the_figures_of_a_line() -> None:
    build = six_in_line()
    build = change(build, head=change(build.head, wood="sugar maple"))
    layout = lay_out(build)
    steps = schedule(build, layout, Shop(drill_sets=("fraction",)))
    lines = list(csv.DictReader(io.StringIO(schedule_csv(steps, "1A2B3C4D").decode(), newline="")))
    first = next(line for line in lines if line["operation"] == "Bore right through")
    post = next(post for post in layout.posts if post.label == first["hole"])
    assert (float(first["x_face_mm"]), float(first["y_face_mm"])) == pytest.approx(
        (post.at.x, post.at.y), abs=0.0005
    )
    assert (first["drill"], first["diameter_mm"], first["diameter_in"]) == ("11/32 in", "8.731", "0.3438")
    assert (first["bore_mm"], first["difference_mm"], first["inside_fit"]) == ("8.700", "0.031", "yes")
    assert (first["side"], first["backing"], first["depth_mm"]) == ("face", "yes", "through")
    mark = next(line for line in lines if line["operation"] == "Mark")
    assert (mark["bit"], mark["diameter_mm"], mark["stop_mm"]) == ("", "", "")


def test_a_shop_without_drills_in_a_spreadsheet() -> None:
    build = six_in_line()
    steps = schedule(build, lay_out(build), Shop(drill_sets=(), bit="twist"))
    lines = list(csv.DictReader(io.StringIO(schedule_csv(steps, "1A2B3C4D").decode(), newline="")))
    pilot = next(line for line in lines if line["operation"] == "Pilot right through")
    assert (pilot["drill"], pilot["bore_mm"]) == ("", "2.000")


# The press


def test_the_schedule_names_the_way_for_the_press_of_the_shop() -> None:
    build = READY_MADE[0]()
    assert "your press" not in said(sheets_of(build))
    assert "On your press, throat of 400 mm: with wedges, one long side" in said(
        sheets_of(build, press_throat=400.0)
    )
    assert "No way fits your press" in said(sheets_of(build, press_throat=20.0))


def test_a_head_that_nothing_holds_says_so_beside_its_press() -> None:
    build = change(laden_head(), outline=plain_head(outline=rectangle(60.0, 27.0)).outline)
    (words,) = on_the_press(build, lay_out(build), Shop(press_throat=100.0))
    assert words.startswith("Whether it fits the drill press is not known. There")
