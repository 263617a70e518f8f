"""The sizes of what holds a head under the drill, as one maker builds it."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta

Gap = Annotated[float, Meta(ge=0, le=5)]
Width = Annotated[float, Meta(ge=20, le=200)]
Thickness = Annotated[float, Meta(ge=3, le=100)]
Cutter = Annotated[float, Meta(ge=0, le=50)]
Taper = Annotated[float, Meta(ge=8, le=20)]
Fret = Annotated[int, Meta(ge=1, le=24)]

SIZE_WORDS = {
    "gap": "a number of mm from 0 to 5",
    "block_width": "a number of mm from 20 to 200",
    "block_thickness": "a number of mm from 3 to 100, or null for the head's own",
    "wedge_taper": "a number from 8 to 20: a taper of 1 in so many",
    "cutter": "a number of mm from 0 to 50, 0 for a saw that cuts any corner",
    "base": "a number of mm from 3 to 100",
    "backing": "a number of mm from 3 to 100",
    "near_fret": "a whole number from 1 to 24",
    "far_fret": "a whole number from 1 to 24",
}
"""What a file may say for each field, in words."""


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
