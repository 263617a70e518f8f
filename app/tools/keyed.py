"""Keys that work with every tool in hand: nudging, deleting, selecting all, the clipboard."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import QByteArray, QMimeData, Qt
from PySide6.QtGui import QGuiApplication

from app.canvas.tool import Tool
from app.canvas.words import act_name, delete_name, move_name, tr
from app.document.scene import Scene, Side
from app.document.selection import Item, ItemKind, Selection, keys_of
from geometry.document.build import Build
from geometry.document.copies import Copies, Pasted, check_room, copied, paste
from geometry.document.node_edits import add_node
from geometry.document.outline_nodes import following, nodes_of
from geometry.layout.parts_at_once import Parts, move_parts, remove_parts
from geometry.layout.pick import in_box
from geometry.shape.bounds import Bounds
from geometry.shape.point import Vector
from geometry.trade.measures import LARGEST

EVERYWHERE = Bounds(-LARGEST, -LARGEST, LARGEST, LARGEST)
NUDGE, LONG_NUDGE, SHORT_NUDGE = 0.1, 1.0, 0.01
"""Steps in mm of an arrow key: alone, with Shift, with Alt."""

_ARROWS = {
    Qt.Key.Key_Left: Vector(-1.0, 0.0),
    Qt.Key.Key_Right: Vector(1.0, 0.0),
    Qt.Key.Key_Up: Vector(0.0, 1.0),
    Qt.Key.Key_Down: Vector(0.0, -1.0),
}
_COPIED: tuple[ItemKind, ...] = ("node", "post", "region", "retainer", "old hole")


def parts_of(build: Build, selection: Selection) -> Parts:
    """What is selected, ready to be moved; a run stands for the nodes at its ends."""
    runs = keys_of(selection, "run")
    ends = [*runs, *(following(build, run) for run in runs)]
    return Parts(
        nodes=tuple(dict.fromkeys((*keys_of(selection, "node"), *ends))),
        posts=keys_of(selection, "post"),
        rows=keys_of(selection, "row"),
        regions=keys_of(selection, "region"),
        retainers=keys_of(selection, "retainer"),
        old_holes=keys_of(selection, "old hole"),
    )


def everything(scene: Scene, side: Side) -> Selection:
    """All parts of the head that the side in view shows."""
    found = in_box(scene.build, scene.layout, EVERYWHERE, side)
    return tuple(Item(each.kind, each.key) for each in found if each.kind != "handle")


class KeyedTool(Tool):
    """A tool with the keys that all tools share."""

    message = ""
    """What went wrong at the last press or key; shown until the next one."""

    def key(self, key: int, modifiers: Qt.KeyboardModifier) -> bool:
        """Do what a key stands for; while a gesture is under way keys wait."""
        if self.busy:
            return key != Qt.Key.Key_Escape
        self.message = ""
        if modifiers & Qt.KeyboardModifier.ControlModifier:
            return self._with_control(key)
        if key in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace}:
            self._delete(delete_name(self.session.scene, self.session.selection))
            return True
        movable = parts_of(self.session.build, self.session.selection).count > 0
        if key not in _ARROWS or not movable:
            return False
        self._nudge(_ARROWS[Qt.Key(key)], modifiers)
        return True

    def tell_drilled(self, chosen: Selection) -> None:
        """Say so where a hole that is to be moved is drilled: it stays."""
        labels, keys = self.session.scene.layout.labels, {item.key for item in chosen if item.kind == "post"}
        posts = (post for row in self.session.build.rows for post in row.posts)
        drilled = [labels[post.key] for post in posts if post.drilled and post.key in keys]
        if drilled:
            words = tr("Hole {0} is drilled and stays: take its tick away under Selected to move it.")
            self.message = words.format(", ".join(drilled))

    def add_node(self, run: str, t: float) -> None:
        """Put a node on a run as one act and select it; a full outline says so."""
        build = self.session.build
        before = {node.key for node in nodes_of(build)}
        after = add_node(build, run, t, symmetric=self.aids().symmetric)
        new = tuple(Item("node", node.key) for node in nodes_of(after) if node.key not in before)
        self.add_parts(tr("Add node"), after, new)

    def add_parts(self, name: str, after: Build, new: Selection) -> None:
        """Keep a build with new parts as one act and select them, if there is room for them."""
        try:
            check_room(after)
        except ValueError as error:
            self.message = str(error)
            return
        self.session.act(name, lambda _: after, new)

    def _with_control(self, key: int) -> bool:
        acts: dict[int, Callable[[], object]] = {
            Qt.Key.Key_A: self._select_all,
            Qt.Key.Key_C: self._copy,
            Qt.Key.Key_X: self._cut,
            Qt.Key.Key_V: self._paste,
            Qt.Key.Key_D: self._duplicate,
        }
        if key not in acts:
            return False
        acts[key]()
        return True

    def _nudge(self, way: Vector, modifiers: Qt.KeyboardModifier) -> None:
        length = NUDGE
        if modifiers & Qt.KeyboardModifier.ShiftModifier:
            length = LONG_NUDGE
        elif modifiers & Qt.KeyboardModifier.AltModifier:
            length = SHORT_NUDGE
        # Seen from behind, right on the screen is left on the head.
        step = (way.mirrored if self.aids().side == "back" else way) * length
        parts = parts_of(self.session.build, self.session.selection)
        self.tell_drilled(self.session.selection)
        symmetric = self.aids().symmetric
        name = move_name(self.session.scene, self.session.selection)
        self.session.act(name, lambda build: move_parts(build, parts, step, symmetric=symmetric))

    def _delete(self, name: str) -> None:
        chosen = tuple(item for item in self.session.selection if item.kind != "run")
        parts = parts_of(self.session.build, chosen)
        symmetric = self.aids().symmetric
        if parts.count:
            self.session.act(name, lambda build: remove_parts(build, parts, symmetric=symmetric))

    def _select_all(self) -> None:
        self.session.select(everything(self.session.scene, self.aids().side))

    def _copied(self) -> Copies:
        keys = ((item.kind, item.key) for item in self.session.selection if item.kind in _COPIED)
        return copied(self.session.build, keys)

    def _copy(self) -> bool:
        copies = self._copied()
        if copies.is_empty:
            self.message = tr("Select nodes, posts or regions to copy them.")
            return False
        put_on_clipboard(copies)
        return True

    def _cut(self) -> None:
        if self._copy():
            scene, chosen = self.session.scene, self.session.selection
            self._delete(act_name(scene, chosen, tr("Cut {0}"), tr("Cut {0} parts")))

    def _paste(self) -> None:
        copies = on_clipboard()
        if copies is None or copies.is_empty:
            self.message = tr("There is nothing to paste: copy nodes, posts or regions first.")
        else:
            self._put(tr("Paste"), copies)

    def _duplicate(self) -> None:
        copies = self._copied()
        if not copies.is_empty:
            scene, chosen = self.session.scene, self.session.selection
            self._put(act_name(scene, chosen, tr("Duplicate {0}"), tr("Duplicate {0} parts")), copies)

    def _put(self, name: str, copies: Copies) -> None:
        try:
            pasted = paste(self.session.build, copies)
        except ValueError as error:
            self.message = str(error)
            return
        self.session.act(name, lambda _: pasted.build, _items(pasted))


def _items(pasted: Pasted) -> Selection:
    kinds: tuple[tuple[ItemKind, tuple[str, ...]], ...] = (
        ("node", pasted.nodes),
        ("post", pasted.posts),
        ("region", pasted.regions),
        ("retainer", pasted.retainers),
        ("old hole", pasted.old_holes),
    )
    return tuple(Item(kind, key) for kind, keys in kinds for key in keys)


MIME_TYPE = "application/x-pegwright-parts+json"
"""A type of their own, so that copies can go from one window to another."""

LARGEST_PASTE = 5_000_000
"""Bytes; more than that is not read from a clipboard."""


def put_on_clipboard(copies: Copies) -> None:
    """Keep copies on the clipboard in place of what was there."""
    data = QMimeData()
    data.setData(MIME_TYPE, QByteArray(msgspec.json.encode(copies)))
    QGuiApplication.clipboard().setMimeData(data)


def on_clipboard() -> Copies | None:
    """The copies on the clipboard; None when there is something else, or nothing that can be used."""
    data = QGuiApplication.clipboard().mimeData()
    if data is None or not data.hasFormat(MIME_TYPE):
        return None
    content = bytes(data.data(MIME_TYPE).data())
    if len(content) > LARGEST_PASTE:
        return None
    try:
        return msgspec.json.decode(content, type=Copies)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return None
