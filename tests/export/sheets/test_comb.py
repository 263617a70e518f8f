"""The combs: true mutual distances, flanks where the bodies are, words on the strip."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest
import shapely

from export.drawing import Drawing, Role, Sheet, Text
from export.page import paginate
from export.paper import Stamp
from export.sheets.comb import COMB
from export.sheets.head import ROOM
from export.text import SMALLEST
from geometry.document.build import Build, Moved, OnLine
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour
from geometry.shape.segment import Circle
from geometry.trade.hardware import Pin
from geometry.trade.shop import OwnWood, Shop
from tests.builds import (
    PITCH,
    READY_MADE,
    REAR_TUNER,
    change,
    eight_on_plates,
    four_friction,
    laden_head,
    nodes,
    plain_head,
    post_at,
    row,
    six_in_line,
    three_and_three,
    tuner,
)

# A friction peg is round all over, so a row of them has no comb.
BUILDS: tuple[Callable[[], Build], ...] = (
    *(make for make in READY_MADE if make is not four_friction),
    laden_head,
)


def comb(build: Build) -> Sheet:
    (sheet,) = COMB.drawn(build, lay_out(build), Shop(), ROOM)
    return sheet


def bores(drawing: Drawing) -> list[Circle]:
    return [mark.shape for mark in drawing.only(Role.BORE).marks if isinstance(mark.shape, Circle)]


def contours(drawing: Drawing, role: Role) -> list[Contour]:
    return [mark.shape for mark in drawing.only(role).marks if isinstance(mark.shape, Contour)]


def said(drawing: Drawing) -> list[str]:
    return [mark.shape.words for mark in drawing.marks if isinstance(mark.shape, Text)]


@pytest.mark.parametrize("make", BUILDS)
def test_bores_of_a_row_keep_their_true_distances(make: Callable[[], Build]) -> None:
    build = make()
    layout = lay_out(build)
    drawn = bores(comb(build).drawing)
    assert [circle.radius for circle in drawn] == [post.hardware.bore.through / 2 for post in layout.posts]
    pairs = list(combinations(zip(layout.posts, drawn, strict=True), 2))
    for (one, here), (other, there) in pairs:
        if one.row == other.row:
            assert here.centre.distance(there.centre) == pytest.approx(one.at.distance(other.at))
    for key in {post.row for post in layout.posts}:
        mine = [circle for post, circle in zip(layout.posts, drawn, strict=True) if post.row == key]
        # The row lies level, its tip end at the right.
        assert mine[0].centre.y == pytest.approx(mine[-1].centre.y)
        assert mine[-1].centre.x >= mine[0].centre.x


@pytest.mark.parametrize("make", BUILDS)
def test_words_are_large_enough_and_overlap_nothing(make: Callable[[], Build]) -> None:
    drawing = comb(make()).drawing
    texts = [mark.shape for mark in drawing.marks if isinstance(mark.shape, Text)]
    assert min(text.height for text in texts) >= SMALLEST
    grown = [text.bounds.grown(-0.01) for text in texts]
    boxes = [shapely.box(box.left, box.bottom, box.right, box.top) for box in grown]
    assert all(not one.intersects(other) for one, other in combinations(boxes, 2))
    rings = [shapely.Point(c.centre.x, c.centre.y).buffer(c.radius) for c in bores(drawing)]
    assert all(not box.intersects(ring) for box in boxes for ring in rings)


@pytest.mark.parametrize("make", BUILDS)
def test_every_comb_takes_one_page(make: Callable[[], Build]) -> None:
    build = make()
    sheet = comb(build)
    assert len(paginate(sheet, Stamp(build=build.name))) == 1


def test_the_strip_is_the_back_seen_from_behind() -> None:
    # Three in a bent row: seen from the back its handedness is the mirror image of the face's.
    build = plain_head(post_at(10.0, 60.0, key="a"), row("bass", 3, key="b"))
    edge = nodes((40.0, 0.0), (40.0, 200.0), (-40.0, 200.0), (-52.0, 90.0), (-40.0, 0.0))
    build = change(build, outline=edge)
    layout = lay_out(build)
    places = [post.at for post in layout.posts if post.row == "b"]
    drawn = [circle.centre for circle in bores(comb(build).drawing)][-3:]
    turn = (places[1] - places[0]).cross(places[2] - places[0])
    assert abs(turn) > 100.0
    assert (drawn[1] - drawn[0]).cross(drawn[2] - drawn[0]) == pytest.approx(-turn)


def test_flanks_stand_half_a_body_from_each_post_and_reach_the_reference_edge() -> None:
    drawing = comb(plain_head(row("treble", 2))).drawing
    first, second = (circle.centre for circle in bores(drawing))
    assert second.x - first.x == pytest.approx(PITCH)
    flanks = contours(drawing, Role.COMB)
    # The plain body is 16 mm along the row and 20 mm across it, its middle on the post.
    wanted = sorted(post.x + side for post in (first, second) for side in (-8.0, 8.0))
    assert sorted(flank.start.x for flank in flanks) == pytest.approx(wanted)
    (edge,) = contours(drawing, Role.FENCE)
    assert edge.start.y == edge.end.y == pytest.approx(first.y - 10.0)
    assert all(flank.start.y == pytest.approx(edge.start.y) for flank in flanks)
    assert all(flank.end.y > first.y + 10.0 for flank in flanks)
    (strip,) = contours(drawing, Role.CUT_LINE)
    # The reference edge closes what is cut.
    assert {strip.start, strip.end} == {edge.start, edge.end}
    assert strip.bounds.bottom == pytest.approx(edge.start.y)


def test_the_reference_edge_is_on_the_other_side_for_the_bass_row() -> None:
    drawing = comb(plain_head(row("bass", 2))).drawing
    (edge,) = contours(drawing, Role.FENCE)
    assert edge.start.y == pytest.approx(bores(drawing)[0].centre.y + 10.0)


def test_screws_lie_where_the_back_has_them() -> None:
    build = six_in_line()
    layout = lay_out(build)
    drawing = comb(build).drawing
    screws = [mark.shape for mark in drawing.only(Role.SCREW).marks if isinstance(mark.shape, Circle)]
    first = bores(drawing)[0].centre
    wanted = [hole.at.distance(layout.posts[0].at) for hole in layout.holes]
    assert [screw.centre.distance(first) for screw in screws] == pytest.approx(wanted)


def test_pilots_are_as_wide_as_the_woods_of_the_shop_want_them() -> None:
    build = six_in_line()
    build = change(build, head=change(build.head, wood="plum"))
    for own, diameter in (((), 1.4), ((OwnWood(name="plum", specific_gravity=0.45),), 1.1)):
        (sheet,) = COMB.drawn(build, lay_out(build), Shop(woods=own), ROOM)
        shapes = [mark.shape for mark in sheet.drawing.only(Role.SCREW).marks]
        assert shapes
        for shape in shapes:
            assert isinstance(shape, Circle)
            # 90 % or 70 % of the root of 1.5 mm, to the next tenth.
            assert 2 * shape.radius == pytest.approx(diameter)


def test_plates_and_seats_are_lined_up_too() -> None:
    build = eight_on_plates()
    bodies = contours(comb(build).drawing, Role.BODY)
    assert [round(body.bounds.height, 6) for body in bodies] == [15.0, 15.0]
    seats = contours(comb(plain_head(row(), hardware=(tuner(body=None),))).drawing, Role.BODY)
    assert [(round(seat.bounds.width, 6), round(seat.bounds.height, 6)) for seat in seats] == [(14.0, 18.0)]
    pinned = change(REAR_TUNER, pins=(Pin(along=0.0, outward=6.0, diameter=2.0, depth=5.0),))
    rear = plain_head(row(hardware="rear"), hardware=(pinned,))
    assert contours(comb(rear).drawing, Role.BODY)


@pytest.mark.parametrize("build", [four_friction(), plain_head(row(hardware="rear"), hardware=(REAR_TUNER,))])
def test_what_is_round_all_over_needs_no_comb(build: Build) -> None:
    assert COMB.drawn(build, lay_out(build), Shop(), ROOM) == ()


def test_without_bodies_there_is_no_comb() -> None:
    build = plain_head(row(), hardware=(tuner(body=None, seat=None),))
    assert COMB.drawn(build, lay_out(build), Shop(), ROOM) == ()


def test_a_body_turned_along_the_strip_has_no_flank_lines() -> None:
    build = plain_head(post_at(20.0, 60.0, key="a"), row(posts=(change(row().posts[0], turned_deg=0.0),)))
    turned = plain_head(row("bass", 2, posts=tuple(change(p, turned_deg=90.0) for p in row("bass", 2).posts)))
    assert len(contours(comb(build).drawing, Role.COMB)) == 4
    assert not contours(comb(turned).drawing, Role.COMB)


def test_titles_name_row_posts_and_pieces() -> None:
    lines = said(comb(three_and_three()).drawing)
    assert "Treble row, posts 1 to 3, right pieces" in lines
    assert "Bass row, posts 6 to 4, left pieces" in lines
    assert lines.count("reference edge") == 2
    # In the laden build one post of the treble row has the other piece: each is named with its own.
    mixed = said(comb(laden_head()).drawing)
    assert {"Treble row, posts 1 to 3", "1 R", "2 R", "3 L", "4", "5", "6"} <= set(mixed)
    assert any(line.startswith("Tape to the back") for line in lines)


def test_only_a_straight_row_has_a_reference_edge() -> None:
    """By the position of its middle post, 1 mm off the line of the other two, or on it."""
    rule = OnLine(start=30.0, pitch=PITCH, inset=14.0)
    off = (Moved(post="bass2", along=0.0, inward=1.0),)
    straight, bent = row("treble", 3, rule=rule), row("bass", 3, rule=rule, moved=off)
    for rows, edges in (((straight,), 1), ((bent,), 0), ((straight, bent), 1)):
        drawing = comb(plain_head(*rows)).drawing
        words = " ".join(said(drawing))
        assert len(contours(drawing, Role.FENCE)) == said(drawing).count("reference edge") == edges
        assert ("no straightedge" in words) == (bent in rows)
        assert ("along the reference edge" in words) == (straight in rows)
        # The edge closes what is cut.
        cut = contours(drawing, Role.CUT_LINE)
        assert [each.closed for each in cut] == [each is bent for each in rows]
