"""Where each string crosses the nut line, in head coordinates."""

from __future__ import annotations

from itertools import groupby
from string import ascii_lowercase
from typing import Literal

from msgspec import UNSET

from geometry.document.build import Build, String
from geometry.trade.nut import Margins, slot_positions


def courses(strings: tuple[String, ...]) -> list[tuple[String, ...]]:
    """The strings by course, treble-most first; a string without a course is one of its own."""
    groups = groupby(enumerate(strings), key=lambda each: each[1].course or f" {each[0]}")
    return [tuple(string for _, string in group) for _, group in groups]


def trade_numbers(strings: tuple[String, ...]) -> dict[str, str]:
    """What people call each string, by key: 1 is the treble-most; courses are 1a, 1b."""
    numbers: dict[str, str] = {}
    for number, course in enumerate(courses(strings), start=1):
        for place, string in enumerate(course):
            numbers[string.key] = f"{number}{_letter(place)}" if len(course) > 1 else str(number)
    return numbers


def _letter(place: int) -> str:
    return ascii_lowercase[place] if place < len(ascii_lowercase) else f".{place + 1}"


def margins_to(build: Build) -> Literal["centre", "edge"]:
    """What the nut's margins are measured to: centres or outer edges of the outer strings."""
    nut = build.nut
    if nut.margin_to is not UNSET:
        return nut.margin_to
    plain = nut.spacing == "equal centres" and len(courses(build.strings)) == len(build.strings)
    return "centre" if plain else "edge"


def slots_x(build: Build) -> dict[str, float]:
    """X of each string's centre at the nut line in mm, by string key."""
    nut = build.nut
    grouped = courses(build.strings)
    from_treble = slot_positions(
        nut.width,
        tuple(tuple(string.diameter for string in course) for course in grouped),
        Margins(nut.margin_treble, nut.margin_bass, margins_to(build)),
        nut.spacing,
        nut.course_gap,
    )
    treble = build.sign_of("treble")
    return {
        string.key: treble * (nut.width / 2 - distance)
        for string, distance in zip(build.strings, from_treble, strict=True)
    }


def spread_of(slots: dict[str, float]) -> float:
    """Distance in mm between the outer strings' centres at the nut, from the slots' x by string key."""
    return max(slots.values()) - min(slots.values()) if slots else 0.0
