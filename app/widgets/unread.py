"""Fields of a window whose text does not read: nothing is done with it before that is mended or given up."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QScrollArea, QWidget

from app.widgets.typed_line import TypedLine


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
