"""The one error of a file of ours."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NoReturn

from geometry.trade.escapes import in_refusal, quoted


class FileError(ValueError):
    """A file that cannot be used: names the field, the value and what was expected."""

    def __init__(self, field: str, value: object, expected: str) -> None:
        """Keep the three parts; `field` is a path such as `rows[0].rule.pitch`, empty for the whole file."""
        self.field = field
        self.value = value
        self.expected = expected
        super().__init__(self.sentence())

    def sentence(self) -> str:
        """One line that says what, where and what was expected."""
        where = f"{_shortened(in_refusal(self.field), LONGEST_FIELD)}: " if self.field else ""
        if self.value is MISSING:
            return f"{where}{self.expected}"
        return f"{where}{shown(self.value)} is not usable here; {self.expected}"


def refuse_field(field: str, value: object, expected: str) -> NoReturn:
    """Raise the FileError about a field."""
    raise FileError(field, value, expected)


def meant(name: str, known: Iterable[str], otherwise: str) -> str:
    """What to say of a name that is not known: the one that it may stand for, else what was expected."""
    # Only now: reading a good build must start fast.
    from difflib import get_close_matches

    near = get_close_matches(name, known, 1, 0.75)
    return f'did you mean "{near[0]}"?' if near else otherwise


class _Missing:
    """Stands for a value that is not there."""


MISSING = _Missing()
"""The value of a FileError about something that is not there, or about all of a file."""

WHOLE = ""
"""The field of a FileError about all of a file."""

LONGEST_SHOWN = 60
LONGEST_FIELD = 80


def shown(value: object) -> str:
    """The value on one line, shortened, for an error sentence."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = quoted(value) if isinstance(value, str) else str(value)
    return _shortened(text, LONGEST_SHOWN)


def _shortened(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[: longest - 1] + "…"
