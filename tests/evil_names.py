"""Names that do something where they are shown as they are."""

from __future__ import annotations

from typing import Any

EVIL = {
    "escape sequence": "\x1b[2J\x1b]0;owned\x07",
    "C1 escape": "\x9b31mred\x85next",
    "line of its own": "six in line\nfine.pegwright: It can be drilled: everything clears.",
    "carriage return": "STOP\rfine",
    "line separators": "one\u2028two\u2029three",
    "turned round": "\u202egnip.nepo\u202c\u2066",
    "not to be seen": "wal\u200elnut\ufeff\U000e0041",
    "mark-up": "<b>bold</b><img src='file:///etc/passwd'><a href='http://x'>y</a>",
    "mnemonic": "Save & quit",
    "sign of a drawing": "%%c12 %%u^J^M \\U+0041 \\M+1B2D3",
    "end of a string": 'a"}\\',
    "table formula": "=1+1",
}
"""Each name under what it does."""

FINE = {
    "letters": "Ørsted ß 弦 ქართული",
    "joiners": "क्\u200dष می\u200cخواهم",
    "spaces": "no\u00a0break",
    "dashes": "a—b",
}
"""Names that are shown as they are."""


def named(value: Any, name: str) -> Any:
    """The plain data of a build or shop with this name wherever it says a name."""
    if isinstance(value, dict):
        return {
            key: name if key in {"name", "wood"} and isinstance(each, str) else named(each, name)
            for key, each in value.items()
        }
    return [named(each, name) for each in value] if isinstance(value, list) else value
