"""Choices, texts and ticks as the panels use them: they tell of what the maker does, never of what they are shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QPaintEvent, QPalette, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QPlainTextEdit,
    QSizePolicy,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QToolTip,
)

from app.widgets.sizes import screen_of
from app.widgets.typed_line import TypedLine, field_width, has_cursor
from geometry.trade.escapes import in_tip

LONGEST_NAME = 200
LONGEST_NOTES = 4000
"""Characters of a name and of the notes in a build file."""

_WIDER = 1.4
"""A list among number fields may be so many times as wide as they are."""

_SLACK = 6
"""Pixels round the words of a list that are not for them."""

_BEFORE = 4
"""Pixels before the words of a list that stand over several lines; a style leaves so many before one."""


class Combo(QComboBox):
    """A combo box that grows to several lines where its words do not fit on one.

    Words that want more than `MOST_LINES` end in an ellipsis; the list and the tooltip show them whole.
    """

    MOST_LINES = 3

    EXTRA = 40
    """Pixels in the list for its scroll bar and the space round the words."""

    def __init__(self) -> None:
        """Empty."""
        super().__init__()
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.currentIndexChanged.connect(self.updateGeometry)
        self.stepping = False
        """Whether what is told just now comes of a key in the closed list: a step, which may go on to the next."""

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Not wider than the number fields; long words go over several lines."""
        return QSize(field_width(self), self._whole_height())

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As high as the lines that the words take on the width of now."""
        return QSize(super().sizeHint().width(), self._whole_height())

    def _whole_height(self) -> int:
        lines = 1 if self.isEditable() else len(self._lines(self._room(self.width())))
        return QComboBox.sizeHint(self).height() + (lines - 1) * self.fontMetrics().lineSpacing()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width may take more lines, or fewer."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint the box with its words, over as many lines as it has."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        lines = self._shown_lines()
        option.currentText = lines[0] if len(lines) == 1 else ""
        if self.currentIndex() < 0:
            faded = option.palette.color(QPalette.ColorRole.PlaceholderText)
            option.palette.setColor(QPalette.ColorRole.ButtonText, faded)
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        if len(lines) > 1:
            aligned = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            room, ink = self._words_box(self.size()).adjusted(_BEFORE, 0, 0, 0), QPalette.ColorRole.ButtonText
            painter.drawItemText(room, aligned, option.palette, self.isEnabled(), "\n".join(lines), ink)

    def _said(self) -> str:
        """What is chosen; what the list is for as long as nothing is."""
        return self.currentText() if self.currentIndex() >= 0 or self.isEditable() else self.placeholderText()

    @property
    def shown_words(self) -> str:
        """The words as far as the box has room for them."""
        return " ".join(self._shown_lines())

    def _words_box(self, size: QSize) -> QRect:
        """Where in a box of some size its words stand."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.rect = QRect(QPoint(0, 0), size)
        control, part = QStyle.ComplexControl.CC_ComboBox, QStyle.SubControl.SC_ComboBoxEditField
        return self.style().subControlRect(control, option, part, self)

    def _room(self, width: int) -> int:
        return self._words_box(QSize(width, self.height())).width() - 4

    def _shown_lines(self) -> list[str]:
        spare = max(0, self.height() - QComboBox.sizeHint(self).height())
        most = 1 if self.isEditable() else 1 + spare // self.fontMetrics().lineSpacing()
        return self._lines(self._room(self.width()), most)

    def _lines(self, room: int, most: int = MOST_LINES) -> list[str]:
        """The words in at most so many lines of so many pixels; what is left over ends in an ellipsis."""
        metrics, lines, rest = self.fontMetrics(), list[str](), self._said()
        while len(lines) < most - 1 and metrics.horizontalAdvance(rest) > room and " " in rest:
            words = rest.split(" ")
            count = len(words) - 1
            while count > 1 and metrics.horizontalAdvance(" ".join(words[:count])) > room:
                count -= 1
            lines.append(" ".join(words[:count]))
            rest = " ".join(words[count:])
        lines.append(rest)
        return [metrics.elidedText(each, Qt.TextElideMode.ElideRight, room) for each in lines]

    def showPopup(self) -> None:  # noqa: N802 - Qt's name
        """The list is as wide as its words, up to the width of the screen."""
        metrics = self.fontMetrics()
        words = (metrics.horizontalAdvance(self.offered(place)) for place in range(self.count()))
        wide = min(max(words, default=0) + self.EXTRA, screen_of(self).availableSize().width())
        self.view().setMinimumWidth(wide)
        self.stepping = False  # some systems show the list until it is answered
        super().showPopup()

    def offered(self, place: int) -> str:
        """The words of an entry in the list."""
        return self.itemText(place)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Arrows and letters step through the closed list."""
        self.stepping = True
        super().keyPressEvent(event)
        self.stepping = False

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """The wheel scrolls the panel; turned over a list it must not change the build."""
        event.ignore()

    def event(self, event: QEvent) -> bool:
        """The tooltip says the words where they are shortened."""
        if event.type() == QEvent.Type.ToolTip and self.shown_words != self._said():
            assert isinstance(event, QHelpEvent), "a tooltip is asked for by a help event"
            QToolTip.showText(event.globalPos(), in_tip(self._said()), self)
            return True
        return super().event(event)


class Choice(Combo):
    """One of a few values, each with its words.

    Signals:
        picked: the value that the maker took.
    """

    picked = Signal(object)

    def __init__(
        self,
        name: str,
        options: Sequence[tuple[object, str]] = (),
        *,
        tip: str = "",
        told: Callable[[object], object] | None = None,
    ) -> None:
        """`options` are values and their words in order; `told` hears of what is picked."""
        super().__init__()
        self._values: tuple[object, ...] = ()
        self._words: tuple[str, ...] = ()
        self.setAccessibleName(name)
        self.setToolTip(tip or name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.set_options(options)
        self.activated.connect(lambda place: self.picked.emit(self._values[place]))
        if told is not None:
            self.picked.connect(told)

    @property
    def value(self) -> object:
        """The value that is shown, None when it is none of the options."""
        place = self.currentIndex()
        return self._values[place] if place >= 0 else None

    def set_options(self, options: Sequence[tuple[object, str]]) -> None:
        """Offer other values."""
        values, words = tuple(each for each, _ in options), tuple(text for _, text in options)
        if words != self._words:
            self.clear()
            self.addItems(words)
        self._values, self._words = values, words

    def set_value(self, value: object) -> None:
        """Show one of the values."""
        self.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As wide as the number fields, so that columns line up; somewhat wider for words that then fit whole."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        widest = max((self.fontMetrics().horizontalAdvance(each) for each in self._words), default=0)
        contents = QSize(widest + _SLACK, self.fontMetrics().height())
        control = QStyle.ContentsType.CT_ComboBox
        whole = self.style().sizeFromContents(control, option, contents, self).width()
        usual = field_width(self)
        return QSize(whole if usual < whole <= _WIDER * usual else usual, super().sizeHint().height())


class TextField(TypedLine):
    """A line of text, which may be empty.

    Signals:
        edited: the text, after the maker typed another one.
    """

    edited = Signal(str)

    def __init__(self, name: str, *, tip: str = "", told: Callable[[str], object] | None = None) -> None:
        """`told` hears of another text."""
        super().__init__(name, tip=tip)
        self.setMaxLength(LONGEST_NAME)
        self._kept = ""
        if told is not None:
            self.edited.connect(told)

    def set_value(self, text: str) -> None:
        """Show another text; what is being typed just now is left alone."""
        changed, self._kept = text != self._kept, text
        self.follow(changed=changed)

    def kept_text(self) -> str:
        """The text that counts."""
        return self._kept

    def read(self) -> str:
        """What stands there; ValueError, with a sentence, for what cannot be taken."""
        return whole_characters(self.text())

    def take_over(self) -> None:
        """What stands there becomes the text, also where a completer wrote it."""
        try:
            text = self.read()
        except ValueError as error:
            self.mark_fault(str(error))
            return
        changed, self._kept = text != self._kept, text
        self.show_kept()
        if changed:
            self.edited.emit(text)


class Tick(QCheckBox):
    """A box to tick.

    Signals:
        ticked: whether it is ticked, after the maker changed it.
    """

    ticked = Signal(bool)

    def __init__(self, text: str, *, tip: str = "", told: Callable[[bool], object] | None = None) -> None:
        """`text` stands beside the box; `told` hears of a change by the maker."""
        super().__init__(text)
        self.setAccessibleName(text)
        self.setToolTip(tip or text)
        self.clicked.connect(self.ticked)
        if told is not None:
            self.ticked.connect(told)

    def set_value(self, value: bool) -> None:  # noqa: FBT001 - the one value of a tick
        """Show it ticked or not."""
        self.setChecked(value)


def whole_characters(text: str) -> str:
    """The text without halves of characters, which a line that cuts off long texts can leave behind."""
    return "".join(sign for sign in text if not "\ud800" <= sign <= "\udfff")


class Notes(QPlainTextEdit):
    """Lines of text; leaving the field takes them over, Esc brings the last ones back.

    Signals:
        edited: the text, after the maker typed another one.
    """

    edited = Signal(str)

    def __init__(self, name: str) -> None:
        """`name` is what a screen reader says, and the tooltip."""
        super().__init__()
        self._kept = ""
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setTabChangesFocus(True)

    def set_value(self, text: str) -> None:
        """Show another text; what is being typed just now is left alone."""
        changed, self._kept = text != self._kept, text
        if self.document().isModified() and (has_cursor(self) or not changed):
            return
        self._show()

    def _show(self) -> None:
        if self.toPlainText() != self._kept:
            self.setPlainText(self._kept)
        self.document().setModified(False)

    def _take_over(self) -> None:
        if not self.document().isModified():
            return
        text = whole_characters(self.toPlainText())[:LONGEST_NOTES]
        changed, self._kept = text != self._kept, text
        self._show()
        if changed:
            self.edited.emit(text)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Five lines."""
        return QSize(super().sizeHint().width(), 5 * self.fontMetrics().lineSpacing() + 14)

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Five lines."""
        return QSize(super().minimumSizeHint().width(), self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc brings the text back; without anything typed it is left to the window."""
        if event.key() == Qt.Key.Key_Escape and self.document().isModified():
            self.document().setModified(False)
            self._show()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Leaving takes over what was typed."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self._take_over()
