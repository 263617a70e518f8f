"""Cures in words: "move post 4 by 1.2 mm to the tip: everything clears, smallest ring 1.9 mm"."""

from __future__ import annotations

from geometry.checks.judge import Finding, Level
from geometry.curing.judged import ROOM, Cure
from geometry.search.rings.allowance import rounded_down
from geometry.trade.quantities import show_radius
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

TOLD = 2
"""So many things to look at are named, the rest are counted."""


def say_cure(cure: Cure, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """What to do and what comes of it."""
    act = cure.act[:1].upper() + cure.act[1:]
    return f"{act}: {say_outcome(cure, units, translate)}"


def say_outcome(cure: Cure, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """What comes of a cure: what is left of the head, rows it bends, the smallest ring, what is new to look at.

    A ring that is less than a hand needs is told as too little.
    """
    told = [_left(cure, translate)]
    if cure.level is not Level.FINE:
        told.append(translate("this one only to look at"))
    if cure.bent:
        told.append(
            translate(
                "its row is then not straight" if cure.bent == 1 else "their rows are then not straight"
            )
        )
    if cure.ring is not None:
        told.append(translate(_ring_words(cure.ring)).format(show_radius(cure.ring, units)))
    fresh = translate("; then look at {0}").format(_named(cure.fresh, translate)) if cure.fresh else ""
    return ", ".join(told) + fresh


def _ring_words(ring: float) -> str:
    if rounded_down(ring) <= 0:
        return "no room to miss"
    return "smallest ring {0}" if ring >= ROOM else "smallest ring only {0}"


def _left(cure: Cure, translate: Translate) -> str:
    """What is left of the whole head, counted as the headline counts it."""
    if cure.stops:
        return translate("1 problem left" if cure.stops == 1 else "{0} problems left").format(cure.stops)
    if cure.watches:
        return translate("no stop left, {0} to look at").format(cure.watches)
    return translate("everything clears")


def _named(found: tuple[Finding, ...], translate: Translate) -> str:
    names = [f"{translate(each.check)} ({' – '.join(part.name for part in each.about)})" for each in found]
    more = len(names) - TOLD
    told = ", ".join(names[:TOLD])
    return told if more <= 0 else translate("{0} and {1} more").format(told, more)
