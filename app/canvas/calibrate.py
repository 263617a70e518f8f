"""Measuring a screen: a bank card or a steel rule is laid on it, and a drawing stretched until both agree."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QPushButton,
    QRadioButton,
    QSizePolicy,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from app.canvas.look import LIGHT, Look, line
from app.canvas.surface import LIKELY_PER_MM
from app.widgets.kit import PlainLabel
from app.widgets.sizes import fit_content, room, roomy

CARD_WIDTH, CARD_HEIGHT, CARD_CORNER = 85.60, 53.98, 3.18
"""Size in mm of a bank card, ISO/IEC 7810:2019 ID-1; its corners are round by 2.88 to 3.48 mm."""

RULE_LENGTH = 100
"""What is compared with a steel rule, in mm."""

LEAST, MOST = 1.5, 20.0
"""Pixels per mm between which screens lie: 40 and 500 to the inch."""

Measure = Literal["card", "rule"]

_FINENESS = 1000  # steps of the slider for one pixel per mm
_AIR = 16.0
_GRIP = 12.0  # pixels on both sides of the right end that can be taken hold of


class Gauge(QWidget):
    """A card or a rule drawn at so many pixels per mm; its right end can be dragged.

    Signals:
        stretched: the pixels per mm that a drag or an arrow key asks for.
    """

    stretched = Signal(float)

    def __init__(self, per_mm: float, look: Look = LIGHT, parent: QWidget | None = None) -> None:
        """Draw a card at a first guess."""
        super().__init__(parent)
        self.measure: Measure = "card"
        self.per_mm = per_mm
        self._look = look
        self._held: float | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(self.tr("Drawing to compare with"))
        self.setToolTip(self.tr("Drag the right end, or press the left and right arrow keys"))

    @property
    def length(self) -> float:
        """How long the drawn thing is, in mm."""
        return CARD_WIDTH if self.measure == "card" else float(RULE_LENGTH)

    @property
    def end(self) -> float:
        """Where its right end is, in pixels."""
        return _AIR + self.length * self.per_mm

    def show_at(self, per_mm: float, measure: Measure | None = None) -> None:
        """Draw it at another size, or draw the other thing."""
        self.per_mm = per_mm
        self.measure = measure or self.measure
        self.updateGeometry()
        self.update()

    def _ask(self, per_mm: float) -> None:
        self.stretched.emit(min(MOST, max(LEAST, per_mm)))

    def _paint_card(self, painter: QPainter) -> None:
        card = QRectF(_AIR, _AIR, CARD_WIDTH * self.per_mm, CARD_HEIGHT * self.per_mm)
        radius = CARD_CORNER * self.per_mm
        painter.setPen(line(self._look.accent, 1.6))
        painter.setBrush(QColor(self._look.wood))
        painter.drawRoundedRect(card, radius, radius)
        painter.setPen(QColor(self._look.quiet))
        painter.drawText(card, Qt.AlignmentFlag.AlignCenter, self.tr("Lay the card here"))

    def _paint_rule(self, painter: QPainter) -> None:
        metrics = QFontMetricsF(painter.font())
        tall = 9 * self.per_mm + metrics.height()
        painter.setPen(line(self._look.accent, 1.6))
        painter.setBrush(QColor(self._look.wood))
        painter.drawRect(QRectF(_AIR, _AIR, RULE_LENGTH * self.per_mm, tall))
        painter.setPen(line(self._look.ink, 1.0))
        for millimetre in range(RULE_LENGTH + 1):
            x = _AIR + millimetre * self.per_mm
            reach = (8.0 if millimetre % 10 == 0 else 6.0 if millimetre % 5 == 0 else 4.0) * self.per_mm * 0.8
            painter.drawLine(QLineF(x, _AIR, x, _AIR + reach))
            if millimetre % 10 == 0 and 0 < millimetre < RULE_LENGTH:
                words = str(millimetre)
                foot = QPointF(x - metrics.horizontalAdvance(words) / 2, _AIR + tall - metrics.descent() - 2)
                painter.drawText(foot, words)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Room for a card, and for the rule when it is longer."""
        width = max(CARD_WIDTH, float(RULE_LENGTH)) * self.per_mm
        return QSize(round(width + 2 * _AIR), round(CARD_HEIGHT * self.per_mm + 2 * _AIR))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """The same: a cut-off card cannot be compared."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint the card or the rule, and the grip at its end."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self._look.desk))
        if self.measure == "card":
            self._paint_card(painter)
        else:
            self._paint_rule(painter)
        middle = self.height() / 2 if self.measure == "card" else _AIR + 4 * self.per_mm
        painter.setPen(line(self._look.paper, 1.4))
        painter.setBrush(QColor(self._look.accent))
        painter.drawRoundedRect(QRectF(self.end - 4, middle - 14, 8, 28), 4, 4)
        if self.hasFocus():
            painter.setPen(line(self._look.accent, 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of the right end."""
        if abs(event.position().x() - self.end) <= _GRIP:
            self._held = event.position().x() - self.end

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Stretch the drawing, or show that it can be."""
        x = event.position().x()
        if self._held is not None:
            self._ask((x - self._held - _AIR) / self.length)
        near = self._held is not None or abs(x - self.end) <= _GRIP
        self.setCursor(Qt.CursorShape.SizeHorCursor if near else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Let go of the end."""
        self._held = None

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Make the drawing a quarter of a pixel longer or shorter, with Shift four."""
        step = {Qt.Key.Key_Right: 0.25, Qt.Key.Key_Left: -0.25}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        wide = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        self._ask(self.per_mm + step * (16 if wide else 1) / self.length)


_LOW = 480  # pixels of a screen on which the drawing is scrolled, so that the buttons stay in sight


class Calibration(QDialog):
    """Asks for the pixels per millimetre of a screen."""

    def __init__(self, per_mm: float, look: Look = LIGHT, parent: QWidget | None = None) -> None:
        """Begin with what is known or likely."""
        super().__init__(parent)
        self.setWindowTitle(self.tr("Measure the screen"))
        self.gauge = Gauge(per_mm, look, self)
        self.card = QRadioButton(self.tr("Bank &card"))
        self.rule = QRadioButton(self.tr("Steel &rule, 100 mm"))
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.guess = QPushButton(self.tr("Back to the &guess"))
        self.buttons = QDialogButtonBox()
        self._arrange()
        self._connect()
        self.set_per_mm(per_mm)

    @property
    def per_mm(self) -> float:
        """The pixels per millimetre as they are set."""
        return self.gauge.per_mm

    def set_per_mm(self, per_mm: float) -> None:
        """Draw at so many pixels per millimetre."""
        held = min(MOST, max(LEAST, per_mm))
        self.gauge.show_at(held)
        blocked = self.slider.blockSignals(True)
        self.slider.setValue(round(held * _FINENESS))
        self.slider.blockSignals(blocked)

    def _arrange(self) -> None:
        words = PlainLabel(
            self.tr(
                "Lay a bank card or a steel rule flat on the screen. Pull the right end until the drawing is as long."
            )
        )
        words.setWordWrap(True)
        choice = QHBoxLayout()
        for button in (self.card, self.rule):
            choice.addWidget(button)
        choice.addStretch(1)
        choice.addWidget(self.guess)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 20, 20, 16)
        layout.setSpacing(14)
        self._small = room(self).height() < _LOW
        upper = layout
        if self._small:
            content = QWidget()
            upper = QVBoxLayout(content)
            upper.setContentsMargins(0, 0, 0, 0)
            layout.addWidget(roomy(content), 1)
        upper.addWidget(words)
        upper.addLayout(choice)
        upper.addWidget(self.gauge, 1)
        layout.addWidget(self.slider)
        layout.addWidget(self.buttons)

    def _connect(self) -> None:
        self._group = QButtonGroup(self)
        for button in (self.card, self.rule):
            self._group.addButton(button)
        self.card.setChecked(True)
        self.card.setToolTip(self.tr("85.60 × 53.98 mm, as every bank card is"))
        self.rule.setToolTip(self.tr("Compare with the first 100 mm of a rule"))
        self._group.buttonClicked.connect(self._choose)
        self.slider.setRange(round(LEAST * _FINENESS), round(MOST * _FINENESS))
        self.slider.setAccessibleName(self.tr("Size of the drawing"))
        self.slider.setToolTip(self.tr("Pixels in a millimetre of this screen"))
        self.slider.valueChanged.connect(lambda value: self.set_per_mm(value / _FINENESS))
        self.gauge.stretched.connect(self.set_per_mm)
        self.guess.setToolTip(self.tr("The size that screens usually have"))
        self.guess.clicked.connect(lambda: self.set_per_mm(LIKELY_PER_MM))
        self.buttons.addButton(self.tr("&Keep this size"), QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.addButton(self.tr("Cancel"), QDialogButtonBox.ButtonRole.RejectRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Take the size of the drawing, once the type is known."""
        if self._small:
            fit_content(self)
        super().showEvent(event)

    def _choose(self) -> None:
        self.gauge.show_at(self.gauge.per_mm, "card" if self.card.isChecked() else "rule")
