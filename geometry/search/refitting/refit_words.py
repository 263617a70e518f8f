"""What a refit changed, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from geometry.checks.judge import Finding
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.document.outline import Nodes, Starter
from geometry.document.outline_nodes import nodes_of
from geometry.layout.layout import Layout
from geometry.shape.tolerance import PRINT
from geometry.trade.quantities import CLEARANCE, CLOSE, Step, show_count, show_length, show_measured
from geometry.trade.sentence import Translate, as_it_is, say_note
from geometry.trade.units import Units


def say_changes(before: Build, after: Build, layouts: tuple[Layout, Layout], units: Units) -> tuple[str, ...]:
    """What differs between a build and the same one refitted, one sentence each; `layouts` are those of both."""
    return tuple(_changes(before, after, layouts, units))


def _changes(before: Build, after: Build, layouts: tuple[Layout, Layout], units: Units) -> Iterator[str]:
    one, two = before.nut.width, after.nut.width
    if one == two:
        yield f"The nut is {show_length(one, units)} wide already: nothing changes."
        return
    yield f"Nut: {show_length(one, units)} to {show_length(two, units)}."
    yield from _outline(before, after, units)
    yield from _strings(before, layouts, units)
    yield from _posts(layouts, units)


def _from_to(one: float, two: float, units: Units, step: Step = CLEARANCE) -> str:
    """From one length to another, which was worked out."""
    return f"{show_length(one, units, step)} to {show_length(two, units, step)}"


def _outline(before: Build, after: Build, units: Units) -> Iterator[str]:
    old, new = before.outline, after.outline
    if isinstance(old, Starter) and isinstance(new, Starter):
        pairs = ((old.width_low, new.width_low), (old.width_high, new.width_high))
        names = ("at the shoulder", "at the tip")
        told = [
            f"{name} {_from_to(*pair, units)}"
            for name, pair in zip(names, pairs, strict=True)
            if abs(pair[1] - pair[0]) > PRINT
        ]
        yield f"Widths of the starter: {', '.join(told) or 'as they were'}."
        return
    if isinstance(old, Starter):
        yield "The measures of the starter cannot say this head: its outline is nodes now."
    yield from _nodes(before, after, units)


def _nodes(before: Build, after: Build, units: Units) -> Iterator[str]:
    old = {node.key: node for node in nodes_of(before)}
    kept = [node for node in nodes_of(after) if node.key in old]
    steps = [abs(node.at.x - old[node.key].at.x) for node in kept]
    moved = [step for step in steps if step > PRINT]
    if moved:
        yield f"Outline: {len(moved)} of {len(old)} nodes moved, by {show_measured(max(moved), units)} at most."
    assert isinstance(after.outline, Nodes), "a starter never comes of nodes"
    curved = sum(type(node.onward) is not type(old[node.key].onward) for node in kept)
    if curved:
        yield f"{show_count(curved, 'arc')} of the outline became curves, so that it stays smooth."


def _strings(build: Build, layouts: tuple[Layout, Layout], units: Units) -> Iterator[str]:
    keys = [string.key for string in build.strings]
    gaps = [[abs(layout.slots[one] - layout.slots[two]) for one, two in pairwise(keys)] for layout in layouts]
    if not gaps[0]:
        return
    (least, most), (least_now, most_now) = ((min(each), max(each)) for each in gaps)
    if least + PRINT < most:
        closest, widest = (_from_to(*pair, units, CLOSE) for pair in ((least, least_now), (most, most_now)))
        yield f"String centres: the closest {closest}, the widest {widest}."
    else:
        yield f"Between string centres: {_from_to(least, least_now, units, CLOSE)}."


def _posts(layouts: tuple[Layout, Layout], units: Units) -> Iterator[str]:
    old = {post.key: post for post in layouts[0].posts}
    steps = [(post.at - old[post.key].at, post.label) for post in layouts[1].posts if post.key in old]
    if steps:
        step, label = max(steps, key=lambda each: each[0].length)
        across, along = (show_length(abs(each), units, CLEARANCE) for each in (step.x, step.y))
        if step.length <= PRINT:
            yield "All tuners stay where they are."
        else:
            yield f"The tuners moved, most of all tuner {label}: {across} across, {along} along."
    yield from (say_note(note, units) for note in layouts[1].unplaced)


def say_harm(harm: Sequence[Finding], units: Units, translate: Translate = as_it_is) -> str:
    """What another nut makes worse, in one or two sentences; nothing where it harms nothing."""
    if not harm:
        return ""
    worst, more = say(harm[0], units, translate), len(harm) - 1
    told = translate("With this nut the head is worse than before. {0}").format(worst)
    if not more:
        return told
    others = (
        translate("One other finding is worse too.") if more == 1 else translate("{0} others are worse too.")
    )
    return f"{told} {others.format(more)}"
