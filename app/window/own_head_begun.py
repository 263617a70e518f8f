"""A build from a head that was found in a file, as the pages of the window begin it."""

from __future__ import annotations

from typing import get_args

import msgspec
from msgspec.structs import replace

from app.canvas.underlay import Underlay, underlay_of
from app.document.settings import Settings
from app.widgets.fields import Choice
from app.window.start_screen import starter_words, suggested
from geometry.bench.bore_fit import begun
from geometry.document.build import Build
from geometry.document.outline import StarterShape
from geometry.intake.found import Found
from geometry.intake.into_build import Wishes, into_build
from geometry.layout.trees import with_trees
from geometry.trade.sentence import say_note


class Begun(msgspec.Struct, frozen=True, eq=False):
    """A build with the outline and the holes of a head, what is to be said about it, and its face where it was seen."""

    build: Build
    words: tuple[str, ...]
    picture: Underlay | None


def starter_choice(name: str, tip: str) -> Choice:
    """Whose rows, strings and tuners to begin with."""
    choice = Choice(name, [(shape, starter_words(shape)[0]) for shape in get_args(StarterShape)], tip=tip)
    choice.set_value("straight-taper")
    return choice


def starter_in(choice: Choice) -> Build:
    """The starter that is chosen, unnamed: it is called as its file, until the maker names it."""
    shape = next(each for each in get_args(StarterShape) if each == choice.value)
    return replace(suggested(shape), name="", retainers=())


def begun_with(found: Found, base: Build, wishes: Wishes, settings: Settings) -> Begun:
    """The build of a found head; a SentenceError where no build can hold it."""
    taken = into_build(found, base, wishes)
    words = tuple(say_note(note, settings.units) for note in taken.notes)
    picture = None if taken.picture is None else underlay_of(taken.picture)
    return Begun(begun(with_trees(taken.build), "", settings.shop), words, picture)
