"""Heads that break limits before anything is proposed, one for each number, and what a proposal makes worse of them."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

from msgspec.structs import replace

from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import AlongEdge, Build, OldHole, OnLine, Row
from geometry.document.edits import set_drilled, set_turns
from geometry.layout.layout import lay_out
from geometry.search.answers.missed import Missed, missed
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware, SideButton
from tests.generated_builds import generated

MOST_FAULTS = 6
MISSED_BY = 0.8
"""A missed hole is off its mark by this at most in x and in y, in mm."""


def broken_head(number: int) -> Build:
    """The head with this number: always the same, with at least one limit at stop, and most often with taper."""
    draw = random.Random(number)
    build = generated(number)
    if draw.random() < 0.7:
        head = build.head
        build = replace(build, head=replace(head, thickness_tip=head.thickness_nut - draw.uniform(-0.5, 3.0)))
    for fault in range(MOST_FAULTS):
        if fault and any(each.level is Level.STOP for each in findings(build)) and draw.random() < 0.6:
            break
        build = draw.choice(FAULTS)(draw, build)
    return build


def missed_hole(number: int, build: Build) -> Missed | None:
    """A hole of a head beside its mark, some others drilled; None where no hole has a place."""
    draw, layout = random.Random(number), lay_out(build)
    if not layout.posts:
        return None
    post = draw.choice(layout.posts)
    off = Vector(draw.uniform(-MISSED_BY, MISSED_BY), draw.uniform(-MISSED_BY, MISSED_BY))
    drilled = [each.key for each in layout.posts if draw.random() < 0.2]
    return missed(build, layout, post.key, post.at + off, drilled)


# Faults


def _hardware(build: Build, change: Callable[[Hardware], Hardware]) -> Build:
    return replace(build, hardware=tuple(change(each) for each in build.hardware))


def _rules(build: Build, change: Callable[[AlongEdge | OnLine], AlongEdge | OnLine]) -> Build:
    def changed(row: Row) -> Row:
        return replace(row, rule=change(row.rule)) if isinstance(row.rule, AlongEdge | OnLine) else row

    return replace(build, rows=tuple(changed(row) for row in build.rows))


def _short_posts(draw: random.Random, build: Build) -> Build:
    """String holes so low that the lowest turns lie on the bushings, of all posts or of some."""
    less = draw.uniform(0.5, 5.0)
    return _hardware(build, lambda each: replace(each, hole_height=each.hole_height - less))


def _tall_posts(draw: random.Random, build: Build) -> Build:
    """String holes so high on a level head that strings hardly bend over the nut."""
    more = draw.uniform(0.0, 6.0)
    build = replace(build, head=replace(build.head, angle_deg=draw.uniform(0.0, 3.0)), retainers=())
    return _hardware(build, lambda each: replace(each, hole_height=each.hole_height + more))


def _more_turns(draw: random.Random, build: Build) -> Build:
    layout = lay_out(build)
    for path in layout.paths:
        if draw.random() < 0.5:
            build = set_turns(build, path.post, draw.uniform(3.0, 8.0))
    return build


def _other_thickness(draw: random.Random, build: Build) -> Build:
    """Tuners made for other wood."""
    if draw.random() < 0.5:
        least = build.head.thickness_tip + draw.uniform(-0.5, 1.5)
        return _hardware(build, lambda each: replace(each, thickness_least=least, thickness_most=least + 4.0))
    most = build.head.thickness_nut - draw.uniform(-0.5, 1.5)
    return _hardware(build, lambda each: replace(each, thickness_least=most - 4.0, thickness_most=most))


def _near_edge(draw: random.Random, build: Build) -> Build:
    less = draw.uniform(2.0, 7.0)
    return _rules(build, lambda rule: replace(rule, inset=max(1.0, rule.inset - less)))


def _close_together(draw: random.Random, build: Build) -> Build:
    share = draw.uniform(0.5, 0.95)
    return _rules(build, lambda rule: replace(rule, pitch=share * rule.pitch))


def _wide_buttons(draw: random.Random, build: Build) -> Build:
    wider = draw.uniform(4.0, 20.0)

    def changed(each: Hardware) -> Hardware:
        button = replace(each.button, swept_diameter=each.button.swept_diameter + wider)
        if isinstance(button, SideButton) and draw.random() < 0.5:
            button = replace(button, shaft_length=max(1.0, button.shaft_length - 6.0), shaft_depth=4.0)
        return replace(each, button=button)

    return _hardware(build, changed)


def _narrow(draw: random.Random, build: Build) -> Build:
    outline, less = build.outline, draw.uniform(4.0, 18.0)
    narrower = {name: max(20.0, getattr(outline, name) - less) for name in ("width_low", "width_high")}
    return replace(build, outline=replace(outline, **narrower))


def _old_hole(draw: random.Random, build: Build) -> Build:
    posts = lay_out(build).posts
    if not posts:
        return build
    at = draw.choice(posts).at
    hole = OldHole(
        key=f"old{draw.randrange(10**6)}",
        at=Point(at.x + draw.uniform(-9.0, 9.0), at.y + draw.uniform(-9.0, 9.0)),
        diameter=draw.uniform(2.0, 9.0),
    )
    return replace(build, old_holes=(*build.old_holes, hole))


def _drilled(draw: random.Random, build: Build) -> Build:
    posts = lay_out(build).posts
    return set_drilled(build, draw.choice(posts).key, drilled=True) if posts else build


FAULTS: tuple[Callable[[random.Random, Build], Build], ...] = (
    _short_posts,
    _short_posts,
    _tall_posts,
    _more_turns,
    _other_thickness,
    _near_edge,
    _close_together,
    _wide_buttons,
    _narrow,
    _old_hole,
    _drilled,
)


# What is worse


def made_worse(before: Sequence[Finding], after: Sequence[Finding]) -> list[str]:
    """What a proposal makes worse, in words: more stops, or a broken limit broken further, pair by pair and by part."""
    stops = [sum(each.level is Level.STOP for each in found) for found in (before, after)]
    told = [f"{stops[0]} stops become {stops[1]}"] if stops[1] > stops[0] else []
    for by in (_pair, _first):
        was, now = _least(before, by), _least(after, by)
        told += [
            f"{name}: {was[name]:.4f} beyond becomes {now[name]:.4f}"
            for name in was.keys() & now.keys()
            if was[name] < -SAME and now[name] < was[name] - SAME
        ]
    return told


def _pair(finding: Finding) -> str:
    return " ".join([finding.check, *(part.name for part in finding.about)])


def _first(finding: Finding) -> str:
    return f"{finding.check} of {finding.about[0].name}"


def _least(found: Sequence[Finding], by: Callable[[Finding], str]) -> dict[str, float]:
    least: dict[str, float] = {}
    for each in found:
        if each.margin is not None and each.stop is not None:
            least[by(each)] = min(each.margin, least.get(by(each), each.margin))
    return least
