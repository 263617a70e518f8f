"""The bore ladder: the shop's own drills round the wanted bore."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.bore_fit import APART, LOOSE, RUNGS, SPAN, TIGHT, ladders, rungs_round
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.trade.drills import FRACTIONS, LETTERS, METRIC, NUMBERS, Drill
from geometry.trade.hardware import Bore, Bushing
from geometry.trade.shop import Shop
from tests.builds import change, plain_head, row, tuner

EVERY = (*METRIC, *FRACTIONS, *NUMBERS, *LETTERS)
RIBBED = Bushing(kind="press-in", root=8.5, crest=8.8)


def head(wood: str = "sugar maple", **hardware: object) -> Build:
    build = plain_head(row(count=2), hardware=(tuner(**hardware),))
    return change(build, head=change(build.head, wood=wood))


@given(st.floats(1.0, 25.0), st.lists(st.sampled_from(EVERY), max_size=40).map(tuple))
def test_rungs_rise_stand_apart_and_lie_on_both_sides(diameter: float, drills: tuple[Drill, ...]) -> None:
    rungs = rungs_round(diameter, drills)
    sizes = [drill.diameter for drill in rungs]
    assert sizes == sorted(sizes)
    assert len(rungs) <= RUNGS
    assert set(rungs) <= set(drills)
    assert any(size < diameter for size in sizes) == any(drill.diameter < diameter - 1e-6 for drill in drills)
    assert any(size >= diameter for size in sizes) == any(drill.diameter >= diameter for drill in drills)
    assert sum(abs(size - diameter) > SPAN + 1e-6 for size in sizes) <= 2


def test_equal_drills_of_two_sets_make_one_rung() -> None:
    # 1/2 in is 12.7 mm exactly, and 11/32 in is 0.03 mm from 8.7 mm.
    sizes = [drill.diameter for drill in rungs_round(12.7, (*METRIC, *FRACTIONS))]
    assert sizes.count(12.7) == 1
    assert all(b - a > APART for a, b in pairwise(sizes))


def test_a_ladder_of_ribs_stays_near_them() -> None:
    build = head(bushing=RIBBED, bore=Bore(through=8.7))
    (ladder,) = ladders(build, lay_out(build), Shop(drill_sets=("metric", "fraction", "letter")))
    assert ladder.bore == 8.7
    # Hard wood: a hole 0.05 under the crest of 8.8 at best, and a drill leaves it 0.05 wider.
    assert ladder.fit.diameter == pytest.approx(8.7)
    for drill in ladder.rungs:
        assert 8.5 - TIGHT <= drill.diameter <= 8.8 + LOOSE


def test_far_drills_are_better_than_none() -> None:
    build = head(bushing=RIBBED, bore=Bore(through=8.7))
    (ladder,) = ladders(build, lay_out(build), Shop(drill_sets=(), extra_drills=(8.0, 9.5)))
    assert [drill.diameter for drill in ladder.rungs] == [8.0, 9.5]


def test_finish_is_not_on_the_scrap() -> None:
    build = head(bushing=RIBBED, bore=Bore(through=9.0))
    coated = change(build, head=change(build.head, finish_build_up=0.3))
    (ladder,) = ladders(coated, lay_out(coated), Shop())
    assert ladder.bore == pytest.approx(8.7)
    assert ladder.fit.diameter == pytest.approx(8.7)


def test_a_ladder_goes_round_the_bore_of_the_build_even_outside_its_fit() -> None:
    build = head(bushing=RIBBED, bore=Bore(through=8.9))
    (ladder,) = ladders(build, lay_out(build), Shop(drill_sets=("metric",)))
    assert ladder.bore == 8.9
    assert {8.7, 8.9} <= {drill.diameter for drill in ladder.rungs}
    assert [drill.diameter for drill in ladder.rungs if ladder.good.holds(drill.diameter)] == [8.7]


@pytest.mark.parametrize("drilled", [True, False])
def test_no_ladder_where_nothing_is_to_be_bored(drilled: bool) -> None:
    build = head()
    (only,) = build.rows
    done = change(
        build, rows=(change(only, posts=tuple(change(post, drilled=drilled) for post in only.posts)),)
    )
    assert len(ladders(done, lay_out(done), Shop())) == (0 if drilled else 1)
    assert ladders(done, lay_out(done), Shop(drill_sets=())) == ()
