"""Drilled holes as a picture or calipers tell them: laid on the plan, matched with it, and how all stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

import msgspec
import numpy as np

from geometry.checks.judge import findings
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.search.answers.all_read import Placed
from geometry.search.answers.missed import WithHoles, worse
from geometry.search.rings.allowance import allowance, judged
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import PRINT
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import SentenceError

# mm from its mark within which a hole is taken for the one that was meant; neighbours are twice as far apart.
_NEAREST = 6.0
# mm by which a bore may be wider or narrower than the build says: the drill beside the right one. From memory.
_NEAR_BORE = 1.0

NEARLY = 1.0
"""mm beyond what a picture is good for within which a hole is at a place: old holes are typed in from callipers or
another picture, and a pilot starts in a punched mark. From memory."""

# mm by which a hole is wider than the old one, beyond what the picture is good for, where it was opened up.
_OPENED = 0.5
# mm between the edge that was found and that of the plan, at the median, beyond which it is another head.
_OTHER_HEAD = 1.5

ROUGH_EDGE = 0.5
"""mm of the same beyond which it is told."""

_CALM = 0.3  # mm off the plan beyond which a place of the edge counts less and less


class Seen(msgspec.Struct, frozen=True):
    """A hole as a picture shows it, in mm; the gives are what its centre and its diameter are good for."""

    at: Point
    diameter: float
    give: float
    diameter_give: float


Kind = Literal["bore", "pilot", "drilled before"]
"""What a hole is to its post: its bore, a pilot whose bore is still to come, or a bore that the build holds already."""


class Hit(msgspec.Struct, frozen=True):
    """A hole of the plan: its post, what it is to it, how far it is from its mark, and the radius of its ring there.

    `bore` is the diameter of the build nearest to what is seen. Where the hole was drilled before, its mark is where
    the build has it; the build keeps it there, and the ring says nothing.
    `told` is false where the miss is less than what the picture is good for: then the hole is on its mark for all that
    anybody knows, and the build keeps it there.
    """

    post: str
    label: str
    mark: Point
    seen: Seen
    bore: float
    ring: float
    kind: Kind = "bore"

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


class Besides(msgspec.Struct, frozen=True):
    """What a picture tells besides the holes of the plan.

    `old` are holes that are old ones of the build, `others` those that are none of it. `laid` tells how the picture was
    laid on the plan, `edge_off` is the median distance between both edges in mm, 0 for calipers.
    """

    old: tuple[Seen, ...] = ()
    others: tuple[Seen, ...] = ()
    laid: Laid = Laid(0.0, Vector(0.0, 0.0))
    edge_off: float = 0.0


class AsDrilled(WithHoles, frozen=True):
    """A head with all holes that were found drilled where they are; `hits` are those of the plan.

    A pilot neither moves its post nor makes it a drilled one.
    """

    hits: tuple[Hit, ...]
    besides: Besides


def as_drilled(
    build: Build, layout: Layout, edge: Floats, edge_give: float, holes: Sequence[Seen]
) -> AsDrilled:
    """How a head stands whose edge (n, 2) and holes were found, the edge being good for `edge_give` mm.

    `layout` is that of the build. SentenceError where the edge is not that of the plan.
    """
    assert layout.edge is not None, "nothing is laid on a plan without an edge"
    laid, off = laid_on(layout.edge, edge)
    if off > _OTHER_HEAD:
        text = "Half of the edge in the picture is {0} or more off the plan: it is another head."
        raise SentenceError(text, (off,))
    # The edge is off by much the same over long stretches, so that it counts as a few places and not as hundreds.
    lying = edge_give / 3
    placed = tuple(
        msgspec.structs.replace(hole, at=laid.at(hole.at), give=float(np.hypot(hole.give, lying)))
        for hole in holes
    )
    old = tuple(hole for hole in placed if _is_old(build, layout, hole))
    hits, others = _matched(build, layout, [hole for hole in placed if hole not in old])
    return _standing(build, layout, hits, Besides(old, others, laid, off))


def as_read(build: Build, layout: Layout, holes: Sequence[Placed]) -> AsDrilled:
    """The same of holes that were read with calipers; SentenceError for one whose readings do not tell its place."""
    rings = {ring.post: ring.radius for ring in allowance(build, layout).rings}
    hits = []
    for hole in holes:
        post = layout.post(hole.post)
        if hole.untold is not None:
            lengthwise = abs(hole.untold.y) > abs(hole.untold.x)
            way = "along the head" if lengthwise else "across it"
            text = (
                f"the readings do not tell where hole {post.label} is {way}; expected another one that does."
            )
            raise SentenceError(text)
        seen = Seen(hole.at, hole.diameter, GIVE * hole.spread, GIVE * hole.diameter_spread)
        if post.at.distance(seen.at) > _NEAREST:
            text = f"the readings put hole {post.label} {{0}} from its mark; expected {{1}} at most."
            raise SentenceError(text, (round(post.at.distance(seen.at), 1), _NEAREST))
        narrow = seen.diameter < post.hardware.bore.through - _NEAR_BORE - seen.diameter_give
        kind: Kind = "drilled before" if post.post.drilled else "pilot" if narrow else "bore"
        hits.append(_hit(post, seen, rings[post.key], kind))
    order = {post.key: place for place, post in enumerate(layout.posts)}
    hits.sort(key=lambda hit: order[hit.post])
    return _standing(build, layout, tuple(hits), Besides())


def _standing(build: Build, layout: Layout, hits: tuple[Hit, ...], besides: Besides) -> AsDrilled:
    """How the head stands with the bores among the hits where they are."""
    bores = [hit for hit in hits if hit.kind == "bore"]
    there = move_posts(build, layout, {hit.post: hit.seen.at for hit in bores if hit.told})
    for hit in bores:
        there = set_drilled(there, hit.post, drilled=True)
    head = judged(there)
    return AsDrilled(
        build=head.build,
        layout=head.layout,
        found=head.found,
        allowance=head.allowance,
        worse=worse(findings(build, layout), head.found),
        hits=hits,
        besides=besides,
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


def _is_old(build: Build, layout: Layout, hole: Seen) -> bool:
    """Whether a hole is one that the head had before, as the build has it."""
    on_face = (old for old in build.old_holes if old.depth is None or old.side == "face")
    known = [old for old in on_face if old.at.distance(hole.at) <= hole.give + NEARLY]
    if not known:
        return False
    old = min(known, key=lambda each: each.at.distance(hole.at))
    bores = [post for post in layout.posts if _kind(post, hole) in ("bore", "drilled before")]
    if hole.diameter > old.diameter + _OPENED + hole.diameter_give:
        return not bores
    # A bore may be drilled in the plug, and one that is drilled is in the build as a post.
    return not any(
        (old.plugged or post.post.drilled) and post.at.distance(hole.at) <= old.at.distance(hole.at) + PRINT
        for post in bores
    )


def _kind(post: PlacedPost, hole: Seen) -> Kind | None:
    """What a hole may be to a post by its place and its width; None for nothing."""
    far, wider = post.at.distance(hole.at), hole.diameter - _bore(post, hole)
    if far <= _NEAREST and abs(wider) <= _NEAR_BORE + hole.diameter_give:
        return "drilled before" if post.post.drilled else "bore"
    if wider < 0 and far <= NEARLY + hole.give and not post.post.drilled:
        return "pilot"
    return None


def _bore(post: PlacedPost, hole: Seen) -> float:
    """That diameter of a post's bore which a hole is nearest to: the face shows the through bore or a counterbore."""
    bore = post.hardware.bore
    return min(bore.through, bore.largest, key=lambda each: abs(each - hole.diameter))


def _matched(build: Build, layout: Layout, holes: Sequence[Seen]) -> tuple[tuple[Hit, ...], tuple[Seen, ...]]:
    """Posts and holes that may be theirs, so that all together are nearest, and the holes that are left."""
    from scipy.optimize import linear_sum_assignment

    posts = layout.posts
    if not posts or not holes:
        return (), tuple(holes)
    kinds = [[_kind(post, hole) for hole in holes] for post in posts]
    apart = np.array([[post.at.distance(hole.at) for hole in holes] for post in posts])
    # What cannot be a post's costs the same wherever it is.
    cost = np.where(np.array([[kind is None for kind in row] for row in kinds]), 2 * _NEAREST, apart)
    pairs = [(int(i), int(j)) for i, j in zip(*linear_sum_assignment(cost), strict=True)]
    rings = {ring.post: ring.radius for ring in allowance(build, layout).rings}
    hits = tuple(
        _hit(posts[i], holes[j], rings[posts[i].key], kind)
        for i, j in sorted(pairs)
        if (kind := kinds[i][j]) is not None
    )
    taken = {j for i, j in pairs if kinds[i][j] is not None}
    return hits, tuple(hole for j, hole in enumerate(holes) if j not in taken)


def _hit(post: PlacedPost, hole: Seen, ring: float, kind: Kind) -> Hit:
    return Hit(post.key, post.label, post.at, hole, _bore(post, hole), ring, kind)
