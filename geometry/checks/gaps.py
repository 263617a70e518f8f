"""What a check hands over: measured quantities of parts against their limits, not yet judged."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np

from geometry.shape.close import Floats, Indices
from geometry.trade.limits import Limit, Rule
from geometry.trade.sentence import Note

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
    "retainer",
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

    @property
    def said(self) -> str:
        """The name as it stands in a sentence: an edge with its article."""
        return f"the {self.name}" if self.kind == "edge" else self.name


NEVER = np.nan
"""Stands for a limit that is never reached."""


class Gaps(msgspec.Struct, frozen=True, gc=False):
    """Measured quantities (k,) of one check.

    `i` and `j` (k,) point into `parts`; `j` is None where each quantity belongs to one part alone. `watch` and `stop`
    are the required values, for all or for each (k,), NEVER where there is none. `here` and `there` (k, 2) are the
    ends of the dimension in mm. `notes` are sentences that go with the quantities, none or one for each.
    """

    rule: Rule
    parts: Sequence[Part]
    measured: Floats
    i: Indices
    j: Indices | None
    watch: Floats | float
    stop: Floats | float
    here: Floats
    there: Floats
    notes: Sequence[Note] = ()


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
    notes: Sequence[Note] = (),
) -> Gaps:
    """The quantities with the limits of their rule, for bores of diameter `bore` (k,) in mm."""
    watch, stop = required(rule.watch, bore), required(rule.stop, bore)
    return Gaps(rule, parts, measured, i, j, watch, stop, here, there, notes)


def required(limit: Limit | None, bore: Floats | float) -> Floats | float:
    """The required values of a limit for bores of diameter `bore` (k,) in mm."""
    if limit is None:
        return NEVER
    if limit.of_bore == 0:
        return limit.least
    found: Floats = np.maximum(limit.least, limit.of_bore * np.asarray(bore))
    return found


def none_of(rule: Rule) -> Gaps:
    """No quantities at all."""
    empty = np.empty((0, 2))
    return gaps(rule, (), np.empty(0), np.empty(0, dtype=np.intp), empty, empty)
