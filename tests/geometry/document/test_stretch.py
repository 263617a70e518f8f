"""An outline of nodes stretched to another length and width."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.edits import free_outline
from geometry.document.outline_edits import nodes_of
from geometry.document.stretch import outline_bounds, with_length, with_width
from geometry.document.twins import is_symmetric
from geometry.shape.point import Point
from tests.builds import plain_head, rectangle, three_and_three


def test_a_rectangle_takes_the_size_that_is_typed() -> None:
    build = plain_head(outline=rectangle())
    longer = with_length(build, 230.0)
    assert [node.at for node in nodes_of(longer)] == [
        Point(40.0, 0.0), Point(40.0, 230.0), Point(-40.0, 230.0), Point(-40.0, 0.0)
    ]  # fmt: skip
    wider = with_width(build, 90.0)
    assert [node.at for node in nodes_of(wider)] == [
        Point(40.0, 0.0), Point(45.0, 200.0), Point(-45.0, 200.0), Point(-40.0, 0.0)
    ]  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(st.floats(120.0, 300.0), st.floats(60.0, 120.0))
def test_a_freed_starter_measures_what_was_typed_and_stays_even(length: float, width: float) -> None:
    build = free_outline(three_and_three())
    after = with_width(with_length(build, length), width)
    bounds = outline_bounds(after)
    assert bounds.top == pytest.approx(length, abs=1e-6)
    assert bounds.right - bounds.left == pytest.approx(width, abs=1e-3)
    assert is_symmetric(after)
    ends = [nodes_of(each)[place].at for each in (build, after) for place in (0, -1)]
    assert ends[:2] == ends[2:]
