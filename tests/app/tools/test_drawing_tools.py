"""Tools that put something on the head: nodes, rounded corners, regions, old holes."""

from __future__ import annotations

from itertools import combinations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from app.canvas.tool import Pointer, Tool
from app.canvas.words import part_name
from app.document.selection import NOTHING, Item
from app.tools.catalogue import TOOLS
from geometry.document.build import Build, OldHole, Polygon, Region, RoundRegion
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import node_of, nodes_of, run_measures, segment_of
from geometry.shape.point import Point, Vector
from tests.app.tools.conftest import Working
from tests.app.tools.hand import CONTROL, FREE, NONE, SHIFT, Hand
from tests.builds import laden_head, plain_head, rectangle, row, three_and_three

KEYS = Qt.Key


def painted(hand: Hand) -> QImage:
    return hand.canvas.grab().toImage()


def test_a_plain_tool_does_nothing(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.canvas.tool = Tool(hand.session, hand.canvas.aids)
    hand.drag(Point(33.0, 160.0), Vector(5.0, 5.0))
    hand.type(KEYS.Key_Delete)
    assert hand.session.build is before
    assert hand.canvas.tool.hint == ""


@pytest.mark.parametrize("name", sorted(TOOLS))
def test_what_was_not_pressed_is_not_released(working: Working, name: str) -> None:
    before = laden_head()
    hand = working(before, name)
    pointer = Pointer(at=Point(35.0, 94.0), reach=2.0)
    hand.canvas.tool.release(pointer)
    hand.canvas.tool.cancel()
    hand.canvas.tool.move(pointer)
    hand.type(KEYS.Key_Escape)
    assert hand.session.build is before
    assert hand.session.selection == NOTHING
    assert not hand.canvas.tool.busy


# Nodes


def test_a_node_is_put_where_it_was_shown(working: Working) -> None:
    before = laden_head()
    hand = working(before, "node")
    empty = painted(hand)
    at = segment_of(before, "c").point_at(0.3)
    hand.move(at, held=NONE)
    assert painted(hand) != empty
    hand.press(at)
    assert hand.canvas.tool.busy
    assert hand.session.build is before
    hand.release(at)
    assert hand.undo_label == "Add node"
    (item,) = hand.session.selection
    assert node_of(hand.session.build, item.key).at.distance(at) <= 2 * hand.near
    hand.session.undo()
    assert hand.session.build == before


def test_the_middle_of_a_run_is_met_exactly(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()), "node")
    hand.click(Point(1.0, 200.5))
    assert [node.at for node in nodes_of(hand.session.build)][2] == Point(0.0, 200.0)
    hand.click(Point(40.0, 60.0))
    assert len(nodes_of(hand.session.build)) == 7
    assert len(hand.session.selection) == 2


def test_no_node_is_put_off_the_edge_or_given_up(working: Working) -> None:
    before = laden_head()
    hand = working(before, "node")
    hand.click(Point(0.0, 70.0))
    assert hand.canvas.tool.hint.startswith("Click on the edge")
    hand.click(Point(33.0, 160.0))
    assert hand.session.build is before
    hand.press(segment_of(before, "c").point_at(0.5))
    hand.type(KEYS.Key_Escape)
    hand.release(segment_of(before, "c").point_at(0.5))
    assert hand.session.build is before
    assert hand.canvas.tool.hint.startswith("Click the edge")


def test_a_place_on_a_run_that_is_gone_is_not_shown(working: Working) -> None:
    before = laden_head()
    hand = working(before, "node")
    hand.move(segment_of(before, "c").point_at(0.3), held=NONE)
    hand.session.start(plain_head())
    hand.canvas.grab()
    assert hand.session.build == plain_head()


def full_outline() -> Build:
    places = [Point(40.0, 0.0), Point(40.0, 200.0)]
    places += [Point(40.0 - number / 7.5, 200.0) for number in range(1, 497)]
    places += [Point(-40.0, 200.0), Point(-40.0, 0.0)]
    kind = type(nodes_of(plain_head())[0])
    return plain_head(
        outline=Nodes(nodes=tuple(kind(key=f"n{number}", at=at) for number, at in enumerate(places)))
    )


def test_a_full_outline_says_so(working: Working) -> None:
    hand = working(full_outline(), "node")
    hand.click(Point(40.0, 100.0))
    assert "500 nodes" in hand.canvas.tool.hint
    assert hand.undo_label is None


# Corners


def test_a_corner_is_rounded_by_a_drag(working: Working) -> None:
    before = plain_head(outline=rectangle())
    hand = working(before, "round")
    hand.canvas.snap = False
    hand.drag(Point(40.0, 200.0), Vector(0.0, -12.0), FREE)
    assert hand.undo_label == "Round corner"
    radius = run_measures(hand.session.build, "n1").radius
    # A square corner's rounding begins its radius away from it.
    assert radius == pytest.approx(12.0, abs=2 * hand.near)
    hand.session.undo()
    assert hand.session.build == before


def test_radii_are_round_numbers_unless_ctrl_is_held(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()), "round")
    hand.hold(Point(40.0, 200.0), Vector(0.0, -12.2), FREE)
    radius = run_measures(hand.session.scene.build, "n1").radius
    assert radius is not None
    assert 2 * radius == pytest.approx(round(2 * radius))
    assert radius == pytest.approx(12.2, abs=0.25 + 2 * hand.near)
    assert len(nodes_of(hand.session.scene.build)) == 6
    tagged = painted(hand)
    hand.move(Point(40.0, 187.8), CONTROL)
    radius = run_measures(hand.session.scene.build, "n1").radius
    assert radius == pytest.approx(12.2, abs=2 * hand.near)
    assert painted(hand) != tagged
    assert hand.canvas.tool.hint.startswith("Drag away")
    hand.type(KEYS.Key_Escape)
    assert len(nodes_of(hand.session.scene.build)) == 4
    assert hand.session.selection == NOTHING
    hand.release(Point(40.0, 187.8))
    assert hand.undo_label is None


def test_what_does_not_fit_stays_at_the_last_radius_that_did(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()), "round")
    hand.hold(Point(40.0, 200.0), Vector(0.0, -30.0), FREE)
    hand.move(Point(40.0, 90.0))
    assert "does not fit" in hand.canvas.tool.hint
    radius = run_measures(hand.session.scene.build, "n1").radius
    # Both corners are rounded: the run of 80 mm between them has room for a radius of 40 each.
    assert radius == pytest.approx(30.0, abs=1.0)
    hand.move(Point(40.0, 180.0))
    assert hand.canvas.tool.hint.startswith("Drag away")
    hand.release(Point(40.0, 180.0))
    assert run_measures(hand.session.build, "n1").radius == pytest.approx(20.0, abs=0.5)


def test_only_corners_are_rounded(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()), "round")
    assert hand.canvas.tool.hint.startswith("Press on a corner and")
    for at, words in [(Point(0.0, 90.0), "Press on a corner"), (Point(40.0, 0.0), "The ends of the edge")]:
        hand.drag(at, Vector(9.0, 9.0))
        assert hand.canvas.tool.hint.startswith(words)
    hand.drag(Point(40.0, 200.0), Vector(0.0, -10.0))
    hand.drag(node_of(hand.session.build, "n1").at, Vector(0.0, -10.0))
    assert hand.canvas.tool.hint.startswith("The edge is smooth")
    assert len(nodes_of(hand.session.build)) == 6


def test_an_undo_in_the_middle_leaves_the_corner(working: Working) -> None:
    before = plain_head(outline=rectangle())
    hand = working(before, "round")
    hand.drag(Point(40.0, 200.0), Vector(0.0, -10.0))
    hand.hold(Point(-40.0, 200.0), Vector(0.0, -10.0))
    hand.session.undo()
    hand.move(Point(-40.0, 180.0))
    hand.release(Point(-40.0, 180.0))
    assert hand.session.build == before
    assert not hand.session.scene.gesture


# Regions


def polygon(hand: Hand) -> Polygon:
    shape = hand.session.build.keep_clear[-1].shape
    assert isinstance(shape, Polygon)
    return shape


CORNERS = (Point(-10.0, 110.0), Point(10.0, 110.0), Point(8.0, 140.0))


@pytest.mark.parametrize("ending", ["enter", "double", "first corner"])
def test_a_region_is_drawn_corner_by_corner(working: Working, ending: str) -> None:
    before = three_and_three()
    hand = working(before, "region")
    hand.canvas.snap = False
    for corner in CORNERS:
        hand.click(corner)
        hand.move(corner + Vector(1.0, 1.0), held=NONE)
    assert hand.canvas.tool.hint.startswith("Click the next corner")
    assert hand.session.build is before
    if ending == "enter":
        hand.type(KEYS.Key_Return)
    elif ending == "double":
        hand.double_click(CORNERS[-1])
        hand.release(CORNERS[-1])
    else:
        hand.click(CORNERS[0])
    drawn = polygon(hand).points
    assert len(drawn) == 3
    assert all(one.distance(two) <= hand.near for one, two in zip(drawn, CORNERS, strict=True))
    assert hand.undo_label == "Draw region"
    assert hand.session.selection == (Item("region", hand.session.build.keep_clear[-1].key),)
    assert not hand.canvas.tool.busy
    hand.session.undo()
    assert hand.session.build == before


def test_a_region_shows_while_it_is_drawn(working: Working) -> None:
    hand = working(three_and_three(), "region")
    seen = [painted(hand)]
    for corner in CORNERS:
        hand.click(corner)
        seen.append(painted(hand))
    assert all(one != two for one, two in combinations(seen, 2))
    hand.type(KEYS.Key_Backspace)
    hand.type(KEYS.Key_Enter)
    assert hand.canvas.tool.hint == "A region needs three corners at least."
    hand.type(KEYS.Key_Delete)
    assert hand.canvas.tool.busy
    hand.type(KEYS.Key_Escape)
    assert not hand.canvas.tool.busy
    assert hand.session.build == three_and_three()
    assert hand.canvas.tool.hint.startswith("Click the corners")


def test_corners_snap(working: Working) -> None:
    hand = working(plain_head(), "region")
    for corner in (Point(0.7, 110.0), Point(10.0, 199.3), Point(-10.0, 120.0)):
        hand.click(corner)
    hand.type(KEYS.Key_Return)
    first, second, _ = polygon(hand).points
    assert first.x == 0.0
    assert second.y == 200.0


def test_a_circle_is_drawn_with_shift(working: Working) -> None:
    before = three_and_three()
    hand = working(before, "region")
    hand.canvas.snap = False
    centre = Point(2.0, 120.0)
    empty = painted(hand)
    hand.press(centre, SHIFT)
    hand.move(centre + Vector(7.0, 0.0))
    assert painted(hand) != empty
    assert hand.canvas.tool.hint.startswith("Let go")
    hand.release(centre + Vector(8.0, 0.0))
    shape = hand.session.build.keep_clear[-1].shape
    assert isinstance(shape, RoundRegion)
    assert shape.centre.distance(centre) <= hand.near
    assert shape.radius == pytest.approx(8.0, abs=2 * hand.near)
    hand.session.undo()
    assert hand.session.build == before
    hand.click(centre, SHIFT)
    assert hand.canvas.tool.hint.startswith("Drag from the centre")
    assert hand.session.build == before


def test_a_full_build_takes_no_more_regions(working: Working) -> None:
    regions = tuple(
        Region(key=f"k{number}", name="", shape=RoundRegion(centre=Point(0.0, 50.0), radius=1.0))
        for number in range(100)
    )
    hand = working(plain_head(keep_clear=regions), "region")
    hand.press(Point(0.0, 120.0), SHIFT)
    hand.release(Point(9.0, 120.0))
    assert "100 regions" in hand.canvas.tool.hint
    assert len(hand.session.build.keep_clear) == 100


# Old holes


def test_an_old_hole_is_noted(working: Working) -> None:
    before = plain_head(row())
    hand = working(before, "old hole")
    hand.canvas.snap = False
    middle = Point(-12.0, 90.0)
    empty = painted(hand)
    hand.move(middle, held=NONE)
    hovered = painted(hand)
    assert hovered != empty
    hand.press(middle)
    hand.move(middle + Vector(3.0, 0.0))
    assert painted(hand) != hovered
    assert hand.canvas.tool.busy
    hand.release(middle + Vector(4.0, 0.0))
    (hole,) = hand.session.build.old_holes
    assert isinstance(hole, OldHole)
    assert hole.at.distance(middle) <= hand.near
    assert hole.diameter == pytest.approx(8.0, abs=4 * hand.near)
    assert hand.undo_label == "Note old hole"
    hand.session.undo()
    assert hand.session.build == before
    hand.click(middle)
    assert hand.canvas.tool.hint.startswith("Drag from the middle of the hole")
    hand.press(middle)
    hand.type(KEYS.Key_Escape)
    hand.release(middle + Vector(4.0, 0.0))
    assert hand.session.build == before


def test_names_of_parts(working: Working) -> None:
    scene = working(laden_head()).session.scene
    assert part_name(scene, Item("string", "s6")) == "string 6"
    assert part_name(scene, Item("row", "t")) == "row"
