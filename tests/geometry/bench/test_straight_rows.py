"""When the bodies of a row lie against a straightedge, and what the bench is told where they do not."""

from __future__ import annotations

import pytest

from geometry.bench.drilling import schedule
from geometry.bench.straight_rows import bent_by, in_line, laid_by
from geometry.document.build import Build, Moved, OnLine, Post
from geometry.layout.layout import lay_out
from geometry.trade.hardware import Screw
from geometry.trade.shop import Shop
from tests.builds import INSET, PITCH, START, nodes, plain_head, row, tuner

SCREW = Screw(along=0.0, outward=-9.0, diameter=2.2, root=1.5, length=10.0)
RULE = OnLine(start=START, pitch=PITCH, inset=INSET)


def three(*, inward: float = 0.0, turned: float = 0.0, body: bool = True) -> Build:
    """Three tuners with a screw each on a straight line, the middle one moved inward by hand or turned."""
    posts = tuple(Post(key=f"t{n}", turns=0.0, turned_deg=turned if n == 2 else 0.0) for n in (1, 2, 3))
    moved = (Moved(post="t2", along=0.0, inward=inward),)
    made = tuner(screws=(SCREW,)) if body else tuner(screws=(SCREW,), body=None, seat=None)
    return plain_head(row(posts=posts, moved=moved, rule=RULE), hardware=(made,))


def notes(build: Build, name: str) -> str:
    steps = schedule(build, lay_out(build), Shop())
    return " ".join(next(step for step in steps if step.name == name).notes)


@pytest.mark.parametrize(
    ("build", "straight"),
    [
        (three(), True),
        # A straightedge shows 0.2 mm and half a degree.
        (three(inward=0.19), True),
        (three(inward=0.21), False),
        (three(inward=-0.21), False),
        (three(turned=0.49), True),
        (three(turned=0.51), False),
        (three(turned=-0.51), False),
        (three(inward=0.21, body=False), False),
        (three(inward=0.19, body=False), True),
    ],
)
def test_a_straightedge_shows_a_fifth_of_a_millimetre_and_half_a_degree(build: Build, straight: bool) -> None:
    assert in_line(lay_out(build).posts) is straight


def test_bodies_turned_alike_do_not_lie_along_their_row() -> None:
    posts = tuple(Post(key=f"t{n}", turns=0.0, turned_deg=4.0) for n in (1, 2, 3))
    assert not in_line(lay_out(plain_head(row(posts=posts, rule=RULE))).posts)


def test_one_tuner_is_always_in_line() -> None:
    assert in_line(lay_out(plain_head(row())).posts)


def test_a_row_along_a_bent_edge_is_not_straight() -> None:
    edge = nodes((40.0, 0.0), (52.0, 90.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0))
    bent = plain_head(row(count=3), outline=edge, hardware=(tuner(screws=(SCREW,)),))
    assert laid_by(lay_out(bent)) == "comb"


@pytest.mark.parametrize(
    ("build", "dry", "pilots"),
    [
        (three(), "against a straightedge, in one line", "with all bodies in line"),
        (three(inward=1.0), "between its own lines on the comb", "between its lines on the comb"),
        (three(turned=4.0), "between its own lines on the comb", "between its lines on the comb"),
        (three(inward=1.0, body=False), "turned as the back is drawn", "turned as the back is drawn"),
    ],
)
def test_the_steps_name_a_straightedge_only_where_it_lies_along_all(
    build: Build, dry: str, pilots: str
) -> None:
    said = notes(build, "Fit dry"), notes(build, "Screw pilots")
    assert dry in said[0]
    assert pilots in said[1]
    assert ("straightedge" in said[0]) == ("in line" in said[1]) == in_line(lay_out(build).posts)


def pair(*turned: float, inward: float = 0.0) -> Build:
    """Two tuners on a line, turned by so many degrees, the second one moved inward by hand."""
    posts = tuple(Post(key=f"t{n}", turns=0.0, turned_deg=each) for n, each in enumerate(turned))
    return plain_head(row(posts=posts, moved=(Moved(post="t1", along=0.0, inward=inward),), rule=RULE))


@pytest.mark.parametrize(
    ("build", "bent"),
    [
        (pair(0.0, 0.0, inward=3.0), False),
        (pair(4.0, 4.0, inward=3.0), False),
        (pair(0.0, 0.49), False),
        (pair(0.0, 0.51), True),
        (pair(0.0, -0.51), True),
    ],
)
def test_two_posts_are_bent_only_where_their_bodies_turn_against_each_other(build: Build, bent: bool) -> None:
    assert bool(bent_by(lay_out(pair(0.0, 0.0)), lay_out(build))) is bent


def test_three_posts_are_bent_as_a_straightedge_shows_it() -> None:
    straight = lay_out(three())
    assert bent_by(straight, lay_out(three(inward=1.0))) == {straight.posts[0].row}
    assert bent_by(lay_out(three(inward=1.0)), lay_out(three(inward=2.0))) == frozenset()


def test_rows_without_screws_ask_for_nothing() -> None:
    """Pegs that are round all over may stand along any curve."""
    posts = tuple(Post(key=f"t{n}", turns=0.0) for n in (1, 2, 3))
    moved = (Moved(post="t2", along=0.0, inward=3.0),)
    assert laid_by(lay_out(plain_head(row(posts=posts, moved=moved, rule=RULE)))) == "straightedge"
