"""Random acts through real mouse and key events: whatever was done can be undone, redone, written and read."""

from __future__ import annotations

import sys
import tempfile
import threading
from itertools import pairwise
from pathlib import Path
from typing import ClassVar, TypeVar

import msgspec
import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
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
    QWidget,
)

from app.document.crash import CrashLog
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.hardware_form import HardwareForm
from app.panels.width_slider import WidthSlider
from app.widgets.number_field import NumberField
from app.window.window import Window
from geometry.document.build import Build, Polygon
from geometry.document.codec import read_build, write_build
from geometry.document.outline_nodes import nodes_of
from geometry.shape.point import Point
from geometry.trade.hardware import Hardware
from geometry.trade.units import Units
from tests.builds import READY_MADE

RUNS, LENGTH = 60, 60
"""Runs of the machine, and how many acts each is meant to have."""

LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
NONE = Qt.KeyboardModifier.NoModifier
SHIFT, CONTROL, ALT = (
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
K = Qt.Key
Chord = tuple[Qt.Key, Qt.KeyboardModifier]
Place = tuple[int, int, int]
Part = TypeVar("Part", bound=QWidget)

QUIET = (
    "cut", "copy", "paste", "duplicate", "delete", "select all", "other hand", "free outline", "symmetric", "snap",
    "grid", "rings", "face", "back", "both", "fit", "zoom to selection", "closer", "further", "inches", "save",
    "select tool", "node tool", "round tool", "region tool", "old hole tool", "panel head", "panel strings",
    "panel tuners", "panel keep clear", "panel selected", "panel refit", "panel best", "panel missed", "panel bench",
    "panel findings", "next part", "earlier part",
)  # fmt: skip
"""Actions that ask nothing."""

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
NUMBERS = st.one_of(
    st.floats(-1.0, 60.0).map(lambda value: f"{value:.2f}"),
    st.sampled_from(["5 3/8 in", "0.375in", "12 mm", "10+2*3", "0", "1e9", "many", "-", ""]),
)
places = st.tuples(st.integers(0, 60), st.integers(-90, 90), st.integers(-90, 90))
modifiers = st.sampled_from([NONE, NONE, SHIFT, CONTROL, ALT])
counts = st.integers(0, 60)


def _measured_anew(hardware: Hardware, _units: Units, _parent: QWidget) -> Hardware:
    return msgspec.structs.replace(hardware, hole_height=hardware.hole_height + 0.25)


class Bench(RuleBasedStateMachine):
    """One window with one build, worked on at random."""

    acts: ClassVar[int] = 0
    kept: ClassVar[int] = 0
    lengths: ClassVar[list[int]] = []

    @initialize(which=st.integers(0, len(READY_MADE) - 1))
    def open_a_window(self, which: int) -> None:
        """A fresh window on the file of one of the ready-made builds."""
        self.folder = tempfile.TemporaryDirectory()
        home = Path(self.folder.name)
        self.start = self.saved = READY_MADE[which]()
        self.faults: list[str] = []
        self.length = 0
        file = home / "head.pegwright"
        file.write_bytes(write_build(self.start))
        QGuiApplication.clipboard().clear()
        session = Session(self.start)
        session.open(file)
        log = CrashLog(home / "log.txt", "test")
        self.window = Window(session, SettingsStore(home / "config", home / "state"), log)
        self.hooks = sys.excepthook, threading.excepthook
        log.install(self.faults.append)
        self.window.pop_up = self._choose_from  # type: ignore[method-assign]
        self.window.resize(1000, 700)
        self.window.show()
        self.window.activateWindow()
        self.window.canvas.fit()
        self.from_menu = 0

    # Hands

    @property
    def session(self) -> Session:
        """The session of the window."""
        return self.window.session

    def _acted(self) -> None:
        Bench.acts += 1
        self.length += 1

    def _spot(self, number: int) -> QPoint:
        """A part of the head on the screen, or the nearest place of the canvas when it is out of sight."""
        scene, canvas = self.session.scene, self.window.canvas
        nodes = nodes_of(scene.build)
        spots = [post.at for post in scene.layout.posts] + [node.at for node in nodes]
        spots += [a.at + (b.at - a.at) * 0.5 for a, b in pairwise(nodes)]
        spots += [hole.at for hole in scene.build.old_holes]
        spots += [retainer.at for retainer in scene.build.retainers]
        shapes = [region.shape for region in scene.build.keep_clear]
        spots += [shape.points[0] if isinstance(shape, Polygon) else shape.centre for shape in shapes]
        return self._on_canvas(canvas.view.to_screen((spots or [Point(0.0, 50.0)])[number % len(spots)]))

    def _on_canvas(self, at: QPointF | QPoint) -> QPoint:
        room: QRect = self.window.canvas.rect().adjusted(1, 1, -2, -2)
        x, y = round(at.x()), round(at.y())
        return QPoint(min(max(x, room.left()), room.right()), min(max(y, room.top()), room.bottom()))

    def _drag(self, start: QPoint, place: Place, keys: Qt.KeyboardModifier) -> None:
        """Move with the button down, out of the canvas too, and look at each step."""
        canvas = self.window.canvas
        for share in (0.3, 0.7, 1.0):
            at = QPointF(start + QPoint(round(place[1] * share), round(place[2] * share)))
            kind, no_button = QEvent.Type.MouseMove, Qt.MouseButton.NoButton
            event = QMouseEvent(kind, at, QPointF(canvas.mapToGlobal(at)), no_button, LEFT, keys)
            QApplication.sendEvent(canvas, event)
        canvas.grab()

    def _let_go(self, start: QPoint, place: Place, keys: Qt.KeyboardModifier = NONE) -> None:
        end = self._on_canvas(start + QPoint(place[1], place[2]))
        QTest.mouseRelease(self.window.canvas, LEFT, keys, end)

    def _usable(self, kind: type[Part]) -> list[Part]:
        """Widgets of a kind that a maker can reach in the panels."""
        panels = (self.window.side, self.window.findings)
        found = [each for panel in panels for each in panel.findChildren(kind)]
        return [each for each in found if each.isVisible() and each.isEnabled()]

    def _choose_from(self, menu: QMenu, at: QPoint) -> None:
        """Choose from a context menu, instead of showing it."""
        offered = [action for action in menu.actions() if action.isEnabled() and not action.isSeparator()]
        offered[self.from_menu % len(offered)].trigger()
        menu.deleteLater()

    # Acts on the canvas

    @rule(place=places, keys=modifiers)
    def drag(self, place: Place, keys: Qt.KeyboardModifier) -> None:
        """Drag a part or a box somewhere."""
        self._acted()
        start = self._spot(place[0])
        QTest.mousePress(self.window.canvas, LEFT, SHIFT if keys == SHIFT else NONE, start)
        self._drag(start, place, keys)
        self._let_go(start, place, keys)

    @rule(place=places, keys=modifiers)
    def give_a_drag_up(self, place: Place, keys: Qt.KeyboardModifier) -> None:
        """Esc in the middle of a drag restores exactly what was there."""
        self._acted()
        session, canvas, tool = self.session, self.window.canvas, self.window.tool_name
        canvas.setFocus()
        start, before, steps = self._spot(place[0]), session.build, session.history.undo_labels
        chosen = session.selection
        QTest.mousePress(canvas, LEFT, NONE, start)
        if tool == "region":
            # A press on the first corner closes the region, and that is an act.
            before, steps, chosen = session.build, session.history.undo_labels, session.selection
        self._drag(start, place, keys)
        assert session.build is before
        QTest.keyClick(canvas, K.Key_Escape)
        self._let_go(start, place)
        assert session.scene.build == session.build == before
        assert session.history.undo_labels == steps
        assert session.selection == chosen

    @rule(place=places, chord=st.sampled_from(IN_A_DRAG), released=st.booleans())
    def press_a_key_in_a_drag(self, place: Place, chord: Chord, *, released: bool) -> None:
        """Keys while the button is down."""
        self._acted()
        start = self._spot(place[0])
        QTest.mousePress(self.window.canvas, LEFT, NONE, start)
        self._drag(start, place, NONE)
        QTest.keyClick(self.window.canvas, *chord)
        self._drag(start, (0, place[2], place[1]), NONE)
        if not released:
            QTest.keyClick(self.window.canvas, K.Key_Escape)
        self._let_go(start, place)

    @rule(place=places, keys=modifiers, twice=st.booleans())
    def click(self, place: Place, keys: Qt.KeyboardModifier, *, twice: bool) -> None:
        """Click or double click on or beside something."""
        self._acted()
        at = self._on_canvas(self._spot(place[0]) + QPoint(place[1] // 8, place[2] // 8))
        QTest.mouseClick(self.window.canvas, LEFT, keys, at)
        if twice:
            QTest.mouseDClick(self.window.canvas, LEFT, keys, at)

    @rule(place=places, choice=counts)
    def choose_from_the_menu_of_a_part(self, place: Place, choice: int) -> None:
        """A right click, and something from the menu that opens."""
        self._acted()
        self.from_menu = choice
        at = self._spot(place[0])
        event = QContextMenuEvent(
            QContextMenuEvent.Reason.Mouse, at, self.window.canvas.mapToGlobal(at), NONE
        )
        QApplication.sendEvent(self.window.canvas, event)

    @rule(arrow=st.sampled_from(ARROWS), keys=st.sampled_from([NONE, SHIFT, ALT]))
    def nudge(self, arrow: Qt.Key, keys: Qt.KeyboardModifier) -> None:
        """Move what is selected by an arrow key."""
        self._acted()
        QTest.keyClick(self.window.canvas, arrow, keys)

    @rule(turn=st.sampled_from([-240, -120, 120, 240]), place=places)
    def wheel(self, turn: int, place: Place) -> None:
        """Zoom at a part."""
        self._acted()
        canvas = self.window.canvas
        at = QPointF(self._spot(place[0]))
        event = QWheelEvent(
            at, canvas.mapToGlobal(at), QPoint(), QPoint(0, turn), Qt.MouseButton.NoButton, NONE,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(canvas, event)

    # Acts from anywhere

    @rule(chord=st.sampled_from(KEYS), on_canvas=st.booleans())
    def press_keys(self, chord: Chord, *, on_canvas: bool) -> None:
        """A key on the canvas, or wherever the keyboard is."""
        self._acted()
        if on_canvas:
            self.window.canvas.setFocus()
        QTest.keyClick(QApplication.focusWidget() or self.window.canvas, *chord)

    @rule(key=st.sampled_from(QUIET))
    def choose(self, key: str) -> None:
        """An action of the menus."""
        action = self.window.made[key]
        if action.isEnabled():
            self._acted()
            action.trigger()
            if key == "save":
                self.saved = self.session.build

    @rule(back=st.booleans())
    def go_back_or_forth(self, *, back: bool) -> None:
        """Take the last act back, or do it again, by its key."""
        self._acted()
        self.window.canvas.setFocus()
        QTest.keyClick(self.window.canvas, K.Key_Z, CONTROL if back else CONTROL | SHIFT)

    # Acts in the panels

    @rule(number=counts, text=NUMBERS)
    def type_a_number(self, number: int, text: str) -> None:
        """Type into a number field."""
        fields = self._usable(NumberField)
        if fields:
            self._acted()
            field = fields[number % len(fields)]
            field.setFocus()
            field.selectAll()
            QTest.keyClick(field, K.Key_Backspace)
            QTest.keyClicks(field, text)
            QTest.keyClick(field, K.Key_Return)

    @rule(number=counts, text=st.sampled_from(["e", "my head", "  x ", ""]))
    def write_words(self, number: int, text: str) -> None:
        """Type into a field for words, and leave it."""
        lines = [each for each in self._usable(QLineEdit) if not isinstance(each, NumberField)]
        fields: list[QWidget] = [*lines, *self._usable(QPlainTextEdit)]
        if fields:
            self._acted()
            field = fields[number % len(fields)]
            field.setFocus()
            QTest.keyClick(field, K.Key_A, CONTROL)
            QTest.keyClick(field, K.Key_Backspace)
            QTest.keyClicks(field, text)
            self.window.canvas.setFocus()

    @rule(number=counts)
    def push(self, number: int) -> None:
        """Push a button or set a tick."""
        buttons = self._usable(QAbstractButton)
        if buttons:
            self._acted()
            button = buttons[number % len(buttons)]
            button.setFocus()
            QTest.keyClick(button, K.Key_Space)

    @rule(number=counts, key=st.sampled_from([K.Key_Down, K.Key_Up, K.Key_End, K.Key_Home]))
    def pick(self, number: int, key: Qt.Key) -> None:
        """Take another option of a list."""
        lists = self._usable(QComboBox)
        if lists:
            self._acted()
            chosen = lists[number % len(lists)]
            chosen.setFocus()
            QTest.keyClick(chosen, key)

    @rule(step=st.integers(-80, 80), ending=st.sampled_from([K.Key_Escape, K.Key_F8, K.Key_A]))
    def refit(self, step: int, ending: Qt.Key) -> None:
        """Drag the slider of the nut, with a key in the middle, or step it by keys."""
        self._acted()
        self.window.show_panel("refit")
        slider = next(iter(self._usable(WidthSlider)))
        slider.setFocus()
        before = self.session.build
        at = QPoint(slider.width() // 2, slider.height() // 2)
        QTest.mousePress(slider, LEFT, NONE, at)
        kind, no_button = QEvent.Type.MouseMove, Qt.MouseButton.NoButton
        for share in (0.5, 1.0):
            place = QPointF(at + QPoint(round(step * share), 0))
            event = QMouseEvent(kind, place, QPointF(slider.mapToGlobal(place)), no_button, LEFT, NONE)
            QApplication.sendEvent(slider, event)
            assert self.session.build is before
        QTest.keyClick(slider, ending)
        if ending == K.Key_Escape:
            assert self.session.scene.build is before
        QTest.mouseRelease(slider, LEFT, NONE, at)
        QTest.keyClick(slider, K.Key_Right if step > 0 else K.Key_PageDown)

    @precondition(lambda self: self.window.findings.isVisible())
    @rule(row=st.integers(0, 8), key=st.sampled_from([K.Key_Return, K.Key_L, K.Key_Down]))
    def look_at_a_finding(self, row: int, key: Qt.Key) -> None:
        """Show a finding on the head, or its limits."""
        self._acted()
        shown = self.window.findings.list
        shown.setFocus()
        QTest.keyClick(shown, K.Key_Home)
        for _ in range(row):
            QTest.keyClick(shown, K.Key_Down)
        QTest.keyClick(shown, key)

    # What must hold

    @invariant()
    def all_is_well(self) -> None:
        """After each act: nothing went wrong, the window is painted, and the modified mark is right."""
        if not hasattr(self, "window"):
            return
        QApplication.processEvents()
        assert self.faults == []
        assert not self.session.scene.gesture
        assert self.session.scene.build is self.session.build
        assert self.session.modified == (self.session.build != self.saved)
        assert self.window.isWindowModified() == self.session.modified

    def teardown(self) -> None:
        """Undo all equals the start, redo all equals the end; what is there can be written and read."""
        if not hasattr(self, "window"):
            return
        try:
            if not self.faults:
                self._back_and_forth()
        finally:
            sys.excepthook, threading.excepthook = self.hooks
            self.session.start(self.start)
            self.window.close()
            self.window.deleteLater()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            self.folder.cleanup()

    def _back_and_forth(self) -> None:
        session, undo, redo = self.session, self.window.made["undo"], self.window.made["redo"]
        assert self._read_again() == session.build
        while redo.isEnabled():
            redo.trigger()
        end, steps = session.build, session.history.undo_labels
        assert self._read_again() == end
        Bench.kept += len(steps)
        Bench.lengths.append(self.length)
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


def test_random_acts(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    monkeypatch.setattr(Bench, "acts", 0)
    monkeypatch.setattr(Bench, "kept", 0)
    monkeypatch.setattr(Bench, "lengths", [])
    monkeypatch.setattr(HardwareForm, "ask", staticmethod(_measured_anew))
    profile = settings(
        max_examples=RUNS,
        stateful_step_count=LENGTH,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Bench, settings=profile)
    # Qt's screenless platform crashes at its end with something on the clipboard.
    QGuiApplication.clipboard().clear()
    qapp.setPalette(look[0])
    qapp.setFont(look[1])
    qapp.setStyleSheet(look[2])
    long_runs = sum(length >= 30 for length in Bench.lengths)
    print(f"{Bench.acts} acts, {long_runs} runs of 30 or more; {Bench.kept} steps undone and redone")
    assert Bench.acts >= 2000
    assert long_runs >= 40
    assert Bench.kept >= 200
