"""The tools that draw what lies on the head: regions to keep clear, and old holes."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app.canvas.look import Look
from app.canvas.tool import Pointer
from app.canvas.view import View
from app.canvas.words import place_words, radius_words, tr
from app.document.selection import Item
from app.tools.keyed import KeyedTool
from app.tools.painting import Tag, paint_circle, paint_hints, paint_place, paint_polygon, paint_tags
from geometry.document.build import OldHole, Polygon, Region, RoundRegion
from geometry.document.edits import add_old_hole, add_region, fresh_key
from geometry.document.outline_nodes import kept_place
from geometry.document.twins import with_region
from geometry.layout.snap import Snapped, snap
from geometry.shape.point import Point

SMALLEST = 0.25
"""Radius in mm under which a drawn circle was a slip of the hand."""

LARGEST = 1000.0
MOST_CORNERS = 200
"""A region has no more corners."""

_FAINT = 0.5
_ENTER = {Qt.Key.Key_Return, Qt.Key.Key_Enter}


class _DrawingTool(KeyedTool):
    """What draws at places that snap, such as a circle about its centre, and adds a part at the end."""

    cursor = Qt.CursorShape.CrossCursor
    follows = True
    _snapped = Snapped(Point(0.0, 0.0))
    _shown = False
    _centre: Point | None = None
    _radius = 0.0

    @property
    def busy(self) -> bool:
        """Whether something is being drawn."""
        return self._centre is not None

    def _snap(self, pointer: Pointer) -> Point:
        """The place of the pointer, or what attracts it."""
        aids = self.aids()
        at = kept_place(pointer.at)
        self._shown = True
        self._snapped = Snapped(at)
        if aids.snap and not pointer.control:
            self._snapped = snap(self.session.build, at, reach=pointer.reach, grid=aids.grid)
        return self._snapped.at

    def move(self, pointer: Pointer) -> None:
        """Follow the pointer."""
        at = self._snap(pointer)
        if self._centre is not None:
            self._radius = min(LARGEST, self._centre.distance(at))

    def release(self, pointer: Pointer) -> None:
        """End the circle."""
        if self._centre is None:
            return
        self.move(pointer)
        centre, radius = self._centre, self._radius
        self._rest()
        self._add_circle(centre, radius if radius >= SMALLEST else None)

    def _add_circle(self, centre: Point, radius: float | None) -> None:
        """Add what was drawn; without a radius it was a slip."""
        raise NotImplementedError

    def cancel(self) -> None:
        """Give up what is drawn."""
        self.message = ""
        self._rest()

    def _rest(self) -> None:
        self._centre, self._radius, self._shown = None, 0.0, False

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        """What has been drawn so far."""
        if self._shown:
            at, units = self._snapped.at, self.aids().units
            paint_hints(painter, self._snapped.hints, view, look)
            self._paint(painter, at, view, look)
            words = place_words(at, units) if self._centre is None else radius_words(self._radius, units)
            paint_tags(painter, [Tag(at, (words,))], view, look)

    def _paint(self, painter: QPainter, at: Point, view: View, look: Look) -> None:
        if self._centre is None:
            paint_place(painter, at, view, look)
        else:
            paint_circle(painter, self._centre, self._radius, view, look)


class RegionTool(_DrawingTool):
    """Clicks set the corners of a region; with Shift, a drag draws a circle about its centre."""

    name = "region"

    _corners: tuple[Point, ...] = ()

    @property
    def hint(self) -> str:
        """What to click next."""
        if self.message:
            return self.message
        if self._centre is not None:
            return tr("Let go where the circle is to end; Esc gives up")
        if self._corners:
            return tr(
                "Click the next corner; Enter or a double click closes, Backspace takes one back, Esc gives up"
            )
        return tr("Click the corners of what must stay clear; with Shift, drag a circle")

    @property
    def busy(self) -> bool:
        """Whether a region is being drawn."""
        return bool(self._corners) or super().busy

    def press(self, pointer: Pointer) -> None:
        """Set a corner, or the centre of a circle; close at a double click or on the first corner."""
        self.message = ""
        at = self._snap(pointer)
        if pointer.shift and not self._corners:
            self._centre, self._radius = at, 0.0
        elif self._corners and (pointer.double or self._ends_at(at, pointer.reach)):
            self._close()
        elif len(self._corners) < MOST_CORNERS and at not in self._corners:
            self._corners = (*self._corners, at)

    def _ends_at(self, at: Point, reach: float) -> bool:
        return len(self._corners) > 2 and at.distance(self._corners[0]) <= reach

    def key(self, key: int, modifiers: Qt.KeyboardModifier) -> bool:
        """Enter closes the region, Backspace takes the last corner back."""
        if self._corners and key in _ENTER:
            self._close()
            return True
        if self._corners and key == Qt.Key.Key_Backspace:
            self._corners = self._corners[:-1]
            return True
        return super().key(key, modifiers)

    def _close(self) -> None:
        if len(self._corners) < 3:
            self.message = tr("A region needs three corners at least.")
            return
        corners = self._corners
        self._rest()
        self._add(Polygon(points=corners))

    def _add_circle(self, centre: Point, radius: float | None) -> None:
        if radius is None:
            self.message = tr("Drag from the centre of the circle outwards.")
        else:
            self._add(RoundRegion(centre=centre, radius=radius))

    def _add(self, shape: Polygon | RoundRegion) -> None:
        build = self.session.build
        key = fresh_key("k", {region.key for region in build.keep_clear})
        region = Region(key=key, name=tr("keep clear"), shape=shape)
        after = with_region(build, region) if self.aids().symmetric else add_region(build, region)
        self.add_parts(tr("Draw region"), after, (Item("region", key),))

    def _rest(self) -> None:
        super()._rest()
        self._corners = ()

    def _paint(self, painter: QPainter, at: Point, view: View, look: Look) -> None:
        """The region, and fainter what is drawn on the other side with it."""
        corners = (*self._corners, at)
        if self._centre is None:
            paint_polygon(painter, corners, view, look)
        else:
            paint_circle(painter, self._centre, self._radius, view, look)
        if not (self.busy and self.aids().symmetric):
            return
        painter.save()
        painter.setOpacity(_FAINT)
        if self._centre is None:
            paint_polygon(painter, tuple(corner.mirrored for corner in corners), view, look)
        else:
            paint_circle(painter, self._centre.mirrored, self._radius, view, look)
        painter.restore()


class OldHoleTool(_DrawingTool):
    """A drag from its middle outwards notes a hole that the head has already."""

    name = "old hole"

    @property
    def hint(self) -> str:
        """What to drag."""
        return self.message or tr("Drag from the middle of an old hole to its edge")

    def press(self, pointer: Pointer) -> None:
        """Set the middle."""
        self.message = ""
        self._centre, self._radius = self._snap(pointer), 0.0

    def _add_circle(self, centre: Point, radius: float | None) -> None:
        if radius is None:
            self.message = tr("Drag from the middle of the hole outwards.")
            return
        build = self.session.build
        key = fresh_key("o", {hole.key for hole in build.old_holes})
        hole = OldHole(key=key, at=centre, diameter=2 * radius)
        self.add_parts(tr("Note old hole"), add_old_hole(build, hole), (Item("old hole", key),))
