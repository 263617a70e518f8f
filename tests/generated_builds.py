"""Heads as makers might draw them, one for each number: starters of other sizes, other tuners, posts moved by hand."""

from __future__ import annotations

import random

from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Moved, OldHole, OnLine, Region, RoundRegion, Row
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.document.outline import Starter
from geometry.document.starters import STARTERS
from geometry.layout.trees import with_trees
from geometry.shape.point import Point
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.string_sets import STRING_SETS

SETS = {each.key: each for each in STRING_SETS}
PARTS = {each.key: each for each in LIBRARY}


def generated(seed: int) -> Build:
    """The head with this number; the same number always gives the same head."""
    draw = random.Random(seed)
    shape = draw.choice(sorted(STARTERS))
    suggestion = SUGGESTIONS[shape]
    hardware = draw.choice([suggestion.hardware, suggestion.hardware, "enclosed-small", "friction"])
    build = new_build(
        shape,
        name=f"head {seed}",
        nut_width=suggestion.nut_width + draw.uniform(0.0, 6.0),
        string_set=SETS[suggestion.string_set],
        hardware=PARTS[hardware],
        left_handed=draw.random() < 0.3,
    )
    build = with_trees(build)
    assert isinstance(build.outline, Starter)
    wider = draw.uniform(0.0, 12.0)
    outline = replace(
        build.outline,
        length=build.outline.length + draw.uniform(0.0, 25.0),
        width_low=build.outline.width_low + wider,
        width_high=build.outline.width_high + wider * draw.uniform(0.3, 1.0),
    )
    head = replace(
        build.head,
        thickness_tip=build.head.thickness_nut - draw.choice([0.0, 0.0, 0.6, 1.2]),
        grain_deg=draw.choice([0.0, 0.0, draw.uniform(-8.0, 8.0)]),
    )
    rows = tuple(_another_row(draw, row) for row in build.rows)
    return replace(build, outline=outline, head=head, rows=rows, **_what_is_there(draw, outline))


def with_spares(seed: int) -> Build:
    """The same head with bare posts: the one nearest the nut on each side, and fewer strings."""
    build = generated(seed)
    bare = {row.posts[0].key for row in build.rows if len(row.posts) > 1}
    rows = tuple(
        replace(
            row,
            posts=tuple(replace(post, string=None) if post.key in bare else post for post in row.posts),
        )
        for row in build.rows
    )
    count = len(build.strings) - len(bare)
    return replace(build, name=f"head {seed} with spares", rows=rows, strings=build.strings[:count])


def made_alike(build: Build) -> Build:
    """The head with its bass row by the rule of its treble row, and nothing moved by hand."""
    treble = next((row for row in build.rows if row.side == "treble"), None)
    if treble is None:
        return build
    rows = tuple(replace(row, rule=treble.rule, moved=()) for row in build.rows)
    return replace(build, name=f"{build.name} alike", rows=rows)


def _another_row(draw: random.Random, row: Row) -> Row:
    rule = row.rule
    if isinstance(rule, AlongEdge | OnLine):
        rule = replace(
            rule,
            start=rule.start + draw.uniform(0.0, 8.0),
            pitch=rule.pitch * draw.uniform(0.97, 1.08),
            inset=rule.inset + draw.uniform(-0.5, 1.5),
        )
    # A plate forgives its holes a few hundredths.
    off = 1.0 if isinstance(rule, AlongEdge | OnLine) else 0.03
    moved = tuple(
        Moved(post=post.key, along=off * draw.uniform(-0.8, 0.8), inward=off * draw.uniform(-0.5, 0.8))
        for post in row.posts
        if draw.random() < 0.25
    )
    return replace(row, rule=rule, moved=moved)


def _what_is_there(
    draw: random.Random, outline: Starter
) -> dict[str, tuple[Region, ...] | tuple[OldHole, ...]]:
    """A rod pocket, and old holes by the middle of the head, now and then."""
    pocket = Region(
        key="pocket",
        name="rod pocket",
        shape=RoundRegion(centre=Point(0.0, draw.uniform(8.0, 16.0)), radius=draw.uniform(4.0, 6.0)),
        side="face",
        depth=draw.uniform(5.0, 9.0),
    )
    hole = OldHole(
        key="old",
        at=Point(draw.uniform(-4.0, 4.0), draw.uniform(0.4, 0.9) * outline.length),
        diameter=draw.uniform(2.0, 5.0),
        depth=draw.choice([None, 6.0]),
    )
    return {
        "keep_clear": (pocket,) if draw.random() < 0.4 else (),
        "old_holes": (hole,) if draw.random() < 0.3 else (),
    }
