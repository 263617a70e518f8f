"""Which part of the head is seen, and how large: the only place where millimetres meet pixels."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QTransform

from geometry.shape.bounds import Bounds
from geometry.shape.point import Point

SMALLEST_SCALE, LARGEST_SCALE = 0.2, 400.0
"""Pixels per millimetre: a desk of heads in the window, and a hundredth of a millimetre four pixels wide."""

AIR = 0.06
"""Share of the room that stays free on each side when something is fitted in."""


class View(msgspec.Struct, frozen=True):
    """A window on the head: `centre` (head mm) lies in the middle of the room, `scale` is pixels per mm.

    `width` and `height` are those of the whole canvas in logical pixels; the rulers cover `ruler` of them at the left
    and at the top, and the rest is the room. y runs up in the head and down on the screen. The back is looked at
    from behind: `mirrored` turns x over, and nothing else does.
    """

    centre: Point
    scale: float
    width: float
    height: float
    ruler: float = 0.0
    mirrored: bool = False

    @property
    def middle(self) -> QPointF:
        """The middle of the room on the screen."""
        return QPointF((self.width + self.ruler) / 2, (self.height + self.ruler) / 2)

    @property
    def room(self) -> QRectF:
        """The room on the screen: the canvas without its rulers."""
        return QRectF(self.ruler, self.ruler, self.width - self.ruler, self.height - self.ruler)

    @property
    def across(self) -> float:
        """Pixels to the right for each mm of x; negative when seen from behind."""
        return -self.scale if self.mirrored else self.scale

    @property
    def transform(self) -> QTransform:
        """From head millimetres to logical pixels."""
        middle = self.middle
        return QTransform(
            self.across,
            0.0,
            0.0,
            -self.scale,
            middle.x() - self.across * self.centre.x,
            middle.y() + self.scale * self.centre.y,
        )

    @property
    def shown(self) -> Bounds:
        """What the whole canvas shows, in head mm, what lies under the rulers included."""
        one, other = self.to_head(QPointF(0.0, 0.0)), self.to_head(QPointF(self.width, self.height))
        return Bounds(min(one.x, other.x), other.y, max(one.x, other.x), one.y)

    def to_screen(self, point: Point) -> QPointF:
        """Where a place of the head is on the screen."""
        middle = self.middle
        return QPointF(
            middle.x() + (point.x - self.centre.x) * self.across,
            middle.y() - (point.y - self.centre.y) * self.scale,
        )

    def to_head(self, pixel: QPointF) -> Point:
        """Which place of the head lies under a pixel."""
        middle = self.middle
        return Point(
            self.centre.x + (pixel.x() - middle.x()) / self.across,
            self.centre.y - (pixel.y() - middle.y()) / self.scale,
        )

    def box_to_screen(self, bounds: Bounds) -> QRectF:
        """Where an upright box of the head is on the screen."""
        one = self.to_screen(Point(bounds.left, bounds.top))
        other = self.to_screen(Point(bounds.right, bounds.bottom))
        return QRectF(one, other).normalized()

    def zoomed(self, factor: float, at: QPointF) -> View:
        """Larger by `factor`; what lies under the pixel `at` stays there. The scale keeps within its limits."""
        scale = limited(self.scale * factor)
        held = self.to_head(at)
        share = self.scale / scale
        centre = Point(
            held.x + (self.centre.x - held.x) * share,
            held.y + (self.centre.y - held.y) * share,
        )
        return msgspec.structs.replace(self, scale=scale, centre=centre)

    def panned(self, dx: float, dy: float) -> View:
        """The head pushed by so many pixels to the right and down."""
        centre = Point(self.centre.x - dx / self.across, self.centre.y + dy / self.scale)
        return msgspec.structs.replace(self, centre=centre)

    def fitted(self, bounds: Bounds) -> View:
        """The box in the middle of the room, as large as it goes with some air around it."""
        room_x, room_y = (max(size - self.ruler, 1.0) * (1 - 2 * AIR) for size in (self.width, self.height))
        scale = min(room_x / max(bounds.width, 1e-6), room_y / max(bounds.height, 1e-6))
        return msgspec.structs.replace(self, centre=bounds.centre, scale=limited(scale))

    def fitted_beside(self, bounds: Bounds, kept: float, left: float, right: float) -> View:
        """The same with pixels at the right `kept` clear, and `left` and `right` of the box as well, if there is room.

        As it would be without them where it leaves them clear by itself. Never more than half of the room beside what
        is kept is left free.
        """
        whole = self.fitted(bounds)
        room = self.width - self.ruler - kept
        left, right = (min(side, room / 4) for side in (left, right))
        if whole.box_to_screen(bounds).right() <= self.width - kept - right:
            return whole
        beside = self.resized(self.width - kept - left - right, self.height).fitted(bounds)
        return beside.resized(self.width, self.height).panned((left - right - kept) / 2, 0.0)

    def resized(self, width: float, height: float) -> View:
        """The canvas grown or shrunk; the middle stays in the middle."""
        return msgspec.structs.replace(self, width=width, height=height)


def limited(scale: float) -> float:
    """A scale brought within its limits."""
    return min(LARGEST_SCALE, max(SMALLEST_SCALE, scale))
