"""Where a printed guide that is larger than the printer's bed is cut in two, and where its dowels sit."""

from __future__ import annotations

import numpy as np
import shapely

from export.sheet_kind import SheetError, refuse_sheet
from export.solid.plan import CHAMFER, DOWEL, DOWEL_DEEP, FENCE_WIDE, Plan, fits_bed
from geometry.trade.shop import Shop


def cut_at(plan: Plan, shop: Shop) -> float | None:
    """The y in mm of the cut across, None where the guide lies on the bed in one piece.

    Raises SheetError where even half of it is too large or no cut misses the holes.
    """
    left, low, right, top = plan.plate.bounds
    if fits_bed(right - left, top - low, shop):
        return None
    y = _clear_height(plan, shop.print_wall)
    if not (fits_bed(right - left, y - low, shop) and fits_bed(right - left, top - y, shop)):
        refuse_sheet("Even in two pieces the guide is larger than the bed of the printer.")
    return y


def _clear_height(plan: Plan, wall: float) -> float:
    """The y nearest to the middle of the plate where a cut misses every hole by a wall."""
    _, low, _, top = plan.plate.bounds
    middle = (low + top) / 2
    heights = np.arange(low + 2 * DOWEL_DEEP, top - 2 * DOWEL_DEEP, 0.5).tolist()
    for y in sorted(heights, key=lambda y: abs(y - middle)):
        clear = all(abs(hole.centre.y - y) >= hole.radius + CHAMFER + wall for hole in plan.guides)
        if clear and dowels_at(plan, y, wall):
            return float(y)
    message = "The guide is larger than the bed of the printer, and no cut across it misses all holes."
    raise SheetError(message)


def dowels_at(plan: Plan, y: float, wall: float) -> list[float]:
    """Where two dowels can sit at a cut, far apart and clear of everything; x in mm, none where there is no room."""
    _, _, right, _ = plan.plate.bounds
    centres = shapely.points([(hole.centre.x, hole.centre.y) for hole in plan.guides])
    holes = shapely.buffer(centres, [hole.radius + CHAMFER for hole in plan.guides])
    solid = plan.plate.difference(shapely.union_all(holes)).buffer(-wall)
    fits = [
        x
        for x in np.arange(-right, right, 0.5).tolist()
        if solid.contains(shapely.box(x - DOWEL / 2, y - DOWEL_DEEP, x + DOWEL / 2, y + DOWEL_DEEP))
    ]
    return [fits[0], fits[-1]] if fits and fits[-1] - fits[0] >= 4 * FENCE_WIDE else []
