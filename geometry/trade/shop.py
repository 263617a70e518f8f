"""What belongs to the maker and not to one build: drills, nut files, cutters, printers, paper, units.

`geometry/document/codec.py` reads and writes its file.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from geometry.trade.cradle_sizes import CradleSizes
from geometry.trade.drills import Drill, Series, own_drill, series_drills
from geometry.trade.fits import StoredFit
from geometry.trade.limits import ChangedLimit
from geometry.trade.measures import LEAST, LENGTH_MARK, BuildUp, Size
from geometry.trade.own_wood import OwnWood
from geometry.trade.printer_correction import NOT_CORRECTED, PrinterProfile
from geometry.trade.units import Units
from geometry.trade.wood import Wood

PaperName = Literal["A5", "A4", "A3", "A2", "A1", "Letter", "Legal", "Tabloid"]
BitKind = Literal["twist", "brad point", "Forstner", "piloted counterbore"]
"""What a maker bores with; it decides in which order a bore is made."""

Diameter = Annotated[float, Meta(ge=LEAST, le=100, extra={LENGTH_MARK: True})]
Kerf = Annotated[float, Meta(ge=0, le=10, extra={LENGTH_MARK: True})]
Clearance = Annotated[float, Meta(ge=0, le=1, extra={LENGTH_MARK: True})]
# No more than the plate of a printed guide has beside a dowel.
Wall = Annotated[float, Meta(ge=0.4, le=2.5, extra={LENGTH_MARK: True})]


class Shop(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A maker's tools and habits. Lengths in mm.

    `extra_drills` are diameters outside the series, such as reamers, `cutters` those of router bits, the smallest of
    which new builds hold their hollows against, none for who saws by hand, `nut_files` are slot widths,
    `guide_bushing` is the outside diameter of the router bushing, `kerf` the width that a saw or laser takes away,
    `press_throat` the distance from the axis of the drill press's spindle to its column, `press_table` the length of
    its table from left to right, None where nobody has measured them. `bed_width` and `bed_depth` are what a plastic
    printer can print on, `print_clearance` what it must leave between two parts that are to go together, `print_wall`
    the least wall that holds. `limits` are those that new builds begin with, `cradle` the sizes of what holds a head
    under the drill. `bit` is what bores are made with where they are not too wide for it, `woods` are those that the
    table lacks, `fits` the bores that felt right. `finish_build_up` is by how much finish makes a bore of new builds
    narrower.
    """

    units: Units = "mm"
    paper: PaperName = "A4"
    drill_sets: tuple[Series, ...] = ("metric", "fraction")
    extra_drills: tuple[Diameter, ...] = ()
    nut_files: tuple[Diameter, ...] = ()
    cutters: tuple[Diameter, ...] = ()
    printers: Annotated[tuple[PrinterProfile, ...], Meta(min_length=1)] = (NOT_CORRECTED,)
    kerf: Kerf = 0.0
    guide_bushing: Diameter | None = None
    press_throat: Size | None = None
    press_table: Size | None = None
    # Of a printer that lays plastic in layers: common practice, no source.
    bed_width: Size = 220.0
    bed_depth: Size = 220.0
    print_clearance: Clearance = 0.2
    print_wall: Wall = 2.0
    limits: Annotated[tuple[ChangedLimit, ...], Meta(max_length=200)] = ()
    cradle: CradleSizes = CradleSizes()
    bit: BitKind = "brad point"
    finish_build_up: BuildUp = 0.0
    woods: Annotated[tuple[OwnWood, ...], Meta(max_length=200)] = ()
    fits: Annotated[tuple[StoredFit, ...], Meta(max_length=1000)] = ()

    @property
    def drills(self) -> tuple[Drill, ...]:
        """All drills of the shop, rising; of equal ones those of the set named first come first."""
        in_sets = [drill for series in dict.fromkeys(self.drill_sets) for drill in series_drills(series)]
        own = [own_drill(diameter) for diameter in self.extra_drills]
        return tuple(sorted(in_sets + own, key=lambda drill: drill.diameter))

    @property
    def own_woods(self) -> tuple[Wood, ...]:
        """The woods that the maker added, every gap guessed."""
        return tuple(wood.wood for wood in self.woods)


def default_shop() -> Shop:
    """The shop of someone who has not said anything yet."""
    return Shop()
