"""Pages on a printer, here one that prints into a file, read back by another library."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.scene import Scene, scene_of
from app.output import printing as printing_module
from app.output.printing import RESOLUTION, Printing, chosen_pages
from app.writing.export import made, pages_of, write_pages
from export.page import Page
from geometry.trade.shop import Shop
from tests.app.output.printed import ink_of_pdf, job_of, pages, strays
from tests.builds import six_in_line

PER_MM = 8.0
POINT = 25.4 / 72


def file_printer(path: Path) -> QPrinter:
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    printer.setResolution(RESOLUTION)
    return printer


@pytest.mark.parametrize(("name", "across", "up"), [("plain", 1.0, 1.0), ("Back room", 1.01, 0.99)])
def test_what_is_printed_has_its_true_size(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop, name: str, across: float, up: float
) -> None:
    target = tmp_path / "printed.pdf"
    printing = Printing()
    with qtbot.waitSignal(printing.done):
        printing.start(file_printer(target), pages(sound, shop, names=("face",), printer=name))
    with pdfplumber.open(target) as document:
        page = document.pages[0]
        wide = max(line["width"] for line in page.lines) * POINT
        high = max(line["height"] for line in page.lines) * POINT
        curves = [(each["x0"], each["x1"], each["top"], each["bottom"]) for each in page.curves]
    # The base lines of the rulers, 6 and 8 inches long.
    assert wide == pytest.approx(152.4 * across, abs=0.003)
    assert high == pytest.approx(203.2 * up, abs=0.003)
    posts = sound.layout.posts
    bore = posts[0].bore
    size = (pytest.approx(bore * across, abs=0.003), pytest.approx(bore * up, abs=0.003))
    bores = [each for each in curves if ((each[1] - each[0]) * POINT, (each[3] - each[2]) * POINT) == size]
    assert len(bores) == len(posts)
    found = [((each[0] + each[1]) / 2 * POINT, -(each[2] + each[3]) / 2 * POINT) for each in bores]
    steps = [(x - found[0][0], y - found[0][1]) for x, y in found]
    wanted = [((post.at.x - posts[0].at.x) * across, (post.at.y - posts[0].at.y) * up) for post in posts]
    assert steps == [pytest.approx(step, abs=0.003) for step in wanted]


def test_what_is_printed_is_what_the_pdf_shows(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop
) -> None:
    job = job_of(sound, shop, names=("face",))
    sides = pages_of(made(job).sheets, job.stamp)
    target = tmp_path / "printed.pdf"
    printing = Printing()
    with qtbot.waitSignal(printing.done):
        printing.start(file_printer(target), sides)
    assert nearly_alike(write_pages(sides, job), target.read_bytes(), 0)


def nearly_alike(data: bytes, other: bytes, page: int) -> bool:
    """Whether two files show the same: the printer's paper is cut to whole points, which shifts by up to 0.2 mm."""
    ours, theirs = ink_of_pdf(data, page, PER_MM), ink_of_pdf(other, page, PER_MM)
    assert min(ours.sum(), theirs.sum()) > 5_000
    # A grey line under a pixel wide may count as dark in one only, depending on where it lies between pixels.
    return strays(ours, theirs, 2) < 0.02 and strays(theirs, ours, 2) < 0.02


def test_pages_go_one_by_one_each_lying_as_it_must(qtbot: QtBot, tmp_path: Path, shop: Shop) -> None:
    scene = scene_of(six_in_line())
    sides = pages(scene, shop, names=("face", "comb"), paper="A5")
    assert len({side.width > side.height for side in sides}) == 2, "some upright, some lying"
    target = tmp_path / "printed.pdf"
    printing = Printing()
    told: list[tuple[int, int]] = []
    printing.progressed.connect(lambda done, count: told.append((done, count)))
    with qtbot.waitSignal(printing.idle):
        printing.start(file_printer(target), sides)
    assert told == [(number, len(sides)) for number in range(1, len(sides) + 1)]
    document = pypdfium2.PdfDocument(target)
    sizes = [(page.get_width() * 25.4 / 72, page.get_height() * 25.4 / 72) for page in document]
    document.close()
    # Paper in whole points.
    assert sizes == [pytest.approx((side.width, side.height), abs=0.2) for side in sides]
    job = job_of(scene, shop, names=("face", "comb"), paper="A5")
    lying = next(number for number, side in enumerate(sides) if side.width > side.height)
    assert nearly_alike(write_pages(sides, job), target.read_bytes(), lying)


@pytest.mark.parametrize("at_a_time", [0.0, 60.0], ids=["amid a page", "between pages"])
def test_printing_can_be_stopped(
    qtbot: QtBot,
    tmp_path: Path,
    sound: Scene,
    shop: Shop,
    at_a_time: float,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(printing_module, "AT_A_TIME", at_a_time)
    printing = Printing()
    printing.start(file_printer(tmp_path / "printed.pdf"), pages(sound, shop, names=("face", "calipers")))
    for _ in range(2):
        QApplication.processEvents()
    assert printing.busy
    with qtbot.assertNotEmitted(printing.done, wait=20), qtbot.waitSignal(printing.idle):
        printing.cancel()
    assert not printing.busy
    with qtbot.assertNotEmitted(printing.idle, wait=1):
        printing.cancel()


LET_GO = """
import gc, sys
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication
from app.output.printer_correction import rulers_page
from app.output.printing import Printing
from export.paper import paper_named
application = QApplication([])
for _ in range(5):
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFileName(sys.argv[1])
    printing = Printing()
    printing.itself = printing
    printing.start(printer, [rulers_page(paper_named("A4"), "any")] * 3)
    application.processEvents()
    assert printing.busy
    del printer, printing
    gc.collect()
print("all let go")
"""


def test_what_is_let_go_amid_printing_ends_its_painter_first(tmp_path: Path) -> None:
    command = [sys.executable, "-c", LET_GO, str(tmp_path / "printed.pdf")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, "all let go\n", "")


@pytest.mark.qt_log_ignore("Returned false")
def test_a_printer_that_does_not_answer_is_told(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop
) -> None:
    printing = Printing()
    refused: list[str] = []
    printing.refused.connect(refused.append)
    with qtbot.waitSignal(printing.idle):
        printing.start(
            file_printer(tmp_path / "no such folder" / "printed.pdf"), pages(sound, shop, names=("face",))
        )
    assert refused == ["The printer does not answer. Is it switched on? Or save a PDF and print that."]
    assert not printing.busy


def outcome(printing: Printing, printer: QPrinter, sides: tuple[Page, ...], qtbot: QtBot) -> tuple[str, str]:
    """What is said of pages that were taken, and of those that were not."""
    done: list[str] = []
    refused: list[str] = []
    printing.done.connect(done.append)
    printing.refused.connect(refused.append)
    with qtbot.waitSignal(printing.idle):
        printing.start(printer, sides)
    return " ".join(done), " ".join(refused)


@pytest.mark.parametrize(
    ("gone", "stopped", "said"),
    [
        (False, False, ("The pages are on their way to the printer.", "")),
        (False, True, ("Shed is stopped. The pages wait there until it goes on.", "")),
        (
            True,
            False,
            ("", "Nothing was printed: there is no printer Shed any more. Choose another one."),
        ),
    ],
)
def test_pages_are_on_their_way_only_to_a_printer_that_prints(
    qtbot: QtBot,
    tmp_path: Path,
    sound: Scene,
    shop: Shop,
    gone: bool,
    stopped: bool,
    said: tuple[str, str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A file stands for the printer here; what the system says of one is put in its place."""
    monkeypatch.setattr(QPrinter, "printerName", lambda _: "Shed")
    monkeypatch.setattr(QPrinter, "outputFileName", lambda _: "")
    monkeypatch.setattr(printing_module, "is_gone", lambda _: gone)
    monkeypatch.setattr(printing_module, "is_stopped", lambda _: stopped)
    printer = file_printer(tmp_path / "printed.pdf")
    assert outcome(Printing(), printer, pages(sound, shop, names=("calipers",)), qtbot) == said


def test_pages_in_a_file_are_told_with_its_name(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop
) -> None:
    target = tmp_path / "printed.pdf"
    said, _ = outcome(Printing(), file_printer(target), pages(sound, shop, names=("calipers",)), qtbot)
    assert said == f"The pages are in {target}."


def test_a_printer_that_ends_the_job_itself_is_told(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QPrinter, "printerState", lambda _: QPrinter.PrinterState.Aborted)
    sides = pages(sound, shop, names=("calipers",))
    said, refused = outcome(Printing(), file_printer(tmp_path / "printed.pdf"), sides, qtbot)
    assert (said, refused) == ("", "The printer did not take all pages. Save a PDF and print that.")


def test_words_are_printed_with_the_font_each_letter_in_its_place(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop
) -> None:
    job = job_of(sound, shop, names=("face", "steps"))
    sides = pages_of(made(job).sheets, job.stamp)
    target = tmp_path / "printed.pdf"
    printing = Printing()
    with qtbot.waitSignal(printing.done):
        printing.start(file_printer(target), sides)
    with pdfplumber.open(target) as printed, pdfplumber.open(io.BytesIO(write_pages(sides, job))) as saved:
        for ours, theirs in zip(printed.pages, saved.pages, strict=True):
            assert {each["fontname"].split("+")[-1] for each in ours.chars} <= {
                "PegwrightSans-Regular",
                "PegwrightSans-Bold",
            }
            letters = [
                [(each["text"], each["x0"], each["bottom"]) for each in page.chars] for page in (ours, theirs)
            ]
            letters = [sorted(each for each in page if each[0].strip()) for page in letters]
            assert len(letters[0]) == len(letters[1]) > 300
            assert [each[0] for each in letters[0]] == [each[0] for each in letters[1]]
    # Outlines took 1.2 MB a page.
    assert target.stat().st_size < 100_000 * len(sides)


def test_only_the_pages_that_were_asked_for_are_sent(
    qtbot: QtBot, tmp_path: Path, sound: Scene, shop: Shop
) -> None:
    sides = pages(sound, shop, names=("face", "back", "calipers"))
    assert len(sides) == 3
    printer = file_printer(tmp_path / "printed.pdf")
    assert chosen_pages(printer, sides) == sides
    printer.setPrintRange(QPrinter.PrintRange.PageRange)
    printer.setFromTo(2, 3)
    assert chosen_pages(printer, sides) == sides[1:]
    printer.setFromTo(2, 2)
    assert chosen_pages(printer, sides) == sides[1:2]
    printer.setFromTo(0, 0)
    assert chosen_pages(printer, sides) == sides
