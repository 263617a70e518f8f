"""One step at the bench: which holes, with what, from where and how deep."""

from __future__ import annotations

from typing import Literal

import msgspec

from geometry.bench.bore_fit import Choice
from geometry.checks.hardware import POINT_LENGTH
from geometry.shape.point import Point
from geometry.trade.bore_fit import Fit

Face = Literal["face", "back"]

TWIST, BRAD_POINT, FORSTNER, PILOTED = "twist bit", "brad point bit", "Forstner bit", "piloted counterbore"
"""The kinds of bit."""

INTO_BACKING = 1.0
"""mm; the full width of a bit goes so far into the backing board."""


class Spot(msgspec.Struct, frozen=True):
    """A hole by its name, and its centre in head mm as the face shows it."""

    name: str
    at: Point


class Hole(msgspec.Struct, frozen=True):
    """What a bit makes: its fit and the drill for it, how deep, from where, on what.

    `depth` in mm at full width, None for right through. `stop` is how far the lowest point of the bit goes below
    the surface, in mm. `bit` is the kind of bit.
    """

    bit: str
    fit: Fit
    choice: Choice | None
    depth: float | None
    side: Face
    backing: bool
    stop: float


class Operation(msgspec.Struct, frozen=True):
    """One step: its name, the holes it is for, the hole it makes (None: nothing is drilled), and what to mind."""

    name: str
    spots: tuple[Spot, ...]
    hole: Hole | None = None
    notes: tuple[str, ...] = ()


def point_length(bit: str, fit: Fit, choice: Choice | None) -> float:
    """How far a bit's point stands before its full width, in mm; cutters with a rim are set by the rim."""
    diameter = fit.diameter if choice is None else choice.drill.diameter
    return POINT_LENGTH * diameter if bit == TWIST else 0.0
