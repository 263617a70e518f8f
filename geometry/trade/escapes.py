r"""One escape for each place where text goes that came out of a file, so that it is shown there and does nothing.

Names are the maker's and may hold any character; a file may come from anybody. What steers a terminal, a label or a
reader, and what breaks or turns a line, is shown as an escape such as `\x1b`. Letters of every script stay, and so do
the joiners that some scripts need.
"""

from __future__ import annotations

import re

STEERING = re.compile(
    "[\x00-\x1f\x7f-\x9f"  # C0 and C1 controls, ECMA-48: line breaks, escape sequences
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # UAX #9: marks, embeddings and isolates of direction
    "\u2028\u2029"  # line and paragraph separators
    "\u00ad\u2060-\u2064\ufeff\ufff9-\ufffb\U000e0000-\U000e007f"  # what is there and cannot be seen
    "\ud800-\udfff]"  # halves of characters, which no encoding can hold
)
"""A character that does something instead of being seen."""


def on_one_line(text: str) -> str:
    """For a terminal, a title, a label without mark-up: one line, in which every character is seen."""
    return STEERING.sub(_spelt, text)


def in_refusal(text: str) -> str:
    """For a sentence that quotes what was not understood: all of it to be seen, spaces of other kinds too."""
    return text if text.isprintable() else repr(text)[1:-1]


def quoted(text: str) -> str:
    """The same between the quotes that every sentence has round what it quotes, such as "4x"."""
    return f'"{in_refusal(text)}"'


def in_json(text: str) -> str:
    """For JSON that is printed: the same JSON, with what steers a terminal as its escapes."""
    return STEERING.sub(_spelt_for_json, text)


def in_tip(text: str) -> str:
    """For a tip, which reads what looks like mark-up as such: its signs are letters."""
    told = on_one_line(text)
    if "<" not in told and "&" not in told:
        return told
    from html import escape  # only now: its table of names is long, and commands have no tips

    return f"<span>{escape(told)}</span>"


def in_menu(text: str) -> str:
    """For a menu, a button or a tab, where & marks the key of a letter."""
    return on_one_line(text).replace("&", "&&")


def in_dxf(text: str) -> str:
    r"""For TEXT in a DXF, by its reference: `%%` begins a sign, `^` a control character, `\U+` and `\M+` a letter.

    A caret with a space behind it is a caret. Nothing of the kind is defined for the others, so a joiner that nobody
    sees parts their signs. Letters beyond ASCII are spelt by their numbers, for which the reference has four digits:
    some readers fail on bytes of any other kind.
    """
    parted = re.sub(r"%(?=%)|\\(?=[UuMm]\+)", lambda found: f"{found.group()}{_JOINER}", on_one_line(text))
    return _BEYOND_ASCII.sub(_by_number, parted.replace("^", "^ "))


_JOINER = "\u200d"
_BEYOND_ASCII = re.compile("[^\x00-\x7f]")
_FOUR_DIGITS, _REPLACEMENT = 0xFFFF, 0xFFFD


def _by_number(found: re.Match[str]) -> str:
    number = ord(found.group())
    return f"\\U+{number if number <= _FOUR_DIGITS else _REPLACEMENT:04X}"


def _spelt(found: re.Match[str]) -> str:
    return found.group().encode("unicode_escape").decode("ascii")


def _spelt_for_json(found: re.Match[str]) -> str:
    if found.group() in "\n\r\t":
        return found.group()  # between values, where JSON has them; within words they are escapes already
    units = found.group().encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at : at + 2].hex()}" for at in range(0, len(units), 2))
