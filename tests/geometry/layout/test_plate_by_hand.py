"""Posts of a rigid plate moved by hand: within the play of their bores, or not."""

from __future__ import annotations

import pytest

from geometry.build.build import Moved
from geometry.layout.layout import lay_out
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
        assert "plate does not fit its bores" in problems[0]


def test_a_whole_plate_moved_by_hand_fits() -> None:
    build = eight_on_plates()
    row = build.rows[0]
    moved = change(row, moved=tuple(Moved(post=post.key, along=4.0, inward=1.0) for post in row.posts))
    assert lay_out(change(build, rows=(moved, *build.rows[1:]))).problems == ()
