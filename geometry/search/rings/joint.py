"""The joint rings and nothing else: what a window shows while the head changes, bounded at once or exact."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import numpy as np

from geometry.checks.facts import Facts, facts_of
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.search.rings.allowance import even_within, rounded_down
from geometry.search.rings.drilled import drilled_of
from geometry.search.rings.rings import Rows, bounds, exact, rows_of
from geometry.shape.close import Floats
from geometry.shape.point import Point


class JointRing(msgspec.Struct, frozen=True, gc=False):
    """The joint ring of one hole, in mm and rounded down, round the mark of its post.

    `even` is how far the mark may be off before the row looks uneven, None in rows of fewer than three. `broken`: a
    limit is broken already, so that nothing is allowed. `drilled`: the hole is in the wood and cannot miss any more.
    """

    post: str
    label: str
    at: Point
    radius: float
    even: float | None
    broken: bool
    drilled: bool = False


class Joint(msgspec.Struct, frozen=True):
    """The joint rings of all holes; a bound where they are not `exact`, never more than the exact ones.

    `told` is false while the outline is not sound: then every ring is 0, because nothing can be told.
    """

    rings: tuple[JointRing, ...]
    exact: bool
    told: bool


def bounded_rings(build: Build, layout: Layout) -> Joint:
    """Rings that are surely not too large, in a few milliseconds."""
    return _joint(facts_of(build, layout), bounds, exactly=False)


def exact_rings(build: Build, layout: Layout) -> Joint:
    """The rings themselves, in some tens of milliseconds."""
    return _joint(facts_of(build, layout), exact, exactly=True)


def _joint(facts: Facts, radii_of: Callable[[Rows], Floats], *, exactly: bool) -> Joint:
    count = len(facts.posts)
    told = outline_is_sound(facts.layout.edge)
    radii, broken, drilled = np.zeros(count), np.ones(count, dtype=bool), drilled_of(facts)
    even: dict[int, float] = {}
    if told and count:
        rows = rows_of(facts)
        radii, broken, even = radii_of(rows), rows.broken, even_within(facts)
    known = zip(facts.posts, radii.tolist(), broken.tolist(), drilled.tolist(), strict=True)
    rings = tuple(
        JointRing(
            post.key, post.label, post.at, rounded_down(radius), None if done else even.get(n), stopped, done
        )
        for n, (post, radius, stopped, done) in enumerate(known)
    )
    return Joint(rings, exactly, told)
