"""How heavy a head is with its tuners, where its centre of gravity lies, and how hard it pulls the neck down."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from functools import partial

import msgspec
import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from geometry.bench.hollows import Hollow, pockets
from geometry.bench.sections import thickness_with_volute
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.old_holes import holes_left
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Circle, Line
from geometry.shape.tolerance import FLAT, SAME
from geometry.trade.units import GRAVITY
from geometry.trade.wood import Wood, find_wood


class PointMass(msgspec.Struct, frozen=True, gc=False):
    """A mass in g at a place of the face; what is missing has a negative one."""

    mass: float
    at: Point


def together(masses: Iterable[PointMass]) -> PointMass:
    """All of them as one at their centre of gravity; at the origin where nothing is left to weigh."""
    every = tuple(masses)
    mass = sum(each.mass for each in every)
    if mass <= 0:
        return PointMass(0.0, Point(0.0, 0.0))
    across = sum(each.mass * each.at.x for each in every)
    up = sum(each.mass * each.at.y for each in every)
    return PointMass(mass, Point(across / mass, up / mass))


# The wood, its holes left out


# Length in mm of curve that one rule integrates: short enough for five nodes to leave no error worth telling.
_LONGEST = 5.0
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)
_SHARES = tuple(float(each) for each in (_NODES + 1) / 2)
_PARTS = tuple(float(each) for each in _WEIGHTS / 2)


def area_integrals(region: Contour, weight: Callable[[float], float]) -> tuple[float, float, float]:
    """The integrals of w(y), w(y) x and w(y) y over the inside of a counter-clockwise region; w is `weight`.

    By Green's theorem along the curve, w x dy, w x^2 / 2 dy and w x y dy, with Gauss's rule of five nodes on every
    stretch of 5 mm: exact for straight sides and a weight up to the eighth power, and as good for arcs.
    """
    whole, across, up = 0.0, 0.0, 0.0
    for segment in region.segments:
        assert isinstance(segment, Line | Arc), "make cubics arcs first"
        count = max(1, math.ceil(segment.length / _LONGEST))
        length = segment.length / count
        for stretch in range(count):
            for share, part in zip(_SHARES, _PARTS, strict=True):
                t = (stretch + share) / count
                at = segment.point_at(t)
                step = weight(at.y) * segment.tangent_at(t).y * length * part
                whole += step * at.x
                across += step * at.x * at.x / 2
                up += step * at.x * at.y
    return whole, across, up


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
    if layout.edge is None or not outline_is_sound(layout.edge):
        return HeadWood(PointMass(0.0, Point(0.0, 0.0)), density, known=wood is not None, told=False)
    solid = layout.edge.contour.closed_by_line()
    thickness = partial(thickness_with_volute, build, top=layout.top)
    volume, across, up = area_integrals(solid, thickness)
    whole = [PointMass(volume * grams, Point(across / volume, up / volume))] if volume > SAME else []
    gone = (PointMass(-each.mass * grams, each.at) for each in _missing(build, layout, solid, thickness))
    return HeadWood(together((*whole, *gone)), density, known=wood is not None)


def _missing(
    build: Build, layout: Layout, solid: Contour, thickness: Callable[[float], float]
) -> Iterator[PointMass]:
    """The volumes in mm3 of everything that is cut out, as masses with a place.

    Where two of them overlap, the common part counts twice: bores do not run into pockets on a sound head.
    """
    for post in layout.posts:
        bore, deep = post.hardware.bore, thickness(post.at.y)
        yield PointMass(_cylinder(bore.through, deep), post.at)
        if bore.counterbore is not None:
            wide = max(bore.through, bore.counterbore.diameter)
            deep = min(deep, bore.counterbore.depth)
            yield PointMass(_cylinder(wide, deep) - _cylinder(bore.through, deep), post.at)
    for hole in layout.small_holes:
        yield PointMass(_cylinder(hole.diameter, hole.depth), hole.at)
    for old in holes_left(build, layout.posts):
        deep = thickness(old.at.y)
        yield PointMass(_cylinder(old.diameter, deep if old.depth is None else min(deep, old.depth)), old.at)
    head = _shape([(point.x, point.y) for point in solid.flatten(FLAT)])
    for pocket in pockets(build):
        cut = head.intersection(_cut(pocket))
        if cut.area > 0:
            at = Point(cut.centroid.x, cut.centroid.y)
            low, high = pocket.levels(thickness(at.y))
            yield PointMass(cut.area * (high - low), at)


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


# With its tuners


class Moment(msgspec.Struct, frozen=True, gc=False):
    """What the head does about a place while the neck is level.

    `lever` is how far in mm its centre of gravity lies from there along the neck, `aside` how far in mm to the right of
    it as the face is seen, `turns` its moment in N m, positive when the head goes down.
    """

    about: Point
    lever: float
    aside: float
    turns: float


class Balance(msgspec.Struct, frozen=True):
    """Wood, tuners and buttons of a head; masses in g, places as the face shows them, `angle` in radians.

    `bodies` are the tuners without their buttons.
    """

    wood: HeadWood
    bodies: PointMass
    buttons: PointMass
    angle: float

    @property
    def tuners(self) -> float:
        """Mass of the tuners with their buttons."""
        return self.bodies.mass + self.buttons.mass

    @property
    def whole(self) -> PointMass:
        """Everything at its centre of gravity."""
        return together((self.wood.point_mass, self.bodies, self.buttons))

    def about(self, place: Point) -> Moment:
        """The moment about a place: a strap button or a knee, in mm from the middle of the nut along the neck.

        Lengths on a head that falls back are seen along the neck; how far parts lie behind the face is left out.
        """
        whole = self.whole
        lever = whole.at.y * math.cos(self.angle) - place.y
        return Moment(place, lever, whole.at.x - place.x, whole.mass / 1000 * GRAVITY * lever / 1000)

    @property
    def about_nut(self) -> Moment:
        """The moment about the middle of the nut."""
        return self.about(Point(0.0, 0.0))


def balance(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> Balance:
    """The balance of a build's head with the tuners that it has, as they are; `own` are woods of the maker's shop."""
    return Balance(
        wood=head_wood(build, layout, own),
        bodies=together(_bodies(layout)),
        buttons=together(PointMass(post.hardware.button_mass, post.button.centre) for post in layout.posts),
        angle=math.radians(build.head.angle_deg),
    )


def usual_place(build: Build) -> Point:
    """The place to weigh the head about where none is chosen: the bridge, on the centre line."""
    return Point(0.0, -build.scale_length)


def _bodies(layout: Layout) -> Iterator[PointMass]:
    """The tuners without buttons; on a plate each has its share of it."""
    plates = {key: plate.box.centre for plate in layout.plates for key in plate.posts}
    for post in layout.posts:
        seat = post.body.centre if post.body is not None else post.at
        yield PointMass(post.hardware.body_mass, plates.get(post.key, seat))
