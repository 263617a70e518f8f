"""Cards to choose from: a small picture with a name and a line beneath, in as many columns as there is room for."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QSizePolicy, QWidget

from app.widgets.kit import EnterButton
from geometry.trade.escapes import in_tip

PAD = 12
GAP = 12
CORNER = 8.0
"""Pixels: air inside a card, between cards, and the radius of its corners."""


class Card(EnterButton):
    """A picture to click on, or to reach with Tab and choose with Enter or the space bar."""

    def __init__(self, name: str, line: str = "", picture: QSize | None = None) -> None:
        """`picture` is the room for the picture in pixels; the picture itself may come later."""
        super().__init__()
        self.setText(name)
        self._line = line
        self.picture_size = picture or QSize(124, 150)
        """The room for the picture, in pixels."""
        self._picture = QPixmap()
        self.setAccessibleName(f"{name}, {line}" if line else name)
        self.setToolTip(in_tip(f"{name}, {line}" if line else name))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    @property
    def has_picture(self) -> bool:
        """Whether the picture has come."""
        return not self._picture.isNull()

    def set_picture(self, picture: QPixmap) -> None:
        """Show this picture."""
        self._picture = picture
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Room for the picture, the name and two lines, or a name of two lines."""
        lines = 2 * self._small().height() if self._line else self.fontMetrics().height()
        height = self.picture_size.height() + self.fontMetrics().height() + lines
        width = max(self.picture_size.width(), self.fontMetrics().averageCharWidth() * 20)
        return QSize(width + 2 * PAD, height + 3 * PAD)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """The card with a border that tells where the pointer and the keyboard are."""
        palette = self.palette()
        role = QPalette.ColorRole
        marked = self.hasFocus() or self.underMouse()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(
            palette.color(role.Highlight if marked else role.Midlight), 2.0 if self.hasFocus() else 1.0
        )
        painter.setPen(pen)
        painter.setBrush(palette.color(role.Base if not self.isDown() else role.Button))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), CORNER, CORNER)
        if not self._picture.isNull():
            width = self._picture.deviceIndependentSize().width()
            painter.drawPixmap(round((self.width() - width) / 2), PAD, self._picture)
        self._paint_words(painter, palette.color(role.Text), palette.color(role.PlaceholderText))
        painter.end()

    def _paint_words(self, painter: QPainter, strong: QColor, weak: QColor) -> None:
        top = self.picture_size.height() + 2 * PAD
        width = self.width() - 2 * PAD
        bold = QFont(self.font())
        bold.setBold(True)
        painter.setFont(bold)
        painter.setPen(strong)
        if not self._line:
            room = QRectF(PAD, top, width, 2 * self.fontMetrics().height())
            painter.drawText(room, Qt.TextFlag.TextWordWrap, self.text())
            return
        name = QFontMetrics(bold).elidedText(self.text(), Qt.TextElideMode.ElideMiddle, width)
        painter.drawText(QRectF(PAD, top, width, self.fontMetrics().height()), name)
        painter.setFont(self._small_font())
        painter.setPen(weak)
        below = QRectF(PAD, top + self.fontMetrics().height(), width, 2 * self._small().height())
        painter.drawText(below, Qt.TextFlag.TextWordWrap, self._line)

    def _small_font(self) -> QFont:
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 0.9)
        return font

    def _small(self) -> QFontMetrics:
        return QFontMetrics(self._small_font())


class CardGrid(QWidget):
    """Cards in rows, as many in a row as fit."""

    def __init__(self) -> None:
        super().__init__()
        self.cards: tuple[Card, ...] = ()
        self._columns = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(GAP)
        # Its own least size would keep the page as wide as the cards once were.
        self._grid.setSizeConstraint(QGridLayout.SizeConstraint.SetNoConstraint)
        self._grid.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)

    def set_cards(self, cards: tuple[Card, ...]) -> None:
        """Show these cards."""
        for card in self.cards:
            self._grid.removeWidget(card)
            card.deleteLater()
        self.cards = cards
        self._columns = 0
        self._arrange()

    def _arrange(self) -> None:
        if not self.cards:
            return
        sizes = [card.sizeHint() for card in self.cards]
        widest, highest = max(size.width() for size in sizes), max(size.height() for size in sizes)
        columns = max(1, (self.width() + GAP) // (widest + GAP))
        rows = -(-len(self.cards) // columns)
        self.setMinimumSize(widest, rows * (highest + GAP) - GAP)
        if columns != self._columns:
            self._columns = columns
            for place, card in enumerate(self.cards):
                self._grid.addWidget(card, place // columns, place % columns)
                card.show()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """More room takes more cards in a row."""
        super().resizeEvent(event)
        self._arrange()

    def event(self, event: QEvent) -> bool:
        """Larger type makes larger cards."""
        done = super().event(event)
        if event.type() == QEvent.Type.ApplicationFontChange:
            self._arrange()
        return done


class Heading(QLabel):
    """A bold line, larger than the text by a factor, that follows the size of the program's type."""

    def __init__(self, words: str, scale: float = 1.15) -> None:
        super().__init__(words)
        self._scale = scale
        self._follow()

    def _follow(self) -> None:
        font = QFont(QApplication.font())
        font.setPointSizeF(font.pointSizeF() * self._scale)
        font.setBold(True)
        if font != self.font():
            self.setFont(font)

    def event(self, event: QEvent) -> bool:
        """Another size of type was chosen."""
        done = super().event(event)
        if event.type() == QEvent.Type.ApplicationFontChange:
            self._follow()
        return done
