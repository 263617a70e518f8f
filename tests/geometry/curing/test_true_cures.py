"""A cure can be made, and what is said of one is so: of trees, bad outlines, undrilled holes, mirrored sides."""

from __future__ import annotations

import pytest

from geometry.checks.judge import Level
from geometry.curing.case import Case, Ladder, Trial, head_of
from geometry.curing.cures import cures_of
from geometry.curing.heights import lower_tree
from geometry.curing.parts import over_the_scar
from geometry.curing.places import straighter
from geometry.curing.strings import other_gauge
from geometry.document.build import AlongEdge, Blank, Build, OldHole, OnPlate, Retainer, StraightPull
from geometry.document.edits import move_post, set_drilled
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.bore_fit import drawn_bore, with_drawn_bore
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from tests.builds import (
    change,
    closest,
    eight_on_plates,
    nodes,
    plain_head,
    row,
    six_in_line,
    three_and_three,
    turns_too_low,
)
from tests.geometry.curing.test_cures import by, cured, near_the_edge, told

# Trees


def low_tree(height: float) -> Build:
    """A tree over strings of 0.91 and 1.17 mm on a nut that hardly rises over the face."""
    build = six_in_line()
    tree = Retainer(key="t1", at=Point(-5.0, 60.0), height=height, strings=("s5", "s6"))
    return change(build, nut=change(build.nut, slot_floor=1.0), retainers=(tree,))


def tree_ladder(build: Build) -> Ladder:
    (ladder,) = lower_tree(Case(head_of(build), closest(build, "break", "6")))
    assert isinstance(ladder, Ladder)
    return ladder


def test_no_tree_presses_its_strings_into_the_wood() -> None:
    """Its height is that of their centres: at less than a diameter the thickest has not its radius of air."""
    assert not any("set tree" in act for act in told(low_tree(0.8), "break"))
    assert tree_ladder(low_tree(0.8)).change(1) is None


def test_a_tree_comes_down_to_the_thickest_of_its_strings() -> None:
    """46 thousandths are 1.1684 mm: from 1.4 mm two steps of 0.1 are left."""
    ladder = tree_ladder(low_tree(1.4))
    assert ladder.most == 2
    assert ladder.change(2) is not None
    assert ladder.change(3) is None


# The outline


def test_on_a_bad_outline_what_is_not_known_does_not_clear() -> None:
    """Its right end is 3 mm over the nut line: how low the turns lie then is not known."""
    bad = change(turns_too_low(), outline=nodes((40.0, 3.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0)))
    found = cured(bad, "wraps")
    assert found.cures == ()
    assert found.hand.startswith("Mend the outline first")


# What is said where nothing is drilled


def narrow_bore() -> Build:
    """In hard maple the bore is 0.4 mm narrower than drawn, and has no room to be wider 9 mm from the edge."""
    build = six_in_line()
    own, tuner = build.rows[0], build.hardware[0]
    return change(
        build,
        head=change(build.head, wood="hard maple"),
        rows=(change(own, rule=change(own.rule, inset=9.0)),),
        hardware=(with_drawn_bore(tuner, drawn_bore(tuner) - 0.4),),
    )


def test_a_hole_is_only_called_drilled_where_one_is() -> None:
    build = narrow_bore()
    found = cured(build, "bore fit")
    assert found.cures == ()
    assert "drilled" not in found.hand
    assert "another limit" in found.hand
    assert cured(set_drilled(build, "b2", drilled=True), "bore fit").hand.startswith("A hole of these")


def by_pull() -> Build:
    build = eight_on_plates()
    pull = StraightPull(start=34.0, pitch=24.5)
    return change(build, rows=tuple(change(each, rule=pull) for each in build.rows))


def test_a_row_for_straight_pull_is_set_by_the_holes_of_its_plate() -> None:
    build = by_pull()
    finding = closest(build, "plate fit")
    first = cures_of(head_of(build), finding).cures[0]
    assert first.act.endswith("by the holes of the plate")
    assert any(isinstance(each.rule, OnPlate) for each in first.build.rows)
    layout = lay_out(first.build)
    own = next(plate for plate in layout.plates if plate.posts[0] == finding.about[0].key)
    assert own.fit == pytest.approx(0.0, abs=1e-6)


def test_holes_of_a_plate_are_only_where_they_are_once_drilled() -> None:
    build = move_post(eight_on_plates(), "t2", 0.4, 0.0)
    assert cured(build, "plate fit").cures
    drilled = build
    for number in range(1, 5):
        drilled = set_drilled(drilled, f"t{number}", drilled=True)
    assert cured(drilled, "plate fit").hand.startswith("The holes are where they are")


def uneven() -> Build:
    """Post 4 stands 1 mm further than its rule has it, for a hole that is in the way there."""
    build = six_in_line()
    post = lay_out(build).post("b3")
    hole = OldHole("old", post.at - post.ruled.along * 9.5, 3.0, depth=5.0)
    return change(build, rows=move_post(build, "b3", 1.0, 0.0).rows, old_holes=(hole,))


def test_a_row_that_gives_way_to_a_hole_is_not_called_drilled() -> None:
    found = cured(uneven(), "evenness")
    assert found.cures == ()
    assert "drilled" not in found.hand
    assert "limit" in found.hand
    one_drilled = set_drilled(uneven(), "b3", drilled=True)
    assert "drilled" in cured(one_drilled, "evenness").hand


# More of what is worth a look


def test_a_watch_is_not_cured_by_deepening_another() -> None:
    """The wall is 0.35 mm short of 5; inward lies an old hole, whose web is 2 mm short of 7.5 already."""
    build = near_the_edge(0.35)
    at = lay_out(build).posts[0].at
    build = change(build, old_holes=(OldHole("old", Point(at.x - 5.0 - 3.0 - 5.5, at.y), 6.0),))
    assert closest(build, "web").level is Level.WATCH
    assert not any("inward" in act for act in told(build, "wall"))


def test_what_cures_a_stop_says_what_it_deepens() -> None:
    """The same with a wall 2.1 mm short of 5, of which 3 are needed, and a web that has more to lose."""
    build = near_the_edge(2.1)
    at = lay_out(build).posts[0].at
    build = change(build, old_holes=(OldHole("old", Point(at.x - 5.0 - 3.0 - 7.4, at.y), 6.0),))
    assert closest(build, "wall").level is Level.STOP
    cure = by(cured(build, "wall"), "move post spare A by", "inward")
    assert [each.check for each in cure.fresh] == ["web"]


def test_no_cure_is_told_twice() -> None:
    """A row of one post moves as the post by itself does."""
    acts = told(near_the_edge(1.0), "wall")
    assert len(set(acts)) == len(acts) > 1


# Both sides of a head that is alike


def on_both_sides(build: Build, inward: float) -> Build:
    return move_post(move_post(build, "t2", 0.0, inward), "b2", 0.0, inward)


def test_posts_that_mirror_each_other_go_back_together() -> None:
    cure = cured(on_both_sides(three_and_three(), -7.0), "wall").cures[0]
    assert cure.act == "put posts 2 and 5 back in their rows"
    assert cure.build == three_and_three()


def test_a_post_whose_partner_is_drilled_does_not_go_back_alone() -> None:
    build = set_drilled(on_both_sides(three_and_three(), -7.0), "b2", drilled=True)
    assert not any(act.startswith("put post") for act in told(build, "wall"))


def mirrored(build: Build, *posts: str) -> bool:
    layout = lay_out(build)
    right, left = (layout.post(post).at for post in posts)
    return right.mirrored.distance(left) < 1e-3


def test_both_tuners_move_where_one_hides_a_hole() -> None:
    build = three_and_three()
    post = lay_out(build).post("t2")
    scarred = change(build, old_holes=(OldHole("old", post.at + post.ruled.along * 9.0, 3.0),))
    (trial,) = over_the_scar(Case(head_of(scarred), closest(scarred, "scar")))
    assert isinstance(trial, Trial)
    assert trial.act == "move posts 2 and 5 over the old hole, by 9 mm"
    assert mirrored(trial.build, "t2", "b2")
    assert lay_out(trial.build).post("t2").at.distance(scarred.old_holes[0].at) < 0.01


def test_rules_change_on_both_sides() -> None:
    build = three_and_three()
    (trial,) = straighter(Case(head_of(build), closest(build, "splay")))
    assert isinstance(trial, Trial)
    assert trial.act == "set posts 1 to 6 for straight pull"
    assert all(isinstance(each.rule, StraightPull) for each in trial.build.rows)
    plates = eight_on_plates()
    loose = AlongEdge(start=34.0, pitch=24.5, inset=12.0)
    uneven_plates = change(plates, rows=tuple(change(each, rule=loose) for each in plates.rows))
    first = cured(uneven_plates, "plate fit").cures[0]
    assert first.act == "set posts 1a to 4b by the holes of the plate"
    assert first.build.rows == plates.rows


def run_out(pitch: float) -> Build:
    """Rows whose posts stand so far apart that they run out of the head."""
    build = three_and_three()
    return change(build, rows=tuple(change(each, rule=change(each.rule, pitch=pitch)) for each in build.rows))


@pytest.mark.parametrize(("units", "step"), [("mm", 0.1), ("inch", 0.254)])
def test_rows_that_run_out_close_up_on_both_sides_and_are_named(units: Units, step: float) -> None:
    cure = by(cured(run_out(80.0), "placement", Shop(units=units)), "set posts 1 to 6")
    assert cure.act.endswith("from post to post")
    pitches = {each.rule.pitch for each in cure.build.rows}  # type: ignore[union-attr]
    assert len(pitches) == 1
    (pitch,) = pitches
    assert pitch / step == pytest.approx(round(pitch / step))
    assert len(lay_out(cure.build).posts) == 6


# What an inch shop can buy


INCHES = Shop(units="inch")


def test_boards_are_told_in_sixteenths_rounded_up() -> None:
    """The head is 80 mm wide, 40 to a side: 1.5748 in, so 1 5/8."""
    build = plain_head(row("treble"))
    small = change(build, head=change(build.head, blank=Blank(left=39.5, right=45.0, length=205.0)))
    (cure,) = cured(small, "blank", INCHES).cures
    assert cure.act.startswith("take a larger board: 1 5/8 in to the left")
    assert cure.build.head.blank == Blank(left=1.625 * 25.4, right=45.0, length=205.0)


def test_screws_are_shortened_by_sixteenths() -> None:
    thin = three_and_three()
    thin = change(thin, head=change(thin.head, thickness_nut=11.0, thickness_tip=11.0))
    cure = by(cured(thin, "screw depth", INCHES), "use screws", "shorter")
    shorter = thin.hardware[0].screws[0].length - cure.build.hardware[0].screws[0].length
    assert shorter * 16 / 25.4 == pytest.approx(max(1, round(shorter * 16 / 25.4)))


def test_washers_are_smaller_by_parts_of_an_inch() -> None:
    """0.6 mm is wanted on each side, so 1.2 of diameter: two thirty-seconds are 1.59."""
    build = change(near_the_edge(2.6), limits=())
    cure = by(cured(build, "washer gap", INCHES), "use washers")
    assert cure.act == "use washers 1/16 in smaller for post spare A"


@pytest.mark.parametrize(
    ("now", "steps", "then"), [(0.2245, -1, 8), (0.2245, 1, 9), (0.2286, -1, 8), (0.2286, 2, 11)]
)
def test_gauges_are_whole_thousandths(now: float, steps: int, then: int) -> None:
    """0.2245 mm are 8.84 thousandths of an inch, 0.2286 mm are 9."""
    build = three_and_three(scale_length=800.0)
    build = change(build, strings=tuple(change(each, diameter=now) for each in build.strings))
    thinner, thicker = other_gauge(Case(head_of(build), closest(build, "string stress")))
    ladder = thinner if steps < 0 else thicker
    assert isinstance(ladder, Ladder)
    made = ladder.change(abs(steps))
    assert made is not None
    assert min(abs(each.diameter - then * 0.0254) for each in made.strings) < 1e-4
