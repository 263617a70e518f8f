"""What a check hands over: measured quantities of parts against their limits, not yet judged."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from geometry.shape.point import Point
from geometry.trade.limits import Limit, Rule, Sense, Unit

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

PartKind = Literal[
    "bore",
    "post",
    "button",
    "body",
    "washer",
    "screw",
    "pin",
    "string",
    "edge",
    "region",
    "hole",
    "head",
    "row",
]


class Part(msgspec.Struct, frozen=True, gc=False):
    """What a finding is about: its kind, the key in the build (empty for the head), and what people call it."""

    kind: PartKind
    key: str
    label: str

    @property
    def name(self) -> str:
        """Kind and label, such as "bore 3" or "treble edge"."""
        if self.kind == "edge":
            return f"{self.label} edge".strip()
        return f"{self.kind} {self.label}".strip()


NEVER = np.nan
"""Stands for a limit that is never reached."""


class Gaps(msgspec.Struct, frozen=True):
    """Measured quantities (k,) of one check.

    `i` and `j` (k,) point into `parts`, j is -1 where the quantity belongs to one part alone. `watch` and `stop`
    (k,) are the required values, NEVER where there is none. `here` and `there` (k, 2) are the ends of the dimension in
    mm. `notes` are sentences that go with the quantities, none or one for each.
    """

    rule: Rule
    parts: Sequence[Part]
    measured: Floats
    i: Indices
    j: Indices
    watch: Floats
    stop: Floats
    here: Floats
    there: Floats
    notes: Sequence[str] = ()

    @property
    def unit(self) -> Unit:
        """Unit of the measured quantity."""
        return self.rule.unit

    @property
    def sense(self) -> Sense:
        """Whether the limits are floors or ceilings."""
        return self.rule.sense


def gaps(
    rule: Rule,
    parts: Sequence[Part],
    measured: Floats,
    i: Indices,
    here: Floats,
    there: Floats,
    *,
    j: Indices | None = None,
    bore: Floats | float = 0.0,
    notes: Sequence[str] = (),
) -> Gaps:
    """The quantities with the limits of their rule, for bores of diameter `bore` (k,) in mm."""
    count = len(measured)
    alone = np.full(count, -1, dtype=np.intp)
    return Gaps(
        rule=rule,
        parts=parts,
        measured=measured,
        i=i,
        j=alone if j is None else j,
        watch=required(rule.watch, bore, count),
        stop=required(rule.stop, bore, count),
        here=here,
        there=there,
        notes=notes,
    )


def required(limit: Limit | None, bore: Floats | float, count: int) -> Floats:
    """Required values (count,) of a limit."""
    if limit is None:
        return np.full(count, NEVER)
    return np.broadcast_to(np.maximum(limit.least, limit.of_bore * np.asarray(bore)), (count,))


def none_of(rule: Rule) -> Gaps:
    """No quantities at all."""
    empty = np.empty((0, 2))
    return gaps(rule, (), np.empty(0), np.empty(0, dtype=np.intp), empty, empty)


def points(places: Sequence[Point]) -> Floats:
    """Places as an array (n, 2)."""
    return np.array([(place.x, place.y) for place in places]).reshape(-1, 2)
