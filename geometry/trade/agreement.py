"""Whether the measures of a tuner can all be true: its parts go into each other."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.shape.tolerance import PRINT
from geometry.trade.hardware import Hardware, Rectangle
from geometry.trade.measures import LEAST
from geometry.trade.sentence import Sentence


class Agreement(msgspec.Struct, frozen=True):
    """How much wider in mm one part is than what goes into it, negative where it cannot; and what is wrong then."""

    room: float
    wrong: Sentence


def agreement(hardware: Hardware) -> Agreement:
    """The two measures of a tuner that agree least.

    A post goes through its hole, but for a tapered one, for which it is reamed; a bushing is wider outside than the
    post that turns in it, and widest at the crest of its ribs or thread. Neither hole nor bushing is as wide as the
    washer, hexagon or flange that lies on them, or as the body that lies on the back.
    """
    post, bore, bushing = hardware.post_diameter, hardware.bore.through, hardware.bushing
    pairs = []
    if hardware.collar_diameter > 0:
        widest = hardware.bore.largest
        pairs.append((hardware.collar_diameter, widest, "The washer of {0} falls into a hole of {1}."))
        if bushing is not None:
            words = "The bushing is {1} at its crest: the washer of {0} does not cover it."
            pairs.append((hardware.collar_diameter, bushing.crest, words))
    if hardware.body is not None:
        width = min(hardware.body.along, hardware.body.across)
        pairs.append((width, bore, "The body is {0} wide: it falls into a hole of {1}."))
    if not hardware.tapered:
        pairs.append((bore, post, "The post is {1} thick: it does not go through a hole of {0}."))
    if bushing is not None:
        pairs += [
            (bushing.root, post, "The bushing is {0} wide at its root: a post of {1} does not turn in it."),
            (
                bushing.crest,
                bushing.root,
                "The bushing is {0} at its crest and {1} at its root: the crest is wider.",
            ),
        ]
    # A tapered peg alone has nothing that could disagree.
    outer, inner, words = min(pairs, key=lambda pair: pair[0] - pair[1], default=(bore, 0.0, ""))
    return Agreement(outer - inner, Sentence(words, typed=(outer, inner)))


def doubts(hardware: Hardware) -> tuple[Sentence, ...]:
    """What a maker may have measured or typed wrong: measures that disagree, and a seat that is no part of its body."""
    found, said = agreement(hardware), []
    if found.room < 0:
        said.append(found.wrong)
    over = max(_past(hardware.seat, hardware.body)) if hardware.seat and hardware.body else 0.0
    if over > PRINT:
        words = (
            "The seat reaches {0} past the body, which is all of the tuner on the back: measure both again."
        )
        said.append(Sentence(words, (over,)))
    return tuple(said)


def with_body(hardware: Hardware, body: Rectangle) -> Hardware:
    """The tuner with another body, whose seat has as much of the body round it on each side as before.

    So it is while nobody has measured the seat. One that would have no size left stays as it is.
    """
    before, seat = hardware.body, hardware.seat
    if before is not None and seat is not None:
        seat = Rectangle(
            along=seat.along + body.along - before.along,
            across=seat.across + body.across - before.across,
            shift_along=seat.shift_along + body.shift_along - before.shift_along,
            shift_outward=seat.shift_outward + body.shift_outward - before.shift_outward,
        )
        if min(seat.along, seat.across) < LEAST:
            seat = hardware.seat
    return replace(hardware, body=body, seat=seat)


def _past(one: Rectangle, other: Rectangle) -> tuple[float, ...]:
    """How far a rectangle reaches past each side of another one, in mm; negative where it does not."""
    along, outward = one.shift_along - other.shift_along, one.shift_outward - other.shift_outward
    lengthwise, across = (one.along - other.along) / 2, (one.across - other.across) / 2
    return lengthwise + along, lengthwise - along, across + outward, across - outward
