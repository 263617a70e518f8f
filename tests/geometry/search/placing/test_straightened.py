"""Straight pieces against true differences, and the room of a placement against its smallest ring."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from geometry.document.build import AlongEdge, Build, OldHole, Region, RoundRegion
from geometry.document.codec import read_build
from geometry.document.starters import STARTERS
from geometry.layout.layout import lay_out
from geometry.search.placing.best import smallest
from geometry.search.placing.climb import Task, stepped
from geometry.search.placing.handles import handles_of, through
from geometry.search.placing.standing import Kind, Span, Standing, Wish, mean_splay, standing_of
from geometry.search.placing.straightened import straightened, string_slopes
from geometry.search.rings.slack import LARGEST
from geometry.shape.close import Floats
from geometry.shape.point import Point
from tests.builds import change, four_friction, laden_head, plain_head, row, three_and_three, twelve_strings

SAMPLES = sorted((Path(__file__).parents[4] / "sample_builds").glob("*.pegwright"))
STEP = 1e-3
ALMOST = 0.02
"""Slopes agree to this where a limit does not bend or change over within the step."""

KINDS: tuple[Kind, ...] = ("even", "free")
BUILDS = {
    "three a side": three_and_three(),
    "round": four_friction(),
    "twelve": twelve_strings(),
    "laden": laden_head(),
    "taper": three_and_three(head=change(three_and_three().head, thickness_tip=12.0)),
}


def standing(build: Build, wish: Wish) -> Standing:
    found = standing_of(build, wish, len(lay_out(build).posts))
    assert found is not None
    return found


def by_differences(there: Floats, here: Floats, back: Floats) -> tuple[Floats, np.ndarray]:
    """Slopes, and where both sides agree on them."""
    ahead, behind = (there - here) / STEP, (here - back) / STEP
    return (ahead + behind) / 2, np.abs(ahead - behind) < ALMOST / 2


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", BUILDS)
def test_slopes_are_those_of_true_differences(name: str, kind: Kind) -> None:
    wish = Wish(kind=kind, pitch=Span(20.0, 50.0), inset=Span(5.0, 20.0))
    build = BUILDS[name]
    handles = handles_of(build, lay_out(build), wish)
    values = handles.values()
    here = standing(handles.apply(values), wish)
    about = straightened(here, handles, values, wish)
    strings = here.strings
    still = np.zeros((len(strings.margins), len(here.facts.posts), 2))
    of_strings = string_slopes(strings, np.arange(len(strings.margins)), still)
    checked = 0
    for number in range(len(values)):
        step = STEP * np.eye(len(values))[number]
        there, back = (standing(handles.apply(values + sign * step), wish) for sign in (1, -1))
        moves = (there.facts.at - back.facts.at) / (2 * STEP)
        checked += _agree(here, there, back, about.slopes[: len(here.rigid.margins), number])
        slopes, smooth = by_differences(there.strings.margins, strings.margins, back.strings.margins)
        assert (of_strings * moves).sum(axis=(1, 2))[smooth] == pytest.approx(slopes[smooth], abs=ALMOST)
        splay = (mean_splay(there.facts.layout) - mean_splay(back.facts.layout)) / (2 * STEP)
        signs = np.sign(about.splay)
        assert (signs * about.splay_slopes[:, number]).mean() == pytest.approx(splay, abs=1e-3)
    assert checked > 2 * len(values)


def _agree(here: Standing, there: Standing, back: Standing, told: Floats) -> int:
    """How many of the rigid rows could be compared, all of them agreeing."""
    others = [_by_name(each) for each in (there, back)]
    common = [
        (k, others[0][name], others[1][name])
        for name, k in _by_name(here).items()
        if name in others[0] and name in others[1]
    ]
    rows, ahead, behind = (np.array(each) for each in zip(*common, strict=True))
    margins = here.rigid.margins[rows]
    slopes, smooth = by_differences(there.rigid.margins[ahead], margins, back.rigid.margins[behind])
    # Breaks are told as bounds of how far a post may move, whose slope is a bound as well.
    smooth &= ~np.isin(np.array(here.rigid.checks)[rows], ["break", "plate"]) & (margins < LARGEST)
    smooth &= here.rigid.toward[rows].any(axis=(1, 2))
    assert told[rows][smooth] == pytest.approx(slopes[smooth], abs=ALMOST)
    return int(smooth.sum())


def _by_name(standing: Standing) -> dict[tuple[object, ...], int]:
    """Rows by check and parts, of those of the same name the first."""
    names = zip(standing.rigid.checks, standing.rigid.about, strict=True)
    found: dict[tuple[object, ...], int] = {}
    for k, name in enumerate(names):
        found.setdefault(name, k)
    return found


@pytest.mark.parametrize("path", SAMPLES, ids=[path.stem for path in SAMPLES])
def test_room_is_the_smallest_ring(path: Path) -> None:
    found = standing(read_build(path.read_bytes()), Wish())
    # The play of posts on a plate ends rings as well, but no search changes it.
    plays = [post.hardware.play for post in found.facts.posts if post.hardware.plate]
    assert smallest(found) == pytest.approx(max(min([found.room, *plays]), 0.0), abs=2e-3)


def test_covers_are_felt_before_they_are_met() -> None:
    # A string that comes near a high cover loses what its post moves aside, though the row does not know the way.
    cover = Region(
        key="rod",
        name="rod cover",
        shape=RoundRegion(centre=Point(-2.0, 30.0), radius=9.0),
        side="face",
        depth=5.0,
        cover_height=20.0,
    )
    build = three_and_three(keep_clear=(cover,))
    wish = Wish(kind="free")
    handles = handles_of(build, lay_out(build), wish)
    values = handles.values()
    here = standing(build, wish)
    about = straightened(here, handles, values, wish)
    covers = [n for n, parts in enumerate(here.rigid.about) if parts[-1].kind == "region"]
    near = [n for n in covers if here.rigid.checks[n] == "string over washers"]
    assert near
    assert np.abs(about.slopes[near]).max() > 0.01


@pytest.mark.parametrize("kind", KINDS)
def test_slopes_of_what_is_broken_are_those_of_true_differences(kind: Kind) -> None:
    # Bores that reach over the edge, washers, buttons and bodies in each other, turns and breaks too low, on a taper.
    three = three_and_three()
    parts = tuple(change(each, hole_height=each.hole_height - 3.0) for each in three.hardware)
    low = change(three, hardware=parts, head=change(three.head, angle_deg=0.0, thickness_tip=12.5))
    rows = tuple(change(each, rule=change(each.rule, pitch=12.0, inset=3.0)) for each in low.rows)
    build = change(low, rows=rows, nut=change(low.nut, slot_floor=0.5))
    wish = Wish(kind=kind)
    handles = handles_of(build, lay_out(build), wish)
    values = handles.values()
    here = standing(handles.apply(values), wish)
    broken = here.rigid.margins < 0
    assert {"wall", "seat", "washer gap", "button gap", "wraps", "break"} <= set(
        np.array(here.rigid.checks)[broken]
    )
    about = straightened(here, handles, values, wish)
    for number in range(len(values)):
        step = STEP * np.eye(len(values))[number]
        there, back = (standing(handles.apply(values + sign * step), wish) for sign in (1, -1))
        if not there.rigid.checks == back.rigid.checks == here.rigid.checks:
            continue
        margins = [each.rigid.margins for each in (there, here, back)]
        slopes, smooth = by_differences(*margins)
        told = about.slopes[: len(broken), number]
        assert told[broken & smooth] == pytest.approx(slopes[broken & smooth], abs=ALMOST)


def test_rows_that_come_and_go_are_matched_by_name() -> None:
    # At the very place where the bore just swallows an old hole, a step takes the row of swallowed holes away.
    # On curved sides tuners turn as they go, so that slopes are found by differences.
    build = three_and_three(outline=STARTERS["waisted"])
    post = lay_out(build).posts[1]
    hole = OldHole(key="old", at=Point(post.at.x, post.at.y - post.bore / 2 + 1.0), diameter=2.0)
    build = change(build, old_holes=(hole,))
    wish = Wish()
    handles = handles_of(build, lay_out(build), wish)
    values = handles.values()
    here = standing(build, wish)
    about = straightened(here, handles, values, wish)
    assert len(about.slopes) >= len(here.rigid.margins)
    walls = [n for n, check in enumerate(here.rigid.checks) if check == "wall"]
    # Every rule's inset moves its posts away from the edge, whatever becomes of the other row.
    insets = [n for n, handle in enumerate(handles.handles) if handle.name == "inset"]
    assert about.slopes[np.ix_(walls, insets)].sum() == pytest.approx(len(walls), abs=0.1)


def test_a_rule_that_cannot_lead_through_a_place_stays_as_near_as_it_came() -> None:
    build = plain_head(row("treble", 2))
    # No inset reaches a place beyond the edge.
    for target in (Point(70.0, 90.0), Point(0.0, 5000.0)):
        found = through(build, 0, "treble2", target)
        assert type(found.rows[0].rule) is AlongEdge
    lost = plain_head(row("treble", 2, rule=AlongEdge(start=900.0, pitch=40.0, inset=20.0)))
    assert through(lost, 0, "treble2", Point(15.0, 90.0)) == lost
    reached = through(build, 0, "treble2", Point(15.0, 90.0))
    assert lay_out(reached).posts[1].at.distance(Point(15.0, 90.0)) < 1e-6
    (rule,) = [each.rule for each in reached.rows]
    assert isinstance(rule, AlongEdge)
    assert (rule.start, rule.inset) == pytest.approx((50.0, 25.0))


def test_a_step_that_cannot_be_is_none() -> None:
    build = BUILDS["three a side"]
    wish = Wish()
    handles = handles_of(build, lay_out(build), wish)
    values = handles.values()
    here = standing(build, wish)
    about = straightened(here, handles, values, wish)
    # No room is as large as this floor.
    task = Task(values, here.room, about, 3.0, 0.0, 1.0, 0.0, 10 * LARGEST, 0.0)
    step, promised = stepped(task, [])
    assert not step.any()
    assert promised == -np.inf
