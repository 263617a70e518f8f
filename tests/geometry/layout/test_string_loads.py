"""Loads and lengths of a build's strings, against Mersenne's law by hand and plain geometry."""

from __future__ import annotations

import math

import pytest

from geometry.document.build import Post, String
from geometry.layout.layout import lay_out
from geometry.layout.string_loads import string_cuts, string_load, string_loads, total_pull
from tests.builds import READY_MADE, change, plain_head, post_at, strings

SCALE = 25.5 * 25.4
E4 = String(key="s1", name="E4", diameter=0.254)


def test_a_name_that_is_a_pitch_counts_as_one() -> None:
    load = string_load(E4, SCALE)
    assert load.pitch == "E4"
    assert string_load(change(E4, name=" F♯3 "), SCALE).pitch == "F#3"
    # 72.5 N by hand with 7850 kg/m3; music wire has 7800.
    assert load.pull == pytest.approx(72.5 * 7800 / 7850, abs=0.05)
    assert load.percent == pytest.approx(53.6 * 7800 / 7850, abs=0.1)
    assert not load.estimate


def test_a_given_pitch_goes_before_the_name() -> None:
    load = string_load(change(E4, pitch="E3"), SCALE)
    # An octave lower pulls a quarter.
    assert load.pull == pytest.approx(string_load(E4, SCALE).pull / 4)  # type: ignore[operator]


def test_a_typed_weight_goes_before_the_estimate() -> None:
    wound = String(key="s", name="E2", diameter=1.1684, kind="wound")
    assert string_load(wound, SCALE).estimate
    typed = string_load(change(wound, unit_weight=6.0), SCALE)
    assert not typed.estimate
    # 6 g/m x (2 x 0.6477 m x 82.407 Hz)^2
    assert typed.pull == pytest.approx(68.4, abs=0.1)
    assert typed.stress is None
    assert typed.percent is None


def test_a_typed_tension_tells_the_weight() -> None:
    typed = string_load(change(E4, tension=72.5), SCALE)
    assert typed.pull == 72.5
    assert typed.weight.value == pytest.approx(0.3978, abs=5e-4)
    assert typed.weight.source == "from the tension typed in"
    silent = string_load(change(E4, name="first", tension=72.5), SCALE)
    assert (silent.pitch, silent.hertz, silent.pull) == ("", None, 72.5)
    assert silent.weight.value == pytest.approx(0.3978 * 7800 / 7850, abs=5e-5)
    wound = String(key="s", name="no pitch", diameter=1.0, kind="wound", tension=80.0)
    assert not string_load(wound, SCALE).estimate


def test_without_a_pitch_nothing_pulls() -> None:
    load = string_load(change(E4, name="first"), SCALE)
    assert (load.pitch, load.pull, load.stress, load.percent) == ("", None, None, None)


def test_total_pull() -> None:
    given = (E4, change(E4, key="s2", name="first"), change(E4, key="s3", tension=10.0))
    build = plain_head(strings=given, scale_length=SCALE)
    assert total_pull(string_loads(build)) == pytest.approx(72.5 * 7800 / 7850 + 10, abs=0.05)
    assert total_pull(()) == 0.0


def test_a_straight_string_is_cut_behind_its_post() -> None:
    # A 1 mm string straight up the head meets its post of 6 mm 100 mm from the nut; 3 turns of 7 pi, and 25 mm.
    build = plain_head(post_at(3.5, 100.0, turns=3.0), slots=(0.0,))
    (cut,) = string_cuts(lay_out(build))
    assert cut.turns == 3.0
    assert cut.to_post == pytest.approx(100.0)
    assert cut.past_post == pytest.approx(21 * math.pi + 25)
    assert cut.from_nut == pytest.approx(125 + 21 * math.pi)


@pytest.mark.parametrize(("kind", "turns"), [("wound", 2.0), ("plain", 4.0), ("nylon", 4.0)])
def test_usual_turns(kind: str, turns: float) -> None:
    row = change(post_at(3.5, 100.0), posts=(Post(key="one1"),))
    build = plain_head(row, slots=(0.0,), strings=strings(1.0, kind=kind))
    (cut,) = string_cuts(lay_out(build))
    assert cut.turns == turns


@pytest.mark.parametrize("make", READY_MADE)
def test_way_to_the_post_is_no_shorter_than_the_straight_one(make) -> None:  # type: ignore[no-untyped-def]
    layout = lay_out(make())
    cuts = string_cuts(layout)
    assert [cut.path for cut in cuts] == list(layout.paths)
    for cut in cuts:
        assert cut.to_post >= cut.path.slot.distance(cut.path.tangent) - 1e-9
