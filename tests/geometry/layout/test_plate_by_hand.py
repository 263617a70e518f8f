"""Posts of a rigid plate moved by hand: within the play of their bores, or not."""

from __future__ import annotations

import pytest

from geometry.build.build import AlongEdge, Moved
from geometry.layout.layout import lay_out
from geometry.trade.sentence import say_note
from tests.builds import change, eight_on_plates

# The bore is 8.7 mm and the post 6 mm: each post has (8.7 - 6) / 2 = 1.35 mm of play, two neighbours 2.7 mm.
PLAY = 2.7


@pytest.mark.parametrize(
    ("along", "fits"), [(PLAY - 0.001, True), (PLAY + 0.001, False), (-PLAY - 0.001, False)]
)
def test_a_post_may_leave_its_plate_by_the_play_of_two_bores(*, along: float, fits: bool) -> None:
    build = eight_on_plates()
    row = build.rows[0]
    moved = change(row, moved=(Moved(post=row.posts[-1].key, along=along, inward=0.0),))
    problems = lay_out(change(build, rows=(moved, *build.rows[1:]))).problems
    assert (problems == ()) == fits
    if not fits:
        assert say_note(problems[0], "mm").startswith("The plate does not fit posts 2a and 2b")


def test_a_plate_under_another_rule_is_held_to_its_pitch_and_number() -> None:
    # 23 mm is the plate's pitch; 26 mm between neighbours is 3 mm off, more than the play of 2.7 mm.
    build = eight_on_plates()
    along = [change(row, rule=AlongEdge(start=36.0, pitch=26.0, inset=11.0)) for row in build.rows]
    assert len(lay_out(change(build, rows=tuple(along))).problems) == 6
    fitting = [change(row, rule=AlongEdge(start=36.0, pitch=23.0, inset=11.0)) for row in build.rows]
    assert lay_out(change(build, rows=tuple(fitting))).problems == ()
    short = change(fitting[0], posts=fitting[0].posts[:3])
    (problem,) = lay_out(change(build, rows=(short, fitting[1]))).problems
    assert "carries 4 posts, but its row has 3" in say_note(problem, "mm")


def test_a_plate_keeps_its_own_length() -> None:
    build = eight_on_plates()
    rows = [change(row, rule=AlongEdge(start=36.0, pitch=30.0, inset=11.0)) for row in build.rows]
    plates = lay_out(change(build, rows=tuple(rows))).plates
    # Three pitches of 23 mm and 13 mm beyond at both ends: 95 mm.
    assert [2 * plate.box.half_along for plate in plates] == pytest.approx([95.0, 95.0])


def test_a_whole_plate_moved_by_hand_fits() -> None:
    build = eight_on_plates()
    row = build.rows[0]
    moved = change(row, moved=tuple(Moved(post=post.key, along=4.0, inward=1.0) for post in row.posts))
    assert lay_out(change(build, rows=(moved, *build.rows[1:]))).problems == ()
