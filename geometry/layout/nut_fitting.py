"""Fitting a nut by its underside, in words: what was measured over fret 1, what is wanted, what comes off."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.nut_slots import fitted_underside, nut_slots
from geometry.trade.nut_work import Underside, lowered_at_fret
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

TOLD = 0.005
"""mm; less is no cut and no gap: lengths are told to a hundredth, and feeler gauges tell no more."""


class Fitting(msgspec.Struct, frozen=True):
    """What was measured and is wanted over fret 1, bass and treble, the nut's height now, in mm, and the cut."""

    measured: tuple[float, float]
    wanted: tuple[float, float]
    height: float
    cut: Underside


def fit_nut(
    build: Build,
    layout: Layout,
    measured: tuple[float, float],
    wanted: tuple[float | None, float | None] = (None, None),
    height: float | None = None,
) -> Fitting:
    """The fitting of a nut with strings, by clearances in mm over fret 1, bass and treble.

    What is wanted is by default what the build wants, and the nut as high as its lowest slot's top.
    """
    nut = build.nut
    aims = (
        nut.clearance_bass if wanted[0] is None else wanted[0],
        nut.clearance_treble if wanted[1] is None else wanted[1],
    )
    if height is None:
        height = usual_height(build, layout)
    return Fitting(measured, aims, height, fitted_underside(build, layout, measured, aims, height))


def usual_height(build: Build, layout: Layout) -> float:
    """Height in mm of a finished nut with strings: at its lowest place."""
    return min(slot.top for slot in nut_slots(build, layout))


def say_fitting(build: Build, fitting: Fitting, units: Units) -> Iterator[str]:
    """What to do, sentence by sentence."""
    cut = fitting.cut
    yield (
        f"Over fret 1, bass and treble: measured {_pair(fitting.measured, units)}, "
        f"wanted {_pair(fitting.wanted, units)}."
    )
    for name, missing in (("bass", cut.raise_bass), ("treble", cut.raise_treble)):
        if missing >= TOLD:
            yield (
                f"The {name}-most string is too low already: raise the nut by {show_length(missing, units)} there "
                "with a shim, or make a new one."
            )
    if max(cut.bass_end, cut.treble_end) >= TOLD:
        yield (
            f"Take off the bottom, as one straight cut: {show_length(cut.bass_end, units)} at the bass end, "
            f"{show_length(cut.treble_end, units)} at the treble end."
        )
        at_12 = tuple(lowered_at_fret(end, 12) for end in (cut.bass_end, cut.treble_end))
        yield f"Over fret 12 the strings come down by half of that: {_pair(at_12, units)}."
    else:
        yield "Take nothing off the bottom."
    if cut.limited:
        least, height = show_length(build.nut.least_height, units), show_length(fitting.height, units)
        yield f"That is less than wanted: the nut is {height} high and keeps {least} at least."


def _pair(lengths: tuple[float, ...], units: Units) -> str:
    return " and ".join(show_length(length, units) for length in lengths)
