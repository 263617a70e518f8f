"""Why the sides of a head are not alike, in words."""

from __future__ import annotations

from geometry.search.placing.alike import Unlike
from geometry.trade.quantities import show_measured
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

TEXTS: dict[str, str] = {
    "outline": "the outline is {by} off its own mirror image.",
    "counts": "the number of tuners is not the same: {bass} on the bass side, {treble} on the treble side.",
    "rows": "the tuners of both sides do not stand in the same rows.",
    "tuners": "tuner {a} is another model than tuner {b}.",
    "rules": "the rows of tuner {a} and tuner {b} are placed by different rules.",
    "no place": "tuner {a} or tuner {b} has no place.",
    "places": "tuner {a} stands {by} off the mirror image of tuner {b}.",
}
"""By what is unlike, after "the two sides are not alike:": `a` and `b` are tuners, `by` a length."""


def say_unlike(found: Unlike, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """The end of a sentence that has said that the two sides are not alike."""
    bass, treble = found.counts
    why = "rows" if found.why == "counts" and bass == treble else found.why
    a, b = found.posts
    return translate(TEXTS[why]).format(a=a, b=b, by=show_measured(found.by, units), bass=bass, treble=treble)
