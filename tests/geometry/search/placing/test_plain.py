"""What is alike, even or without a remark is not spoilt for a little more room."""

from __future__ import annotations

from pathlib import Path

import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import AlongEdge, Build, OldHole
from geometry.document.codec import read_build
from geometry.document.edits import move_post, set_drilled, set_rule
from geometry.layout.layout import lay_out
from geometry.search.placing.best import best
from geometry.search.placing.plain import LEAST_GAIN, lopsided, say_given_up, spoils, uneven
from geometry.search.placing.standing import Standing, Wish, standing_of
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Rectangle
from geometry.trade.limits import ChangedLimit
from tests.builds import (
    REAR_TUNER,
    bass_two_and_two,
    change,
    mirror_of,
    plain_head,
    rectangle,
    row,
    three_and_three,
    tuner,
)
from tests.geometry.search.placing.test_alike import off, pairs_of

SAMPLES = Path(__file__).parents[4] / "sample_builds"
TYPED = 1e-3
"""What is written is typed with three decimals of a mm."""

TWINS = ((0, 1),)
WEBS = ("web along grain", "web across grain")


def sample(name: str) -> Build:
    return read_build((SAMPLES / f"{name}.pegwright").read_bytes())


def standing(build: Build) -> Standing:
    found = standing_of(build, Wish(), len(lay_out(build).posts))
    assert found is not None
    return found


def _nudged(build: Build) -> Build:
    return move_post(build, "b2", 0.5, -0.4)


def is_mirrored(build: Build) -> bool:
    return max(off(build, one, two) for one, two in pairs_of(build)) < TYPED


# What counts as spoilt


def test_how_alike_and_how_even_a_placement_is() -> None:
    here = standing(three_and_three())
    assert (lopsided(here, TWINS), uneven(here)) == pytest.approx((0.0, 0.0), abs=1e-6)
    # Along a side that leans a little the middle post leaves both its pitches by what it is moved.
    moved = standing(move_post(three_and_three(), "t2", 3.0, 0.0))
    assert lopsided(moved, TWINS) == pytest.approx(3.0, abs=1e-6)
    assert lopsided(moved, ()) == 0.0
    assert uneven(moved) == pytest.approx(3.0, abs=1e-6)


def test_what_is_no_less_alike_spoils_nothing() -> None:
    here = standing(three_and_three())
    both = set_rule(
        set_rule(three_and_three(), "t", AlongEdge(37.0, 39.0, 13.0)), "b", AlongEdge(37.0, 39.0, 13.0)
    )
    one = set_rule(three_and_three(), "t", AlongEdge(37.0, 39.0, 13.0))
    assert not spoils(standing(both), here, TWINS)
    assert spoils(standing(one), here, TWINS)
    assert not spoils(standing(one), here, ())
    assert not spoils(here, standing(one), TWINS)


def between(watched: float) -> Build:
    """One tuner 0.1 mm off the middle of a narrow head; towards it an old hole comes nearer than `watched` mm.

    From (0.1, 60) the hole's middle lies 10 to the left and 20 up. The web is that far less both radii, 5 and 1, and by
    the hole it loses 0.045 mm on the way to the middle.
    """
    rule = AlongEdge(start=60.0, pitch=40.0, inset=14.9)
    hole = OldHole(key="old", at=Point(0.1 - 10.0, 80.0), diameter=2.0)
    return plain_head(
        row("treble", 1, rule=rule, hardware="rear"),
        outline=rectangle(30.0, 200.0),
        hardware=(REAR_TUNER,),
        old_holes=(hole,),
        limits=tuple(ChangedLimit(rule=rule, level="watch", least=watched) for rule in WEBS),
    )


def test_a_new_watch_is_not_worth_a_tenth() -> None:
    web = (10.0**2 + 20.0**2) ** 0.5 - 5.0 - 1.0
    free, watched = between(web - 1.0), between(web - 0.02)
    for build in (free, watched):
        assert all(each.level is Level.FINE for each in findings(build) if each.check == "web")
    assert lay_out(best(free).build).posts[0].at.x == pytest.approx(0.0, abs=0.01)
    found = best(watched)
    assert found.build is watched
    assert found.given_up == pytest.approx(0.1, abs=0.01)


def test_more_of_an_old_watch_spoils_as_a_new_one_does() -> None:
    def breaking(angle: float) -> Standing:
        build = three_and_three()
        return standing(change(build, head=change(build.head, angle_deg=angle)))

    # Strings of the sample break by about the angle of the head; above 21 degrees that is watched.
    fine, little, more = (breaking(angle) for angle in (17.0, 24.0, 25.0))
    assert spoils(little, fine, TWINS)
    assert spoils(more, little, TWINS)
    assert not spoils(little, more, TWINS)
    assert not spoils(little, little, TWINS)


# Proposals


@pytest.mark.parametrize(
    "build", [_nudged(three_and_three()), mirror_of(bass_two_and_two())], ids=["six", "left bass"]
)
def test_mirrored_proposals_mirror_and_are_the_default(build: Build) -> None:
    found = best(build)
    assert found.kind == "mirrored"
    assert found.after > found.before
    assert is_mirrored(found.build)
    assert all(each.moved == () for each in found.build.rows)
    assert found.build.rows[0].rule == found.build.rows[1].rule


def test_a_drilled_hole_beside_its_mark_leaves_the_others_alike() -> None:
    build = set_drilled(move_post(three_and_three(), "t2", 0.5, -0.3), "t2", drilled=True)
    found = best(build)
    assert found.kind == "mirrored"
    assert found.build != build
    assert lay_out(found.build).post("t2").at.distance(lay_out(build).post("t2").at) < 1e-6
    assert max(off(found.build, one, two) for one, two in pairs_of(build) if one != "t2") < TYPED


def test_what_the_maker_has_moved_far_is_no_longer_alike() -> None:
    found = best(move_post(three_and_three(), "t2", 4.0, 0.0))
    assert found.kind == "even"


def test_one_side_held_leaves_the_other_to_itself() -> None:
    build = three_and_three()
    found = best(build, Wish(fixed=("t1", "t2", "t3")))
    assert found.kind == "even"
    assert found.build.rows[0] == build.rows[0]


def test_a_stop_that_only_unlike_sides_cure_is_cured() -> None:
    # Seats need 9 to the edge of a head 36 wide, so that bodies 20 across meet until one row stands their length up.
    rule = AlongEdge(start=40.0, pitch=44.0, inset=10.0)
    build = plain_head(
        row("treble", 2, rule=rule),
        row("bass", 2, rule=rule),
        outline=rectangle(36.0, 160.0),
        hardware=(tuner(post_diameter=3.5, bore=Bore(through=3.9), body=Rectangle(along=4.0, across=20.0)),),
    )
    assert best(build, Wish(kind="mirrored")).forbidden is not None
    found = best(build)
    assert (found.kind, found.forbidden) == ("even", None)
    assert found.after > 0


def test_less_than_a_fifth_is_not_worth_an_uneven_pitch_or_sides_unlike() -> None:
    build = three_and_three()
    mirrored, free = best(build), best(build, Wish(kind="free"))
    assert free.after + free.given_up >= mirrored.after
    if is_mirrored(free.build) and uneven(standing(free.build)) < TYPED:
        assert free.after + free.given_up < mirrored.after + LEAST_GAIN
    else:
        assert free.after >= mirrored.after + LEAST_GAIN


def test_what_is_given_up_is_said_where_it_tells() -> None:
    assert say_given_up(0.0) is None
    assert say_given_up(0.04) is None
    words = say_given_up(0.13)
    assert words is not None
    assert "0.13 mm larger" in words
    assert "below 0.20 mm" in words
    assert "0.005 in" in (say_given_up(0.13, "inch") or "")
