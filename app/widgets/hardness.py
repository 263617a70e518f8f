"""How hard a wood is, as a small bar beside its name."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap

from geometry.trade.wood import WOODS, Wood

BAR = QSize(44, 12)
"""Pixels of the bar of the hardest wood."""

_RATIO = 2.0  # dots a pixel, so that it is sharp on most screens


def hardness_bar(wood: Wood, colour: str) -> QIcon:
    """A bar as long as the wood is hard, of those in the table; the frame is the hardest."""
    return _bar(min(1.0, wood.janka / max(each.janka for each in WOODS)), colour)


@lru_cache(maxsize=128)
def _bar(share: float, colour: str) -> QIcon:
    picture = QPixmap(BAR * _RATIO)
    picture.setDevicePixelRatio(_RATIO)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    frame = QRectF(0.5, 2.5, BAR.width() - 1, BAR.height() - 5)
    painter.setPen(QColor(colour))
    painter.drawRect(frame)
    frame.setWidth(frame.width() * share)
    painter.fillRect(frame, QColor(colour))
    painter.end()
    return QIcon(picture)
