"""Every role has a look that survives a printer and a layer that a machine understands."""

from __future__ import annotations

import re

import pytest

from export.drawing import Role
from export.style import STYLES


@pytest.mark.parametrize("role", Role)
def test_every_role_has_a_printable_style(role: Role) -> None:
    look = STYLES[role]
    assert 0.1 <= look.weight <= 1.0
    assert re.fullmatch(
        r"[A-Z][A-Z0-9_]{0,30}", look.operation.name
    )  # names that R12 allows: 31 letters at most
    assert 1 <= look.operation.aci <= 7
    assert len(look.dash) % 2 == 0
    assert all(length > 0 for length in look.dash)
    assert all(0 <= part <= 255 for part in look.colour)


def test_an_operation_has_one_colour() -> None:
    operations = {look.operation for look in STYLES.values()}
    for what in ("name", "aci", "colour"):
        assert len({getattr(each, what) for each in operations}) == len(operations)


def test_words_and_paper_are_off_and_nothing_that_a_machine_makes() -> None:
    for role in (Role.LABEL, Role.NOTES, Role.TITLE, Role.RULER, Role.DIMENSION):
        assert not STYLES[role].operation.shown
        assert not STYLES[role].operation.made


def test_levels_differ_without_their_colour() -> None:
    looks = {(STYLES[role].weight, STYLES[role].dash) for role in (Role.STOP, Role.WATCH, Role.FINE)}
    assert len(looks) == 3


def test_no_two_things_that_a_machine_does_share_a_colour() -> None:
    done = {
        "cut through": (Role.OUTLINE, Role.CUT_OUTLINE, Role.WINDOW, Role.CUT_LINE),
        "drill": (Role.BORE, Role.GUIDE_HOLE, Role.SCREW, Role.PIN),
        "pocket": (Role.COUNTERBORE,),
        "engrave": (Role.ENGRAVE,),
        "score": (Role.FOLD_LINE, Role.NUT_SLOT, Role.COMB),
        "aid": (Role.CENTRE_LINE, Role.NUT_LINE, Role.REFERENCE, Role.WASHER, Role.CROSSHAIR),
        "words": (Role.NOTES, Role.LABEL, Role.DIMENSION),
    }
    colours = {name: {STYLES[role].operation.aci for role in roles} for name, roles in done.items()}
    assert all(len(found) == 1 for found in colours.values())
    assert len({colour for found in colours.values() for colour in found}) == len(done)
