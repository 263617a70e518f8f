"""The menu of the part under the pointer: what can be done with just this part, then what can always be done."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

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

_tr = partial(QCoreApplication.translate, "Context menu")

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
    build, symmetric = window.session.build, window.canvas.symmetric
    if is_end(build, key):
        return
    if is_smooth(build, key):
        _add(menu, window, _tr("Make a corner"), lambda build: make_corner(build, key, symmetric=symmetric))
    else:
        _add(menu, window, _tr("Make smooth"), lambda build: make_smooth(build, key, symmetric=symmetric))


def _run_acts(menu: QMenu, window: Shell, picked: Picked) -> None:
    key, at, symmetric = picked.key, picked.t, window.canvas.symmetric
    kinds: tuple[tuple[RunKind, str], ...] = (
        ("straight", _tr("Make straight")),
        ("arc", _tr("Make an arc")),
        ("curve", _tr("Make a curve")),
    )
    for kind, words in kinds:
        _add(menu, window, words, _as(key, kind, symmetric=symmetric))
    if at is not None and 0 < at < 1:
        _add(
            menu, window, _tr("Add a node here"), lambda build: add_node(build, key, at, symmetric=symmetric)
        )


def _as(key: str, kind: RunKind, *, symmetric: bool) -> Edit:
    return lambda build: run_as(build, key, kind, symmetric=symmetric)


def _post_acts(menu: QMenu, window: Shell, key: str) -> None:
    _add(menu, window, _tr("Wind on the other side"), with_twins(lambda build: flip_wound_side(build, key)))
    if any(each.post == key for row in window.session.build.rows for each in row.moved):
        _add(menu, window, _tr("Put back in its row"), with_twins(lambda build: give_back(build, key)))
    menu.addAction(window.made["panel missed"])


def _add(menu: QMenu, window: Shell, words: str, edit: Edit) -> None:
    def run() -> None:
        try:
            window.session.act(words, edit)
        except ValueError as error:
            window.say(str(error))

    menu.addAction(words, run)
