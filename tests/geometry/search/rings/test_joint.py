"""Joint rings for the window: as the allowance has them, and never too large while they are only bounds."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from msgspec.structs import replace

from geometry.document.build import Build
from geometry.document.outline import Nodes
from geometry.layout.layout import Layout, lay_out
from geometry.search.rings.allowance import Joint, bounded_rings, exact_rings
from geometry.search.rings.allowance_words import say_rings
from geometry.shape.point import Vector
from tests.amount import sampled
from tests.builds import READY_MADE, of_rear, plain_head, row
from tests.strategies import builds

RingsOf = Callable[[Build, Layout], Joint]

# As in the tests of the allowance: seats 9 mm to each side of their posts, bodies 16 mm long, a head 80 mm wide.


@pytest.mark.parametrize("rings_of", [bounded_rings, exact_rings])
def test_gaps_between_rigid_parts_are_exact_at_once(rings_of: RingsOf) -> None:
    # 24 mm apart: 8 mm between the bodies, 4 for each; the lone one has 40 - 25 - 9 = 6 mm to the edge.
    two, one = of_rear((25.0, 80.0), (25.0, 104.0)), of_rear((25.0, 100.0))
    found = rings_of(two, lay_out(two))
    assert [(ring.radius, ring.broken, ring.even) for ring in found.rings] == [(4.0, False, None)] * 2
    assert [ring.at for ring in found.rings] == [post.at for post in lay_out(two).posts]
    assert found.told
    assert [ring.radius for ring in rings_of(one, lay_out(one)).rings] == [6.0]


def test_what_is_broken_is_told_of_those_it_is_about() -> None:
    build = of_rear((25.0, 80.0), (25.0, 95.0), (-20.0, 100.0))
    found = exact_rings(build, lay_out(build))
    assert [(ring.radius, ring.broken) for ring in found.rings] == [(0.0, True), (0.0, True), (10.0, False)]
    assert say_rings(found) == "Holes spare A, spare B have no room to miss: a limit is broken already."


def test_evenness_goes_with_the_rings() -> None:
    build = plain_head(row(count=3))
    # Of the 0.5 mm that a row may be uneven, two neighbours share all.
    assert [ring.even for ring in bounded_rings(build, lay_out(build)).rings] == pytest.approx([0.25] * 3)


def test_without_a_sound_outline_nothing_is_told() -> None:
    build = of_rear((25.0, 100.0))
    assert isinstance(build.outline, Nodes)
    low, *rest = build.outline.nodes
    raised = replace(low, at=low.at + Vector(0.0, 5.0))
    opened = replace(build, outline=Nodes(nodes=(raised, *rest)))
    found = exact_rings(opened, lay_out(opened))
    assert not found.told
    assert [(ring.radius, ring.broken) for ring in found.rings] == [(0.0, True)]
    assert "cannot be told" in say_rings(found)


def test_a_build_without_tuners_has_none() -> None:
    found = bounded_rings(plain_head(), lay_out(plain_head()))
    assert found.rings == ()
    assert say_rings(found) == "There are no holes yet."


@pytest.mark.parametrize("ready", READY_MADE, ids=lambda ready: ready.__name__)
def test_a_bound_is_never_more_than_the_ring(ready: Callable[[], Build]) -> None:
    build = ready()
    layout = lay_out(build)
    bounded, exactly = bounded_rings(build, layout), exact_rings(build, layout)
    assert (bounded.exact, exactly.exact) == (False, True)
    assert min(ring.radius for ring in bounded.rings) <= min(ring.radius for ring in exactly.rings)
    assert [ring.broken for ring in bounded.rings] == [ring.broken for ring in exactly.rings]


@settings(max_examples=sampled(12, of=30), deadline=None)
@given(build=builds())
def test_every_post_has_a_ring_whatever_the_build(build: Build) -> None:
    layout = lay_out(build)
    for found in (bounded_rings(build, layout), exact_rings(build, layout)):
        assert [ring.post for ring in found.rings] == [post.key for post in layout.posts]
        assert all(ring.radius == 0 for ring in found.rings if ring.broken)
