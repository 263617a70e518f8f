"""How far the parts are from their stop limits, and how that yields when posts move.

Each row says: margin - sum of weight x distance moved >= 0. A tuner moves as a rigid whole, so a gap between two parts
shrinks by at most what their posts move, and it does when they move along it: rows of rigid parts are exact.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import msgspec
import numpy as np

from geometry.checks import hardware, strings, wood
from geometry.checks.facts import Facts, plate_part
from geometry.checks.gaps import Gaps, Part, points
from geometry.layout.old_holes import open_holes, room_in_bore
from geometry.layout.parts import thickness_at
from geometry.search.ends import end_slack
from geometry.search.play import play_rows, weights_of
from geometry.shape.close import Flags, Floats
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
        index = np.flatnonzero(chosen)
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

ON_FACE: tuple[Check, ...] = (hardware.washer_gap, strings.first_washer, wood.into_the_nut)
"""Checks of rigid parts that only the face sees."""

BY_THICKNESS: tuple[Check, ...] = (wood.thickness, hardware.screw_depth, strings.wraps)
"""Checks that change with the thickness of the head alone, where that tapers."""


def slack_of(facts: Facts) -> Slack:
    """The rows of all rigid parts; what no miss can reach is left out."""
    shares = shares_of(facts)
    slope = slope_of(facts)
    found = [_rows(facts, check, shares, on_back=True) for check in ON_BACK]
    found += [_rows(facts, check, shares, on_back=False) for check in ON_FACE]
    if slope != 0:
        found += [_by_thickness(facts, check, shares, slope) for check in BY_THICKNESS]
        found += [_not_met(facts, shares, slope)]
    found += [_swallowed(facts), _ends(facts), _play(facts)]
    return joined([each for each in found if len(each.margins)], len(facts.posts))


def joined(slacks: Sequence[Slack], count: int) -> Slack:
    """Several sets of rows as one, for `count` posts."""
    if not slacks:
        return Slack(
            np.empty((0, count)), np.empty(0), np.empty((0, count, 2)), (), (), np.empty(0, dtype=bool)
        )
    return Slack(
        np.concatenate([each.weights for each in slacks]),
        np.concatenate([each.margins for each in slacks]),
        np.concatenate([each.toward for each in slacks]),
        tuple(name for each in slacks for name in each.checks),
        tuple(about for each in slacks for about in each.about),
        np.concatenate([each.on_back for each in slacks]),
    )


def shares_of(facts: Facts) -> dict[Part, Floats]:
    """How much (n,) of each post's step a part takes: all of its own, a part of what several tuners share."""
    posts = facts.posts
    places = {post.key: number for number, post in enumerate(posts)}
    own = np.eye(len(posts))
    shares: dict[Part, Floats] = {}
    for number, post in enumerate(posts):
        for kind in ("bore", "post", "washer", "button", "body"):
            shares[Part(kind, post.key, post.label)] = own[number]
    for part, path in zip(facts.strings, facts.paths, strict=True):
        shares[part] = own[places[path.post]]
    for part, hole in zip(facts.holes, facts.layout.holes, strict=True):
        shares[part] = own[[places[key] for key in hole.owners]].mean(axis=0)
    for plate in facts.layout.plates:
        part = plate_part(facts.layout, plate.posts)
        shares[part] = own[[places[key] for key in plate.posts]].mean(axis=0)
    return shares


def _rows(facts: Facts, check: Check, shares: dict[Part, Floats], *, on_back: bool) -> Slack:
    """The rows of one check of rigid parts: each gap shrinks by what its parts move towards each other."""
    found = check(facts)
    first, second = _moves(facts, found, shares)
    if check is hardware.screw_to_own_bore:
        second = _owners(facts)
    # Where bodies that may touch overlap a little, the way from one to the other is turned round.
    way = _unit(found.there - found.here) * np.where(found.measured < 0, -1.0, 1.0)[:, None]
    return _slack(facts, found, first - second, way, 1.0, on_back=on_back)


def _by_thickness(facts: Facts, check: Check, shares: dict[Part, Floats], slope: float) -> Slack:
    """The rows of one check that hangs on the thickness of the head, which changes by `slope` along it."""
    found = check(facts)
    first, _ = _moves(facts, found, shares)
    up = np.full(len(found.measured), np.sign(slope))
    if check is hardware.screw_depth:
        up = -up
    elif check is wood.thickness:
        least = np.array([post.thickness - post.hardware.thickness_least for post in facts.posts])
        up = np.where(found.measured == least, -up, up)
    way = np.column_stack([np.zeros_like(up), up])
    return _slack(facts, found, first, way, abs(slope), on_back=False)


def _moves(facts: Facts, found: Gaps, shares: dict[Part, Floats]) -> tuple[Floats, Floats]:
    """What (k, n) the parts i and j of each quantity take of the posts' steps."""
    nothing = np.zeros(len(facts.posts))
    of_part = np.array([shares.get(part, nothing) for part in found.parts]).reshape(-1, len(nothing))
    first = of_part[found.i]
    return first, np.zeros_like(first) if found.j is None else of_part[found.j]


def _slack(facts: Facts, found: Gaps, moves: Floats, way: Floats, rate: float, *, on_back: bool) -> Slack:
    """The rows that matter: those within reach of what all posts may move."""
    weights, margins = np.abs(moves) * rate, _margins(facts, found)
    with np.errstate(invalid="ignore"):
        kept = np.flatnonzero(margins < weights.sum(axis=1) * LARGEST)
    about: list[tuple[Part, ...]] = [(found.parts[i],) for i in found.i[kept].tolist()]
    if found.j is not None:
        about = [(*one, found.parts[j]) for one, j in zip(about, found.j[kept].tolist(), strict=True)]
    return Slack(
        weights[kept],
        margins[kept],
        np.sign(moves[kept])[:, :, None] * way[kept, None, :],
        (found.rule.name,) * len(kept),
        tuple(about),
        np.full(len(kept), on_back),
    )


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


def _owners(facts: Facts) -> Floats:
    """The posts (k, n) of the rows of `screw_to_own_bore`."""
    places = {post.key: number for number, post in enumerate(facts.posts)}
    own = np.eye(len(facts.posts))
    return own[[places[key] for hole in facts.layout.holes for key in hole.owners]]


def _swallowed(facts: Facts) -> Slack:
    """A bore that takes an old hole away whole must go on doing so: a web to it would be none at all."""
    rows = [
        (number, room, hole)
        for number, post in enumerate(facts.posts)
        for hole in open_holes(facts.build)
        if (room := room_in_bore(post, hole)) >= -SAME
    ]
    own = np.eye(len(facts.posts))
    posts = [number for number, _, _ in rows]
    away = _unit(facts.at[posts] - points([hole.at for _, _, hole in rows]))
    return Slack(
        own[posts],
        np.array([max(0.0, room) for _, room, _ in rows]),
        own[posts][:, :, None] * away[:, None, :],
        ("web",) * len(rows),
        tuple((facts.bores[number], Part("hole", hole.key, f"{hole.key} (old)")) for number, _, hole in rows),
        np.full(len(rows), True),
    )


def _not_met(facts: Facts, shares: dict[Part, Floats], slope: float) -> Slack:
    """Screws that stay behind a pocket in the face only while the head is thick enough where they are."""
    stop = facts.rule("keep clear").stop
    rows: list[tuple[Part, Part, float]] = []
    for part, hole in zip(facts.holes, facts.layout.holes, strict=True):
        thick = thickness_at(facts.build, hole.at.y, facts.layout.top)
        for region in facts.build.keep_clear:
            behind = thick - hole.depth - region.depth
            if region.side == "face" and behind > SAME and stop is not None:
                clear = wood.region_distance(hole.at, region)[0] - hole.diameter / 2 - stop.least
                other = Part("region", region.key, region.name or region.key)
                rows.append((part, other, max(clear, behind / abs(slope))))
    weights = np.array([shares[part] for part, _, _ in rows]).reshape(-1, len(facts.posts))
    return Slack(
        weights,
        np.array([margin for _, _, margin in rows]),
        np.zeros((*weights.shape, 2)),
        ("keep clear",) * len(rows),
        tuple((part, other) for part, other, _ in rows),
        np.full(len(rows), True),
    )


def _ends(facts: Facts) -> Slack:
    margins, ways = end_slack(facts)
    own = np.eye(len(facts.posts))
    toward = own[:, :, None] * _unit(ways)[:, None, :]
    names = ("end distance",) * len(margins)
    slack = Slack(
        own, margins, toward, names, tuple((bore,) for bore in facts.bores), np.full(len(margins), False)
    )
    return slack.only(np.isfinite(margins))


def _play(facts: Facts) -> Slack:
    rows = play_rows(facts)
    count = len(facts.posts)
    weights = np.array([weights_of(row, count) for row in rows]).reshape(-1, count)
    about = tuple(tuple(facts.bores[number] for number in row[0]) for row in rows)
    return Slack(
        weights,
        np.array([row[1] for row in rows]),
        np.zeros((len(rows), count, 2)),
        tuple(row[2] for row in rows),
        about,
        np.full(len(rows), False),
    )


def _unit(way: Floats) -> Floats:
    length = np.hypot(way[:, 0], way[:, 1])
    unit: Floats = way / np.where(length > SAME, length, 1.0)[:, None]
    return unit


def slope_of(facts: Facts) -> float:
    """How much the thickness grows for a millimetre towards the tip."""
    head, top = facts.build.head, facts.layout.top
    return (head.thickness_tip - head.thickness_nut) / top if top > SAME else 0.0
