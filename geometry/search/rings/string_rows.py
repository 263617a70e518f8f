"""Which strings must keep away from which posts and from each other, as rows for the search."""

from __future__ import annotations

import numpy as np

from geometry.checks.facts import Facts, pairs
from geometry.checks.gaps import Part, PartKind, required
from geometry.checks.strings import post_reach
from geometry.search.rings.slack import LARGEST, slope_of
from geometry.search.rings.string_lines import Lines, lines_of
from geometry.search.rings.string_slack import (
    DiscRows,
    PairRows,
    StringSlack,
    pair_ends,
)
from geometry.shape.close import Floats, Indices, point_segment, segment_segment
from geometry.shape.tolerance import SAME
from geometry.trade.limits import Limit

_LEAST_SHARE = 0.05  # a string hardly moves near its start; a row must still know whose post moves it


def string_slack_of(facts: Facts) -> StringSlack:
    """The rows of all strings."""
    lines = lines_of(facts)
    discs = (_posts(facts, lines), _washers(facts, lines))
    both = (_pairs(facts, lines, whole=False), _pairs(facts, lines, whole=True))
    disc_rows = DiscRows.joined([rows for rows, _, _ in discs])
    pair_rows = PairRows.joined([rows for rows, _, _ in both])
    found = [_disc_start(facts, lines, disc_rows), _pair_start(facts, lines, pair_rows)]
    named = [(name, about) for _, name, parts in (*discs, *both) for about in parts]
    return StringSlack(
        facts.at,
        lines,
        disc_rows,
        pair_rows,
        weights=np.concatenate([weights for weights, _ in found]),
        margins=np.concatenate([margins for _, margins in found]),
        checks=tuple(name for name, _ in named),
        about=tuple(about for _, about in named),
        slope=abs(slope_of(facts)),
    )


About = list[tuple[Part, ...]]
Discs = tuple[DiscRows, str, About]


def _least(limit: Limit | None) -> float:
    return 0.0 if limit is None else float(required(limit, 0.0))


def _posts(facts: Facts, lines: Lines) -> Discs:
    """Every line against every other post and the turns on it."""
    stop = facts.rule("string to post").stop
    reach = post_reach(facts)
    posts = np.arange(len(reach) if stop is not None else 0)
    line, other = _of_others(facts, lines, posts, np.arange(len(lines.path)))
    count = len(line)
    needed = reach[other] + facts.string_radii[lines.path[line]] + _least(stop)
    far, flat = np.full(count, np.inf), np.zeros(count)
    found = DiscRows(line, other, needed, -far, far, flat, flat, far)
    return found, "string to post", _disc_about(facts, lines, found, "post")


def _washers(facts: Facts, lines: Lines) -> Discs:
    """Every stretch of every line against the washers of every other post: beside them, or high enough over them."""
    stop = facts.rule("string over washers").stop
    discs = [
        (number, disc.diameter / 2, disc.height + _least(stop))
        for number, post in enumerate(facts.posts)
        for disc in (post.hardware.washer, post.hardware.hexagon)
        if disc is not None and stop is not None
    ]
    posts = np.array([number for number, _, _ in discs], dtype=np.intp)
    radii, tops = (np.array([disc[n] for disc in discs]) for n in (1, 2))
    run, other = _of_others(facts, lines, posts, lines.stretches[:, 0].astype(np.intp))
    table = lines.stretches[run]
    line = table[:, 0].astype(np.intp)
    top = tops[other] + facts.string_radii[lines.path[line]]
    found = DiscRows(
        line, posts[other], radii[other], table[:, 1], table[:, 2], table[:, 3], table[:, 4], top
    )
    # Most strings are high enough over all washers wherever they pass them.
    lowest = np.minimum(found.low_height, found.high_height) - abs(slope_of(facts)) * LARGEST
    found = found.only(np.flatnonzero(lowest < top))
    return found, "string over washers", _disc_about(facts, lines, found, "washer")


def _of_others(facts: Facts, lines: Lines, posts: Indices, of: Indices) -> tuple[Indices, Indices]:
    """Every one of the lines `of` (l,) with every one of the posts (p,) that is not its own: places in both."""
    one, other = (index.ravel() for index in np.indices((len(of), len(posts))))
    places = {post.key: number for number, post in enumerate(facts.posts)}
    own = np.array([places[path.post] for path in facts.paths], dtype=np.intp)
    keep = own[lines.path[of[one]]] != posts[other]
    return one[keep], other[keep]


def _pairs(facts: Facts, lines: Lines, *, whole: bool) -> tuple[PairRows, str, About]:
    """Lines of different strings: they keep apart up to their turns, and do not cross up to their posts."""
    name = "order" if whole else "string to string"
    stop = facts.rule(name).stop
    one, two = pairs(len(lines.path))
    keep = (lines.path[one] != lines.path[two]) & (stop is not None)
    one, two = one[keep], two[keep]
    radii = facts.string_radii
    apart = radii[lines.path[one]] + radii[lines.path[two]] + _least(stop)
    needed = np.zeros(len(one)) if whole else apart
    paths = zip(lines.path[one].tolist(), lines.path[two].tolist(), strict=True)
    about: About = [(facts.strings[first], facts.strings[second]) for first, second in paths]
    return PairRows(one, two, needed, np.full(len(one), whole)), name, about


def _disc_about(facts: Facts, lines: Lines, rows: DiscRows, kind: PartKind) -> About:
    return [
        (facts.strings[path], Part(kind, facts.posts[post].key, facts.posts[post].label))
        for path, post in zip(lines.path[rows.line].tolist(), rows.post.tolist(), strict=True)
    ]


def _disc_start(facts: Facts, lines: Lines, rows: DiscRows) -> tuple[Floats, Floats]:
    """Weights (k, n) and margins (k,) of disc rows where nothing has moved."""
    start, end = rows.stretch(lines.start[rows.line], lines.ends(rows.line, np.zeros((len(rows.line), 2))))
    centre = facts.at[rows.post]
    distance, near = point_segment(centre, start, end)
    weights = np.zeros((len(rows.line), len(facts.posts)))
    row = np.arange(len(rows.line))
    weights[row, rows.post] = 1.0
    _weigh(
        weights,
        lines,
        rows.line,
        _share(lines.start[rows.line], lines.ends(rows.line, np.zeros_like(near)), near),
    )
    half = np.sqrt(np.maximum(rows.needed**2 - distance**2, 0.0))
    return weights, np.maximum(distance - rows.needed, rows.height(start, end, centre, half))


def _pair_start(facts: Facts, lines: Lines, rows: PairRows) -> tuple[Floats, Floats]:
    """Weights (k, n) and margins (k,) of pair rows where nothing has moved."""
    still = np.zeros((len(rows.one), 2))
    start, other_start = lines.start[rows.one], lines.start[rows.two]
    end, other_end = (pair_ends(lines, line, still, rows.whole) for line in (rows.one, rows.two))
    weights = np.zeros((len(rows.one), len(facts.posts)))
    if not len(rows.one):
        return weights, np.empty(0)
    distance, here, there = segment_segment(start, end, other_start, other_end)
    _weigh(weights, lines, rows.one, _share(start, end, here))
    _weigh(weights, lines, rows.two, _share(other_start, other_end, there))
    return weights, np.where(rows.whole & (distance <= 0), -1.0, distance - rows.needed)


def _weigh(weights: Floats, lines: Lines, line: Indices, share: Floats) -> None:
    has = np.flatnonzero(lines.owner[line] >= 0)
    weights[has, lines.owner[line[has]]] = np.maximum(share[has], _LEAST_SHARE)


def _share(start: Floats, end: Floats, near: Floats) -> Floats:
    """How far along each line a place of it lies."""
    whole = np.hypot(*(end - start).T)
    found: Floats = np.hypot(*(near - start).T) / np.maximum(whole, SAME)
    return found
