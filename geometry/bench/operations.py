"""One step at the bench: which holes, with what, from where and how deep; and the steps of one kind of bore.

Brad point and Forstner bits stay where they are put: the wide bore first, then the bore right through on a backing
board. A twist bit wanders: a pilot right through, drilled square, leads it. A piloted counterbore runs in the post
hole, which comes first. Workshop practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import msgspec

from geometry.bench.bore_fit import BoreFits, Choice, choose
from geometry.bench.fit_words import bore_notes, choice_notes
from geometry.checks.hardware import POINT_LENGTH
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import Fit
from geometry.trade.hardware import Hardware
from geometry.trade.shop import Shop

Face = Literal["face", "back"]

TWIST, BRAD_POINT, FORSTNER, PILOTED = "twist bit", "brad point bit", "Forstner bit", "piloted counterbore"
"""The kinds of bit."""

_INTO_BACKING = 1.0  # mm; the full width of a bit goes so far into the backing board


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


# The order of bores


_PILOT = 2.0  # mm; the pilot that goes right through before a twist bit
_WIDE = 13.0  # mm; over about half an inch twist bits grab and brad points are rare: from memory
_PILOT_FIT = Fit(_PILOT, _PILOT - 0.5, _PILOT + 0.5, "passes")
_GUIDE_SLACK = 0.5
_TOO_WIDE = "Over 13 mm twist and brad point bits grab: a Forstner bit, or a piloted counterbore."
_TOO_WIDE_INCH = "Over half an inch twist and brad point bits grab: a Forstner bit, or a piloted counterbore."
_HOLLOW = "It enters {0}, where a twist bit grabs: this one stays in its place."


class BoreWork(msgspec.Struct, frozen=True):
    """The bores of one kind of tuner that are alike; the head at them is `thickest` mm thick at most.

    `hollow` is what they enter, such as a pocket, empty for solid wood.
    """

    hardware: Hardware
    fits: BoreFits
    spots: tuple[Spot, ...]
    thickest: float
    hollow: str = ""


def bore_steps(work: BoreWork, shop: Shop) -> Iterator[Operation]:
    """The steps for these bores, in their order, by the bit of the shop."""
    return _with_piloted_bit(work, shop) if shop.bit == "piloted counterbore" else _on_backing(work, shop)


def _bit(work: BoreWork, diameter: float, shop: Shop) -> str:
    """What makes a bore of this diameter."""
    if diameter > _WIDE + SAME or shop.bit == "Forstner":
        return FORSTNER
    return TWIST if shop.bit == "twist" and not work.hollow else BRAD_POINT


def _on_backing(work: BoreWork, shop: Shop) -> Iterator[Operation]:
    wide, through = work.fits.counterbore, work.fits.through
    bits = [_bit(work, fit.diameter, shop) for fit in (wide, through) if fit is not None]
    if TWIST in bits:
        yield _through(
            work, "Pilot right through", TWIST, _PILOT_FIT, shop, "Square to the face: it leads the bits."
        )
    led = ""
    if wide is not None:
        yield _counterbore(work, wide, bits[0], shop)
        led = "Its point stands in the centre mark of the counterbore. "
    note = f"{led}Slowly at the end, into the backing board, or the back splinters."
    yield _through(work, "Bore right through", bits[-1], through, shop, note)


def _with_piloted_bit(work: BoreWork, shop: Shop) -> Iterator[Operation]:
    led = "First: the pilot of the counterbore runs in it."
    if work.fits.counterbore is not None:
        through = work.fits.through
        yield _through(work, "Post hole", _bit(work, through.diameter, shop), through, shop, led)
        yield _counterbore(work, work.fits.counterbore, PILOTED, shop)
        return
    post = work.hardware.post_diameter
    guide = Fit(post, post - _GUIDE_SLACK, post + _GUIDE_SLACK, "passes")
    yield _through(work, "Post hole", _bit(work, post, shop), guide, shop, f"{led} As wide as that pilot.")
    yield _through(work, "Bore right through", PILOTED, work.fits.through, shop)


def _counterbore(work: BoreWork, fit: Fit, bit: str, shop: Shop) -> Operation:
    wide = work.hardware.bore.counterbore
    assert wide is not None, "a fit of a counterbore comes from one"
    choice = choose(fit, shop.drills)
    stop = wide.depth + point_length(bit, fit, choice)
    return _step(work, "Counterbore", Hole(bit, fit, choice, wide.depth, "face", False, stop), shop)


def _through(work: BoreWork, name: str, bit: str, fit: Fit, shop: Shop, note: str = "") -> Operation:
    choice = choose(fit, shop.drills)
    stop = work.thickest + _INTO_BACKING + point_length(bit, fit, choice)
    return _step(work, name, Hole(bit, fit, choice, None, "face", True, stop), shop, note)


def _step(work: BoreWork, name: str, hole: Hole, shop: Shop, note: str = "") -> Operation:
    said = bore_notes(work.hardware, work.fits, hole.fit, shop.units)
    said += choice_notes(hole.fit, hole.choice, shop.units)
    return Operation(name, work.spots, hole, (*said, *_why(work, hole, shop), *([note] if note else [])))


def _why(work: BoreWork, hole: Hole, shop: Shop) -> Iterator[str]:
    """Why another bit than the shop's is used."""
    if hole.bit == FORSTNER and shop.bit != "Forstner":
        yield _TOO_WIDE if shop.units == "mm" else _TOO_WIDE_INCH
    elif hole.bit == BRAD_POINT and shop.bit == "twist":
        yield _HOLLOW.format(work.hollow)
