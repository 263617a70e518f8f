"""Limits as data: the larger of a length and a share of the bore, changed by a build."""

from __future__ import annotations

from geometry.trade.limits import DEFAULT_RULES, RULE_NAMES, ChangedLimit, Limit, rules_with


def test_limit_is_the_larger_of_both() -> None:
    wall = Limit(4.8, 0.5)
    assert (wall.at(8.0), wall.at(9.6), wall.at(10.0)) == (4.8, 4.8, 5.0)


def test_rule_names_are_unique() -> None:
    assert len(RULE_NAMES) == len(DEFAULT_RULES)


def test_changed_limits_take_the_place_of_defaults() -> None:
    rules = rules_with(
        (
            ChangedLimit(rule="wall", level="watch", least=7.0),
            ChangedLimit(rule="wall", level="stop", least=1.0, of_bore=0.1),
        )
    )
    assert rules["wall"].watch == Limit(7.0)
    assert rules["wall"].stop == Limit(1.0, 0.1)
    assert rules["web along grain"] == {each.name: each for each in DEFAULT_RULES}["web along grain"]
