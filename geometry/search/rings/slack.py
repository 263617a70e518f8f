"""How far the parts are from their stop limits, and how that yields when posts move.

Each row says: margin - sum of weight x distance moved >= 0. A tuner moves as a rigid whole, so a gap between two parts
shrinks by at most what their posts move, and it does when they move along it: rows of rigid parts are exact.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec
import numpy as np
from shapely.affinity import translate

from geometry.checks import hardware, strings, wood
from geometry.checks.caps import caps_of
from geometry.checks.facts import Facts
from geometry.checks.gaps import Gaps, Part, required
from geometry.layout.old_holes import open_holes, room_in_bore
from geometry.layout.parts import thickness_at
from geometry.layout.regions import region_distance
from geometry.search.rings.play import (
    Moving,
    Plates,
    exact_moves,
    moves_of,
    moving_of,
    owners_of,
    play_rows,
)
from geometry.shape.close import Flags, Floats, Indices
from geometry.shape.shapes import lines_of, points, shortest
from geometry.shape.tolerance import SAME

LARGEST = 10.0
"""Rings end here, in mm: nobody misses a mark by more."""


class Slack(msgspec.Struct, frozen=True):
    """Rows (k,) of quantities against their stop limits.

    `weights` (k, n) say how fast each quantity shrinks, at most, for a millimetre that each of the n posts moves.
    `checks` are the names of the checks, `about` the parts, `toward` (k, n, 2) the directions in which each post ends
    it soonest, zero where it does not matter. `on_back` marks what a hole that leans touches on the back.
    """

    weights: Floats
    margins: Floats
    toward: Floats
    checks: tuple[str, ...]
    about: tuple[tuple[Part, ...], ...]
    on_back: Flags

    def only(self, chosen: Flags) -> Slack:
        """The rows for which `chosen` (k,) is true."""
        return self.numbered(np.flatnonzero(chosen))

    def numbered(self, index: Indices) -> Slack:
        """The rows with these numbers, each as often as it is named."""
        return Slack(
            self.weights[index],
            self.margins[index],
            self.toward[index],
            tuple(self.checks[k] for k in index.tolist()),
            tuple(self.about[k] for k in index.tolist()),
            self.on_back[index],
        )


Check = Callable[[Facts], Gaps]

ON_BACK: tuple[Check, ...] = (
    wood.wall,
    wood.web,
    wood.keep_clear,
    hardware.seat,
    hardware.seat_on_flat_back,
    hardware.body_gap,
    hardware.butting_body_gap,
    hardware.button_gap,
    hardware.button_to_edge,
    hardware.screw_to_edge,
    hardware.screw_to_hole,
    hardware.screw_to_own_bore,
)
"""Checks of rigid parts that a leaning hole brings out of place on the back."""

# Checks of rigid parts that only the face sees.
_ON_FACE: tuple[Check, ...] = (hardware.washer_gap, strings.first_washer, wood.into_the_nut)

# Checks that change with the thickness of the head alone, where that tapers.
_BY_THICKNESS: tuple[Check, ...] = (wood.thickness, hardware.screw_depth, strings.wraps)


def slack_of(facts: Facts) -> Slack:
    """The rows of all rigid parts; what no miss can reach is left out."""
    moving = moving_of(facts, LARGEST)
    slope = slope_of(facts)
    found = [_rows(facts, check, moving, on_back=True) for check in ON_BACK]
    found += [_rows(facts, check, moving, on_back=False) for check in _ON_FACE]
    if slope != 0:
        found += [_by_thickness(facts, check, moving, slope) for check in _BY_THICKNESS]
        found += [_not_met(facts, moving, slope)]
    found += [_swallowed(facts), _ends(facts), _play(facts, moving.plates)]
    return joined([each for each in found if len(each.margins)], len(facts.posts))


def told(
    check: str, count: int, rows: Sequence[tuple[Floats, float, tuple[Part, ...]]], *, on_back: bool = False
) -> Slack:
    """The rows (k,) of one check: weights (n,) of `count` posts, margin and parts of each; no direction matters."""
    weights = np.array([each for each, _, _ in rows], dtype=float).reshape(len(rows), count)
    return Slack(
        weights,
        np.array([margin for _, margin, _ in rows], dtype=float),
        np.zeros((*weights.shape, 2)),
        (check,) * len(rows),
        tuple(about for _, _, about in rows),
        np.full(len(rows), on_back),
    )


def joined(slacks: Sequence[Slack], count: int) -> Slack:
    """Several sets of rows as one, for `count` posts."""
    every = (told("", count, ()), *slacks)
    return Slack(
        np.concatenate([each.weights for each in every]),
        np.concatenate([each.margins for each in every]),
        np.concatenate([each.toward for each in every]),
        tuple(name for each in every for name in each.checks),
        tuple(about for each in every for about in each.about),
        np.concatenate([each.on_back for each in every]),
    )


def _rows(facts: Facts, check: Check, moving: Moving, *, on_back: bool) -> Slack:
    """The rows of one check of rigid parts: each gap shrinks by what its parts move towards each other."""
    found = check(facts)
    first, second = moves_of(facts, found, moving)
    if check is hardware.screw_to_own_bore:
        second = owners_of(facts)
    # Where bodies that may touch overlap a little, the way from one to the other is turned round.
    way = _unit(found.there - found.here) * np.where(found.measured < 0, -1.0, 1.0)[:, None]
    return _slack(facts, found, (first, second), moving.plates, way, 1.0, on_back=on_back)


def _by_thickness(facts: Facts, check: Check, moving: Moving, slope: float) -> Slack:
    """The rows of one check that hangs on the thickness of the head, which changes by `slope` along it."""
    found = check(facts)
    moves = moves_of(facts, found, moving)
    up = np.full(len(found.measured), np.sign(slope))
    if check is hardware.screw_depth:
        up = -up
    elif check is wood.thickness:
        least = np.array([post.thickness - post.hardware.thickness_least for post in facts.posts])
        up = np.where(found.measured == least, -up, up)
    way = np.column_stack([np.zeros_like(up), up])
    return _slack(facts, found, moves, moving.plates, way, abs(slope), on_back=False)


def _slack(
    facts: Facts,
    found: Gaps,
    moves: tuple[Floats, Floats],
    plates: Plates,
    way: Floats,
    rate: float,
    *,
    on_back: bool,
) -> Slack:
    """The rows that matter: those within reach of what all posts may move."""
    both = moves[0] - moves[1]
    weights, margins = np.abs(both) * rate, _margins(facts, found)
    toward = np.sign(both)[:, :, None] * way[:, None, :]
    with np.errstate(invalid="ignore"):
        kept = margins < weights.sum(axis=1) * LARGEST
    # What stands still, as the screws of trees do, is nothing that a miss could reach.
    kept &= (weights > 0).any(axis=1)
    about: list[tuple[Part, ...]] = [(found.parts[i],) for i in found.i.tolist()]
    if found.j is not None:
        about = [(*one, found.parts[j]) for one, j in zip(about, found.j.tolist(), strict=True)]
    names = (found.rule.name,) * len(about)
    slack = Slack(weights, margins, toward, names, tuple(about), np.full(len(about), on_back))
    exact = np.abs(exact_moves(found, 0, moves[0], plates) - exact_moves(found, 1, moves[1], plates)) * rate
    return _loosened(slack, kept, exact, plates, rate)


def _loosened(slack: Slack, kept: Flags, exact: Floats, plates: Plates, rate: float) -> Slack:
    """The `kept` (k,) rows, and those of parts that plates carry as their shafts may stray from their holes.

    `exact` (k, n) are the weights of what moves with its posts.
    """
    carried = np.array([not plates.carried.keys().isdisjoint(parts) for parts in slack.about], dtype=bool)
    if not carried.any():
        return slack.only(kept)
    row, weights, margins = plates.expanded(slack.about, exact, slack.margins, rate, carried)
    loose = slack.numbered(row)
    # The slopes stay those of posts that move together.
    toward = loose.toward * (loose.weights / np.where(weights > 0, weights, 1.0))[:, :, None]
    loose = msgspec.structs.replace(loose, weights=weights, margins=margins, toward=toward)
    return joined([slack.only(kept & ~carried), loose], slack.weights.shape[1])


def _margins(facts: Facts, found: Gaps) -> Floats:
    """How far quantities are from their stop limits, NaN where there is none."""
    sign = 1.0 if found.rule.sense == "at least" else -1.0
    margins: Floats = sign * (found.measured - found.stop)
    if found.rule.name != "web":
        return margins
    # The limit turns with the direction of the web; the strictest one holds in all of them.
    along, across = (facts.rule(f"web {way} grain").stop for way in ("along", "across"))
    largest = float(facts.bore.max())
    if along is None or across is None:
        return margins
    return margins - abs(along.at(largest) - across.at(largest))


def _swallowed(facts: Facts) -> Slack:
    """A bore that takes an old hole away whole must go on doing so: a web to it would be none at all."""
    found = [
        (number, room, hole)
        for number, post in enumerate(facts.posts)
        for hole in open_holes(facts.build)
        if (room := room_in_bore(post, hole)) >= -SAME
    ]
    own = np.eye(len(facts.posts))
    rows = [
        (own[number], max(0.0, room), (facts.bores[number], Part("hole", hole.key, f"{hole.key} (old)")))
        for number, room, hole in found
    ]
    ways = facts.at[[number for number, _, _ in found]] - points([hole.at for _, _, hole in found])
    return _away(told("web", len(facts.posts), rows, on_back=True), ways)


def _away(slack: Slack, ways: Floats) -> Slack:
    """The rows as what moves their posts along `ways` (k, 2) ends them soonest."""
    toward = slack.weights[:, :, None] * _unit(ways)[:, None, :]
    return msgspec.structs.replace(slack, toward=toward)


def _not_met(facts: Facts, moving: Moving, slope: float) -> Slack:
    """Screws that stay behind a pocket in the face only while the head is thick enough where they are."""
    stop = facts.rule("keep clear").stop
    rows: list[tuple[Floats, float, tuple[Part, Part]]] = []
    for part, hole in zip(facts.holes, facts.layout.holes, strict=False):
        thick = thickness_at(facts.build, hole.at.y, facts.layout.top)
        for region in facts.build.keep_clear:
            behind = thick - hole.depth - region.depth
            if region.side == "face" and behind > SAME and stop is not None:
                beside = float(region_distance(points([hole.at]), region)[0][0])
                clear = beside - hole.diameter / 2 - stop.least
                other = Part("region", region.key, region.name or region.key)
                rows.append((moving.shares[part], max(clear, behind / abs(slope)), (part, other)))
    slack = told("keep clear", len(facts.posts), rows, on_back=True)
    still = np.array([part in moving.plates.carried for _, _, (part, _) in rows], dtype=bool)
    exact = np.where(still[:, None], 0.0, slack.weights)
    return _loosened(slack, np.full(len(rows), True), exact, moving.plates, 1.0)


def _play(facts: Facts, plates: Plates) -> Slack:
    count, found = len(facts.posts), play_rows(facts, plates)
    rows = {
        check: [
            (weights, margin, tuple(facts.bores[n] for n in np.flatnonzero(weights).tolist()))
            for weights, margin, name in found
            if name == check
        ]
        for check in dict.fromkeys(name for _, _, name in found)
    }
    # A plate lies on the back: where holes lean, their shafts are pulled apart there.
    kinds = [told(check, count, of_it, on_back=check == "plate fit") for check, of_it in rows.items()]
    return joined(kinds, count)


def _unit(way: Floats) -> Floats:
    length = np.hypot(way[:, 0], way[:, 1])
    unit: Floats = way / np.where(length > SAME, length, 1.0)[:, None]
    return unit


def slope_of(facts: Facts) -> float:
    """How much the thickness grows for a millimetre towards the tip."""
    head, top = facts.build.head, facts.layout.top
    return (head.thickness_tip - head.thickness_nut) / top if top > SAME else 0.0


def _ends(facts: Facts) -> Slack:
    """How far each bore may move, in any direction, before the grain between it and the tip is too short: exact.

    A bore keeps its end distance L as long as the line through its middle, as wide as the bore and square to the
    grain, does not meet the ends of the head moved back by L along the grain: a distance of a line to lines and arcs.
    """
    rule = facts.rule("end distance")
    count = len(facts.posts)
    margins, ways = np.full(count, np.inf), np.zeros((count, 2))
    if rule.stop is None:
        return told("end distance", count, ())
    grain_deg = facts.build.head.grain_deg
    needed = np.broadcast_to(required(rule.stop, facts.bore), (count,))
    caps = caps_of(facts.edge.contour, grain_deg)
    bases = lines_of(caps.base_lines(facts.at, facts.bore / 2))
    for length in np.unique(needed).tolist():
        chosen = np.flatnonzero(needed == length)
        moved = translate(caps.runs, -length * caps.grain.x, -length * caps.grain.y)
        if not moved.is_empty:
            margins[chosen], here, there = shortest(bases[chosen], moved)
            ways[chosen] = there - here
    found = wood.end_distance(facts)
    broken = found.measured - found.stop < -SAME
    margins[found.i[broken]] = (found.measured - found.stop)[broken]
    rows = [
        (own, margin, (bore,))
        for own, margin, bore in zip(np.eye(count), margins.tolist(), facts.bores, strict=True)
    ]
    return _away(told("end distance", count, rows), ways).only(np.isfinite(margins))
