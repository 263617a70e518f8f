"""A hole that landed beside its mark: how the head stands with it, and where the holes still to drill go best."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

import msgspec
from msgspec.structs import replace

from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import Layout
from geometry.search.placing.best import Progress, Proposal, best
from geometry.search.placing.wish import Wish
from geometry.search.rings.allowance import rounded_down
from geometry.search.rings.drilled import drilled_posts
from geometry.search.rings.judged import Judged, judged
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import PRINT
from geometry.trade.units import Units


class WithHoles(Judged, frozen=True):
    """A head with holes where they were drilled.

    `worse` are the findings at stop or watch that were not there before, or less bad.
    """

    worse: tuple[Finding, ...]

    @property
    def works(self) -> bool:
        """Whether nothing is at stop."""
        return self.level is not Level.STOP

    @property
    def left(self) -> tuple[str, ...]:
        """The keys of the posts whose holes are still to be drilled."""
        done = drilled_posts(self.build)
        return tuple(post.key for post in self.layout.posts if post.key not in done)


class Missed(WithHoles, frozen=True):
    """A head with a hole beside its mark.

    `mark` is where the hole of `post` should be, `build` the head with the post by hand where the hole is, drilled, and
    everything else as it was.
    """

    post: str
    label: str
    mark: Point
    before: Build

    @property
    def at(self) -> Point:
        """Where the hole is."""
        return self.layout.post(self.post).at

    @property
    def by(self) -> Vector:
        """From the mark to the hole."""
        return self.at - self.mark


def missed(build: Build, layout: Layout, post: str, at: Point, drilled: Iterable[str] = ()) -> Missed:
    """How a head stands when the hole of a post is at a place; `drilled` holes are where the layout has them.

    `layout` is that of the build.
    """
    mark = layout.post(post)
    there = move_posts(build, layout, {post: at})
    for key in {post, *drilled}:
        there = set_drilled(there, key, drilled=True)
    head = judged(there)
    return Missed(
        build=head.build,
        layout=head.layout,
        found=head.found,
        allowance=head.allowance,
        post=post,
        label=mark.label,
        mark=mark.at,
        before=build,
        worse=worse(findings(build, layout), head.found),
    )


_ORDER = (Level.FINE, Level.WATCH, Level.STOP)


def worse(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings at stop or watch that were not there before, or at a less bad level."""
    known: dict[tuple[str, frozenset[str]], int] = {}
    for each in before:
        key = _about(each)
        known[key] = max(known.get(key, 0), _ORDER.index(each.level))
    return tuple(each for each in after if _ORDER.index(each.level) > known.get(_about(each), 0))


def _about(finding: Finding) -> tuple[str, frozenset[str]]:
    return finding.check, frozenset(part.name for part in finding.about)


# The holes still to be drilled


class Step(msgspec.Struct, frozen=True):
    """A hole still to be drilled whose mark moves, from where it is to where it goes."""

    label: str
    old: Point
    new: Point


Rest = Literal["row", "all"]
"""Which holes may move: those of the same row, or all that are still to be drilled."""


def best_of_rest(
    hole: Missed, rest: Rest = "row", units: Units = "mm", progress: Progress | None = None
) -> Proposal:
    """Where the holes still to be drilled, each by hand, forgive most; `progress` as in `best`.

    They stay where that gains nothing that is told.
    """
    row = hole.layout.post(hole.post).row
    others = tuple(post.key for post in hole.layout.posts if post.row != row)
    return placed_again(hole, others if rest == "row" else (), units, progress)


def placed_again(
    head: WithHoles, fixed: tuple[str, ...], units: Units = "mm", progress: Progress | None = None
) -> Proposal:
    """Where the holes still to be drilled, but for the `fixed` ones, forgive most; see `best_of_rest`."""
    found = best(head.build, Wish(kind="free", fixed=fixed), progress, units)
    if found.before > 0 and rounded_down(found.after) <= rounded_down(found.before):
        return replace(found, build=head.build, after=found.before)
    return found


def steps_of(layout: Layout, there: Layout) -> tuple[Step, ...]:
    """The posts that are elsewhere in another layout of the same rows, by more than can be drawn."""
    old = {post.key: post.at for post in layout.posts}
    return tuple(
        Step(post.label, old[post.key], post.at)
        for post in there.posts
        if post.key in old and post.at.distance(old[post.key]) > PRINT
    )
