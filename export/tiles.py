"""Where a drawing that is too large for one page is divided."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import msgspec

OVERLAP = 10.0
"""Width in mm of the band that two neighbouring pages both show."""

CLEAR = 1.0
"""How far in mm a seam keeps off a hole."""


class Span(msgspec.Struct, frozen=True, gc=False):
    """A stretch of one axis or along a line, in mm."""

    low: float
    high: float

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.high - self.low


class _Avoid(msgspec.Struct, frozen=True):
    holes: tuple[Span, ...]
    words: tuple[Span, ...]


def spans(
    whole: Span, room: float, holes: Iterable[Span] = (), words: Iterable[Span] = ()
) -> tuple[Span, ...]:
    """The stretches that pages of `room` mm show, in rising order; neighbours share `OVERLAP` mm.

    The seam runs along the middle of the overlap. It keeps off `holes` when it can: a page more is taken
    when that saves a crossing. Among the places that are left it takes one with few `words` in the overlap.
    """
    if whole.length <= room:
        return (whole,)
    avoid = _Avoid(tuple(holes), tuple(words))
    step = room - OVERLAP
    assert step > 0, "the page is smaller than the overlap"
    fewest = max(2, math.ceil((whole.length - OVERLAP) / step - 1e-9))
    choices = [_seams(whole, count, step, avoid) for count in (fewest, fewest + 1)]
    best = min(choices, key=lambda seams: sum(_crossed(seam, CLEAR, avoid.holes) for seam in seams))
    return _between(whole, best)


def seams_between(pieces: tuple[Span, ...]) -> tuple[float, ...]:
    """The places of the seams between neighbouring stretches."""
    return tuple((before.high + after.low) / 2 for before, after in pairwise(pieces))


def _between(whole: Span, seams: tuple[float, ...]) -> tuple[Span, ...]:
    lows = (whole.low, *(seam - OVERLAP / 2 for seam in seams))
    highs = (*(seam + OVERLAP / 2 for seam in seams), whole.high)
    return tuple(Span(low, high) for low, high in zip(lows, highs, strict=True))


def _seams(whole: Span, count: int, step: float, avoid: _Avoid) -> tuple[float, ...]:
    # With half an overlap cut off either end, every page spans at most `step` from seam to seam.
    last, end = whole.low + OVERLAP / 2, whole.high - OVERLAP / 2
    seams: list[float] = []
    for left in range(count - 1, 0, -1):
        even = last + (end - last) / (left + 1)
        last = _seam(even, max(last, end - left * step), min(last + step, end), avoid)
        seams.append(last)
    return tuple(seams)


def _seam(wanted: float, low: float, high: float, avoid: _Avoid) -> float:
    band = OVERLAP / 2 + CLEAR

    def badness(place: float) -> tuple[int, int, int, float]:
        across, beside = _crossed(place, CLEAR, avoid.holes), _crossed(place, band, avoid.holes)
        return across, beside, _crossed(place, band, avoid.words), abs(place - wanted)

    edges = [(span, by) for span in avoid.holes for by in (CLEAR, band)] + [
        (span, band) for span in avoid.words
    ]
    beside = [place for span, by in edges for place in (span.low - by, span.high + by)]
    return min((place for place in (wanted, low, high, *beside) if low <= place <= high), key=badness)


def _crossed(place: float, by: float, holes: tuple[Span, ...]) -> int:
    return sum(hole.low - by < place < hole.high + by for hole in holes)
