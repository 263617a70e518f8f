"""The correction of a printer: the factors that make its lengths true."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta

LEAST_FACTOR, MOST_FACTOR = 0.95, 1.05
"""Between these lies every factor that a printer can need; beyond them the page was scaled."""

PrinterName = Annotated[str, Meta(min_length=1, max_length=60)]
Factor = Annotated[float, Meta(ge=LEAST_FACTOR, le=MOST_FACTOR)]


class PrinterProfile(msgspec.Struct, frozen=True, forbid_unknown_fields=True, gc=False):
    """A printer and its factors, wanted length / measured length, across and up.

    Raises ValueError for a factor outside 0.95 to 1.05: so large an error is the setting "fit to page", and
    cured there.
    """

    name: PrinterName
    factor_x: Factor = 1.0
    factor_y: Factor = 1.0

    def __post_init__(self) -> None:
        for axis, factor in (("across", self.factor_x), ("up", self.factor_y)):
            if not LEAST_FACTOR <= factor <= MOST_FACTOR:
                message = (
                    f"The printer factor {axis} is {factor:g}; it must lie between {LEAST_FACTOR} and "
                    f"{MOST_FACTOR}. A larger error means that the page was scaled: print at 100 % and measure again."
                )
                raise ValueError(message)

    @property
    def turned(self) -> PrinterProfile:
        """The same printer for a page that goes through it turned by a quarter."""
        return PrinterProfile(name=self.name, factor_x=self.factor_y, factor_y=self.factor_x)

    @property
    def correction(self) -> str:
        """The factors as words: "x 1.0000 y 1.0000"."""
        return f"x {self.factor_x:.4f} y {self.factor_y:.4f}"


NOT_CORRECTED = PrinterProfile(name="not corrected")
"""A printer that nobody has measured."""
