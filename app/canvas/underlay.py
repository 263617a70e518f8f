"""The picture of a real head under the drawing, at true size and in its place, so that the outline can follow it."""

from __future__ import annotations

import math

import msgspec
import numpy as np
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, Qt
from PySide6.QtGui import QImage, QImageReader, QImageWriter, QPainter, QPixmap

from app.canvas.view import View
from geometry.intake.found import FacePicture
from geometry.intake.linear_light import coded_light
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector

STRENGTHS = (0.2, 0.4, 0.6, 0.8, 1.0)
"""Shares of the picture's colours in what is seen, the rest is the drawing's wood."""

USUAL = 0.6
"""The one to begin with."""

_KIND = QByteArray(b"png")

_PLACE = "Place in millimetres"
"""What the text of a PNG that holds left, bottom, right and top is called."""


class Underlay(msgspec.Struct, frozen=True, eq=False):
    """A picture square onto the face, and the box in head mm that it fills."""

    image: QImage
    box: Bounds


def underlay_of(picture: FacePicture) -> Underlay:
    """The face as a picture in values of a screen."""
    coded = np.ascontiguousarray(coded_light(picture.light))
    high, wide, _ = coded.shape
    image = QImage(coded.data, wide, high, 3 * wide, QImage.Format.Format_BGR888).copy()
    half = 0.5 / picture.fine
    left, top = picture.left - half, picture.top + half
    return Underlay(image, Bounds(left, top - high / picture.fine, left + wide / picture.fine, top))


def moved(underlay: Underlay, turn: float, step: Vector) -> Underlay:
    """The picture turned about the origin by `turn` radians and then moved by `step` mm, at the same fineness."""
    box, image = underlay.box, underlay.image
    fine = image.width() / box.width
    corners = [
        Point(0.0, 0.0) + Vector(x, y).turned(turn) + step
        for x in (box.left, box.right)
        for y in (box.bottom, box.top)
    ]
    xs, ys = [corner.x for corner in corners], [corner.y for corner in corners]
    around = Bounds(min(xs), min(ys), max(xs), max(ys))
    there = QImage(
        math.ceil(around.width * fine), math.ceil(around.height * fine), QImage.Format.Format_RGB32
    )
    there.fill(Qt.GlobalColor.white)
    painter = QPainter(there)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    # In pixels downwards a turn to the left is one to the right.
    painter.translate((step.x - around.left) * fine, (around.top - step.y) * fine)
    painter.rotate(-math.degrees(turn))
    painter.drawImage(QPointF(box.left * fine, -box.top * fine), image)
    painter.end()
    wide, high = there.width() / fine, there.height() / fine
    return Underlay(there, Bounds(around.left, around.top - high, around.left + wide, around.top))


def written(underlay: Underlay) -> bytes:
    """A PNG that holds the picture and its place."""
    box = underlay.box
    image = underlay.image.copy()
    image.setText(_PLACE, " ".join(f"{side:.4f}" for side in (box.left, box.bottom, box.right, box.top)))
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, _KIND).write(image)
    return bytes(buffer.data().data())


def read_underlay(data: bytes) -> Underlay | None:
    """The picture in a PNG that `written` made; None for anything else."""
    buffer = QBuffer()
    buffer.setData(data)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    image = QImageReader(buffer, _KIND).read()
    try:
        left, bottom, right, top = map(float, image.text(_PLACE).split())
    except ValueError:
        return None
    usable = all(map(math.isfinite, (left, bottom, right, top))) and left < right and bottom < top
    return Underlay(image, Bounds(left, bottom, right, top)) if usable else None


class UnderlayPainter:
    """Paints a picture, and keeps it as it was last seen."""

    def __init__(self) -> None:
        """Begin with nothing kept."""
        self._kept: tuple[Underlay, View, float, float] | None = None
        self._seen = QPixmap()

    def paint(self, painter: QPainter, underlay: Underlay, strength: float, view: View, ratio: float) -> None:
        """The picture in its place, in pixels of the canvas; `ratio` is pixels of the screen for one of these."""
        kept = (underlay, view, strength, ratio)
        if kept != self._kept:
            self._kept, self._seen = kept, _seen(underlay, strength, view, ratio)
        painter.drawPixmap(QPointF(0.0, 0.0), self._seen)


def _seen(underlay: Underlay, strength: float, view: View, ratio: float) -> QPixmap:
    seen = QPixmap(max(1, round(view.width * ratio)), max(1, round(view.height * ratio)))
    seen.setDevicePixelRatio(ratio)
    seen.fill(Qt.GlobalColor.transparent)
    painter = QPainter(seen)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.setOpacity(strength)
    painter.drawImage(view.box_to_screen(underlay.box), underlay.image)
    painter.end()
    return seen
