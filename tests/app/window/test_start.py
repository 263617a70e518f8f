"""The first page, the page about a starter, and the samples that are shipped."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.look import look_of
from app.canvas.picture import drawing_picture, head_picture
from app.document.files import load_build
from app.document.settings import Settings
from app.window.new_build import NewBuildPage
from app.window.start_screen import StartScreen, failing_samples, how_lines, samples, starter_words, suggested
from export.drawing import Drawing
from geometry.checks.judge import Level, findings, worst
from geometry.document.codec import write_build
from geometry.document.outline import StarterShape
from geometry.trade.hardware import Hardware
from geometry.trade.limits import ChangedLimit
from tests.builds import three_and_three

HOME = Path(__file__).resolve().parents[3]
pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

LEFT = Qt.MouseButton.LeftButton
SHAPES: tuple[StarterShape, ...] = get_args(StarterShape)


@pytest.fixture
def page(qtbot: QtBot) -> StartScreen:
    made = StartScreen("light")
    qtbot.addWidget(made)
    made.resize(1200, 760)
    made.show()
    return made


# The first page


def test_every_starter_and_sample_gets_a_live_picture(page: StartScreen, qtbot: QtBot) -> None:
    cards = (*page.starters.cards, *page.samples.cards, *page.failing.cards)
    assert len(page.starters.cards) == len(SHAPES) + 2 == 8
    qtbot.waitUntil(lambda: all(card.has_picture for card in cards), timeout=10_000)


def test_choosing_tells_what_was_chosen(page: StartScreen, qtbot: QtBot, tmp_path: Path) -> None:
    with qtbot.waitSignal(page.starter_chosen) as told:
        QTest.mouseClick(page.starters.cards[3], LEFT)
    assert told.args == ["narrow"]
    with qtbot.waitSignal(page.sample_chosen) as told:
        QTest.keyClick(page.samples.cards[0], Qt.Key.Key_Enter)
    assert told.args == [samples()[0]]
    for card, asked in zip(page.starters.cards[-2:], (page.photo_asked, page.drawing_asked), strict=True):
        with qtbot.waitSignal(asked):
            QTest.keyClick(card, Qt.Key.Key_Space)
    with qtbot.waitSignal(page.open_asked):
        QTest.mouseClick(page.open, LEFT)


def test_recent_builds_have_pictures_and_those_that_are_gone_are_faded(
    page: StartScreen, qtbot: QtBot, tmp_path: Path
) -> None:
    there, bad, gone = (tmp_path / f"{name}.pegwright" for name in ("there", "bad", "gone"))
    there.write_bytes(write_build(three_and_three()))
    bad.write_text("{")
    page.set_recent((there, bad, gone))
    first, second, third = page.recent.cards
    qtbot.waitUntil(lambda: first.has_picture, timeout=10_000)
    qtbot.waitUntil(lambda: second.toolTip() == "This file cannot be read.", timeout=10_000)
    assert not third.isEnabled()
    with qtbot.waitSignal(page.recent_chosen) as told:
        QTest.mouseClick(first, LEFT)
    assert told.args == [there]
    page.set_recent(())
    assert page.recent.isHidden()


def test_cards_that_went_away_while_waiting_do_no_harm(
    page: StartScreen, qtbot: QtBot, tmp_path: Path
) -> None:
    there = tmp_path / "there.pegwright"
    there.write_bytes(write_build(three_and_three()))
    page.set_recent((there,))
    page.set_recent((there,))
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    [card] = page.recent.cards
    qtbot.waitUntil(lambda: card.has_picture, timeout=10_000)


def test_another_shade_paints_the_pictures_again(page: StartScreen, qtbot: QtBot) -> None:
    before = page.starters.cards
    page.set_shade("light")
    assert page.starters.cards == before
    page.set_shade("dark")
    assert page.starters.cards != before
    assert len(page.starters.cards) == 8


def test_less_room_takes_fewer_cards_in_a_row(page: StartScreen, qtbot: QtBot) -> None:
    wide = page.starters.minimumHeight()
    page.resize(700, 760)
    qtbot.waitUntil(lambda: page.starters.minimumHeight() > wide)
    assert page.horizontalScrollBar().maximum() == 0
    first, second = page.starters.cards[0], page.starters.cards[-1]
    assert second.y() > first.y()


def test_cards_show_where_pointer_and_keyboard_are(page: StartScreen, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: page.starters.cards[0].has_picture, timeout=10_000)
    page.setFocus()
    card = page.starters.cards[1]
    plain = card.grab().toImage()
    QTest.keyClick(page.starters.cards[0], Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is card
    assert card.grab().toImage() != plain


def test_how_this_works_is_four_lines() -> None:
    assert len(how_lines()) == 4


@pytest.mark.parametrize("shape", SHAPES)
def test_every_starter_has_its_words_and_can_be_drilled(shape: StarterShape) -> None:
    name, line = starter_words(shape)
    assert name
    assert line
    assert worst(findings(suggested(shape))) is not Level.STOP


def test_own_tuners_are_measured_from_the_list(qtbot: QtBot) -> None:
    class Page(NewBuildPage):
        answer: Hardware | None = None

        def ask_measures(self, hardware: Hardware) -> Hardware | None:
            return None if self.answer is None else replace(hardware, post_diameter=6.2)

    page = Page("straight-taper", Settings(), "light")
    qtbot.addWidget(page)
    begun = page.build.hardware
    own = page.hardware.findText("My own tuner, measured…")
    page.hardware.setCurrentIndex(own)
    page.hardware.activated.emit(own)
    assert page.build.hardware == begun
    assert page.hardware.currentData() == begun[0]
    page.answer = begun[0]
    page.hardware.setCurrentIndex(own)
    page.hardware.activated.emit(own)
    (measured,) = page.build.hardware
    assert (measured.name, measured.post_diameter) == ("My tuners", 6.2)
    assert page.hardware.currentText() == "My tuners"


def test_own_tuners_stay_in_the_list_for_the_next_build(qtbot: QtBot) -> None:
    class Page(NewBuildPage):
        def ask_measures(self, hardware: Hardware) -> Hardware | None:
            return replace(hardware, post_diameter=6.2)

    measured: list[Hardware] = []
    page = Page("straight-taper", Settings(), "light", None, measured)
    qtbot.addWidget(page)
    own = page.hardware.findText("My own tuner, measured…")
    page.hardware.setCurrentIndex(own)
    page.hardware.activated.emit(own)
    page.reject()
    assert [each.post_diameter for each in measured] == [6.2]
    other = Page("waisted", Settings(), "light", None, measured)
    qtbot.addWidget(other)
    other.hardware.setCurrentIndex(other.hardware.findText("My tuners"))
    assert other.build.hardware == tuple(measured)


def test_a_width_that_does_not_read_makes_no_build(new: NewBuildPage) -> None:
    new.nut.setFocus()
    new.nut.selectAll()
    QTest.keyClicks(new.nut, "46x")
    QTest.mouseClick(new.create_button, LEFT)
    assert new.isVisible()
    assert "46x" in new.fault.text()
    assert new.nut.hasFocus()
    QTest.keyClick(new.nut, Qt.Key.Key_Escape)
    assert new.fault.text() == ""
    QTest.mouseClick(new.create_button, LEFT)
    assert not new.isVisible()


def test_who_would_rather_keep_the_old_build_comes_back_to_the_page(new: NewBuildPage) -> None:
    answers = [False, True]
    new.may_go_on = lambda: answers.pop(0)
    QTest.mouseClick(new.create_button, LEFT)
    assert new.isVisible()
    QTest.mouseClick(new.create_button, LEFT)
    assert not new.isVisible()


def test_own_tuners_are_not_asked_for_by_stepping_through_the_list(qtbot: QtBot) -> None:
    asked: list[Hardware] = []

    class Page(NewBuildPage):
        def ask_measures(self, hardware: Hardware) -> Hardware | None:
            asked.append(hardware)
            return None

    page = Page("straight-taper", Settings(), "light")
    qtbot.addWidget(page)
    page.show()
    page.hardware.setFocus()
    page.hardware.setCurrentIndex(page.hardware.count() - 3)
    QTest.keyClick(page.hardware, Qt.Key.Key_Down)
    last = page.hardware.currentData()
    QTest.keyClick(page.hardware, Qt.Key.Key_Down)
    assert page.hardware.currentText() == "My own tuner, measured…"
    assert not asked
    assert page.build.hardware == (last,)
    QTest.keyClick(page.hardware, Qt.Key.Key_Return)
    assert [each.key for each in asked] == ["own"]
    assert page.result() != NewBuildPage.DialogCode.Accepted, "given up: nothing is created unseen"
    assert page.hardware.currentData() == last


# Samples


@pytest.mark.parametrize("path", [*samples(), *failing_samples()], ids=lambda path: path.stem)
def test_shipped_samples_are_those_of_the_checkout(path: Path) -> None:
    assert path.read_bytes() == (HOME / "sample_builds" / path.name).read_bytes()
    load_build(path)


def test_samples_that_fail_stand_apart(page: StartScreen) -> None:
    assert not [path for path in samples() if path.stem.startswith("fails")]
    assert len(page.failing.cards) == len(failing_samples()) >= 1
    assert [card.accessibleName() for card in page.failing.cards] == ["Thin wall (fails on purpose)"]


# Pictures


def test_a_picture_shows_wood_in_its_middle_and_nothing_in_its_corners(qapp: QApplication) -> None:
    picture = head_picture(three_and_three(), 200, 240, 2.0, "light")
    assert picture.devicePixelRatio() == 2.0
    image = picture.toImage()
    assert (image.width(), image.height()) == (400, 480)
    assert image.pixelColor(2, 2).alpha() == 0
    assert image.pixelColor(200, 100).alpha() == 255


def test_a_build_without_a_line_has_an_empty_picture(qapp: QApplication) -> None:
    image = drawing_picture(Drawing(), Drawing(), 20, 20, 1.0, look_of("dark")).toImage()
    assert all(image.pixelColor(x, 10).alpha() == 0 for x in range(20))


# The page about a starter


@pytest.fixture
def new(qtbot: QtBot) -> NewBuildPage:
    limit = ChangedLimit("wall", "watch", 5.5, 0.5)
    made = NewBuildPage("straight-taper", Settings().with_limits((limit,)).in_units("inch"), "light")
    qtbot.addWidget(made)
    made.show()
    return made


def test_the_result_is_there_at_once_and_checked(new: NewBuildPage) -> None:
    assert not new.picture.pixmap().isNull()
    assert not new.sign.pixmap().isNull()
    assert new.verdict.text()
    assert new.build.limits == (ChangedLimit("wall", "watch", 5.5, 0.5),)
    assert new.nut.text().endswith("in")


def test_every_answer_changes_the_build_and_its_picture(new: NewBuildPage) -> None:
    pictures = [new.picture.pixmap().toImage()]
    new.nut.setFocus()
    new.nut.selectAll()
    QTest.keyClicks(new.nut, "2 in")
    QTest.keyClick(new.nut, Qt.Key.Key_Return)
    assert new.isVisible()
    assert new.build.nut.width == pytest.approx(50.8)
    pictures.append(new.picture.pixmap().toImage())
    assert pictures[0] != pictures[1]
    QTest.keyClick(new.strings, Qt.Key.Key_End)
    QTest.keyClick(new.hardware, Qt.Key.Key_Home)
    assert new.build.hardware == (new.hardware.currentData(),)
    assert len(new.build.strings) == len(new.strings.currentData().gauges)
    QTest.mouseClick(new.left, LEFT)
    assert new.build.hand == "left"


def test_the_wood_chooses_the_bores(new: NewBuildPage) -> None:
    new.hardware.setCurrentIndex(new.hardware.findText("Split post", Qt.MatchFlag.MatchStartsWith))
    assert (new.build.head.wood, new.build.hardware[0].bore.through) == ("", 8.7)
    new.wood.setCurrentIndex(new.wood.findText("Black walnut", Qt.MatchFlag.MatchStartsWith))
    assert (new.build.head.wood, new.build.hardware[0].bore.through) == ("black walnut", 8.6)


def test_enter_takes_a_new_number_first_and_creates_then(new: NewBuildPage) -> None:
    new.nut.setFocus()
    new.nut.selectAll()
    QTest.keyClicks(new.nut, "2 in")
    QTest.keyClick(new.nut, Qt.Key.Key_Return)
    assert new.isVisible()
    QTest.keyClick(new.nut, Qt.Key.Key_Return)
    assert new.result() == NewBuildPage.DialogCode.Accepted
    assert new.build.nut.width == pytest.approx(50.8)


def test_create_and_back(new: NewBuildPage) -> None:
    QTest.mouseClick(new.create_button, LEFT)
    assert new.result() == NewBuildPage.DialogCode.Accepted
    new.show()
    QTest.keyClick(new, Qt.Key.Key_Escape)
    assert new.result() == NewBuildPage.DialogCode.Rejected


def test_esc_goes_back_to_the_drawing_where_there_is_one(page: StartScreen) -> None:
    went: list[bool] = []
    page.back_asked.connect(lambda: went.append(True))
    page.setFocus()
    QTest.keyClick(page.starters.cards[0], Qt.Key.Key_Escape)
    assert went == []
    page.set_can_go_back(True)
    QTest.keyClick(page.starters.cards[0], Qt.Key.Key_Escape)
    assert went == [True]
