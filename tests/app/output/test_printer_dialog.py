"""Correcting a printer by what a steel rule reads."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.output.printer_dialog import PrinterDialog
from geometry.trade.shop import PrinterProfile, Shop
from tests.app.panels.hands import turned_down

# Qt's screenless platform says so of every window that has a least size.
pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

Kept = list[tuple[Shop, str]]


@pytest.fixture
def kept() -> Kept:
    return []


def opened(qtbot: QtBot, kept: Kept, shop: Shop, chosen: str = "plain", *installed: str) -> PrinterDialog:
    dialog = PrinterDialog(shop, "A4", chosen, installed, lambda shop, name: kept.append((shop, name)))
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def type_into(dialog: PrinterDialog, across: str, up: str) -> None:
    for field, text in zip(dialog.readings.values(), (across, up), strict=True):
        field.setFocus()
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Delete)
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)


def test_the_wheel_takes_no_other_printer(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "plain", "first", "second")
    before, line = dialog.name.currentText(), dialog.name.lineEdit()
    assert line is not None
    for part in (dialog.name, line):
        QApplication.sendEvent(part, turned_down())
    assert dialog.name.currentText() == before


def test_two_readings_make_a_correction(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop)
    assert dialog.name.currentText() == ""
    QTest.keyClicks(dialog.name, "Upstairs")
    assert not dialog.keep.isEnabled()
    # On A4 the lying ruler is 150 mm long, the standing one 200 mm.
    type_into(dialog, "149.6", "200.5 mm")
    assert dialog.isVisible()
    assert [label.text() for label in dialog.factors.values()] == ["× 1.0027", "× 0.9975"]
    dialog.keep.click()
    ((kept_shop, name),) = kept
    assert name == "Upstairs"
    assert kept_shop.printers[:2] == shop.printers
    profile = kept_shop.printers[2]
    assert profile.name == "Upstairs"
    assert (profile.factor_x, profile.factor_y) == pytest.approx((150 / 149.6, 200 / 200.5))
    assert not dialog.isVisible()


def test_a_printer_that_is_known_gets_new_factors(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "Back room", "Installed")
    assert dialog.name.currentText() == "Back room"
    type_into(dialog, "150", "200")
    dialog.keep.click()
    assert kept[0][0].printers == (PrinterProfile(name="plain"), PrinterProfile(name="Back room"))


def test_a_printer_of_this_computer_is_offered(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "plain", "Installed", "Back room")
    assert dialog.name.currentText() == "Installed"
    assert [dialog.name.itemText(place) for place in range(dialog.name.count())] == [
        "Installed",
        "Back room",
        "plain",
    ]


def test_a_page_that_was_fitted_is_refused(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "Back room")
    type_into(dialog, "149.6", "188")
    assert "188 mm instead of 200 mm is no fault of the printer" in dialog.verdict.text()
    assert not dialog.keep.isEnabled()
    assert dialog.profile is None
    dialog.accept()
    assert dialog.isVisible()
    assert kept == []
    type_into(dialog, "149.6", "199")
    assert dialog.keep.isEnabled()
    type_into(dialog, "", "199")
    assert not dialog.keep.isEnabled()


def test_a_name_is_needed(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop)
    type_into(dialog, "149.6", "199")
    assert dialog.verdict.text() == "The printer needs a name."
    dialog.name.setEditText("x" * 61)
    assert not dialog.keep.isEnabled()
    assert "60" in dialog.verdict.text()
    dialog.name.setEditText("x" * 60)
    assert dialog.keep.isEnabled()


def test_inches_are_read_in_inches(qtbot: QtBot, kept: Kept) -> None:
    shop = Shop(units="inch", printers=(PrinterProfile(name="Back room", factor_x=1.01),))
    dialog = opened(qtbot, kept, shop, "Back room")
    type_into(dialog, "5.97", "8 1/16 in")
    profile = dialog.profile
    assert profile is not None
    assert (profile.factor_x, profile.factor_y) == pytest.approx((6 / 5.97, 8 / 8.0625))


def test_a_correction_is_forgotten(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "Back room")
    dialog.forget.click()
    assert kept == [(Shop(printers=(PrinterProfile(name="plain"),)), "plain")]
    dialog.name.setCurrentText("plain")
    assert not dialog.forget.isEnabled(), "a shop has one printer at least"
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_the_rulers_are_asked_for_by_name(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop, "Back room")
    for button, signal in (
        (dialog.print_rulers, dialog.rulers_wanted),
        (dialog.save_rulers, dialog.rulers_file_wanted),
    ):
        with qtbot.waitSignal(signal) as told:
            button.click()
        assert told.args == ["Back room"]


def test_the_last_reading_counts_though_it_was_not_entered(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop)
    with qtbot.waitActive(dialog):
        dialog.activateWindow()
    QTest.keyClicks(dialog.name, "Upstairs")
    type_into(dialog, "149.6", "")
    up = dialog.readings["up"]
    up.setFocus()
    QTest.keyClicks(up, "200.5")
    QTest.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)
    (_, name), profile = kept[0], kept[0][0].printers[-1]
    assert (name, profile.name) == ("Upstairs", "Upstairs")
    assert profile.factor_x == pytest.approx(150 / 149.6, abs=1e-4)
    assert profile.factor_y == pytest.approx(200 / 200.5, abs=1e-4)


def test_a_reading_that_does_not_read_is_not_kept(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop)
    QTest.keyClicks(dialog.name, "Upstairs")
    type_into(dialog, "149.6", "200.5")
    type_into(dialog, "149.6", "200.5y")
    dialog.accept()
    assert not kept
    assert "200.5y" in dialog.verdict.text()


def test_no_words_are_cut_when_a_factor_appears(qtbot: QtBot, kept: Kept, shop: Shop) -> None:
    dialog = opened(qtbot, kept, shop)
    type_into(dialog, "149.6", "200.5")
    qtbot.wait(1)
    for label in dialog.findChildren(QLabel):
        if label.isVisible() and not label.wordWrap():
            assert label.width() >= label.sizeHint().width(), label.text()
