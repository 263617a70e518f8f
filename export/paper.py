"""Sizes of paper, what a printer does to lengths, and what is stamped on every page."""

from __future__ import annotations

import msgspec

from geometry.trade.escapes import quoted
from geometry.trade.shop import PrinterProfile
from geometry.trade.units import INCH, Units

MARGIN = 10.0
"""Least distance in mm of any ink from the edge of the paper; printers leave 3 to 7 mm blank, some more."""


class Paper(msgspec.Struct, frozen=True):
    """A size of paper in mm, upright: the width is the shorter side."""

    name: str
    width: float
    height: float

    @property
    def landscape(self) -> Paper:
        """The same paper lying on its longer side."""
        return Paper(f"{self.name} landscape", self.height, self.width)


# ISO 216:2007, trimmed sizes, series A; the American sizes are those of ASME Y14.1 and their office names.
PAPERS: dict[str, Paper] = {
    paper.name: paper
    for paper in (
        Paper("A5", 148.0, 210.0),
        Paper("A4", 210.0, 297.0),
        Paper("A3", 297.0, 420.0),
        Paper("A2", 420.0, 594.0),
        Paper("A1", 594.0, 841.0),
        Paper("Letter", 8.5 * INCH, 11 * INCH),
        Paper("Legal", 8.5 * INCH, 14 * INCH),
        Paper("Tabloid", 11 * INCH, 17 * INCH),
    )
}
"""Papers by name."""


def paper_named(name: str) -> Paper:
    """The paper called `name`, capitals or not; ValueError with the names there are when there is none."""
    for known, paper in PAPERS.items():
        if known.casefold() == name.strip().casefold():
            return paper
    message = f"There is no paper called {quoted(name)}. Known papers: {', '.join(PAPERS)}."
    raise ValueError(message)


class Stamp(msgspec.Struct, frozen=True, kw_only=True):
    """What every page of one printing says: the build's name, the date if wanted, the paper, the printer.

    `banner` is one plain sentence shown large at the top of every page, for a drawing that must not be used
    as it is. `units` are those in which the rulers are to be held against a rule. `fingerprint` is that of build, tools
    and program.
    """

    build: str
    paper: Paper = PAPERS["A4"]
    printer: PrinterProfile = PrinterProfile(name="")
    date: str | None = None
    banner: str | None = None
    units: Units = "mm"
    fingerprint: str = ""

    def printer_on(self, paper: Paper) -> PrinterProfile:
        """The printer's factors along the axes of a page: lying pages go through it turned by a quarter."""
        lies = paper.width > paper.height
        return self.printer.turned if lies else self.printer
