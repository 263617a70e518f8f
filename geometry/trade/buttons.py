"""What a tuner's button weighs in another material."""

from __future__ import annotations

LIGHT_SHARE = 0.3
"""Mass of a button of plastic or wood as a share of a metal one of its size.

From memory: metal buttons of 20 to 22 mm weigh 6 to 9 g, those of plastic or ebony 1.5 to 3 g. Weigh yours.
"""

METAL_FROM = 3.0
"""g from which a button on a side shaft is taken to be of metal; from memory, like LIGHT_SHARE."""


def light_button(mass: float) -> float:
    """Mass in g of a plastic or wooden button that takes the place of a metal one of this mass."""
    return LIGHT_SHARE * mass
