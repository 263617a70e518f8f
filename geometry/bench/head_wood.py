"""What the wood of a head weighs, its holes left out."""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec
import shapely
from shapely.geometry.base import BaseGeometry

from geometry.bench.area import area_integrals
from geometry.bench.hollows import Hollow, pockets
from geometry.bench.point_mass import PointMass, together
from geometry.bench.sections import thickness_with_volute
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.old_holes import holes_left
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.shape.tolerance import FLAT, SAME
from geometry.trade.wood import Wood, find_wood

USUAL_DENSITY = 600.0
"""kg/m3 where the wood is not known: between soft and hard headstock woods; workshop practice, no source."""


class HeadWood(msgspec.Struct, frozen=True):
    """The wood of a head beyond the nut line.

    `density` in kg/m3 at 12 % moisture; `known` is False where the wood has no figure and the usual one stands in.
    `told` is False while the outline is open or crosses itself: then nothing is weighed.
    """

    point_mass: PointMass
    density: float
    known: bool
    told: bool = True


def head_wood(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> HeadWood:
    """Mass and place of the wood: area by thickness by density, less bores, pockets, old holes, screws and pins.

    Rounded edges count as wood; what fills an inlay does not. `own` are the woods of the maker's shop.
    """
    wood = find_wood(build.head.wood, own)
    density = USUAL_DENSITY if wood is None else wood.density
    grams = density * 1e-6
    solid = _outline(layout)
    if solid is None:
        return HeadWood(PointMass(0.0, Point(0.0, 0.0)), density, known=wood is not None, told=False)

    def thickness(y: float) -> float:
        return thickness_with_volute(build, y, layout.top)

    volume, across, up = area_integrals(solid, thickness)
    whole = [PointMass(volume * grams, Point(across / volume, up / volume))] if volume > SAME else []
    gone = (PointMass(-each.mass * grams, each.at) for each in _missing(build, layout, solid))
    return HeadWood(together((*whole, *gone)), density, known=wood is not None)


def _outline(layout: Layout) -> Contour | None:
    """The head beyond the nut line; None where the outline is not sound and has no area to tell."""
    if layout.edge is None or not outline_is_sound(layout.edge):
        return None
    return layout.edge.contour.closed_by_line()


def _missing(build: Build, layout: Layout, solid: Contour) -> Iterator[PointMass]:
    """The volumes in mm3 of everything that is cut out, as masses with a place.

    Where two of them overlap, the common part counts twice: bores do not run into pockets on a sound head.
    """
    for post in layout.posts:
        bore, deep = post.hardware.bore, _thickness(build, layout, post.at.y)
        yield PointMass(_cylinder(bore.through, deep), post.at)
        if bore.counterbore is not None:
            wide = max(bore.through, bore.counterbore.diameter)
            deep = min(deep, bore.counterbore.depth)
            yield PointMass(_cylinder(wide, deep) - _cylinder(bore.through, deep), post.at)
    for hole in layout.small_holes:
        yield PointMass(_cylinder(hole.diameter, hole.depth), hole.at)
    for old in holes_left(build, layout.posts):
        deep = _thickness(build, layout, old.at.y)
        yield PointMass(_cylinder(old.diameter, deep if old.depth is None else min(deep, old.depth)), old.at)
    head = _shape([(point.x, point.y) for point in solid.flatten(FLAT)])
    for pocket in pockets(build):
        cut = head.intersection(_cut(pocket))
        if cut.area > 0:
            at = Point(cut.centroid.x, cut.centroid.y)
            low, high = pocket.levels(_thickness(build, layout, at.y))
            yield PointMass(cut.area * (high - low), at)


def _thickness(build: Build, layout: Layout, y: float) -> float:
    return thickness_with_volute(build, y, layout.top)


def _cylinder(diameter: float, depth: float) -> float:
    return math.pi * diameter**2 / 4 * depth


def _cut(pocket: Hollow) -> BaseGeometry:
    if isinstance(pocket.shape, Circle):
        at = pocket.shape.centre
        return shapely.Point(at.x, at.y).buffer(pocket.shape.radius, quad_segs=64)
    return _shape([(corner.x, corner.y) for corner in pocket.shape])


def _shape(corners: list[tuple[float, float]]) -> BaseGeometry:
    """The polygon with these corners, in parts where it crosses itself."""
    return shapely.make_valid(shapely.Polygon(corners))
