"""How heavy a head is with its tuners, where its centre of gravity lies, and how hard it pulls the neck down."""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from geometry.bench.head_wood import HeadWood, head_wood
from geometry.bench.point_mass import PointMass, together
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.point import Point
from geometry.trade.wood import Wood

GRAVITY = 9.80665
"""m/s2; the standard acceleration of free fall, by definition."""


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
