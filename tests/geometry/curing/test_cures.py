"""What cures a finding: the least that does, in closed form; every kind has a cure or a sentence; nothing is harmed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import UNSET
from msgspec.structs import replace

from geometry.checks.judge import Finding, Level, findings
from geometry.curing.case import head_of
from geometry.curing.cures import Cures, cures_of, placement_for, say_cure
from geometry.curing.judged import ROOM, Cure
from geometry.curing.kinds import KINDS
from geometry.curing.places import moved_by
from geometry.document.build import Blank, Build, OldHole, OnLine, Retainer
from geometry.document.edits import move_post, set_drilled, set_rule, set_string_of
from geometry.document.outline import Bend, Straight
from geometry.document.twins import set_symmetric
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.bore_fit import with_drawn_bore
from geometry.trade.hardware import Rectangle
from geometry.trade.limits import RULE_NAMES
from geometry.trade.shop import Shop
from tests.amount import sampled
from tests.broken_heads import broken_head, made_worse
from tests.builds import (
    HALF,
    PITCH,
    THICK,
    change,
    closest,
    eight_on_plates,
    nodes,
    plain_head,
    post_at,
    rectangle,
    row,
    six_in_line,
    three_and_three,
    turns_too_low,
)


def cured(build: Build, check: str, shop: Shop | None = None) -> Cures:
    """The cures of the worst finding of a check."""
    finding = closest(build, check)
    assert finding.level is not Level.FINE
    return cures_of(head_of(build, shop), finding)


def told(build: Build, check: str, shop: Shop | None = None) -> list[str]:
    return [each.act for each in cured(build, check, shop).cures]


def by(cures: Cures, begin: str, end: str = "") -> Cure:
    return next(each for each in cures.cures if each.act.startswith(begin) and each.act.endswith(end))


def level(build: Build, check: str) -> Level:
    return closest(build, check).level


# Every kind


def test_every_check_has_changes_to_try_or_says_what_is_left_to_the_maker() -> None:
    names = (RULE_NAMES - {"web along grain", "web across grain"}) | {"web"}
    assert KINDS.keys() == names
    for kind in KINDS.values():
        assert kind.hand.endswith(".")


# Elsewhere


def near_the_edge(by: float) -> Build:
    """A bore of 10 mm whose wall is short of 5 mm by so much: its middle belongs 10 mm inside the edge."""
    return plain_head(post_at(HALF - 10.0 + by, 100.0))


@pytest.mark.parametrize("short", [1.0, 0.35])
def test_a_hole_too_near_the_edge_moves_by_as_much(short: float) -> None:
    build = near_the_edge(short)
    steps = -(-round(short * 100) // 10)
    cure = by(cured(build, "wall"), "move post spare A by", "inward")
    assert cure.act == f"move post spare A by {steps / 10:g} mm inward"
    assert cure.level is Level.FINE
    assert lay_out(cure.build).posts[0].at.x == pytest.approx(HALF - 10.0 + short - steps / 10)
    assert level(moved_by(build, ["one1"], 0.0, (steps - 1) / 10), "wall") is not Level.FINE


def test_in_inches_it_moves_by_hundredths() -> None:
    """1 mm is 0.0394 in."""
    cure = by(cured(near_the_edge(1.0), "wall", Shop(units="inch")), "move post spare A by", "inward")
    assert cure.act == "move post spare A by 0.040 in inward"


def test_what_was_moved_by_hand_goes_back_to_its_row() -> None:
    first = cured(move_post(three_and_three(), "t2", 0.0, -7.0), "wall").cures[0]
    assert first.act == "put post 2 back in its row"
    assert first.build == three_and_three()


def test_sides_that_are_alike_move_together_unless_the_maker_works_on_one() -> None:
    def narrow(build: Build) -> Build:
        rows = (change(each, rule=change(each.rule, inset=9.0)) for each in build.rows)
        return change(build, rows=tuple(rows))

    together, alone = narrow(three_and_three()), set_symmetric(narrow(three_and_three()), on=False)
    assert told(together, "wall")[0].startswith("move posts 1 to 6 by")
    assert not any(each.startswith("move posts 1 to 6") for each in told(alone, "wall"))


def test_a_hole_in_the_wood_stays() -> None:
    build = set_drilled(near_the_edge(1.0), "one1", drilled=True)
    found = cured(build, "wall")
    assert found.cures == ()
    assert not found.placement
    assert found.hand == KINDS["wall"].hand


def test_the_ring_is_told_where_a_hole_moves() -> None:
    cures = cured(near_the_edge(1.0), "wall")
    cure = by(cures, "move post spare A by", "inward")
    # The wall may go down from 5 to 3 mm, but the seat, 9 mm to each side of the post, is 1 mm from the edge.
    assert cure.ring == pytest.approx(1.0)
    # There are no strings.
    assert say_cure(cure) == "Move post spare A by 1 mm inward: 1 problem left, smallest ring 1.0 mm"
    less = replace(cure, ring=0.02)
    assert say_cure(less) == "Move post spare A by 1 mm inward: 1 problem left, smallest ring only 0.02 mm"
    tight = replace(cure, ring=0.009)
    assert say_cure(tight) == "Move post spare A by 1 mm inward: 1 problem left, no room to miss"


def test_another_placement_is_looked_for_when_asked() -> None:
    build = near_the_edge(1.0)
    assert cured(build, "wall").placement
    cure = placement_for(head_of(build), closest(build, "wall"))
    assert cure is not None
    assert level(cure.build, "wall") is Level.FINE


# Heights


def test_a_lowest_turn_asks_for_thinner_wood() -> None:
    """0.78 mm too low; 0.5 mm of air is wanted, so 1.28 mm: 1.3. A turn of 1 mm less leaves 0.22: no problem."""
    cures = cured(turns_too_low(), "wraps")
    thinner = by(cures, "a head", "thinner")
    assert thinner.act == "a head 1.3 mm thinner"
    assert thinner.build.head.thickness_nut == pytest.approx(THICK - 1.3)
    assert thinner.level is Level.FINE
    fewer = by(cures, "one turn less on post 1")
    assert fewer.level is Level.WATCH
    assert say_cure(fewer) == (
        "One turn less on post 1: no stop left, 1 to look at, this one only to look at"
    )


def test_little_break_asks_for_a_tree() -> None:
    tree = by(cured(six_in_line(retainers=()), "break"), "a tree")
    assert tree.act == "a tree 50 mm from the nut over strings 1 and 2"


def test_screws_that_come_through_are_shorter() -> None:
    """Each step of 0.5 mm leaves so much more wood; 2 mm are wanted."""
    thin = three_and_three()
    thin = change(thin, head=change(thin.head, thickness_nut=11.0, thickness_tip=11.0))
    finding = closest(thin, "screw depth")
    cure = by(cured(thin, "screw depth"), "use screws", "shorter")
    shorter = thin.hardware[0].screws[0].length - cure.build.hardware[0].screws[0].length
    assert finding.measured is not None
    assert finding.measured + shorter >= 2.0 > finding.measured + shorter - 0.5


# Other parts


def test_a_bore_that_does_not_fit_asks_for_a_drill() -> None:
    """Ribs of 8.8 mm in a bore of 9; wood that is not named."""
    build = six_in_line()
    loose = change(build, hardware=(with_drawn_bore(build.hardware[0], 9.0),))
    (act,) = told(loose, "bore fit")
    assert act.startswith("use ")
    assert act.endswith("mm")
    assert level(cured(loose, "bore fit").cures[0].build, "bore fit") is Level.FINE


def test_an_old_hole_is_plugged() -> None:
    build = plain_head(post_at(20.0, 100.0), old_holes=(OldHole("old", Point(20.0, 112.0), 6.0),))
    first = cured(build, "web").cures[0]
    assert first.act == "plug the old hole old first"
    assert first.build.old_holes[0].plugged


def test_washers_at_the_edge_are_smaller() -> None:
    """The washer of 14 mm stands 0.4 mm from the edge; 1 mm is wanted: 1.5 mm less of diameter leave 1.15."""
    build = change(near_the_edge(2.6), limits=())
    cure = by(cured(build, "washer gap"), "use washers")
    assert cure.act == "use washers 1.5 mm smaller for post spare A"


def test_the_wrong_piece_is_exchanged() -> None:
    build = three_and_three()
    posts = (change(build.rows[0].posts[0], piece="left"), *build.rows[0].posts[1:])
    wrong = change(build, rows=(change(build.rows[0], posts=posts), build.rows[1]))
    (cure,) = cured(wrong, "piece").cures
    assert cure.build.rows[0].posts[0].piece is UNSET


def test_a_head_over_its_board_takes_a_larger_one() -> None:
    build = plain_head(row("treble"))
    small = change(build, head=change(build.head, blank=Blank(left=39.5, right=45.0, length=200.0)))
    (cure,) = cured(small, "blank").cures
    assert cure.build.head.blank == Blank(left=40.0, right=45.0, length=200.0)


# Strings


def test_strings_that_cross_change_their_posts() -> None:
    build = three_and_three()
    layout = lay_out(build)
    one, two = (post.key for post in layout.posts[:2])
    strings = {post.key: post.string for post in layout.posts}
    crossed = set_string_of(set_string_of(build, one, strings[two]), two, strings[one])
    assert level(crossed, "order") is Level.STOP
    cure = cured(crossed, "order").cures[0]
    assert level(cure.build, "order") is Level.FINE


def test_a_string_near_breaking_is_tuned_lower() -> None:
    """Stress goes with the square of the pitch: from 100 % to 75 it takes 20 log2(4/3)/... half steps."""
    build = three_and_three(scale_length=800.0)
    cure = by(cured(build, "string stress"), "tune it to")
    now, then = (closest(each, "string stress", "1").measured for each in (build, cure.build))
    assert now is not None
    assert then is not None
    steps = next(n for n in range(30) if now * 2 ** (-n / 6) <= 75.0)
    assert then == pytest.approx(now * 2 ** (-steps / 6))


def test_a_tree_that_misses_its_string_moves_over_it() -> None:
    build = six_in_line(
        retainers=(Retainer(key="tree", at=Point(-10.0, 60.0), height=4.5, strings=("s1", "s2")),)
    )
    assert level(build, "retainer") is Level.WATCH
    cures = cured(build, "retainer")
    assert cures.cures
    assert level(cures.cures[0].build, "retainer") is Level.FINE


def test_a_string_without_a_post_takes_one_more() -> None:
    build = three_and_three()
    short = change(build, rows=(change(build.rows[0], posts=build.rows[0].posts[:2]), build.rows[1]))
    cures = cured(short, "placement")
    assert all(len(lay_out(each.build).posts) == 6 for each in cures.cures)
    assert any(each.act.startswith("add a tuner beyond") for each in cures.cures)


# Rows


def test_an_uneven_row_is_set_evenly() -> None:
    build = change(six_in_line(), rows=move_post(six_in_line(), "b3", 1.0, 0.0).rows)
    assert told(build, "evenness") == ["put post 4 back in its row"]


def test_holes_that_miss_their_plate_go_back() -> None:
    build = move_post(eight_on_plates(), "t2", 0.4, 0.0)
    assert told(build, "plate fit")[0].startswith("put post")


# The outline


def test_an_outline_that_crosses_itself_loses_a_node() -> None:
    outline = nodes((40.0, 0.0), (40.0, 200.0), (60.0, -20.0), (-40.0, 200.0), (-40.0, 0.0))
    build = change(plain_head(row("treble")), outline=outline)
    cure = cured(build, "outline").cures[0]
    assert cure.build.outline == nodes_without(build, 2)


def nodes_without(build: Build, number: int) -> object:
    kept = tuple(node for n, node in enumerate(build.outline.nodes) if n != number)  # type: ignore[union-attr]
    return change(build.outline, nodes=kept)


def test_an_outline_that_runs_clockwise_is_run_the_other_way() -> None:
    right = rectangle()
    first, second, third, last = right.nodes
    bent = change(right, nodes=(first, change(second, onward=Bend(bulge=0.2)), third, last))
    turned = (last, change(third, onward=Bend(bulge=-0.2)), change(second, onward=Straight()), first)
    build = change(plain_head(row("treble")), outline=change(right, nodes=turned))
    cure = cured(build, "outline").cures[0]
    assert [(node.at, node.onward) for node in cure.build.outline.nodes] == [  # type: ignore[union-attr]
        (node.at, node.onward) for node in bent.nodes
    ]


def test_what_cannot_be_told_waits_for_the_outline() -> None:
    outline = nodes((40.0, 3.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0))
    build = change(plain_head(row("treble")), outline=outline)
    untold = next(each for each in findings(build) if each.measured is None)
    (cure,) = cures_of(head_of(build), untold).cures
    assert cure.act == "put the ends of the outline on the nut line"


def test_ends_of_the_outline_go_to_the_ends_of_the_nut() -> None:
    build = change(plain_head(row("treble")), outline=rectangle(width=78.0))
    (cure,) = cured(build, "width at nut").cures
    assert lay_out(cure.build).edge is not None
    assert level(cure.build, "width at nut") is Level.FINE


def test_a_corner_is_rounded_for_the_cutter_or_a_smaller_one_is_used() -> None:
    outline = nodes((40.0, 0.0), (40.0, 100.0), (30.0, 100.0), (30.0, 200.0), (-40.0, 200.0), (-40.0, 0.0))
    build = change(plain_head(row("bass")), outline=outline, cutter_diameter=6.0)
    (cure,) = cured(build, "cutter radius").cures
    assert cure.act == "round the corner with a radius of 3 mm"
    assert level(cure.build, "cutter radius") is Level.FINE


# The law


def worst_of_each(build: Build) -> list[Finding]:
    by_check: dict[str, Finding] = {}
    for each in findings(build):
        if each.level is not Level.FINE:
            by_check.setdefault(each.check, each)
    return list(by_check.values())


def still_there(finding: Finding, after: tuple[Finding, ...]) -> bool:
    """Whether the same is said of the same parts, as badly as before; an edge is everywhere."""

    def parts(of: Finding) -> set[tuple[str, str]]:
        return {(part.kind, part.key) for part in of.about if part.kind != "edge"}

    bad = [Level.STOP] if finding.level is Level.STOP else [Level.STOP, Level.WATCH]
    return any(
        each.check == finding.check and parts(each) == parts(finding) and each.level in bad for each in after
    )


@settings(max_examples=sampled(3, of=6), deadline=None)
@given(number=st.integers(0, 400), which=st.integers(0, 20))
def test_a_cure_removes_its_finding_and_adds_no_stop(number: int, which: int) -> None:
    build = broken_head(number)
    before, found = findings(build), worst_of_each(build)
    finding = found[which % len(found)]
    told = cures_of(head_of(build), finding)
    assert bool(told.cures or told.placement) != bool(told.hand)
    for cure in told.cures:
        after = findings(cure.build)
        assert not still_there(finding, after), cure.act
        assert not made_worse(before, after), cure.act
        assert cure.stops == sum(each.level is Level.STOP for each in after)


def test_what_is_left_is_said_as_the_headline_counts_it() -> None:
    cure = cured(near_the_edge(1.0), "wall").cures[0]
    assert cure.watches == sum(each.level is Level.WATCH for each in findings(cure.build))
    clean = replace(cure, act="do it", level=Level.FINE, stops=0, watches=0, fresh=(), ring=None, bent=0)
    assert say_cure(clean) == "Do it: everything clears"
    assert say_cure(replace(clean, watches=1)) == "Do it: no stop left, 1 to look at"
    assert say_cure(replace(clean, watches=3, stops=1)) == "Do it: 1 problem left"
    assert say_cure(replace(clean, stops=2)) == "Do it: 2 problems left"


def test_a_cure_that_bends_a_straight_row_says_so() -> None:
    """An end post of three on a line that goes 1 mm inward alone; the whole row that goes with it stays straight."""
    rule = OnLine(start=60.0, pitch=PITCH, inset=9.0)
    build = plain_head(row(count=3, rule=rule))
    found = cured(build, "wall").cures
    single = next(each for each in found if each.act.startswith("move post spare"))
    together = next(each for each in found if each.act.startswith("move posts spare"))
    assert (single.bent, together.bent) == (1, 0)
    assert "its row is then not straight" in say_cure(single)
    assert "straight" not in say_cure(together)


def with_own_tuners(inset: float, pitch: float) -> Build:
    """Tuners that the maker has measured, their bodies 24 mm across, three a side."""
    build = three_and_three()
    body = Rectangle(along=16.0, across=24.0, shift_along=3.0, shift_outward=-6.0)
    own = change(build.hardware[0], name="My tuners", body=body)
    build = change(build, hardware=(own, *build.hardware[1:]))
    for placed in build.rows:
        build = set_rule(build, placed.key, change(placed.rule, inset=inset, pitch=pitch))
    return build


def test_a_move_goes_as_far_as_leaves_a_hand_room() -> None:
    """Bodies overlap by 1 mm: each row half a millimetre outward clears that, and leaves nothing to miss by."""
    first = cured(with_own_tuners(inset=15.0, pitch=40.0), "body gap").cures[0]
    assert first.act.startswith("move posts 1 to 6 by ")
    assert first.act.endswith(" outward")
    assert first.ring is not None
    assert first.ring >= ROOM
    assert (first.stops, first.watches) == (0, 0)


def test_measured_tuners_are_given_up_last() -> None:
    acts = [each.act for each in cured(with_own_tuners(inset=15.0, pitch=20.0), "button gap").cures]
    given_up = [act.startswith("give up the measured tuners of posts 1 to 6 for ") for act in acts]
    assert any(given_up)
    assert not all(given_up)
    assert given_up == sorted(given_up)
