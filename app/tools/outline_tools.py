"""The tools that change the outline: one puts a new node on a run, one rounds a corner."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter

from app.canvas.look import Look
from app.canvas.tool import Pointer
from app.canvas.view import View
from app.canvas.words import place_words, radius_words, tr
from app.document.selection import NOTHING, Item, Selection
from app.tools.keyed import KeyedTool
from app.tools.painting import Tag, paint_place, paint_tags
from geometry.document.build import Build
from geometry.document.corner_edits import radius_for_reach, round_corner
from geometry.document.outline_nodes import is_end, is_smooth, node_of, nodes_of, segment_of
from geometry.layout.pick import Picked, pick_node, pick_run
from geometry.shape.point import Point


class NodeTool(KeyedTool):
    """A press shows where the node would go, a release puts it there."""

    name = "node"
    cursor = Qt.CursorShape.CrossCursor
    follows = True

    _target: Picked | None = None
    _pressed = False

    @property
    def hint(self) -> str:
        """Where to click."""
        return self.message or tr("Click the edge to put a node there; it keeps its shape")

    @property
    def busy(self) -> bool:
        """Whether the button is down."""
        return self._pressed

    @property
    def _place(self) -> Point | None:
        build, target = self.session.build, self._target
        if target is None or target.t is None or all(node.key != target.key for node in nodes_of(build)[:-1]):
            return None
        return segment_of(build, target.key).point_at(target.t)

    def press(self, pointer: Pointer) -> None:
        """Take the place under the pointer."""
        self.message = ""
        self._pressed = True
        self.move(pointer)

    def move(self, pointer: Pointer) -> None:
        """Follow the edge."""
        self._target = pick_run(self.session.build, pointer.at, pointer.reach)

    def release(self, pointer: Pointer) -> None:
        """Put the node there."""
        if not self._pressed:
            return
        self.move(pointer)
        self._pressed = False
        if self._target is None or self._target.t is None:
            self.message = tr("Click on the edge of the head to put a node there.")
        else:
            self.add_node(self._target.key, self._target.t)
        self._target = None

    def cancel(self) -> None:
        """Put no node anywhere."""
        self.message = ""
        self._pressed = False
        self._target = None

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        """Where the node would go."""
        place = self._place
        if place is not None:
            paint_place(painter, place, view, look)
            if self.aids().symmetric:
                paint_place(painter, place.mirrored, view, look)
            paint_tags(painter, [Tag(place, (place_words(place, self.aids().units),))], view, look)


STEP = 0.5
"""Radii are drawn to multiples of this, in mm, while snapping is on."""


class RoundTool(KeyedTool):
    """A drag away from a corner rounds it; what does not fit stays at the last radius that did."""

    name = "round"
    cursor = Qt.CursorShape.CrossCursor

    _corner: str | None = None
    _radius: float | None = None
    _at: Point | None = None
    _base: Build | None = None
    _before: Selection = NOTHING

    @property
    def hint(self) -> str:
        """What to drag."""
        if self.message:
            return self.message
        if self._corner is not None:
            return tr("Drag away from the corner; Ctrl for any radius, Esc gives up")
        return tr("Press on a corner and drag away from it to round it")

    @property
    def busy(self) -> bool:
        """Whether a corner is being rounded."""
        return self._corner is not None

    def press(self, pointer: Pointer) -> None:
        """Take hold of a corner."""
        self.message = ""
        build = self.session.build
        key = pick_node(build, pointer.at, pointer.reach)
        if key is None:
            self.message = tr("Press on a corner of the edge to round it.")
        elif is_end(build, key):
            self.message = tr("The ends of the edge on the nut line cannot be rounded.")
        elif is_smooth(build, key):
            self.message = tr("The edge is smooth here: there is no corner to round.")
        else:
            self._corner = key
            self._base, self._before = self.session.build, self.session.selection

    def move(self, pointer: Pointer) -> None:
        """Round as far as the pointer is away."""
        if self._corner is None:
            return
        if self.session.build is not self._base:
            # An undo in the middle of a drag has taken away what was dragged.
            self._rest()
            return
        self._at = pointer.at
        build, symmetric, corner = self.session.build, self.aids().symmetric, self._corner
        away = pointer.at.distance(node_of(build, corner).at)
        radius = radius_for_reach(build, corner, away)
        if self.aids().snap and not pointer.control:
            radius = max(STEP, round(radius / STEP) * STEP)
        try:
            after = round_corner(build, corner, radius, symmetric=symmetric)
        except ValueError as error:
            self.message = str(error)
            return
        self.message = ""
        self._radius = radius
        self.session.preview(after, (Item("node", corner),))

    def release(self, pointer: Pointer) -> None:  # noqa: ARG002
        """Keep the rounding."""
        if self._corner is None:
            return
        self._rest()
        self.session.commit(tr("Round corner"))

    def cancel(self) -> None:
        """Leave the corner as it was."""
        if self._corner is None:
            return
        before = self._before
        self._rest()
        self.message = ""
        self.session.cancel()
        self.session.select(before)

    def _rest(self) -> None:
        self._corner = self._radius = self._at = None

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        """The radius beside the pointer."""
        if self._radius is not None and self._at is not None:
            words = radius_words(self._radius, self.aids().units)
            paint_tags(painter, [Tag(self._at, (words,))], view, look)
