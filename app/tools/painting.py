"""What tools paint over the drawing: tags with measures, lines of snapping, bands and crosses."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import msgspec
from PySide6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPolygonF

from app.canvas.clear import clearest, inside
from app.canvas.look import DASHED, Look, line
from app.canvas.view import View
from geometry.layout.snap import Hint
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector

_PAD_X, _PAD_Y = 8.0, 5.0
_ASIDE = QPointF(16.0, 16.0)
_OFF = 10.0  # pixels between a place and words that stand off it
_CROSS = 6.0
_EDGE = 4.0  # pixels that a tag stays clear of the edge of the room


class Tag(msgspec.Struct, frozen=True):
    """Words at a place in head mm, one under the other.

    They stand off the place in the direction `away` on the head; without one, below and right of it on the screen.
    """

    at: Point
    lines: tuple[str, ...]
    away: Vector | None = None


def paint_tags(
    painter: QPainter, tags: Iterable[Tag], view: View, look: Look, covered: Sequence[QRectF] = ()
) -> tuple[QRectF, ...]:
    """Paint tags in the room; one that would cover an earlier one is left out.

    They find a place where they cover as little as can be of what should not be `covered` (boxes in pixels). Gives back
    the boxes of those that are painted.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    taken: list[QRectF] = []
    for tag in tags:
        box = clearest(_places(painter, tag, view), covered)
        if any(box.intersects(other) for other in taken):
            continue
        taken.append(box)
        painter.setPen(line(look.quiet, 1.0))
        painter.setBrush(QColor(look.paper))
        painter.drawRoundedRect(box, 4.0, 4.0)
        painter.setPen(QColor(look.ink))
        inner = box.adjusted(_PAD_X, _PAD_Y, -_PAD_X, -_PAD_Y)
        painter.drawText(inner, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, "\n".join(tag.lines))
    painter.restore()
    return tuple(taken)


def _places(painter: QPainter, tag: Tag, view: View) -> Iterator[QRectF]:
    """Where a tag may go, inside the room: best below and right of its place, or where it is wanted."""
    metrics = QFontMetricsF(painter.font())
    width = max(metrics.horizontalAdvance(words) for words in tag.lines) + 2 * _PAD_X + 1
    height = metrics.lineSpacing() * len(tag.lines) + 2 * _PAD_Y
    for corner in _corners(tag, view, width, height):
        yield inside(QRectF(corner, QSizeF(width, height)), view, _EDGE)


def _corners(tag: Tag, view: View, width: float, height: float) -> Iterator[QPointF]:
    """Upper left corners of boxes for a tag of this size, best first."""
    at = view.to_screen(tag.at)
    if tag.away is not None:
        across = math.copysign(tag.away.x, tag.away.x * view.across)
        off = QPointF(across * (width / 2 + _OFF), -tag.away.y * (height / 2 + _OFF))
        yield at + off - QPointF(width / 2, height / 2)
        return
    for step in (_ASIDE * further for further in (1, 2, 4)):
        for x in (step.x(), -step.x() - width):
            for y in (step.y(), -step.y() - height):
                yield at + QPointF(x, y)
    # On a drawing that is hardly wider than the tag there is room in a corner only.
    for y in (0.0, view.height):
        for x in (view.width, 0.0):
            yield QPointF(x, y)


def paint_hints(painter: QPainter, hints: Iterable[Hint], view: View, look: Look) -> None:
    """Paint why a place snapped: a dashed line from what attracts it, a cross where it snapped to."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for hint in hints:
        start, end = view.to_screen(hint.start), view.to_screen(hint.end)
        if hint.kind == "centre line":
            start = view.to_screen(Point(0.0, 0.0))
        _cased(painter, [QLineF(start, end)], look, dash=DASHED)
        arms = (QPointF(_CROSS, 0.0), QPointF(0.0, _CROSS))
        _cased(painter, [QLineF(end - arm, end + arm) for arm in arms], look)
    painter.restore()


def _cased(painter: QPainter, lines: list[QLineF], look: Look, *, dash: tuple[float, ...] = ()) -> None:
    painter.setPen(line(look.paper, 3.4))
    painter.drawLines(lines)
    painter.setPen(line(look.accent, 1.4, dash))
    painter.drawLines(lines)


def paint_band(painter: QPainter, box: Bounds, view: View, look: Look) -> None:
    """The box that is drawn open to select what lies in it."""
    painter.save()
    painter.setPen(line(look.accent, 1.2, DASHED))
    shade = QColor(look.accent)
    shade.setAlphaF(0.10)
    painter.setBrush(shade)
    painter.drawRect(view.box_to_screen(box))
    painter.restore()


def paint_place(painter: QPainter, at: Point, view: View, look: Look) -> None:
    """A small ring where a press would put something."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(line(look.accent, 1.8))
    painter.setBrush(QColor(look.paper))
    painter.drawEllipse(view.to_screen(at), 4.5, 4.5)
    painter.restore()


def paint_circle(painter: QPainter, centre: Point, radius: float, view: View, look: Look) -> None:
    """A circle that is being drawn."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(line(look.accent, 1.8))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(view.to_screen(centre), radius * view.scale, radius * view.scale)
    painter.restore()


def paint_polygon(painter: QPainter, points: tuple[Point, ...], view: View, look: Look) -> None:
    """A polygon that is being drawn: its sides so far, a dashed one back to its start, its corners."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    places = [view.to_screen(point) for point in points]
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(line(look.accent, 1.8))
    sides = QPainterPath()
    sides.addPolygon(QPolygonF(places))
    painter.drawPath(sides)
    if len(places) > 2:
        painter.setPen(line(look.accent, 1.2, DASHED))
        painter.drawLine(QLineF(places[-1], places[0]))
    painter.restore()
    for point in points:
        paint_place(painter, point, view, look)
