"""Measured quantities and what they are held against: the table of default limits, written out once more."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.oracle.curve import Json

Pair = tuple[float, float]
"""A limit: the larger of so many mm (or degrees) and such a share of the bore."""

AT_LEAST: dict[str, tuple[Pair | None, Pair | None]] = {
    "wall": ((4.8, 0.5), (3.0, 0.25)),
    "end distance": ((0, 1.5), (0, 1.0)),
    "web along grain": ((0, 1.0), (0, 0.5)),
    "web across grain": ((0, 0.75), (0, 0.5)),
    "body gap": ((1.0, 0), (0, 0)),
    "butting body gap": (None, (-0.1, 0)),
    "washer gap": ((1.0, 0), (0, 0)),
    "seat": ((0.5, 0), (0, 0)),
    "seat on flat back": ((1.0, 0), (0, 0)),
    "button gap": ((3.0, 0), (0.5, 0)),
    "button to edge": ((1.5, 0), (0.5, 0)),
    "screw to edge": ((3.0, 0), (1.5, 0)),
    "screw to hole": ((3.0, 0), (1.0, 0)),
    "screw to own bore": ((0.5, 0), (0, 0)),
    "screw depth": ((2.0, 0), (0.5, 0)),
    "string to post": ((1.0, 0), (0, 0)),
    "string to string": ((1.5, 0), (0.2, 0)),
    "string over washers": ((0.5, 0), (0, 0)),
    "string over wood": ((0, 0), None),
    "wraps": ((0.5, 0), (0, 0)),
    "break": ((4.0, 0), (0.5, 0)),
    "first post": ((20.0, 0), None),
    "first washer": ((3.0, 0), (0, 0)),
    "first button": ((20.0, 0), None),
    "into the nut": (None, (0, 0)),
    "thickness": ((0.5, 0), (0, 0)),
    "keep clear": ((2.0, 0), (0, 0)),
    "width at nut": (None, (-0.1, 0)),
    "cutter radius": ((0, 0), None),
    "blank": (None, (0, 0)),
}
AT_MOST: dict[str, tuple[Pair | None, Pair | None]] = {
    "splay": ((13.0, 0), None),
    "high break": ((21.0, 0), None),
    "overhang at nut": ((1.0, 0), None),
    # Percent of what the tuner takes.
    "thickest string": ((100.0, 0), None),
    # Shares of the play.
    "plate fit": ((0, 0.5), (0, 1.0)),
    "outline": (None, (0, 0)),
    "placement": (None, (0, 0)),
    "order": (None, (0, 0)),
}
NEAR = 0.01
"""mm that two measurements may differ, and degrees where angles are measured."""
NEAR_DEGREES = 0.05
DEGREES = ("splay", "break", "high break")


@dataclass(frozen=True)
class Limits:
    """What a build holds a check against."""

    build: Json

    def of(self, check: str, bore: float = 0.0) -> tuple[float | None, float | None]:
        """The watch and the stop limit for a bore."""
        pair = (AT_LEAST | AT_MOST)[check]
        found = dict(zip(("watch", "stop"), pair, strict=True))
        for change in self.build.get("limits", []):
            if change["rule"] == check:
                found[change["level"]] = (change["least"], change.get("of_bore", 0.0))
        watch, stop = (
            each and (max(each[0], each[1] * bore) if each[1] else each[0]) for each in found.values()
        )
        return watch, stop


@dataclass(frozen=True)
class Gap:
    """One measured quantity: `parts` are the names of what it is about.

    `overlaps` says that a negative quantity is only known to be one; `faint` that it hangs on a touch too slight to
    tell; `loose` is how far two sound measurements may differ besides.
    """

    check: str
    parts: tuple[str, ...]
    measured: float
    watch: float | None
    stop: float | None
    overlaps: bool = False
    faint: bool = False
    loose: float = 0.0

    @property
    def most(self) -> bool:
        """Whether the quantity may be at most its limits."""
        return self.check in AT_MOST

    def margin(self, limit: float | None) -> float:
        """How far the quantity is on the good side of a limit."""
        if limit is None:
            return math.inf
        return limit - self.measured if self.most else self.measured - limit

    @property
    def near(self) -> float:
        """How far another measurement of it may differ."""
        return (NEAR_DEGREES if self.check in DEGREES else NEAR) + self.loose

    @property
    def level(self) -> str:
        """Exactly 3 mm satisfies 3 mm, within a millionth."""
        if self.margin(self.stop) < -1e-6:
            return "stop"
        return "watch" if self.margin(self.watch) < -1e-6 else "fine"


@dataclass
class Found:
    """Gaps as they are found."""

    limits: Limits
    gaps: list[Gap] = field(default_factory=list)

    def add(self, check: str, *parts: str, measured: float, bore: float = 0.0, **known: float) -> None:
        """Hold a quantity against the limits of its check; `known` are `overlaps`, `faint` and `loose` of a gap."""
        watch, stop = self.limits.of(check, bore)
        overlaps, faint = bool(known.get("overlaps")) and measured < 0, bool(known.get("faint"))
        loose = known.get("loose", 0.0)
        self.gaps.append(
            Gap(check, parts, measured, watch, stop, overlaps=overlaps, faint=faint, loose=loose)
        )
