"""The head from the side: wood, fingerboard, nut, posts and strings where they lie, for drawings that explain.

A place is a `Point` of its height over the face and of its y along the face, both in mm, so the face is the line
x = 0, and the neck falls back from it by the angle of the head. The neck is taken as straight, its back parallel to
the line of its face.
"""

from __future__ import annotations

import math

import msgspec
import shapely

from geometry.document.build import Build, Head
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, thickness_at, volute_at
from geometry.layout.paths import StringPath, hole_over_face
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import RearButton, SideButton
from geometry.trade.part_view import POST_OVER

NUT = Point(0.0, 0.0)
"""Where the face meets the nut line."""

NECK = 55.0
"""So much of the neck is shown, in mm from the nut."""

_NEAR = 30.0  # mm from the nut within which the backs of head and neck are drawn on until they meet
_STEEP = 0.02  # radians below which they never do
_STEPS = 12  # pieces into which each half of a volute is drawn


class SideView(msgspec.Struct, frozen=True):
    """What is seen from the side: outlines as their corners, strings as the places they run over."""

    wood: tuple[Point, ...]
    fingerboard: tuple[Point, ...]
    nut: tuple[Point, ...]
    bodies: tuple[Bounds, ...]
    posts: tuple[Bounds, ...]
    strings: tuple[tuple[Point, ...], ...]

    @property
    def bounds(self) -> Bounds:
        """The box round everything, in mm."""
        corners = [
            *self.wood,
            *self.fingerboard,
            *self.nut,
            *(at for string in self.strings for at in string),
        ]
        whole = bounds_of(corners)
        for part in (*self.bodies, *self.posts):
            whole = whole.joined(part)
        return whole


def neck_axes(head: Head) -> tuple[Vector, Vector]:
    """The way of the neck away from the nut, and the way out of its face; both of length 1."""
    angle = math.radians(head.angle_deg)
    along = Vector(-math.sin(angle), -math.cos(angle))
    return along, along.left


def head_and_neck(head: Head, top: float, neck: float) -> tuple[Point, ...]:
    """The wood without its volute, from the tip at y = `top` along the face to the end of `neck` mm, and back."""
    along, out = neck_axes(head)
    end = NUT + along * neck
    return (
        Point(0.0, top),
        NUT,
        end,
        end - out * head.neck_depth,
        *_throat(head),
        Point(-head.thickness_tip, top),
    )


def over_fingerboard(build: Build, neck: float) -> tuple[Point, ...]:
    """The fingerboard on `neck` mm of the neck, up to the height of the slot floors."""
    along, out = neck_axes(build.head)
    high = out * build.nut.slot_floor
    return (NUT, NUT + high, NUT + high + along * neck, NUT + along * neck)


def side_view(build: Build, layout: Layout) -> SideView:
    """The head of a build and the beginning of its neck."""
    return SideView(
        wood=_wood(build, layout.top),
        fingerboard=over_fingerboard(build, NECK),
        nut=over_fingerboard(build, build.nut.thickness),
        bodies=tuple(body for post in layout.posts if (body := _body(post)) is not None),
        posts=tuple(_post(post) for post in layout.posts),
        strings=tuple(_string(build, path) for path in layout.paths),
    )


def _throat(head: Head) -> tuple[Point, ...]:
    """Where the back of the neck comes to the back of the head: where both meet near the nut, else with a step."""
    along, out = neck_axes(head)
    angle, start = math.radians(head.angle_deg), NUT - out * head.neck_depth
    if angle > _STEEP:
        meets = start + along * ((start.x + head.thickness_nut) / math.sin(angle))
        if abs(meets.y) < _NEAR:
            return (meets,)
    return (start, Point(-head.thickness_nut, start.y))


def _wood(build: Build, top: float) -> tuple[Point, ...]:
    """Head and neck with the volute."""
    plain = head_and_neck(build.head, top, NECK)
    if build.head.volute_height <= 0 or build.head.volute_length <= 0:
        return plain
    parts = [
        shapely.Polygon([(at.x, at.y) for at in part]).buffer(0) for part in (plain, _volute(build, top))
    ]
    whole = shapely.union_all(parts)
    # Of an outline that crosses itself, or a volute that misses the wood, the larger part is the head.
    largest = max(shapely.get_parts(whole), key=shapely.area)
    return tuple(Point(x, y) for x, y in largest.exterior.coords[:-1])


def _volute(build: Build, top: float) -> list[Point]:
    """The wood behind the nut from the line of the face down to the back of the volute."""
    head = build.head
    along, out = neck_axes(head)
    half = head.volute_length / 2
    steps = [half * step / _STEPS for step in range(_STEPS + 1)]
    on_head = [Point(-thickness_at(build, y, top) - volute_at(head, y), y) for y in steps if y <= top]
    on_neck = [NUT + along * far - out * (head.neck_depth + volute_at(head, -far)) for far in steps]
    return [Point(0.0, on_head[-1].y), *reversed(on_head), *on_neck, NUT + along * half]


def _post(post: PlacedPost) -> Bounds:
    half = post.hardware.post_diameter / 2
    high = max(0.0, hole_over_face(post)) + POST_OVER
    return Bounds(0.0, post.at.y - half, high, post.at.y + half)


def _body(post: PlacedPost) -> Bounds | None:
    """What lies under the back: the body of a tuner with a shaft, or the button of one that turns with its post."""
    back = -post.thickness
    match post.hardware.button:
        case SideButton(shaft_depth=depth) if post.body is not None:
            return Bounds(back - 2 * depth, post.body.bounds.bottom, back, post.body.bounds.top)
        case RearButton(swept_diameter=wide, length=length):
            return Bounds(back - length, post.at.y - wide / 2, back, post.at.y + wide / 2)
    return None


def _string(build: Build, path: StringPath) -> tuple[Point, ...]:
    along, _ = neck_axes(build.head)
    over_head = [Point(height, at.y) for height, at in zip(path.heights, path.points, strict=True)]
    return (over_head[0] + along * NECK, *over_head)
