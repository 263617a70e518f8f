"""The menu of the part under the pointer: what can be done with just this part, then what can always be done."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QMenu

from app.document.selection import Item
from app.window.menus import OpenMenu
from app.window.shell import Shell
from geometry.document.build import Build
from geometry.document.corner_edits import make_corner, make_smooth
from geometry.document.edits import flip_wound_side, give_back
from geometry.document.node_edits import add_node
from geometry.document.outline_nodes import RunKind, is_end, is_smooth
from geometry.document.run_edits import run_as
from geometry.document.twins import with_twins
from geometry.layout.pick import Picked

Edit = Callable[[Build], Build]

COMMON = ("cut", "copy", "paste", "duplicate", "delete")


def context_menu(window: Shell, picked: Picked | None) -> QMenu:
    """The menu for what was picked; a part that is not selected yet becomes the selection."""
    menu = OpenMenu(window)
    if picked is not None and picked.kind != "handle":
        item = Item(picked.kind, picked.key)
        if item not in window.session.selection:
            window.session.select((item,))
        _own_acts(menu, window, picked)
        menu.addSeparator()
        menu.addAction(window.made["panel selected"])
        menu.addAction(window.made["zoom to selection"])
        menu.addSeparator()
    for key in COMMON:
        menu.addAction(window.made[key])
    menu.addSeparator()
    for key in ("select all", "fit"):
        menu.addAction(window.made[key])
    return menu


def _own_acts(menu: QMenu, window: Shell, picked: Picked) -> None:
    if picked.kind == "node":
        _node_acts(menu, window, picked.key)
    elif picked.kind == "run":
        _run_acts(menu, window, picked)
    elif picked.kind == "post":
        _post_acts(menu, window, picked.key)


def _node_acts(menu: QMenu, window: Shell, key: str) -> None:
    translate = QCoreApplication.translate
    build, symmetric = window.session.build, window.symmetric
    if is_end(build, key):
        return
    if is_smooth(build, key):
        words = translate("Context menu", "Make a corner")
        _add(menu, window, words, lambda build: make_corner(build, key, symmetric=symmetric))
    else:
        words = translate("Context menu", "Make smooth")
        _add(menu, window, words, lambda build: make_smooth(build, key, symmetric=symmetric))


def _run_acts(menu: QMenu, window: Shell, picked: Picked) -> None:
    translate = QCoreApplication.translate
    key, at, symmetric = picked.key, picked.t, window.symmetric
    kinds: tuple[tuple[RunKind, str], ...] = (
        ("straight", translate("Context menu", "Make straight")),
        ("arc", translate("Context menu", "Make an arc")),
        ("curve", translate("Context menu", "Make a curve")),
    )
    for kind, words in kinds:
        _add(menu, window, words, _as(key, kind, symmetric=symmetric))
    if at is not None and 0 < at < 1:
        words = translate("Context menu", "Add a node here")
        _add(menu, window, words, lambda build: add_node(build, key, at, symmetric=symmetric))


def _as(key: str, kind: RunKind, *, symmetric: bool) -> Edit:
    return lambda build: run_as(build, key, kind, symmetric=symmetric)


def _post_acts(menu: QMenu, window: Shell, key: str) -> None:
    translate = QCoreApplication.translate
    words = translate("Context menu", "Wind on the other side")
    _add(menu, window, words, with_twins(lambda build: flip_wound_side(build, key)))
    moved = {each.post for row in window.session.build.rows for each in row.moved}
    if key in moved:
        words = translate("Context menu", "Put back in its row")
        _add(menu, window, words, with_twins(lambda build: give_back(build, key)))
    menu.addAction(window.made["panel missed"])


def _add(menu: QMenu, window: Shell, words: str, edit: Edit) -> None:
    def run() -> None:
        try:
            window.session.act(words, edit)
        except ValueError as error:
            window.say(str(error))

    menu.addAction(words, run)
