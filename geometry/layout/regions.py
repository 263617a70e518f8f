"""How far places and strings are from the regions that a head must keep clear."""

from __future__ import annotations

import numpy as np
import shapely

from geometry.document.build import Region, RoundRegion
from geometry.shape.close import Floats
from geometry.shape.shapes import depth_out


def region_core(region: Region) -> tuple[shapely.Point | shapely.Polygon, float]:
    """The middle of a round region and its radius in mm; the area of one with corners and 0.

    What corners cross twice is no part of the area.
    """
    if isinstance(region.shape, RoundRegion):
        return shapely.Point(region.shape.centre.x, region.shape.centre.y), region.shape.radius
    return shapely.Polygon([(corner.x, corner.y) for corner in region.shape.points]), 0.0


def region_distance(places: Floats, region: Region) -> tuple[Floats, Floats]:
    """Distances (n,) in mm of places (n, 2) to a region, negative inside, and the nearest places (n, 2) of its edge."""
    core, radius = region_core(region)
    if isinstance(core, shapely.Polygon):
        return depth_out(core, places)
    way = places - shapely.get_coordinates(core)
    distance = np.hypot(way[:, 0], way[:, 1])[:, None]
    # From the middle every way out is as short.
    outward = np.divide(way, distance, out=np.tile([1.0, 0.0], (len(way), 1)), where=distance > 0)
    return distance[:, 0] - radius, places + outward * (radius - distance)
