"""The sizes of what holds a head under the drill, as one maker builds it."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta

from geometry.trade.measures import LENGTH_MARK

Gap = Annotated[float, Meta(ge=0, le=5, extra={LENGTH_MARK: True})]
Width = Annotated[float, Meta(ge=20, le=200, extra={LENGTH_MARK: True})]
Thickness = Annotated[float, Meta(ge=3, le=100, extra={LENGTH_MARK: True})]
Cutter = Annotated[
    float,
    Meta(ge=0, le=50, extra={LENGTH_MARK: True}, description="0 for a saw that cuts any corner"),
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
