"""The numbers of the panels as dimensions on the drawing: each can be pressed, the one in hand stands out."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter

from app.canvas.clear import clearest, inside
from app.canvas.look import Look, line
from app.canvas.view import View
from geometry.layout.head_dimensions import HeadDimension
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

_TICK, _OFF, _CLEAR, _PAD = 5.0, 6.0, 12.0, 5.0
"""Pixels: half the strokes across the ends, from the line to its words, from a node to them, round the words."""

_STEPS_OUT, _EDGE = (0.0, 14.0, 28.0), 2.0
"""Pixels by which words step back from what they would cover, and that they stay clear of the edge of the room."""

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
) -> Boxes:
    """Paint dimensions, quietly but for the one called `lit`.

    Words step back from what they would cover: from each other and from `signs` (boxes in pixels). One whose words find
    no place beside others is left out, and so is one that lies wholly out of view: its words alone would seem to
    measure something else.
    """
    painter.save()
    boxes: list[tuple[QRectF, str]] = []
    for each in sorted(shown, key=lambda each: each.name != lit):
        words = show_length(round(each.length, 2), units)
        others = [box for box, _ in boxes]
        places = _places(QFontMetricsF(painter.font()), words, each, view)
        box = clearest(places, [*signs, *others])
        if not _in_view(each, view) or any(box.intersects(other) for other in others):
            continue
        boxes.append((box, each.name))
        _paint(painter, each, words, box, view, look, stands_out=each.name == lit)
    painter.restore()
    return tuple(boxes)


def _in_view(each: HeadDimension, view: View) -> bool:
    one, two = (view.to_screen(end) for end in each.ends)
    reach = QRectF(one, two).normalized().adjusted(-1, -1, 1, 1)
    return reach.intersects(QRectF(view.ruler, view.ruler, view.width - view.ruler, view.height - view.ruler))


def _paint(
    painter: QPainter,
    each: HeadDimension,
    words: str,
    box: QRectF,
    view: View,
    look: Look,
    *,
    stands_out: bool,
) -> None:
    colour, width = (look.accent, 2.2) if stands_out else (look.quiet, 1.0)
    places = [view.to_screen(place) for place in (each.one, each.two)]
    reach = QLineF(*(view.to_screen(end) for end in each.ends))
    painter.setPen(line(look.quiet, 1.0))
    painter.drawLines([QLineF(*pair) for pair in zip(places, (reach.p1(), reach.p2()), strict=True)])
    if reach.length() > 0:
        across = QPointF(-reach.dy(), reach.dx()) / reach.length() * _TICK
        ends = [QLineF(end - across, end + across) for end in (reach.p1(), reach.p2())]
        painter.setPen(line(colour, width))
        painter.drawLines([reach, *ends])
    painter.setPen(line(colour, width / 2))
    painter.setBrush(QColor(look.paper))
    painter.drawRoundedRect(box, 4.0, 4.0)
    painter.setPen(QColor(look.accent if stands_out else look.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)


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
