"""Menus made from the table of actions."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from app.widgets.theme import icon
from app.widgets.typed_line import unread
from app.window.actions.action import MENUS, Action, Menu, translated
from app.window.actions.table import ACTIONS
from app.window.shell import Shell


class OpenMenu(QMenu):
    """A menu that has the keys to itself while it is open.

    The drawing keeps the focus under it, so Qt would look for a shortcut of the drawing first: a letter would take
    another tool in hand, and the item with that access key would hear nothing.
    """

    def event(self, event: QEvent) -> bool:
        """Claim what is typed before shortcuts are looked for."""
        return _claimed(event) or super().event(event)


class OpenMenuBar(QMenuBar):
    """The same for the bar, to which its open menu sends on what it has no item for."""

    def event(self, event: QEvent) -> bool:
        """Claim what is typed before shortcuts are looked for."""
        return _claimed(event) or super().event(event)


def _claimed(event: QEvent) -> bool:
    """Whether a key was claimed before it becomes a shortcut; keys with Ctrl or Alt go their usual way."""
    if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
        return False
    plain = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
    if event.modifiers() & ~plain != Qt.KeyboardModifier.NoModifier:
        return False
    event.accept()
    return True


def make_actions(window: Shell) -> dict[str, QAction]:
    """A QAction for every action of the table, by its key."""
    return {action.key: _made(action, window) for action in ACTIONS}


def _made(action: Action, window: Shell) -> QAction:
    made = QAction(action.in_menu, window)
    made.setObjectName(action.key)
    made.setShortcuts([QKeySequence(each) for each in (action.shortcut, action.other_shortcut) if each])
    made.setToolTip(action.tooltip)
    made.setStatusTip(translated(action.tip))
    made.setWhatsThis(translated(action.tip))
    made.setCheckable(action.checked is not None)
    if action.on_canvas:
        made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        window.canvas.addAction(made)
    else:
        window.addAction(made)
    made.triggered.connect(_runner(action, window))
    return made


def _runner(action: Action, window: Shell) -> Callable[[], None]:
    def run() -> None:
        # What is typed and not entered yet counts, whoever saves or prints; what does not read keeps the build here.
        if action.menu != "build":
            # Asking takes over what reads; these acts do not care whether all does.
            unread(window)
            action.run(window)
        elif window.settle():
            action.run(window)
        # A switch shows what is true now, and not that it was clicked on.
        if action.checked is not None:
            refresh(window)

    return run


def refresh(window: Shell) -> None:
    """Make every action tell the truth: whether it can be done now, and whether it is on."""
    made = window.made
    for action in ACTIONS:
        each = made[action.key]
        each.setEnabled(action.enabled is None or action.enabled(window))
        if action.checked is not None:
            each.setChecked(action.checked(window))
    history = window.session.history
    made["undo"].setText(_with_label(translated("&Undo"), history.undo_label))
    made["redo"].setText(_with_label(translated("&Redo"), history.redo_label))


def _with_label(verb: str, label: str | None) -> str:
    """The verb with the act it is about, such as Undo move post 3."""
    if not label:
        return verb
    act = label[:1].lower() + label[1:]
    return QCoreApplication.translate("Actions", "{verb} {act}").format(verb=verb, act=act.replace("&", "&&"))


def set_icons(window: Shell) -> None:
    """Draw the icons in the colours of the window."""
    for action in ACTIONS:
        if action.icon:
            window.made[action.key].setIcon(icon(action.icon, window.shade))


def make_menus(window: Shell, recent: QMenu) -> None:
    """The menu bar; the recent builds come after Open."""
    bar = OpenMenuBar(window)
    window.setMenuBar(bar)
    for menu, words in MENUS.items():
        made_menu = OpenMenu(translated(words), bar)
        bar.addMenu(made_menu)
        _fill(made_menu, menu, window.made, recent)


def _fill(menu: QMenu, name: Menu, made: dict[str, QAction], recent: QMenu) -> None:
    menu.setToolTipsVisible(True)
    group, inner = "", dict[str, QMenu]()
    for action in (each for each in ACTIONS if each.menu == name):
        if group and action.group != group:
            menu.addSeparator()
        group = action.group
        if action.submenu and action.submenu not in inner:
            inner[action.submenu] = OpenMenu(translated(action.submenu), menu)
            menu.addMenu(inner[action.submenu])
            inner[action.submenu].setToolTipsVisible(True)
        inner.get(action.submenu, menu).addAction(made[action.key])
        if action.key == "open":
            menu.addMenu(recent)
