"""A tuner as the maker measures it with calipers.

Part frame: the post axis is the origin, `along` runs along the row towards the tip of the head, `outward` across
the row towards the button. Sizes in mm, masses in g.
"""

# Without `from __future__ import annotations`: as text msgspec would compile each of them anew, twice a start.
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

from geometry.trade.measures import Distance, Grams, Key, Name, Newtons, Offset, Size

POST_SLACK = 0.1
"""A post turns in a bushing so much wider, in mm of diameter, unless it was measured: from memory."""


class Value(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A frozen record of a build file; fields are named and unknown ones are refused."""


class Rectangle(Value, frozen=True):
    """A rectangle on the back: sizes along and across the row, and its middle seen from the post axis."""

    along: Size
    across: Size
    shift_along: Offset = 0.0
    shift_outward: Offset = 0.0


class Disc(Value, frozen=True):
    """A washer, hexagon (across its corners) or flange on the face, and how high its top stands over the face."""

    diameter: Size
    height: Distance = 0.0


class Counterbore(Value, frozen=True):
    """The wider upper part of a bore, drilled from the face."""

    diameter: Size
    depth: Size


class Bore(Value, frozen=True):
    """The hole for one post."""

    through: Size
    counterbore: Counterbore | None = None

    @property
    def largest(self) -> float:
        """D, the largest diameter at any depth, in mm."""
        if self.counterbore is None:
            return self.through
        return max(self.through, self.counterbore.diameter)


class Tried(Value, frozen=True):
    """The bore, without finish in it, that felt right for a bushing on scrap of a wood."""

    wood: Name
    bore: Size


class Bushing(Value, frozen=True):
    """What lines the bore: its ribs or thread between root and crest diameter, and what felt right for it."""

    kind: Literal["screw-in", "press-in"]
    root: Size
    crest: Size
    tried: Tried | None = None


class Screw(Value, frozen=True):
    """A fixing screw seen from the post axis; a shared one stands half-way between two neighbours of the row."""

    along: Offset
    outward: Offset
    diameter: Size
    root: Size
    length: Size
    shared: bool = False


class Pin(Value, frozen=True):
    """A locating pin seen from the post axis, and the depth of its hole."""

    along: Offset
    outward: Offset
    diameter: Size
    depth: Size


class SideButton(Value, frozen=True, tag_field="axis", tag="side"):
    """A button on a shaft across the post, as worm and wheel have it; the shaft passes BESIDE the post axis.

    `shaft_offset` is from the post axis along the row, positive towards the tip on a piece of the right hand for its
    side; `shaft_depth` is below the back; `shaft_length` from the post axis along the shaft to the button's inner
    face; `length` along the shaft; `swept_diameter` about it.
    """

    shaft_offset: Offset
    shaft_depth: Distance
    shaft_length: Size
    length: Size
    swept_diameter: Size


class RearButton(Value, frozen=True, tag_field="axis", tag="rear"):
    """A button on the back, coaxial with the post: planetary, friction and geared friction-look pegs."""

    swept_diameter: Size
    length: Size


class Plate(Value, frozen=True):
    """A rigid plate that carries a whole row: first to last post, measured and divided, gives the pitch.

    The plate reaches `beyond` past its first and last post and lies `shift_outward` of the row of posts.
    """

    posts: int
    pitch: Size
    beyond: Distance
    across: Size
    shift_outward: Offset = 0.0
    screws: tuple[Screw, ...] = ()


class Hardware(Value, frozen=True):
    """One kind of tuner.

    `body` is all of it on the back, `seat` what must rest on flat wood; bodies that `butt` may touch. `hole_height`
    is the height of the string hole above the back seat, for a rear button above the front collar (the washer).
    `most_pull` in N and `most_string` are the hardest pull and the thickest string it takes, None where nobody knows.
    `bushing_bore` is the inside diameter in which the post turns: absent = POST_SLACK wider than the post.
    `measured` are the paths of the measures that the maker typed, such as "seat.along" or "screws[0].outward", in the
    order of the record; the others are typical. Absent = nobody kept a record.
    """

    key: Key
    name: Name
    post_diameter: Size
    hole_height: Size
    bore: Bore
    button: SideButton | RearButton
    body: Rectangle | None = None
    seat: Rectangle | None = None
    plate: Plate | None = None
    bushing: Bushing | None = None
    bushing_bore: Size | UnsetType = UNSET
    washer: Disc | None = None
    hexagon: Disc | None = None
    screws: tuple[Screw, ...] = ()
    pins: tuple[Pin, ...] = ()
    butts: bool = False
    tapered: bool = False
    thickness_least: Size = 10.0
    thickness_most: Size = 20.0
    body_mass: Grams = 0.0
    button_mass: Grams = 0.0
    most_pull: Newtons | None = None
    most_string: Size | None = None
    source: Name = "typical, measure yours"
    measured: tuple[Annotated[str, Meta(max_length=40)], ...] | UnsetType = UNSET

    @property
    def handed(self) -> bool:
        """Whether left and right pieces differ."""
        return isinstance(self.button, SideButton) and self.button.shaft_offset != 0

    @property
    def turns_in(self) -> float:
        """Inside diameter in mm in which the post turns: as measured, or as is usual for the post."""
        return self.post_diameter + POST_SLACK if self.bushing_bore is UNSET else self.bushing_bore

    @property
    def play(self) -> float:
        """How far in mm the middle of the post may lie off the middle of its hole; 0 where it is no looser."""
        return max(0.0, (self.turns_in - self.post_diameter) / 2)

    @property
    def collar_height(self) -> float:
        """Height in mm of the highest disc on the face, 0 without any."""
        return max((disc.height for disc in (self.washer, self.hexagon) if disc), default=0.0)

    @property
    def collar_diameter(self) -> float:
        """Diameter in mm of the widest disc on the face, 0 without any."""
        return max((disc.diameter for disc in (self.washer, self.hexagon) if disc), default=0.0)
