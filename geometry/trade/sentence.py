"""Sentences about quantities that are told in the units of whoever reads them, which is known only in the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NoReturn

import msgspec

from geometry.trade.quantities import (
    ESTIMATE,
    WORKED_OUT,
    show_force,
    show_gauge,
    show_length,
    show_measured,
    show_most_force,
)
from geometry.trade.units import Units

Translate = Callable[[str], str]
"""From the English text of a sentence to the one that is read."""


def as_it_is(text: str) -> str:
    """The English text itself."""
    return text


def listed(names: Sequence[str], last: str = "and") -> str:
    """Names as a sentence lists them, the `last` one behind this word: "a, b and c"; of one the name alone."""
    return f" {last} ".join(filter(None, (", ".join(names[:-1]), names[-1])))


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


class GaugeSentence(msgspec.Struct, frozen=True):
    """A sentence with places {0}, {1}, ... for diameters of strings in mm."""

    text: str
    gauges: tuple[float, ...]

    def say(self, units: Units, translate: Translate = as_it_is) -> str:
        """The whole sentence."""
        return translate(self.text).format(*(show_gauge(each, units) for each in self.gauges))


class PullSentence(msgspec.Struct, frozen=True):
    """A sentence with places for a pull {0} and the hardest one that is taken {1}, in N; `estimate` tells of the pull.

    The two never read alike where they differ.
    """

    text: str
    pull: float
    most: float
    estimate: bool

    def say(self, units: Units, translate: Translate = as_it_is) -> str:
        """The whole sentence."""
        count = ESTIMATE if self.estimate else WORKED_OUT
        pull = most = ""
        for more in range(4):
            pull, most = show_force(self.pull, units, count + more), show_most_force(self.most, units, more)
            if pull != show_force(self.most, units, count + more) or self.pull == self.most:
                break
        return translate(self.text).format(pull, most)


class SentenceError(ValueError):
    """Something that cannot be made, said with lengths in it; as plain text they are in mm."""

    def __init__(self, text: str, measured: tuple[float, ...] = (), typed: tuple[float, ...] = ()) -> None:
        self.note: Note = Sentence(text, measured, typed) if measured or typed else text
        super().__init__(say_note(self.note, "mm"))


def refuse(text: str, measured: tuple[float, ...] = (), typed: tuple[float, ...] = ()) -> NoReturn:
    """Raise the SentenceError that says this."""
    raise SentenceError(text, measured, typed)


Note = str | Sentence | GaugeSentence | PullSentence
"""A sentence with or without quantities in it."""


def say_note(note: Note | Exception, units: Units, translate: Translate = as_it_is) -> str:
    """A note, or what an error says, with quantities in `units`."""
    match note:
        case Sentence() | GaugeSentence() | PullSentence():
            return note.say(units, translate)
        case SentenceError():
            return say_note(note.note, units, translate)
        case Exception():
            return str(note)
    return translate(note)
