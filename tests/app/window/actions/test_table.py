"""The table of actions: every one has its words, no two share a key, and all are found by their words."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtGui import QKeySequence

from app.widgets.theme import ICONS
from app.window.actions.action import MENUS, Action
from app.window.actions.table import ACTIONS, find, matching
from app.window.toolbar import GROUPS

IDS = [action.key for action in ACTIONS]


@pytest.mark.parametrize("action", ACTIONS, ids=IDS)
def test_every_action_has_its_words_and_its_icon(action: Action) -> None:
    assert action.name
    assert action.menu in MENUS
    assert len(action.tooltip) > 10
    assert action.keys in action.tooltip
    if action.icon:
        assert (ICONS / f"{action.icon.replace(' ', '-')}.svg").is_file()
    if action.shortcut:
        assert QKeySequence(action.shortcut).count() == 1


def test_keys_and_shortcuts_are_unique() -> None:
    assert Counter(IDS).most_common(1)[0][1] == 1
    written = [each for action in ACTIONS for each in (action.shortcut, action.other_shortcut) if each]
    shortcuts = Counter(QKeySequence(each).toString() for each in written)
    assert shortcuts.most_common(1)[0][1] == 1


@pytest.mark.parametrize("menu", MENUS)
def test_access_keys_of_a_menu_are_unique(menu: str) -> None:
    """In the menu itself, with the titles of the menus in it, and in each of those."""
    here = [action for action in ACTIONS if action.menu == menu]
    titles = {action.submenu for action in here}
    for title in titles:
        labels = [action.label for action in here if action.submenu == title]
        labels += [] if title else sorted(titles)
        letters = Counter(label[label.index("&") + 1].lower() for label in labels if "&" in label)
        assert not letters or letters.most_common(1)[0][1] == 1, letters


def test_an_inner_menu_does_not_say_its_own_name_in_each_line() -> None:
    lines = {action.key: action.in_menu for action in ACTIONS if action.submenu}
    assert [lines[f"colours {key}"] for key in ("desktop", "light", "dark", "contrast")] == [
        "As the &desktop",
        "&Light",
        "D&ark",
        "High &contrast",
    ]
    assert lines["panel head"] == "Head"
    assert find("colours light").name == "Colours: light", "where it stands alone it says what it is about"


def test_single_keys_are_heard_on_the_drawing_only() -> None:
    for action in ACTIONS:
        if len(action.shortcut) == 1 or action.shortcut == "Del":
            assert action.on_canvas, action.key


def test_the_toolbar_holds_actions_with_icons() -> None:
    for key in (key for group in GROUPS for key in group):
        assert find(key).icon


@pytest.mark.parametrize(
    ("query", "first"),
    [
        ("save as", "save as"),
        ("undo", "undo"),
        ("true size", "actual size"),
        ("PRINT", "output"),
        ("rod pocket", "region tool"),
    ],
)
def test_actions_are_found_by_words_in_any_case(query: str, first: str) -> None:
    assert matching(query)[0].key == first


def test_all_words_must_be_there_and_none_asks_for_all() -> None:
    assert matching("save umbrella") == ()
    assert set(matching("")) == set(ACTIONS)
    assert "as save" not in [action.name for action in ACTIONS]
    assert matching("as save")[0].key == "save as"


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("bore", "panel tuners"),
        ("drill", "panel bench"),
        ("cradle", "panel bench"),
        ("weight", "panel bench"),
        ("heavy", "panel bench"),
        ("dark", "preferences"),
        ("dark", "colours dark"),
        ("contrast", "colours contrast"),
        ("symmetry", "symmetric"),
        ("mirror", "symmetric"),
        ("guide", "output"),
        ("template", "output"),
        ("pdf", "output"),
        ("laser", "output"),
    ],
)
def test_a_makers_words_find_the_action(query: str, found: str) -> None:
    assert found in [action.key for action in matching(query)]
