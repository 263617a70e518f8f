"""Where each part of a placed tuner lies: bore, body, seat, button, screws and pins."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

import msgspec
from msgspec import UNSET

from geometry.document.build import Build, Head, Piece, Post, Row
from geometry.shape.box import Box
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware, Pin, RearButton, Rectangle, Screw, SideButton


class Frame(msgspec.Struct, frozen=True, gc=False):
    """A place on a row: `along` runs towards the tip, `outward` to the buttons; both of length 1."""

    at: Point
    along: Vector
    outward: Vector

    def point(self, along: float, outward: float) -> Point:
        """The place that lies so far along the row and outward from here."""
        return self.at + self.along * along + self.outward * outward

    def box(self, rectangle: Rectangle, flip: int = 1) -> Box:
        """A rectangle of the part in its place; `flip` -1 mirrors it along the row."""
        centre = self.point(flip * rectangle.shift_along, rectangle.shift_outward)
        return Box(centre, self.along, rectangle.along / 2, rectangle.across / 2)

    def turned(self, angle: float) -> Frame:
        """The frame turned about its place, counter-clockwise."""
        if angle == 0:
            return self
        return Frame(self.at, self.along.turned(angle), self.outward.turned(angle))

    def moved(self, step: Vector) -> Frame:
        """The frame displaced."""
        return Frame(self.at + step, self.along, self.outward)


class SmallHole(msgspec.Struct, frozen=True):
    """A screw's or pin's hole: where, how wide, how deep, from which side, and the posts whose tuner it holds.

    `diameter` is the shank of the screw or the pin itself, `root` the root of a screw's thread (a pin's diameter). That
    of a tree is drilled from the face and holds no tuner: `tree` is its key.
    """

    kind: Literal["screw", "pin"]
    at: Point
    diameter: float
    root: float
    depth: float
    owners: tuple[str, ...]
    side: Literal["face", "back"] = "back"
    tree: str = ""


class PlacedPost(msgspec.Struct, frozen=True):
    """A tuner in its place.

    `label` is what people call it: the number of its string, or spare A, B... `side_sign` is that of x on its row's
    side. `ruled` is where the rule of its row puts it, before it is moved by hand or turned. `frame` is that of its
    bore, `tuner` that of its parts on the back: the same, save on a plate, which has places of its own for them.
    `string` is the key of its string or None.
    """

    key: str
    label: str
    row: str
    side_sign: int
    post: Post
    hardware: Hardware
    ruled: Frame
    frame: Frame
    tuner: Frame
    piece: Piece
    fitting_piece: Piece
    string: str | None
    thickness: float
    body: Box | None
    seat: Box | None
    button: Box | Circle
    shaft: tuple[Point, Point] | None

    @property
    def at(self) -> Point:
        """Centre of the bore."""
        return self.frame.at

    @property
    def bore(self) -> float:
        """D, the largest diameter of the bore in mm."""
        return self.hardware.bore.largest

    @property
    def row_frame(self) -> Frame:
        """The frame that the row gives the post, before its tuner is turned."""
        return self.frame.turned(-math.radians(self.post.turned_deg))

    @property
    def flip(self) -> int:
        """1 for the right hand for its side, -1 for the other, which lies mirrored along the row."""
        return 1 if self.piece == self.fitting_piece else -1

    def seated(self, row_frame: Frame) -> PlacedPost:
        """The tuner with its button where a plate has it, at its place in the frame of the plate."""
        tuner = row_frame.turned(math.radians(self.post.turned_deg))
        button, shaft = _button(tuner, self.hardware, self.flip)
        return msgspec.structs.replace(self, tuner=tuner, button=button, shaft=shaft)

    def moved(self, step: Vector) -> PlacedPost:
        """The tuner displaced as a rigid whole."""
        return msgspec.structs.replace(
            self,
            frame=self.frame.moved(step),
            tuner=self.tuner.moved(step),
            body=self.body and self.body.moved(step),
            seat=self.seat and self.seat.moved(step),
            button=self.button.moved(step),
            shaft=self.shaft and (self.shaft[0] + step, self.shaft[1] + step),
        )


class PlacedPlate(msgspec.Struct, frozen=True):
    """A rigid plate in its place and the posts it carries.

    `frame` is that of its first shaft; `fit` the largest distance in mm of one of its shafts from the middle of its
    hole.
    """

    row: str
    frame: Frame
    box: Box
    posts: tuple[str, ...]
    fit: float


def placed_post(
    build: Build,
    row: Row,
    post: Post,
    frames: tuple[Frame, Frame],
    label: str,
    string: str | None,
    top: float,
    hardware: Hardware,
) -> PlacedPost:
    """A tuner at its frame, the second of `frames`, the first being its rule's; `top` is the y of the tip in mm."""
    ruled, frame = frames
    frame = frame.turned(math.radians(post.turned_deg))
    sign = build.sign_of(row.side)
    fitting: Piece = "left" if sign < 0 else "right"
    piece = fitting if post.piece is UNSET or not hardware.handed else post.piece
    flip = 1 if piece == fitting else -1
    button, shaft = _button(frame, hardware, flip)
    return PlacedPost(
        key=post.key,
        label=label,
        row=row.key,
        side_sign=sign,
        post=post,
        hardware=hardware,
        ruled=ruled,
        frame=frame,
        tuner=frame,
        piece=piece,
        fitting_piece=fitting,
        string=string,
        thickness=thickness_at(build, frame.at.y, top),
        body=frame.box(hardware.body, flip) if hardware.body and not hardware.plate else None,
        seat=frame.box(hardware.seat, flip) if hardware.seat and not hardware.plate else None,
        button=button,
        shaft=shaft,
    )


def thickness_at(build: Build, y: float, top: float) -> float:
    """Thickness in mm at height y: straight from the nut to the tip."""
    head = build.head
    share = min(1.0, max(0.0, y / top)) if top > SAME else 0.0
    return head.thickness_nut + (head.thickness_tip - head.thickness_nut) * share


def volute_at(head: Head, y: float) -> float:
    """What the volute adds at height `y`, in mm: most at the nut line, falling as a cosine to nothing at its ends."""
    share = 2 * abs(y) / head.volute_length if head.volute_length > 0 else 1.0
    return head.volute_height * (1 + math.cos(math.pi * share)) / 2 if share < 1 else 0.0


def _button(frame: Frame, hardware: Hardware, flip: int) -> tuple[Box | Circle, tuple[Point, Point] | None]:
    match hardware.button:
        case SideButton() as side:
            offset = flip * side.shaft_offset
            middle = frame.point(offset, side.shaft_length + side.length / 2)
            box = Box(middle, frame.along, side.swept_diameter / 2, side.length / 2)
            return box, (frame.point(offset, 0.0), frame.point(offset, side.shaft_length))
        case RearButton() as rear:
            return Circle(frame.at, rear.swept_diameter / 2), None


def small_holes(posts: tuple[PlacedPost, ...], plate: PlacedPlate | None) -> tuple[SmallHole, ...]:
    """Holes of the screws and pins of one row; a shared or plate screw is one hole, listed once."""
    holes: list[SmallHole] = []
    for post in posts:
        screws = post.hardware.screws
        holes += [_screw(post.tuner, screw, post.flip, (post.key,)) for screw in screws if not screw.shared]
        holes += [_pin(post.tuner, pin, post.flip, post.key) for pin in post.hardware.pins]
    holes += _shared([screw for post in posts[:1] for screw in post.hardware.screws if screw.shared], posts)
    if plate is not None:
        screws = posts[0].hardware.plate.screws if posts[0].hardware.plate else ()
        holes += [_screw(plate.frame, screw, 1, plate.posts) for screw in screws]
    return tuple(holes)


def _screw(frame: Frame, screw: Screw, flip: int, owners: tuple[str, ...]) -> SmallHole:
    at = frame.point(flip * screw.along, screw.outward)
    return SmallHole("screw", at, screw.diameter, screw.root, screw.length, owners)


def _pin(frame: Frame, pin: Pin, flip: int, owner: str) -> SmallHole:
    at = frame.point(flip * pin.along, pin.outward)
    return SmallHole("pin", at, pin.diameter, pin.diameter, pin.depth, (owner,))


def _shared(screws: list[Screw], posts: tuple[PlacedPost, ...]) -> list[SmallHole]:
    """Shared screws half-way between neighbours, and the outer ones beside the first and the last post."""
    holes: list[SmallHole] = []
    tipward = [screw for screw in screws if screw.along > 0]
    nutward = [screw for screw in screws if screw.along <= 0]
    for one, two in pairwise(posts):
        middle = Frame(one.tuner.at.toward(two.tuner.at, 0.5), one.tuner.along, one.tuner.outward)
        holes += [
            _screw(middle, msgspec.structs.replace(screw, along=0.0), 1, (one.key, two.key))
            for screw in tipward
        ]
    if posts:
        holes += [_screw(posts[0].tuner, screw, 1, (posts[0].key,)) for screw in nutward]
        holes += [_screw(posts[-1].tuner, screw, 1, (posts[-1].key,)) for screw in tipward]
    return holes


def tree_screws(build: Build) -> tuple[SmallHole, ...]:
    """Holes in the face for the screws of trees."""
    return tuple(
        SmallHole("screw", tree.at, screw.diameter, screw.root, screw.depth, (), "face", tree.key)
        for tree in build.retainers
        if (screw := tree.held_by) is not None
    )
