"""The numbers of the panels as dimensions on the drawing: each can be pressed, the one in hand stands out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from app.canvas.clear import clearest, inside
from app.canvas.look import Look, line
from app.canvas.view import View
from app.canvas.words import tr
from app.widgets.number_field import number_text
from geometry.layout.head_dimensions import HeadDimension
from geometry.trade.quantities import show_typed, typed_number
from geometry.trade.units import Units

_TICK, _OFF, _CLEAR, _PAD = 5.0, 6.0, 12.0, 5.0
"""Pixels: half the strokes across the ends, from the line to its words, from a node to them, round the words."""

_STEPS_OUT, _EDGE = (0.0, 14.0, 28.0), 2.0
"""Pixels by which words step back from what they would cover, and that they stay clear of the edge of the room."""

_BREAK = 0.75
"""Where along its line a dimension is broken, away from its words."""

Boxes = tuple[tuple[QRectF, str], ...]
"""Where the words of each dimension stand, in pixels, with its name."""


def paint_measures(
    painter: QPainter,
    shown: Sequence[HeadDimension],
    lit: str,
    view: View,
    look: Look,
    units: Units,
    signs: Sequence[QRectF] = (),
    covered: QRectF | None = None,
) -> Boxes:
    """Paint dimensions, quietly but for the one called `lit`.

    Words step back from what they would cover: from each other and from `signs` (boxes in pixels). One whose words find
    no place beside others, or outside of what is `covered`, is left out, and so is one that lies wholly out of view:
    its words alone would seem to measure something else.
    """
    painter.save()
    lost = [] if covered is None else [covered]
    seen = [each for each in sorted(shown, key=lambda each: each.name != lit) if _in_view(each, view)]
    placed: list[tuple[QRectF, HeadDimension, str]] = []
    for each in seen:
        words = measure_words(each, units)
        others = [*lost, *(box for box, _, _ in placed)]
        lines = [_line_box(other, view) for other in seen if other is not each]
        places = _places(QFontMetricsF(painter.font()), words, each, view)
        box = clearest(places, [*signs, *others, *lines])
        if not any(box.intersects(other) for other in others):
            placed.append((box, each, words))
    for _, each, _ in placed:
        _paint_lines(painter, each, view, look, stands_out=each.name == lit)
    for box, each, words in placed:
        _paint_words(painter, words, box, look, stands_out=each.name == lit)
    painter.restore()
    return tuple((box, each.name) for box, each, _ in placed)


def measure_words(each: HeadDimension, units: Units) -> str:
    """The number of a dimension with its unit, as its field shows it; a row's whose post has moved away says so."""
    number = _number(each, units)
    return tr("{0} by its row").format(number) if each.by_row else number


def _number(each: HeadDimension, units: Units) -> str:
    match each.kind:
        case "length" | "gauge":
            return number_text(each.length, each.kind, units)
        case "angle":
            return show_typed(round(each.length, 2), "deg", units)
        case "count":
            return typed_number(round(each.length, 2))
        case unknown:
            assert_never(unknown)


def _in_view(each: HeadDimension, view: View) -> bool:
    one, two = (view.to_screen(end) for end in each.ends)
    reach = QRectF(one, two).normalized().adjusted(-1, -1, 1, 1)
    return reach.intersects(QRectF(view.ruler, view.ruler, view.width - view.ruler, view.height - view.ruler))


def _line_box(each: HeadDimension, view: View) -> QRectF:
    """Where the line of a dimension runs with the strokes across its ends, if it runs straight up or across.

    What stands there cuts it in two, or hides where it ends.
    """
    box = QRectF(*(view.to_screen(end) for end in each.ends)).normalized()
    straight = each.about is None and min(box.width(), box.height()) <= 2 * _TICK
    return box.adjusted(-_TICK, -_TICK, _TICK, _TICK) if straight else QRectF()


def _paint_lines(painter: QPainter, each: HeadDimension, view: View, look: Look, *, stands_out: bool) -> None:
    pen = _pen(look, 1.0, stands_out=stands_out)
    if each.about is None:
        _paint_line(painter, each, view, look, pen)
    else:
        _paint_angle(painter, each, view, look, pen)


def _paint_words(painter: QPainter, words: str, box: QRectF, look: Look, *, stands_out: bool) -> None:
    painter.setPen(_pen(look, 0.5, stands_out=stands_out))
    painter.setBrush(QColor(look.paper))
    painter.drawRoundedRect(box, 4.0, 4.0)
    painter.setPen(QColor(look.accent if stands_out else look.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


def _pen(look: Look, share: float, *, stands_out: bool) -> QPen:
    """The pen of a dimension, a share as wide as its line."""
    colour, width = (look.accent, 2.2) if stands_out else (look.quiet, 1.0)
    return line(colour, width * share)


def _paint_line(painter: QPainter, each: HeadDimension, view: View, look: Look, pen: QPen) -> None:
    places = [view.to_screen(place) for place in (each.one, each.two)]
    reach = QLineF(*(view.to_screen(end) for end in each.ends))
    painter.setPen(line(look.quiet, 1.0))
    painter.drawLines([QLineF(*pair) for pair in zip(places, (reach.p1(), reach.p2()), strict=True)])
    if not reach.length() > 0:
        return
    way = QPointF(reach.dx(), reach.dy()) / reach.length()
    across = QPointF(-way.y(), way.x()) * _TICK
    ends = [QLineF(end - across, end + across) for end in (reach.p1(), reach.p2())]
    painter.setPen(pen)
    painter.drawLines(ends)
    if each.broken:
        # As drawings on paper do: two strokes across, and nothing between them.
        gap, lean = way * _TICK / 2, across - way * _TICK / 2
        cuts = [reach.pointAt(_BREAK) - gap, reach.pointAt(_BREAK) + gap]
        painter.drawLines([QLineF(reach.p1(), cuts[0]), QLineF(cuts[1], reach.p2())])
        painter.drawLines([QLineF(cut - lean, cut + lean) for cut in cuts])
    else:
        painter.drawLine(reach)


def _paint_angle(painter: QPainter, each: HeadDimension, view: View, look: Look, pen: QPen) -> None:
    """Both arms, and the arc between their ends."""
    assert each.about is not None, "an angle has a place that it is about"
    about = view.to_screen(each.about)
    arms = [QLineF(about, view.to_screen(place)) for place in (each.one, each.two)]
    painter.setPen(line(look.quiet, 1.0))
    painter.drawLines(arms)
    radius = arms[0].length()
    sweep = arms[0].angleTo(arms[1])
    arc = QPainterPath()
    circle = QRectF(about.x() - radius, about.y() - radius, 2 * radius, 2 * radius)
    arc.arcMoveTo(circle, arms[0].angle())
    arc.arcTo(circle, arms[0].angle(), sweep if sweep <= 180 else sweep - 360)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(arc)


def _places(metrics: QFontMetricsF, words: str, each: HeadDimension, view: View) -> list[QRectF]:
    """Boxes for the words beside their place, nearest first, kept in the room: outwards, then up and down.

    They are clear of the node where they stand at an end of the line.
    """
    wide, high = metrics.horizontalAdvance(words) + 2 * _PAD, metrics.height() + _PAD
    middle, off = view.to_screen(each.words), _OFF if each.words_at is None else _CLEAR
    across = -each.away.x if view.mirrored else each.away.x
    middle += QPointF(across * (wide / 2 + off), -each.away.y * (high / 2 + off))
    outwards = [QPointF(across, -each.away.y) * step for step in _STEPS_OUT]
    aside = QPointF(each.away.y, abs(each.away.x))
    sideways = [aside * (high + 2) * turn for turn in (-1, 1)]
    steps = [out + turn for turn in (QPointF(0.0, 0.0), *sideways) for out in outwards]
    whole = QRectF(-wide / 2, -high / 2, wide, high)
    return [inside(whole.translated(middle + step), view, _EDGE) for step in steps]
