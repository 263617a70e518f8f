"""What an action of the window is: its words, its key, what it does and when."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec
from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QKeySequence

from app.window.shell import Shell

Menu = Literal["build", "edit", "draw", "view", "help"]
Run = Callable[[Shell], object]
When = Callable[[Shell], bool]


def QT_TRANSLATE_NOOP(_context: str, text: str) -> str:  # noqa: N802 - the name that Qt's own tools look for
    """Mark a text for translation where it is shown; PySide6's own one forgets that a text is a text."""
    return text


MENUS: dict[Menu, str] = {
    "build": QT_TRANSLATE_NOOP("Actions", "&Build"),
    "edit": QT_TRANSLATE_NOOP("Actions", "&Edit"),
    "draw": QT_TRANSLATE_NOOP("Actions", "&Draw"),
    "view": QT_TRANSLATE_NOOP("Actions", "&View"),
    "help": QT_TRANSLATE_NOOP("Actions", "&Help"),
}
"""The menus in their order, with their access keys."""


class Action(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that can be done.

    `text` and `tip` are translated when shown, and `also`, other words that a maker may look for it by. `group` parts
    a menu by lines, and actions of one `submenu` share a menu in it. An action that is `on_canvas` has a key without
    Ctrl and hears it only while the drawing has the focus, so that typing in a field stays typing. `checked` makes it
    a switch. `other_shortcut` is for hands that know it by that one.
    """

    key: str
    menu: Menu
    group: str
    text: str
    tip: str
    run: Run
    also: str = ""
    submenu: str = ""
    shortcut: str = ""
    other_shortcut: str = ""
    icon: str = ""
    on_canvas: bool = False
    enabled: When | None = None
    checked: When | None = None

    @property
    def label(self) -> str:
        """The text in the maker's language, with its access key."""
        return translated(self.text)

    @property
    def in_menu(self) -> str:
        """The label as it stands in its menu: what the inner menu is called is not said again in each line of it."""
        _, colon, rest = self.label.partition(": ")
        if not self.submenu or not colon:
            return self.label
        key, letter = ("&", rest[1:]) if rest.startswith("&") else ("", rest)
        return f"{key}{letter[:1].upper()}{letter[1:]}"

    @property
    def name(self) -> str:
        """The text without access key and dots, as it is read and searched."""
        return self.label.replace("&", "").removesuffix("…")

    @property
    def keys(self) -> str:
        """The shortcut as this system writes it; empty when there is none."""
        return QKeySequence(self.shortcut).toString(QKeySequence.SequenceFormat.NativeText)

    @property
    def tooltip(self) -> str:
        """What it does, with its shortcut."""
        return f"{translated(self.tip)} ({self.keys})" if self.shortcut else translated(self.tip)


def translated(text: str) -> str:
    """A text of the table in the maker's language."""
    return QCoreApplication.translate("Actions", text)


# What actions of several menus ask and do


def drawing(window: Shell) -> bool:
    """Whether a head is on the drawing."""
    return window.drawing


def chosen(window: Shell) -> bool:
    """Whether some part of it is selected."""
    return window.drawing and bool(window.session.selection)


def show_panel(name: str) -> Run:
    """Put a panel in front."""
    return lambda window: window.show_panel(name)
