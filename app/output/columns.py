"""Two columns side by side, or one above the other where the window is too narrow for both."""

from __future__ import annotations

from PySide6.QtWidgets import QBoxLayout, QFrame, QWidget

from app.output.pages_view import PagesView
from app.output.pieces import Scrolled, upright_line
from app.widgets.boxes import filled


class Columns(QWidget):
    """Two parts with a line between them."""

    def __init__(self, left: QWidget, right: QWidget) -> None:
        super().__init__()
        self._parts = left, right
        self._line = upright_line()
        box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box = filled(box, (left, 1), self._line, (right, 1), margins=(0, 0, 0, 0), spacing=0)
        self._stacked = False

    @property
    def stacked(self) -> bool:
        """Whether one part stands above the other."""
        return self._stacked

    def arrange(self, room: int) -> None:
        """Stand side by side where both have their least widths within so many pixels, else stacked."""
        line = self._line.sizeHint().width()
        for part, other in zip(self._parts, reversed(self._parts), strict=True):
            if isinstance(part, PagesView):
                part.suit(room - _least(other) - line)
        stacked = sum(_least(part) for part in self._parts) + line > room
        if stacked == self._stacked:
            return
        self._stacked = stacked
        ways = QBoxLayout.Direction
        self._box.setDirection(ways.TopToBottom if stacked else ways.LeftToRight)
        self._line.setFrameShape(QFrame.Shape.HLine if stacked else QFrame.Shape.VLine)
        for part in self._parts:
            if isinstance(part, Scrolled):
                part.set_tall(stacked)


def _least(part: QWidget) -> int:
    """The least width of a part beside another, in pixels."""
    if isinstance(part, Scrolled):
        return part.usual_width
    return max(part.minimumWidth(), part.minimumSizeHint().width())
