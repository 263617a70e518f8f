"""Random acts through real mouse and key events: whatever was done can be undone, redone, written and read."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import ClassVar

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.number_field import NumberField
from app.session import Session
from app.settings import SettingsStore
from app.window import Window
from geometry.build.build import Build
from geometry.build.codec import read_build, write_build
from geometry.build.outline_nodes import nodes_of
from geometry.shape.point import Point
from tests.builds import READY_MADE

RUNS, LENGTH = 70, 50
"""Runs of the machine, and how many acts one has at most."""

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier
SHIFT, CONTROL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier

QUIET = (
    "copy", "cut", "paste", "duplicate", "delete", "select all", "other hand", "free outline", "symmetric", "snap",
    "grid", "face", "back", "both", "fit", "closer", "further", "inches", "select tool", "node tool", "round tool",
    "region tool", "old hole tool", "panel head", "panel strings", "panel tuners", "panel keep clear",
    "panel selected", "next part",
)  # fmt: skip
"""Actions that ask nothing."""

ARROWS = (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Down)
places = st.tuples(st.integers(0, 30), st.integers(-60, 60), st.integers(-60, 60))


class Bench(RuleBasedStateMachine):
    """One window with one build, worked on at random."""

    acts: ClassVar[int] = 0
    kept: ClassVar[int] = 0
    faults: ClassVar[list[str]] = []

    @initialize(which=st.integers(0, len(READY_MADE) - 1))
    def open_a_window(self, which: int) -> None:
        """A fresh window on one of the ready-made builds."""
        folder = Path(tempfile.mkdtemp())
        self.start: Build = READY_MADE[which]()
        self.window = Window(Session(self.start), SettingsStore(folder / "config", folder / "state"))
        self.window.went_wrong = self.faults.append  # type: ignore[assignment, method-assign]
        self.window.resize(1000, 700)
        self.window.show()
        self.window.show_drawing()
        self.window.canvas.fit()

    # Acts

    def _spot(self, number: int) -> QPoint:
        """A post or a node on the screen."""
        scene = self.window.session.scene
        spots = [post.at for post in scene.layout.posts] + [node.at for node in nodes_of(scene.build)]
        spots = spots or [Point(0.0, 50.0)]
        return self.window.canvas.view.to_screen(spots[number % len(spots)]).toPoint()

    def _drag(self, place: tuple[int, int, int]) -> None:
        canvas, start = self.window.canvas, self._spot(place[0])
        QTest.mousePress(canvas, LEFT, NONE, start)
        for share in (0.3, 0.7, 1.0):
            QTest.mouseMove(canvas, start + QPoint(round(place[1] * share), round(place[2] * share)))

    @rule(place=places)
    def drag(self, place: tuple[int, int, int]) -> None:
        """Drag a post or a node somewhere."""
        Bench.acts += 1
        self._drag(place)
        end = self._spot(place[0]) + QPoint(place[1], place[2])
        QTest.mouseRelease(self.window.canvas, LEFT, NONE, end)

    @rule(place=places)
    def give_a_drag_up(self, place: tuple[int, int, int]) -> None:
        """Esc in the middle of a drag restores exactly what was there."""
        Bench.acts += 1
        session = self.window.session
        before, step = session.build, session.history.undo_label
        self._drag(place)
        QTest.keyClick(self.window.canvas, Qt.Key.Key_Escape)
        QTest.mouseRelease(self.window.canvas, LEFT, NONE, self._spot(place[0]))
        if self.window.tool_name == "select":
            assert session.build == before
            assert session.history.undo_label == step
        assert not session.scene.gesture

    @rule(place=places, shift=st.booleans())
    def click(self, place: tuple[int, int, int], *, shift: bool) -> None:
        """Click on or beside something."""
        Bench.acts += 1
        at = self._spot(place[0]) + QPoint(place[1] // 4, place[2] // 4)
        QTest.mouseClick(self.window.canvas, LEFT, SHIFT if shift else NONE, at)

    @rule(place=places)
    def double_click(self, place: tuple[int, int, int]) -> None:
        """Double click, on an edge for a new node."""
        Bench.acts += 1
        QTest.mouseDClick(
            self.window.canvas, LEFT, NONE, self._spot(place[0]) + QPoint(place[1] // 3, place[2])
        )

    @rule(
        arrow=st.sampled_from(ARROWS),
        modifier=st.sampled_from([NONE, SHIFT, Qt.KeyboardModifier.AltModifier]),
    )
    def nudge(self, arrow: Qt.Key, modifier: Qt.KeyboardModifier) -> None:
        """Move what is selected by an arrow key."""
        Bench.acts += 1
        QTest.keyClick(self.window.canvas, arrow, modifier)

    @rule(key=st.sampled_from(QUIET))
    def choose(self, key: str) -> None:
        """An action of the menus."""
        Bench.acts += 1
        action = self.window.made[key]
        if action.isEnabled():
            action.trigger()

    @rule()
    def undo(self) -> None:
        """Take the last act back by its key."""
        Bench.acts += 1
        QTest.keyClick(self.window, Qt.Key.Key_Z, CONTROL)

    @rule()
    def redo(self) -> None:
        """Do it again by its key."""
        Bench.acts += 1
        QTest.keyClick(self.window, Qt.Key.Key_Z, CONTROL | SHIFT)

    @rule(number=st.integers(0, 40), value=st.floats(0.5, 60.0))
    def type_a_number(self, number: int, value: float) -> None:
        """Type into a number field of the panel in sight."""
        Bench.acts += 1
        fields = [
            field
            for field in self.window.findChildren(NumberField)
            if field.isVisible() and field.isEnabled()
        ]
        if not fields:
            return
        field = fields[number % len(fields)]
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, f"{value:.2f}")
        QTest.keyClick(field, Qt.Key.Key_Return)

    @rule(turn=st.sampled_from([-120, 120, 240]))
    def wheel(self, turn: int) -> None:
        """Zoom at the middle of the canvas."""
        Bench.acts += 1
        canvas = self.window.canvas
        at = QPointF(canvas.rect().center())
        event = QWheelEvent(
            at, canvas.mapToGlobal(at), QPoint(), QPoint(0, turn), Qt.MouseButton.NoButton, NONE,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(canvas, event)

    # What must hold in the end

    def teardown(self) -> None:
        """Undo all equals the start, redo all equals the end; what is there can be written and read."""
        if not hasattr(self, "window"):
            return
        session = self.window.session
        session.cancel()
        end = session.build
        assert read_build(write_build(end)) == end
        assert session.modified == (end != self.start)
        Bench.kept += len(session.history.undo_labels)
        while session.history.undo_label is not None:
            session.undo()
        assert session.build == self.start
        while session.history.redo_label is not None:
            session.redo()
        last = session.build
        assert last == end or end in [build for _, build in session.history._steps]
        assert self.faults == []
        self.window.canvas.grab()
        session.start(self.start)
        self.window.document.recovery.close()
        self.window.close()
        self.window.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_random_acts(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    monkeypatch.setattr(Bench, "acts", 0)
    monkeypatch.setattr(Bench, "kept", 0)
    profile = settings(
        max_examples=RUNS,
        stateful_step_count=LENGTH,
        deadline=None,
        derandomize=True,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Bench, settings=profile)
    qapp.setPalette(look[0])
    qapp.setFont(look[1])
    qapp.setStyleSheet(look[2])
    print(f"{Bench.acts} acts, {Bench.kept} of them to be undone in the end")
    assert Bench.acts >= 2000
    assert Bench.kept >= 200
