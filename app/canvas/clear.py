"""Where words stand on the drawing without covering what must be seen beside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from PySide6.QtCore import QPointF, QRectF

from app.canvas.view import View
from geometry.layout.layout import Layout


def clearest(places: Iterable[QRectF], taken: Sequence[QRectF]) -> QRectF:
    """The first of some boxes that covers nothing of what is taken, else the one that covers the least area.

    Raises ValueError without a place.
    """
    best, least = None, float("inf")
    for place in places:
        covered = sum(_area(place.intersected(other)) for other in taken)
        if covered < least:
            best, least = place, covered
        if not covered:
            break
    if best is None:
        message = "no place was given"
        raise ValueError(message)
    return best


def inside(box: QRectF, view: View, edge: float) -> QRectF:
    """The box pushed into the room where it stands out of it, so many pixels clear of its edge."""
    x = max(view.ruler + edge, min(box.x(), view.width - box.width() - edge))
    y = max(view.ruler + edge, min(box.y(), view.height - box.height() - edge))
    return QRectF(x, y, box.width(), box.height())


def square(middle: QPointF, size: float) -> QRectF:
    """An upright square about its middle."""
    return QRectF(middle.x() - size / 2, middle.y() - size / 2, size, size)


def bores_of(layout: Layout, view: View) -> list[QRectF]:
    """Squares about all bores, in pixels."""
    return [square(view.to_screen(post.at), post.bore * view.scale) for post in layout.posts]


def _area(box: QRectF) -> float:
    return box.width() * box.height()
