"""What else saves a head whose hole has landed wrong: a smaller washer, other tuners, a plug and a new hole."""

from __future__ import annotations

import math

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.checks.facts import facts_of
from geometry.checks.judge import Finding, Level, findings
from geometry.layout.layout import Layout
from geometry.search.answers.fitting import Fit, fits
from geometry.search.answers.missed import Missed, worse
from geometry.search.rings.drilled import drilled_posts
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Disc
from geometry.trade.units import INCH, Units

SOUND = 1.0
"""Wood of the plug round the wall of a new bore, in mm, lest it break out; common practice, from memory."""

RIM = 0.5
"""A washer reaches so far over the rim of its bore, in mm, at the least; workshop practice, no source."""

WASHER_STEP: dict[Units, float] = {"mm": 0.5, "inch": INCH / 32}
"""Washers are told in steps of this diameter, in mm; common practice, no source."""

OF_WASHERS = frozenset({"washer gap", "first washer", "into the nut", "string over washers", "keep clear"})
"""Checks that a smaller washer may cure."""

MODELS = 3
"""So many other models are told at most."""


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
    washer, stops = post.hardware.washer, _stops(hole.worse)
    if washer is None or not stops or any(each.check not in OF_WASHERS for each in stops):
        return None
    before = findings(hole.before)
    least, step = post.bore + 2 * RIM, WASHER_STEP[units]
    size = math.ceil(washer.diameter / step - SAME) * step - step
    while size >= least - SAME:
        there = _with_washer(hole, replace(washer, diameter=size))
        if not _stops(worse(before, findings(hole.build, there))):
            return size
        size -= step
    return None


def _with_washer(hole: Missed, washer: Disc) -> Layout:
    posts = tuple(
        replace(post, hardware=replace(post.hardware, washer=washer)) if post.key == hole.post else post
        for post in hole.layout.posts
    )
    return replace(hole.layout, posts=posts)


def _stops(found: tuple[Finding, ...]) -> list[Finding]:
    return [each for each in found if each.level is Level.STOP]


def other_models(hole: Missed) -> tuple[Fit, ...]:
    """Tuners of the library that go into the bores as they are, or a little wider, with nothing at stop."""
    row = hole.layout.post(hole.post).row
    good = [
        each for each in fits(hole.build) if row in each.rows and not each.stops and each.verdict != "plug"
    ]
    return tuple(good[:MODELS])
