"""Measuring the screen."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QSize, Qt, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.canvas.calibrate import CARD_WIDTH, LEAST, MOST, RULE_LENGTH, Calibration
from app.canvas.surface import LIKELY_PER_MM
from tests.app.canvas.surroundings import LEFT, NO_KEYS, NONE, colours, holds

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only


@pytest.fixture
def dialog(qtbot: QtBot) -> Calibration:
    made = Calibration(4.0)
    qtbot.addWidget(made)
    made.show()
    return made


def drag(dialog: Calibration, start: QPointF, end: QPointF) -> None:
    gauge = dialog.gauge
    for kind, at, button, held in (
        (QEvent.Type.MouseButtonPress, start, LEFT, LEFT),
        (QEvent.Type.MouseMove, end, NONE, LEFT),
        (QEvent.Type.MouseButtonRelease, end, LEFT, NONE),
    ):
        event = QMouseEvent(kind, at, gauge.mapToGlobal(at), button, held, NO_KEYS)
        QApplication.sendEvent(gauge, event)


def test_a_card_is_drawn_as_long_as_it_says(dialog: Calibration) -> None:
    left = dialog.gauge.end - CARD_WIDTH * 4.0
    image = colours(dialog.gauge)
    middle = dialog.gauge.height() / 4
    assert holds(image, dialog.gauge._look.accent, QPointF(left, middle), 1)
    assert holds(image, dialog.gauge._look.accent, QPointF(dialog.gauge.end, middle), 1)


def test_the_end_is_dragged(dialog: Calibration) -> None:
    end = QPointF(dialog.gauge.end, 60.0)
    drag(dialog, end, end + QPointF(85.6, 0.0))
    assert dialog.per_mm == pytest.approx(5.0)
    assert dialog.slider.value() == 5000
    drag(dialog, QPointF(40.0, 60.0), QPointF(90.0, 60.0))
    assert dialog.per_mm == pytest.approx(5.0)


def test_a_rule_is_compared(qtbot: QtBot, dialog: Calibration) -> None:
    dialog.rule.click()
    assert dialog.gauge.length == RULE_LENGTH
    end = QPointF(dialog.gauge.end, 60.0)
    drag(dialog, end, end + QPointF(50.0, 0.0))
    assert dialog.per_mm == pytest.approx(4.5)
    QApplication.processEvents()  # the dialog grows with the rule
    assert holds(colours(dialog.gauge), dialog.gauge._look.accent, QPointF(dialog.gauge.end, 40.0), 2)
    dialog.card.click()
    assert dialog.gauge.length == CARD_WIDTH


def test_the_slider(dialog: Calibration) -> None:
    dialog.slider.setValue(6543)
    assert dialog.per_mm == pytest.approx(6.543)


@pytest.mark.parametrize(
    ("key", "keys", "step"),
    [
        (Qt.Key.Key_Right, NO_KEYS, 0.25),
        (Qt.Key.Key_Left, NO_KEYS, -0.25),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier, 4.0),
        (Qt.Key.Key_A, NO_KEYS, 0.0),
    ],
)
def test_arrow_keys(
    qtbot: QtBot, dialog: Calibration, key: Qt.Key, keys: Qt.KeyboardModifier, step: float
) -> None:
    end = dialog.gauge.end
    QTest.keyClick(dialog.gauge, key, keys)
    assert dialog.gauge.end == pytest.approx(end + step)


def test_sizes_keep_within_reason(dialog: Calibration) -> None:
    end = QPointF(dialog.gauge.end, 60.0)
    drag(dialog, end, QPointF(-500.0, 60.0))
    assert dialog.per_mm == LEAST
    dialog.set_per_mm(1000.0)
    assert dialog.per_mm == MOST


def test_the_drawing_is_never_cut_off(dialog: Calibration) -> None:
    dialog.set_per_mm(9.0)
    QApplication.processEvents()
    assert dialog.gauge.minimumSizeHint() == dialog.gauge.sizeHint()
    assert dialog.gauge.sizeHint().expandedTo(QSize(900, 480)) == dialog.gauge.sizeHint()


def test_back_to_the_guess(dialog: Calibration) -> None:
    dialog.guess.click()
    assert dialog.per_mm == pytest.approx(LIKELY_PER_MM, abs=1e-3)


@pytest.mark.parametrize(
    ("role", "answer"),
    [(QDialogButtonBox.ButtonRole.AcceptRole, 1), (QDialogButtonBox.ButtonRole.RejectRole, 0)],
)
def test_asking(qtbot: QtBot, role: QDialogButtonBox.ButtonRole, answer: int) -> None:
    def press() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, Calibration)
        for button in dialog.buttons.buttons():
            if dialog.buttons.buttonRole(button) == role:
                QTest.mouseClick(button, LEFT, pos=QPoint(5, 5))

    QTimer.singleShot(0, press)
    dialog = Calibration(4.0)
    qtbot.addWidget(dialog)
    assert dialog.exec() == answer
    assert dialog.per_mm == 4.0
