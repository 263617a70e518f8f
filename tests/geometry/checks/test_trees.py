"""Trees: which strings they hold, and the holes of their screws."""

from __future__ import annotations

from typing import Any

import pytest

from geometry.checks.judge import Level
from geometry.checks.words import say
from geometry.document.build import Build, FaceScrew, Region, Retainer, RoundRegion
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from tests.builds import change, found, plain_head, row


def under(x: float, y: float, **fields: Any) -> Build:
    """One string 20 mm beside the centre line to a post 60 mm up, and a retainer."""
    tree = Retainer(key="t", at=Point(x, y), height=5.0, strings=("s1",), **fields)
    return plain_head(row(), slots=(20.0,), retainers=(tree,))


@pytest.mark.parametrize(
    ("x", "y", "half_width", "holds"),
    [
        (24.2, 30.0, 6.0, True),
        (24.3, 30.0, 6.0, False),
        (12.3, 30.0, 6.0, True),
        (12.2, 30.0, 6.0, False),
        (30.0, 30.0, 12.0, True),
        (20.0, 59.0, 6.0, True),
        (20.0, 60.0, 6.0, False),
        (20.0, 0.0, 6.0, False),
    ],
)
def test_a_tree_holds_what_passes_within_its_half_width(
    *, x: float, y: float, half_width: float, holds: bool
) -> None:
    # The string touches a circle of 3 + 0.5 mm 60 mm on: level with 30 mm it passes at 20 - 30 tan(asin(3.5 / 60)) =
    # 18.247, so that a tree of 6 mm to each side holds it from x = 12.247 to 24.247.
    build = under(x, y, half_width=half_width)
    (only,) = found(build, "retainer")
    assert (only.level is Level.FINE) == holds
    free = plain_head(row(), slots=(20.0,))
    assert (lay_out(build).paths[0].points == lay_out(free).paths[0].points) == (not holds)


def test_a_string_outside_its_tree_is_told_so() -> None:
    (outside,) = found(under(0.0, 30.0), "retainer")
    assert say(outside) == (
        "String 1 passes outside of retainer t and is not held by it: move that, or give the string one of its own."
    )
    assert outside.where is not None
    assert outside.where[0] == Point(0.0, 30.0)
    assert outside.where[1].y == pytest.approx(30.0)
    (beyond,) = found(under(20.0, 80.0), "retainer")
    assert say(beyond) == "Retainer t does not hold string 1: it must stand between the nut and the post."


# Screws of trees


def test_the_screw_of_a_tree_is_held_to_its_limits() -> None:
    # The head is 80 mm wide and 15 mm thick, a typical screw 2.2 mm with a root of 1.5 and a hole of 9 mm. In hard
    # maple a pilot has 0.9 of the root; its point of 118 degrees stands 0.3 of that deeper.
    build = under(36.0, 30.0)
    (edge,) = [each for each in found(build, "screw to edge") if "retainer" in each.about[0].name]
    assert edge.about[0].name == "screw of retainer t"
    assert edge.measured == pytest.approx(40.0 - 36.0 - 1.1)
    (deep,) = [each for each in found(build, "screw depth") if "retainer" in each.about[0].name]
    assert deep.measured == pytest.approx(15.0 - 9.0 - 0.3 * 1.5 * 0.9)
    bore = lay_out(build).posts[0]
    (hole,) = [each for each in found(build, "screw to hole") if each.about[0].name == "screw of retainer t"]
    assert hole.measured == pytest.approx(bore.at.distance(Point(36.0, 30.0)) - 1.1 - bore.bore / 2)


@pytest.mark.parametrize(
    ("fields", "screws"),
    [
        ({}, 1),
        ({"screw": None}, 0),
        ({"kind": "guide post", "radius": 2.0}, 0),
        ({"kind": "guide post", "radius": 2.0, "screw": FaceScrew(depth=6.0)}, 1),
    ],
)
def test_a_tree_has_a_screw_unless_it_is_said_otherwise(fields: dict[str, Any], screws: int) -> None:
    layout = lay_out(under(20.0, 30.0, **fields))
    assert len(layout.tree_screws) == screws
    assert layout.small_holes == layout.holes + layout.tree_screws
    assert all(hole.side == "face" for hole in layout.tree_screws)


def test_the_screw_of_a_tree_meets_what_lies_on_its_side() -> None:
    # 9 mm from the face in 15 mm of wood: a pocket of 5 mm in the back stays clear of it, one of 7 mm does not.
    for side, depth, meets in (("face", 1.0, True), ("back", 5.0, False), ("back", 7.0, True)):
        pocket = Region(
            key="p",
            name="pocket",
            shape=RoundRegion(Point(20.0, 30.0), 4.0),
            side=side,  # type: ignore[arg-type]
            depth=depth,
        )
        met = [
            each
            for each in found(change(under(20.0, 30.0), keep_clear=(pocket,)), "keep clear")
            if each.about[0].name == "screw of retainer t"
        ]
        assert bool(met) == meets
