"""The order in which one kind of bore is made, chosen by the bit at hand.

Twist bit: a pilot right through, drilled square, shows the way from both faces. Brad point and Forstner bits stay
where they are put: the wide bore first, then the bore right through on a backing board. A piloted counterbore runs in
the post hole, which comes first. Workshop practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from geometry.bench.bore_fit import BoreFits, Fit, choose
from geometry.bench.fit_words import bore_notes, choice_notes
from geometry.bench.operations import (
    BRAD_POINT,
    FORSTNER,
    INTO_BACKING,
    PILOTED,
    TWIST,
    Face,
    Hole,
    Operation,
    Spot,
    point_length,
)
from geometry.trade.hardware import Hardware
from geometry.trade.shop import Shop

PILOT = 2.0
"""mm; the pilot that goes right through."""

WIDE = 13.0
"""mm; twist bits over about half an inch do not fit many chucks, and grab in wood."""

_GRABS = "So wide a twist bit grabs: a Forstner or brad point bit stays where it is put."
_PILOT_FIT = Fit(PILOT, PILOT - 0.5, PILOT + 0.5, "passes")
_GUIDE_SLACK = 0.5


class BoreWork(msgspec.Struct, frozen=True):
    """The bores of one kind of tuner; `thinnest` and `thickest` is the head at them, in mm."""

    hardware: Hardware
    fits: BoreFits
    spots: tuple[Spot, ...]
    thinnest: float
    thickest: float


def bore_steps(work: BoreWork, shop: Shop) -> tuple[Operation, ...]:
    """The steps for these bores, in their order, by the bit of the shop."""
    match shop.bit:
        case "twist":
            return tuple(_with_twist_bit(work, shop))
        case "piloted counterbore":
            return tuple(_with_piloted_bit(work, shop))
        case "brad point":
            return tuple(_on_backing(work, BRAD_POINT, shop))
        case "Forstner":
            return tuple(_on_backing(work, FORSTNER, shop))


# Ways


def _with_twist_bit(work: BoreWork, shop: Shop) -> Iterator[Operation]:
    square = "Drilled square to the face: the wide bits follow it from both sides."
    yield _through(work, "Pilot right through", TWIST, _PILOT_FIT, shop, square)
    through = work.fits.through
    if work.fits.counterbore is not None:
        first = _counterbore(work, work.fits.counterbore, TWIST, shop)
        until = "until it meets the counterbore"
    else:
        first = _blind(work, "First half of the bore", TWIST, through, work.thinnest / 2, "face", shop)
        until = "until it meets the first half"
    yield first
    assert first.hole is not None, "a step of a bore drills"
    assert first.hole.depth is not None, "neither goes right through"
    rest = max(work.thickest - first.hole.depth, INTO_BACKING)
    yield _blind(
        work,
        "Bore from the back",
        TWIST,
        through,
        rest,
        "back",
        shop,
        f"Turned over, on the pilot, {until}; a board under the face.",
    )


def _on_backing(work: BoreWork, bit: str, shop: Shop) -> Iterator[Operation]:
    led = ""
    if work.fits.counterbore is not None:
        yield _counterbore(work, work.fits.counterbore, bit, shop)
        led = "Its point stands in the centre mark of the counterbore. "
    note = f"{led}Slowly at the end, into the backing board, or the back splinters."
    yield _through(work, "Bore right through", bit, work.fits.through, shop, note)


def _with_piloted_bit(work: BoreWork, shop: Shop) -> Iterator[Operation]:
    led = "First: the pilot of the counterbore runs in it."
    if work.fits.counterbore is not None:
        yield _through(work, "Post hole", BRAD_POINT, work.fits.through, shop, led)
        yield _counterbore(work, work.fits.counterbore, PILOTED, shop)
        return
    post = work.hardware.post_diameter
    guide = Fit(post, post - _GUIDE_SLACK, post + _GUIDE_SLACK, "passes")
    yield _through(work, "Post hole", BRAD_POINT, guide, shop, f"{led} As wide as that pilot.")
    yield _through(work, "Bore right through", PILOTED, work.fits.through, shop)


# Steps


def _counterbore(work: BoreWork, fit: Fit, bit: str, shop: Shop) -> Operation:
    wide = work.hardware.bore.counterbore
    assert wide is not None, "a fit of a counterbore comes from one"
    return _blind(work, "Counterbore", bit, fit, wide.depth, "face", shop)


def _through(work: BoreWork, name: str, bit: str, fit: Fit, shop: Shop, note: str = "") -> Operation:
    choice = choose(fit, shop.drills)
    stop = work.thickest + INTO_BACKING + point_length(bit, fit, choice)
    return _step(work, name, Hole(bit, fit, choice, None, "face", True, stop), shop, note)


def _blind(
    work: BoreWork, name: str, bit: str, fit: Fit, depth: float, side: Face, shop: Shop, note: str = ""
) -> Operation:
    choice = choose(fit, shop.drills)
    hole = Hole(bit, fit, choice, depth, side, side == "back", depth + point_length(bit, fit, choice))
    return _step(work, name, hole, shop, note)


def _step(work: BoreWork, name: str, hole: Hole, shop: Shop, note: str) -> Operation:
    if hole.side == "back" and work.fits.counterbore is None:  # the rest was said at the face
        return Operation(name, work.spots, hole, (note,))
    said = bore_notes(work.hardware, work.fits, hole.fit, shop.units)
    said += choice_notes(hole.fit, hole.choice, shop.units)
    if hole.bit == TWIST and hole.fit.diameter > WIDE:
        said += (_GRABS,)
    return Operation(name, work.spots, hole, (*said, note) if note else said)
