"""A cure can be made, and what is said of one is so: of trees, bad outlines, undrilled holes, mirrored sides."""

from __future__ import annotations

import pytest

from geometry.curing.case import Case, Ladder, head_of
from geometry.curing.cures import cures_of
from geometry.curing.heights import lower_tree
from geometry.document.build import Build, OldHole, OnPlate, Retainer, StraightPull
from geometry.document.edits import move_post, set_drilled
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.bore_fit import drawn_bore, with_drawn_bore
from tests.builds import (
    change,
    closest,
    eight_on_plates,
    nodes,
    six_in_line,
    turns_too_low,
)
from tests.geometry.curing.test_cures import cured, told

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
    row, tuner = build.rows[0], build.hardware[0]
    return change(
        build,
        head=change(build.head, wood="hard maple"),
        rows=(change(row, rule=change(row.rule, inset=9.0)),),
        hardware=(with_drawn_bore(tuner, drawn_bore(tuner) - 0.4),),
    )


def test_a_hole_is_only_called_drilled_where_one_is() -> None:
    build = narrow_bore()
    found = cured(build, "bore fit")
    assert found.cures == ()
    assert "drilled" not in found.hand
    assert "another limit" in found.hand
    assert cured(set_drilled(build, "b2", drilled=True), "bore fit").hand.startswith("The hole is drilled")


def by_pull() -> Build:
    build = eight_on_plates()
    pull = StraightPull(start=34.0, pitch=24.5)
    return change(build, rows=tuple(change(row, rule=pull) for row in build.rows))


def test_a_row_for_straight_pull_is_set_by_the_holes_of_its_plate() -> None:
    build = by_pull()
    finding = closest(build, "plate fit")
    first = cures_of(head_of(build), finding).cures[0]
    assert first.act.endswith("by the holes of the plate")
    assert any(isinstance(row.rule, OnPlate) for row in first.build.rows)
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
