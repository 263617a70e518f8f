"""How a row of the list of findings is painted."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPalette
from PySide6.QtWidgets import QAbstractScrollArea, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from app.canvas.levels import level_word, paint_level
from app.canvas.look import look_in
from app.panels.finding_rows import (
    Bar,
    CuresRow,
    FoldRow,
    LimitsRow,
    bar_of,
    measured_words,
    rules_of,
    translated,
)
from app.panels.findings_model import AnyIndex, FindingsModel
from geometry.checks.judge import Finding

SIDE = 12
ABOVE = 9
SIGN_GAP = 8
BAR = 5
"""Pixels: space left and right of a row, above and below its text, between sign and text; height of a bar."""


class FindingDelegate(QStyledItemDelegate):
    """Paints a finding: sign, word and check; measured and asked for; its sentence; its margin as a bar."""

    def __init__(self, model: FindingsModel, parent: QWidget) -> None:
        """Paint the rows of a model."""
        super().__init__(parent)
        self._model = model
        self.heights: Mapping[type, int] = {}
        """How high rows that hold fields or buttons are, in pixels, by their kind."""
        self._text_heights: dict[tuple[str, int, int], int] = {}

    def limits_link(self, row: QRect, fonts: QFontMetrics, finding: Finding) -> QRect:
        """Where the words are that open the limits of a finding; empty for what has none."""
        if not rules_of(finding.check):
            return QRect()
        width = fonts.horizontalAdvance(self._link_words(finding)) + 4
        height = fonts.height() + 4
        return QRect(row.right() - SIDE - width, row.bottom() - ABOVE - height + 4, width, height)

    def act_link(self, row: QRect, fonts: QFontMetrics, finding: Finding) -> QRect:
        """Where the words are that do something about a finding; empty for one that has none."""
        words = self._model.act_words(finding)
        if not words:
            return QRect()
        height = fonts.height() + 4
        left = row.left() + SIDE + fonts.height() + SIGN_GAP
        return QRect(left, row.bottom() - ABOVE - height + 4, fonts.horizontalAdvance(words) + 4, height)

    def _link_words(self, finding: Finding) -> str:
        return self.tr("limit changed") if self._model.changed_limit(finding) else self.tr("limits")

    def _text_height(self, text: str, fonts: QFontMetrics, width: int) -> int:
        key = (text, width, fonts.height())
        if key not in self._text_heights:
            if len(self._text_heights) > 4000:
                self._text_heights.clear()
            room = QRect(0, 0, width, 10_000)
            self._text_heights[key] = fonts.boundingRect(room, Qt.TextFlag.TextWordWrap, text).height()
        return self._text_heights[key]

    def sizeHint(self, option: QStyleOptionViewItem, index: AnyIndex) -> QSize:  # noqa: N802 - Qt's name
        """A row is as high as its sentence needs."""
        row, fonts = self._model.rows[index.row()], option.fontMetrics
        # The option has the width of the whole list; where there is a scroll bar, rows have less.
        shown = self.parent()
        width = shown.viewport().width() if isinstance(shown, QAbstractScrollArea) else option.rect.width()
        if isinstance(row, LimitsRow | CuresRow):
            return QSize(0, self.heights.get(type(row), 0))
        if isinstance(row, FoldRow):
            return QSize(0, fonts.height() + 2 * ABOVE)
        text = self._model.words(row.finding)
        inner = width - 2 * SIDE - fonts.height() - SIGN_GAP
        height = fonts.height() + 3 + self._text_height(text, fonts, inner)
        if self._has_foot(row.finding):
            height += 3 + fonts.height()
        return QSize(0, height + 2 * ABOVE)

    def _has_foot(self, finding: Finding) -> bool:
        """Whether a bar, limits or an act stand below the sentence."""
        return bar_of(finding) is not None or bool(rules_of(finding.check) or self._model.act_words(finding))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: AnyIndex) -> None:
        """Paint one row."""
        row = self._model.rows[index.row()]
        if isinstance(row, LimitsRow | CuresRow):
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _paint_ground(painter, option)
        if isinstance(row, FoldRow):
            self._paint_fold(painter, option, row)
        else:
            self._paint_finding(painter, option, row.finding)
        painter.restore()

    def _paint_fold(self, painter: QPainter, option: QStyleOptionViewItem, row: FoldRow) -> None:
        fonts = option.fontMetrics
        painter.setPen(option.palette.color(QPalette.ColorRole.PlaceholderText))
        size = fonts.height() * 0.28
        middle = QPointF(option.rect.left() + SIDE + fonts.height() / 2, option.rect.center().y() + 0.5)
        if row.opened:
            corners = [QPointF(-size, -size / 2), QPointF(0, size / 2), QPointF(size, -size / 2)]
        else:
            corners = [QPointF(-size / 2, -size), QPointF(size / 2, 0), QPointF(-size / 2, size)]
        painter.drawPolyline([middle + corner for corner in corners])
        words = option.rect.adjusted(SIDE + fonts.height() + SIGN_GAP, 0, -SIDE, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self._model.fold_words(row))

    def _paint_finding(self, painter: QPainter, option: QStyleOptionViewItem, finding: Finding) -> None:
        fonts, look = option.fontMetrics, look_in(option.palette)
        roles, colour = QPalette.ColorRole, option.palette.color
        ink, quiet, of_links = (colour(role) for role in (roles.Text, roles.PlaceholderText, roles.Link))
        area = option.rect.adjusted(SIDE, ABOVE, -SIDE, -ABOVE)
        height = fonts.height()
        paint_level(painter, QRectF(area.left(), area.top(), height, height), finding.level, look)
        text = area.adjusted(height + SIGN_GAP, 0, 0, 0)
        self._paint_title(painter, option, finding, QRect(text.topLeft(), QSize(text.width(), height)))
        painter.setPen(ink)
        wrapped = QRect(text.left(), text.top() + height + 3, text.width(), text.height())
        painter.drawText(wrapped, Qt.TextFlag.TextWordWrap, self._model.words(finding))
        link = self.limits_link(option.rect, fonts, finding)
        if not link.isEmpty():
            changed = self._model.changed_limit(finding)
            painter.setPen(of_links if changed else quiet)
            painter.drawText(link, Qt.AlignmentFlag.AlignCenter, self._link_words(finding))
        act = self.act_link(option.rect, fonts, finding)
        if not act.isEmpty():
            painter.setPen(of_links)
            painter.drawText(act, Qt.AlignmentFlag.AlignVCenter, self._model.act_words(finding))
        bar = bar_of(finding)
        if bar is not None:
            left = text.left() if act.isEmpty() else act.right() + 14
            right = (link.left() - 14) if not link.isEmpty() else text.right()
            middle = area.bottom() - height / 2 + 1
            room = QRectF(left, middle - BAR / 2, right - left, BAR)
            paint_bar(painter, room, bar, QColor(look.level(finding.level)), option.palette)

    def _paint_title(
        self, painter: QPainter, option: QStyleOptionViewItem, finding: Finding, room: QRect
    ) -> None:
        strong = QFont(option.font)
        strong.setWeight(QFont.Weight.DemiBold)
        bold = QFontMetrics(strong)
        title = f"{level_word(finding.level)} · {translated(finding.check)}"
        left = room.width() - bold.horizontalAdvance(title) - 10
        numbers = measured_words(finding, self._model.units, left, option.fontMetrics.horizontalAdvance)
        painter.setFont(option.font)
        painter.setPen(option.palette.color(QPalette.ColorRole.PlaceholderText))
        painter.drawText(room, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, numbers)
        painter.setFont(strong)
        painter.setPen(QColor(look_in(option.palette).level(finding.level)))
        title = bold.elidedText(title, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, title)
        painter.setFont(option.font)


def _paint_ground(painter: QPainter, option: QStyleOptionViewItem) -> None:
    """A weak wash under the row that is chosen or pointed at, a bar at its left, and a line that parts rows."""
    accent = QColor(look_in(option.palette).accent)
    chosen = bool(option.state & QStyle.StateFlag.State_Selected)
    if chosen or option.state & QStyle.StateFlag.State_MouseOver:
        wash = QColor(accent)
        wash.setAlpha(34 if chosen else 18)
        painter.fillRect(option.rect, wash)
    if chosen:
        edge = QRect(option.rect.left(), option.rect.top(), 3, option.rect.height())
        painter.fillRect(edge, accent)
    foot = QRect(option.rect.left() + SIDE, option.rect.bottom(), option.rect.width() - 2 * SIDE, 1)
    painter.fillRect(foot, option.palette.color(QPalette.ColorRole.Midlight))


def paint_bar(painter: QPainter, room: QRectF, bar: Bar, colour: QColor, palette: QPalette) -> None:
    """The margin: a track, filled as far as was measured, with a tick at each limit, a longer one at stop."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color(QPalette.ColorRole.Midlight))
    painter.drawRoundedRect(room, BAR / 2, BAR / 2)
    filled = QRectF(room.left(), room.top(), max(BAR, room.width() * bar.filled), room.height())
    painter.setBrush(colour)
    painter.drawRoundedRect(filled, BAR / 2, BAR / 2)
    ink = palette.color(QPalette.ColorRole.Text)
    for share, reach in ((bar.watch, 2.0), (bar.stop, 4.0)):
        if share is not None:
            x = room.left() + room.width() * share
            tick = QRectF(x - 0.75, room.top() - reach, 1.5, room.height() + 2 * reach)
            painter.fillRect(tick, ink)
