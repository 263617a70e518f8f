"""What wheels and fingers do to a view: zoom at the pointer, or push the head along."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QInputDevice, QNativeGestureEvent, QWheelEvent

from app.canvas.view import View

NOTCH = 120.0
"""What a wheel counts for one notch, by Qt's definition: eighths of a degree, fifteen degrees."""

ZOOM_PER_NOTCH = 1.2
_PUSH_PER_NOTCH = 60.0  # pixels
_FINGER_ZOOM = 100.0  # pixels of two fingers with Ctrl that count as one notch


def wheeled(view: View, event: QWheelEvent) -> View:
    """A wheel zooms at the pointer, with Shift it pushes the head sideways; two fingers push, with Ctrl zoom."""
    modifiers = event.modifiers()
    if on_touchpad(event):
        step = event.pixelDelta() if not event.pixelDelta().isNull() else event.angleDelta() / 2
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            return view.zoomed(ZOOM_PER_NOTCH ** (step.y() / _FINGER_ZOOM), event.position())
        return view.panned(step.x(), step.y())
    turn: QPoint = event.angleDelta()
    if modifiers & Qt.KeyboardModifier.ShiftModifier or turn.y() == 0:
        # With Alt held Qt turns the wheel's axis by itself, so either axis may carry the turn.
        return view.panned((turn.x() or turn.y()) / NOTCH * _PUSH_PER_NOTCH, 0.0)
    return view.zoomed(ZOOM_PER_NOTCH ** (turn.y() / NOTCH), event.position())


def on_touchpad(event: QWheelEvent) -> bool:
    """Whether two fingers scroll rather than a wheel turns."""
    if event.device() is not None and event.device().type() == QInputDevice.DeviceType.TouchPad:
        return True
    return not event.pixelDelta().isNull() and event.phase() != Qt.ScrollPhase.NoScrollPhase


def pinched(view: View, event: QNativeGestureEvent) -> View | None:
    """Two fingers on a touchpad, apart or together; None when the gesture is something else."""
    kind = event.gestureType()
    if kind == Qt.NativeGestureType.ZoomNativeGesture:
        return view.zoomed(max(0.1, 1.0 + event.value()), event.position())
    if kind == Qt.NativeGestureType.PanNativeGesture:
        return view.panned(event.delta().x(), event.delta().y())
    return None
