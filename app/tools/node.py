"""The tool that puts a new node on a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from app.canvas.tool import Pointer
from app.canvas.words import place_words, tr
from app.tools.keyed import KeyedTool
from app.tools.painting import Tag, paint_place, paint_tags
from geometry.document.outline_edits import nodes_of, segment_of
from geometry.layout.pick import Picked, pick_run
from geometry.shape.point import Point

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from app.canvas.look import Look
    from app.canvas.view import View


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
