"""Half-drawn heads and half-made builds are judged, never refused: nothing here may raise."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from geometry.checks.judge import CHECKS, EDGE_CHECKS, Level, findings
from geometry.checks.words import say
from geometry.document.build import AlongEdge, Build, Head, Moved, OnLine, OnPlate, StraightPull
from geometry.document.outline import Bend, Curve, Node, Nodes, Starter
from geometry.document.starters import STARTERS
from geometry.layout.layout import Layout, lay_out
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import Plate
from geometry.trade.sentence import say_note
from tests.amount import sampled
from tests.builds import (
    PLAIN_TUNER,
    READY_MADE,
    REAR_TUNER,
    change,
    found,
    laden_head,
    nodes,
    plain_head,
    rectangle,
    row,
    strings,
    three_and_three,
    tuner,
)

NAMES = {check.__name__.replace("_", " ") for check in EDGE_CHECKS}


def judged(build: Build) -> Layout:
    """The layout of a build whose findings all have their sentences."""
    layout = lay_out(build)
    for finding in findings(build, layout):
        assert say(finding)
        assert say(finding, "inch")
    return layout


@pytest.mark.parametrize(
    "places",
    [
        (),
        ((20.0, 0.0),),
        ((20.0, 0.0), (20.0, 0.0)),
        ((20.0, 0.0), (-20.0, 0.0)),
        ((20.0, 0.0), (20.0, 100.0)),
        ((20.0, 0.0), (20.0, 100.0), (-20.0, 100.0)),
        ((-20.0, 0.0), (-20.0, 100.0), (20.0, 100.0), (20.0, 0.0)),
        ((20.0, 0.0), (-20.0, 100.0), (20.0, 100.0), (-20.0, 0.0)),
        ((20.0, 0.0), (20.0, -100.0), (-20.0, -100.0), (-20.0, 0.0)),
        ((20.0, 0.0), (20.0, 100.0), (20.0, 100.0), (-20.0, 100.0), (-20.0, 0.0)),
        ((20.0, 3.0), (20.0, 100.0), (-20.0, 100.0), (-20.0, 0.0)),
        ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0)),
    ],
)
def test_outline_of_few_or_odd_nodes(places: tuple[tuple[float, float], ...]) -> None:
    for build in (three_and_three(outline=nodes(*places)), plain_head(outline=nodes(*places))):
        judged(build)


@pytest.mark.parametrize(
    ("places", "note"),
    [
        ((), "The outline has no line yet."),
        (
            ((20.0, 3.0), (20.0, 90.0), (-20.0, 90.0), (-20.0, 0.0)),
            "The right end of the outline is not on the nut line.",
        ),
        (
            ((20.0, 0.0), (20.0, 90.0), (-20.0, 90.0), (-20.0, 3.0)),
            "The left end of the outline is not on the nut line.",
        ),
        (((20.0, 0.0), (-20.0, 90.0), (20.0, 90.0), (-20.0, 0.0)), "The outline crosses or touches itself."),
        (
            ((-20.0, 0.0), (-20.0, 90.0), (20.0, 90.0), (20.0, 0.0)),
            "The outline runs clockwise; it goes from the right nut end round the tip.",
        ),
        (((20.0, 0.0), (0.0, 0.0), (-20.0, 0.0)), "The outline does not rise above the nut line."),
    ],
)
def test_what_needs_the_edge_cannot_be_told_while_the_outline_is_unsound(
    places: tuple[tuple[float, float], ...], note: str
) -> None:
    all_of_it = findings(three_and_three(outline=nodes(*places)))
    outline = [each for each in all_of_it if each.check == "outline"]
    assert note in [each.note for each in outline]
    assert {each.level for each in outline} == {Level.STOP}
    of_edge = [each for each in all_of_it if each.check in NAMES]
    assert {each.check for each in of_edge} == NAMES
    assert all(each.level is Level.WATCH and each.measured is None for each in of_edge)


def test_sound_outline_has_its_one_fine_finding() -> None:
    (outline,) = found(three_and_three(), "outline")
    assert outline.level is Level.FINE


@pytest.mark.parametrize(
    "build",
    [
        plain_head(),
        plain_head(row(count=0)),
        plain_head(row()),
        plain_head(strings=strings(1.0, 1.0)),
        plain_head(row(count=2), strings=strings(1.0)),
        plain_head(row(), slots=(5.0, -5.0)),
        plain_head(row(rule=AlongEdge(start=500.0, pitch=10.0, inset=10.0)), slots=(5.0, -5.0)),
        plain_head(row(count=2), hardware=(tuner(body=None, seat=None, washer=None),), slots=(5.0, -5.0)),
        plain_head(row(count=2), hardware=(change(REAR_TUNER, key="plain"),), slots=(5.0, -5.0)),
        plain_head(row(), slots=(0.0,), scale_length=1.0, bridge_spread=0.0),
    ],
)
def test_build_of_few_parts(build: Build) -> None:
    judged(build)


def test_every_check_is_named_once() -> None:
    assert len(set(CHECKS)) == len(CHECKS)


@pytest.mark.parametrize("ready", READY_MADE)
def test_ready_made_heads_are_sound_and_placed(ready: Callable[..., Build]) -> None:
    build = ready()
    layout = judged(build)
    assert layout.problems == ()
    assert len(layout.posts) == sum(len(each.posts) for each in build.rows)
    assert {each.level for check in ("outline", "placement", "order") for each in found(build, check)} == {
        Level.FINE
    }


# Soups

coordinates = st.one_of(st.floats(-100, 100), st.sampled_from([0.0, 20.0, -20.0, 1e-7]))
places = st.builds(Point, coordinates, coordinates)
vectors = st.builds(Vector, coordinates, coordinates)
runs: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.builds(Bend, bulge=st.one_of(st.floats(-20, 20), st.sampled_from([0.0, 1.0, -1.0, 1e-9]))),
    st.builds(Curve, leave=vectors, arrive=vectors),
)


@st.composite
def soups(draw: st.DrawFn) -> Nodes:
    """Any nodes at all, now and then twice on one place."""
    drawn = draw(st.lists(st.tuples(places, runs), max_size=7))
    doubled = [each for each in drawn for _ in range(draw(st.sampled_from([1, 1, 1, 2])))]
    return Nodes(
        nodes=tuple(
            Node(key=f"n{n}", at=at, onward=run) if run is not None else Node(key=f"n{n}", at=at)
            for n, (at, run) in enumerate(doubled)
        )
    )


lengths = st.floats(0.1, 250.0)
PLATE = Plate(posts=3, pitch=23.0, beyond=5.0, across=14.0)
rules: st.SearchStrategy[Any] = st.one_of(
    st.builds(AlongEdge, start=lengths, pitch=lengths, inset=lengths),
    st.builds(OnLine, start=lengths, pitch=lengths, inset=lengths, inset_last=st.none() | lengths),
    st.builds(StraightPull, start=lengths, pitch=lengths, exact=st.booleans()),
    st.builds(OnPlate, start=lengths, inset=lengths, inset_last=st.none() | lengths),
)
slow = settings(max_examples=sampled(20, of=60), deadline=None, suppress_health_check=[HealthCheck.too_slow])


@slow
@given(soups())
def test_any_nodes_at_all(outline: Nodes) -> None:
    judged(change(laden_head(), outline=outline))


@slow
@given(
    rules,
    rules,
    st.integers(0, 4),
    st.sampled_from([PLAIN_TUNER, tuner(plate=PLATE), change(REAR_TUNER, key="plain")]),
    st.sampled_from([rectangle(), *STARTERS.values()]),
    st.sampled_from(["right", "left"]),
)
def test_any_rule_on_any_head(
    treble: Any, bass: Any, count: int, hardware: Any, outline: Nodes | Starter, hand: Any
) -> None:
    rows = (row("treble", count, rule=treble), row("bass", 3, rule=bass))
    build = plain_head(
        *rows, outline=outline, hardware=(hardware,), slots=(15.0, 7.0, 0.0, -8.0, -15.0), hand=hand
    )
    layout = judged(build)
    placed = {post.row for post in layout.posts}
    refused = sum(bool(each.posts) and each.key not in placed for each in rows)
    # A row that is placed may still have another number of posts than its plate.
    told = [say_note(problem, "mm") for problem in layout.problems]
    unfit = [problem for problem in told if problem.startswith("The plate of post")]
    assert len(layout.problems) - len(unfit) == refused


@slow
@given(st.floats(-300, 300), st.floats(-300, 300), st.floats(-180, 180), st.floats(-180, 180))
def test_any_place_by_hand(along: float, inward: float, turned: float, grain: float) -> None:
    treble, bass = three_and_three().rows
    post = change(treble.posts[1], turned_deg=turned)
    treble = change(
        treble,
        posts=(treble.posts[0], post, treble.posts[2]),
        moved=(Moved(post=post.key, along=along, inward=inward),),
    )
    judged(three_and_three(rows=(treble, bass), head=Head(grain_deg=grain)))


@slow
@given(
    st.builds(
        Starter,
        shape=st.sampled_from(sorted(STARTERS)),
        length=lengths,
        width_low=lengths,
        width_high=lengths,
        shoulder=lengths,
        tip_rise=st.floats(0, 60),
        corner=st.floats(0, 40),
        waist=st.floats(0, 30),
        lean_deg=st.floats(0, 45),
    )
)
def test_any_measures_of_a_starter(outline: Starter) -> None:
    judged(three_and_three(outline=outline))


def test_places_where_an_outline_crosses_itself_are_counted() -> None:
    # The second way down crosses the first one twice.
    twice = nodes((20, 0), (20, 60), (-30, 60), (-30, 50), (30, 40), (30, 30), (-20, 20), (-20, 0))
    notes = [each.note for each in findings(three_and_three(outline=twice)) if each.check == "outline"]
    assert notes == [f"The outline crosses or touches itself: place {n} of 2." for n in (1, 2)]
