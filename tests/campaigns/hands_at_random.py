"""One window with one build, worked on at random through real mouse and key events."""

from __future__ import annotations

import random
import sys
import threading
from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication, QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLineEdit,
    QMenu,
    QPlainTextEdit,
    QWhatsThis,
    QWidget,
)

from app.document.crash import CrashLog
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.refit_panel import WidthSlider
from app.widgets.number_field import NumberField
from app.widgets.typed_line import TypedLine
from app.window.window import Window
from geometry.document.build import Build, Polygon
from geometry.document.codec import read_build, write_build
from geometry.document.outline_nodes import nodes_of
from geometry.shape.point import Point
from tests.builds import READY_MADE

LEFT = Qt.MouseButton.LeftButton
NO_BUTTON = Qt.MouseButton.NoButton
NONE = Qt.KeyboardModifier.NoModifier
SHIFT, CONTROL, ALT = (
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
K = Qt.Key
Chord = tuple[Qt.Key, Qt.KeyboardModifier]
Part = TypeVar("Part", bound=QWidget)

TOOL_KEYS: tuple[Chord, ...] = tuple((key, NONE) for key in (K.Key_S, K.Key_N, K.Key_R, K.Key_K, K.Key_O))
KEYS: tuple[Chord, ...] = (
    *TOOL_KEYS,
    *((key, NONE) for key in (K.Key_Delete, K.Key_Backspace, K.Key_Return, K.Key_Escape, K.Key_Tab, K.Key_Y)),
    *((key, CONTROL) for key in (K.Key_A, K.Key_C, K.Key_X, K.Key_V, K.Key_D, K.Key_Z)),
    *((key, NONE) for key in (K.Key_M, K.Key_G, K.Key_F6, K.Key_F7, K.Key_F8, K.Key_F9, K.Key_Plus)),
    (K.Key_Z, CONTROL | SHIFT),
    (K.Key_Backtab, SHIFT),
)
IN_A_DRAG: tuple[Chord, ...] = (
    *TOOL_KEYS,
    *((key, CONTROL) for key in (K.Key_Z, K.Key_V, K.Key_A)),
    *((key, NONE) for key in (K.Key_Delete, K.Key_Left, K.Key_Tab, K.Key_Y, K.Key_F8)),
    (K.Key_Z, CONTROL | SHIFT),
)
"""Keys that come while the button is down."""

ARROWS = (K.Key_Left, K.Key_Right, K.Key_Up, K.Key_Down)
WORDS = ("e", "my head", "  x ", "")


def number_text(chance: random.Random) -> str:
    """What a maker may type into a number field, sense or not."""
    odd = ("5 3/8 in", "0.375in", "12 mm", "10+2*3", "0", "1e9", "many", "-", "")
    return chance.choice(odd) if chance.random() < 0.4 else f"{chance.uniform(-1.0, 60.0):.2f}"


def usable(within: QWidget, kind: type[Part]) -> list[Part]:
    """Widgets of a kind that a maker can reach in a part of the window."""
    return [each for each in within.findChildren(kind) if each.isVisible() and each.isEnabled()]


def give_up_typing() -> None:
    """What is typed and not entered yet goes, as by Esc: a window that closes would take it over and ask about it."""
    field = QApplication.focusWidget()
    if isinstance(field, TypedLine):
        field.show_kept()


def type_number(field: QWidget, text: str) -> None:
    """Type over what a number field holds."""
    field.setFocus()
    if isinstance(field, QLineEdit):
        field.selectAll()
    QTest.keyClick(field, K.Key_Backspace)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, K.Key_Return)


class Hands:
    """A window on a file of a ready-made build, and the acts that are tried in it.

    `start` is what undoing everything must give, `saved` what the file holds; `done` counts the acts, and `faults`
    what the program caught of its own. Attributes of the window may change when an act brings another build.
    """

    def __init__(self, chance: random.Random, home: Path) -> None:
        self.chance = chance
        self.done: Counter[str] = Counter()
        self.faults: list[str] = []
        self.kept = 0
        self.start: Build = chance.choice(READY_MADE)()
        self.saved: Build | None = self.start
        file = home / "head.pegwright"
        file.write_bytes(write_build(self.start))
        QGuiApplication.clipboard().clear()
        session = Session(self.start)
        session.open(file)
        log = CrashLog(home / "log.txt", "test")
        self.window = Window(session, SettingsStore(home / "config", home / "state"), log)
        self._hooks = sys.excepthook, threading.excepthook
        log.install(self.faults.append)
        self.window.pop_up = self._choose_from  # type: ignore[method-assign]
        self.window.document.opened.connect(self._arrived)
        self.window.document.saved.connect(self._was_saved)
        self.window.resize(1000, 700)
        self.window.show()
        self.window.activateWindow()
        self.window.canvas.fit()

    @property
    def session(self) -> Session:
        """The session of the window."""
        return self.window.session

    def _arrived(self) -> None:
        """Another build is on the bench; work that was never in a file is unsaved from the start."""
        self.start = self.session.build
        self.saved = None if self.session.modified else self.start

    def _was_saved(self) -> None:
        self.saved = self.session.build

    # One act

    @property
    def acts(self) -> dict[Callable[[], object], int]:
        """What is done with the drawing and the panels, and how often beside the others."""
        return {
            self.drag: 3,
            self.give_a_drag_up: 3,
            self.press_a_key_in_a_drag: 3,
            self.click: 3,
            self.choose_from_the_menu_of_a_part: 3,
            self.nudge: 3,
            self.wheel: 2,
            self.press_keys: 4,
            self.go_back_or_forth: 4,
            self.type_a_number: 4,
            self.write_words: 2,
            self.push: 4,
            self.pick: 2,
            self.refit: 1,
            self.look_at_a_finding: 2,
        }

    def act(self) -> None:
        """Do one of the acts."""
        if QWhatsThis.inWhatsThisMode() and self.chance.random() < 0.5:
            QWhatsThis.leaveWhatsThisMode()
        popup = QApplication.activePopupWidget()
        if popup is not None:
            popup.close()
        if self.window.drawing:
            acts = self.acts
            chosen = self.chance.choices(list(acts), list(acts.values()))[0]
        else:
            chosen = self.begin
        if chosen():
            self.done[chosen.__name__] += 1

    def begin(self) -> bool:
        """Choose something on the first page."""
        button = self.chance.choice(usable(self.window.start, QAbstractButton))
        button.setFocus()
        button.click()
        return True

    # Places

    def _spot(self) -> QPoint:
        """A part of the head on the screen, or the nearest place of the canvas when it is out of sight."""
        scene, canvas = self.session.scene, self.window.canvas
        nodes = nodes_of(scene.build)
        spots = [post.at for post in scene.layout.posts] + [node.at for node in nodes]
        spots += [a.at + (b.at - a.at) * 0.5 for a, b in pairwise(nodes)]
        spots += [hole.at for hole in scene.build.old_holes]
        spots += [retainer.at for retainer in scene.build.retainers]
        shapes = [region.shape for region in scene.build.keep_clear]
        spots += [shape.points[0] if isinstance(shape, Polygon) else shape.centre for shape in shapes]
        return self._on_canvas(canvas.view.to_screen(self.chance.choice(spots or [Point(0.0, 50.0)])))

    def _way(self, most: int = 90) -> QPoint:
        return QPoint(self.chance.randint(-most, most), self.chance.randint(-most, most))

    def _on_canvas(self, at: QPointF | QPoint) -> QPoint:
        room: QRect = self.window.canvas.rect().adjusted(1, 1, -2, -2)
        x, y = round(at.x()), round(at.y())
        return QPoint(min(max(x, room.left()), room.right()), min(max(y, room.top()), room.bottom()))

    def _keys(self) -> Qt.KeyboardModifier:
        return self.chance.choice((NONE, NONE, SHIFT, CONTROL, ALT))

    def _drag(self, start: QPoint, way: QPoint, keys: Qt.KeyboardModifier) -> None:
        """Move with the button down, out of the canvas too, and look at where it ends."""
        for share in (0.3, 0.7, 1.0):
            _move(
                self.window.canvas,
                QPointF(start + QPoint(round(way.x() * share), round(way.y() * share))),
                keys,
            )
        self.window.canvas.grab()

    def _let_go(self, start: QPoint, way: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
        QTest.mouseRelease(self.window.canvas, LEFT, keys, self._on_canvas(start + way))

    def _choose_from(self, menu: QMenu, at: QPoint) -> None:
        """Choose from a context menu, instead of showing it."""
        offered = [action for action in menu.actions() if action.isEnabled() and not action.isSeparator()]
        self.chance.choice(offered).trigger()
        menu.deleteLater()

    # Acts on the canvas

    def drag(self) -> bool:
        """Drag a part or a box somewhere."""
        start, way, keys = self._spot(), self._way(), self._keys()
        QTest.mousePress(self.window.canvas, LEFT, SHIFT if keys == SHIFT else NONE, start)
        self._drag(start, way, keys)
        self._let_go(start, way, keys)
        return True

    def give_a_drag_up(self) -> bool:
        """Esc in the middle of a drag restores exactly what was there."""
        session, canvas, tool = self.session, self.window.canvas, self.window.tool_name
        canvas.setFocus()
        start, way = self._spot(), self._way()
        before, steps, chosen = session.build, session.history.undo_labels, session.selection
        QTest.mousePress(canvas, LEFT, NONE, start)
        if not canvas.tool.busy:
            # The press took a dimension in hand, and Esc would choose nothing.
            self._let_go(start, way)
            return False
        if tool == "region":
            # A press on the first corner closes the region, and that is an act.
            before, steps, chosen = session.build, session.history.undo_labels, session.selection
        self._drag(start, way, self._keys())
        assert session.build is before
        QTest.keyClick(canvas, K.Key_Escape)
        self._let_go(start, way)
        assert session.scene.build == session.build == before
        assert session.history.undo_labels == steps
        assert session.selection == chosen
        return True

    def press_a_key_in_a_drag(self) -> bool:
        """Keys while the button is down."""
        start, way, canvas = self._spot(), self._way(), self.window.canvas
        QTest.mousePress(canvas, LEFT, NONE, start)
        self._drag(start, way, NONE)
        QTest.keyClick(canvas, *self.chance.choice(IN_A_DRAG))
        self._drag(start, QPoint(way.y(), way.x()), NONE)
        if self.chance.random() < 0.5:
            QTest.keyClick(canvas, K.Key_Escape)
        self._let_go(start, way)
        return True

    def click(self) -> bool:
        """Click or double click on or beside something."""
        keys, at = self._keys(), self._on_canvas(self._spot() + self._way(11))
        QTest.mouseClick(self.window.canvas, LEFT, keys, at)
        if self.chance.random() < 0.5:
            QTest.mouseDClick(self.window.canvas, LEFT, keys, at)
        return True

    def choose_from_the_menu_of_a_part(self) -> bool:
        """A right click, and something from the menu that opens."""
        at, canvas = self._spot(), self.window.canvas
        event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, canvas.mapToGlobal(at), NONE)
        QApplication.sendEvent(canvas, event)
        return True

    def nudge(self) -> bool:
        """Move what is selected by an arrow key."""
        QTest.keyClick(self.window.canvas, self.chance.choice(ARROWS), self.chance.choice((NONE, SHIFT, ALT)))
        return True

    def wheel(self) -> bool:
        """Zoom at a part."""
        canvas, at = self.window.canvas, QPointF(self._spot())
        turn = QPoint(0, self.chance.choice((-240, -120, 120, 240)))
        phase = Qt.ScrollPhase.NoScrollPhase
        event = QWheelEvent(at, canvas.mapToGlobal(at), QPoint(), turn, NO_BUTTON, NONE, phase, False)
        QApplication.sendEvent(canvas, event)
        return True

    # Acts from anywhere

    def press_keys(self) -> bool:
        """A key on the canvas, or wherever the keyboard is."""
        if self.chance.random() < 0.5:
            self.window.canvas.setFocus()
        QTest.keyClick(QApplication.focusWidget() or self.window.canvas, *self.chance.choice(KEYS))
        return True

    def go_back_or_forth(self) -> bool:
        """Take the last act back, or do it again, by its key."""
        self.window.canvas.setFocus()
        QTest.keyClick(self.window.canvas, K.Key_Z, self.chance.choice((CONTROL, CONTROL | SHIFT)))
        return True

    # Acts in the panels

    def _one_of(self, kind: type[Part], but: type[QWidget] | None = None) -> Part | None:
        window = self.window
        panels = (window.side, window.findings, window.notice)
        found = [each for panel in panels for each in usable(panel, kind)]
        if but is not None:
            found = [each for each in found if not isinstance(each, but)]
        return self.chance.choice(found) if found else None

    def type_a_number(self) -> bool:
        """Type into a number field."""
        field = self._one_of(NumberField)
        if field is None:
            return False
        type_number(field, number_text(self.chance))
        return True

    def write_words(self) -> bool:
        """Type into a field for words, and leave it."""
        kind: type[QWidget] = self.chance.choice((QLineEdit, QPlainTextEdit))
        field = self._one_of(kind, NumberField)
        if field is None:
            return False
        field.setFocus()
        QTest.keyClick(field, K.Key_A, CONTROL)
        QTest.keyClick(field, K.Key_Backspace)
        QTest.keyClicks(field, self.chance.choice(WORDS))
        self.window.canvas.setFocus()
        return True

    def push(self) -> bool:
        """Push a button or set a tick."""
        button = self._one_of(QAbstractButton)
        if button is None:
            return False
        button.setFocus()
        QTest.keyClick(button, K.Key_Space)
        return True

    def pick(self) -> bool:
        """Take another option of a list."""
        chosen = self._one_of(QComboBox)
        if chosen is None:
            return False
        chosen.setFocus()
        QTest.keyClick(chosen, self.chance.choice((K.Key_Down, K.Key_Up, K.Key_End, K.Key_Home)))
        return True

    def refit(self) -> bool:
        """Drag the slider of the nut, with a key in the middle, or step it by keys."""
        self.window.show_panel("refit")
        slider = next(iter(usable(self.window.side, WidthSlider)), None)
        if slider is None:
            return False
        slider.setFocus()
        before, step = self.session.build, self.chance.randint(-80, 80)
        ending = self.chance.choice((K.Key_Escape, K.Key_F8, K.Key_A))
        at = QPoint(slider.width() // 2, slider.height() // 2)
        QTest.mousePress(slider, LEFT, NONE, at)
        for share in (0.5, 1.0):
            _move(slider, QPointF(at + QPoint(round(step * share), 0)), NONE)
            assert self.session.build is before
        QTest.keyClick(slider, ending)
        if ending == K.Key_Escape:
            assert self.session.scene.build is before
        QTest.mouseRelease(slider, LEFT, NONE, at)
        QTest.keyClick(slider, K.Key_Right if step > 0 else K.Key_PageDown)
        return True

    def look_at_a_finding(self) -> bool:
        """Show a finding on the head, or its limits."""
        shown = self.window.findings.list
        if not shown.isVisible():
            return False
        shown.setFocus()
        QTest.keyClick(shown, K.Key_Home)
        for _ in range(self.chance.randint(0, 8)):
            QTest.keyClick(shown, K.Key_Down)
        QTest.keyClick(shown, self.chance.choice((K.Key_Return, K.Key_L, K.Key_Down)))
        return True

    # What must hold

    def all_is_well(self) -> None:
        """After each act: nothing went wrong, the window is painted, and the modified mark is right."""
        QApplication.processEvents()
        session, window = self.session, self.window
        assert self.faults == [], [*self.faults, self.window.log.read()[-1500:]]
        assert not session.scene.gesture
        assert session.scene.build is session.build
        assert session.modified == (session.build != self.saved)
        assert window.isWindowModified() == (session.modified and window.drawing)

    def back_and_forth(self) -> None:
        """Undo all equals the start, redo all equals the end; what is there can be written and read."""
        session = self.session
        self.window.show_drawing()
        undo, redo = self.window.made["undo"], self.window.made["redo"]
        assert self._read_again() == session.build
        while redo.isEnabled():
            redo.trigger()
        end, steps = session.build, session.history.undo_labels
        assert self._read_again() == end
        self.kept += len(steps)
        while undo.isEnabled():
            undo.trigger()
        assert session.build == self.start
        self.all_is_well()
        while redo.isEnabled():
            redo.trigger()
        assert session.build == end
        assert session.history.undo_labels == steps
        self.all_is_well()

    def _read_again(self) -> Build:
        return read_build(write_build(self.session.build))

    def leave(self) -> None:
        """Put everything away as it was before the window, whatever went wrong in it."""
        sys.excepthook, threading.excepthook = self._hooks
        give_up_typing()
        self.session.start(self.start)
        self.window.close()
        self.window.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        # Qt's screenless platform crashes at its end with something on the clipboard.
        QGuiApplication.clipboard().clear()


def _move(part: QWidget, at: QPointF, keys: Qt.KeyboardModifier) -> None:
    """Move the mouse over a part with the button down."""
    event = QMouseEvent(QEvent.Type.MouseMove, at, QPointF(part.mapToGlobal(at)), NO_BUTTON, LEFT, keys)
    QApplication.sendEvent(part, event)
