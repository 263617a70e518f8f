"""Findings on the drawing: the place that is measured, with the measure, and small signs where something stops."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from app.canvas.clear import clearest, inside, square
from app.canvas.levels import level_word, paint_level
from app.canvas.look import Look, line
from app.canvas.view import View
from geometry.checks.judge import Finding, Level
from geometry.checks.words import measured_to
from geometry.trade.quantities import show_quantity
from geometry.trade.units import Units

SIGN = 14.0
"""Size in pixels of a level's sign."""

_TICK = 6.0  # half the length of the strokes across the ends
_PAST = 8.0  # pixels past its ends that are kept free of the words of a line
_OFF = 10.0  # from the line to its words
_PLACE = 1.5  # ends that are closer than this many pixels are shown as one place
_RING = 9.0
_MOST_SIGNS = 60
_FURTHER, _STEPS = 12.0, 7
"""Words that would cover something step back by so many pixels, so often at most."""

_ASIDE = SIGN / 2  # pixels by which a sign steps aside at a time
_EDGE = 4.0  # pixels that words stay clear of the edge of the room


def measured_words(finding: Finding, units: Units) -> str:
    """What is measured, and up to what where that is not the drawn edge; the level's word for no length or angle."""
    if finding.measured is None or not finding.unit:
        return level_word(finding.level)
    measured, end = show_quantity(finding.measured, finding.unit, units), measured_to(finding)
    return f"{measured} {end}" if end else measured


def paint_stops(
    painter: QPainter,
    findings: Iterable[Finding],
    view: View,
    look: Look,
    shown: Finding | None,
    taken: Sequence[QRectF] = (),
) -> tuple[QRectF, ...]:
    """A thin line and a sign at every place where the head cannot be drilled; one sign for places close by.

    A sign steps aside from what is `taken` (boxes in pixels), such as the number of the hole that it is about. Gives
    back where the signs stand, in pixels.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    signs: list[QPointF] = []
    boxes: list[QRectF] = []
    for finding in findings:
        if finding.level is not Level.STOP or len(signs) >= _MOST_SIGNS:
            break
        if finding.where is None or finding is shown:
            continue
        one, two = (view.to_screen(point) for point in finding.where)
        middle = (one + two) / 2
        if any((middle - other).manhattanLength() < SIGN for other in signs):
            continue
        signs.append(middle)
        boxes.append(clearest(_sign_places(middle, QLineF(one, two)), [*taken, *boxes]))
        # Also from the place to a sign that stands beside it.
        _cased(painter, [QLineF(one, two), QLineF(middle, boxes[-1].center())], look.paper, look.stop, 1.6)
        paint_level(painter, boxes[-1], Level.STOP, look)
    painter.restore()
    return tuple(boxes)


def _sign_places(middle: QPointF, reach: QLineF) -> list[QRectF]:
    """Boxes for a sign: in the middle of its line, then further and further along it and to both sides."""
    way = _way(reach)
    ways = (way, -way, QPointF(-way.y(), way.x()), QPointF(way.y(), -way.x()))
    steps = [each * (_ASIDE * step) for step in range(1, _STEPS) for each in ways]
    return [square(middle + step, SIGN) for step in (QPointF(0.0, 0.0), *steps)]


def _way(reach: QLineF) -> QPointF:
    """The unit direction of a line; across where it is only a place."""
    length = reach.length()
    return QPointF(reach.dx(), reach.dy()) / length if length >= _PLACE else QPointF(1.0, 0.0)


def paint_dimension(
    painter: QPainter,
    finding: Finding,
    view: View,
    look: Look,
    units: Units,
    taken: Sequence[QRectF] = (),
) -> QRectF | None:
    """The dimension line of one finding, cased so that it reads over any line, and its words.

    They stand beside it, or further off with a line that leads to them, where they cover neither the line nor anything
    of what is `taken` (boxes in pixels). Gives back their box, None where the finding has no place.
    """
    if finding.where is None:
        return None
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    one, two = (view.to_screen(point) for point in finding.where)
    colour = look.level(finding.level)
    reach = QLineF(one, two)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if reach.length() < _PLACE:
        for shade, width in ((look.paper, 5.0), (colour, 2.2)):
            painter.setPen(line(shade, width))
            painter.drawEllipse(one, _RING, _RING)
        way, clear = QPointF(0.0, -1.0), _RING + _OFF
    else:
        across = QPointF(-reach.dy(), reach.dx()) / reach.length()
        ends = [QLineF(end - across * _TICK, end + across * _TICK) for end in (one, two)]
        _cased(painter, [reach, *ends], look.paper, colour, 2.2)
        way, clear = _upwards(across), _OFF
    words = measured_words(finding, units)
    middle = (one + two) / 2
    places = _places(QFontMetricsF(painter.font()), words, middle, way, clear, view)
    tag = clearest(places, [*_along(reach), *taken])
    if tag != places[0]:
        _cased(painter, [QLineF(middle, tag.center())], look.paper, colour, 1.2)
    _paint_words(painter, words, tag, finding.level, look)
    painter.restore()
    return tag


def _along(reach: QLineF) -> list[QRectF]:
    """Squares all along a line of measure and past its ends, as wide as the strokes there.

    Words that leave them free let the line be seen, and the edge that is a little beyond where it is rounded.
    """
    if reach.length() < _PLACE:
        return [square(reach.p1(), 2 * _RING)]
    past = _way(reach) * _PAST
    whole = QLineF(reach.p1() - past, reach.p2() + past)
    count = math.ceil(whole.length() / (2 * _TICK))
    return [square(whole.pointAt(place / count), 2 * _TICK) for place in range(count + 1)]


def _upwards(across: QPointF) -> QPointF:
    """The side of the line on which the words stand: above it, or at its right when it is upright."""
    return -across if across.y() > 0.1 or (abs(across.y()) <= 0.1 and across.x() < 0) else across


def _cased(painter: QPainter, lines: list[QLineF], casing: str, colour: str, width: float) -> None:
    for shade, wide in ((casing, width + 2.8), (colour, width)):
        painter.setPen(line(shade, wide))
        painter.drawLines(lines)


def _places(
    metrics: QFontMetricsF, words: str, at: QPointF, way: QPointF, clear: float, view: View
) -> list[QRectF]:
    """Boxes for the words round a place, nearest first: on the `way` from it, the other way, and to both sides."""
    ways = (way, -way, QPointF(-way.y(), way.x()), QPointF(way.y(), -way.x()))
    offs = [clear + _FURTHER * step for step in range(_STEPS)]
    return [inside(_tag(metrics, words, at, each, off), view, _EDGE) for off in offs for each in ways]


def _tag(metrics: QFontMetricsF, words: str, at: QPointF, way: QPointF, clear: float) -> QRectF:
    """The box for the words, `clear` pixels from a place on the way to one side of it."""
    width = metrics.horizontalAdvance(words) + SIGN + 20
    height = max(metrics.height(), SIGN) + 8
    middle = at + way * (clear + abs(way.x()) * width / 2 + abs(way.y()) * height / 2)
    return QRectF(middle.x() - width / 2, middle.y() - height / 2, width, height)


def _paint_words(painter: QPainter, words: str, tag: QRectF, level: Level, look: Look) -> None:
    """A small tag with the level's sign and the words."""
    painter.setPen(line(look.level(level), 1.2))
    painter.setBrush(QColor(look.paper))
    painter.drawRoundedRect(tag, 5, 5)
    paint_level(painter, square(QPointF(tag.x() + 6 + SIGN / 2, tag.center().y()), SIGN), level, look)
    painter.setPen(QColor(look.ink))
    room = tag.adjusted(SIGN + 12, 0, 0, 0)
    painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
