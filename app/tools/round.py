"""The tool that rounds a corner: press on it and drag as far along its sides as the rounding is to begin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from app.canvas.tool import Pointer
from app.canvas.words import radius_words, tr
from app.document.selection import NOTHING, Item, Selection
from app.tools.keyed import KeyedTool
from app.tools.painting import Tag, paint_tags
from geometry.document.build import Build
from geometry.document.outline_edits import is_end, is_smooth, node_of, radius_for_reach, round_corner
from geometry.layout.pick import pick_node
from geometry.shape.point import Point

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from app.canvas.look import Look
    from app.canvas.view import View

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
