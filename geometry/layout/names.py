"""Names of holes as people say them: in order, and a run of numbers by its first and last."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import groupby


def natural(name: str) -> list[tuple[bool, int, str]]:
    """A key that sorts names with numbers as people count: 2 before 10, 10 before 10a, numbers before words."""
    return [
        (False, int(part), "") if part[0] in "0123456789" else (True, 0, part)
        for part in re.findall(r"[0-9]+|[^0-9]+", name)
    ]


def run_words(names: Iterable[str]) -> str:
    """The names in natural order; three and more that follow each other by their first and last: "1 to 4, 6"."""
    ordered = sorted(names, key=natural)
    words = []
    for _, run in groupby(enumerate(ordered), key=lambda each: _rank(each[1], each[0])):
        run_names = [name for _, name in run]
        words += run_names if len(run_names) < 3 else [f"{run_names[0]} to {run_names[-1]}"]
    return ", ".join(words)


def _rank(name: str, place: int) -> tuple[str, int]:
    """The same for names that follow each other at these places: what kind they are, and number less place."""
    match = re.fullmatch(r"([A-Z]?)([0-9]+)([ab]?)", name)
    if match is None:
        return name, -1
    letter, number, half = match[1], int(match[2]), match[3]
    # Strings in pairs count on from 1a over 1b to 2a.
    return (f"{letter}½", 2 * number + (half == "b") - place) if half else (letter, number - place)
