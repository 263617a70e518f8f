"""Pages: one upright, one lying, or several that overlap; true size through the printer's error."""

from __future__ import annotations

from itertools import combinations

import msgspec
import pytest

from export.drawing import NO_SCALE, REDUCED, Drawing, Mark, Role, Sheet, Text, fitted
from export.page import Matrix, Page, Placed, paginate, paginate_all, paginate_each, room
from export.paper import MARGIN, PAPERS, Paper, Stamp
from export.text import SMALLEST
from export.tiles import OVERLAP
from geometry.shape.contour import through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle
from geometry.trade.shop import PrinterProfile

STAMP = Stamp(build="Walnut baritone", date="2026-03-01")
EVERY_PAPER = list(PAPERS.values())


def plate(wide: float, high: float) -> Sheet:
    corners = (Point(0.0, 0.0), Point(wide, 0.0), Point(wide, high), Point(0.0, high))
    return fitted("plate", "Plate", Drawing((Mark(Role.OUTLINE, through(corners, closed=True)),)), margin=0.0)


def placed(page: Page, name: str) -> Placed:
    return next(placed for placed in page.placed if placed.sheet.name.startswith(name))


def words(page: Page) -> list[str]:
    marks = placed(page, "furniture").sheet.drawing.marks
    return [mark.shape.words for mark in marks if isinstance(mark.shape, Text)]


def shown(placed: Placed) -> list[Bounds]:
    """The boxes of the marks of a placed sheet on the page; those of lines have no width."""
    boxes = [placed.matrix.box(mark.bounds) for mark in placed.sheet.drawing.marks]
    if placed.clip is None:
        return boxes
    clip = placed.clip
    return [
        Bounds(
            max(b.left, clip.left), max(b.bottom, clip.bottom), min(b.right, clip.right), min(b.top, clip.top)
        )
        for b in boxes
        if b.overlaps(clip)
    ]


def inside(box: Bounds, room: Bounds) -> bool:
    return room.grown(1e-6).joined(box) == room.grown(1e-6)


def test_a_matrix_scales_and_shifts() -> None:
    matrix = Matrix(1.01, 0.99, 5.0, -7.0)
    assert matrix.at(Point(100.0, 200.0)) == Point(106.0, 191.0)
    assert matrix.box(Bounds(0.0, 0.0, 100.0, 200.0)) == Bounds(5.0, -7.0, 106.0, 191.0)


def test_a_small_head_stands_on_one_upright_page(head: Sheet) -> None:
    (page,) = paginate(head, STAMP)
    assert (page.width, page.height) == (210.0, 297.0)
    assert placed(page, "face").clip is None


def test_a_wide_drawing_lies_on_one_page() -> None:
    (page,) = paginate(plate(230.0, 60.0), STAMP)
    assert (page.width, page.height) == (297.0, 210.0)
    assert any("A4 landscape" in line for line in words(page))


@pytest.mark.parametrize("paper", EVERY_PAPER, ids=lambda paper: paper.name)
@pytest.mark.parametrize("factor", [0.95, 1.0, 1.05])
def test_nothing_on_a_page_overlaps_or_leaves_the_margins(paper: Paper, factor: float, head: Sheet) -> None:
    printer = PrinterProfile("the old printer in the shed", factor, 2.0 - factor)
    banner = "STOP: do not drill from this drawing. Two checks fail; the report says which and why."
    stamp = msgspec.structs.replace(
        STAMP, paper=paper, printer=printer, banner=banner, build="Long name " * 20
    )
    for page in paginate(head, stamp):
        ink = Bounds(0.0, 0.0, page.width, page.height).grown(-MARGIN)
        groups = [shown(placed) for placed in page.placed if placed.sheet.name != "joint"]
        for box in (box for group in groups for box in group):
            assert inside(box, ink), box
        for one, other in combinations(groups, 2):
            assert not any(a.overlaps(b) for a in one for b in other)


@pytest.mark.parametrize("paper", EVERY_PAPER, ids=lambda paper: paper.name)
def test_words_of_the_title_block_do_not_run_into_each_other(paper: Paper, large: Sheet) -> None:
    stamp = msgspec.structs.replace(
        STAMP,
        paper=paper,
        build="Long name " * 20,
        printer=PrinterProfile(name="a printer with a name " * 5),
        banner="STOP " * 90,
    )
    notes = ("A note. " * 40, "Another note.")
    for page in paginate(msgspec.structs.replace(large, notes=notes, cautions=("Caution. " * 30,)), stamp):
        marks = placed(page, "furniture").sheet.drawing.marks
        boxes = [mark.shape.bounds for mark in marks if isinstance(mark.shape, Text)]
        assert all(not one.overlaps(other) for one, other in combinations(boxes, 2))
        sizes = [mark.shape.height for mark in marks if isinstance(mark.shape, Text)]
        assert min(sizes) >= SMALLEST


def test_the_title_block_says_what_a_reader_must_know(head: Sheet) -> None:
    stamp = msgspec.structs.replace(STAMP, printer=PrinterProfile("laser", 1.002, 0.998))
    (page,) = paginate(head, stamp)
    text = "\n".join(words(page))
    for part in (
        "Walnut baritone",
        "Face, seen from the front",
        "2026-03-01",
        "Scale 1:1",
        "A4",
        "x 1.0020 y 0.9980",
        "laser",
        "Page 1 of 1",
        "Print at 100 % (actual size)",
        "must measure 150.0 mm",
        "must measure 200.0 mm",
        "Punch the centres first.",
        "Drill from the face.",
        "All lengths in mm.",
    ):
        assert part in text


def test_an_inch_shop_holds_the_rulers_against_inches(head: Sheet) -> None:
    (page,) = paginate(head, msgspec.structs.replace(STAMP, units="inch"))
    text = "\n".join(words(page))
    # The scales in inches beside 150 and 200 mm end at 6 and 8.
    assert "Here 0 to 6 must measure 6.00 in; at the side 0 to 8 must measure 8.00 in." in text
    assert "mm;" not in text


def test_the_title_block_says_when_a_drawing_is_not_to_be_laid_on_the_work(head: Sheet) -> None:
    (page,) = paginate(msgspec.structs.replace(head, scale=REDUCED), STAMP)
    text = "\n".join(words(page))
    assert "Drawing reduced" in text
    assert "Scale 1:1" not in text


def test_words_and_tables_have_no_scale(head: Sheet) -> None:
    (page,) = paginate(msgspec.structs.replace(head, scale=NO_SCALE), STAMP)
    told = words(page)
    assert "A4" in told
    assert not any("Scale" in line or "reduced" in line for line in told)


def test_no_date_given_no_date_printed(head: Sheet) -> None:
    (page,) = paginate(head, Stamp(build="Walnut"))
    assert "Page 1 of 1" in words(page)


def test_a_banner_is_the_largest_thing_to_read(head: Sheet) -> None:
    (page,) = paginate(head, msgspec.structs.replace(STAMP, banner="STOP: post 2 breaks into the edge"))
    marks = placed(page, "furniture").sheet.drawing.marks
    texts = [(mark.role, mark.shape) for mark in marks if isinstance(mark.shape, Text)]
    (banner,) = (text for role, text in texts if role is Role.BANNER)
    assert banner.bold
    assert all(banner.height > text.height for role, text in texts if role is not Role.BANNER)
    assert banner.at.y > placed(page, "face").matrix.box(head.bounds).top


def test_a_very_long_banner_takes_three_lines(head: Sheet) -> None:
    (page,) = paginate(head, msgspec.structs.replace(STAMP, banner="STOP " * 200))
    marks = placed(page, "furniture").sheet.drawing.marks
    lines = [mark.shape.words for mark in marks if mark.role is Role.BANNER and isinstance(mark.shape, Text)]
    assert len(lines) == 3
    assert lines[-1].endswith("…")


def test_the_printer_scales_drawing_and_rulers_but_not_the_page(head: Sheet) -> None:
    (page,) = paginate(
        head,
        msgspec.structs.replace(STAMP, printer=PrinterProfile("laser", 1.02, 0.97)),
    )
    assert (page.width, page.height) == (210.0, 297.0)
    for name in ("face", "ruler"):
        assert (placed(page, name).matrix.a, placed(page, name).matrix.d) == (1.02, 0.97)
    assert placed(page, "furniture").matrix == Matrix()
    # Circles of the sheet stay circles: only the matrix knows the printer.
    assert placed(page, "face").sheet is head


def test_every_page_has_a_ruler_on_each_axis(large: Sheet) -> None:
    for page in paginate(large, STAMP):
        lying, standing = (placed for placed in page.placed if placed.sheet.name.startswith("ruler"))
        assert lying.sheet.bounds.width > 150.0 > lying.sheet.bounds.height
        assert standing.sheet.bounds.height > 150.0 > standing.sheet.bounds.width


def test_pages_of_several_sheets_are_numbered_through(head: Sheet, large: Sheet) -> None:
    pages = paginate_all((head, large, head), STAMP)
    numbers = [next(line for line in words(page) if line.startswith("Page")) for page in pages]
    assert [line.split("·")[0].strip() for line in numbers] == [
        f"Page {number} of {len(pages)}" for number in range(1, len(pages) + 1)
    ]


def test_sheets_with_stamps_of_their_own_are_numbered_through(head: Sheet, large: Sheet) -> None:
    stamps = (Stamp(build="one"), Stamp(build="two", banner="Do not drill."))
    pages = paginate_each(zip((head, large), stamps, strict=True))
    told = [words(page) for page in pages]
    assert len(pages) > 2
    assert all(
        any(line.startswith(f"Page {n} of {len(pages)}") for line in lines) for n, lines in enumerate(told, 1)
    )
    assert ["Do not drill." in lines for lines in told] == [False, *(True for _ in pages[1:])]
    assert ["one" in lines for lines in told] == [True, *(False for _ in pages[1:])]


def test_tiles_cover_the_sheet_and_overlap(large: Sheet) -> None:
    pages = paginate(large, STAMP)
    regions = []
    for page in pages:
        part = placed(page, "plate")
        assert part.clip is not None
        low = Point(
            (part.clip.left - part.matrix.e) / part.matrix.a,
            (part.clip.bottom - part.matrix.f) / part.matrix.d,
        )
        high = Point(
            (part.clip.right - part.matrix.e) / part.matrix.a, (part.clip.top - part.matrix.f) / part.matrix.d
        )
        regions.append(Bounds(low.x, low.y, high.x, high.y))
    lefts = sorted({round(region.left, 6) for region in regions})
    rights = sorted({round(region.right, 6) for region in regions})
    assert (lefts[0], rights[-1]) == (large.bounds.left, large.bounds.right)
    for left, right in zip(lefts[1:], rights, strict=False):
        assert right - left == pytest.approx(OVERLAP)
    bottoms = sorted({round(region.bottom, 6) for region in regions})
    tops = sorted({round(region.top, 6) for region in regions})
    assert (bottoms[0], tops[-1]) == (large.bounds.bottom, large.bounds.top)
    for bottom, top in zip(bottoms[1:], tops, strict=False):
        assert top - bottom == pytest.approx(OVERLAP)
    assert len(pages) == len(lefts) * len(bottoms)


def crosses(page: Page) -> set[tuple[float, float]]:
    marks = placed(page, "joint").sheet.drawing.only(Role.REGISTRATION).marks
    rings = [mark.shape for mark in marks if isinstance(mark.shape, Circle)]
    return {(round(ring.centre.x, 6), round(ring.centre.y, 6)) for ring in rings}


def test_neighbours_share_crosses_at_the_same_places_of_the_sheet(large: Sheet) -> None:
    pages = paginate(large, STAMP)
    every = [crosses(page) for page in pages]
    for place in set().union(*every):
        assert sum(place in found for found in every) >= 2
    for found in every:
        assert len(found) >= 4


def test_seams_and_crosses_keep_off_holes(large: Sheet) -> None:
    for page in paginate(large, STAMP):
        marks = placed(page, "joint").sheet.drawing.marks
        for seam in (mark.bounds for mark in marks if mark.role is Role.SEAM):
            assert not any(seam.overlaps(hole.bounds) for hole in large.seam_avoid)
        for x, y in crosses(page):
            assert all(hole.centre.distance(Point(x, y)) > hole.radius + 4.0 for hole in large.seam_avoid)


def test_tiles_name_their_neighbours_and_their_place(large: Sheet) -> None:
    pages = paginate(large, STAMP)
    first, last = words(pages[0]), words(pages[-1])
    # The plate of 400 by 520 mm takes three pages across and three up.
    assert len(pages) == 9
    assert any("part A of 9" in line for line in first)
    assert sorted(line[:16] for line in first if "Join" in line) == ["Join part B here", "Join part D here"]
    assert any("part I of 9" in line for line in last)
    assert sorted(line[:16] for line in last if "Join" in line) == ["Join part F here", "Join part H here"]
    here = [mark for mark in placed(pages[0], "furniture").sheet.drawing.marks if mark.role is Role.TILE_HERE]
    assert len(here) == 1


def test_a_strip_as_long_as_a_narrow_part_gets_crosses_in_its_middle() -> None:
    pages = paginate(plate(480.0, 20.0), STAMP)
    assert len(pages) == 2
    assert crosses(pages[0]) == crosses(pages[1])
    assert {y for _, y in crosses(pages[0])} == {10.0}


def test_a_covered_seam_still_gets_its_cross() -> None:
    wide = plate(480.0, 20.0)
    blocked = tuple(Mark(Role.BODY, Circle(Point(float(x), 10.0), 9.0)) for x in range(20, 461, 5))
    sheet = msgspec.structs.replace(wide, drawing=Drawing((*wide.drawing.marks, *blocked)))
    assert crosses(paginate(sheet, STAMP)[0]) != set()


def test_what_fits_is_told_beforehand(head: Sheet) -> None:
    stamp = msgspec.structs.replace(STAMP, printer=PrinterProfile("laser", 1.04, 0.96))
    wide, high = room(head, stamp)
    bounds = Bounds(0.0, 0.0, wide, high)
    fitting = msgspec.structs.replace(head, bounds=bounds, drawing=Drawing())
    assert len(paginate(fitting, stamp)) == 1
    larger = msgspec.structs.replace(fitting, bounds=Bounds(0.0, 0.0, wide + 200.0, high + 0.1))
    assert len(paginate(larger, stamp)) > 1


def test_too_many_notes_for_the_paper_are_said(head: Sheet) -> None:
    sheet = msgspec.structs.replace(head, notes=("Note.",) * 60)
    with pytest.raises(ValueError, match=r'A5 is too small for "Face'):
        paginate(sheet, msgspec.structs.replace(STAMP, paper=PAPERS["A5"]))


def test_a_seam_does_not_hide_upon_the_centre_line() -> None:
    wide = plate(400.0, 200.0)
    middle = Mark(Role.CENTRE_LINE, through((Point(200.0, 0.0), Point(200.0, 200.0))))
    pages = paginate(msgspec.structs.replace(wide, drawing=Drawing((*wide.drawing.marks, middle))), STAMP)
    marks = [mark for page in pages for mark in placed(page, "joint").sheet.drawing.only(Role.SEAM).marks]
    upright = [mark.bounds.left for mark in marks if mark.bounds.width < 1.0]
    assert upright
    assert all(abs(x - 200.0) > OVERLAP / 2 for x in upright)


@pytest.mark.parametrize("lies", [False, True], ids=["upright", "lying"])
def test_factors_follow_the_paper_through_the_printer(lies: bool) -> None:
    """A lying page goes through it turned by a quarter: what is across on the page is up on the paper."""
    across, up = 1.02, 0.97
    wide, high = (240.0, 100.0) if lies else (100.0, 200.0)
    box = through((Point(0, 0), Point(wide, 0), Point(wide, high), Point(0, high)), closed=True)
    sheet = fitted("box", "A box", Drawing((Mark(Role.CUT_OUTLINE, box),)))
    stamp = Stamp(build="Box", printer=PrinterProfile("shed", across, up))
    (page,) = paginate(sheet, stamp)
    assert (page.width > page.height) == lies
    drawn = next(placed for placed in page.placed if placed.sheet.name == "box")
    assert (drawn.matrix.a, drawn.matrix.d) == ((up, across) if lies else (across, up))
    rulers = {placed.sheet.name: placed.matrix for placed in page.placed if "ruler" in placed.sheet.name}
    assert rulers
    assert {(each.a, each.d) for each in rulers.values()} == {(drawn.matrix.a, drawn.matrix.d)}


def test_a_build_without_a_name_is_called_unnamed(head: Sheet) -> None:
    (page,) = paginate(head, Stamp(build=""))
    assert "Unnamed" in words(page)
