"""How the margins of rigid parts change with the numbers that a search may change.

Where posts only move, the rows know it in closed form. Where a rule turns tuners as well, along a bent edge or with the
angle of a row, what turning adds is found by differences; it changes slowly, so it is used again for a few places.
"""

from __future__ import annotations

import msgspec
import numpy as np

from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Part
from geometry.document.build import AlongEdge, Row
from geometry.layout.layout import Layout, displaced, lay_out
from geometry.search.placing.handles import Handles
from geometry.search.placing.standing import Standing, placing_slack
from geometry.search.rings.height_slack import HEIGHTS, bend_slope
from geometry.search.rings.slack import Slack
from geometry.shape.close import Flags, Floats, Indices
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME

_NUDGE = 1e-4  # change of a rule's parameter, in mm, for differences
_TURNED = 1e-8  # directions that a nudge changes by less than this do not matter: a part moves straight
_NEAR = 1.0  # rows further than this from their limits, in mm, may be told less well
# Checks some of whose rows do not know in which direction they shrink.
_UNTOLD = ("string over washers", "keep clear")
_OLDEST = 5  # what turning adds is used again for so many places


class Nudged(msgspec.Struct, frozen=True):
    """What a handle moves: posts in mm for a unit of it (n, 2). `layout` is there if tuners turn as well."""

    moves: Floats
    layout: Layout | None


class Added(msgspec.Struct, frozen=True):
    """What turning adds (k, h) to the slopes of rows with these checks and parts, and how old it is, in places."""

    checks: tuple[str, ...]
    about: tuple[tuple[Part, ...], ...]
    slopes: Floats
    age: int


def nudged(facts: Facts, handles: Handles, values: Floats) -> list[Nudged]:
    """What each of the handles moves, from values (h,)."""
    return [_nudged(facts, handles, number, values) for number in range(len(values))]


def _nudged(facts: Facts, handles: Handles, number: int, values: Floats) -> Nudged:
    handle = handles.handles[number]
    moves = np.zeros((len(facts.posts), 2))
    if handle.post is not None:
        keys = handles.moved_with(handle.post)
        places = [n for n, post in enumerate(facts.posts) if post.key in keys]
        for place in places:
            ruled = facts.posts[place].ruled
            way = ruled.along if handle.name == "along" else -ruled.outward
            moves[place] = way.x, way.y
        rows = {post.key: row for row in handles.build.rows for post in row.posts}
        if not any(_turns(facts, rows[facts.posts[place].key], place) for place in places):
            return Nudged(moves, None)
    layout = lay_out(handles.apply(values + _NUDGE * np.eye(len(values))[number]))
    if len(layout.posts) < len(facts.posts):
        # The row ends with the head here; the next step will see it.
        return Nudged(np.zeros_like(moves), None)
    if handle.post is None:
        at = np.array([(post.at.x, post.at.y) for post in layout.posts])
        moves = (at - facts.at) / _NUDGE
    turned = float(np.abs(_along(layout) - _along(facts.layout)).max())
    return Nudged(moves, layout if turned > _TURNED else None)


def _turns(facts: Facts, row: Row, place: int) -> bool:
    """Whether a post that a hand moves turns with the edge: not where that is straight beside it."""
    if not isinstance(row.rule, AlongEdge):
        return False
    pieces = facts.edge.pieces
    _, foot, (piece,) = pieces.nearest(facts.at[place])
    ends = np.vstack([pieces.starts[piece], pieces.ends[piece]])
    return bool(pieces.bulges[piece] != 0 or (np.hypot(*(ends - foot).T) <= SAME).any())


def _along(layout: Layout) -> Floats:
    return np.array([(post.frame.along.x, post.frame.along.y) for post in layout.posts])


def rigid_slopes(
    standing: Standing, handles: Handles, values: Floats, others: list[Nudged], before: Added | None
) -> tuple[Floats, Added]:
    """Slopes (k, h) of the rigid rows, and what turning adds to them, taken over from `before` while it is fresh."""
    rigid = standing.rigid
    moves = np.stack([each.moves for each in others], axis=-1)
    chained: Floats = np.einsum("kna,nah->kh", _by_place(standing), moves)
    if (
        before is not None
        and before.age < _OLDEST
        and (before.checks, before.about) == (rigid.checks, rigid.about)
    ):
        return chained + before.slopes, msgspec.structs.replace(before, age=before.age + 1)
    added = np.zeros_like(chained)
    untold = _untold(rigid, max(standing.room, 0.0))
    for n, other in enumerate(others):
        layout = other.layout
        build = handles.apply(values + _NUDGE * np.eye(len(values))[n])
        if layout is None and untold.any():
            layout = lay_out(build)
        if layout is not None and len(layout.posts) == len(standing.facts.posts):
            added[:, n] = _differences(rigid, facts_of(build, layout), chained[:, n])
    return chained + added, Added(rigid.checks, rigid.about, added, 1)


def _by_place(standing: Standing) -> Floats:
    """Gradients (k, n, 2) by the places of the posts."""
    rigid = standing.rigid
    found = -rigid.weights[:, :, None] * rigid.toward
    paths = {path.post: path for path in standing.facts.paths}
    for k in [k for k, check in enumerate(rigid.checks) if check == "break"]:
        n = int(np.argmax(rigid.weights[k]))
        path = paths[standing.facts.posts[n].key]
        found[k, n] = bend_slope(standing.facts, path, broken=bool(rigid.margins[k] < 0))
    broken = np.flatnonzero((rigid.margins < 0) & ~np.isin(rigid.checks, sorted(HEIGHTS)))
    if len(broken):
        found[broken] = _of_broken(standing, broken)
    return found


def _of_broken(standing: Standing, broken: Indices) -> Floats:
    """Gradients (b, n, 2) of broken rows other than heights, by differences.

    Where parts run into each other or over the edge, the way from one to the other does not tell what parts them.
    """
    facts, rigid = standing.facts, standing.rigid
    moving: Flags = rigid.weights[broken] > 0
    found = np.zeros((*moving.shape, 2))
    for posts in _one_a_row(moving):
        for axis, way in enumerate((Vector(_NUDGE, 0.0), Vector(0.0, _NUDGE))):
            layout = displaced(facts.build, facts.layout, {facts.posts[n].key: way for n in posts})
            slopes = _differences(rigid, facts_of(facts.build, layout), np.zeros(len(rigid.margins)))
            found[:, posts, axis] = np.where(moving[:, posts], slopes[broken, None], 0.0)
    return found


def _one_a_row(moving: Flags) -> list[list[int]]:
    """The posts that take part in rows (b, n), in groups of which every row has one at most."""
    groups: list[tuple[list[int], Flags]] = []
    for n in np.flatnonzero(moving.any(axis=0)).tolist():
        group = next((each for each in groups if not (each[1] & moving[:, n]).any()), None)
        if group is None:
            group = ([], np.zeros(len(moving), dtype=bool))
            groups.append(group)
        group[0].append(n)
        group[1][moving[:, n]] = True
    return [posts for posts, _ in groups]


def _untold(rigid: Slack, room: float) -> Flags:
    silent = (np.abs(rigid.toward).sum(axis=(1, 2)) == 0) & np.isin(rigid.checks, _UNTOLD)
    found: Flags = silent & (rigid.margins < rigid.weights.sum(axis=1) * (room + _NEAR))
    return found


def _differences(rigid: Slack, other: Facts, chained: Floats) -> Floats:
    """What a nudged layout adds (k,) to what is known of the slopes; nothing in rows that it lacks."""
    there = placing_slack(other)
    if there.checks == rigid.checks and there.about == rigid.about:
        found: Floats = (there.margins - rigid.margins) / _NUDGE - chained
        return found
    known = _by_name(there)
    added = np.zeros_like(chained)
    for name, k in _by_name(rigid).items():
        if name in known:
            added[k] = (there.margins[known[name]] - rigid.margins[k]) / _NUDGE - chained[k]
    return added


def _by_name(slack: Slack) -> dict[tuple[str, tuple[Part, ...], int], int]:
    """Rows by check, parts and how many such there were before."""
    seen: dict[tuple[str, tuple[Part, ...]], int] = {}
    found = {}
    for k, name in enumerate(zip(slack.checks, slack.about, strict=True)):
        seen[name] = seen.get(name, -1) + 1
        found[(*name, seen[name])] = k
    return found
