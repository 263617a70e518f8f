"""Heads whose two sides are alike: which rows mirror each other, what keeps them from it, and how they stay so.

A row mirrors another where both have as many posts of the same model, are placed by the same kind of rule, and every
post lies by the mirror image of its partner. What string goes to which post, and what else lies on the head, does not
matter: checks see to that. Both hands are treated alike, for the mirror stands on the centre line.
"""

from __future__ import annotations

from collections.abc import Collection
from itertools import chain
from typing import Literal

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.document.build import Build, Row, SideName, StraightPull
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.trade.quantities import show_measured
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

ALIKE = 1.0
"""Sides that differ by no more than this, in mm, are meant to be alike: a post that was nudged by hand, an outline that
was traced from a photo. Common practice, no source."""

_FLAT = 0.05  # how far the points by which outlines are compared may leave out of a bend, in mm

Twins = tuple[tuple[int, int], ...]
"""Pairs of rows, by their numbers in the build, that mirror each other."""


class Unlike(msgspec.Struct, frozen=True):
    """Why the sides of a head are not alike.

    `by` is how many mm an outline or a post is off the mirror image, `counts` how many tuners stand on the bass and the
    treble side, `posts` the labels of the posts that differ.
    """

    why: Literal["outline", "counts", "tuners", "rules", "no place", "places"]
    by: float = 0.0
    counts: tuple[int, int] = (0, 0)
    posts: tuple[str, str] = ("", "")


def twins_of(build: Build, layout: Layout) -> Twins | Unlike:
    """The rows that mirror each other, none left over; or why there are no such pairs. `layout` is the build's."""
    bass, treble = (_from_the_nut(build, side) for side in ("bass", "treble"))
    bass_posts, treble_posts = ([len(build.rows[n].posts) for n in side] for side in (bass, treble))
    if bass_posts != treble_posts or not bass_posts:
        return Unlike("counts", counts=(sum(bass_posts), sum(treble_posts)))
    pairs = tuple((min(pair), max(pair)) for pair in zip(bass, treble, strict=True))
    found = (_unlike(build, layout, build.rows[one], build.rows[two]) for one, two in pairs)
    unlike = next((each for each in found if each is not None), None)
    if unlike is not None:
        return unlike
    assert layout.edge is not None, "posts have their places along an edge"
    by = _lopsided(layout.edge)
    return Unlike("outline", by) if by > ALIKE else pairs


def _from_the_nut(build: Build, side: SideName) -> list[int]:
    numbers = [number for number, row in enumerate(build.rows) if row.side == side and row.posts]
    return sorted(numbers, key=lambda number: build.rows[number].rule.start)


def _unlike(build: Build, layout: Layout, one: Row, two: Row) -> Unlike | None:
    models = {each.key: replace(each, key="", name="", source="") for each in build.hardware}
    at = {post.key: post.at for post in layout.posts}
    for post, partner in zip(one.posts, two.posts, strict=True):
        posts = layout.labels[post.key], layout.labels[partner.key]
        if models[one.hardware] != models[two.hardware]:
            return Unlike("tuners", posts=posts)
        if _kind(one) != _kind(two):
            return Unlike("rules", posts=posts)
        if post.key not in at or partner.key not in at:
            return Unlike("no place", posts=posts)
        by = at[post.key].mirrored.distance(at[partner.key])
        if by > ALIKE:
            return Unlike("places", by, posts=posts)
    return None


def _kind(row: Row) -> tuple[type, bool]:
    return type(row.rule), isinstance(row.rule, StraightPull) and row.rule.exact


def _lopsided(edge: Edge) -> float:
    """How far the mirror image of an edge is from it at most, in mm."""
    points = np.array([(-point.x, point.y) for point in edge.contour.flatten(_FLAT)])
    return float(edge.pieces.nearest(points)[0].max())


# Staying so


def partners_of(build: Build, twins: Twins) -> dict[str, str]:
    """The partner of each post of the twin rows, by key, both ways."""
    pairs = [
        (one.key, two.key)
        for lead, twin in twins
        for one, two in zip(build.rows[lead].posts, build.rows[twin].posts, strict=True)
    ]
    return dict(chain(pairs, ((two, one) for one, two in pairs)))


def kept_alike(build: Build, twins: Twins, still: Collection[str]) -> Build:
    """The build with the second row of each pair as the first has it.

    What was moved by hand is kept for posts in `still`, by key, and for their partners.
    """
    if not twins:
        return build
    partner, rows = partners_of(build, twins), list(build.rows)
    for lead, twin in twins:
        moved = {partner[each.post]: each for each in rows[lead].moved}
        own = [each for each in rows[twin].moved if _stays(each.post, partner, still)]
        taken = [replace(each, post=post) for post, each in moved.items() if not _stays(post, partner, still)]
        rows[twin] = replace(rows[twin], rule=rows[lead].rule, moved=(*own, *taken))
    return replace(build, rows=tuple(rows))


def _stays(post: str, partner: dict[str, str], still: Collection[str]) -> bool:
    return post in still or partner[post] in still


# Why they are not


TEXTS: dict[str, str] = {
    "outline": "the outline is {by} off its own mirror image.",
    "counts": "the number of tuners is not the same: {bass} on the bass side, {treble} on the treble side.",
    "rows": "the tuners of both sides do not stand in the same rows.",
    "tuners": "tuner {a} is another model than tuner {b}.",
    "rules": "the rows of tuner {a} and tuner {b} are placed by different rules.",
    "no place": "tuner {a} or tuner {b} has no place.",
    "places": "tuner {a} stands {by} off the mirror image of tuner {b}.",
}
"""By what is unlike, after "the two sides are not alike:": `a` and `b` are tuners, `by` a length."""


def say_unlike(found: Unlike, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """The end of a sentence that has said that the two sides are not alike."""
    bass, treble = found.counts
    why = "rows" if found.why == "counts" and bass == treble else found.why
    a, b = found.posts
    return translate(TEXTS[why]).format(a=a, b=b, by=show_measured(found.by, units), bass=bass, treble=treble)
