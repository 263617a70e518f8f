"""Paints a Drawing in the canvas' own look: grouped by role, with paths kept for as long as their shapes stay.

What Qt paints fast was measured: circles and curved shapes one by one (in one path they take six times as long),
straight lines with flat ends all at once, areas without smoothing under a smooth line.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import msgspec
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QTransform

from app.canvas.clear import square
from app.canvas.look import Look, Stroke, pen
from app.canvas.paths import add_shape, path_of
from app.canvas.view import View
from export.drawing import Drawing, Role, Text
from geometry.shape.contour import Contour
from geometry.shape.segment import Circle, Line

Shape = Contour | Circle
Layer = Literal["whole", "ghost"]

ORDER = (
    Role.BLANK,
    Role.BACK_FLAT,
    Role.NUT,
    Role.KEEP_CLEAR,
    Role.BUTTON,
    Role.SHAFT,
    Role.BODY,
    Role.PLATE,
    Role.OLD_HOLE,
    Role.CENTRE_LINE,
    Role.OUTLINE,
    Role.NUT_LINE,
    Role.NUT_SLOT,
    Role.WASHER,
    Role.BORE,
    Role.COUNTERBORE,
    Role.SCREW,
    Role.PIN,
    Role.RETAINER,
    Role.STRING_PATH,
    Role.CROSSHAIR,
    Role.CENTRE_DOT,
)
"""From the lowest to the highest; roles that are not named lie on top of these, words on top of all."""

GHOSTS = (Role.BUTTON, Role.SHAFT, Role.BODY, Role.PLATE, Role.SCREW, Role.PIN)
"""What of the back shows through the face."""

SMALLEST_WORDS, LARGEST_WORDS = 0.7, 1.5
"""Names keep to their size on the head between these sizes, as shares of a line of type in the window."""

_RIM = tuple(QPointF(x, y) for x in (-1.4, 1.4) for y in (-1.4, 1.4))
_SMALLEST_CROSS = 2.0  # pixels per mm below which crosshairs would only blacken their bores


class _Group(msgspec.Struct, frozen=True):
    """The marks of one role, in head mm.

    `lines` are all open lines and all straight sides as one path, `areas` what closed shapes enclose, `curved` those of
    them with a side that is not straight.
    """

    shapes: tuple[Shape, ...]
    lines: QPainterPath
    areas: tuple[QPainterPath, ...]
    curved: tuple[QPainterPath, ...]
    circles: tuple[Circle, ...]


class MarkPainter:
    """Paints drawings one after the other and remembers the paths of the last one."""

    def __init__(self) -> None:
        """Begin with nothing kept."""
        self._groups: dict[Role, _Group] = {}
        self._drawing: Drawing | None = None
        self._texts: tuple[Text, ...] = ()

    def outline(self, drawing: Drawing) -> QPainterPath:
        """The edge of the head in mm; empty when there is none."""
        self._take(drawing)
        group = self._groups.get(Role.OUTLINE)
        if group is None:
            return QPainterPath()
        return group.areas[0] if group.areas else group.lines

    def paint(
        self, painter: QPainter, drawing: Drawing, view: View, look: Look, layer: Layer = "whole"
    ) -> None:
        """Paint in pixels of the canvas; a ghost is only what shows through from the other side."""
        self._take(drawing)
        transform = view.transform
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for role in self._roles(layer):
            if role is Role.CROSSHAIR and view.scale < _SMALLEST_CROSS:
                continue
            stroke = look.ghost(role) if layer == "ghost" else look.stroke(role)
            _paint_group(painter, self._groups[role], stroke, transform, view)
        if layer == "whole":
            self._paint_words(painter, view, look)
        painter.restore()

    def _roles(self, layer: Layer) -> list[Role]:
        if layer == "ghost":
            return [role for role in GHOSTS if role in self._groups]
        known = [role for role in ORDER if role in self._groups]
        return known + [role for role in self._groups if role not in ORDER]

    def _take(self, drawing: Drawing) -> None:
        """Make the paths of a drawing; what has the same shapes as before is kept."""
        if drawing is self._drawing:
            return
        shapes: dict[Role, list[Shape]] = {}
        texts = []
        for mark in drawing.marks:
            if isinstance(mark.shape, Text):
                texts.append(mark.shape)
            else:
                shapes.setdefault(mark.role, []).append(mark.shape)
        before = self._groups
        self._groups = {role: _kept(before.get(role), role, tuple(found)) for role, found in shapes.items()}
        self._texts = tuple(texts)
        self._drawing = drawing

    def _paint_words(self, painter: QPainter, view: View, look: Look) -> None:
        """Names in the font of the window."""
        for text, font in self._lettered(painter.font(), view):
            painter.setFont(font)
            paint_words(painter, text, view, look)

    def _lettered(self, usual: QFont, view: View) -> Iterator[tuple[Text, QFont]]:
        """Every name with the font that it has at this zoom."""
        fonts: dict[tuple[int, bool], QFont] = {}
        line = QFontMetricsF(usual).height()
        for text in self._texts:
            size = round(min(LARGEST_WORDS * line, max(SMALLEST_WORDS * line, text.height * view.scale)))
            key = (size, text.bold)
            if key not in fonts:
                fonts[key] = _font(usual, *key)
            yield text, fonts[key]

    def names_seen(self, usual: QFont, view: View) -> list[QRectF]:
        """Boxes, in pixels, of the names of parts."""
        return [_words_box(text, font, view) for text, font in self._lettered(usual, view)]

    def to_be_seen(self, usual: QFont, view: View) -> list[QRectF]:
        """Boxes, in pixels, of what no tag should cover: names of parts, and bores."""
        names = self.names_seen(usual, view)
        bores = self._groups.get(Role.BORE)
        circles = () if bores is None else bores.circles
        return names + [square(view.to_screen(each.centre), 2 * each.radius * view.scale) for each in circles]


def _kept(before: _Group | None, role: Role, shapes: tuple[Shape, ...]) -> _Group:
    if before is not None and before.shapes == shapes:
        return before
    lines = QPainterPath()
    areas, curved = [], []
    for shape in shapes:
        if isinstance(shape, Circle):
            continue
        if shape.closed or role is Role.NUT:  # open along the nut line, and yet a body
            areas.append(path_of(shape))
        if not shape.closed:
            add_shape(lines, shape)
            continue
        if all(isinstance(segment, Line) for segment in shape.segments):
            for segment in shape.segments:
                lines.moveTo(segment.start.x, segment.start.y)
                lines.lineTo(segment.end.x, segment.end.y)
        else:
            curved.append(areas[-1])
    circles = tuple(shape for shape in shapes if isinstance(shape, Circle))
    return _Group(shapes, lines, tuple(areas), tuple(curved), circles)


def _paint_group(painter: QPainter, group: _Group, stroke: Stroke, transform: QTransform, view: View) -> None:
    discs = [(view.to_screen(circle.centre), circle.radius * view.scale) for circle in group.circles]
    if stroke.fill:
        # Without smoothing, which the line round it makes up for: it would double what the filling costs.
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(stroke.fill))
        for path in group.areas:
            painter.drawPath(transform.map(path))
        for at, radius in discs:
            painter.drawEllipse(at, radius, radius)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen(stroke))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for path in group.curved:
        painter.drawPath(transform.map(path))
    if not group.lines.isEmpty():
        painter.drawPath(transform.map(group.lines))
    for at, radius in discs:
        painter.drawEllipse(at, radius, radius)


def paint_words(painter: QPainter, text: Text, view: View, look: Look) -> None:
    """One line of words at its place, readable from both sides, with a rim that keeps lines off them."""
    at = _words_start(text, painter.font(), view)
    painter.setPen(QColor(look.wood))
    for aside in _RIM:
        painter.drawText(at + aside, text.words)
    painter.setPen(QColor(look.ink))
    painter.drawText(at, text.words)


def _words_start(text: Text, font: QFont, view: View) -> QPointF:
    """Where the first letter of a line of words begins, in pixels."""
    shown = text.mirrored() if view.mirrored else text
    width = QFontMetricsF(font).horizontalAdvance(text.words)
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[shown.anchor]
    return view.to_screen(text.at) - QPointF(width * share, 0.0)


def _words_box(text: Text, font: QFont, view: View) -> QRectF:
    return QFontMetricsF(font).tightBoundingRect(text.words).translated(_words_start(text, font, view))


def _font(font: QFont, size: int, bold: bool) -> QFont:  # noqa: FBT001 - it is a key
    made = QFont(font)
    made.setPixelSize(size)
    made.setBold(bold)
    return made


def fill_wood(painter: QPainter, outline: QPainterPath, view: View, brush: QBrush) -> None:
    """The face of the head, closed along the nut line; the outline will smooth its edge."""
    if not outline.isEmpty():
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.fillPath(view.transform.map(outline), brush)
        painter.restore()
