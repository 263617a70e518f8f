"""Two heads side by side in one scale, with their rings; in the second the bores of the first where they differ."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.levels import level_word, paint_level
from app.canvas.look import SHORT, Look, line, look_in
from app.canvas.marks import MarkPainter, fill_wood
from app.canvas.rings import paint_rings
from app.canvas.view import View
from export.drawing import Drawing, Role
from export.sheets.view import face_view
from geometry.search.answers.compare import Side
from geometry.search.answers.compare_words import NAMES
from geometry.search.rings.allowance import Joint, exact_rings
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point
from geometry.shape.tolerance import PRINT

_PAD = 10.0
_SIGN = 16.0


class HeadPicture(msgspec.Struct, frozen=True):
    """One of the two heads, ready to be painted."""

    side: Side
    drawing: Drawing
    joint: Joint

    @property
    def bounds(self) -> Bounds:
        """The box round it in head mm; that of the nut where nothing is drawn."""
        marks = self.drawing.without(Role.CENTRE_LINE).marks
        half = self.side.build.nut.width / 2
        return Drawing(marks).bounds if marks else Bounds(-half, -1.0, half, half)


def picture_of(side: Side) -> HeadPicture:
    """Make what the painting of a head needs, beside the window."""
    return HeadPicture(side, face_view(side.build, side.layout), exact_rings(side.build, side.layout))


class HeadsView(QWidget):
    """Both faces, the nut lines at one height."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._pictures: tuple[HeadPicture, HeadPicture] | None = None
        self._marks = MarkPainter(), MarkPainter()
        self.setAccessibleName(self.tr("Both heads"))
        self.setToolTip(
            self.tr(
                "Both in one scale. Dotted: how far each hole may miss. Dashed in B: where the bores of A are."
            )
        )
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(280, 240)

    def show_heads(self, pictures: tuple[HeadPicture, HeadPicture] | None) -> None:
        """Show two heads; nothing for None."""
        self._pictures = pictures
        sides = [] if pictures is None else [picture.side for picture in pictures]
        told = (
            f"{name}: {side.name} ({level_word(side.level)})"
            for name, side in zip(NAMES, sides, strict=False)
        )
        self.setAccessibleDescription("; ".join(told))
        self.update()

    def views(self) -> tuple[View, View]:
        """How each head is seen in its half of the room: in one scale, at one height."""
        assert self._pictures is not None, "there are heads"
        boxes = [picture.bounds for picture in self._pictures]
        low, high = min(box.bottom for box in boxes), max(box.top for box in boxes)
        wide = max(box.width for box in boxes)
        half, room = self.width() / 2, self.height() - self._foot()
        whole = View(Point(0.0, 0.0), 1.0, half, room).fitted(Bounds(0.0, low, wide, high))
        one, two = (
            msgspec.structs.replace(whole, centre=Point(box.centre.x, (low + high) / 2)) for box in boxes
        )
        return one, two

    def _foot(self) -> float:
        """Pixels at the foot for the captions."""
        return self.fontMetrics().height() + 2 * _PAD

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint both heads with their captions."""
        look = look_in(self.palette())
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(look.desk))
        if self._pictures is not None:
            for place, view in enumerate(self.views()):
                painter.save()
                painter.translate(place * view.width, 0.0)
                painter.setClipRect(QRectF(0.0, 0.0, view.width, float(self.height())))
                self._paint_head(painter, place, view, look)
                painter.restore()
            painter.setPen(line(look.quiet, 1.0))
            painter.drawLine(QPointF(self.width() / 2, _PAD), QPointF(self.width() / 2, self.height() - _PAD))
        painter.end()

    def _paint_head(self, painter: QPainter, place: int, view: View, look: Look) -> None:
        assert self._pictures is not None, "there are heads"
        picture, marks = self._pictures[place], self._marks[place]
        fill_wood(painter, marks.outline(picture.drawing), view, QBrush(QColor(look.wood)))
        marks.paint(painter, picture.drawing, view, look)
        paint_rings(painter, picture.joint, view, look)
        if place == 1:
            _paint_others(painter, self._pictures[0].side, picture.side, view, look)
        level = picture.side.level
        at = QRectF(_PAD, self.height() - self._foot(), _SIGN, self._foot())
        paint_level(painter, QRectF(at.left(), at.center().y() - _SIGN / 2, _SIGN, _SIGN), level, look)
        words = QRectF(2 * _PAD + _SIGN, at.top(), view.width - 3 * _PAD - _SIGN, at.height())
        caption = painter.fontMetrics().elidedText(
            f"{NAMES[place]}: {picture.side.name}", Qt.TextElideMode.ElideMiddle, int(words.width())
        )
        painter.setPen(QColor(look.ink))
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, caption)


def _paint_others(painter: QPainter, one: Side, two: Side, view: View, look: Look) -> None:
    """The bores of the first head where the second has them elsewhere."""
    places = {post.label: post.at for post in two.layout.posts}
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(line(look.proposed, 1.6, SHORT))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for post in one.layout.posts:
        other = places.get(post.label)
        if other is None or other.distance(post.at) > PRINT:
            radius = post.bore / 2 * view.scale
            painter.drawEllipse(view.to_screen(post.at), radius, radius)
    painter.restore()
