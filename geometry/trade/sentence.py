"""Sentences about lengths that are told in the units of whoever reads them, which is known only in the end."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from geometry.trade.quantities import show_length, show_measured
from geometry.trade.units import Units

Translate = Callable[[str], str]
"""From the English text of a sentence to the one that is read."""


def as_it_is(text: str) -> str:
    """The English text itself."""
    return text


class Sentence(msgspec.Struct, frozen=True):
    """A sentence with places {0}, {1}, ... for lengths in mm: the `measured` ones, then those that were `typed`."""

    text: str
    measured: tuple[float, ...] = ()
    typed: tuple[float, ...] = ()

    def say(self, units: Units, translate: Translate = as_it_is) -> str:
        """The whole sentence."""
        return translate(self.text).format(
            *(show_measured(length, units) for length in self.measured),
            *(show_length(length, units) for length in self.typed),
        )


class SentenceError(ValueError):
    """Something that cannot be made, said with lengths in it; as plain text they are in mm."""

    def __init__(self, text: str, measured: tuple[float, ...] = (), typed: tuple[float, ...] = ()) -> None:
        self.note: Note = Sentence(text, measured, typed) if measured or typed else text
        super().__init__(say_note(self.note, "mm"))


Note = str | Sentence
"""A sentence with or without lengths in it."""


def say_note(note: Note | Exception, units: Units, translate: Translate = as_it_is) -> str:
    """A note, or what an error says, with lengths in `units`."""
    match note:
        case Sentence():
            return note.say(units, translate)
        case SentenceError():
            return say_note(note.note, units, translate)
        case Exception():
            return str(note)
    return translate(note)
