"""What a search for the best placement tells beside its rings, in words."""

from __future__ import annotations

from geometry.search.placing.plain import LEAST_GAIN, TELLABLE
from geometry.trade.quantities import show_measured
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

GIVEN_UP = (
    "A smallest ring {0} larger was found with sides or pitches less alike, or with more to look at; "
    "below {1} it is not worth that."
)


def say_given_up(given_up: float, units: Units = "mm", translate: Translate = as_it_is) -> str | None:
    """What was left for the sake of what is alike; None where that is too little to tell. `given_up` is in mm."""
    if given_up < TELLABLE:
        return None
    return translate(GIVEN_UP).format(show_measured(given_up, units), show_measured(LEAST_GAIN, units))
