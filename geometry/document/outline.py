"""The outline of a head: few measures of a starter, or free nodes with the runs between them."""

# Without `from __future__ import annotations`, as in `build`.
from typing import Annotated, Final, Literal

import msgspec

from geometry.shape.point import Point, Vector
from geometry.trade.hardware import Value
from geometry.trade.measures import LEAST, LENGTH_MARK, Key, Share

LARGEST_BULGE: Final = 20.0
"""An arc with a larger bulge is a full circle but for a tenth of its diameter: a slip of the hand."""

LARGEST_STARTER: Final = 750.0
"""No measure of a starter is longer, in mm, so that all its nodes stay within the largest length."""

StarterSize = Annotated[float, msgspec.Meta(ge=LEAST, le=LARGEST_STARTER, extra={LENGTH_MARK: True})]
"""A measure of a starter in mm that is not 0, nor next to it."""

StarterDistance = Annotated[float, msgspec.Meta(ge=0, le=LARGEST_STARTER, extra={LENGTH_MARK: True})]
"""A measure of a starter in mm, 0 allowed."""

StarterShape = Literal[
    "straight-taper", "waisted", "one-sided", "narrow", "rounded-paddle", "broad-for-plates"
]


class Straight(Value, frozen=True, tag_field="run", tag="straight"):
    """A straight run to the next node."""


class Bend(Value, frozen=True, tag_field="run", tag="arc"):
    """A circular run to the next node; bulge = tan(included angle / 4), positive counter-clockwise."""

    bulge: Annotated[float, msgspec.Meta(ge=-LARGEST_BULGE, le=LARGEST_BULGE)]


class Curve(Value, frozen=True, tag_field="run", tag="curve"):
    """A cubic run: `leave` is this node's handle, `arrive` the next node's, each seen from its node."""

    leave: Vector
    arrive: Vector


class Node(Value, frozen=True):
    """A node of a free outline and the run that goes on from it.

    `follows_nut` is the share of half a change of nut width that moves the node outwards: 1 at the nut, 0 = stays.
    """

    key: Key
    at: Point
    onward: Straight | Bend | Curve = Straight()
    follows_nut: Share = 1.0


MOST_NODES = 500
"""No outline has more: everything that follows from one must be there while somebody waits for it."""


class Nodes(Value, frozen=True, tag_field="kind", tag="nodes"):
    """A free outline: the open edge from the right end of the nut line round the tip to its left end.

    Counter-clockwise as the face shows it, so from the treble end on a right-handed build; both ends lie on y = 0.
    The last node's run is not used.
    """

    nodes: Annotated[tuple[Node, ...], msgspec.Meta(max_length=MOST_NODES)]


class Starter(Value, frozen=True, tag_field="kind", tag="starter"):
    """A parametric outline: starts as wide as the nut, reaches `width_low` at `shoulder`, then narrows to `width_high`.

    `waist` draws each side in between the two, `tip_rise` lifts the middle of the tip over its corners, `corner`
    rounds the tip's corners. `lean_deg` is for all tuners on one side: how far their edge leans from the centre line
    towards the other side.
    """

    shape: StarterShape
    length: StarterSize
    width_low: StarterSize
    width_high: StarterSize
    shoulder: StarterSize
    tip_rise: StarterDistance = 0.0
    corner: StarterDistance = 0.0
    waist: StarterDistance = 0.0
    lean_deg: Annotated[float, msgspec.Meta(ge=0, le=45)] = 0.0
