"""What lies behind and around the drawing, kept as pictures for as long as the view stays: grid and rulers."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPixmap, QPolygonF

from app.canvas.look import Look
from app.canvas.steps import Steps, steps_for
from app.canvas.view import View
from geometry.shape.point import Point
from geometry.trade.units import Units

GRID_FINE, GRID_NAMED = 12.0, 60.0
RULER_FINE, RULER_NAMED = 6.0, 58.0
"""Least pixels between lines."""

_LENGTHS = (1.0, 0.45, 0.34, 0.27, 0.22, 0.18)  # of ticks by rank, as shares of the ruler's width


class Scenery(msgspec.Struct, frozen=True):
    """Everything the pictures depend on; `ratio` is pixels of the screen for one of the canvas."""

    view: View
    look: Look
    units: Units
    grid: bool
    ratio: float
    font: QFont


def grid_steps(view: View, units: Units) -> Steps:
    """The spacings of the grid."""
    return steps_for(view.scale, units, GRID_FINE, GRID_NAMED)


def ruler_steps(view: View, units: Units) -> Steps:
    """The spacings of the rulers."""
    return steps_for(view.scale, units, RULER_FINE, RULER_NAMED)


def ruler_width(font: QFont) -> float:
    """How wide a ruler must be for its numbers, in pixels."""
    return float(round(QFontMetricsF(font).height() + 10))


class Backdrop:
    """The pictures of the last view."""

    def __init__(self) -> None:
        """Begin with nothing kept."""
        self._scenery: Scenery | None = None
        self.desk = QPixmap()
        self.wood = QPixmap()
        self.rulers = (QPixmap(), QPixmap())

    def take(self, scenery: Scenery) -> None:
        """Make the pictures for a view if it is another one."""
        if scenery == self._scenery:
            return
        self._scenery = scenery
        look = scenery.look
        self.desk = _ground(scenery, look.desk, look.grid)
        self.wood = _ground(scenery, look.wood, look.wood_grid)
        self.rulers = (_ruler(scenery, across=True), _ruler(scenery, across=False))


def _blank(width: float, height: float, ratio: float, colour: str) -> QPixmap:
    picture = QPixmap(max(1, round(width * ratio)), max(1, round(height * ratio)))
    picture.setDevicePixelRatio(ratio)
    picture.fill(QColor(colour))
    return picture


def _ground(scenery: Scenery, colour: str, grid: tuple[str, str]) -> QPixmap:
    view = scenery.view
    picture = _blank(view.width, view.height, scenery.ratio, colour)
    if scenery.grid:
        painter = QPainter(picture)
        fine, strong = _grid_lines(scenery)
        for lines, shade in ((fine, grid[0]), (strong, grid[1])):
            painter.setPen(QPen(QColor(shade), 1.0))
            painter.drawLines(lines)
        painter.end()
    return picture


def _grid_lines(scenery: Scenery) -> tuple[list[QLineF], list[QLineF]]:
    """Fine and strong lines in pixels, on whole device pixels so that they stay crisp."""
    view, shown = scenery.view, scenery.view.shown
    steps = grid_steps(view, scenery.units)
    lines: tuple[list[QLineF], list[QLineF]] = ([], [])
    for place in steps.places(shown.left, shown.right):
        x = crisp(view.to_screen(Point(place * steps.unit, 0.0)).x(), scenery.ratio)
        lines[steps.rank(place) == 0].append(QLineF(x, 0.0, x, view.height))
    for place in steps.places(shown.bottom, shown.top):
        y = crisp(view.to_screen(Point(0.0, place * steps.unit)).y(), scenery.ratio)
        lines[steps.rank(place) == 0].append(QLineF(0.0, y, view.width, y))
    return lines


def crisp(pixel: float, ratio: float) -> float:
    """The middle of the device pixel in which a logical pixel lies."""
    return (int(pixel * ratio) + 0.5) / ratio


# Rulers


def _ruler(scenery: Scenery, *, across: bool) -> QPixmap:
    """The ruler at the top (across) or at the left, painted as if it lay across."""
    view, look = scenery.view, scenery.look
    long, wide = (view.width if across else view.height), view.ruler
    picture = _blank(*((long, wide) if across else (wide, long)), scenery.ratio, look.paper)
    painter = QPainter(picture)
    painter.setFont(scenery.font)
    if not across:
        # The left ruler is the top one turned a quarter: its numbers read upwards.
        painter.translate(0.0, long)
        painter.rotate(-90)
    _paint_ruler(painter, scenery, long, across=across)
    painter.end()
    return picture


def _paint_ruler(painter: QPainter, scenery: Scenery, long: float, *, across: bool) -> None:
    view, look = scenery.view, scenery.look
    steps, shown = ruler_steps(view, scenery.units), view.shown
    low, high = (shown.left, shown.right) if across else (shown.bottom, shown.top)
    metrics = QFontMetricsF(painter.font())
    ticks = []
    painter.setPen(QColor(look.quiet))
    for place in steps.places(low, high):
        rank = steps.rank(place)
        pixel = _along(view, place * steps.unit, long, across=across)
        ticks.append(QLineF(pixel, view.ruler, pixel, view.ruler * (1 - _LENGTHS[min(rank, 5)])))
        name = steps.name(place) if rank == 0 else ""
        if name and _clear_of_corner(view, pixel, metrics.horizontalAdvance(name), across=across):
            painter.drawText(QPointF(pixel + 4, 4 + metrics.ascent()), name)
    painter.setPen(QPen(QColor(look.quiet), 1.0))
    painter.drawLines(ticks)
    edge = view.ruler - 0.5
    painter.drawLine(QLineF(0.0, edge, long, edge))


def _clear_of_corner(view: View, pixel: float, width: float, *, across: bool) -> bool:
    """Whether a number does not run into the corner where the rulers meet."""
    return pixel >= view.ruler if across else pixel + 4 + width <= view.height - view.ruler


def _along(view: View, place: float, long: float, *, across: bool) -> float:
    """The pixel of a place along a ruler; the left one is painted from its foot."""
    if across:
        return crisp(view.to_screen(Point(place, 0.0)).x(), 1.0)
    return long - crisp(view.to_screen(Point(0.0, place)).y(), 1.0)


def paint_rulers(painter: QPainter, backdrop: Backdrop, scenery: Scenery, pointer: QPointF | None) -> None:
    """Both rulers over the drawing, the mark of the pointer on each, and the unit in the corner."""
    view, look = scenery.view, scenery.look
    painter.drawPixmap(QPointF(0.0, 0.0), backdrop.rulers[1])
    painter.drawPixmap(QPointF(0.0, 0.0), backdrop.rulers[0])
    if pointer is not None:
        _paint_pointer(painter, view, look, pointer)
    corner = QRectF(0.0, 0.0, view.ruler, view.ruler)
    painter.fillRect(corner, QColor(look.paper))
    painter.setPen(QColor(look.quiet))
    painter.setFont(scenery.font)
    painter.drawText(corner, Qt.AlignmentFlag.AlignCenter, "mm" if scenery.units == "mm" else "in")
    edge = view.ruler - 0.5
    painter.drawLines([QLineF(0.0, edge, view.ruler, edge), QLineF(edge, 0.0, edge, view.ruler)])


def _paint_pointer(painter: QPainter, view: View, look: Look, at: QPointF) -> None:
    edge, half = view.ruler - 1.0, 5.0
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(look.accent))
    for tip, one, two in (
        (QPointF(at.x(), edge), QPointF(-half, -half * 1.4), QPointF(half, -half * 1.4)),
        (QPointF(edge, at.y()), QPointF(-half * 1.4, -half), QPointF(-half * 1.4, half)),
    ):
        painter.drawPolygon(QPolygonF([tip, tip + one, tip + two]))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
