"""The PDF file, read back with three engines that did not write it."""

from __future__ import annotations

import io
import math
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
import pdfplumber
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from export.drawing import Drawing, Mark, Role, Sheet, fitted
from export.page import Page, paginate, paginate_all
from export.paper import PAPERS, Stamp
from export.pdf import write_pdf
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.trade.shop import PrinterProfile
from tests.export.conftest import POSTS, RADIUS

STAMP = Stamp(build="Walnut baritone")
MILLIMETRE = 25.4 / 72


@pytest.fixture
def head_pages(head: Sheet) -> tuple[Page, ...]:
    return paginate(head, STAMP)


def on_page(page: Page, name: str, point: Point) -> Point:
    placed = next(placed for placed in page.placed if placed.sheet.name.startswith(name))
    return placed.matrix.at(point)


def curves(page: Any) -> list[list[Point]]:
    """Every curve that pdfplumber finds, sampled along its pieces, in page mm with y up."""
    found = []
    for curve in page.curves:
        points: list[Point] = []
        for kind, *ends in curve["path"]:
            places = [Point(x * MILLIMETRE, (float(page.height) - y) * MILLIMETRE) for x, y in ends]
            if kind == "c":
                points += [bezier((points[-1], *places), step / 8) for step in range(1, 9)]
            else:
                points += places
        found.append(points)
    return found


def bezier(controls: Sequence[Point], t: float) -> Point:
    a, b, c, d = controls
    ab, bc, cd = a.toward(b, t), b.toward(c, t), c.toward(d, t)
    return ab.toward(bc, t).toward(bc.toward(cd, t), t)


@pytest.mark.parametrize("factors", [(1.0, 1.0), (1.012, 0.987)])
def test_bores_come_back_where_the_matrix_puts_them(head: Sheet, factors: tuple[float, float]) -> None:
    (page,) = paginate(
        head,
        msgspec.structs.replace(STAMP, printer=PrinterProfile("laser", *factors)),
    )
    with pdfplumber.open(io.BytesIO(write_pdf((page,), "Head"))) as document:
        found = curves(document.pages[0])
    for post in POSTS:
        centre = on_page(page, "face", post)
        wide, high = RADIUS * factors[0], RADIUS * factors[1]
        rings = [
            points
            for points in found
            if all(
                abs(math.hypot((p.x - centre.x) / wide, (p.y - centre.y) / high) - 1.0) * RADIUS < 0.001
                for p in points
            )
        ]
        assert len(rings) == 1
        xs, ys = [p.x for p in rings[0]], [p.y for p in rings[0]]
        assert max(xs) - min(xs) == pytest.approx(2 * wide, abs=0.001)
        assert max(ys) - min(ys) == pytest.approx(2 * high, abs=0.001)


def test_the_outline_comes_back(head: Sheet, head_pages: tuple[Page, ...]) -> None:
    outline = next(mark.shape for mark in head.drawing.marks if mark.role is Role.OUTLINE)
    assert isinstance(outline, Contour)
    with pdfplumber.open(io.BytesIO(write_pdf(head_pages, "Head"))) as document:
        found = curves(document.pages[0])
    shift = on_page(head_pages[0], "face", Point(0.0, 0.0)) - Point(0.0, 0.0)
    edges = [p for p in found if all(outline.nearest(at - shift).distance < 0.001 for at in p)]
    assert len(edges) == 1
    assert max(at.y for at in edges[0]) - shift.y == pytest.approx(110.0, abs=0.001)


@pytest.mark.parametrize("factor", [1.0, 0.97])
def test_ruler_ticks_come_back_to_a_thousandth(head: Sheet, factor: float) -> None:
    (page,) = paginate(
        head,
        msgspec.structs.replace(STAMP, printer=PrinterProfile("laser", factor, factor)),
    )
    zero = on_page(page, "ruler 150", Point(0.0, 0.0))
    with pdfplumber.open(io.BytesIO(write_pdf((page,), "Head"))) as document:
        lines = document.pages[0].lines
    feet = [line for line in lines if abs(line["x0"] - line["x1"]) < 1e-6]
    for at in range(0, 151, 10):
        wanted = zero.x + at * factor
        assert min(abs(line["x0"] * MILLIMETRE - wanted) for line in feet) < 0.001


@pytest.mark.parametrize("name", PAPERS)
def test_page_boxes_are_the_paper(name: str, head: Sheet) -> None:
    pages = paginate(head, msgspec.structs.replace(STAMP, paper=PAPERS[name]))
    document = pypdfium2.PdfDocument(write_pdf(pages, "Head"))
    try:
        for page, found in zip(pages, document, strict=True):
            size = (page.width / MILLIMETRE, page.height / MILLIMETRE)
            assert found.get_size() == pytest.approx(size, abs=0.001)
            assert found.get_mediabox() == pytest.approx((0.0, 0.0, *size), abs=0.001)
    finally:
        document.close()


def test_viewers_are_asked_not_to_scale(head_pages: tuple[Page, ...]) -> None:
    document = pypdfium2.PdfDocument(write_pdf(head_pages, "Head"))
    try:
        assert not pdfium.FPDF_VIEWERREF_GetPrintScaling(document.raw)
        assert document.get_version() == 17
        facts = document.get_metadata_dict()
    finally:
        document.close()
    assert facts["Title"] == "Head"
    assert facts["Author"] == facts["Creator"] == facts["Producer"] == "Pegwright"
    assert "1:1" in facts["Subject"]


@pytest.mark.parametrize(("day", "written"), [(date(2026, 3, 1), "D:20260301"), (None, "D:20000101")])
def test_the_date_is_the_one_given(head_pages: tuple[Page, ...], day: date | None, written: str) -> None:
    document = pypdfium2.PdfDocument(write_pdf(head_pages, "Head", day))
    try:
        assert document.get_metadata_dict()["CreationDate"].startswith(written)
    finally:
        document.close()


def test_words_can_be_read_and_fonts_are_inside(head_pages: tuple[Page, ...], tmp_path: Path) -> None:
    with pdfplumber.open(io.BytesIO(write_pdf(head_pages, "Head"))) as document:
        text = document.pages[0].extract_text()
    assert 'Bore ⌀ 10.00 & 3/8"' in text
    assert "Face, seen from the front" in text
    path = tmp_path / "head.pdf"
    path.write_bytes(write_pdf(head_pages, "Head"))
    listing = run("pdffonts", str(path)).splitlines()[2:]
    assert len(listing) == 2
    for line in listing:
        assert "PegwrightSans" in line
        assert line.split()[-5:-2] == ["yes", "yes", "yes"]  # embedded, subset, with a table back to Unicode


def run(*words: str) -> str:
    program = shutil.which(words[0])
    assert program is not None, f"{words[0]} is needed for this test"
    done = subprocess.run([program, *words[1:]], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_other_programs_find_no_fault(head: Sheet, large: Sheet, tmp_path: Path) -> None:
    path = tmp_path / "both.pdf"
    pages = paginate_all((head, large), msgspec.structs.replace(STAMP, banner="STOP: an example"))
    path.write_bytes(write_pdf(pages, "Both"))
    assert "No syntax or stream encoding errors" in run("qpdf", "--check", str(path))
    facts = dict(line.split(":", 1) for line in run("pdfinfo", str(path)).splitlines())
    assert facts["Pages"].strip() == str(len(pages))
    assert facts["PDF version"].strip() == "1.7"
    assert "A4" in facts["Page size"]


def test_no_line_is_thinner_than_a_tenth_of_a_millimetre(head: Sheet, large: Sheet) -> None:
    with pdfplumber.open(io.BytesIO(write_pdf(paginate_all((head, large), STAMP), "Both"))) as document:
        for page in document.pages:
            widths = [shape["linewidth"] * MILLIMETRE for shape in (*page.lines, *page.curves, *page.rects)]
            assert min(widths) >= 0.1 - 1e-6


def test_the_same_pages_give_the_same_bytes_in_another_process(
    head_pages: tuple[Page, ...], tmp_path: Path
) -> None:
    here = write_pdf(head_pages, "Head")
    assert write_pdf(head_pages, "Head") == here
    code = (
        "import sys; sys.path.insert(0, '.')\n"
        "from tests.export.conftest import *\nfrom export.page import paginate\nfrom export.paper import Stamp\n"
        "from export.pdf import write_pdf\n"
        "holes = tuple(Circle(post, RADIUS) for post in POSTS)\n"
        "sheet = fitted('face', 'Face, seen from the front', Drawing(head_marks()), notes=('All lengths in mm.',),"
        " cautions=('Punch the centres first.', 'Drill from the face.'), seam_avoid=holes)\n"
        "pages = paginate(sheet, Stamp(build='Walnut baritone'))\n"
        "sys.stdout.buffer.write(write_pdf(pages, 'Head'))\n"
    )
    environment = {**os.environ, "PYTHONHASHSEED": "7", "SOURCE_DATE_EPOCH": "1234567890"}
    home = Path(__file__).resolve().parents[2]
    there = subprocess.run(
        [sys.executable, "-c", code], cwd=home, env=environment, capture_output=True, check=True
    )
    assert there.stdout == here


def test_a_document_has_pages() -> None:
    with pytest.raises(AssertionError, match="without pages"):
        write_pdf((), "Nothing")


def darkness(data: bytes, number: int, dots: int) -> Any:
    """A page in grey, one row of numbers per row of dots, rendered at so many dots per inch."""
    document = pypdfium2.PdfDocument(data)
    try:
        bitmap = document[number].render(scale=dots / 72, grayscale=True)
        return 255.0 - bitmap.to_numpy().reshape(bitmap.height, bitmap.width).astype(float)
    finally:
        document.close()


def middle(weights: Any) -> float:
    """Where the middle of the ink in a row of dots lies, counted in dots from the row's start."""
    total = float(weights.sum())
    assert total > 0
    return float((weights * [index + 0.5 for index in range(len(weights))]).sum()) / total


def test_a_rendered_page_is_true_to_half_a_dot(head: Sheet, head_pages: tuple[Page, ...]) -> None:
    dots = 600
    picture = darkness(write_pdf(head_pages, "Head"), 0, dots)
    high = picture.shape[0]
    per = dots / 25.4
    for post in POSTS:
        at = on_page(head_pages[0], "face", post)
        x, y = at.x * per, high - at.y * per
        # The upright arm of the cross 1.2 to 2.6 mm over the centre, then the lying arm to the right of it.
        rows = slice(round(y - 2.6 * per), round(y - 1.2 * per))
        columns = slice(round(x - 0.5 * per), round(x + 0.5 * per))
        assert middle(picture[rows, columns].sum(axis=0)) + columns.start == pytest.approx(x, abs=0.5)
        rows, columns = (
            slice(round(y - 0.5 * per), round(y + 0.5 * per)),
            slice(round(x + 1.2 * per), round(x + 2.6 * per)),
        )
        assert middle(picture[rows, columns].sum(axis=1)) + rows.start == pytest.approx(y, abs=0.5)
    for length, step in ((0, 1), (150, 1)):
        tick = on_page(head_pages[0], "ruler 150", Point(float(length), 0.0))
        x, y = tick.x * per, high - tick.y * per
        rows = slice(round(y - 2.9 * per), round(y - 2.4 * per))
        columns = slice(round(x - 0.4 * per), round(x + 0.4 * step * per))
        assert middle(picture[rows, columns].sum(axis=0)) + columns.start == pytest.approx(x, abs=0.5)
    for length in (0, 200):
        tick = on_page(head_pages[0], "ruler 200", Point(0.0, float(length)))
        x, y = tick.x * per, high - tick.y * per
        rows = slice(round(y - 0.4 * per), round(y + 0.4 * per))
        columns = slice(round(x - 2.9 * per), round(x - 2.4 * per))
        assert middle(picture[rows, columns].sum(axis=1)) + rows.start == pytest.approx(y, abs=0.5)


def test_nothing_is_painted_outside_a_tile() -> None:
    # A row of filled dots over the whole length: outside its clip a part must leave the paper white.
    dots = tuple(Mark(Role.CENTRE_DOT, Circle(Point(float(x), 0.0), 3.0)) for x in range(0, 480, 8))
    strip = Mark(Role.OUTLINE, through((Point(-5.0, -5.0), Point(480.0, -5.0))))
    sheet = fitted("dots", "Dots", Drawing((strip, *dots)), margin=0.0)
    pages = paginate(sheet, STAMP)
    data = write_pdf(pages, "Dots")
    for number, page in enumerate(pages):
        placed = next(placed for placed in page.placed if placed.sheet is sheet)
        assert placed.clip is not None
        picture, per = darkness(data, number, 100), 100 / 25.4
        rows = slice(
            round((page.height - placed.clip.top + 2) * per),
            round((page.height - placed.clip.bottom - 4) * per),
        )
        left, right = round((placed.clip.left - 4.4) * per), round((placed.clip.right + 4.4) * per)
        inside = picture[rows, round(placed.clip.left * per) : round(placed.clip.right * per)]
        assert inside.sum() > 0
        # The name of the neighbour stands in the border, at the middle of the edge; the rows are beside it or none.
        if number == 0:
            assert picture[rows, left - 20 : left].sum() == 0
        else:
            assert picture[rows, right : right + 20].sum() == 0
