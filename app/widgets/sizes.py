"""How large a window may be, so that its buttons are never below the edge of the screen."""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent, QScreen
from PySide6.QtWidgets import QFrame, QScrollArea, QStyle, QWidget

FRAME = QSize(16, 48)
"""Pixels that a desktop puts round a window, its title bar among them; most take less."""


def screen_of(widget: QWidget) -> QScreen:
    """The screen that a widget is on; nobody asks the widget itself.

    PySide takes a screen for a part of the widget that was asked last. Where Python collects that widget as garbage,
    it deletes the screen with it, and Qt crashes at the next move of the mouse. What is held here is not collected.
    """
    return _held(widget.screen())


@cache
def _held(screen: QScreen) -> QScreen:
    return screen


def room(window: QWidget) -> QSize:
    """How large a window may be on its screen, beside the desktop's panels and the window's frame."""
    return screen_of(window).availableSize() - FRAME


def letters_across(window: QWidget) -> float:
    """How many average letters of its type fit across the room that a window may take."""
    return room(window).width() / window.fontMetrics().averageCharWidth()


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
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area


class _Roomy(QScrollArea):
    """Asks for all the room of its content, and makes do with little.

    A resizable scroll area of Qt's own gives words that wrap the height that they would like, and so scrolls content
    that could be lower; here it gets what it cannot do without.
    """

    def __init__(self, content: QWidget) -> None:
        super().__init__()
        self.setWidget(content)
        content.installEventFilter(self)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As large as the content wants to be."""
        content = self.widget()
        return super().sizeHint() if content is None else content.sizeHint()

    def _fit_content(self) -> None:
        # What Python kept may be gone while Qt closes the dialog; then Qt asks once more.
        content = self.widget()
        if content is None:
            return
        bar = self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
        view, least = self.maximumViewportSize(), content.minimumSizeHint()
        if least.width() > view.width():
            view.setHeight(view.height() - bar)
        if least_height(content, max(view.width(), least.width())) > view.height():
            view.setWidth(view.width() - bar)
        width = max(view.width(), least.width())
        content.resize(width, max(view.height(), least_height(content, width)))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Give the content the new room."""
        super().resizeEvent(event)
        self._fit_content()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """The content may need more or less than before."""
        if watched is self.widget() and event.type() == QEvent.Type.LayoutRequest:
            self._fit_content()
        return super().eventFilter(watched, event)


def least_height(content: QWidget, width: int) -> int:
    """The least height in pixels of a widget that is so wide, lines of words that wrap among what it holds."""
    layout = content.layout()
    if layout is None or not layout.hasHeightForWidth():
        return content.minimumSizeHint().height()
    return layout.minimumHeightForWidth(width)
