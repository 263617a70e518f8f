"""The miss allowance: how far each hole may land from its mark, alone and together with all others.

Joint rings: all marks may lie anywhere in their own rings at once and no `stop` limit is broken. The smallest ring is
as large as it can be, then each of the others in turn. Only these are ever drawn: every hole inside the ring that it
would have alone may well break something together with the others.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import msgspec
import numpy as np

from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings, worst
from geometry.checks.outline import outline_is_sound
from geometry.checks.rows import rows_of_three, unevenness
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import PlacedPost
from geometry.search.rings.play import shares_of
from geometry.search.rings.rings import (
    NEAR,
    Rows,
    bounds,
    drilled_of,
    exact,
    of_post,
    on_back,
    rows_of,
    single,
    singles,
)
from geometry.search.rings.slack import LARGEST
from geometry.search.rings.string_worst import worst_of
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.quantities import FINE_BELOW

# Radii are rounded down to the first, those below FINE_BELOW to the second, in mm.
_STEP, _FINE_STEP = 0.1, 0.01

MOST_LEAN = 10.0
"""No hole is drilled further off square than this, in degrees."""


class End(msgspec.Struct, frozen=True):
    """What ends a ring: the check, its parts (first those of the hole's own tuner), and which way the hole then went.

    `own` tells how many of the parts belong to the hole's own tuner. `toward` is None where the way does not matter.
    """

    check: str
    about: tuple[Part, ...]
    own: int
    toward: Vector | None


class JointRing(msgspec.Struct, frozen=True):
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


class Ring(JointRing, frozen=True, kw_only=True):
    """The whole allowance of one hole; all lengths in mm, rounded down.

    `alone` is how far it may move while all others stay, ended by `ends` (None where nothing within reach does).
    `lean_deg` is how far the holes may lean, all at once, with their marks dead on.
    """

    alone: float
    lean_deg: float
    ends: End | None


class Allowance(msgspec.Struct, frozen=True):
    """The rings of all holes; `smallest` is the exact radius of the smallest joint ring in mm.

    Holes that are drilled have no ring; where nothing is left to drill `smallest` is 0.
    `told` is false while the outline is not sound: then every ring is 0, because nothing can be told.
    """

    rings: tuple[Ring, ...]
    smallest: float
    told: bool

    def ring(self, post: str) -> Ring:
        """The ring of the post with this key; asking for one that is not placed is a programming error."""
        return next(ring for ring in self.rings if ring.post == post)


def allowance(build: Build, layout: Layout | None = None) -> Allowance:
    """The allowance of every hole of a build, exact to 0.001 mm before rounding."""
    facts = facts_of(build, layout or lay_out(build))
    if not facts.posts or not outline_is_sound(facts.layout.edge):
        return Allowance(tuple(_untold_ring(post) for post in facts.posts), 0.0, told=False)
    rows = rows_of(facts)
    joint, alone, even = exact(rows), singles(rows), even_within(facts)
    leans = _leans(facts, rows)
    rings = tuple(
        _ring(facts, rows, n, float(joint[n]), float(alone[n]), float(leans[n]), even.get(n))
        for n in range(rows.count)
    )
    smallest = 0.0 if rows.drilled.all() else float(joint[~rows.drilled].min())
    return Allowance(rings, smallest, told=True)


def ring_of(build: Build, layout: Layout, post: str) -> Ring:
    """The ring of one hole, as `allowance` has it, for a fraction of the time.

    Asking for a post that is not placed is a programming error.
    """
    facts = facts_of(build, layout)
    number = next(n for n, each in enumerate(facts.posts) if each.key == post)
    if not outline_is_sound(facts.layout.edge):
        return _untold_ring(facts.posts[number])
    rows = rows_of(facts)
    radius, alone, lean = (each[number] for each in (exact(rows), single(rows, number), _leans(facts, rows)))
    even = even_within(facts).get(number)
    return _ring(facts, rows, number, float(radius), float(alone), float(lean), even)


def _ring(
    facts: Facts, rows: Rows, number: int, radius: float, alone: float, lean: float, even: float | None
) -> Ring:
    post = facts.posts[number]
    return Ring(
        post=post.key,
        label=post.label,
        at=post.at,
        radius=rounded_down(radius),
        alone=rounded_down(alone),
        even=None if rows.drilled[number] else even,
        lean_deg=rounded_down(min(lean, MOST_LEAN)),
        broken=bool(rows.broken[number]),
        ends=_end(facts, rows, number, alone),
        drilled=bool(rows.drilled[number]),
    )


def _leans(facts: Facts, rows: Rows) -> Floats:
    """How far (n,) the holes may lean all at once, in degrees."""
    thick = np.array([max(post.thickness, 1e-9) for post in facts.posts])
    leans: Floats = np.degrees(np.arctan2(on_back(rows), thick))
    return leans


def rounded_down(value: float) -> float:
    """A radius or an angle rounded down to the step that is told."""
    step = _STEP if value >= FINE_BELOW else _FINE_STEP
    return math.floor(float(value) / step + 1e-6) / round(1 / step)


def _untold_ring(post: PlacedPost) -> Ring:
    return Ring(post.key, post.label, post.at, 0.0, None, broken=True, alone=0.0, lean_deg=0.0, ends=None)


def even_within(facts: Facts) -> dict[int, float]:
    """How far the marks of each row may be off, all at once, before it looks uneven, by the number of the post.

    Two neighbours that are both off by e change their distance by up to 2 e.
    """
    rule = facts.rule("evenness")
    if rule.watch is None:
        return {}
    return {
        n: max(0.0, (rule.watch.least - float(unevenness(facts, row).max())) / 2)
        for row in rows_of_three(facts)
        for n in row.tolist()
    }


def _end(facts: Facts, rows: Rows, number: int, radius: float) -> End | None:
    """What ends the ring that a hole has alone: the row with the least left at that radius."""
    if rows.broken[number] or rows.drilled[number] or radius >= LARGEST:
        return None
    own = of_post(rows, number)
    radii = np.zeros(rows.count)
    radii[number] = radius
    rigid, strings = own.rigid, own.strings
    left = rigid.margins - rigid.weights @ radii
    near = np.flatnonzero(strings.at_least(radii) < NEAR)
    of_strings, steps = worst_of(strings, radii, near)
    everything = np.concatenate([left, of_strings])
    if not len(everything):
        return None
    # Rounding does not decide which of two like ends is told.
    k = int(np.argmin(np.round(everything, 9)))
    if k < len(left):
        return _named(facts, number, rigid.checks[k], rigid.about[k], rigid.toward[k, number])
    k -= len(left)
    row = int(near[k])
    return _named(facts, number, strings.checks[row], strings.about[row], steps[k, number])


def _named(facts: Facts, number: int, check: str, about: tuple[Part, ...], way: Floats) -> End:
    shares = shares_of(facts)
    nothing = np.zeros(len(facts.posts))
    own = [part for part in about if shares.get(part, nothing)[number] > 0]
    others = [part for part in about if part not in own]
    toward = Vector(float(way[0]), float(way[1]))
    return End(check, (*own, *others), len(own), toward.unit() if toward.length > 1e-9 else None)


# A head with all that is found of it, as comparing, nut widths and missed holes want it


class Judged(msgspec.Struct, frozen=True):
    """A build, where everything lands, what the checks find, and how far its holes may miss."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    allowance: Allowance

    @property
    def level(self) -> Level:
        """The worst level of the findings."""
        return worst(self.found)


def judged(build: Build) -> Judged:
    """A build held against every limit and every miss."""
    layout = lay_out(build)
    return Judged(build, layout, findings(build, layout), allowance(build, layout))


# The joint rings and nothing else: what a window shows while the head changes


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
