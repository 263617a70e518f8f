"""Trees for new builds: where they stand and which strings they hold."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from msgspec.structs import replace

from geometry.checks.judge import Level, findings
from geometry.document.build import Build
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.layout.layout import lay_out
from geometry.layout.trees import with_trees
from geometry.trade.hardware_library import find
from geometry.trade.string_sets import STRING_SETS, StringSet

SETS = {each.key: each for each in STRING_SETS}


def one_sided(strings: StringSet, *, left_handed: bool = False) -> Build:
    suggestion = SUGGESTIONS["one-sided"]
    hardware = find(suggestion.hardware)
    assert hardware is not None
    return new_build(
        "one-sided",
        name="Six in line",
        nut_width=suggestion.nut_width,
        string_set=strings,
        hardware=hardware,
        left_handed=left_handed,
    )


@pytest.mark.parametrize("left_handed", [False, True])
def test_a_flat_head_gets_trees_for_the_strings_that_go_far(left_handed: bool) -> None:
    bare = one_sided(SETS[SUGGESTIONS["one-sided"].string_set], left_handed=left_handed)
    build = with_trees(bare)
    assert bare.retainers == ()
    # Pairs from the treble side, held down by 6 degrees over 50 mm; the strings with near posts need none.
    assert [tree.strings for tree in build.retainers] == [("s1", "s2"), ("s3", "s4")]
    for tree in build.retainers:
        assert tree.height == pytest.approx(build.nut.slot_floor - 50 * math.tan(math.radians(6)), abs=0.006)
    held = [each for each in findings(build) if each.check == "retainer"]
    assert len(held) == 4
    assert {each.level for each in held} == {Level.FINE}
    for one, two in pairwise(build.retainers):
        assert abs(one.at.x - two.at.x) > one.half_width + two.half_width
    middles = {path.string.key: path.points[1].x for path in lay_out(build).paths if path.held}
    for tree in build.retainers:
        assert tree.at.x == pytest.approx(sum(middles[key] for key in tree.strings) / 2, abs=0.06)


def test_few_strings_and_angled_heads_get_none() -> None:
    strings = SETS[SUGGESTIONS["one-sided"].string_set]
    assert with_trees(one_sided(replace(strings, gauges=strings.gauges[:1]))).retainers == ()
    build = one_sided(strings)
    angled = replace(build, head=replace(build.head, angle_deg=13.0))
    assert with_trees(angled) == angled
