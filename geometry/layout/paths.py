"""String paths: from the slot at the nut line to where the string meets its post, and the angles at the nut."""

from __future__ import annotations

import math

import msgspec
import shapely
from msgspec import UNSET

from geometry.document.build import Build, Retainer, String
from geometry.layout.parts import PlacedPost
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import RearButton
from geometry.trade.string_sets import is_wound

TURNS_WOUND = 2.0
TURNS_PLAIN = 4.0
"""Turns round the post unless the maker says otherwise; common practice, no source."""


class StringPath(msgspec.Struct, frozen=True):
    """One string's way over the head.

    `points` are the places in plan from the slot over retainers to the tangent of the post, `heights` those of the
    string's centre over the face, in mm; `held` are those retainers, in order from the nut. `left`: the string passes
    the post on its left, seen along the string. Angles in radians: `splay` sideways at the nut, signed
    counter-clockwise; `break_angle` downwards, positive towards the back; `bend` the true angle between the two
    directions. `other_splay` is the splay with the other wound side.
    """

    string: String
    post: str
    points: tuple[Point, ...]
    heights: tuple[float, ...]
    held: tuple[Retainer, ...]
    contact_radius: float
    left: bool
    splay: float
    other_splay: float
    break_angle: float
    bend: float

    @property
    def slot(self) -> Point:
        """Where the string crosses the nut line."""
        return self.points[0]

    @property
    def line(self) -> shapely.LineString:
        """The way in plan, as a shape."""
        return shapely.LineString([(point.x, point.y) for point in self.points])

    @property
    def tangent(self) -> Point:
        """Where the string meets its post."""
        return self.points[-1]


def run_direction(build: Build, slot_x: float, spread_at_nut: float) -> Vector:
    """Unit direction in plan of a string over the fingerboard, from bridge to nut, as seen square to the face.

    The strings spread from `bridge_spread` at the bridge to `spread_at_nut` (outer centres) at the nut; the face of an
    angled head is turned about the nut line, which shortens the run seen from there.
    """
    at_bridge = slot_x * build.bridge_spread / spread_at_nut if spread_at_nut > SAME else slot_x
    along = build.scale_length * math.cos(math.radians(build.head.angle_deg))
    return Vector(slot_x - at_bridge, along).unit()


def contact_radius(string: String, post_diameter: float) -> float:
    """Distance in mm from the post's axis to the string's centre."""
    return (post_diameter + string.diameter) / 2


def string_path(
    build: Build,
    string: String,
    post: PlacedPost,
    slot_x: float,
    spread_at_nut: float,
    retainers: tuple[Retainer, ...],
) -> StringPath:
    """The path of one string to its post, past the retainers between both that name it, in order from the nut.

    A tree that the string passes outside of does not hold it, and the path is what it would be without.
    """
    slot = Point(slot_x, 0.0)
    radius = contact_radius(string, post.hardware.post_diameter)
    left = _winds_left(slot, post)
    points, held = _plan(build, string, slot, post.at, retainers, left=left, radius=radius)
    heights = [
        build.nut.slot_floor + string.diameter / 2,
        *(retainer.height for retainer in held),
        _height_at_post(string, post),
    ]
    run = run_direction(build, slot_x, spread_at_nut)
    other = _plan(build, string, slot, post.at, retainers, left=not left, radius=radius)[0][1]
    alpha = math.radians(build.head.angle_deg)
    way, rise = points[1] - slot, heights[1] - heights[0]
    return StringPath(
        string=string,
        post=post.key,
        points=tuple(points),
        heights=tuple(heights),
        held=tuple(held),
        contact_radius=radius,
        left=left,
        splay=_turn(run, way),
        other_splay=_turn(run, other - slot),
        break_angle=alpha - math.atan2(rise, way.length),
        bend=_true_bend(run, way, rise, alpha),
    )


def _winds_left(slot: Point, post: PlacedPost) -> bool:
    """Whether the string meets its post on the left, seen along the string.

    It winds on the side away from the buttons; with a rear button, away from the row's side of the head.
    """
    way = post.at - slot
    rear = isinstance(post.hardware.button, RearButton)
    inner = Vector(-float(post.side_sign), 0.0) if rear else -post.frame.outward
    return (way.cross(inner) >= 0) != post.post.flip_wound_side


def tangent_point(start: Point, centre: Point, radius: float, *, left: bool) -> Point:
    """Where a line from `start` touches the circle on its left or right, seen from `start`.

    From inside the circle there is no tangent: the centre itself.
    """
    way = centre - start
    distance = way.length
    if distance <= radius:
        return centre
    direction = way / distance
    side = direction.left if left else direction.right
    sine = radius / distance
    return centre + (side * math.sqrt(1 - sine * sine) - direction * sine) * radius


def _plan(
    build: Build,
    string: String,
    slot: Point,
    post: Point,
    retainers: tuple[Retainer, ...],
    *,
    left: bool,
    radius: float,
) -> tuple[list[Point], list[Retainer]]:
    """The places of a path in plan: slot, one for each retainer that holds it, tangent; and those retainers.

    Guide posts turn the string aside; trees only hold it down, on the straight way between what turns it.
    """
    bends = [slot]
    for guide in retainers:
        if guide.kind == "guide post":
            on_left = build.sign_of(guide.passed_on) < 0
            reach = guide.radius + string.diameter / 2
            bends.append(tangent_point(bends[-1], guide.at, reach, left=on_left))
    bends.append(tangent_point(bends[-1], post, radius, left=left))
    places, held, leg = [slot], [], 0
    for retainer in retainers:
        if retainer.kind == "guide post":
            leg += 1
            place = bends[leg]
        else:
            place = _at_height(bends[leg], bends[leg + 1], retainer.at.y)
            if abs(place.x - retainer.at.x) > retainer.half_width + SAME:
                continue
        places.append(place)
        held.append(retainer)
    return [*places, bends[-1]], held


def _at_height(start: Point, end: Point, y: float) -> Point:
    """Where a straight way passes the height `y`, kept between its ends."""
    rise = end.y - start.y
    share = (y - start.y) / rise if abs(rise) > SAME else 0.5
    return start.toward(end, min(1.0, max(0.0, share)))


def turns_round(string: String, post: PlacedPost) -> float:
    """How often the string goes round its post: as the maker says, or as is usual for its kind."""
    turns = post.post.turns
    if turns is UNSET:
        return TURNS_WOUND if is_wound(string.kind) else TURNS_PLAIN
    return turns


def hole_over_face(post: PlacedPost) -> float:
    """Height of the string hole over the face, in mm."""
    hardware = post.hardware
    if isinstance(hardware.button, RearButton):
        return hardware.collar_height + hardware.hole_height
    return hardware.hole_height - post.thickness


def _height_at_post(string: String, post: PlacedPost) -> float:
    """Height of the string's centre over the face at its lowest turn, in mm."""
    return hole_over_face(post) - turns_round(string, post) * string.diameter


def _turn(before: Vector, after: Vector) -> float:
    return math.atan2(before.cross(after), before.dot(after))


def _true_bend(run: Vector, way: Vector, rise: float, alpha: float) -> float:
    """Angle in radians between the string's directions on both sides of the nut, in space.

    In the head's frame the fingerboard climbs by tan(alpha) of its run along y.
    """
    over_board = (run.x, run.y, run.y * math.tan(alpha))
    over_head = (way.x, way.y, rise)
    product = sum(a * b for a, b in zip(over_board, over_head, strict=True))
    lengths = math.hypot(*over_board) * math.hypot(*over_head)
    return math.acos(min(1.0, max(-1.0, product / lengths))) if lengths > 0 else 0.0
