"""Where help is found."""

from __future__ import annotations

from PySide6.QtWidgets import QWhatsThis

from app.window import dialogs
from app.window.actions.action import QT_TRANSLATE_NOOP, Action

HELP: tuple[Action, ...] = (
    Action(
        key="how", menu="help", group="help", icon="help", shortcut="F1",
        text=QT_TRANSLATE_NOOP("Actions", "&How this works"),
        tip=QT_TRANSLATE_NOOP("Actions", "The way from an empty bench to a drilled head"),
        run=dialogs.show_how,
    ),
    Action(
        key="search", menu="help", group="help", icon="search", shortcut="F3",
        text=QT_TRANSLATE_NOOP("Actions", "&Find an action…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Type what you want to do"),
        run=lambda window: window.search_wanted.emit(),
    ),
    Action(
        key="shortcuts", menu="help", group="help", shortcut="Ctrl+?",
        text=QT_TRANSLATE_NOOP("Actions", "&Keys…"),
        tip=QT_TRANSLATE_NOOP("Actions", "All keys, and what the mouse does"),
        run=lambda window: window.keys_wanted.emit(),
    ),
    Action(
        key="what is this", menu="help", group="help", shortcut="Shift+F1",
        text=QT_TRANSLATE_NOOP("Actions", "&What is this?"),
        tip=QT_TRANSLATE_NOOP("Actions", "Then click on something to learn about it"),
        run=lambda _: QWhatsThis.enterWhatsThisMode(),
    ),
    Action(
        key="log", menu="help", group="about",
        text=QT_TRANSLATE_NOOP("Actions", "Show the &log"),
        tip=QT_TRANSLATE_NOOP("Actions", "What went wrong inside the program, if anything did"),
        run=dialogs.show_log,
    ),
    Action(
        key="about", menu="help", group="about",
        text=QT_TRANSLATE_NOOP("Actions", "&About Pegwright"),
        tip=QT_TRANSLATE_NOOP("Actions", "Version and licence"),
        run=dialogs.show_about,
    ),
)  # fmt: skip
"""In the order of the menu."""
