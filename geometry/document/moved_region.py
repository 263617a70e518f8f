"""A region to keep clear, somewhere else."""

from __future__ import annotations

from msgspec.structs import replace

from geometry.document.build import Polygon, Region, RoundRegion
from geometry.document.outline_nodes import kept_place
from geometry.shape.point import Vector


def moved_region(region: Region, step: Vector) -> Region:
    """The region displaced by a step in mm."""
    shape = region.shape
    if isinstance(shape, Polygon):
        return replace(
            region, shape=Polygon(points=tuple(kept_place(point + step) for point in shape.points))
        )
    return replace(region, shape=RoundRegion(centre=kept_place(shape.centre + step), radius=shape.radius))
