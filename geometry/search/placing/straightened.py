"""A placement made straight: how every margin changes with the numbers that a search may change, to first order."""

from __future__ import annotations

import msgspec
import numpy as np

from geometry.checks.gaps import Part
from geometry.search.placing.handles import Handles
from geometry.search.placing.rigid_slopes import Added, nudged, rigid_slopes
from geometry.search.placing.standing import Standing, Wish, apart_way, lost_by_room, pitches_of, wished_slack
from geometry.search.rings.rings import drilled_of
from geometry.search.rings.string_slack import StringSlack, pair_ends
from geometry.search.rings.string_worst import clear_of, worst_of
from geometry.shape.close import Floats, Indices, segment_segment

_BAND = 1.5  # strings that are not at their limits with so much more room, in mm, do not matter for one step
_SMALL = 0.01  # below this room, in mm, strings yield as at first
# No string yields slower or faster than this for what its posts move, weighed as at first.
_LEAST_SHARE, _MOST_SHARE = 0.02, 3.0


class Straightened(msgspec.Struct, frozen=True):
    """All limits about a placement as straight pieces.

    `margins` (k,) are what is left of each where all posts may be off by `room`, `shares` (k,) what it loses for a mm
    more, `slopes` (k, h) what it gains by the handles, `limits` its check and parts. `wished` is the same for the
    wished bounds, which lose nothing. `splay` (s,) in degrees and `pitch` (p,), what each differs from the mean of its
    row in mm, have slopes too. `reach` (h,) is how far at most a post moves for a unit of each handle. `added` is for
    the next place.
    """

    room: float
    margins: Floats
    shares: Floats
    slopes: Floats
    limits: tuple[tuple[str, tuple[Part, ...]], ...]
    wished: Floats
    wished_slopes: Floats
    splay: Floats
    splay_slopes: Floats
    pitch: Floats
    pitch_slopes: Floats
    reach: Floats
    added: Added

    def near(self, most: float) -> Straightened:
        """The same with those limits only that have at most so many mm left."""
        keep = self.margins <= most * self.shares
        return msgspec.structs.replace(
            self,
            margins=self.margins[keep],
            shares=self.shares[keep],
            slopes=self.slopes[keep],
            limits=tuple(self.limits[k] for k in np.flatnonzero(keep).tolist()),
        )


def straightened(
    standing: Standing, handles: Handles, values: Floats, wish: Wish, before: Added | None = None
) -> Straightened:
    """The limits about a placement; `values` (h,) are those of its handles, `before` comes from a place nearby."""
    room = max(standing.room, 0.0)
    facts, rigid, strings = standing.facts, standing.rigid, standing.strings
    others = nudged(facts, handles, values)
    moves = np.stack([each.moves for each in others], axis=-1)
    slopes, added = rigid_slopes(standing, handles, values, others, before)
    shares = lost_by_room(rigid)
    radii = np.where(drilled_of(facts), 0.0, room)
    near = np.flatnonzero(strings.at_least(radii + _BAND) < 0)
    margins, steps = worst_of(strings, radii, near)
    limits = [*zip(rigid.checks, rigid.about, strict=True)]
    limits += [(strings.checks[k], strings.about[k]) for k in near.tolist()]
    wished, wished_ways = wished_slack(facts, wish)
    pitches = pitches_of(facts)
    pitch_ways = np.array([apart_way(facts, i, j) for i, j in pitches.pairs]).reshape(-1, len(facts.posts), 2)
    return Straightened(
        room=room,
        margins=np.concatenate([rigid.margins - shares * room, margins]),
        shares=np.concatenate([shares, _string_shares(standing, near, margins, room)]),
        slopes=np.vstack([slopes, _chained(string_slopes(strings, near, steps), moves)]),
        limits=tuple(limits),
        wished=wished,
        wished_slopes=_chained(wished_ways, moves),
        splay=np.degrees(np.array([path.splay for path in facts.paths])),
        splay_slopes=_chained(_splay_ways(standing), moves),
        pitch=pitches.off,
        pitch_slopes=pitches.differing @ _chained(pitch_ways, moves),
        reach=np.maximum(np.hypot(moves[:, 0], moves[:, 1]).max(axis=0), 1e-3),
        added=added,
    )


def _chained(by_place: Floats, moves: Floats) -> Floats:
    """Gradients (k, h) by the handles from those by the places of posts (k, n, 2)."""
    found: Floats = np.einsum("kna,nah->kh", by_place, moves)
    return found


def _string_shares(standing: Standing, near: Indices, margins: Floats, room: float) -> Floats:
    first = lost_by_room(standing.strings)[near]
    if room < _SMALL:
        return first
    lost = (standing.strings.margins[near] - margins) / room
    found: Floats = np.clip(lost, _LEAST_SHARE * first, _MOST_SHARE * first)
    return found


def _splay_ways(standing: Standing) -> Floats:
    """Gradients (s, n, 2) of the splays in degrees: the first leg turns about its slot unless a guide post holds it."""
    places = {post.key: n for n, post in enumerate(standing.facts.posts)}
    lines = standing.strings.lines
    held = set(lines.path[lines.owner < 0].tolist())
    ways = np.zeros((len(standing.facts.paths), len(places), 2))
    for number, path in enumerate(standing.facts.paths):
        leg = path.tangent - path.slot
        if number not in held:
            aside = leg.unit().left / leg.length
            ways[number, places[path.post]] = np.degrees((aside.x, aside.y))
    return ways


# Strings


_NUDGE = 1e-5  # step in mm for differences


def string_slopes(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    """Gradients (c, n, 2) of the margins of chosen rows by the places of the posts, displaced by steps (c, n, 2)."""
    count = len(strings.discs.line)
    in_pairs = chosen >= count
    found = np.zeros_like(steps)
    found[~in_pairs] = _of_discs(strings, chosen[~in_pairs], steps[~in_pairs])
    found[in_pairs] = _of_pairs(strings, chosen[in_pairs] - count, steps[in_pairs])
    return found


def _of_discs(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    lines, rows = strings.lines, strings.discs.only(chosen)
    row = np.arange(len(chosen))
    owner = lines.owner[rows.line]
    at = strings.at[rows.post]
    swung, moved = steps[row, owner], steps[row, rows.post]
    slopes = np.zeros_like(steps)
    for axis in (0, 1):
        nudge = _NUDGE * np.eye(2)[axis]
        by_line = clear_of(rows, lines, swung + nudge, at + moved) - clear_of(
            rows, lines, swung - nudge, at + moved
        )
        by_post = clear_of(rows, lines, swung, at + moved + nudge) - clear_of(
            rows, lines, swung, at + moved - nudge
        )
        slopes[row, owner, axis] += np.where(owner >= 0, by_line, 0.0) / (2 * _NUDGE)
        slopes[row, rows.post, axis] += by_post / (2 * _NUDGE)
    return slopes


def _of_pairs(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    lines, rows = strings.lines, strings.pairs.only(chosen)
    row = np.arange(len(chosen))
    slopes = np.zeros_like(steps)
    if not len(chosen):
        return slopes
    owners = lines.owner[rows.one], lines.owner[rows.two]

    def apart(first: Floats, second: Floats) -> Floats:
        ends = pair_ends(lines, rows.one, first, rows.whole)
        others = pair_ends(lines, rows.two, second, rows.whole)
        return segment_segment(lines.start[rows.one], ends, lines.start[rows.two], others)[0]

    first, second = (steps[row, owner] for owner in owners)
    for axis in (0, 1):
        nudge = _NUDGE * np.eye(2)[axis]
        by_one = (apart(first + nudge, second) - apart(first - nudge, second)) / (2 * _NUDGE)
        by_two = (apart(first, second + nudge) - apart(first, second - nudge)) / (2 * _NUDGE)
        for owner, slope in zip(owners, (by_one, by_two), strict=True):
            slopes[row, owner, axis] += np.where(owner >= 0, slope, 0.0)
    return slopes
