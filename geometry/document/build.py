"""One instrument's headstock job: what the maker decided, and nothing that follows from it.

Every place is in head millimetres as the face shows it: x to the right, y towards the tip, origin at the middle of the
nut line. Bass strings lie at negative x on a right-handed build, at positive x on a left-handed one.
"""

# Without `from __future__ import annotations`: as text msgspec would compile each of them anew, twice a start.
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, UnsetType

from geometry.document.outline import Nodes, Starter
from geometry.shape.point import Point
from geometry.trade import nut_work
from geometry.trade.hardware import Hardware, Value
from geometry.trade.limits import ChangedLimit
from geometry.trade.measures import (
    BuildUp,
    Degrees,
    Distance,
    GramsPerMetre,
    Key,
    Name,
    Newtons,
    Offset,
    PitchName,
    Prose,
    ScaleLength,
    Share,
    Size,
    StringDiameter,
    Turns,
)
from geometry.trade.string_sets import StringKind

SideName = Literal["bass", "treble"]
HeadJoint = Literal["one piece", "scarf"]
Piece = Literal["left", "right"]


# Head, nut, strings


class Blank(Value, frozen=True):
    """The board the head is cut from, beyond the nut line: a rectangle about the centre line."""

    left: Size
    right: Size
    length: Size


class Head(Value, frozen=True):
    """The wood of the head.

    `angle_deg` is how far the face falls back from the line of the fingerboard, 0 for a flat head. `edge_face` and
    `edge_back` are the width of rounding or bevel on the face and the back, `binding` its width all round.
    `back_flat_from` is the y from which the back is flat. `grain_deg` turns the grain from the centre line,
    counter-clockwise. `joint` tells whether head and neck are cut from one piece or the head is scarfed on, its grain
    along it. A volute makes the wood `volute_height` thicker at the nut line and runs out over half its
    `volute_length` on both sides. `neck_depth` is the wood of the neck behind the nut, from the line of the face down
    to its back, without the fingerboard and the volute. Finish that comes after drilling makes
    every bore `finish_build_up` narrower.
    """

    thickness_nut: Size = 15.0
    thickness_tip: Size = 15.0
    angle_deg: Annotated[float, msgspec.Meta(ge=0, le=60)] = 0.0
    back_flat_from: Distance = 5.0
    edge_face: Distance = 0.0
    edge_back: Distance = 0.0
    binding: Distance = 0.0
    grain_deg: Degrees = 0.0
    wood: Name = ""
    blank: Blank | None = None
    joint: HeadJoint = "one piece"
    volute_height: Distance = 0.0
    volute_length: Distance = 0.0
    neck_depth: Size = 16.0  # 5/8 in under the fingerboard: from memory, measure yours
    finish_build_up: BuildUp = 0.0


class Nut(Value, frozen=True):
    """The nut: how the strings are spread along it.

    `spacing` is equal centres, or equal gaps between string edges (courses: gaps between courses). Margins run from
    the ends of the nut to the string's centre or outer edge, as `margin_to` says; by default centre for equal
    centres, edge for equal gaps. `slot_floor` is the height of the slot floors over the face at the nut line; on a
    flat head that holds the step down from the fingerboard. A slanted nut and a zero fret are not supported yet.

    The rest is for the bench. A slot is `slot_allowance` wider than its string, of whose diameter the share
    `proud_wound` or `proud_plain` stands over the nut; its floor falls by `fall_share` of the break angle. Clearances
    over fret 1 and actions over fret 12 are wanted under the outer open strings. The blank stands `blank_oversize` over
    each end, is `blank_height` high (by default as high as it takes) and shall keep `least_height`.
    """

    width: Size
    spacing: Literal["equal centres", "equal gaps"] = "equal centres"
    margin_bass: Distance = 3.0
    margin_treble: Distance = 3.0
    margin_to: Literal["centre", "edge"] | UnsetType = UNSET
    course_gap: Distance = 2.0
    slot_floor: Offset = 7.0
    thickness: Size = 5.0
    slant_deg: Degrees = 0.0
    zero_fret: bool = False
    slot_allowance: Distance = nut_work.SLOT_ALLOWANCE
    proud_wound: Share = nut_work.PROUD_WOUND
    proud_plain: Share = nut_work.PROUD_PLAIN
    fall_share: Share = nut_work.FALL_SHARE
    clearance_bass: Distance = nut_work.CLEARANCE_BASS
    clearance_treble: Distance = nut_work.CLEARANCE_TREBLE
    action_bass: Distance = nut_work.ACTION_BASS
    action_treble: Distance = nut_work.ACTION_TREBLE
    blank_height: Size | UnsetType = UNSET
    least_height: Distance = nut_work.LEAST_HEIGHT
    blank_oversize: Distance = nut_work.BLANK_OVERSIZE


class String(Value, frozen=True):
    """One string. Strings are listed from the treble side; neighbours with the same `course` make a course.

    `pitch` is what it is tuned to, such as F#3; where it is absent a name that is one counts. `unit_weight` in g/m and
    `tension` in N are typed in where the maker of the string tells them; by default both follow from the diameter.
    """

    key: Key
    name: Name
    diameter: StringDiameter
    kind: StringKind = "plain"
    course: Name = ""
    pitch: PitchName | UnsetType = UNSET
    unit_weight: GramsPerMetre | UnsetType = UNSET
    tension: Newtons | UnsetType = UNSET


# Posts and their places


class AlongEdge(Value, frozen=True, tag_field="rule", tag="along the edge"):
    """Each post `inset` from the edge, the first at y = `start`, the next a straight `pitch` further."""

    start: Size
    pitch: Size
    inset: Size


class OnLine(Value, frozen=True, tag_field="rule", tag="on a line"):
    """Posts at even pitch on a straight line: the first `inset` from the edge, the last `inset_last`.

    Without `inset_last` the last post is as far from the edge as the first.
    """

    start: Size
    pitch: Size
    inset: Size
    inset_last: Size | None = None


class StraightPull(Value, frozen=True, tag_field="rule", tag="straight pull"):
    """Posts where the strings run on without turning at the nut, as nearly as one straight line allows.

    `exact` gives up the line: string radii differ, so that exact straight pull puts the posts a little out of line.
    """

    start: Size
    pitch: Size
    exact: bool = False


class OnPlate(Value, frozen=True, tag_field="rule", tag="on a plate"):
    """A rigid plate with its own pitch: the first post `inset` from the edge, the last `inset_last`.

    Without `inset_last` the last post is as far from the edge as the first.
    """

    start: Size
    inset: Size
    inset_last: Size | None = None


class Post(Value, frozen=True):
    """One post of a row.

    `string`: absent = by rule, null = none, a key = that string. `turns`: absent = 2 wound, 4 plain. `flip_wound_side`
    winds on the other side of the post, `turned_deg` turns the tuner about its post, counter-clockwise from the face.
    `piece`: absent = the right hand for its side. `drilled`: its hole is in the wood already, where the build has it.
    """

    key: Key
    string: Key | UnsetType | None = UNSET
    turns: Turns | UnsetType = UNSET
    flip_wound_side: bool = False
    turned_deg: Degrees = 0.0
    piece: Piece | UnsetType = UNSET
    drilled: bool = False


class Moved(Value, frozen=True):
    """A post moved by hand from where its rule puts it: along the row and inward from the edge there, in mm.

    Where the row follows the edge, its tuner turns to the edge at its new place.
    """

    post: Key
    along: Offset
    inward: Offset


class Row(Value, frozen=True):
    """Posts of one side that belong together, from the nut to the tip."""

    key: Key
    side: SideName
    hardware: Key
    rule: AlongEdge | OnLine | StraightPull | OnPlate
    posts: Annotated[tuple[Post, ...], msgspec.Meta(max_length=40)]
    moved: Annotated[tuple[Moved, ...], msgspec.Meta(max_length=40)] = ()


HALF_WIDTH = 6.0
"""A typical tree holds a pair of strings, so far in mm to both sides of its middle: from memory."""


class FaceScrew(Value, frozen=True):
    """The wood screw that holds a tree down: its shank, the root of its thread, how deep its hole goes from the face.

    The sizes are those of a no. 2 wood screw, 2.2 mm with a root of two thirds; the depth is from memory.
    """

    diameter: Size = 2.2
    root: Size = 1.5
    depth: Size = 9.0


class Retainer(Value, frozen=True):
    """What strings pass between nut and post: a tree holds them down, a guide post turns them aside as well.

    `height` is the height over the face of the string's centre there. A tree holds the strings that pass within its
    `half_width` to both sides of its place; a bar is a wide one. A guide post has a `radius` and a side on which the
    strings pass it. `screw`: absent = a typical one for a tree, none for a guide post; null = none.
    """

    key: Key
    at: Point
    height: Offset
    strings: Annotated[tuple[Key, ...], msgspec.Meta(max_length=40)]
    kind: Literal["tree", "guide post"] = "tree"
    radius: Distance = 0.0
    passed_on: SideName = "treble"
    half_width: Distance = HALF_WIDTH
    screw: FaceScrew | UnsetType | None = UNSET

    @property
    def held_by(self) -> FaceScrew | None:
        """The screw that holds it to the face, None where there is none."""
        if self.screw is UNSET:
            return FaceScrew() if self.kind == "tree" else None
        return self.screw


# What is already there


class RoundRegion(Value, frozen=True, tag_field="shape", tag="circle"):
    """A round region."""

    centre: Point
    radius: Size


class Polygon(Value, frozen=True, tag_field="shape", tag="polygon"):
    """A region with straight sides."""

    points: Annotated[tuple[Point, ...], msgspec.Meta(min_length=3, max_length=200)]


class Region(Value, frozen=True):
    """Where no hole may come: a rod pocket, an inlay, a glue line.

    `depth` is from its side; through has none. `cover_height` is how far a cover on the face stands up.
    """

    key: Key
    name: Name
    shape: RoundRegion | Polygon
    side: Literal["face", "back", "through"] = "through"
    depth: Distance = 0.0
    cover_height: Distance = 0.0


class OldHole(Value, frozen=True):
    """A bore or screw hole that the head has already; without a depth it goes through."""

    key: Key
    at: Point
    diameter: Size
    depth: Size | None = None
    side: Literal["face", "back"] = "back"
    plugged: bool = False


class Build(Value, frozen=True):
    """Everything the maker decided about one head.

    `symmetric` tells whether both sides are worked on together; absent = as the outline lies.
    """

    name: Name
    outline: Starter | Nodes
    nut: Nut
    head: Head = Head()
    hand: Literal["right", "left"] = "right"
    strings: Annotated[tuple[String, ...], msgspec.Meta(max_length=40)] = ()
    hardware: Annotated[tuple[Hardware, ...], msgspec.Meta(max_length=40)] = ()
    rows: Annotated[tuple[Row, ...], msgspec.Meta(max_length=20)] = ()
    retainers: Annotated[tuple[Retainer, ...], msgspec.Meta(max_length=40)] = ()
    keep_clear: Annotated[tuple[Region, ...], msgspec.Meta(max_length=100)] = ()
    old_holes: Annotated[tuple[OldHole, ...], msgspec.Meta(max_length=200)] = ()
    scale_length: ScaleLength = 650.0
    bridge_spread: Distance = 52.0
    cutter_diameter: Distance = 0.0
    limits: Annotated[tuple[ChangedLimit, ...], msgspec.Meta(max_length=200)] = ()
    notes: Prose = ""
    symmetric: bool | UnsetType = UNSET

    @property
    def bass_sign(self) -> int:
        """Sign of x on the bass side: -1 right-handed, 1 left-handed."""
        return -1 if self.hand == "right" else 1

    def sign_of(self, side: SideName) -> int:
        """Sign of x on `side`."""
        return self.bass_sign if side == "bass" else -self.bass_sign
