"""The kit that every form is made of: forms whose fields line up, labels, headings, remarks, buttons."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont, QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.widgets.typed_line import TypedLine, fault_colour
from geometry.trade.escapes import in_tip


class PlainLabel(QLabel):
    """A label whose words are no mark-up, whatever they look like: they may hold names out of a file."""

    def __init__(self, words: str = "") -> None:
        super().__init__(words)
        self.setTextFormat(Qt.TextFormat.PlainText)


class ShortenedLabel(PlainLabel):
    """A label of one line that ends in an ellipsis where it has no room; its tooltip says the words whole."""

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint what there is room for."""
        room = self.contentsRect()
        words = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
        self.setToolTip("" if words == self.text() else in_tip(self.text()))
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(room, self.alignment(), words)
        painter.end()


MARGIN = 14
GAP = 6
"""Space in pixels round a panel and between its lines."""


Part = TypeVar("Part", bound=QWidget)


class Fault(PlainLabel):
    """A sentence on what is wrong, in the colour of faults."""

    def __init__(self, name: str) -> None:
        """`name` is what a screen reader calls it."""
        super().__init__("")
        self.setWordWrap(True)
        self.setAccessibleName(name)

    def tell(self, text: str) -> None:
        """Say this; nothing when it is empty."""
        colours = self.palette()
        colours.setColor(colours.ColorRole.WindowText, fault_colour(self))
        self.setPalette(colours)
        self.setText(text)


class Form(QWidget):
    """Lines of a label and a field; the fields of all forms are equally wide and line up on the right."""

    def __init__(self) -> None:
        """An empty form."""
        super().__init__()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(GAP)
        self._grid.setColumnStretch(0, 1)
        self._rows = 0
        self._reasons: dict[QWidget, Fault] = {}

    def add(self, text: str, field: QWidget) -> QWidget:
        """A line; gives the field back."""
        row = self._take_rows(2)
        self._grid.addWidget(Caption(text, field), row, 0)
        self._grid.addWidget(field, row, 1)
        self._tell_below(field, row + 1)
        return field

    def add_below(self, text: str, field: QWidget) -> QWidget:
        """A label with a field as wide as the panel beneath it; gives the field back."""
        row = self._take_rows(3)
        self._grid.addWidget(Caption(text, field), row, 0, 1, 2)
        self._grid.addWidget(field, row + 1, 0, 1, 2)
        self._tell_below(field, row + 2)
        return field

    def add_wide(self, field: QWidget) -> QWidget:
        """A field without a label, as wide as the panel; gives it back."""
        self._grid.addWidget(field, self._take_rows(1), 0, 1, 2)
        return field

    def put(self, field: Part, *, below: bool = False) -> Part:
        """A line for a field, called as a screen reader calls it; what has its words in it takes the whole line."""
        if isinstance(field, QAbstractButton | QLabel):
            self.add_wide(field)
        elif below:
            self.add_below(field.accessibleName(), field)
        else:
            self.add(field.accessibleName(), field)
        return field

    def _take_rows(self, count: int) -> int:
        """The first of so many rows of the grid that nothing has yet."""
        first, self._rows = self._rows, self._rows + count
        return first

    def _tell_below(self, field: QWidget, row: int) -> None:
        """Say beneath a line to type in why something was not taken, as soon as that is known."""
        if isinstance(field, TypedLine):
            field.refused.connect(lambda reason: self._show_reason(field, row, reason))

    def _show_reason(self, field: TypedLine, row: int, reason: str) -> None:
        if field not in self._reasons:
            if not reason:
                return
            self._reasons[field] = Fault(self.tr("Why it is not taken"))
            self._grid.addWidget(self._reasons[field], row, 0, 1, 2)
        label = self._reasons[field]
        label.tell(reason)
        label.setVisible(bool(reason) and not field.isHidden())

    def set_shown(self, field: QWidget, shown: bool) -> None:  # noqa: FBT001 - reads as Qt's setVisible
        """Show or hide a line."""
        label = next((each for each in self.findChildren(QLabel) if each.buddy() is field), None)
        for part in (field, label):
            if part is not None and part.isVisibleTo(self) != shown:
                part.setVisible(shown)
        reason = self._reasons.get(field)
        if reason is not None:
            reason.setVisible(shown and bool(reason.text()))


class Caption(PlainLabel):
    """The label of a field: long words go over several lines, and none of them is cut."""

    def __init__(self, text: str, field: QWidget) -> None:
        super().__init__(text)
        self.setWordWrap(True)
        self.setBuddy(field)
        self.setToolTip(field.toolTip())
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._keep_words_whole()

    def _keep_words_whole(self) -> None:
        metrics = self.fontMetrics()
        self.setMinimumWidth(
            max((metrics.horizontalAdvance(word) for word in self.text().split()), default=0)
        )

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Another size of type makes other words."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._keep_words_whole()


def heading(text: str, *, first: bool = False) -> QLabel:
    """The title of a group of lines, with air above it unless it is the first of a panel."""
    label = strong(text)
    label.setContentsMargins(0, 0 if first else MARGIN, 0, 2)
    return label


def strong(text: str) -> QLabel:
    """Words that stand out by their weight."""
    label = PlainLabel(text)
    font = QFont(label.font())
    font.setWeight(QFont.Weight.DemiBold)
    label.setFont(font)
    label.setWordWrap(True)
    return label


def remark(text: str = "") -> QLabel:
    """A sentence that explains, quieter than a label."""
    label = PlainLabel(text)
    label.setWordWrap(True)
    label.setForegroundRole(label.palette().ColorRole.PlaceholderText)
    return label


def button(text: str, tip: str, act: Callable[[], object] | None = None) -> QPushButton:
    """A button with its words, its tooltip and what it does."""
    made = QPushButton(text)
    made.setToolTip(tip)
    made.setAccessibleName(text.replace("&", ""))
    made.setAccessibleDescription(tip)
    made.setAutoDefault(False)  # Enter in a field of a dialog takes the number over, nothing else
    if act is not None:
        made.clicked.connect(act)
    return made


def small_button(text: str, tip: str, act: Callable[[], object] | None = None) -> QToolButton:
    """A button that takes no more room than its words."""
    made = QToolButton()
    made.setText(text)
    made.setToolTip(tip)
    made.setAccessibleName(text if text.isalpha() else tip)
    made.setAccessibleDescription(tip)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    if act is not None:
        made.clicked.connect(act)
    return made


def rail_button(text: str, tip: str) -> QToolButton:
    """A flat button that stays pressed, such as one of a row of which each opens something."""
    made = small_button(text, tip)
    made.setAccessibleName(text)
    made.setCheckable(True)
    made.setProperty("rail", True)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return made


def line(*parts: QWidget) -> QWidget:
    """Widgets side by side from the left, with the rest of the line empty."""
    made = QWidget()
    row = QHBoxLayout(made)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(GAP)
    for part in parts:
        row.addWidget(part)
    row.addStretch(1)
    return made


def column(widget: QWidget, *parts: QWidget) -> QVBoxLayout:
    """A column in a widget, without margins, with these parts to begin with."""
    made = QVBoxLayout(widget)
    made.setContentsMargins(0, 0, 0, 0)
    made.setSpacing(GAP)
    for part in parts:
        made.addWidget(part)
    return made


class EnterButton(QAbstractButton):
    """A button that paints itself, anew when the pointer comes or goes; Enter presses it as the space bar does."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter does it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)


class ScrolledColumn(QScrollArea):
    """Parts one below the other, which scroll where they have no room."""

    def __init__(self, margin: int = MARGIN, spacing: int = GAP) -> None:
        """Empty, with so many pixels around and between the parts."""
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        body = QWidget()
        self.column = column(body)
        self.column.setContentsMargins(margin, margin, margin, margin)
        self.column.setSpacing(spacing)
        self.setWidget(body)

    def put(self, *parts: QWidget) -> None:
        """Parts at the end of the column."""
        for part in parts:
            self.column.addWidget(part)


def capital(text: str) -> str:
    """The text with a capital at its beginning; what follows stays."""
    return text[:1].upper() + text[1:]
