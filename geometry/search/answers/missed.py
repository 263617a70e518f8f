"""A hole that landed beside its mark: how the head stands with it, and where the holes still to drill go best."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.checks.facts import facts_of
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import Layout
from geometry.search.answers.fitting import Fit, fits
from geometry.search.placing.best import Progress, Proposal, best
from geometry.search.placing.gate import stops_of
from geometry.search.placing.standing import Wish
from geometry.search.rings.allowance import Judged, judged, rounded_down
from geometry.search.rings.rings import drilled_posts
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.shape.tolerance import PRINT, SAME
from geometry.trade.hardware import Disc
from geometry.trade.units import INCH, Units


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


# What else saves the head


SOUND = 1.0
"""Wood of the plug round the wall of a new bore, in mm, lest it break out; common practice, from memory."""

RIM = 0.5
"""A washer reaches so far over the rim of its bore, in mm, at the least; workshop practice, no source."""

WASHER_STEP: dict[Units, float] = {"mm": 0.5, "inch": INCH / 32}
"""Washers are told in steps of this diameter, in mm; common practice, no source."""

# Checks that a smaller washer may cure.
_OF_WASHERS = frozenset({"washer gap", "first washer", "into the nut", "string over washers", "keep clear"})
_MODELS = 3  # so many other models are told at most


class Plug(msgspec.Struct, frozen=True):
    """A round plug that takes in the wrong hole and what a new one at the mark needs.

    `to_edge` is the wood in mm left beside it at the edge, negative where it breaks out; `meets` are the labels of
    drilled bores that it runs into. `apart`: the new bore lies in sound wood beside the old hole, which is only filled.
    """

    centre: Point
    diameter: float
    to_edge: float
    meets: tuple[str, ...]
    apart: bool


class Rescue(msgspec.Struct, frozen=True):
    """What would save the head: `washer` is the largest washer in mm with which nothing new is at stop, if any is."""

    washer: float | None
    models: tuple[Fit, ...]
    plug: Plug


def rescue(hole: Missed, diameter: float | None = None, units: Units = "mm") -> Rescue:
    """What would save a head; `diameter` is that of the hole in mm as drilled, by default what the tuner needs.

    Washers and models are looked for only where something is at stop; washers in steps that are round in `units`.
    """
    return Rescue(
        washer=None if hole.works else largest_washer(hole, units),
        models=() if hole.works else other_models(hole),
        plug=plug_for(hole, diameter),
    )


# Plug and drill again


def plug_for(hole: Missed, diameter: float | None = None) -> Plug:
    """The smallest round plug from which a new bore can be drilled at the mark."""
    post = hole.layout.post(hole.post)
    wrong = Circle(hole.at, (post.bore if diameter is None else diameter) / 2)
    new = Circle(hole.mark, post.bore / 2 + SOUND)
    apart = hole.by.length >= wrong.radius + new.radius - SAME
    plug = wrong if apart else enclosing(wrong, new)
    facts = facts_of(hole.build, hole.layout)
    wood, _ = facts.edge.distance(np.array([(plug.centre.x, plug.centre.y)]))
    trim = max(facts.trim_face, facts.trim_back)
    return Plug(
        plug.centre,
        2 * plug.radius,
        float(wood[0]) - trim - plug.radius,
        _met(hole.layout, hole, plug),
        apart,
    )


def _met(layout: Layout, hole: Missed, plug: Circle) -> tuple[str, ...]:
    done = set(drilled_posts(hole.build)) - {hole.post}
    return tuple(
        post.label
        for post in layout.posts
        if post.key in done and post.at.distance(plug.centre) < plug.radius + post.bore / 2 - SAME
    )


def enclosing(one: Circle, two: Circle) -> Circle:
    """The smallest circle round two circles."""
    apart = one.centre.distance(two.centre)
    small, large = sorted((one, two), key=lambda circle: circle.radius)
    if apart + small.radius <= large.radius + SAME:
        return large
    radius = (apart + one.radius + two.radius) / 2
    return Circle(one.centre.toward(two.centre, (radius - one.radius) / apart), radius)


# Other parts


def largest_washer(hole: Missed, units: Units = "mm") -> float | None:
    """The diameter in mm of the largest washer on this tuner with which nothing new is at stop; None for none."""
    post = hole.layout.post(hole.post)
    washer, stops = post.hardware.washer, stops_of(hole.worse)
    if washer is None or not stops or any(each.check not in _OF_WASHERS for each in stops):
        return None
    before = findings(hole.before)
    least, step = post.bore + 2 * RIM, WASHER_STEP[units]
    size = math.ceil(washer.diameter / step - SAME) * step - step
    while size >= least - SAME:
        there = _with_washer(hole, replace(washer, diameter=size))
        if not stops_of(worse(before, findings(hole.build, there))):
            return size
        size -= step
    return None


def _with_washer(hole: Missed, washer: Disc) -> Layout:
    posts = tuple(
        replace(post, hardware=replace(post.hardware, washer=washer)) if post.key == hole.post else post
        for post in hole.layout.posts
    )
    return replace(hole.layout, posts=posts)


def other_models(hole: Missed) -> tuple[Fit, ...]:
    """Tuners of the library that go into the bores as they are, or a little wider, with nothing at stop."""
    row = hole.layout.post(hole.post).row
    good = [
        each for each in fits(hole.build) if row in each.rows and not each.stops and each.verdict != "plug"
    ]
    return tuple(good[:_MODELS])
