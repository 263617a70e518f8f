"""The best placement: closed forms on plain heads, and laws on others."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import AlongEdge, Build, Moved, OldHole, OnLine, OnPlate, StraightPull
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.search.placing.best import best
from geometry.search.placing.standing import Kind, Span, Wish, mean_splay
from geometry.shape.point import Point
from tests.amount import in_turns
from tests.broken_heads import broken_head
from tests.builds import (
    REAR_TUNER,
    bass_two_and_two,
    change,
    eight_on_plates,
    laden_head,
    mirror_of,
    nodes,
    plain_head,
    rectangle,
    row,
    six_in_line,
    three_and_three,
)
from tests.generated_builds import generated

SAMPLES = Path(__file__).parents[4] / "sample_builds"
KINDS: tuple[Kind, ...] = ("even", "free")
TELLABLE = 0.01
"""Of a ring in mm: what the search gives away among equals, with rounding."""


def sample(name: str) -> Build:
    return read_build((SAMPLES / f"{name}.pegwright").read_bytes())


def places(build: Build) -> dict[str, Point]:
    return {post.key: post.at for post in lay_out(build).posts}


def rear(count: int, width: float, length: float, start: float, pitch: float, inset: float) -> Build:
    """A plain head of this size with one row of rear-button tuners and no strings."""
    rule = AlongEdge(start=start, pitch=pitch, inset=inset)
    return plain_head(
        row("treble", count, rule=rule, hardware="rear"),
        outline=rectangle(width, length),
        hardware=(REAR_TUNER,),
    )


# Closed forms


@pytest.mark.parametrize("kind", KINDS)
def test_a_single_post_between_two_edges_ends_in_the_middle(kind: Kind) -> None:
    # Of a head 30 wide, the seat is 18 across: 15 - 9 = 6 in the middle; bore and washer have more room.
    found = best(rear(1, 30.0, 200.0, 60.0, 40.0, 11.0), Wish(kind=kind))
    assert found.before == pytest.approx(2.0, abs=1e-3)
    assert found.after == pytest.approx(6.0, abs=TELLABLE)
    assert places(found.build)["treble1"].x == pytest.approx(0.0, abs=TELLABLE)
    assert found.forbidden is None


@pytest.mark.parametrize("kind", KINDS)
def test_two_posts_share_the_length_of_a_short_head(kind: Kind) -> None:
    # First post: its seat, 14 long, on the flat back from 5: y - 12. Last post: a bore of 10 needs as much to the end:
    # 60 - y - 10. Buttons of 18, half a mm apart: pitch - 18.5, shared by two. All equal: (60 - 40.5) / 4. The head is
    # as wide as that leaves to seats, 18 across, in its middle, so that no slanted row is better.
    ring = (60.0 - 40.5) / 4
    found = best(rear(2, 18.0 + 2 * ring, 60.0, 14.0, 22.0, 12.0), Wish(kind=kind))
    assert found.after == pytest.approx(ring, abs=TELLABLE)
    at = places(found.build)
    assert at["treble1"].y == pytest.approx(12.0 + ring, abs=3 * TELLABLE)
    assert at["treble2"].y == pytest.approx(50.0 - ring, abs=3 * TELLABLE)


def test_what_can_be_no_better_is_left_alone() -> None:
    build = rear(1, 30.0, 200.0, 60.0, 40.0, 15.0)
    assert best(build).build is build


def test_a_post_goes_to_the_middle_between_an_edge_and_an_old_hole() -> None:
    # Across the grain the web needs half of the larger bore, 5: x + 15 - 5 - 1 - 5 to the hole of 2 at x = -15; the
    # seat of 18 needs 9 to the edge at x = 25: 25 - x - 9. Equal at x = 6: 10 each, which is where rings end.
    hole = OldHole(key="old", at=Point(-15.0, 60.0), diameter=2.0, side="face")
    build = change(rear(1, 50.0, 200.0, 60.0, 40.0, 12.0), old_holes=(hole,))
    found = best(build, Wish(kind="even"))
    assert found.before == pytest.approx(3.0, abs=1e-3)
    assert found.after == pytest.approx(10.0, abs=TELLABLE)


# Laws


@pytest.mark.parametrize(("number", "kind"), in_turns([4, 7, 17], KINDS))
def test_never_worse_and_the_rules_keep_their_kind(number: int, kind: Kind) -> None:
    build = generated(number)
    found = best(build, Wish(kind=kind))
    assert found.after >= found.before
    for old, new in zip(build.rows, found.build.rows, strict=True):
        assert type(old.rule) is type(new.rule)
        if kind == "even":
            assert new.moved == ()
        else:
            assert new.rule == old.rule
    assert change(found.build, rows=build.rows) == build
    broken = {each.check for each in findings(found.build) if each.level is Level.STOP}
    assert broken <= {each.check for each in findings(build) if each.level is Level.STOP}


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_seed_finds_the_same(kind: Kind) -> None:
    build = sample("three-string-stick-dulcimer")
    assert best(build, Wish(kind=kind, seed=3)) == best(build, Wish(kind=kind, seed=3))


@pytest.mark.parametrize("kind", KINDS)
def test_another_seed_finds_as_much(kind: Kind) -> None:
    build = sample("fails-thin-wall")
    rings = [best(build, Wish(kind=kind, seed=seed)).after for seed in (0, 1)]
    assert rings[0] == pytest.approx(rings[1], rel=0.01)


@pytest.mark.parametrize(("build", "kind"), in_turns([three_and_three(), six_in_line()], KINDS))
def test_the_mirror_image_has_the_mirrored_best(build: Build, kind: Kind) -> None:
    one, other = best(build, Wish(kind=kind)), best(mirror_of(build), Wish(kind=kind))
    assert other.before == pytest.approx(one.before, abs=1e-3)
    assert other.after == pytest.approx(one.after, abs=TELLABLE)


@pytest.mark.parametrize(("fixed", "kind"), in_turns([("t1",), ("t2", "b3"), ("t1", "t3")], KINDS))
def test_fixed_posts_stay(kind: Kind, fixed: tuple[str, ...]) -> None:
    build = three_and_three()
    found = best(build, Wish(kind=kind, fixed=fixed))
    before, after = places(build), places(found.build)
    for key in fixed:
        assert before[key].distance(after[key]) < 1e-6
    assert found.after >= found.before
    assert found.build is not build


def test_a_fixed_post_that_was_moved_by_hand_stays_though_its_row_moves() -> None:
    build = three_and_three()
    treble = change(build.rows[0], moved=(Moved(post="t2", along=0.9, inward=-0.4),))
    build = change(build, rows=(treble, *build.rows[1:]))
    found = best(build, Wish(fixed=("t2",)))
    assert found.build.rows[0].rule != treble.rule
    assert places(build)["t2"].distance(places(found.build)["t2"]) < 1e-6


@pytest.mark.parametrize("kind", KINDS)
def test_all_fixed_is_nothing_to_do(kind: Kind) -> None:
    build = bass_two_and_two()
    assert best(build, Wish(kind=kind, fixed=tuple(places(build)))).build is build


@pytest.mark.parametrize(
    ("bounds", "kind"),
    in_turns(
        [(Span(40.0, 43.0), Span(11.0, 12.0)), (Span(44.0, 60.0), None), (None, Span(13.0, 13.5))], KINDS
    ),
)
def test_wished_bounds_are_kept(bounds: tuple[Span | None, Span | None], kind: Kind) -> None:
    pitch, inset = bounds
    found = best(three_and_three(), Wish(kind=kind, pitch=pitch, inset=inset))
    layout = lay_out(found.build)
    assert layout.edge is not None
    for post, following in zip(layout.posts, layout.posts[1:], strict=False):
        if pitch is not None and post.row == following.row:
            assert pitch.least - 1e-6 <= post.at.distance(following.at) <= pitch.most + 1e-6
    for post in layout.posts:
        if inset is not None:
            distance = layout.edge.contour.nearest(post.at).distance
            assert inset.least - 1e-6 <= distance <= inset.most + 1e-6


def test_bounds_closer_than_typed_numbers_are_kept() -> None:
    found = best(bass_two_and_two(), Wish(inset=Span(19.3456, 19.3457)))
    rules = [each.rule for each in found.build.rows]
    assert all(isinstance(rule, AlongEdge) and 19.3456 <= rule.inset <= 19.3457 for rule in rules)


def test_even_rows_are_no_better_where_posts_moved_by_hand_have_more_room() -> None:
    free = best(sample("tenor-ukulele"), Wish(kind="free"))
    assert best(free.build, Wish(kind="even")).build is free.build


def test_straight_pull_has_its_price() -> None:
    build = three_and_three()
    cheap, dear = (best(build, Wish(kind="free", straight=weight)) for weight in (0.0, 2.0))
    splays = [mean_splay(lay_out(found.build)) for found in (cheap, dear)]
    assert splays[1] < splays[0]
    assert dear.after <= cheap.after
    assert dear.after - 2.0 * splays[1] >= cheap.after - 2.0 * splays[0] - TELLABLE


# Rules of other kinds


@pytest.mark.parametrize("kind", KINDS)
def test_rows_on_a_plate_keep_to_it(kind: Kind) -> None:
    found = best(eight_on_plates(rows=_nearer(eight_on_plates())), Wish(kind=kind))
    assert found.before == 0.0
    # The post of 6 mm turns in 6.1 mm: no hole on a plate may miss by more than half of what is between them.
    assert found.after == pytest.approx(0.05)
    assert all(isinstance(each.rule, OnPlate) and not each.moved for each in found.build.rows)
    assert [plate.fit for plate in lay_out(found.build).plates] == pytest.approx([0.0, 0.0], abs=1e-9)
    walls = [each.margin or 0.0 for each in findings(found.build) if each.check == "wall"]
    assert min(walls) > 1.0


def test_the_other_row_is_looked_after_where_one_has_no_place() -> None:
    build = eight_on_plates()
    lost = change(build.rows[1], rule=OnPlate(start=500.0, inset=12.0))
    found = best(eight_on_plates(rows=(_nearer(build)[0], lost)))
    assert found.after == pytest.approx(0.05)
    assert found.build.rows[1] == lost
    assert found.forbidden is not None
    assert "has no place" in found.forbidden


def _nearer(build: Build) -> tuple[object, ...]:
    return tuple(change(each, rule=change(each.rule, inset=5.0)) for each in build.rows)


def test_straight_pull_and_lines_with_an_angle_change_their_own_numbers() -> None:
    build = bass_two_and_two()
    treble, bass = build.rows
    rules = (
        StraightPull(start=50.0, pitch=50.0),
        OnLine(start=45.0, pitch=52.0, inset=18.0, inset_last=20.0),
    )
    build = change(build, rows=(change(treble, rule=rules[0]), change(bass, rule=rules[1])))
    found = best(build)
    assert found.after >= found.before
    assert [type(each.rule) for each in found.build.rows] == [StraightPull, OnLine]


@pytest.mark.parametrize("kind", KINDS)
def test_a_head_with_a_bit_of_everything(kind: Kind) -> None:
    found = best(laden_head(), Wish(kind=kind))
    assert found.after >= found.before


# What cannot be


def test_where_nothing_else_is_feasible_the_tuners_stay_and_it_says_what_forbids_it() -> None:
    # Their bodies are wider than 22 mm: what keeps the wished pitch overlaps, and the build does not.
    build = sample("six-in-line")
    found = best(build, Wish(pitch=Span(20.0, 22.0)))
    assert found.build is build
    assert found.after == found.before > 0.0
    assert found.forbidden is None
    assert found.refused is not None
    assert found.refused.startswith("Body ")


def test_a_head_too_narrow_shows_the_least_bad() -> None:
    # The seat is 18 across and the head 14 wide: in the middle it hangs over by 2 on both sides.
    found = best(rear(1, 14.0, 200.0, 60.0, 40.0, 4.0))
    assert (found.before, found.after) == (0.0, 0.0)
    assert found.forbidden is not None
    assert places(found.build)["treble1"].x == pytest.approx(0.0, abs=TELLABLE)


@pytest.mark.parametrize(
    "outline", [nodes((40, 0), (40, 100), (-40, 0), (-40, 100)), nodes((40.0, 0.0)), nodes()]
)
def test_without_a_sound_outline_nothing_is_looked_for(outline: object) -> None:
    build = plain_head(row(), outline=outline)
    found = best(build)
    assert found.build is build
    assert found.forbidden is not None


def test_without_posts_there_is_nothing_to_do() -> None:
    build = plain_head()
    assert best(build).build is build


def test_rows_that_have_no_place_are_said_to_have_none() -> None:
    build = rear(2, 60.0, 100.0, 30.0, 250.0, 20.0)
    found = best(build)
    assert found.build is build
    assert found.forbidden is not None
    assert "ends before a place" in found.forbidden


def test_a_row_that_runs_out_of_the_head_is_closed_up() -> None:
    build = rear(2, 60.0, 100.0, 30.0, 62.0, 20.0)
    assert lay_out(build).posts == ()
    found = best(build)
    # Of 100, 12 are needed below and 10 above, 18.5 in between, and all four share the rest: more than rings have.
    assert found.before == 0.0
    assert found.after == pytest.approx(10.0, abs=TELLABLE)
    assert len(lay_out(found.build).posts) == 2


@pytest.mark.parametrize("number", [5, 10])
def test_the_share_that_is_told_grows_to_the_end_however_long_a_search_takes(number: int) -> None:
    shares: list[float] = []
    best(broken_head(number), progress=lambda share, _: shares.append(share))
    assert len(shares) > 20
    assert all(one < two < 1.0 for one, two in pairwise(shares))


def test_progress_is_told_and_may_end_the_search() -> None:
    told: list[tuple[float, float]] = []
    best(bass_two_and_two(), progress=lambda share, room: told.append((share, room)))
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert 0.0 < shares[0] <= shares[-1] < 1.0

    def enough(_share: float, _room: float) -> None:
        raise InterruptedError

    with pytest.raises(InterruptedError):
        best(bass_two_and_two(), progress=enough)
