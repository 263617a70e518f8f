"""Measuring tuners: every field changes its measure, and the drawing shows where it is."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.hardware_form import HardwareForm
from app.panels.hardware_groups import NEW_PIN, NEW_REAR_BUTTON, NEW_SCREW, NEW_SIDE_BUTTON
from app.widgets.number_field import NumberField
from geometry.document.codec import read_build, write_build
from geometry.trade.hardware import Hardware, SideButton
from geometry.trade.hardware_library import ENCLOSED_SCREW_IN, FOUR_ON_PLATE, FRICTION, LIBRARY, OPEN_GEAR
from geometry.trade.measured import measures
from geometry.trade.part_dimensions import dimension
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


@pytest.fixture(autouse=True)
def given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Forms that are closed at the end of a test ask nobody."""
    monkeypatch.setattr(HardwareForm, "ask_give_up", lambda _: True)


def form_of(qtbot: QtBot, hardware: Hardware) -> HardwareForm:
    return shown(qtbot, HardwareForm(hardware), 900, 1000)


def field_at(form: HardwareForm, path: str) -> NumberField:
    found = [field for field, each in form.paths.items() if each == path and isinstance(field, NumberField)]
    return next(field for field in found if field.isVisible())


def measure_at(hardware: Hardware, path: str) -> float:
    value: object = hardware
    for step in path.split("."):
        value = getattr(value, step)
    assert isinstance(value, float)
    return value


@pytest.mark.parametrize(
    "path",
    [
        "post_diameter",
        "hole_height",
        "bore.through",
        "bushing.root",
        "washer.height",
        "hexagon.diameter",
        "body.along",
        "body.shift_outward",
        "seat.across",
        "button.shaft_offset",
        "button.swept_diameter",
        "thickness_most",
        "body_mass",
    ],
)
def test_a_measure_is_typed_in(qtbot: QtBot, path: str) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    type_in(field_at(form, path), "7.25")
    assert measure_at(form.hardware, path) == 7.25
    type_in(field_at(form, path), f"{measure_at(ENCLOSED_SCREW_IN, path)}")
    assert form.hardware == replace(ENCLOSED_SCREW_IN, measured=(path,))


def test_what_the_post_turns_in_is_typical_until_it_is_measured(qtbot: QtBot) -> None:
    form = form_of(qtbot, FOUR_ON_PLATE)
    field = field_at(form, "bushing_bore")
    assert (field.value, field.placeholderText()) == (None, "6.1 mm")
    assert "ypical" in form.typical.text()
    assert "6.1 mm" in form.typical.text()
    type_in(field, "6.25")
    assert form.hardware.bushing_bore == 6.25
    assert "easured" in form.typical.text()
    type_in(field, " ")
    assert form.hardware == FOUR_ON_PLATE
    type_in(field_at(form, "post_diameter"), "6.35")
    assert field.placeholderText() == "6.45 mm"


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_the_drawing_shows_the_measure_in_hand(qtbot: QtBot, hardware: Hardware) -> None:
    form = form_of(qtbot, hardware)
    for field, path in form.paths.items():
        if not isinstance(field, NumberField) or not field.isVisible():
            continue
        field.setFocus()
        assert form.drawing.path.split("[")[0] == path.split("[")[0]
        measure = form.drawing.measure
        drawn = "mass" not in path and path not in ("most_pull", "most_string")
        drawn = drawn and not path.startswith("plate.screws") and not path.endswith(("].length", "].depth"))
        assert (measure is not None) == drawn, path
        assert form.drawing.accessibleDescription() == field.accessibleName()
    assert not form.drawing.grab().isNull()


def test_the_drawing_follows_the_numbers(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    field_at(form, "button.swept_diameter").setFocus()
    before = form.drawing.grab().toImage()
    type_in(field_at(form, "button.swept_diameter"), "15")
    assert form.drawing.grab().toImage() != before
    measure = form.drawing.measure
    assert measure is not None
    assert measure.one.distance(measure.two) == pytest.approx(15.0)


def test_parts_come_and_go(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    ticks = {tick.text(): tick for *_, tick in form._groups if tick is not None}
    for path in ("washer", "hexagon", "bushing", "body", "seat"):
        words = path.capitalize()
        press(ticks[words])
        assert getattr(form.hardware, path) is None
        press(ticks[words])
        assert getattr(form.hardware, path) is not None
    press(ticks["Wider at the face"])
    assert form.hardware.bore.counterbore is not None
    type_in(field_at(form, "bore.counterbore.depth"), "5")
    assert form.hardware.bore.counterbore.depth == 5.0
    press(ticks["Wider at the face"])
    assert form.hardware.bore.counterbore is None


def test_the_bushing_is_screwed_or_pressed_in(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    pick(form.bushing, "Pressed in")
    assert form.hardware.bushing is not None
    assert form.hardware.bushing.kind == "press-in"
    pick(form.bushing, "Screwed in")
    assert form.hardware == ENCLOSED_SCREW_IN
    none = form_of(qtbot, replace(ENCLOSED_SCREW_IN, bushing=None))
    none.bushing.picked.emit("press-in")
    assert none.hardware.bushing is None


def test_the_button_is_at_the_side_or_on_the_back(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    pick(form.axis, "On the back")
    assert form.hardware.button == NEW_REAR_BUTTON
    type_in(field_at(form, "button.length"), "25")
    assert form.hardware.button == replace(NEW_REAR_BUTTON, length=25.0)
    pick(form.axis, "At the side")
    assert form.hardware == replace(ENCLOSED_SCREW_IN, button=NEW_SIDE_BUTTON)
    pick(form.axis, "At the side")
    assert isinstance(form.hardware.button, SideButton)


def test_the_pitch_of_a_plate_is_measured_over_the_whole_row(qtbot: QtBot) -> None:
    form = form_of(qtbot, FOUR_ON_PLATE)
    type_in(form.plate_pitch.first_to_last, "70.5")
    assert form.hardware.plate is not None
    assert form.hardware.plate.pitch == 23.5
    # Three spaces of 0.1 mm, the least that a file takes.
    type_in(form.plate_pitch.first_to_last, "0.29")
    assert form.plate_pitch.first_to_last.fault == "It must be from 0.3 mm to 6000 mm."
    assert form.hardware.plate.pitch == 23.5
    type_in(form.plate_pitch.first_to_last, "70.5")
    type_in(form.plate_pitch.posts, "3")
    assert form.hardware.plate.posts == 3
    assert form.plate_pitch.first_to_last.text() == "47 mm"
    type_in(form.plate_pitch.pitch, "24")
    assert form.plate_pitch.first_to_last.text() == "48 mm"
    type_in(form.plate_pitch.posts, "1")
    assert not form.plate_pitch.first_to_last.isEnabled()
    form.plate_pitch.first_to_last.edited.emit(10.0)
    assert form.hardware.plate.pitch == 24.0


def test_screws_and_pins(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    screws = form.screws
    press(screws.more)
    assert form.hardware.screws == ENCLOSED_SCREW_IN.screws * 2
    assert screws.which.currentText() == "Screw 2"
    type_in(screws.numbers.fields["along"], "9")
    press(screws.shared)
    assert form.hardware.screws[1] == replace(ENCLOSED_SCREW_IN.screws[0], along=9.0, shared=True)
    assert form.drawing.path == "screws[1].along"
    pick(screws.which, "Screw 1")
    assert screws.numbers.fields["along"].value == ENCLOSED_SCREW_IN.screws[0].along
    press(screws.less)
    press(screws.less)
    assert form.hardware.screws == ()
    assert not screws.numbers.fields["along"].isVisible()
    press(screws.more)
    assert list(form.hardware.screws) == [NEW_SCREW]
    press(form.pins.more)
    assert form.hardware.pins == (NEW_PIN,)
    assert not form.pins.shared.isVisible()


def test_screws_of_a_plate(qtbot: QtBot) -> None:
    form = form_of(qtbot, FOUR_ON_PLATE)
    assert FOUR_ON_PLATE.plate is not None
    press(form.plate_screws.more)
    assert form.hardware.plate is not None
    assert len(form.hardware.plate.screws) == len(FOUR_ON_PLATE.plate.screws) + 1
    single = form_of(qtbot, ENCLOSED_SCREW_IN)
    single.plate_screws.edited.emit(())
    assert single.hardware == ENCLOSED_SCREW_IN


def test_names_and_touching_bodies(qtbot: QtBot) -> None:
    form = form_of(qtbot, OPEN_GEAR)
    type_in(form.name, "mine")
    type_in(form.source, "measured with calipers")
    press(form.butts)
    wanted = replace(OPEN_GEAR, name="mine", source="measured with calipers", butts=not OPEN_GEAR.butts)
    assert form.hardware == wanted


def test_what_strings_it_takes_may_be_unknown(qtbot: QtBot) -> None:
    form = form_of(qtbot, FRICTION)
    type_in(field_at(form, "most_pull"), "20 lbf")
    assert form.hardware.most_pull == pytest.approx(88.96, abs=0.005)  # 1 lbf is 4.448 N
    for path in ("most_pull", "most_string"):
        field = field_at(form, path)
        field.setFocus()
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Backspace)
        QTest.keyClick(field, Qt.Key.Key_Return)
    assert form.hardware == replace(FRICTION, most_pull=None, most_string=None)


def test_enter_in_a_field_does_not_close_the_form(qtbot: QtBot) -> None:
    form = form_of(qtbot, FRICTION)
    type_in(field_at(form, "post_diameter"), "6.1")
    QTest.keyClick(field_at(form, "post_diameter"), Qt.Key.Key_Return)
    assert form.isVisible()


@pytest.mark.parametrize("take", [True, False])
def test_the_measures_are_taken_or_given_up(qtbot: QtBot, take: bool) -> None:
    above = shown(qtbot, HardwareForm(FRICTION))

    def answer() -> None:
        form = QApplication.activeModalWidget()
        assert isinstance(form, HardwareForm)
        type_in(field_at(form, "hole_height"), "15")
        press(form.take if take else form.give_up)

    QTimer.singleShot(0, answer)
    measured = HardwareForm.ask(FRICTION, "mm", above)
    wanted = replace(FRICTION, hole_height=15.0, measured=("hole_height",))
    assert measured == (wanted if take else None)


def test_a_measure_that_is_not_drawn_is_none() -> None:
    assert dimension(FRICTION, "") is None
    assert dimension(FRICTION, "body_mass") is None


def test_measures_that_cannot_be_are_told_at_once(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    assert form.doubt.text() == ""
    type_in(field_at(form, "bushing.root"), "99")
    assert "99 mm at its root" in form.doubt.text()
    type_in(field_at(form, "bushing.root"), "8.3")
    assert form.doubt.text() == ""
    type_in(field_at(form, "seat.across"), "25")
    assert "past the body" in form.doubt.text()


def test_a_measure_that_does_not_read_is_not_taken_silently(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    bore = field_at(form, "bore.through")
    bore.setFocus()
    bore.selectAll()
    QTest.keyClicks(bore, "9,8O")
    press(form.take)
    assert form.isVisible()
    assert bore.hasFocus()
    assert "9,8O" in form.doubt.text()
    type_in(bore, "9,8")
    press(form.take)
    assert not form.isVisible()
    assert form.hardware.bore.through == 9.8


def test_typed_measures_are_not_given_up_unasked(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    answers = [False, True]
    asked: list[bool] = []

    def asks(_: HardwareForm) -> bool:
        asked.append(answers[len(asked)])
        return asked[-1]

    monkeypatch.setattr(HardwareForm, "ask_give_up", asks)
    form = form_of(qtbot, FRICTION)
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert asked == [], "nothing was typed"
    form = form_of(qtbot, FRICTION)
    type_in(field_at(form, "hole_height"), "15")
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert form.isVisible()
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert asked == [False, True]


def test_a_typical_seat_goes_with_its_body_until_it_is_measured(qtbot: QtBot) -> None:
    form = form_of(qtbot, ENCLOSED_SCREW_IN)
    body, seat = form.hardware.body, form.hardware.seat
    assert body is not None
    assert seat is not None
    assert form.of_body.isVisible()
    type_in(field_at(form, "body.across"), f"{body.across + 3.0}")
    assert form.hardware.seat == replace(seat, across=seat.across + 3.0)
    type_in(field_at(form, "seat.across"), "11")
    assert not form.of_body.isVisible()
    type_in(field_at(form, "body.across"), f"{body.across}")
    assert form.hardware.seat == replace(seat, across=11.0)


def test_what_nobody_has_measured_is_in_italics(qtbot: QtBot) -> None:
    form = form_of(qtbot, replace(ENCLOSED_SCREW_IN, key="own", name="My tuners", source=""))
    post, hole = field_at(form, "post_diameter"), field_at(form, "hole_height")
    assert post.font().italic()
    assert post.accessibleDescription().endswith("typical, not measured")
    type_in(post, "6.3")
    assert not post.font().italic()
    assert not post.accessibleDescription().endswith("typical, not measured")
    assert hole.font().italic()
    again = form_of(qtbot, form.hardware)
    assert not field_at(again, "post_diameter").font().italic()
    assert field_at(again, "hole_height").font().italic()


OWN = replace(ENCLOSED_SCREW_IN, key="own", name="My tuners", source="")
"""As the maker's own tuners begin."""


def italic(form: HardwareForm, path: str) -> bool:
    field = field_at(form, path)
    assert field.accessibleDescription().endswith("typical, not measured") == field.font().italic()
    return field.font().italic()


def saved_and_read(hardware: Hardware) -> Hardware:
    build = three_and_three()
    rows = tuple(replace(row, hardware=hardware.key) for row in build.rows)
    return read_build(write_build(replace(build, rows=rows, hardware=(hardware,)))).hardware[0]


def test_a_seat_that_went_with_its_body_is_still_typical(qtbot: QtBot) -> None:
    form = form_of(qtbot, OWN)
    type_in(field_at(form, "body.across"), "24")
    for _ in range(2):
        # The seat of this class is 3 mm narrower than its body.
        assert field_at(form, "seat.across").value == 21.0
        assert italic(form, "seat.across")
        assert form.of_body.isVisible()
        assert not italic(form, "body.across")
        assert italic(form, "body.along")
        form = form_of(qtbot, saved_and_read(form.hardware))
    type_in(field_at(form, "body.across"), "25")
    assert field_at(form, "seat.across").value == 22.0
    type_in(field_at(form, "seat.across"), "20")
    form = form_of(qtbot, saved_and_read(form.hardware))
    assert not form.of_body.isVisible()
    type_in(field_at(form, "body.across"), "24")
    assert field_at(form, "seat.across").value == 20.0


def test_what_was_typed_is_measured_even_where_it_is_typical(qtbot: QtBot) -> None:
    form = form_of(qtbot, OWN)
    assert italic(form, "post_diameter")
    type_in(field_at(form, "post_diameter"), f"{OWN.post_diameter}")
    assert not italic(form, "post_diameter")
    form = form_of(qtbot, saved_and_read(form.hardware))
    assert not italic(form, "post_diameter")
    assert italic(form, "hole_height")


def test_numbers_of_screws_and_pins_are_typical_until_they_are_typed(qtbot: QtBot) -> None:
    form = form_of(qtbot, OWN)
    screws, pins = form.screws, form.pins
    along, diameter = screws.numbers.fields["along"], screws.numbers.fields["diameter"]
    press(pins.more)
    press(screws.more)
    press(screws.more)
    assert all(each.font().italic() for each in pins.numbers.fields.values())
    assert all(each.font().italic() for each in screws.numbers.fields.values())
    type_in(along, "9")
    assert (along.font().italic(), diameter.font().italic()) == (False, True)
    assert form.hardware.measured == ("screws[2].along",)
    pick(screws.which, "Screw 1")
    assert along.font().italic()
    press(screws.less)
    assert form.hardware.measured == ("screws[1].along",)
    pick(screws.which, "Screw 2")
    assert not along.font().italic()
    press(screws.less)
    assert along.font().italic()


def test_screws_of_a_plate_and_its_pitch_are_typical_until_they_are_typed(qtbot: QtBot) -> None:
    form = form_of(qtbot, FOUR_ON_PLATE)
    fields = (form.plate_pitch.pitch, form.plate_pitch.first_to_last)
    assert all(each.font().italic() for each in fields)
    type_in(form.plate_pitch.first_to_last, "69.6")
    assert not any(each.font().italic() for each in fields)
    assert not form.plate_pitch.posts.font().italic()
    assert form.plate_screws.numbers.fields["root"].font().italic()
    type_in(form.plate_screws.numbers.fields["root"], "1.6")
    assert not form.plate_screws.numbers.fields["root"].font().italic()
    assert form.hardware.measured == ("plate.pitch", "plate.screws[0].root")


def test_a_part_that_comes_anew_has_not_been_measured(qtbot: QtBot) -> None:
    form = form_of(qtbot, OWN)
    type_in(field_at(form, "washer.diameter"), "15")
    type_in(field_at(form, "button.length"), "14")
    washer = next(tick for group, *_, tick in form._groups if group.path == "washer")
    assert washer is not None
    press(washer)
    press(washer)
    pick(form.axis, "On the back")
    assert italic(form, "washer.diameter")
    assert italic(form, "button.length")


def test_measures_of_before_there_was_a_record_are_those_unlike_the_class(qtbot: QtBot) -> None:
    form = form_of(qtbot, replace(OWN, hole_height=21.0))
    assert not italic(form, "hole_height")
    assert italic(form, "post_diameter")
    type_in(field_at(form, "post_diameter"), "6.2")
    assert form.hardware.measured == ("post_diameter", "hole_height")


@pytest.mark.parametrize(
    ("path", "drawn"),
    [("post_diameter", "post_diameter"), ("body.along", "body.along"), ("screws[].along", "screws[0].along")],
)
def test_the_drawing_follows_while_a_number_is_typed(qtbot: QtBot, path: str, drawn: str) -> None:
    form = form_of(qtbot, OPEN_GEAR)
    field, before = field_at(form, path), form.hardware
    field.setFocus()
    field.selectAll()
    for keys, expected in (("7", 7.0), (".", 7.0), ("5", 7.5)):
        QTest.keyClicks(field, keys)
        assert measures(shown_in(form))[drawn] == expected
    assert form.hardware == before, "nothing is taken before Enter"
    QTest.keyClicks(field, "x")
    assert shown_in(form) == before, "what does not read is not drawn"
    QTest.keyClick(field, Qt.Key.Key_Backspace)
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert shown_in(form) == before
    type_in(field, "7.5")
    assert measures(form.hardware)[drawn] == 7.5
    assert shown_in(form) == form.hardware


def test_the_drawing_follows_the_pitch_of_a_plate(qtbot: QtBot) -> None:
    form = form_of(qtbot, FOUR_ON_PLATE)
    plate = FOUR_ON_PLATE.plate
    assert plate is not None
    form.plate_pitch.first_to_last.setFocus()
    form.plate_pitch.first_to_last.selectAll()
    QTest.keyClicks(form.plate_pitch.first_to_last, "90")
    drawn = shown_in(form).plate
    assert drawn is not None
    assert drawn.pitch == 90.0 / (plate.posts - 1)
    assert form.hardware.plate == plate


def shown_in(form: HardwareForm) -> Hardware:
    return form.drawing.hardware
