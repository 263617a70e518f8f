"""Divided drawings: every part fits, neighbours overlap, seams keep off holes."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.tiles import CLEAR, OVERLAP, Span, seams_between, spans

LOW = st.floats(-300, 300)
HOLES = st.lists(
    st.tuples(st.floats(-300, 1200), st.floats(1, 20)).map(lambda at: Span(at[0], at[0] + at[1]))
)


@given(LOW, st.floats(1, 1200), st.floats(60, 400), HOLES, HOLES)
def test_parts_cover_the_whole_and_fit_their_pages(
    low: float, length: float, room: float, holes: list[Span], words: list[Span]
) -> None:
    parts = spans(Span(low, low + length), room, holes, words)
    assert parts[0].low == low
    assert parts[-1].high == low + length
    assert all(part.length <= room + 1e-9 for part in parts)
    for before, after in pairwise(parts):
        assert before.high - after.low == pytest.approx(OVERLAP)
        assert before.low < after.low
    fewest = 1 if length <= room else math.ceil((length - OVERLAP) / (room - OVERLAP) - 1e-9)
    assert len(parts) <= max(2, fewest) + 1


def test_what_fits_is_not_divided() -> None:
    assert spans(Span(0.0, 100.0), 100.0) == (Span(0.0, 100.0),)


def test_an_undisturbed_seam_lies_in_the_middle() -> None:
    assert seams_between(spans(Span(0.0, 150.0), 100.0)) == (75.0,)


def test_a_seam_keeps_the_whole_overlap_off_a_hole() -> None:
    (seam,) = seams_between(spans(Span(0.0, 150.0), 100.0, [Span(70.0, 80.0)]))
    assert abs(seam - 75.0) == pytest.approx(5.0 + OVERLAP / 2 + CLEAR)


def test_a_seam_avoids_words_where_holes_allow() -> None:
    (seam,) = seams_between(spans(Span(0.0, 150.0), 100.0, [], [Span(70.0, 79.0)]))
    assert seam == pytest.approx(79.0 + OVERLAP / 2 + CLEAR)


def test_a_page_more_is_taken_to_spare_a_hole() -> None:
    # Two pages of 100 mm leave the seam between 85 and 95 mm, all of it over the hole.
    parts = spans(Span(0.0, 180.0), 100.0, [Span(80.0, 100.0)])
    assert len(parts) == 3
    assert all(not 80.0 - CLEAR < seam < 100.0 + CLEAR for seam in seams_between(parts))


def test_the_page_must_be_larger_than_the_overlap() -> None:
    with pytest.raises(AssertionError, match="smaller than the overlap"):
        spans(Span(0.0, 100.0), OVERLAP)
