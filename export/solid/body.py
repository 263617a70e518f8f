"""The printed drill guide as a closed solid, as it lies on the printer's bed: upper side down, fences up.

So nothing hangs over and the numbers, sunk into the upper side, come out on the smooth face. Seen from above the guide
is then the mirror image of the face: x runs to the left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec
import numpy as np
import shapely
from manifold3d import CrossSection, FillRule, Manifold, OpType
from shapely.geometry.base import BaseGeometry

from export.solid.plan import (
    CHAMFER,
    CHORD,
    DOWEL,
    DOWEL_DEEP,
    FENCE_DEEP,
    THICKNESS,
    Plan,
    cut_at,
    dowels_at,
    quarter,
)
from geometry.shape.close import Floats, Indices
from geometry.shape.segment import Circle
from geometry.trade.shop import Shop

# Sizes in mm; workshop practice, no source.
_SUNK = 0.6  # depth of the numbers: three layers of 0.2
# The mouth between the fences widens, so that it finds the head: in steps as high as a layer.
_LEAD_HIGH, _LEAD_WIDE, _LEAD_STEPS = 1.2, 0.6, 6
_MERGED = 0.001  # corners nearer to each other in mm become one: files hold numbers of single precision


class Piece(msgspec.Struct, frozen=True):
    """A body to print: corners (n, 3) in mm on the bed, triangles (m, 3), its name."""

    name: str
    corners: Floats
    triangles: Indices


def pieces(plan: Plan, shop: Shop) -> tuple[Piece, ...]:
    """The guide in one piece, or cut across in two that are joined by dowels where it is larger than the shop's bed.

    Raises SheetError where even half of it is too large or no cut misses the holes.
    """
    body, at = _body(plan), cut_at(plan, shop)
    if at is None:
        return (_piece("drill guide", body),)
    joined = body - Manifold.compose(list(_dowels(plan, at, shop.print_wall)))
    beyond, nearer = joined.split_by_plane((0.0, 1.0, 0.0), at)
    return (_piece("drill guide, nut end", nearer), _piece("drill guide, tip end", beyond))


def _piece(name: str, body: Manifold) -> Piece:
    mesh = body.simplify(_MERGED).to_mesh()
    return Piece(name, np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts))


# The whole


def _body(plan: Plan) -> Manifold:
    whole = _raised(plan.plate, 0.0, THICKNESS) + _raised(
        plan.fence, THICKNESS - CHORD, THICKNESS + FENCE_DEEP
    )
    gone = [_bore(hole) for hole in plan.guides]
    if not plan.numbers.is_empty:
        gone.append(_raised(plan.numbers, -1.0, _SUNK))
    gone += _mouth(plan)
    return (whole - Manifold.batch_boolean(gone, OpType.Add)).mirror((1.0, 0.0, 0.0))


def _raised(area: BaseGeometry, low: float, high: float) -> Manifold:
    """The prism over an area."""
    rings = [
        np.asarray(ring.coords)[:-1]
        for polygon in shapely.get_parts(area)
        if isinstance(polygon, shapely.Polygon)
        for ring in (polygon.exterior, *polygon.interiors)
    ]
    section = CrossSection(rings, FillRule.EvenOdd)
    return section.extrude(high - low).translate((0.0, 0.0, low))


def _bore(hole: Circle) -> Manifold:
    """Through the plate, widened at the upper side."""
    rounds = 4 * quarter(hole.radius + CHAMFER)
    straight = Manifold.cylinder(THICKNESS + 2.0, hole.radius, circular_segments=rounds)
    cone = Manifold.cylinder(CHAMFER, hole.radius + CHAMFER, hole.radius, circular_segments=rounds)
    return (straight.translate((0.0, 0.0, -1.0)) + cone).translate((hole.centre.x, hole.centre.y, 0.0))


def _mouth(plan: Plan) -> Iterator[Manifold]:
    """What the fences lack at their ends, in steps."""
    for low, high in pairwise(np.linspace(0.0, _LEAD_HIGH, _LEAD_STEPS + 1)):
        wider = plan.clearance + _LEAD_WIDE * high / _LEAD_HIGH
        area = plan.head.buffer(wider, quad_segs=16)
        base = THICKNESS + FENCE_DEEP - _LEAD_HIGH
        yield _raised(area, base + low, base + high + (1.0 if high == _LEAD_HIGH else 0.0))


# In two


def _dowels(plan: Plan, y: float, wall: float) -> Iterator[Manifold]:
    for x in dowels_at(plan, y, wall):
        lying = Manifold.cylinder(2 * DOWEL_DEEP, DOWEL / 2, circular_segments=4 * quarter(DOWEL / 2))
        yield lying.rotate((90.0, 0.0, 0.0)).translate((-x, y + DOWEL_DEEP, THICKNESS / 2))


# As it is looked at: turned, in parallel projection, far sides before near ones


BESIDE = 8.0
"""mm between two pieces."""

_LIGHT = np.array([-0.35, 0.45, 0.82])  # from where it comes, over the left shoulder of who looks
_DARKEST = 0.4


class Seen(msgspec.Struct, frozen=True):
    """Sides that are turned to who looks, in the order in which to paint them.

    `corners` (n, 3, 2) in mm round the middle of the body, x to the right and y up; `light` (n) from 0 to 1.
    """

    corners: Floats
    light: Floats


def triangles_of(pieces: Sequence[Piece]) -> Floats:
    """All triangles (n, 3, 3) in mm, pieces side by side, their middle at the origin."""
    placed, left = [], 0.0
    for piece in pieces:
        low, high = piece.corners.min(axis=0), piece.corners.max(axis=0)
        step = np.array([left - low[0], 0.0, 0.0])
        placed.append((piece.corners + step)[piece.triangles])
        left += high[0] - low[0] + BESIDE
    whole = np.concatenate(placed)
    ends = whole.reshape(-1, 3)
    return np.asarray(whole - (ends.min(axis=0) + ends.max(axis=0)) / 2)


def seen(triangles: Floats, about: float, tilt: float) -> Seen:
    """The triangles turned by `about` round the upright axis, then leant towards who looks by `tilt`, both in radians.

    With both 0 one looks down on the bed, its far side up; with a tilt of a quarter turn along it. Painter's order by
    the middle of each side: neighbours of very different size may come out of order, which nothing is measured by.
    """
    spin = np.array([[np.cos(about), -np.sin(about), 0], [np.sin(about), np.cos(about), 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, np.cos(tilt), np.sin(tilt)], [0, -np.sin(tilt), np.cos(tilt)]])
    turned = triangles @ (lean @ spin).T
    across = np.cross(turned[:, 1] - turned[:, 0], turned[:, 2] - turned[:, 0])
    facing = across[:, 2] > 0
    turned, across = turned[facing], across[facing]
    light = (across / np.linalg.norm(across, axis=1, keepdims=True)) @ _LIGHT
    order = np.argsort(turned[:, :, 2].max(axis=1))
    return Seen(turned[order][:, :, :2], (_DARKEST + (1 - _DARKEST) * light.clip(0.0, 1.0))[order])
