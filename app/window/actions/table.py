"""All actions in one table, those of help among them.

Menus, toolbar, shortcuts, their list and the search for actions are all made from it.
"""

from __future__ import annotations

from PySide6.QtWidgets import QWhatsThis

from app.window import dialogs
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, translated
from app.window.actions.build_menu import BUILD
from app.window.actions.edit_menu import DRAW, EDIT
from app.window.actions.view_menu import VIEW

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
        # By a signal: the search looks through this very table.
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

ACTIONS: tuple[Action, ...] = (*BUILD, *EDIT, *DRAW, *VIEW, *HELP)
"""All actions, menu by menu in their order."""

_OWN = "pegwright"


def find(key: str) -> Action:
    """The action with this key."""
    return next(action for action in ACTIONS if action.key == key)


def matching(query: str) -> tuple[Action, ...]:
    """Actions that have every word of the query in their name, their tip or their synonyms, in that order.

    A word whose letters only lie within others, as "peg" in the name of this program, comes last.
    """
    words = query.casefold().split()

    def rank(action: Action) -> int | None:
        name, tip = action.name.casefold(), translated(action.tip).casefold()
        also = translated(action.also).casefold() if action.also else ""
        if words and name.startswith(words[0]) and all(word in name for word in words):
            return 0
        for place, text in enumerate((name, f"{name} {tip}", f"{name} {tip} {also}")):
            if all(_begins(word, text) for word in words):
                return 1 + place
        return 4 if all(word in f"{name} {tip} {also}" for word in words) else None

    ranked = [(rank(action), place, action) for place, action in enumerate(ACTIONS)]
    fitting = sorted((at, place) for at, place, _ in ranked if at is not None)
    return tuple(ACTIONS[place] for _, place in fitting)


def _begins(word: str, text: str) -> bool:
    """Whether one of the words of a text begins so; the program's own name only where it is asked for whole."""
    parts = (part.strip(".,:;") for part in text.split())
    return any(part.startswith(word) and (part != _OWN or word == _OWN) for part in parts)
