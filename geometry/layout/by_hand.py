"""Posts and rows dragged to a place: what the build must say so that they lie there."""

from __future__ import annotations

from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Moved, OnLine, OnPlate, Row, StraightPull
from geometry.document.edits import move_post, set_rule
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST, LEAST


def move_posts(build: Build, layout: Layout, places: dict[str, Point]) -> Build:
    """Put posts by hand at places in head mm; a post that has no place in the layout is left alone.

    `layout` is that of the build.
    """
    placed = {post.key: post for post in layout.posts}
    for key, to in places.items():
        if key in placed:
            moved = by_hand(placed[key], to)
            build = move_post(build, key, moved.along, moved.inward)
    return build


def by_hand(post: PlacedPost, to: Point) -> Moved:
    """How far along its row and inward of its rule's place a post lies when its centre is at `to`."""
    step = to - post.ruled.at
    along, outward = step.dot(post.ruled.along), step.dot(post.ruled.outward)
    return Moved(post=post.key, along=_kept(along), inward=_kept(-outward))


def row_of(build: Build, post: str) -> Row:
    """The row of a post."""
    return next(row for row in build.rows if any(each.key == post for each in row.posts))


def drag_row(build: Build, layout: Layout, post: str, step: Vector) -> Build:
    """Drag a whole row by one of its posts: its rule starts elsewhere and at another inset.

    On a straight edge every post moves by `step`; along a bent edge the row follows it. Straight pull has no inset.
    """
    assert layout.edge is not None, "posts are placed along an edge"
    foot = layout.edge.contour.nearest(layout.post(post).at)
    # The edge runs counter-clockwise: outwards is to its right.
    outward = layout.edge.contour.segments[foot.index].tangent_at(foot.t).right
    row = row_of(build, post)
    return set_rule(build, row.key, _shifted(row.rule, step.y, step.dot(outward)))


Rule = AlongEdge | OnLine | OnPlate | StraightPull


def _shifted(rule: Rule, up: float, outward: float) -> Rule:
    start = _size(rule.start + up)
    match rule:
        case StraightPull():
            return replace(rule, start=start)
        case AlongEdge():
            return replace(rule, start=start, inset=_size(rule.inset - outward))
        case OnLine() | OnPlate():
            last = None if rule.inset_last is None else _size(rule.inset_last - outward)
            return replace(rule, start=start, inset=_size(rule.inset - outward), inset_last=last)


def _size(length: float) -> float:
    return min(LARGEST, max(LEAST, length))


def _kept(length: float) -> float:
    return min(LARGEST, max(-LARGEST, length))
