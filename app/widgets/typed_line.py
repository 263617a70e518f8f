"""A line to type in: what reads is taken over, what does not read stays, is marked, and holds up what follows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QScrollArea, QWidget

from app.widgets.shades import colours_of, shade_in


class TypedLine(QLineEdit):
    """Enter, Tab and leaving the field take over what was typed; Esc brings the last text back.

    What does not read stays, marked, with the reason in the tooltip and told to whoever can show it beside the field.
    Each kind of line says what it shows when nothing is typed (`kept_text`) and what becomes of what was typed
    (`take_over`).

    Signals:
        refused: why the text does not read, empty once it does.
    """

    refused = Signal(str)

    def __init__(self, name: str, *, tip: str = "") -> None:
        """`name` is what a screen reader says; `tip` what the tooltip says while all is well."""
        super().__init__()
        self._tip = tip or name
        self.fault = ""
        """Why the text does not read, empty when it does."""
        self.setAccessibleName(name)
        self.setToolTip(self._tip)
        self.setAccessibleDescription(self._tip)
        self.returnPressed.connect(self.take_over)
        self.textEdited.connect(lambda: self.mark_fault(""))

    def kept_text(self) -> str:
        """What the field shows when nothing is typed."""
        return ""

    def take_over(self) -> None:
        """What was typed becomes what counts, if it reads and is something else."""

    def show_kept(self) -> None:
        """Show what counts."""
        text = self.kept_text()
        if text != self.text():
            self.setText(text)
            self.setCursorPosition(0)
        self.setModified(False)
        self.mark_fault("")

    def follow(self, *, changed: bool) -> None:
        """Show what counts now, `changed` or not; what is being typed just now is left alone."""
        if not (self.isModified() and (has_cursor(self) or not changed)):
            self.show_kept()

    def mark_fault(self, fault: str) -> None:
        """Say why the text does not read; an empty reason takes the mark away."""
        if fault == self.fault:
            return
        self.fault = fault
        self.setToolTip(fault or self._tip)
        self.setAccessibleDescription(fault or self._tip)
        self.refused.emit(fault)
        self.update()

    # What Qt calls

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Wide enough for any length of a head, in any size of type: all fields line up."""
        return QSize(self._width(), super().sizeHint().height())

    def _width(self) -> int:
        return field_width(self)

    def event(self, event: QEvent) -> bool:
        """Undo and redo are the window's where nothing is typed that could be taken back here."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and not self.isModified()
            and isinstance(event, QKeyEvent)
        ):
            keys = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
            if any(event.matches(each) for each in keys):
                event.ignore()
                return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc brings the last text back, as undo does once a text is refused; what is not typed is the window's."""
        undone = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
        if self.isModified() and (undone or event.key() == Qt.Key.Key_Escape):
            self.show_kept()
            self.selectAll()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Leaving takes over what was typed; another window in front does not."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self.take_over()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """A fault is marked by a line of its own and a sign, not by colour alone."""
        super().paintEvent(event)
        if not self.fault:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(fault_colour(self), 2.0))
        painter.drawRoundedRect(self.rect().toRectF().adjusted(1, 1, -1, -1), 2.0, 2.0)
        sign = self.rect().adjusted(6, 0, 0, 0)
        painter.drawText(sign, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, "!")
        painter.end()


def has_cursor(field: QWidget) -> bool:
    """Whether typing goes into the field, or will when its window is in front again."""
    return field.window().focusWidget() is field


def field_width(widget: QWidget) -> int:
    """The width in pixels of fields that line up: room for "-123.45 mm"."""
    return widget.fontMetrics().horizontalAdvance("-123.45 mm") + 20


def fault_colour(widget: QWidget) -> QColor:
    """A red that stands out by 4.5 to 1 at least from the widget's own light or dark ground."""
    return QColor(colours_of(shade_in(widget.palette())).fault)


def unread(part: QWidget) -> TypedLine | None:
    """A field in view in this part whose text does not read; what is being typed is taken over first.

    A field that is scrolled out of sight is in view; one of another tab, or of a form that is hidden, is not.
    """
    cursor = part.window().focusWidget()
    if isinstance(cursor, TypedLine) and part.isAncestorOf(cursor):
        cursor.take_over()
    return next((each for each in part.findChildren(TypedLine) if each.fault and each.isVisible()), None)


def say_unread(field: TypedLine) -> str:
    """What is wrong with the field, and that nothing was done."""
    words = QCoreApplication.translate(
        "TypedLine", "{name}: {why} Nothing was done; Esc in the field brings back what was there."
    )
    why = field.fault if field.fault.endswith(".") else f"{field.fault}."
    return words.format(name=field.accessibleName(), why=why)


def lead_to(field: TypedLine) -> None:
    """Put the cursor into the field, and scroll it into sight."""
    field.setFocus(Qt.FocusReason.OtherFocusReason)
    around = field.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(field)
        around = around.parentWidget()


def all_reads(part: QWidget, tell: Callable[[str], object]) -> bool:
    """Whether all that is typed in this part reads.

    What does not is told, with the cursor led there; and nothing (an empty text) as soon as it reads again.
    """
    field = unread(part)
    if field is None:
        return True
    lead_to(field)
    tell(say_unread(field))
    field.refused.connect(lambda _: tell(""), type=Qt.ConnectionType.SingleShotConnection)
    return False


def when_in_doubt(field: TypedLine, act: Callable[[], object]) -> None:
    """Call this when the text of a field turns out not to read, and when what counts stands there again.

    Until then what was worked out from the field belongs to another number than the one in sight.
    """
    field.refused.connect(lambda _: act() if field.fault or not field.isModified() else None)
