"""Own heads the whole way in the window, from a photo, a scan, two places, SVG, DXF and a table, to a PDF to print."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pdfplumber
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog
from pytestqt.qtbot import QtBot

from app.document.files import load_build
from app.output.choices import Choices
from app.output.output_dialog import OutputDialog
from app.window import dialogs, own_head
from app.window.own_head import OwnHeadPage
from app.window.photo_page import PhotoPage
from app.window.window import Window
from geometry.document.outline_nodes import nodes_of
from geometry.intake.marker_sheet import MARKER_SHEETS
from tests.app.intake.drawings import BORES, CORNERS, circles, dxf, path, svg, with_bores
from tests.photographs import PRINTED, Image, printed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

SAMPLES = Path(__file__).parents[3] / "sample_builds"
SOON = 120_000  # ms; the machine may be busy
FINE = 10.0  # pixels in a mm of drawn pictures
NECK = np.array([(-21.0, -30.0), (21.0, -30.0)])
HEAD = np.vstack([CORNERS, NECK])


def drawn(picture: Image, left: float, top: float) -> Image:
    """The head with its neck and its bores, drawn outright; the middle of the first pixel is at `left`, `top` mm."""

    def pixels(places: np.ndarray) -> np.ndarray:
        return np.round((places - [left, top]) * [FINE, -FINE]).astype(np.int32)

    cv2.fillPoly(picture, [pixels(HEAD)], (40, 60, 90), cv2.LINE_AA)
    for x, y, radius in BORES:
        at = tuple(int(each) for each in pixels(np.array([[x, y]]))[0])
        cv2.circle(picture, at, round(radius * FINE), (225, 225, 225), -1, cv2.LINE_AA)
    return picture


def scan() -> Image:
    """The head on the glass within the printed sheet."""
    sheet = MARKER_SHEETS["A4"]
    paper = printed(sheet, ())
    small = cv2.resize(paper, None, fx=FINE / PRINTED, fy=FINE / PRINTED, interpolation=cv2.INTER_AREA)
    frame = sheet.frame.grown(20.0)
    sheet_seen = np.asarray(cv2.cvtColor(small, cv2.COLOR_GRAY2BGR), np.uint8)
    return drawn(sheet_seen, frame.left + 0.5 / FINE, frame.top - 0.5 / FINE)


def flat() -> Image:
    """The same without a sheet, cut off at the nut."""
    return drawn(np.full((1750, 900, 3), 240, np.uint8), -45.0, 175.0)


def as_dxf() -> bytes:
    def draw(space: object) -> None:
        space.add_lwpolyline([tuple(corner) for corner in CORNERS], close=True)  # type: ignore[attr-defined]
        with_bores(space)

    return dxf(draw)


TABLE = "y;left;right\n0;22;22\n25;31;31\n60;30,2;30,2\n100;29,2;29,2\n150;28;28\n162;0;0\n"


def written(kind: str, folder: Path) -> Path:
    """The file of a kind."""
    if kind == "photo":
        return SAMPLES / "photo-three-plus-three.jpg"
    if kind in ("scan", "two places"):
        file = folder / f"{kind}.png"
        assert cv2.imwrite(str(file), scan() if kind == "scan" else flat())
        return file
    data = {"svg": svg(path() + circles()), "dxf": as_dxf(), "csv": TABLE.encode()}[kind]
    file = folder / f"head.{kind}"
    file.write_bytes(data)
    return file


def fill(page: PhotoPage, kind: str, file: Path) -> None:
    """Tell a page of a picture what it does not show."""
    fields = page.fields
    fields.show_picture(file)
    if kind == "photo":
        head = load_build(SAMPLES / "three-plus-three.pegwright").head
        fields.thickness.set_value(head.thickness_nut)
        fields.at_tip.set_value(head.thickness_tip)
        return
    name = "scan" if kind == "scan" else "flat"
    fields.kind.set_value(name)
    fields.kind.picked.emit(name)
    if kind == "scan":
        return
    # Both ends of the widest line, 62 mm across at y = 25: places that a rule beside a head would show.
    for x in (-31.0, 31.0):
        at = fields.places.on_screen(QPointF((x + 45.0) * FINE, (175.0 - 25.0) * FINE))
        QTest.mouseClick(fields.places, Qt.MouseButton.LeftButton, pos=at.toPoint())
    places = fields.places.places
    assert places is not None
    # A click is good for a pixel of the screen; what was clicked is what was measured.
    fields.apart.set_value(float(np.hypot(*np.subtract(*places))) / FINE)


def bring_in(window: Window, qtbot: QtBot, kind: str, file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the first page to the head on the bench."""

    def answer(dialog: QDialog) -> bool:
        qtbot.addWidget(dialog)
        dialog.show()
        if isinstance(dialog, PhotoPage):
            fill(dialog, kind, file)
            with qtbot.waitSignal(dialog.accepted, timeout=SOON):
                dialog.begin()
            return True
        assert isinstance(dialog, OwnHeadPage)
        return dialog.build is not None

    monkeypatch.setattr(window, "ask", answer)
    monkeypatch.setattr(own_head, "ask_drawing", lambda *_: file)
    if kind in ("photo", "scan", "two places"):
        dialogs.show_photo(window)
    else:
        dialogs.show_own_head(window)


def save_pdf(
    window: Window, qtbot: QtBot, target: Path, monkeypatch: pytest.MonkeyPatch
) -> Callable[[QDialog], bool]:
    """Through the pages before printing to a file."""

    def answer(dialog: QDialog) -> bool:
        assert isinstance(dialog, OutputDialog)
        qtbot.addWidget(dialog, before_close_func=lambda widget: widget.reject())
        dialog.show()
        monkeypatch.setattr(dialog.ask, "path", lambda *_: target)
        qtbot.waitUntil(dialog.foot.save.isEnabled, timeout=SOON)
        with qtbot.waitSignal(dialog.writing.done, timeout=SOON):
            QTest.mouseClick(dialog.foot.save, Qt.MouseButton.LeftButton)
        return True

    monkeypatch.setattr(window, "ask", answer)
    window.choices = Choices(names=("face",))
    dialogs.show_output(window)
    return answer


@pytest.mark.parametrize("kind", ["photo", "scan", "two places", "svg", "dxf", "csv"])
def test_an_own_head_goes_the_whole_way_to_paper(
    kind: str, window: Window, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bring_in(window, qtbot, kind, written(kind, tmp_path), monkeypatch)
    assert window.drawing
    build = window.session.build
    plan = load_build(SAMPLES / "three-plus-three.pegwright")
    wide, long = (
        (plan.nut.width, max(node.at.y for node in nodes_of(plan))) if kind == "photo" else (44.0, 162.0)
    )
    assert build.nut.width == pytest.approx(wide, abs=0.5)
    assert max(node.at.y for node in nodes_of(build)) == pytest.approx(long, abs=0.6)
    assert len(build.old_holes) == (0 if kind == "csv" else 4)
    assert (window.canvas.underlay is not None) == (kind in ("photo", "scan", "two places"))
    target = tmp_path / "head.pdf"
    save_pdf(window, qtbot, target, monkeypatch)
    with pdfplumber.open(target) as document:
        pages = [page.extract_text() for page in document.pages]
        assert (float(document.pages[0].width), float(document.pages[0].height)) == pytest.approx(
            (595.28, 841.89), abs=0.5
        )
    # The table of bores on the page is that of this head.
    first = next(post for post in window.session.scene.layout.posts if post.at.x > 0)
    row = f"{first.label} {first.at.x:.2f} {first.at.y:.2f} {first.bore:.1f}"
    assert any(row in words for words in pages)
