"""The canvas: a surface that hands pointer and keys to the tool in hand."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.canvas.look import LIGHT, Look
from app.canvas.movement import pinched, wheeled
from app.canvas.overlay import opened_nodes
from app.canvas.places import bounds_of_items, in_turn
from app.canvas.surface import Surface
from app.canvas.tool import Pointer, Tool
from app.canvas.words import part_name
from app.document.scene import Scene
from app.document.selection import NOTHING, Item
from app.document.session import Session
from geometry.layout.pick import Picked, pick

REACH = 8.0
"""Pixels within which the pointer is on something."""

_ARROW = 40.0  # pixels by which an arrow key pushes the head along
_KEY_ZOOM = 1.25
_BEFORE_MEASURES = {"node", "handle", "post"}
_BY_KEYS = {
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
}
_ARROWS = {
    Qt.Key.Key_Left: (_ARROW, 0.0),
    Qt.Key.Key_Right: (-_ARROW, 0.0),
    Qt.Key.Key_Up: (0.0, _ARROW),
    Qt.Key.Key_Down: (0.0, -_ARROW),
}


class Canvas(Surface):
    """The head as it is drawn, to be pointed at and changed with a tool.

    The left button is the tool's; the middle one, or the left with the space bar held, pushes the head along. Tab
    goes from part to part and, after the last, out of the canvas.

    Signals:
        pointer_moved: where the pointer is (Point in head mm), None when it has left.
        hint: what the tool does now, one line.
        measure_pressed: the name of a dimension whose words were pressed.
        context_menu: a menu is asked for: place on the screen (QPoint), and what lies there (Picked or None).
    """

    pointer_moved = Signal(object)
    hint = Signal(str)
    context_menu = Signal(QPoint, object)
    measure_pressed = Signal(str)

    def __init__(self, session: Session, look: Look = LIGHT, parent: QWidget | None = None) -> None:
        """Show what a session holds, with a tool in hand that does nothing yet."""
        super().__init__(session, look, parent)
        self._tool = Tool(session, self.aids)
        self._said = ""
        self._pressed = self._space = False
        self._grabbed: QPointF | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Drawing of the head"))
        self._describe()

    # The tool

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self._tool

    @tool.setter
    def tool(self, tool: Tool) -> None:
        self._tool.cancel()
        self._pressed = False
        self._tool = tool
        self._point()
        self._say()
        self.update()

    def _say(self) -> None:
        """Tell what the tool does now, when that has changed."""
        if self._tool.hint != self._said:
            self._said = self._tool.hint
            self.hint.emit(self._said)

    def _point(self) -> None:
        """Give the pointer the shape of what the next press does."""
        if self._grabbed is not None:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        else:
            self.setCursor(Qt.CursorShape.OpenHandCursor if self._space else self._tool.cursor)

    def _after_tool(self) -> None:
        self._point()
        self._say()
        self.update()

    def paint_tool(self, painter: QPainter) -> None:
        """Paint what the tool shows besides the build."""
        self._tool.overlay(painter, self.view, self.look)

    def _update_rulers(self, before: QPointF | None) -> None:
        """Paint the marks of the pointer anew, and nothing else."""
        if self._pointer != before:
            width = round(self.view.ruler)
            self.update(QRect(0, 0, self.width(), width))
            self.update(QRect(0, 0, width, self.height()))

    # What lies where

    def picked(self, pixel: QPointF) -> Picked | None:
        """What lies under a pixel."""
        scene, view = self.session.scene, self.view
        at, reach = view.to_head(pixel), REACH / view.scale
        return pick(scene.build, scene.layout, at, reach, self.side, opened_nodes(scene))

    def _hover(self, pixel: QPointF) -> None:
        """Show what a press here would take hold of."""
        found = None if self._tool.busy or self._pressed else self.picked(pixel)
        item = None if found is None or found.kind == "handle" else Item(found.kind, found.key)
        if item != self._hovered:
            self._hovered = item
            self.update()

    def _pointer_of(self, event: QMouseEvent, *, double: bool = False) -> Pointer:
        held = event.modifiers()
        return Pointer(
            at=self.view.to_head(event.position()),
            reach=REACH / self.view.scale,
            shift=bool(held & Qt.KeyboardModifier.ShiftModifier),
            control=bool(held & Qt.KeyboardModifier.ControlModifier),
            alt=bool(held & Qt.KeyboardModifier.AltModifier),
            double=double,
        )

    def _take(self, scene: Scene) -> None:
        if self.session.history is not self._history and self._tool.busy:
            self._pressed = False
            self._tool.cancel()
        super()._take(scene)
        self._describe()

    def _describe(self) -> None:
        """Say what is selected to those who cannot see it."""
        scene = self.session.scene
        chosen = ", ".join(part_name(scene, item) for item in scene.selection)
        words = self.tr("Selected: {0}").format(chosen) if chosen else self.tr("Nothing selected")
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)

    # From part to part

    def _next_part(self, *, forward: bool) -> bool:
        """Select the next part, or the one before; False after the last, where the focus goes on."""
        turn = in_turn(self.session.scene)
        chosen = self.session.selection
        place = turn.index(chosen[-1]) if chosen and chosen[-1] in turn else (-1 if forward else len(turn))
        place += 1 if forward else -1
        if not 0 <= place < len(turn):
            self.session.select(NOTHING)
            return False
        self.session.select((turn[place],))
        self._reveal((turn[place],))
        return True

    def _reveal(self, items: tuple[Item, ...]) -> None:
        """Bring parts into view that lie outside of it."""
        bounds = bounds_of_items(self.session.scene, items)
        shown = self.view.shown
        if bounds is not None and not shown.overlaps(bounds):
            self._show(msgspec.structs.replace(self.view, centre=bounds.centre))

    # Keys

    def _typed(self, event: QKeyEvent) -> bool:
        """Whether a key meant something here."""
        key, modifiers = Qt.Key(event.key()), event.modifiers()
        if key == Qt.Key.Key_Escape and (self._tool.busy or self._pressed):
            self._pressed = False
            self._tool.cancel()
            return True
        if key == Qt.Key.Key_Space and not event.isAutoRepeat() and not self._tool.busy:
            self._space = True
            return True
        if self._tool.key(key, modifiers):
            return True
        return self._moved_by_key(key)

    def _moved_by_key(self, key: Qt.Key) -> bool:
        if key in {Qt.Key.Key_Plus, Qt.Key.Key_Equal}:
            self.zoom_by(_KEY_ZOOM)
        elif key == Qt.Key.Key_Minus:
            self.zoom_by(1 / _KEY_ZOOM)
        elif key in _ARROWS:
            self._show(self.view.panned(*_ARROWS[key]))
        elif key == Qt.Key.Key_Escape and self.session.scene.ghost is not None:
            self.session.dismiss()
        elif key == Qt.Key.Key_Escape and self.session.selection:
            self.session.select(NOTHING)
        else:
            return False
        return True

    # Qt's events

    def focusNextPrevChild(self, forward: bool) -> bool:  # noqa: N802, FBT001 - Qt's name
        """Tab goes through the parts of the head before it leaves."""
        if self._tool.busy or self._next_part(forward=forward):
            return True
        return super().focusNextPrevChild(forward)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Give a key to the tool, else move the view."""
        if self._typed(event):
            self._after_tool()
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Let go of the head when the space bar comes up."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._point()
        else:
            super().keyReleaseEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of the head, or press the tool."""
        left = event.button() == Qt.MouseButton.LeftButton
        self._ringed = False
        if event.button() == Qt.MouseButton.MiddleButton or (left and self._space):
            self._grabbed = event.position()
        elif left and self._grabbed is None and self._press_measure(event.position()):
            return
        elif left and self._grabbed is None:
            self._pressed = True
            self._tool.press(self._pointer_of(event))
        self._after_tool()

    def _press_measure(self, pixel: QPointF) -> bool:
        """Take a dimension in hand whose words lie there; parts of the head come first, and tools that draw."""
        picked = self.picked(pixel) if self._painter.boxes and self._tool.name == "select" else None
        if self._tool.name != "select" or (picked is not None and picked.kind in _BEFORE_MEASURES):
            return False
        name = next((name for box, name in self._painter.boxes if box.contains(pixel)), None)
        if name is not None:
            self.measure_pressed.emit(name)
        return name is not None

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Press the tool a second time; a dimension that the first press took stays in hand."""
        left = event.button() == Qt.MouseButton.LeftButton and not self._space
        if left and self._press_measure(event.position()):
            return
        if left:
            self._pressed = True
            self._tool.press(self._pointer_of(event, double=True))
            self._after_tool()
        else:
            self.mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Push the head along, or move the tool."""
        before, self._pointer = self._pointer, event.position()
        if self._grabbed is not None:
            step = event.position() - self._grabbed
            self._grabbed = event.position()
            self._show(self.view.panned(step.x(), step.y()))
        else:
            self._tool.move(self._pointer_of(event))
            self._hover(event.position())
            self._say()
            if self._tool.busy or self._tool.follows:
                self.update()
        self.pointer_moved.emit(self.view.to_head(event.position()))
        self._update_rulers(before)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Let go of the head, or release the tool."""
        if self._grabbed is not None and event.button() in {
            Qt.MouseButton.MiddleButton,
            Qt.MouseButton.LeftButton,
        }:
            self._grabbed = None
        elif event.button() == Qt.MouseButton.LeftButton and self._pressed:
            self._pressed = False
            self._tool.release(self._pointer_of(event))
        self._after_tool()

    def leaveEvent(self, event: QEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Forget where the pointer was."""
        self._pointer = self._hovered = None
        self.pointer_moved.emit(None)
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """Zoom at the pointer, or push the head along."""
        self._show(wheeled(self.view, event))
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:  # noqa: N802 - Qt's name
        """Ask for a menu where the pointer is, or from the keyboard at what is selected."""
        if self._tool.busy or self._grabbed is not None:
            return
        at = QPointF(event.pos())
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            bounds = bounds_of_items(self.session.scene, self.session.selection)
            at = self.view.middle if bounds is None else self.view.to_screen(bounds.centre)
        self.context_menu.emit(self.mapToGlobal(at.toPoint()), self.picked(at))

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Show that the keys come here now, when it was reached by them."""
        self._ringed = event.reason() in _BY_KEYS
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Let go of what keys hold."""
        self._ringed = self._space = False
        self._point()
        super().focusOutEvent(event)
        self.update()

    def event(self, event: QEvent) -> bool:
        """Take the gestures of touchpads."""
        if isinstance(event, QNativeGestureEvent):
            view = pinched(self.view, event)
            if view is not None:
                self._show(view)
                return True
        return super().event(event)
