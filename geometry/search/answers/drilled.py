"""Drilled holes as a picture shows them: laid on the plan by the edge of the head, matched, and how all stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np

from geometry.checks.judge import findings
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.search.answers.missed import WithHoles, worse
from geometry.search.rings.allowance import allowance
from geometry.search.rings.judged import judged
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.sentence import SentenceError

NEAREST = 6.0
"""mm from its mark within which a hole is taken for the one that was meant; neighbours are twice as far apart."""

OTHER_HEAD = 1.5
"""mm between the edge that was found and that of the plan, at the median, beyond which it is another head."""

ROUGH_EDGE = 0.5
"""mm of the same beyond which it is told."""

_CALM = 0.3  # mm off the plan beyond which a place of the edge counts less and less


class Seen(msgspec.Struct, frozen=True):
    """A hole as a picture shows it, in mm; the gives are what its centre and its diameter are good for."""

    at: Point
    diameter: float
    give: float
    diameter_give: float


class Hit(msgspec.Struct, frozen=True):
    """A hole of the plan that is drilled: its post, how far it is from its mark, and the radius of its ring there.

    `told` is false where the miss is less than what the picture is good for: then the hole is on its mark for all that
    anybody knows, and the build keeps it there.
    """

    post: str
    label: str
    mark: Point
    seen: Seen
    bore: float
    ring: float

    @property
    def by(self) -> Vector:
        """From the mark to the hole."""
        return self.seen.at - self.mark

    @property
    def told(self) -> bool:
        """Whether the miss is more than the picture is good for."""
        return self.by.length > self.seen.give


class Laid(msgspec.Struct, frozen=True):
    """How the picture was moved onto the plan: turned about the origin by `turn` radians, then moved by `step`."""

    turn: float
    step: Vector

    def at(self, point: Point) -> Point:
        """Where a place of the picture lies on the plan."""
        return Point(0.0, 0.0) + (point - Point(0.0, 0.0)).turned(self.turn) + self.step


class AsDrilled(WithHoles, frozen=True):
    """A head with all holes that were found drilled where they are.

    `hits` are those of the plan, `others` those that are none of it. `laid` tells how the picture was laid on the plan,
    `edge_off` is the median distance between both edges in mm.
    """

    hits: tuple[Hit, ...]
    others: tuple[Seen, ...]
    laid: Laid
    edge_off: float


def as_drilled(
    build: Build, layout: Layout, edge: Floats, edge_give: float, holes: Sequence[Seen]
) -> AsDrilled:
    """How a head stands whose edge (n, 2) and holes were found, the edge being good for `edge_give` mm.

    `layout` is that of the build. SentenceError where the edge is not that of the plan.
    """
    assert layout.edge is not None, "nothing is laid on a plan without an edge"
    laid, off = laid_on(layout.edge, edge)
    if off > OTHER_HEAD:
        text = "The edge of the head in the picture is {0} off the plan, at the median: it is another head."
        raise SentenceError(text, (off,))
    # The edge is off by much the same over long stretches, so that it counts as a few places and not as hundreds.
    lying = edge_give / 3
    placed = tuple(
        msgspec.structs.replace(hole, at=laid.at(hole.at), give=float(np.hypot(hole.give, lying)))
        for hole in holes
    )
    hits, others = _matched(build, layout, placed)
    there = move_posts(build, layout, {hit.post: hit.seen.at for hit in hits if hit.told})
    for hit in hits:
        there = set_drilled(there, hit.post, drilled=True)
    head = judged(there)
    return AsDrilled(
        build=head.build,
        layout=head.layout,
        found=head.found,
        allowance=head.allowance,
        worse=worse(findings(build, layout), head.found),
        hits=hits,
        others=others,
        laid=laid,
        edge_off=off,
    )


def laid_on(plan: Edge, edge: Floats) -> tuple[Laid, float]:
    """How an edge (n, 2) lies best on that of a plan, and the median distance in mm that is left.

    Least squares of the distances, large ones counting less and less, for both heads need not be alike everywhere.
    """
    from scipy.optimize import least_squares

    places = edge[:: max(1, len(edge) // 400)]

    def off(values: Floats) -> Floats:
        return plan.distance(_moved(places, values))[0]

    found: Any = least_squares(off, np.zeros(3), loss="soft_l1", f_scale=_CALM, x_scale=(0.01, 1.0, 1.0))
    turn, x, y = (float(value) for value in found.x)
    return Laid(turn, Vector(x, y)), float(np.median(np.abs(off(found.x))))


def _moved(places: Floats, values: Floats) -> Floats:
    cosine, sine = np.cos(values[0]), np.sin(values[0])
    return np.asarray(places @ np.array([[cosine, sine], [-sine, cosine]]) + values[1:], float)


def _matched(build: Build, layout: Layout, holes: Sequence[Seen]) -> tuple[tuple[Hit, ...], tuple[Seen, ...]]:
    """Holes and posts, each with its nearest so that all together are nearest, and the holes that are left."""
    from scipy.optimize import linear_sum_assignment

    posts = layout.posts
    if not posts or not holes:
        return (), tuple(holes)
    apart = np.array([[post.at.distance(hole.at) for hole in holes] for post in posts])
    # One that is too far costs the same wherever it is.
    pairs = zip(*linear_sum_assignment(np.minimum(apart, 2 * NEAREST)), strict=True)
    chosen = {int(j): posts[int(i)] for i, j in pairs if apart[i, j] <= NEAREST}
    rings = {ring.post: ring.radius for ring in allowance(build, layout).rings}
    hits = tuple(_hit(post, holes[j], rings[post.key]) for j, post in chosen.items())
    order = {post.key: number for number, post in enumerate(posts)}
    return (
        tuple(sorted(hits, key=lambda hit: order[hit.post])),
        tuple(hole for j, hole in enumerate(holes) if j not in chosen),
    )


def _hit(post: PlacedPost, hole: Seen, ring: float) -> Hit:
    return Hit(post.key, post.label, post.at, hole, post.bore, ring)
