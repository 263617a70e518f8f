"""What belongs to the maker and not to one build.

Drills, cutters, printers, nut files, paper, units, sizes of the cradle, own woods, fits that felt right.
`geometry/document/codec.py` reads and writes its file.
"""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from geometry.trade.drills import Drill, Series, own_drill, series_drills
from geometry.trade.hardware import Bushing
from geometry.trade.limits import ChangedLimit
from geometry.trade.measures import LEAST, LENGTH_MARK, BuildUp, Size
from geometry.trade.units import Units
from geometry.trade.wood import Wood, same_wood

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


PaperName = Literal["A5", "A4", "A3", "A2", "A1", "Letter", "Legal", "Tabloid"]
BitKind = Literal["twist", "brad point", "Forstner", "piloted counterbore"]
"""What a maker bores with; it decides in which order a bore is made."""

Diameter = Annotated[float, Meta(ge=LEAST, le=100, extra={LENGTH_MARK: True})]
Kerf = Annotated[float, Meta(ge=0, le=10, extra={LENGTH_MARK: True})]
Clearance = Annotated[float, Meta(ge=0, le=1, extra={LENGTH_MARK: True})]
# No more than the plate of a printed guide has beside a dowel.
Wall = Annotated[float, Meta(ge=0.4, le=2.5, extra={LENGTH_MARK: True})]


# Woods that the maker adds

WoodName = Annotated[str, Meta(min_length=1, max_length=60)]
Gravity = Annotated[float, Meta(ge=0.05, le=1.5, description="dry mass over the volume at 12 % moisture")]
Newton = Annotated[float, Meta(ge=100, le=50_000, description="a hardness in N")]
Megapascal = Annotated[float, Meta(ge=0.1, le=500, description="a strength in MPa")]
Gigapascal = Annotated[float, Meta(ge=0.1, le=50, description="a stiffness in GPa")]

_MOIST = 1120.0  # kg/m3 at 12 % moisture for a specific gravity of 1 by the volume there

MEASURED = "your own wood"
GUESSED = f"{MEASURED}; {{}} guessed from its specific gravity, Wood Handbook, ch. 5, from memory"
"""Where the numbers are from, with the names of those that are guessed."""


class OwnWood(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A wood as the maker knows it: its name and specific gravity, and what a table or a test says besides.

    What is guessed of it follows the relations of strength to specific gravity of hardwoods at 12 % moisture, from
    memory: Wood Handbook FPL-GTR-190, chapter 5. Single woods stray from them by a tenth and more, so they count as
    doubtful.
    """

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
            density=_MOIST * gravity,
            doubtful=rupture is None,
            source=GUESSED.format(guesses) if guesses else MEASURED,
        )


def _guess(whole: float, gravity: float, exponent: float) -> float:
    """`whole`, the value for a specific gravity of 1, scaled to another one, to the two figures that it is worth."""
    return float(f"{whole * gravity**exponent:.2g}")


# Fits that felt right: which bore a bushing wanted in a wood, as the maker found it on scrap

WoodOfFit = Annotated[str, Meta(max_length=200)]

_CALIPER = 0.01  # mm; two bushings whose diameters differ by less are one kind: calipers tell no more


class StoredFit(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """In this wood a bushing of these diameters felt right in a bore of `bore` mm, without finish in it."""

    wood: WoodOfFit
    kind: Literal["press-in", "screw-in"]
    root: Diameter
    crest: Diameter
    bore: Diameter

    def of(self, wood: str, bushing: Bushing) -> bool:
        """Whether this is the fit of a bushing in a wood."""
        return (
            same_wood(self.wood, wood)
            and self.kind == bushing.kind
            and abs(self.root - bushing.root) < _CALIPER
            and abs(self.crest - bushing.crest) < _CALIPER
        )


def stored_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing) -> StoredFit | None:
    """What felt right for a bushing in a wood, or None."""
    return next((fit for fit in fits if fit.of(wood, bushing)), None)


def with_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing, bore: float) -> tuple[StoredFit, ...]:
    """The fits with this one in place of what was stored for the same wood and bushing."""
    found = StoredFit(wood=wood.strip(), kind=bushing.kind, root=bushing.root, crest=bushing.crest, bore=bore)
    return (*without_fit(fits, wood, bushing), found)


def without_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing) -> tuple[StoredFit, ...]:
    """The fits without that of a bushing in a wood."""
    return tuple(fit for fit in fits if not fit.of(wood, bushing))


# What holds a head under the drill

Gap = Annotated[float, Meta(ge=0, le=5, extra={LENGTH_MARK: True})]
Width = Annotated[float, Meta(ge=20, le=200, extra={LENGTH_MARK: True})]
Thickness = Annotated[float, Meta(ge=3, le=100, extra={LENGTH_MARK: True})]
Cutter = Annotated[
    float, Meta(ge=0, le=50, extra={LENGTH_MARK: True}, description="0 for a saw that cuts any corner")
]
Taper = Annotated[float, Meta(ge=8, le=20, description="a taper of 1 in so many")]
Fret = Annotated[int, Meta(ge=1, le=24)]


class CradleSizes(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, gc=False):
    """Sizes in mm of blocks, wedges and boards; workshop practice, no source, unless another is given.

    `gap` leaves room for tape between head and block. A block is cut from stock `block_width` wide and as thick as
    the head, unless `block_thickness` says otherwise. Wedges taper 1 in `wedge_taper`, 1 in 8 at most. `cutter` is
    the diameter of what cuts the inner corners. `base` and `backing` are thicknesses of boards. The neck is supported
    under two frets.
    """

    gap: Gap = 0.5
    block_width: Width = 45.0
    block_thickness: Thickness | None = None
    wedge_taper: Taper = 8.0
    cutter: Cutter = 6.35  # a quarter inch
    base: Thickness = 18.0
    backing: Thickness = 6.0
    near_fret: Fret = 3
    far_fret: Fret = 12


# All of it


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
