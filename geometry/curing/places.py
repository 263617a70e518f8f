"""Tuners that go elsewhere: back to their row, a whole row by its rule, one post by hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator
from functools import partial
from itertools import islice

from msgspec.structs import replace

from geometry.curing.case import Case, Change, Trial
from geometry.curing.judged import judged
from geometry.document.build import AlongEdge, Build, OnLine, OnPlate, Row, StraightPull
from geometry.document.edits import Rule, give_back, move_post, set_rule
from geometry.document.row_edits import is_drilled, rule_as
from geometry.document.twins import is_symmetric
from geometry.search.placing.cures import WOOD_STEP
from geometry.search.placing.handles import closed_up
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import show_length

_MOST_MOVED = 15.0  # no cure moves a hole further, in mm
_BACK_TO_ROW = 0.05  # posts moved by hand by less than this, in mm, stand in their row already


def back_in_row(case: Case) -> Iterator[Change]:
    """Give posts that were moved by hand back to their rows: one by one, then all of the rows together."""
    by_hand = [each for row in case.own_rows for each in row.moved]
    moved = [each.post for each in by_hand if max(abs(each.along), abs(each.inward)) > _BACK_TO_ROW]
    alike = dict.fromkeys(frozenset(case.with_partners([post])) for post in moved)
    free = [
        [post.key for post in case.layout.posts if post.key in posts]
        for posts in alike
        if not any(case.layout.post(post).post.drilled for post in posts)
    ]
    for posts in sorted(free, key=lambda posts: not set(posts) & set(case.own_posts)):
        yield _given_back(case, posts)
    if len(free) > 1:
        yield _given_back(case, [post for posts in free for post in posts])


def _given_back(case: Case, posts: Collection[str]) -> Trial:
    build = case.build
    for post in posts:
        build = give_back(build, post)
    text = "put {0} back in its row" if len(posts) == 1 else "put {0} back in their rows"
    return Trial(case.say(text, case.posts_named(posts)), build)


# Whole rows


def rows_inward(case: Case) -> Iterator[Change]:
    """Rows further from the edge, or nearer to it."""
    yield from _rows(case, ("move {0} by {1} inward", "move {0} by {1} outward"), _inset)


def rows_along(case: Case) -> Iterator[Change]:
    """Rows that begin further from the nut, or nearer to it."""
    yield from _rows(case, ("move {0} by {1} to the tip", "move {0} by {1} to the nut"), _start)


def rows_wider(case: Case) -> Iterator[Change]:
    """Rows with a wider pitch, or a closer one."""
    further, closer = (
        "set {0} further apart, by {1} from post to post",
        "set {0} closer, by {1} from post to post",
    )
    yield from _rows(case, (further, closer), _pitch)


def _rows(
    case: Case, texts: tuple[str, str], change: Callable[[Rule, float], Rule | None]
) -> Iterator[Change]:
    """One ladder up and one down for each row, and the one that mirrors it with it."""
    step = WOOD_STEP[case.head.units]
    for text, sign in zip(texts, (1, -1), strict=True):
        for row in case.own_rows:
            rows = case.with_twin(row)
            if any(map(is_drilled, rows)) or change(row.rule, sign * step) is None:
                continue
            words = partial(case.say, text, _named(case, rows))
            changed = partial(_ruled, case, rows, change, sign)
            yield case.lengths(words, step, round(_MOST_MOVED / step), changed, step)


def _ruled(
    case: Case, rows: Collection[Row], change: Callable[[Rule, float], Rule | None], sign: int, by: float
) -> Build | None:
    build = case.build
    for row in rows:
        rule = change(row.rule, sign * by)
        if rule is None:
            return None
        build = set_rule(build, row.key, rule)
    return build


def _inset(rule: Rule, by: float) -> Rule | None:
    if isinstance(rule, StraightPull) or rule.inset + by <= 0:
        return None
    rule = replace(rule, inset=round(rule.inset + by, 6))
    last = rule.inset_last if isinstance(rule, OnLine | OnPlate) else None
    if last is None:
        return rule
    return replace(rule, inset_last=round(last + by, 6)) if last + by > 0 else None


def _start(rule: Rule, by: float) -> Rule | None:
    return replace(rule, start=round(rule.start + by, 6)) if rule.start + by > 0 else None


def _pitch(rule: Rule, by: float) -> Rule | None:
    if isinstance(rule, OnPlate) or rule.pitch + by <= 0:
        return None
    return replace(rule, pitch=round(rule.pitch + by, 6))


# One post


def one_post(case: Case) -> Iterator[Change]:
    """One of the posts by hand, and the one that mirrors it with it: to the tip, to the nut, inward, outward."""
    step = WOOD_STEP[case.head.units]
    seen: set[frozenset[str]] = set()
    for post in case.own_posts:
        posts = case.with_partners([post])
        if frozenset(posts) in seen or not all(case.can_move(case.layout.post(each)) for each in posts):
            continue
        seen.add(frozenset(posts))
        for text, along, inward in _WAYS:
            words = partial(case.say, text, case.posts_named(posts))
            changed = partial(moved_by, case.build, posts, along, inward)
            yield case.lengths(words, step, round(_MOST_MOVED / step), changed, step)


_WAYS = (
    ("move {0} by {1} to the tip", 1, 0),
    ("move {0} by {1} to the nut", -1, 0),
    ("move {0} by {1} inward", 0, 1),
    ("move {0} by {1} outward", 0, -1),
)


def moved_by(build: Build, posts: Collection[str], along: float, inward: float, times: float = 1.0) -> Build:
    """With posts so many `times` as many mm further along their rows and inward of where they are."""
    by_hand = {each.post: each for row in build.rows for each in row.moved}
    for post in posts:
        now = by_hand.get(post)
        before = (now.along, now.inward) if now else (0.0, 0.0)
        build = move_post(
            build, post, round(before[0] + times * along, 6), round(before[1] + times * inward, 6)
        )
    return build


# Rows that have no place, or are uneven


def all_in_place(case: Case) -> Iterator[Change]:
    """Rows that run out of the head with their posts nearer together: as little as cures, and harms nothing."""
    for rule, rows in _closer(case):
        if isinstance(rule, OnPlate):
            continue
        tried = (_at_pitch(case, rows, replace(rule, pitch=share * rule.pitch)) for share in _NEARER)
        yield from islice((trial for trial in tried if judged(case, trial).cure is not None), 1)


# Shares of the widest pitch with a place: along a rounded tip the last posts of two sides may meet.
_NEARER = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7)


def _at_pitch(case: Case, rows: Collection[Row], rule: AlongEdge | OnLine | StraightPull) -> Trial:
    step = WOOD_STEP[case.head.units]
    pitch = round(step * math.floor(rule.pitch / step + SAME), 6)
    words = case.say("set {0} {1} from post to post", _named(case, rows), show_length(pitch, case.head.units))
    return Trial(words, _by_rule(case.build, rows, replace(rule, pitch=pitch)))


def _closer(case: Case) -> Iterator[tuple[Rule, list[Row]]]:
    """Rules under which rows do not run out of the head any more, and those rows; two that are to be alike together.

    Rows without a place mirror no others yet: those with the same rule and as many of the same tuners are to.
    """
    together: dict[object, list[tuple[Rule, Row]]] = {}
    for row, closer in zip(case.build.rows, closed_up(case.build).rows, strict=True):
        if row != closer:
            kind = (closer.rule, row.hardware, len(row.posts)) if is_symmetric(case.build) else row.key
            together.setdefault(kind, []).append((closer.rule, row))
    for found in together.values():
        yield found[0][0], [row for _, row in found]


def even_rule(case: Case) -> Iterator[Change]:
    """Rows by a rule that sets them evenly, or on the plate that carries them; rows that mirror each other together."""
    for row in case.own_rows:
        rows = case.with_twin(row)
        hardware = next(each for each in case.build.hardware if each.key == row.hardware)
        if hardware.plate is not None and not isinstance(row.rule, OnPlate):
            words = case.say("set {0} by the holes of the plate", _named(case, rows))
            plate = rule_as(row.rule, "on a plate", hardware)
            yield Trial(words, _by_rule(_unmoved(case.build, rows), rows, plate))
        if isinstance(row.rule, StraightPull) and row.rule.exact:
            words = case.say("set {0} on one line", _named(case, rows))
            yield Trial(words, _by_rule(case.build, rows, replace(row.rule, exact=False)))


def rows_are_drilled(case: Case) -> bool:
    """Whether a hole of the rows is in the wood already."""
    return any(map(is_drilled, case.own_rows))


def _by_rule(build: Build, rows: Collection[Row], rule: Rule) -> Build:
    for row in rows:
        build = set_rule(build, row.key, rule)
    return build


def _unmoved(build: Build, rows: Collection[Row]) -> Build:
    keys = {row.key for row in rows}
    unmoved = (replace(each, moved=()) if each.key in keys else each for each in build.rows)
    return replace(build, rows=tuple(unmoved))


def _named(case: Case, rows: Collection[Row]) -> str:
    return case.posts_named([post.key for row in rows for post in row.posts])


def straighter(case: Case) -> Iterator[Change]:
    """Rows where strings run on without turning at the nut, those that mirror each other together."""
    for row in case.own_rows:
        rule, rows = row.rule, case.with_twin(row)
        if isinstance(rule, AlongEdge | OnLine) and not any(map(is_drilled, rows)):
            pull = StraightPull(start=rule.start, pitch=rule.pitch)
            words = case.say("set {0} for straight pull", _named(case, rows))
            yield Trial(words, _by_rule(case.build, rows, pull))
