"""How large a window may be, so that its buttons are never below the edge of the screen."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QStyle, QWidget

FRAME = QSize(16, 48)
"""Pixels that a desktop puts round a window, its title bar among them; most take less."""


def room(window: QWidget) -> QSize:
    """How large a window may be on its screen, beside the desktop's panels and the window's frame."""
    return window.screen().availableSize() - FRAME


def fit(window: QWidget, width: int, height: int) -> None:
    """Make a window so large, or as large as the screen has room for."""
    window.resize(QSize(width, height).boundedTo(room(window)))


def fit_content(window: QWidget) -> None:
    """Make a window as large as what is in it, a scroll bar included, or as large as the screen has room for."""
    hint = window.sizeHint()
    bar = window.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
    fit(window, hint.width() + bar, hint.height())


def roomy(content: QWidget) -> QScrollArea:
    """The content, scrolled where there is less room than it needs, so that what stands beside it stays in sight."""
    area = _Roomy(content)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area


class _Roomy(QScrollArea):
    """Asks for all the room of its content, and makes do with little."""

    def __init__(self, content: QWidget) -> None:
        super().__init__()
        self._content = content
        self.setWidget(content)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As large as the content wants to be."""
        return self._content.sizeHint()
