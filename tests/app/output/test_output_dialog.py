"""The whole dialog, through its controls: choose, look, write, print, correct."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import cast

import pytest
from PySide6.QtCore import QPoint, QSize, Qt, QTimer
from PySide6.QtGui import QScreen
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QScrollArea, QWidget
from pytestqt.qtbot import QtBot

from app.document.messages import Progress, Refusal
from app.document.scene import Scene
from app.output import output_dialog
from app.output.choices import Choices, First, Prepared, first_choices, prepared, usual_choices
from app.output.guide_dialog import GuideDialog
from app.output.output_dialog import OutputDialog
from app.output.printer_dialog import PrinterDialog
from app.output.questions import Questions
from app.widgets.number_field import NumberField
from app.writing.export import Job
from export.catalogue import BENCH, CRADLE_ALONE, FAILED, FIGURES, KINDS, ORDER, PACKETS
from geometry.trade.shop import PrinterProfile, Shop
from tests.app.output.printed import DAY, Answers
from tests.app.panels.hands import pick
from tests.builds import change

# Qt's screenless platform says so of every window that has a least size.
pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

Open = Callable[..., OutputDialog]


@pytest.fixture
def kept() -> list[Shop]:
    return []


@pytest.fixture
def opened(qtbot: QtBot, shop: Shop, answers: Answers, kept: list[Shop]) -> Open:
    def keep(shop: Shop) -> Shop:
        kept.append(shop)
        return shop

    def open_it(
        scene: Scene, names: tuple[str, ...] = ("face", "calipers"), **fields: object
    ) -> OutputDialog:
        choices = change(Choices(printer="plain"), **{"names": names, "day": DAY, **fields})
        dialog = OutputDialog(
            scene, shop, keep, folder=answers.folder, choices=choices, today=DAY, per_mm=4.0
        )
        qtbot.addWidget(dialog, before_close_func=lambda widget: widget.reject())
        dialog.ask = cast("Questions", answers)
        dialog.show()
        if scene.layout.edge is not None:
            wait_for_pages(qtbot, dialog)
        return dialog

    return open_it


def wait_for_pages(qtbot: QtBot, dialog: OutputDialog) -> Prepared:
    qtbot.waitUntil(lambda: dialog.prepared is not None and not dialog.making.busy)
    assert dialog.prepared is not None
    return dialog.prepared


def titles(dialog: OutputDialog) -> list[str]:
    told = Qt.ItemDataRole.AccessibleTextRole
    pages = dialog.pages.list
    return [pages.item(row).data(told).partition(": ")[2] for row in range(pages.count())]


def type_into(field: NumberField, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


# Pages


def test_no_choice_lies_behind_the_bar(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    dialog.resize(900, 600)
    [area] = [each for each in dialog.findChildren(QScrollArea) if each.widget() is dialog.options]
    assert area.verticalScrollBar().isVisible()
    assert dialog.options.width() == area.viewport().width()


def test_the_pages_are_listed_and_the_first_is_seen(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    assert titles(dialog) == ["Drilling template, face", "Caliper card"]
    assert dialog.pages.bar.number.text() == "Page 1 of 2"
    assert dialog.pages.preview.page is dialog.pages.picture(0)
    qtbot.waitUntil(lambda: dialog.pages.list.painted == 2)
    assert not dialog.banner.isVisible()
    assert dialog.foot.caution.isVisible()


def test_the_list_gives_way_before_the_page_does(
    opened: Open, sound: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(1366, 768))
    dialog = opened(sound)
    pages, left = dialog.pages, dialog.options
    for width, titles, listed in (
        (1120, True, True),
        (900, False, True),
        (780, False, False),
        (1120, True, True),
    ):
        dialog.resize(width, 600)
        QApplication.processEvents()
        assert dialog.width() == width
        assert pages.list.isVisible() == listed, width
        assert (pages.list.item(1).text() != "") == titles, width
        # The page stands beside what is ticked, and is no strip.
        assert pages.mapTo(dialog, QPoint(0, 0)).x() > left.mapTo(dialog, QPoint(0, 0)).x() + 200, width
        assert pages.preview.height() > 350, width
        assert pages.preview.width() > 250, width


def test_pages_are_turned_by_list_keys_and_buttons(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    dialog.pages.bar.after.click()
    assert dialog.pages.preview.page is dialog.pages.picture(1)
    assert not dialog.pages.bar.after.isEnabled()
    QTest.keyClick(dialog.pages.preview, Qt.Key.Key_PageUp)
    assert dialog.pages.bar.number.text() == "Page 1 of 2"
    dialog.pages.list.setFocus()
    QTest.keyClick(dialog.pages.list, Qt.Key.Key_Down)
    assert dialog.pages.bar.number.text() == "Page 2 of 2"
    dialog.pages.turn(5)
    assert dialog.pages.list.currentRow() == 1


def test_another_choice_of_sheets_draws_other_pages(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    dialog.pages.turn(1)
    dialog.options.sheets["face"].click()
    wait_for_pages(qtbot, dialog)
    assert titles(dialog) == ["Caliper card"]
    assert dialog.pages.bar.number.text() == "Page 1 of 1"
    dialog.options.sheets["calipers"].click()
    wait_for_pages(qtbot, dialog)
    assert not dialog.choices.names
    assert (
        dialog.pages.preview.accessibleDescription()
        == "There is no page to print. Choose a sheet at the left."
    )
    assert not dialog.foot.save.isEnabled()
    assert not dialog.foot.print.isEnabled()
    dialog.options.sheets["back"].click()
    wait_for_pages(qtbot, dialog)
    assert dialog.choices.names == ("back",)
    assert dialog.foot.save.isEnabled()


def test_paper_printer_and_date_are_on_the_pages(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound, names=("face",))
    pick(dialog.options.paper, "Letter")
    pick(dialog.options.printer, "Back room")
    dialog.options.dated.click()
    ready = wait_for_pages(qtbot, dialog)
    assert (ready.pages[0].width, ready.pages[0].height) == pytest.approx((215.9, 279.4))
    assert {placed.matrix.a for placed in ready.pages[0].placed} == {1.0, 1.01}
    assert ready.job.stamp.date is None
    assert dialog.options.correction.text() == "Lengths × 1.0100 across, × 0.9900 up."
    dialog.options.dated.click()
    assert wait_for_pages(qtbot, dialog).job.stamp.date == "2026-11-25"


def test_a_guide_that_cannot_be_made_says_why_under_its_box(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound, names=("face", "guide"))
    reason = dialog.options.reasons["guide"]
    assert not reason.isVisible()
    type_into(dialog.options.bushing, "45")
    wait_for_pages(qtbot, dialog)
    assert titles(dialog) == ["Drilling template, face"]
    assert reason.isVisible()
    assert reason.text().startswith("Guide holes of 45 mm")
    type_into(dialog.options.bushing, "")
    ready = wait_for_pages(qtbot, dialog)
    assert not reason.isVisible()
    assert ready.job.shop.guide_bushing is None
    type_into(dialog.options.kerf, "0.2 mm")
    assert wait_for_pages(qtbot, dialog).job.shop.kerf == 0.2


def test_choices_of_machine_files_do_not_draw_the_pages_again(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    before = dialog.prepared
    pick(dialog.machines.drawing, "Drill guide")
    pick(dialog.options.version, "Lines and arcs only")
    pick(dialog.options.edge, "Closed, for a plate")
    dialog.options.aids.click()
    assert dialog.prepared is before
    choices = dialog.choices
    assert (choices.drawing, choices.dxf_version, choices.edge) == ("guide", "plain", "plate")
    assert choices.aids


def test_a_stop_is_told_above_everything(opened: Open, stopped: Scene) -> None:
    dialog = opened(stopped, names=("face",))
    assert dialog.banner.isVisible()
    assert dialog.banner.words.text().startswith("Do not drill: fix ")
    assert dialog.prepared is not None
    assert any(
        mark.label == "banner"
        for placed in dialog.prepared.pages[0].placed
        for mark in placed.sheet.drawing.marks
    )


def test_without_an_outline_there_is_nothing_to_draw(opened: Open, empty: Scene, answers: Answers) -> None:
    dialog = opened(empty)
    assert "no line yet" in dialog.pages.preview.accessibleDescription()
    buttons = (dialog.foot.save, dialog.foot.print, *dialog.machines.buttons.values())
    assert not any(button.isEnabled() for button in buttons)
    QTest.keyClick(dialog, Qt.Key.Key_F5)
    QTest.keyClick(dialog, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert answers.asked == []


# Files


def test_a_pdf_is_saved(qtbot: QtBot, opened: Open, sound: Scene, answers: Answers) -> None:
    dialog = opened(sound)
    with qtbot.waitSignal(dialog.writing.done):
        QTest.keyClick(dialog, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    target = answers.folder / "out.pdf"
    assert target.read_bytes().startswith(b"%PDF-")
    assert answers.asked == ["Save PDF: Bench no. 7- left-right.pdf: PDF (*.pdf)"]
    assert dialog.foot.message.text() == f"Saved {target}"


def test_a_maker_who_thinks_better_of_it_writes_nothing(opened: Open, sound: Scene, answers: Answers) -> None:
    answers.place = None
    answers.prints = False
    dialog = opened(sound)
    dialog.foot.save.click()
    dialog.foot.print.click()
    assert not dialog.writing.busy
    assert not dialog.printing.busy
    assert list(answers.folder.iterdir()) == []


@pytest.mark.parametrize(
    ("suffix", "holds", "suggested"),
    [
        (".dxf", b"CUT_THROUGH", "guide mm.dxf"),
        (".svg", b"<svg ", "guide mm.svg"),
        (".csv", b"bore", "holes mm.csv"),
    ],
)
def test_files_for_machines_are_saved(
    qtbot: QtBot, opened: Open, sound: Scene, answers: Answers, suffix: str, holds: bytes, suggested: str
) -> None:
    dialog = opened(sound, drawing="guide")
    buttons = {str(key): button for key, button in dialog.machines.buttons.items()}
    with qtbot.waitSignal(dialog.writing.done):
        buttons[suffix].click()
    assert holds in (answers.folder / f"out{suffix}").read_bytes()
    assert f"Bench no. 7- left-right {suggested}" in answers.asked[0]


def test_the_drawing_for_machines_is_chosen_and_told_beside_its_buttons(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    told = dialog.machines.told
    assert not told.isVisible()
    pick(dialog.machines.drawing, "Drill guide")
    assert told.isVisible()
    assert told.text() == "Its holes of 2 mm lead a pilot drill; kerf 0 mm."
    type_into(dialog.options.bushing, "8.2")
    type_into(dialog.options.kerf, "0.2")
    assert told.text() == "Its holes of 8.2 mm take the guide bushing; kerf 0.2 mm."
    pick(dialog.machines.drawing, "Face: outline and bores")
    assert not told.isVisible()
    assert dialog.choices.drawing == "face"


def test_the_page_of_the_drawing_for_machines_is_shown(opened: Open, sound: Scene) -> None:
    dialog = opened(sound, names=("face", "guide"))
    assert dialog.pages.bar.number.text() == "Page 1 of 2"
    pick(dialog.machines.drawing, "Drill guide")
    assert dialog.pages.bar.number.text() == "Page 2 of 2"
    # No page shows it: the one that is looked at stays.
    pick(dialog.machines.drawing, "Nut: paper strip, slots and heights")
    assert dialog.pages.bar.number.text() == "Page 2 of 2"


def test_no_file_is_made_of_numbers_that_do_not_read(opened: Open, sound: Scene, answers: Answers) -> None:
    dialog = opened(sound, drawing="guide")
    type_into(dialog.options.kerf, "xx")
    for button in (*dialog.machines.buttons.values(), dialog.foot.save, dialog.foot.print):
        button.click()
        assert "Kerf: " in dialog.foot.message.text()
        assert dialog.options.kerf.hasFocus()
    assert answers.asked == []
    assert not dialog.writing.busy


def test_what_does_not_read_is_told_before_closing(opened: Open, sound: Scene, kept: list[Shop]) -> None:
    dialog = opened(sound)
    type_into(dialog.options.kerf, "0.2x")
    dialog.foot.close_button.click()
    assert dialog.isVisible()
    assert dialog.foot.message.text().startswith("Kerf: ")
    assert dialog.options.kerf.hasFocus()
    assert kept == []
    QTest.keyClick(dialog.options.kerf, Qt.Key.Key_Escape)
    assert dialog.foot.message.text() == ""
    dialog.foot.close_button.click()
    assert not dialog.isVisible()


def test_the_kerf_is_kept_in_the_shop_and_is_no_other_head(
    qtbot: QtBot, opened: Open, sound: Scene, kept: list[Shop]
) -> None:
    dialog = opened(sound)
    assert dialog.prepared is not None
    mark = dialog.prepared.job.stamp.fingerprint
    type_into(dialog.options.kerf, "0.2")
    type_into(dialog.options.bushing, "8.2")
    assert (kept[-1].kerf, kept[-1].guide_bushing) == (0.2, 8.2)
    wait_for_pages(qtbot, dialog)
    assert dialog.prepared.job.stamp.fingerprint == mark
    type_into(dialog.options.kerf, "xx")
    dialog.foot.save.click()
    assert "Kerf: " in dialog.foot.message.text()
    QTest.keyClick(dialog.options.kerf, Qt.Key.Key_Escape)
    assert dialog.foot.message.text() == "", "what was said is no longer so"


def test_a_machine_file_of_a_stop_asks_first(
    qtbot: QtBot, opened: Open, stopped: Scene, answers: Answers
) -> None:
    dialog = opened(stopped, names=("face",))
    answers.despite = False
    dialog.machines.buttons[".dxf"].click()
    assert answers.asked == [dialog.banner.words.text()]
    assert not dialog.writing.busy
    answers.despite = True
    with qtbot.waitSignal(dialog.writing.done):
        dialog.machines.buttons[".dxf"].click()
    assert (answers.folder / "out.dxf").exists()
    assert "FAILS face mm.dxf" in answers.asked[-1]


def test_the_buttons_for_files_are_never_out_of_sight(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    dialog.resize(900, 560)
    for button in (dialog.foot.save, dialog.foot.print, *dialog.machines.buttons.values()):
        assert not button.visibleRegion().isEmpty()
        corner = button.mapTo(dialog, button.rect().bottomRight())
        assert dialog.rect().contains(corner)


def test_the_fingerprint_is_told(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    assert dialog.prepared is not None
    mark = dialog.prepared.job.stamp.fingerprint
    assert dialog.options.fingerprint.text() == f"Fingerprint {mark}, on every page and file"


def test_what_cannot_be_written_is_told(qtbot: QtBot, opened: Open, sound: Scene, answers: Answers) -> None:
    answers.place = answers.folder / "no such folder" / "out.pdf"
    dialog = opened(sound)
    with qtbot.waitSignal(dialog.writing.refused):
        dialog.foot.save.click()
    assert "cannot be written" in dialog.foot.message.text()
    assert dialog.foot.save.isEnabled()


# Work that lasts


class Gate:
    """Holds the drawing of pages until it is opened."""

    def __init__(self) -> None:
        self.open = threading.Event()

    def prepared(self, job: Job, progress: Progress, first: First | None = None) -> Prepared:
        progress(1, 4)
        assert self.open.wait(5)
        return prepared(job, progress, first)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch, opened: Open) -> Gate:
    made = Gate()
    monkeypatch.setattr(output_dialog, "prepared", made.prepared)
    return made


def test_long_drawing_shows_progress_and_is_stopped(
    qtbot: QtBot, opened: Open, sound: Scene, gate: Gate
) -> None:
    gate.open.set()
    dialog = opened(sound)
    gate.open.clear()
    dialog.options.sheets["back"].click()
    assert not dialog.foot.working, "what is done in a moment shows no progress"
    qtbot.waitUntil(lambda: dialog.foot.working and dialog.foot.progress.maximum() == 4)
    assert dialog.foot.progress.value() == 1
    assert dialog.foot.message.text() == "Drawing the pages…"
    # The first page is there to be looked at, and nothing can be printed yet.
    assert titles(dialog) == ["Drilling template, face"]
    assert dialog.pages.preview.page is not None
    assert not dialog.foot.save.isEnabled()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible()
    assert not dialog.foot.working
    assert dialog.foot.again.isVisible()
    assert not dialog.foot.save.isEnabled()
    assert "draw them again with F5" in dialog.pages.preview.accessibleDescription()
    gate.open.set()
    QTest.keyClick(dialog, Qt.Key.Key_F5)
    wait_for_pages(qtbot, dialog)
    assert titles(dialog) == ["Drilling template, face", "Back, mirror image of the face", "Caliper card"]
    assert not dialog.foot.again.isVisible()


def test_closing_ends_all_work(qtbot: QtBot, opened: Open, sound: Scene, gate: Gate) -> None:
    gate.open.set()
    dialog = opened(sound)
    gate.open.clear()
    dialog.options.sheets["back"].click()
    dialog.foot.close_button.click()
    assert not dialog.isVisible()
    assert not dialog.making.busy
    assert not [clock for clock in dialog.findChildren(QTimer) if clock.isActive()]
    gate.open.set()


def test_paper_too_small_is_told_in_the_place_of_the_pages(
    qtbot: QtBot, opened: Open, sound: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    dialog = opened(sound)

    def refusing(_: Job, __: Progress, ___: First | None = None) -> Prepared:
        raise Refusal("The paper is too small.")

    monkeypatch.setattr(output_dialog, "prepared", refusing)
    with qtbot.waitSignal(dialog.making.refused):
        pick(dialog.options.paper, "A5")
    assert dialog.pages.preview.accessibleDescription() == "The paper is too small."
    assert titles(dialog) == []


# Printing


def test_all_pages_are_printed(qtbot: QtBot, opened: Open, sound: Scene, answers: Answers) -> None:
    dialog = opened(sound)
    with qtbot.waitSignal(dialog.printing.done):
        QTest.keyClick(dialog, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
        assert not dialog.foot.print.isEnabled()
    assert answers.asked == ["printer: 2"]
    assert (answers.folder / "printed.pdf").read_bytes().startswith(b"%PDF-")
    assert dialog.foot.message.text() == f"The pages are in {answers.folder / 'printed.pdf'}."
    assert dialog.foot.print.isEnabled()


def test_printing_is_stopped(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    with qtbot.assertNotEmitted(dialog.printing.done, wait=20):
        dialog.foot.print.click()
        dialog.give_up()
    assert dialog.foot.message.text() == "Stopped."
    assert dialog.prepared is not None
    assert dialog.foot.print.isEnabled()


@pytest.mark.parametrize(
    ("carried", "used", "factors"),
    [
        ("plain", "Back room", "x 1.0000 y 1.0000"),
        ("Back room", "plain", "x 1.0100 y 0.9900"),
        ("Back room", "never measured", "x 1.0100 y 0.9900"),
    ],
)
def test_a_printer_with_another_correction_is_asked_about(
    qtbot: QtBot,
    opened: Open,
    sound: Scene,
    answers: Answers,
    carried: str,
    used: str,
    factors: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    dialog = opened(sound, printer=carried)
    monkeypatch.setattr(QPrinter, "printerName", lambda _: used)
    answers.other = False
    dialog.foot.print.click()
    assert answers.asked[-1] == (
        f"The pages carry the correction of {carried} ({factors}), and you chose {used}."
    )
    assert not dialog.printing.busy
    assert dialog.foot.message.text().startswith("Nothing was printed.")
    answers.other = True
    with qtbot.waitSignal(dialog.printing.done):
        dialog.foot.print.click()


@pytest.mark.parametrize(
    ("carried", "used"), [("plain", "never measured"), ("Back room", "Back room"), ("plain", "")]
)
def test_nothing_is_asked_where_both_want_the_same(
    qtbot: QtBot,
    opened: Open,
    sound: Scene,
    answers: Answers,
    carried: str,
    used: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    dialog = opened(sound, printer=carried)
    monkeypatch.setattr(QPrinter, "printerName", lambda _: used)
    with qtbot.waitSignal(dialog.printing.done):
        dialog.foot.print.click()
    assert answers.asked == ["printer: 2"]


# Correction


def correction(qtbot: QtBot, dialog: OutputDialog) -> PrinterDialog:
    dialog.options.correct.click()
    return next(each for each in dialog.children() if isinstance(each, PrinterDialog))


def test_a_correction_is_kept_and_applied(qtbot: QtBot, opened: Open, sound: Scene, kept: list[Shop]) -> None:
    dialog = opened(sound, names=("face",))
    corrects = correction(qtbot, dialog)
    QTest.keyClicks(corrects.name, "Upstairs")
    type_into(corrects.readings["across"], "149.6")
    type_into(corrects.readings["up"], "200")
    corrects.keep.click()
    assert [profile.name for profile in kept[-1].printers] == ["plain", "Back room", "Upstairs"]
    assert dialog.options.printer.currentText() == "Upstairs"
    ready = wait_for_pages(qtbot, dialog)
    printer = ready.job.stamp.printer
    assert (printer.name, printer.factor_y) == ("Upstairs", 1.0)
    assert printer.factor_x == pytest.approx(150 / 149.6)


def test_a_correction_of_the_chosen_printer_draws_its_pages_again(
    qtbot: QtBot, opened: Open, sound: Scene, kept: list[Shop]
) -> None:
    dialog = opened(sound, names=("face",), printer="Back room")
    corrects = correction(qtbot, dialog)
    type_into(corrects.readings["across"], "150")
    type_into(corrects.readings["up"], "200")
    corrects.keep.click()
    assert kept[-1].printers[1] == PrinterProfile(name="Back room")
    assert wait_for_pages(qtbot, dialog).job.stamp.printer.factor_x == 1.0


def test_the_rulers_are_printed_and_saved(qtbot: QtBot, opened: Open, sound: Scene, answers: Answers) -> None:
    dialog = opened(sound, names=("face",))
    corrects = correction(qtbot, dialog)
    with qtbot.waitSignal(dialog.printing.done):
        corrects.print_rulers.click()
    with qtbot.waitSignal(dialog.writing.done):
        corrects.save_rulers.click()
    assert answers.asked[0] == "printer: 1"
    assert (answers.folder / "out.pdf").exists()
    corrects.reject()


# Use


def test_every_control_has_a_name_and_a_tip(opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    for widget in dialog.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible() and named(widget):
            name = widget.text() if isinstance(widget, QAbstractButton) else ""
            assert name or widget.accessibleName(), widget
            assert widget.toolTip(), widget


def named(widget: QWidget) -> bool:
    """Whether a widget is one of ours; scroll areas take the focus only to scroll."""
    return type(widget).__name__ not in {"QScrollArea", "Scrolled", "QScrollBar"}


def test_the_list_of_packets_shows_what_comes_out(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    box, looker = dialog.options.packet, dialog.looker
    assert box.pages_of("bench") == ("", None), "nothing is drawn that nobody looks at"
    height = box.height()
    box.showPopup()
    qtbot.waitUntil(lambda: all(box.pages_of(packet.name)[0] for packet in PACKETS), timeout=30_000)
    box.hidePopup()
    assert not looker.work.busy
    assert box.height() == height, "closed it is like any other list"
    for packet in (CRADLE_ALONE, FIGURES):
        words, drawn = box.pages_of(packet.name)
        box.picked.emit(packet.name)
        ready = wait_for_pages(qtbot, dialog)
        assert words == (f"{len(ready.pages)} pages" if len(ready.pages) > 1 else "1 page")
        assert drawn is not None
        assert not drawn.pixmap(54, 54).isNull()
        row = box.findData(words, Qt.ItemDataRole.UserRole + 2)
        assert box.itemData(row, Qt.ItemDataRole.AccessibleTextRole).endswith(words)


def test_another_paper_makes_other_packets(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    box = dialog.options.packet
    box.showPopup()
    qtbot.waitUntil(lambda: bool(box.pages_of("bench")[0]), timeout=30_000)
    before = int(box.pages_of("bench")[0].split()[0])
    box.hidePopup()
    pick(dialog.options.paper, "A5")
    wait_for_pages(qtbot, dialog)
    box.showPopup()
    assert box.pages_of("bench") == ("", None)
    qtbot.waitUntil(lambda: bool(box.pages_of("bench")[0]), timeout=30_000)
    box.hidePopup()
    assert int(box.pages_of("bench")[0].split()[0]) > before


def test_a_packet_ticks_its_sheets_and_ticks_name_their_packet(
    qtbot: QtBot, opened: Open, sound: Scene
) -> None:
    dialog = opened(sound, names=("face",))
    options = dialog.options
    assert str(options.packet.value) == "own"
    options.packet.picked.emit("figures")
    assert dialog.choices.names == FIGURES.names
    assert {name for name, box in options.sheets.items() if box.isChecked()} == set(FIGURES.names)
    assert str(options.packet.value) == "figures"
    options.sheets["strength"].click()
    assert str(options.packet.value) == "own"
    options.packet.picked.emit("failed")
    assert dialog.choices.names == FAILED.names
    wait_for_pages(qtbot, dialog)


def test_every_sheet_has_its_own_title() -> None:
    assert len({kind.title for kind in ORDER}) == len(KINDS) == len(ORDER)


def test_choices_of_another_day_carry_the_new_date(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound, names=("face",), day=date(2026, 11, 24))
    assert wait_for_pages(qtbot, dialog).job.stamp.date == "2026-11-25"
    assert opened(sound, names=("face",), day=None).choices.day is None


def test_why_a_head_fails_is_not_shown_once_it_does_not() -> None:
    fails = usual_choices(Shop(), DAY, stopped=True)
    assert first_choices(Shop(), fails, DAY, stopped=True).names == fails.names
    assert first_choices(Shop(), fails, DAY).names == usual_choices(Shop(), DAY).names
    own = change(fails, names=("face",))
    assert first_choices(Shop(), own, DAY).names == ("face",)


def test_choices_start_as_the_shop_works(qtbot: QtBot, sound: Scene, tmp_path: Path) -> None:
    shop = Shop(paper="Letter", kerf=0.2, guide_bushing=8.0, units="inch")
    dialog = OutputDialog(sound, shop, lambda kept: kept, folder=tmp_path)
    qtbot.addWidget(dialog, before_close_func=lambda widget: widget.reject())
    choices = dialog.choices
    assert (choices.paper, choices.kerf, choices.guide_bushing) == ("Letter", 0.2, 8.0)
    assert choices.day is not None
    assert dialog.options.kerf.text() == "0.008 in"
    assert choices.names == BENCH.names
    assert dialog.options.packet.value == "bench"


def test_the_printed_guide_is_looked_at(qtbot: QtBot, opened: Open, sound: Scene) -> None:
    dialog = opened(sound)
    dialog.options.look.click()
    (shown,) = (each for each in dialog.children() if isinstance(each, GuideDialog))
    qtbot.waitUntil(lambda: not shown.making.busy)
    assert shown.isVisible()
    shown.reject()
