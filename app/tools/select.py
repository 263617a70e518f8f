"""The tool that selects and moves: nodes, handles, runs, posts, rows, regions and what else lies on the head."""

from __future__ import annotations

from PySide6.QtGui import QPainter

from app.canvas.clear import bores_of
from app.canvas.look import Look
from app.canvas.overlay import opened_nodes
from app.canvas.tool import Pointer
from app.canvas.view import View
from app.canvas.words import hint_words, tr
from app.document.selection import NOTHING, Item, Selection, toggled
from app.tools.drag import Drag, drag_of, tags_of
from app.tools.keyed import KeyedTool
from app.tools.painting import Tag, paint_band, paint_hints, paint_tags
from geometry.document.build import Build
from geometry.layout.by_hand import row_of
from geometry.layout.pick import Picked, in_box, pick
from geometry.layout.snap import Axis, Snapped, snap
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point, Vector

BEGINS = 3 / 8
"""Share of the pointer's reach that it must move before a press becomes a drag."""

CATCHES = 1 / 2
"""Share of the pointer's reach within which lines and the grid attract: 4 pixels."""


def _kept_axis(step: Vector, reach: float) -> Axis | None:
    """The coordinate that a straight drag keeps."""
    if abs(step.x) <= reach < abs(step.y):
        return "x"
    return "y" if abs(step.y) <= reach < abs(step.x) else None


class SelectTool(KeyedTool):
    """Click selects, Shift adds, a box selects what lies in it; what is dragged moves."""

    name = "select"

    _from: Pointer | None = None
    _base: Build | None = None
    _before: Selection = NOTHING
    _drag: Drag | None = None
    _band: Bounds | None = None
    _picked: Picked | None = None
    _moved = False
    _snapped: Snapped | None = None
    _tags: tuple[Tag, ...] = ()

    @property
    def hint(self) -> str:
        """What can be done, and while dragging why the place snapped."""
        if self.message:
            return self.message
        if self._moved and self._drag is not None:
            words = hint_words(self._snapped.hints) if self._snapped is not None else ""
            keys = tr("Ctrl moves freely, Esc gives up")
            return f"{words[:1].upper()}{words[1:]}.  {keys}" if words else keys
        return tr("Click to select, Shift adds; drag to move; double-click the edge for a new node")

    @property
    def busy(self) -> bool:
        """Whether the button is down."""
        return self._from is not None

    # The pointer

    def press(self, pointer: Pointer) -> None:
        """Select what lies here, and be ready to drag it; a double click adds a node or takes the whole row."""
        self.message = ""
        scene = self.session.scene
        self._before = scene.selection
        opened = opened_nodes(scene)
        picked = pick(scene.build, scene.layout, pointer.at, pointer.reach, self.aids().side, opened)
        if pointer.double and picked is not None and self._double(picked):
            return
        self._from, self._picked, self._moved = pointer, picked, False
        self._base = self.session.build
        if picked is None:
            if not pointer.shift:
                self.session.select(NOTHING)
        elif picked.kind != "handle":
            self._choose(Item(picked.kind, picked.key), shift=pointer.shift)

    def _double(self, picked: Picked) -> bool:
        if picked.kind == "run" and picked.t is not None and 0 < picked.t < 1:
            self.add_node(picked.key, picked.t)
            return True
        if picked.kind == "post":
            self.session.select((Item("row", row_of(self.session.build, picked.key).key),))
            return True
        return False

    def _choose(self, item: Item, *, shift: bool) -> None:
        selection = self.session.selection
        if shift:
            self.session.select(toggled(selection, item))
        elif item not in selection and not self._in_chosen_row(item):
            self.session.select((item,))

    def _in_chosen_row(self, item: Item) -> bool:
        if item.kind != "post":
            return False
        return Item("row", row_of(self.session.build, item.key).key) in self.session.selection

    def move(self, pointer: Pointer) -> None:
        """Drag what was pressed, or draw the box open."""
        if self._from is None:
            return
        if self.session.build is not self._base:
            # An undo in the middle of a drag has taken away what was dragged.
            self._rest()
            return
        if not self._moved and pointer.at.distance(self._from.at) < pointer.reach * BEGINS:
            return
        if self._picked is None:
            self._moved = True
            self._band = bounds_of((self._from.at, pointer.at))
        elif self._drag is not None or self._begin():
            self._moved = True
            self._drag_to(pointer)

    def _begin(self) -> bool:
        """Take hold of what was pressed; a part that Shift has just taken out of the selection stays."""
        assert self._from is not None, "a drag begins with a press"
        assert self._picked is not None, "a drag begins on something"
        picked, selection = self._picked, self.session.selection
        if picked.kind != "handle":
            item = Item(picked.kind, picked.key)
            if self._from.shift and item not in selection:
                return False
            if item not in selection and not self._in_chosen_row(item):
                # A starter's nodes are selected as soon as the drag makes them nodes of the build.
                selection = (item,)
        self.tell_drilled(selection)
        scene = self.session.scene
        self._drag = drag_of(scene, picked, self._from.at, selection, self.aids())
        return True

    def _drag_to(self, pointer: Pointer) -> None:
        assert self._drag is not None, "something is dragged"
        self._snapped = self._target(pointer)
        build = self._drag.edit(self._snapped.at, pointer.alt)
        self._tags = tags_of(self._drag, build, self._snapped.at, self.aids().units)
        self.session.preview(build, self._drag.selection)

    def _target(self, pointer: Pointer) -> Snapped:
        """Where the dragged place goes: along with the pointer, unless something attracts it."""
        assert self._drag is not None, "something is dragged"
        assert self._from is not None, "a drag begins with a press"
        place, reach = self._drag.place, pointer.reach * CATCHES
        to = place + (pointer.at - self._from.at)
        aids = self.aids()
        if pointer.control or not aids.snap:
            return Snapped(to)
        kept = _kept_axis(to - place, reach)
        if kept is not None:
            to = Point(place.x, to.y) if kept == "x" else Point(to.x, place.y)
        build: Build = self.session.build
        lines = self._drag.lines
        return snap(build, to, self._drag.moving, reach=reach, grid=aids.grid, lines=lines, keep=kept)

    def release(self, pointer: Pointer) -> None:
        """End the drag as one act, or select what lies in the box, or keep only what was clicked."""
        if self._from is None:
            return
        shift, drag, picked, band, moved = self._from.shift, self._drag, self._picked, self._band, self._moved
        self._rest()
        if drag is not None:
            self.session.commit(drag.name)
        elif band is not None:
            self._take_band(band, add=shift or pointer.shift)
        elif picked is not None and not moved and not shift and picked.kind != "handle":
            item = Item(picked.kind, picked.key)
            if not self._in_chosen_row(item):
                self.session.select((item,))

    def _take_band(self, band: Bounds, *, add: bool) -> None:
        scene = self.session.scene
        found = in_box(scene.build, scene.layout, band, self.aids().side)
        items = tuple(Item(each.kind, each.key) for each in found if each.kind != "handle")
        before = self._before if add else NOTHING
        self.session.select((*before, *(item for item in items if item not in before)))

    def _rest(self) -> None:
        self._from = self._drag = self._picked = self._band = self._snapped = None
        self._moved = False
        self._tags = ()

    def cancel(self) -> None:
        """Restore build and selection as they were before the press."""
        if self._from is None:
            return
        self._rest()
        self.session.cancel()
        self.session.select(self._before)

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        """The box, or why the place snapped and what is measured."""
        if self._band is not None:
            paint_band(painter, self._band, view, look)
        if self._snapped is not None:
            paint_hints(painter, self._snapped.hints, view, look)
            paint_tags(painter, self._tags, view, look, bores_of(self.session.scene.layout, view))
