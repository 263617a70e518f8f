"""Rings where trees hold strings: a string keeps its tree while its post misses inside its ring."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from geometry.checks.facts import facts_of
from geometry.document.build import Build, Head, Retainer
from geometry.layout.layout import displaced, lay_out
from geometry.search.rings.height_slack import tree_slack
from geometry.search.rings.rings import exact, rows_of
from geometry.shape.point import Point, Vector
from tests.builds import change, plain_head, post_at


def head(x: float, y: float = 40.0, **fields: Any) -> Build:
    """A string from the middle of the nut to a post at (20, 120), and a tree."""
    tree = Retainer(key="t", at=Point(x, y), height=4.0, strings=("s1",), **fields)
    return plain_head(post_at(20.0, 120.0), slots=(0.0,), retainers=(tree,))


@pytest.mark.parametrize("x", [3.0, 8.0, 11.5, 14.0, 18.0])
def test_the_room_is_the_least_move_that_changes_what_is_held(x: float) -> None:
    build = head(x)
    layout = lay_out(build)
    held = bool(layout.paths[0].held)
    rows = tree_slack(facts_of(build, layout))
    room = float(rows.margins[0]) if len(rows.margins) else 10.0

    def changes(radius: float) -> bool:
        steps = [Vector(radius * math.cos(a), radius * math.sin(a)) for a in np.linspace(0, math.tau, 720)]
        paths = [displaced(build, layout, {"one1": step}).paths[0] for step in steps]
        return any(bool(path.held) != held for path in paths)

    assert not changes(room * 0.999)
    assert room >= 10.0 or changes(room * 1.002 + 1e-4)


def test_a_tree_past_the_post_is_told_by_how_far() -> None:
    build = head(20.0, 121.0)
    rows = tree_slack(facts_of(build, lay_out(build)))
    assert rows.margins.tolist() == pytest.approx([1.0])
    beside = head(16.5, 119.0)
    assert tree_slack(facts_of(beside, lay_out(beside))).margins[0] < 1.0


def test_nothing_breaks_while_marks_are_in_their_rings() -> None:
    # Without its tree the string would climb to its post: the break hangs on being held, 1.5 mm from the tree's end.
    free = change(head(8.0), head=Head(angle_deg=0.0))
    layout = lay_out(free)
    path = layout.paths[0]
    assert path.held
    radii = exact(rows_of(facts_of(free, layout)))
    draw = np.random.default_rng(1)
    for angle in draw.uniform(0, math.tau, 300):
        step = Vector(radii[0] * math.cos(angle), radii[0] * math.sin(angle))
        assert displaced(free, layout, {"one1": step}).paths[0].held
