"""Whoever answers the dialogs and menus that random acts open: does a few things in each, and closes it in mid-work."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QWidget,
)

from app.widgets.number_field import NumberField
from geometry.document.codec import write_build
from tests.app.intake.drawings import circles, path, svg
from tests.builds import three_and_three
from tests.campaigns.hands_at_random import ARROWS, WORDS, number_text, type_number, usable

LOOK = 2
"""Milliseconds between two looks whether something is open."""

MOST = 40
"""So many things are done in a dialog before it is closed, if it is still there."""

K = Qt.Key
FILES = (
    "head.pegwright",
    "other",
    "torn.pegwright",
    "head.svg",
    "grey.png",
    "nowhere/head.pegwright",
    "head.pdf",
    "",
)
"""Names that are typed where a file is asked for."""


def lay_files(folder: Path) -> None:
    """Put files into a folder that can be opened, and some that cannot."""
    good = write_build(three_and_three())
    (folder / "other.pegwright").write_bytes(good)
    (folder / "torn.pegwright").write_bytes(good[: len(good) // 2])
    (folder / "head.svg").write_bytes(svg(path() + circles()))
    grey = QImage(320, 240, QImage.Format.Format_Grayscale8)
    grey.fill(128)
    grey.save(str(folder / "grey.png"))


class Answers(QObject):
    """Looks again and again whether a dialog or a menu waits, in whatever loop of events; `done` counts its acts."""

    def __init__(self, chance: random.Random, done: Counter[str]) -> None:
        super().__init__()
        self._chance, self._done, self._on = chance, done, False
        self._left: list[QWidget] = []

    def begin(self) -> None:
        """Answer from now on."""
        self._on = True
        QTimer.singleShot(LOOK, self, self._look)

    def end(self) -> None:
        """Answer no more."""
        self._on = False

    def wait(self) -> None:
        """Let everything that is open be answered until nothing is."""
        for _ in range(50 * MOST):
            if not waits():
                return
            QTest.qWait(LOOK)
        raise AssertionError(f"{waits()} does not close")

    def _look(self) -> None:
        if not self._on:
            return
        # Before the answer: what it does may begin a loop of events of its own, in which somebody must look as well.
        QTimer.singleShot(LOOK, self, self._look)
        popup, dialog = QApplication.activePopupWidget(), QApplication.activeModalWidget()
        if popup is not None:
            self._choose(popup)
        elif dialog is not None and dialog not in self._left:
            looks = int(dialog.property("looks") or 0) + 1
            dialog.setProperty("looks", looks)
            self._done["in dialogs"] += 1
            if looks == 1:
                self._done[f"dialog {type(dialog).__name__}"] += 1
            self._give_up(dialog) if looks > MOST else self._act(dialog)

    def _choose(self, popup: QWidget) -> None:
        """Take something of a menu or list that popped up, or leave it."""
        for _ in range(self._chance.randint(0, 6)):
            QTest.keyClick(popup, K.Key_Down)
        QTest.keyClick(popup, K.Key_Return if self._chance.random() < 0.5 else K.Key_Escape)
        if popup.isVisible():
            popup.close()

    def _act(self, dialog: QWidget) -> None:
        """Do one thing in a dialog; one in three is to leave it, with work under way or not."""
        acts = {
            self._close: 2,
            self._escape: 1,
            self._take: 1,
            self._push: 4,
            self._type: 2,
            self._pick: 1,
            self._wait: 1,
        }
        self._chance.choices(list(acts), list(acts.values()))[0](dialog)

    def _give_up(self, dialog: QWidget) -> None:
        """Take back what does not read in the field with the cursor, which keeps a dialog open, and close."""
        # Its own: without a screen another window may be the active one.
        QTest.keyClick(dialog.focusWidget() or dialog, K.Key_Escape)
        dialog.close()

    def _close(self, dialog: QWidget) -> None:
        dialog.close()

    def _escape(self, dialog: QWidget) -> None:
        QTest.keyClick(dialog, K.Key_Escape)

    def _take(self, dialog: QWidget) -> None:
        """What Enter does, or OK without looking."""
        if isinstance(dialog, QDialog) and self._chance.random() < 0.3:
            dialog.accept()
        else:
            QTest.keyClick(QApplication.focusWidget() or dialog, K.Key_Return)

    def _push(self, dialog: QWidget) -> None:
        buttons = usable(dialog, QAbstractButton)
        if buttons:
            self._chance.choice(buttons).click()

    def _type(self, dialog: QWidget) -> None:
        fields = usable(dialog, QLineEdit)
        if not fields:
            return
        field = self._chance.choice(fields)
        if isinstance(field, NumberField):
            type_number(field, number_text(self._chance))
        else:
            type_number(field, self._chance.choice(FILES if isinstance(dialog, QFileDialog) else WORDS))

    def _pick(self, dialog: QWidget) -> None:
        lists: list[QWidget] = [*usable(dialog, QComboBox), *usable(dialog, QAbstractItemView)]
        if lists:
            chosen = self._chance.choice(lists)
            chosen.setFocus()
            QTest.keyClick(chosen, self._chance.choice((*ARROWS, K.Key_End, K.Key_Space)))

    def _wait(self, _dialog: QWidget) -> None:
        """Let work that the dialog began come a little further.

        What is open is left alone meanwhile: only once the wait is over does Qt know what was closed.
        """
        left, self._left = self._left, [each for each in QApplication.topLevelWidgets() if each.isModal()]
        QTest.qWait(self._chance.choice((5, 20, 80)))
        self._left = left


def waits() -> QWidget | None:
    """What waits for an answer."""
    return QApplication.activePopupWidget() or QApplication.activeModalWidget()
