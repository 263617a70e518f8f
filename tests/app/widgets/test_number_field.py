"""Typing numbers: what reads, what does not, and what stays as it is."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.widgets.number_field import Measure, NumberField, Range, number_text, read_number
from geometry.trade.units import Units


def shown(qtbot: QtBot, field: NumberField) -> NumberField:
    qtbot.addWidget(field)
    with qtbot.waitActive(field):
        field.show()
        field.activateWindow()
    field.setFocus()
    return field


def type_in(field: NumberField, text: str) -> None:
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("5 3/8 in", 5.375 * 25.4),
        ("0.375in", 9.525),
        ("9.5", 9.5),
        ("12 mm", 12.0),
        ("10+2*3", 16.0),
        ("-2.5", -2.5),
    ],
)
def test_every_notation_is_taken_over(qtbot: QtBot, text: str, millimetres: float) -> None:
    field = shown(qtbot, NumberField("Width"))
    field.set_value(1.0)
    with qtbot.waitSignal(field.edited) as told:
        type_in(field, text)
    assert told.args == [pytest.approx(millimetres, abs=1e-9)]
    assert field.value == pytest.approx(millimetres, abs=1e-9)


@pytest.mark.parametrize("times", [1, 2])
def test_a_click_or_two_and_a_number_replace_the_old_one(qtbot: QtBot, times: int) -> None:
    other, field = shown(qtbot, NumberField("Length")), shown(qtbot, NumberField("Width"))
    other.setFocus()
    field.clearFocus()
    field.set_value(10.81)
    place = QPoint(field.width() - 12, field.height() // 2)
    QTest.mouseClick(field, Qt.MouseButton.LeftButton, pos=place)
    if times == 2:
        QTest.mouseDClick(field, Qt.MouseButton.LeftButton, pos=place)
    QTest.keyClicks(field, "8.8")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.value == 8.8
    QTest.keyClicks(field, "9.5")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.value == 9.5


def test_a_second_click_puts_the_cursor_between_the_figures(qtbot: QtBot) -> None:
    field = NumberField("Width")
    field.set_value(10.81)
    shown(qtbot, field)
    assert field.selectedText() == "10.81 mm"
    QTest.mouseClick(field, Qt.MouseButton.LeftButton, pos=QPoint(field.width() - 4, field.height() // 2))
    assert not field.hasSelectedText()
    assert field.cursorPosition() == len("10.81 mm")


def test_plain_numbers_are_in_the_shown_units(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width", units="inch"))
    type_in(field, "1 3/4")
    assert field.value == pytest.approx(44.45)
    assert field.text() == "1 3/4 in"
    field.set_units("mm")
    assert field.text() == "44.45 mm"


def test_esc_brings_the_number_back_and_then_is_left_to_the_window(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width"))
    field.set_value(44.5)
    QTest.keyClicks(field, "9")
    assert field.text() != "44.5 mm"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert (field.text(), field.value, field.isModified()) == ("44.5 mm", 44.5, False)


def test_what_does_not_read_stays_with_its_reason(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width", tip="Width of the nut"))
    field.set_value(44.5)
    with qtbot.assertNotEmitted(field.edited):
        type_in(field, "4x")
    assert field.text() == "4x"
    assert "4x" in field.fault
    assert field.toolTip() == field.fault
    assert field.accessibleDescription() == field.fault
    assert field.value == 44.5
    assert not field.grab().isNull()
    QTest.keyClicks(field, "1")
    assert field.fault == ""
    assert field.toolTip() == "Width of the nut"


@pytest.mark.parametrize(
    ("within", "text", "words"),
    [
        (Range(least=0.0), "-1", "At least 0 mm."),
        (Range(least=0.0, above=True), "0", "It must be more than 0 mm."),
        (Range(least=0.0, most=60.0), "61", "It must be from 0 mm to 60 mm."),
        (Range(least=0.0, most=60.0, above=True), "0", "It must be more than 0 mm, and 60 mm at most."),
    ],
)
def test_numbers_out_of_range_are_refused(qtbot: QtBot, within: Range, text: str, words: str) -> None:
    field = shown(qtbot, NumberField("Width", within=within))
    with qtbot.assertNotEmitted(field.edited):
        type_in(field, text)
    assert field.fault == words
    field.set_range(Range())
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.fault == ""


def test_leaving_takes_over_but_looking_does_not(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width"))
    field.set_value(9.921875)
    with qtbot.assertNotEmitted(field.edited):
        QTest.keyClick(field, Qt.Key.Key_Return)
        field.clearFocus()
    assert field.value == 9.921875
    field.setFocus()
    QTest.keyClicks(field, "12")
    with qtbot.waitSignal(field.edited) as told:
        field.clearFocus()
    assert told.args == [12.0]


def test_no_length_is_shown_finer_than_it_is_known_and_looking_changes_nothing(qtbot: QtBot) -> None:
    # Such as read from a photo: a field that shows less than it holds keeps what it holds.
    other, field = shown(qtbot, NumberField("Length")), shown(qtbot, NumberField("Width"))
    field.set_value(62.488)
    assert field.text() == "62.49 mm"
    with qtbot.assertNotEmitted(field.edited):
        other.setFocus()
        field.setFocus()
        QTest.keyClick(field, Qt.Key.Key_Return)
        other.setFocus()
    assert field.value == 62.488
    type_in(field, "62.493")
    assert (field.value, field.text()) == (62.493, "62.49 mm")


def test_the_same_number_again_is_no_edit(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width"))
    field.set_value(12.0)
    with qtbot.assertNotEmitted(field.edited):
        type_in(field, "10 + 2")
    assert field.text() == "12 mm"


def test_what_is_being_typed_is_left_alone(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width"))
    QTest.keyClicks(field, "3")
    field.set_value(7.0)
    field.set_units("inch")
    assert field.text() == "3"
    field.clearFocus()
    assert field.value == pytest.approx(76.2)
    field.set_value(25.4)
    assert field.text() == "1 in"


def test_an_optional_field_may_be_emptied(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Inset of the last", optional=True))
    field.set_value(4.0)
    with qtbot.waitSignal(field.cleared):
        type_in(field, " ")
    assert field.value is None
    with qtbot.assertNotEmitted(field.cleared):
        type_in(field, " ")
    needed = shown(qtbot, NumberField("Inset"))
    needed.set_value(4.0)
    type_in(needed, " ")
    assert needed.fault


@pytest.mark.parametrize(
    ("value", "measure", "units", "text"),
    [
        (0.254, "gauge", "mm", "0.254 mm"),
        (0.254, "gauge", "inch", "0.010 in"),
        (12.5, "degrees", "mm", "12.5°"),
        (-0.0001, "degrees", "inch", "0°"),
        (27.0, "mass", "mm", "27 g"),
        (75.0, "percent", "inch", "75 %"),
        (0.25, "plain", "mm", "0.25"),
    ],
)
def test_each_measure_is_shown_with_its_sign(value: float, measure: str, units: str, text: str) -> None:
    assert number_text(value, measure, units) == text  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["13", "13°", "13 deg", "13 degrees", "10 + 3", " 13 ° "])
def test_angles_are_read_with_and_without_their_sign(text: str) -> None:
    assert read_number(text, "degrees", "inch") == 13.0


@pytest.mark.parametrize("text", ["75", "75%", "75 %"])
def test_shares_are_read_with_and_without_their_sign(text: str) -> None:
    assert read_number(text, "percent", "inch") == 75.0


def test_an_angle_that_does_not_read_says_why() -> None:
    with pytest.raises(ValueError, match='"13 x" does not read as a number'):
        read_number("13 x", "degrees", "mm")
    with pytest.raises(ValueError, match="…"):
        read_number("1" * 60 + "x", "degrees", "mm")


def test_a_dark_field_marks_its_fault_too(qtbot: QtBot) -> None:
    field = shown(qtbot, NumberField("Width"))
    palette = field.palette()
    palette.setColor(palette.ColorRole.Base, Qt.GlobalColor.black)
    field.setPalette(palette)
    type_in(field, "x")
    assert not field.grab().isNull()


@pytest.mark.parametrize(
    ("text", "units", "newtons"),
    [
        ("70", "mm", 70.0),
        ("70 N", "inch", 70.0),
        ("15 lbf", "mm", 15 * 4.4482216152605),
        ("10+5 lbs", "inch", 15 * 4.4482216152605),
        ("15 lb", "mm", 15 * 4.4482216152605),
        ("15", "inch", 15 * 4.4482216152605),
    ],
)
def test_a_pull_is_read_in_newtons_or_pounds(text: str, units: Units, newtons: float) -> None:
    assert read_number(text, "force", units) == pytest.approx(newtons)


def test_pulls_and_unit_weights_are_shown_with_their_units() -> None:
    assert number_text(66.72332422890752, "force", "mm") == "66.72 N"
    assert number_text(66.72332422890752, "force", "inch") == "15 lbf"
    assert number_text(7.32, "unit weight", "mm") == "7.32 g/m"
    assert read_number("7.32 g/m", "unit weight", "mm") == 7.32


# What one is worth: NIST SP 811 (2008), Appendix B.8.
@pytest.mark.parametrize(
    ("text", "measure", "worth"),
    [
        ("15 lbf", "force", 15 * 4.448222),
        ("15,800 psi", "stress", 15800 * 0.006894757),
        ("1.5 oz", "mass", 1.5 * 28.34952),
        ("0.00002215 lb/in", "unit weight", 0.00002215 * 17857.97),
    ],
)
def test_inch_shops_type_what_they_read(text: str, measure: Measure, worth: float) -> None:
    value = read_number(text, measure, "mm")
    assert value == pytest.approx(worth, rel=1e-6)
    assert read_number(text.split()[0], measure, "inch") == value
    assert number_text(value, measure, "inch") == text.replace(",", "")


def test_metric_words_hold_in_an_inch_shop() -> None:
    assert read_number("43 g", "mass", "inch") == 43.0
    assert read_number("109 MPa", "stress", "inch") == 109.0
    assert number_text(43.0, "mass", "inch") == "1.52 oz"
