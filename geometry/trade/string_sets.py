"""Common sets of strings by generic names, treble-most first.

Gauges in inches as strings are sold. The electric sets and the four-course gauges of the plain trebles are common
practice with no source; all others are from memory: measure yours.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from geometry.trade.units import INCH

StringKind = Literal["plain", "nickel wound", "bronze wound", "wound", "nylon", "gut"]
"""`wound` is wound with a wrap that is not told, around whatever core."""


def is_wound(kind: StringKind) -> bool:
    """Whether a string of this kind has a wrap."""
    return kind.endswith("wound")


class Gauge(msgspec.Struct, frozen=True):
    """One string of a set: pitch name with its octave (ISO 16 standard tuning), diameter in mm, kind, course."""

    pitch: str
    diameter: float
    kind: StringKind
    course: str = ""


class StringSet(msgspec.Struct, frozen=True):
    """A set of strings and the scale length it is meant for, in mm."""

    key: str
    name: str
    scale_length: float
    gauges: tuple[Gauge, ...]


def _singles(*rows: tuple[str, float, StringKind]) -> tuple[Gauge, ...]:
    return tuple(Gauge(pitch, round(inch * INCH, 4), kind) for pitch, inch, kind in rows)


def _pairs(*rows: tuple[tuple[str, float, StringKind], tuple[str, float, StringKind]]) -> tuple[Gauge, ...]:
    return tuple(
        Gauge(pitch, round(inch * INCH, 4), kind, course=f"course {number}")
        for number, pair in enumerate(rows, start=1)
        for pitch, inch, kind in pair
    )


STRING_SETS: tuple[StringSet, ...] = (
    StringSet(
        "guitar-electric-light",
        "guitar, six, light steel for electric",
        648.0,
        _singles(
            ("E4", 0.010, "plain"),
            ("B3", 0.013, "plain"),
            ("G3", 0.017, "plain"),
            ("D3", 0.026, "nickel wound"),
            ("A2", 0.036, "nickel wound"),
            ("E2", 0.046, "nickel wound"),
        ),
    ),
    StringSet(
        "guitar-acoustic-light",
        "guitar, six, light steel for acoustic",
        648.0,
        _singles(
            ("E4", 0.012, "plain"),
            ("B3", 0.016, "plain"),
            ("G3", 0.024, "bronze wound"),
            ("D3", 0.032, "bronze wound"),
            ("A2", 0.042, "bronze wound"),
            ("E2", 0.053, "bronze wound"),
        ),
    ),
    StringSet(
        "guitar-nylon",
        "guitar, six, nylon with wound basses",
        650.0,
        _singles(
            ("E4", 0.028, "nylon"),
            ("B3", 0.032, "nylon"),
            ("G3", 0.040, "nylon"),
            ("D3", 0.029, "wound"),
            ("A2", 0.035, "wound"),
            ("E2", 0.043, "wound"),
        ),
    ),
    StringSet(
        "guitar-twelve",
        "guitar, six courses of two, steel",
        648.0,
        _pairs(
            (("E4", 0.010, "plain"), ("E4", 0.010, "plain")),
            (("B3", 0.014, "plain"), ("B3", 0.014, "plain")),
            (("G3", 0.024, "bronze wound"), ("G4", 0.009, "plain")),
            (("D3", 0.032, "bronze wound"), ("D4", 0.012, "plain")),
            (("A2", 0.040, "bronze wound"), ("A3", 0.018, "plain")),
            (("E2", 0.048, "bronze wound"), ("E3", 0.028, "bronze wound")),
        ),
    ),
    StringSet(
        "mandolin",
        "mandolin, four courses of two, steel",
        352.0,
        _pairs(
            (("E5", 0.011, "plain"), ("E5", 0.011, "plain")),
            (("A4", 0.015, "plain"), ("A4", 0.015, "plain")),
            (("D4", 0.026, "bronze wound"), ("D4", 0.026, "bronze wound")),
            (("G3", 0.040, "bronze wound"), ("G3", 0.040, "bronze wound")),
        ),
    ),
    StringSet(
        "bass-four",
        "bass, four, wound",
        864.0,
        _singles(
            ("G2", 0.045, "nickel wound"),
            ("D2", 0.065, "nickel wound"),
            ("A1", 0.085, "nickel wound"),
            ("E1", 0.105, "nickel wound"),
        ),
    ),
    StringSet(
        "ukulele-tenor",
        "tenor ukulele, four, nylon, high fourth",
        430.0,
        _singles(
            ("A4", 0.024, "nylon"), ("E4", 0.032, "nylon"), ("C4", 0.034, "nylon"), ("G4", 0.026, "nylon")
        ),
    ),
    StringSet(
        "ukulele-tenor-low",
        "tenor ukulele, four, nylon, low wound fourth",
        430.0,
        _singles(
            ("A4", 0.024, "nylon"), ("E4", 0.032, "nylon"), ("C4", 0.034, "nylon"), ("G3", 0.030, "wound")
        ),
    ),
    StringSet(
        "stick-dulcimer-three",
        "stick dulcimer, three, steel",
        585.0,
        _singles(("G4", 0.010, "plain"), ("D4", 0.012, "plain"), ("G3", 0.022, "bronze wound")),
    ),
)


def find_string_set(key: str) -> StringSet | None:
    """The set called `key`, or None."""
    return next((each for each in STRING_SETS if each.key == key), None)
