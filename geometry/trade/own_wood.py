"""A wood that the maker adds to the table, and what is guessed of it when only its weight is known.

The guesses are the relations of strength to specific gravity of hardwoods at 12 % moisture, from memory: Wood
Handbook FPL-GTR-190, chapter 5. Single woods stray from them by a tenth and more, so they count as doubtful.
"""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta

from geometry.trade.wood import Wood

WoodName = Annotated[str, Meta(min_length=1, max_length=60)]
Gravity = Annotated[float, Meta(ge=0.05, le=1.5, description="dry mass over the volume at 12 % moisture")]
Newton = Annotated[float, Meta(ge=100, le=50_000, description="a hardness in N")]
Megapascal = Annotated[float, Meta(ge=0.1, le=500, description="a strength in MPa")]
Gigapascal = Annotated[float, Meta(ge=0.1, le=50, description="a stiffness in GPa")]

MOIST = 1120.0
"""kg/m3 at 12 % moisture for a specific gravity of 1 by the volume there."""

MEASURED = "your own wood"
GUESSED = f"{MEASURED}; {{}} guessed from its specific gravity, Wood Handbook, ch. 5, from memory"
"""Where the numbers are from, with the names of those that are guessed."""


class OwnWood(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A wood as the maker knows it: its name and specific gravity, and what a table or a test says besides."""

    name: WoodName
    specific_gravity: Gravity
    janka: Newton | None = None
    modulus_of_rupture: Megapascal | None = None
    modulus_of_elasticity: Gigapascal | None = None
    shear: Megapascal | None = None

    @property
    def wood(self) -> Wood:
        """The wood with every gap guessed; doubtful when its strength is a guess.

        Its source names the guesses among the numbers that anything is told from.
        """
        gravity, rupture, elasticity = (
            self.specific_gravity,
            self.modulus_of_rupture,
            self.modulus_of_elasticity,
        )
        told = (("hardness", self.janka), ("strength", rupture))
        guesses = " and ".join(name for name, value in told if value is None)
        return Wood(
            name=self.name,
            specific_gravity=gravity,
            janka=_guess(15_300, gravity, 2.09) if self.janka is None else self.janka,
            modulus_of_rupture=_guess(171.3, gravity, 1.13) if rupture is None else rupture,
            modulus_of_elasticity=_guess(16.5, gravity, 0.7) if elasticity is None else elasticity,
            shear=self.shear,
            density=MOIST * gravity,
            doubtful=rupture is None,
            source=GUESSED.format(guesses) if guesses else MEASURED,
        )


def _guess(whole: float, gravity: float, exponent: float) -> float:
    """`whole`, the value for a specific gravity of 1, scaled to another one, to the two figures that it is worth."""
    return float(f"{whole * gravity**exponent:.2g}")
