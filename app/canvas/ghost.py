"""A proposal over today's head: where bores and strings would be, with their rings, and a legend.

Today's rings are dotted and thin, those of the proposal dashed and heavy; colour only helps.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.canvas.clear import bores_of, clearest, inside
from app.canvas.look import DASHED, SHORT, Look, line, pen
from app.canvas.paths import path_of
from app.canvas.rings import SMALLEST, paint_stop
from app.canvas.view import View
from app.document.scene import Ghost, Side
from export.drawing import Role
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.contour import through

RING, BORE, STRING, STEP = 2.6, 2.0, 1.2, 1.6
"""Widths in pixels of what a proposal shows."""

_HEAD = 7.0  # pixels of an arrow's head
_MARGIN, _PAD, _GAP, _SAMPLE = (
    6.0,
    8.0,
    10.0,
    34.0,
)  # pixels round the legend, in it, between sample and words


def paint_ghost(painter: QPainter, ghost: Ghost, today: Layout, side: Side, view: View, look: Look) -> None:
    """What the proposal moves, and all of its rings or the signs in their place, in pixels of the canvas."""
    moved = ghost.moved(today)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if side != "back":
        _paint_strings(painter, ghost, frozenset(new.key for _, new in moved), view, look)
    for old, new in moved:
        _paint_bore(painter, new, view, look)
        _paint_step(painter, old, new, view, look)
    _paint_rings(painter, ghost, view, look)
    painter.restore()


def _paint_strings(painter: QPainter, ghost: Ghost, moved: frozenset[str], view: View, look: Look) -> None:
    painter.setPen(line(look.proposed, STRING, SHORT))
    for path in ghost.layout.paths:
        if path.post in moved and path.points:
            painter.drawPath(view.transform.map(path_of(through(path.points))))


def _paint_bore(painter: QPainter, post: PlacedPost, view: View, look: Look) -> None:
    radius = post.bore / 2 * view.scale
    painter.setPen(line(look.proposed, BORE))
    painter.drawEllipse(view.to_screen(post.at), radius, radius)


def _paint_step(painter: QPainter, old: PlacedPost, new: PlacedPost, view: View, look: Look) -> None:
    """An arrow from where the bore is to where it would be; a small cross alone where that is too short."""
    start, end = view.to_screen(old.at), view.to_screen(new.at)
    painter.setPen(line(look.proposed, STEP))
    step = QLineF(start, end)
    if step.length() > _HEAD:
        painter.drawLine(step)
        for turn in (155.0, -155.0):
            barb = QLineF.fromPolar(_HEAD, step.angle() + turn)
            painter.drawLine(QLineF(end, end + barb.p2()))
    else:
        painter.drawLine(QLineF(end - QPointF(3, 0), end + QPointF(3, 0)))
        painter.drawLine(QLineF(end - QPointF(0, 3), end + QPointF(0, 3)))


def _paint_rings(painter: QPainter, ghost: Ghost, view: View, look: Look) -> None:
    painter.setPen(_ring_pen(look))
    for ring in ghost.joint.rings if ghost.joint is not None else ():
        radius = ring.radius * view.scale
        if ring.broken:
            paint_stop(painter, view.to_screen(ring.at), look)
        elif radius >= SMALLEST:
            painter.drawEllipse(view.to_screen(ring.at), radius, radius)


def _ring_pen(look: Look) -> QPen:
    return line(look.proposed, RING, DASHED)


def paint_legend(
    painter: QPainter, ghost: Ghost, view: View, look: Look, taken: Sequence[QRectF] = ()
) -> QRectF:
    """Which rings are whose, in a corner of the room where it covers nothing of what is `taken` (boxes in pixels).

    Gives back its box.
    """
    translate = QCoreApplication.translate
    entries = (
        (pen(look.stroke(Role.MARGIN_RING)), translate("Ghost", "today"), look.ink),
        (_ring_pen(look), ghost.words, look.proposed),
    )
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    metrics = QFontMetricsF(painter.font())
    wides = [_SAMPLE + _GAP + metrics.horizontalAdvance(words) for _, words, _ in entries]
    places = _legend_places(wides, metrics.height() + 2.0, view)
    box = clearest(places, [*taken, *bores_of(ghost.layout, view)])
    painter.setPen(line(look.quiet, 1.0))
    painter.setBrush(QColor(look.paper))
    painter.drawRoundedRect(box, 5, 5)
    beside = box.width() > max(wides) + 2 * _PAD
    left, top = box.left() + _PAD, box.top() + _PAD
    for wide, (stroke, words, colour) in zip(wides, entries, strict=True):
        row = QRectF(left, top, wide, metrics.height() + 2.0)
        painter.setPen(stroke)
        painter.drawLine(QLineF(row.left(), row.center().y(), row.left() + _SAMPLE, row.center().y()))
        painter.setPen(QColor(colour))
        aligned = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(row.adjusted(_SAMPLE + _GAP, 0, 0, 0), aligned, words)
        left, top = (left + wide + _GAP, top) if beside else (left, row.bottom())
    painter.restore()
    return box


def _legend_places(wides: Sequence[float], row: float, view: View) -> list[QRectF]:
    """Boxes for the legend: in the lower left corner, in the others, and along the foot or the head of the room."""
    high = QRectF(0.0, 0.0, 2 * _PAD + max(wides), 2 * _PAD + len(wides) * row)
    flat = QRectF(0.0, 0.0, 2 * _PAD + sum(wides) + _GAP * (len(wides) - 1), 2 * _PAD + row)
    corners = ((0.0, view.height), (view.width, view.height), (0.0, 0.0), (view.width, 0.0))
    return [inside(box.translated(*corner), view, _MARGIN) for box in (high, flat) for corner in corners]
