"""Where a dragged place wants to go."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.build import Build
from geometry.document.edits import set_run
from geometry.document.outline import Bend
from geometry.layout.snap import Hint, snap
from geometry.shape.point import Point, Vector
from tests.builds import nodes, plain_head

OUTLINE = nodes((22, 0), (35, 30), (33, 150), (-31, 160), (-37, 33), (-22, 0))


def head() -> Build:
    return plain_head(outline=OUTLINE)


def kinds(hints: tuple[Hint, ...]) -> list[tuple[str, str]]:
    return [(hint.kind, hint.node) for hint in hints]


def test_far_from_everything_nothing_changes() -> None:
    at = Point(10.3, 77.7)
    assert snap(head(), at, reach=2.0).at == at
    assert snap(head(), at, reach=2.0).hints == ()


@pytest.mark.parametrize(
    ("at", "to", "why"),
    [
        (Point(0.6, 77.7), Point(0.0, 77.7), [("centre line", "")]),
        (Point(10.3, -0.9), Point(10.3, 0.0), [("nut line", "")]),
        (Point(34.2, 77.7), Point(35.0, 77.7), [("node x", "n1")]),
        (Point(10.3, 151.0), Point(10.3, 150.0), [("node y", "n2")]),
        (Point(-0.5, 159.0), Point(0.0, 160.0), [("centre line", ""), ("node y", "n3")]),
        (Point(34.5, 31.4), Point(35.0, 30.0), [("node x", "n1"), ("node y", "n1")]),
        (Point(-36.1, 31.8), Point(-37.0, 33.0), [("node x", "n4"), ("node y", "n4")]),
    ],
)
def test_lines_attract(at: Point, to: Point, why: list[tuple[str, str]]) -> None:
    snapped = snap(head(), at, reach=2.0)
    assert snapped.at == to
    assert kinds(snapped.hints) == why
    assert all(hint.end == to for hint in snapped.hints)


def test_a_hint_runs_from_what_attracts_to_the_place() -> None:
    (hint,) = snap(head(), Point(34.2, 77.7), reach=0.9).hints
    assert hint == Hint("node x", Point(35.0, 30.0), Point(35.0, 77.7), "n1")


def test_what_moves_along_does_not_attract() -> None:
    at = Point(34.2, 77.7)
    assert snap(head(), at, ("n1", "n2"), reach=1.0).at == at


def test_the_grid_takes_what_no_line_holds() -> None:
    snapped = snap(head(), Point(10.3, 77.7), reach=2.0, grid=1.0)
    assert snapped.at == Point(10.0, 78.0)
    assert kinds(snapped.hints) == [("grid", "")]
    both = snap(head(), Point(0.4, 77.7), reach=2.0, grid=1.0)
    assert both.at == Point(0.0, 78.0)
    assert kinds(both.hints) == [("centre line", ""), ("grid", "")]
    assert both.hints[0].end == both.at
    wide = snap(head(), Point(14.0, 74.0), reach=2.0, grid=10.0)
    assert wide.at == Point(14.0, 74.0)
    assert wide.hints == ()


def test_without_lines_only_the_grid_attracts() -> None:
    assert snap(head(), Point(0.4, 77.7), reach=2.0, lines=False).at == Point(0.4, 77.7)
    assert snap(head(), Point(0.4, 77.7), reach=2.0, grid=5.0, lines=False).at == Point(0.0, 77.7)


def on_ray(away: float, aside: float) -> Point:
    """Beyond n1 in the direction of the first run, n2 being dragged."""
    way = Vector(13, 30).unit()
    return Point(35.0, 30.0) + way * away + way.left * aside


@given(st.floats(10.0, 60.0), st.floats(-0.9, 0.9))
def test_a_neighbour_goes_on_without_a_corner(away: float, aside: float) -> None:
    at = on_ray(away, aside)
    snapped = snap(head(), at, ("n2",), reach=1.0)
    lines = [hint.kind for hint in snapped.hints]
    if lines == ["tangent"]:
        assert snapped.at.distance(on_ray(away, 0.0)) < 1e-9
        assert snapped.hints[0].start == Point(35.0, 30.0)
    else:
        assert lines[0] != "tangent"


def test_a_tangent_is_felt_from_both_neighbours_and_only_ahead() -> None:
    # Beyond n2 the run to n3 is n3 -> n4 taken backwards.
    way = (Point(-31.0, 160.0) - Point(-37.0, 33.0)).unit()
    at = Point(-31.0, 160.0) + way * 60 + way.left * 0.5
    assert kinds(snap(head(), at, ("n2",), reach=1.0).hints) == [("tangent", "n3")]
    behind = on_ray(-20.0, 0.5)
    assert kinds(snap(head(), behind, ("n2",), reach=1.0).hints) == []
    assert kinds(snap(head(), at, ("n2", "n3"), reach=1.0).hints) == []
    assert kinds(snap(head(), at, reach=1.0).hints) == []
    assert kinds(snap(head(), at, ("post",), reach=1.0).hints) == []


def test_a_tangent_meets_an_upright_or_level_line() -> None:
    # The ray from n1 reaches y = 160 where it has climbed 130.
    cross = Point(35.0 + 13 / 30 * 130, 160.0)
    snapped = snap(head(), cross + Vector(0.5, 0.3), ("n2",), reach=1.0)
    assert kinds(snapped.hints) == [("node y", "n3"), ("tangent", "n1")]
    assert snapped.at.distance(cross) < 1e-9


def test_a_tangent_of_an_arc_meets_the_centre_line() -> None:
    # The run from n3 to n4 is an arc that leaves n3 turned by half its sweep from the chord.
    sweep = math.radians(20.0)
    build = set_run(head(), "n3", Bend(bulge=math.tan(sweep / 4)))
    origin = Point(-31.0, 160.0)
    way = -(Point(-37.0, 33.0) - origin).unit().turned(-sweep / 2)
    cross = origin + way * (31.0 / way.x)
    snapped = snap(build, cross + Vector(0.4, 0.2), ("n2",), reach=1.0)
    assert kinds(snapped.hints) == [("centre line", ""), ("tangent", "n3")]
    assert snapped.at.distance(cross) < 1e-9


def test_a_tangent_along_the_line_itself_changes_nothing() -> None:
    build = plain_head(outline=nodes((35, 0), (35, 30), (33, 150), (-31, 160), (-22, 0)))
    snapped = snap(build, Point(35.4, 90.0), ("n2",), reach=1.0)
    assert snapped.at == Point(35.0, 90.0)
    assert kinds(snapped.hints) == [("node x", "n0")]


def test_a_crossing_too_far_away_is_not_taken() -> None:
    # Nearly level ray against a level line: they meet far off, so the level line alone holds.
    build = plain_head(outline=nodes((22, 0), (35, 30), (135, 31), (33, 150), (-31, 33.5), (-22, 0)))
    snapped = snap(build, Point(180.0, 32.5), ("n3",), reach=1.2)
    assert snapped.at == Point(180.0, 33.5)
    assert kinds(snapped.hints) == [("node y", "n4")]
