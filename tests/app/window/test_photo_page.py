"""The page between the photo of a head and the bench."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest
import shapely
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.files import load_build
from app.document.settings import Settings
from app.window.dialogs import show_photo
from app.window.photo_page import PhotoPage
from app.window.start_screen import StartScreen
from app.window.window import Window
from geometry.document.outline_nodes import nodes_of
from tests.photographed_heads import edge_of, holes_of, layout_of
from tests.photographs import Scene, outline_of, photograph, smaller

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

SAMPLES = Path(__file__).parents[3] / "sample_builds"
PHOTO, PLAN = SAMPLES / "photo-three-plus-three.jpg", SAMPLES / "three-plus-three.pegwright"
SOON = 60_000  # ms; the machine may be busy


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> PhotoPage:
    made = PhotoPage(Settings(), tmp_path)
    qtbot.addWidget(made)
    made.show()
    return made


def thickness() -> float:
    head = load_build(PLAN).head
    return (head.thickness_nut + head.thickness_tip) / 2


def choose(page: PhotoPage, path: Path) -> None:
    page.fields.ask_file = lambda: path
    QTest.mouseClick(page.fields.choose, Qt.MouseButton.LeftButton)


def type_thickness(page: PhotoPage, text: str) -> None:
    page.fields.thickness.setFocus()
    page.fields.thickness.clear()
    QTest.keyClicks(page.fields.thickness, text)


def press_read(page: PhotoPage) -> None:
    QTest.mouseClick(page.read, Qt.MouseButton.LeftButton)


def test_the_sample_photo_becomes_its_head(page: PhotoPage, qtbot: QtBot) -> None:
    choose(page, PHOTO)
    type_thickness(page, str(thickness()))
    with qtbot.waitSignal(page.accepted, timeout=SOON):
        press_read(page)
    plan = load_build(PLAN)
    assert page.begun is not None
    found = page.begun.build
    assert found.nut.width == pytest.approx(plan.nut.width, abs=1.2)
    assert max(node.at.y for node in nodes_of(found)) == pytest.approx(
        max(node.at.y for node in nodes_of(plan)), abs=0.5
    )
    assert len(found.old_holes) == 4
    assert page.begun.words[0].startswith("The head is 17")
    assert any("are good for" in words for words in page.begun.words)


def test_what_is_missing_is_asked_for(page: PhotoPage) -> None:
    press_read(page)
    assert page.foot.message.text() == "Choose the picture of your head first."
    choose(page, PHOTO)
    press_read(page)
    assert page.foot.message.text().startswith("Say how thick the head is")
    assert page.focusWidget() is page.fields.thickness
    type_thickness(page, "900")
    press_read(page)
    assert page.foot.message.text().startswith("Thickness at the nut: It must be from 1 mm to 60 mm")
    assert not page.making.busy


def test_a_refusal_is_said_and_nothing_is_lost(page: PhotoPage, qtbot: QtBot, tmp_path: Path) -> None:
    spoilt = tmp_path / "spoilt.jpg"
    spoilt.write_bytes(b"no picture at all")
    choose(page, spoilt)
    type_thickness(page, "15")
    with qtbot.waitSignal(page.making.refused, timeout=SOON):
        press_read(page)
    assert page.foot.message.text().startswith("this is no picture that can be read; expected .jpg")
    assert page.isVisible()
    assert page.fields.thickness.value == 15.0
    assert page.fields.path == spoilt
    assert page.read.isEnabled()


def test_reading_can_be_stopped_and_begun_again(page: PhotoPage, qtbot: QtBot) -> None:
    choose(page, PHOTO)
    type_thickness(page, "15")
    press_read(page)
    assert page.making.busy
    assert not page.read.isEnabled()
    qtbot.waitUntil(page.foot.stop.isVisible, timeout=SOON)
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert page.isVisible()
    assert page.foot.message.text() == "Stopped."
    assert not page.making.busy
    assert page.begun is None
    assert page.read.isEnabled()


def test_closing_gives_the_reading_up(page: PhotoPage) -> None:
    choose(page, PHOTO)
    type_thickness(page, "15")
    press_read(page)
    page.foot.stop.hide()  # as before the moment after which progress is shown
    page.close()
    assert not page.making.busy
    assert page.begun is None


def test_a_scan_is_asked_other_things(page: PhotoPage) -> None:
    assert page.fields.thickness.isVisible()
    assert not page.fields.dpi.isVisible()
    page.fields.kind.set_value("scan")
    page.fields.kind.picked.emit("scan")
    assert page.fields.dpi.isVisible()
    assert not page.fields.thickness.isVisible()
    page.fields.dpi.set_value(300.0)
    assert page.fields.told().scan
    assert page.fields.told().dpi == 300.0
    assert page.fields.told().thickness is None


def test_two_places_tell_the_scale_of_a_flat_picture(page: PhotoPage, qtbot: QtBot, tmp_path: Path) -> None:
    """A head 100 mm long and 44 mm wide at the nut, ten pixels a mm, and the scale by its own two ends of the nut."""
    flat = tmp_path / "flat.png"
    picture = np.full((1300, 1000, 3), 240, np.uint8)
    cv2.fillPoly(picture, [np.array([(280, 1149), (720, 1149), (800, 150), (200, 150)])], (40, 60, 90))
    cv2.imwrite(str(flat), picture)
    fields, places = page.fields, page.fields.places
    choose(page, flat)
    fields.kind.set_value("flat")
    fields.kind.picked.emit("flat")
    assert places.isVisible()
    assert not fields.thickness.isVisible()
    assert not fields.ruler.isVisible()
    press_read(page)
    assert page.foot.message.text() == "Click two places in the picture whose distance you know."
    assert page.focusWidget() is places
    for x, y in ((280, 1149), (718, 1149)):
        at = places.on_screen(QPointF(x, y)).toPoint()
        QTest.mouseClick(places, Qt.MouseButton.LeftButton, pos=at)
    # A screen shows fewer pixels than the picture has, so that the last of them are found with the keys.
    assert places.places is not None
    for _ in range(4):
        (x1, _), (x2, _) = places.places
        step = round(438 - (x2 - x1))
        key = Qt.Key.Key_Right if step > 0 else Qt.Key.Key_Left
        for _ in range(abs(step)):
            QTest.keyClick(places, key)
    press_read(page)
    assert page.foot.message.text() == "Say how far both places are apart."
    fields.apart.set_value(43.8)
    with qtbot.waitSignal(page.accepted, timeout=SOON):
        press_read(page)
    assert page.begun is not None
    assert page.begun.build.nut.width == pytest.approx(44.0, abs=0.4)
    assert any("two places" in words for words in page.begun.words)


def test_the_sheet_is_printed_at_true_size(page: PhotoPage, monkeypatch: pytest.MonkeyPatch) -> None:
    sent: list[tuple[float, float]] = []
    monkeypatch.setattr(page.ask, "printer", lambda printer, count: count == 2)
    monkeypatch.setattr(
        page.printing, "start", lambda _, pages: sent.extend((each.width, each.height) for each in pages)
    )
    QTest.mouseClick(page.print_sheet, Qt.MouseButton.LeftButton)
    assert sent == [(210.0, 297.0)] * 2


def test_closing_ends_the_printing(page: PhotoPage, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def into_a_file(printer: QPrinter, _count: int) -> bool:
        printer.setOutputFileName(str(tmp_path / "sheet.pdf"))
        return True

    monkeypatch.setattr(page.ask, "printer", into_a_file)
    QTest.mouseClick(page.print_sheet, Qt.MouseButton.LeftButton)
    assert page.printing.busy
    page.done(0)
    assert not page.printing.busy


def test_tapered_sides_are_told_in_degrees(page: PhotoPage) -> None:
    assert not page.fields.lean.isVisible()
    page.fields.sides.set_value("tapered")
    page.fields.sides.picked.emit("tapered")
    assert page.fields.lean.isVisible()
    choose(page, PHOTO)
    page.fields.thickness.set_value(15.0)
    press_read(page)
    assert page.foot.message.text() == "Say by how many degrees the sides lean."
    assert not page.making.busy
    page.fields.lean.set_value(3.0)
    assert page.fields.told().lean_deg == 3.0


def test_the_sheet_is_saved(
    page: PhotoPage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "sheet.pdf"
    monkeypatch.setattr(page.ask, "path", lambda *_: target)
    with qtbot.waitSignal(page.writing.done, timeout=SOON):
        QTest.mouseClick(page.sheet, Qt.MouseButton.LeftButton)
    assert len(pypdfium2.PdfDocument(target)) == 2


def test_two_sheets_are_saved_for_a_long_head(
    page: PhotoPage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "pair.pdf"
    monkeypatch.setattr(page.ask, "path", lambda *_: target)
    QTest.mouseClick(page.pair, Qt.MouseButton.LeftButton, pos=QPoint(8, page.pair.height() // 2))
    with qtbot.waitSignal(page.writing.done, timeout=SOON):
        QTest.mouseClick(page.sheet, Qt.MouseButton.LeftButton)
    pages = pypdfium2.PdfDocument(target)
    assert len(pages) == 3
    assert "upper of two" in pages[1].get_textpage().get_text_bounded()


def test_the_build_opens_with_what_is_to_be_said(
    window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def answer(dialog: PhotoPage) -> bool:
        qtbot.addWidget(dialog)
        choose(dialog, PHOTO)
        dialog.fields.thickness.set_value(thickness())
        with qtbot.waitSignal(dialog.accepted, timeout=SOON):
            dialog.begin()
        return True

    monkeypatch.setattr(window, "ask", answer)
    show_photo(window)
    assert window.drawing
    assert len(window.session.build.old_holes) == 4
    assert "The head is 17" in window.notice.words
    assert "are good for" in window.notice.words
    underlay = window.canvas.underlay
    assert underlay is not None
    box, image = underlay.box, underlay.image

    def red_less_blue(x: float, y: float) -> int:
        across, down = (x - box.left) / box.width, (box.top - y) / box.height
        colour = image.pixelColor(int(across * image.width()), int(down * image.height()))
        return colour.red() - colour.blue()

    # The wood is brown, the paper is grey; the outline of the build parts them in the picture.
    edge_line = window.session.scene.layout.edge
    assert edge_line is not None
    outline = shapely.get_coordinates(shapely.segmentize(edge_line.line, 0.5))
    for y in (25.0, 60.0, 100.0, 140.0):
        row = outline[np.argsort(np.abs(outline[:, 1] - y))]
        for sign in (-1, 1):
            edge = float(row[row[:, 0] * sign > 0][0, 0])
            assert red_less_blue(edge - sign, y) > 30
            assert abs(red_less_blue(edge + sign, y)) < 15
    tip = float(outline[:, 1].max())
    assert red_less_blue(2.0, tip - 1.0) > 30
    assert abs(red_less_blue(2.0, tip + 1.0)) < 15


def test_the_first_page_offers_it(qtbot: QtBot) -> None:
    start = StartScreen("light")
    qtbot.addWidget(start)
    with qtbot.waitSignal(start.photo_asked):
        QTest.mouseClick(start.own_cards[0], Qt.MouseButton.LeftButton)


def test_the_page_loads_no_library_of_pictures() -> None:
    code = (
        "import sys, app.window.window, app.window.photo_page\n"
        "print(*sorted({'cv2', 'PIL', 'scipy'} & set(sys.modules)), end='')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == ""


@pytest.fixture
def level_photo(tmp_path: Path) -> tuple[Path, float]:
    """A photo of the plan's head from straight above, and how high the camera was over the sheet."""
    layout = layout_of("three-plus-three")
    scene = smaller(Scene(outline_of(edge_of(layout)), holes_of(layout), tilt=(0.0, 0.0)), 0.4)
    path = tmp_path / "level.png"
    cv2.imwrite(str(path), photograph(scene))
    return path, scene.above[2]


def test_a_camera_held_level_goes_on_with_its_height(
    page: PhotoPage, qtbot: QtBot, level_photo: tuple[Path, float]
) -> None:
    path, height = level_photo
    choose(page, path)
    type_thickness(page, "15")
    with qtbot.waitSignal(page.making.refused, timeout=SOON):
        press_read(page)
    assert page.foot.message.text().startswith("the camera was held level")
    assert page.fields.height.accessibleName().lower() in page.foot.message.text()
    assert page.fields.height.isVisible()
    page.fields.height.setFocus()
    QTest.keyClicks(page.fields.height, str(height))
    with qtbot.waitSignal(page.accepted, timeout=SOON):
        press_read(page)
    assert page.fields.told().camera_height == height
    assert page.begun is not None
    assert page.begun.build.nut.width == pytest.approx(load_build(PLAN).nut.width, abs=0.5)


def test_only_a_photo_is_asked_for_the_camera_height(page: PhotoPage) -> None:
    for kind, shown in (("scan", False), ("flat", False), ("photo", True)):
        page.fields.kind.set_value(kind)
        page.fields.kind.picked.emit(kind)
        assert page.fields.height.isVisible() == shown
    choose(page, PHOTO)
    type_thickness(page, "15")
    QTest.keyClicks(page.fields.height, "45")
    press_read(page)
    assert page.foot.message.text().startswith("Camera height: It must be from 100 mm to 3")
