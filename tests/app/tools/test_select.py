"""Selecting and dragging with the mouse; every drag is one act, and undo gives exactly the earlier build."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage

from app.document.selection import NOTHING, Item
from geometry.document.build import AlongEdge, Build, RoundRegion
from geometry.document.corner_edits import make_smooth
from geometry.document.edits import free_outline, set_drilled, set_run
from geometry.document.outline import Curve, Nodes, Starter
from geometry.document.outline_nodes import is_smooth, node_of, nodes_of, segment_of
from geometry.layout.layout import lay_out
from geometry.shape.point import Point, Vector
from tests.app.tools.conftest import Working
from tests.app.tools.hand import ALT, CONTROL, FREE, SHIFT, Hand
from tests.builds import (
    INSET,
    PITCH,
    START,
    eight_on_plates,
    laden_head,
    plain_head,
    rectangle,
    row,
    six_in_line,
    three_and_three,
)

STEP = Vector(3.0, -4.0)


def undone(hand: Hand, before: Build) -> None:
    """One undo restores the build, and there is no second act to undo."""
    hand.session.undo()
    assert hand.session.build == before
    assert hand.session.history.undo_label is None
    hand.session.redo()


def test_a_click_selects_shift_adds_and_the_empty_head_selects_nothing(working: Working) -> None:
    hand = working(laden_head())
    post = lay_out(hand.session.build).post("t2").at
    hand.click(Point(33.0, 160.0))
    assert hand.session.selection == (Item("node", "c"),)
    hand.click(post, SHIFT)
    assert list(hand.session.selection) == [Item("node", "c"), Item("post", "t2")]
    hand.click(post, SHIFT)
    assert hand.session.selection == (Item("node", "c"),)
    hand.click(Point(0.0, 70.0), SHIFT)
    assert hand.session.selection == (Item("node", "c"),)
    hand.click(Point(0.0, 70.0))
    assert hand.session.selection == NOTHING
    assert hand.undo_label is None


@pytest.mark.parametrize(
    ("at", "item"),
    [
        (Point(35.0, 94.0), Item("run", "b")),
        (Point(5.0, 30.0), Item("retainer", "tree")),
        (Point(6.0, 118.0), Item("region", "inlay")),
        (Point(25.0, 60.0), Item("old hole", "old1")),
    ],
)
def test_each_kind_is_selected(working: Working, at: Point, item: Item) -> None:
    hand = working(laden_head())
    hand.click(at)
    assert hand.session.selection == (item,)


def test_of_several_selected_a_click_keeps_one(working: Working) -> None:
    hand = working(laden_head())
    hand.session.select((Item("node", "b"), Item("node", "c")))
    hand.click(Point(33.0, 160.0))
    assert hand.session.selection == (Item("node", "c"),)


def test_a_box_selects_what_lies_in_it(working: Working) -> None:
    hand = working(plain_head(row(count=2)))
    hand.press(Point(50.0, 210.0))
    hand.move(Point(10.0, 150.0))
    assert hand.canvas.tool.busy
    image = hand.canvas.grab().toImage()
    hand.move(Point(5.0, 50.0))
    assert hand.canvas.grab().toImage() != image
    hand.release(Point(5.0, 50.0))
    assert set(hand.session.selection) == {
        Item("node", "n1"), Item("post", "treble1"), Item("post", "treble2"),
    }  # fmt: skip
    hand.press(Point(-50.0, 210.0), SHIFT)
    hand.move(Point(-30.0, 190.0), SHIFT)
    hand.release(Point(-30.0, 190.0), SHIFT)
    assert Item("node", "n2") in hand.session.selection
    assert len(hand.session.selection) == 4
    hand.press(Point(-50.0, 100.0))
    hand.move(Point(-30.0, 90.0))
    hand.type(Qt.Key.Key_Escape)
    assert len(hand.session.selection) == 4
    hand.release(Point(-30.0, 90.0))
    assert len(hand.session.selection) == 4


# Dragging


def test_a_node_is_dragged(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.drag(Point(33.0, 160.0), STEP)
    at = node_of(hand.session.build, "c").at
    assert at.distance(Point(36.0, 156.0)) <= 2 * hand.near
    assert hand.undo_label == "Move node"
    assert hand.session.selection == (Item("node", "c"),)
    assert not hand.session.scene.gesture
    undone(hand, before)


@pytest.mark.parametrize("pixels", [5.0, 7.0, 11.0])
@pytest.mark.parametrize("way", ["leave", "arrive", "out"])
def test_the_edge_beside_a_node_is_a_handle_of_the_node(working: Working, way: str, pixels: float) -> None:
    """Taken hold of a little along the edge, before or after the node, or within its sign off the edge."""
    before = laden_head()
    hand = working(before)
    node, along = node_of(before, "c").at, pixels / hand.canvas.view.scale
    if way == "out":
        at = node + Vector(5.0, 2.0).unit() * min(along, 7.0 / hand.canvas.view.scale)
    else:
        run = segment_of(before, "c" if way == "leave" else "b")
        at = node + (run.tangent_at(0.0) if way == "leave" else -run.tangent_at(1.0)) * along
    hand.drag(at, STEP)
    assert hand.undo_label == "Move node"
    assert hand.session.selection == (Item("node", "c"),)
    assert node_of(hand.session.build, "c").at.distance(node + STEP) <= 2 * hand.near
    others = [each.at for each in nodes_of(hand.session.build) if each.key != "c"]
    assert others == [each.at for each in nodes_of(before) if each.key != "c"]
    undone(hand, before)


def test_a_movement_too_small_is_a_click(working: Working) -> None:
    hand = working(laden_head())
    start = hand.pixel(Point(33.0, 160.0))
    hand.press(Point(33.0, 160.0))
    hand.move(hand.canvas.view.to_head((start + QPoint(1, 1)).toPointF()))
    assert not hand.session.scene.gesture
    hand.release(Point(33.0, 160.0))
    assert hand.undo_label is None


def test_escape_restores_exactly(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("post", "t1"),))
    hand.hold(Point(33.0, 160.0), STEP)
    assert hand.session.scene.build != before
    hand.type(Qt.Key.Key_Escape)
    assert hand.session.scene.build is before
    assert not hand.session.scene.gesture
    assert hand.session.selection == (Item("post", "t1"),)
    hand.release(Point(36.0, 156.0))
    assert hand.session.build is before
    assert hand.undo_label is None


def test_an_undo_in_the_middle_ends_the_drag(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.drag(Point(33.0, 160.0), STEP)
    hand.hold(Point(-36.0, 152.0), STEP)
    hand.session.undo()
    hand.move(Point(-20.0, 140.0))
    hand.release(Point(-20.0, 140.0))
    assert hand.session.build == before
    assert not hand.session.scene.gesture


def test_dragging_a_starter_frees_it_in_the_same_act(working: Working) -> None:
    before = three_and_three()
    hand = working(before)
    node = nodes_of(before)[1]
    hand.drag(node.at, STEP)
    assert isinstance(before.outline, Starter)
    assert isinstance(hand.session.build.outline, Nodes)
    assert node_of(hand.session.build, node.key).at.distance(node.at + STEP) <= 2 * hand.near
    undone(hand, before)


def test_both_sides_move_together(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()))
    hand.drag(Point(40.0, 200.0), STEP)
    right, left = (node_of(hand.session.build, key).at for key in ("n1", "n2"))
    assert right.distance(Point(43.0, 196.0)) <= 2 * hand.near
    assert left == right.mirrored


def test_a_handle_is_dragged_and_alt_breaks_the_smooth_node(working: Working) -> None:
    before = make_smooth(make_smooth(free_outline(plain_head(outline=rectangle())), "n1"), "n2")
    hand = working(before)
    hand.click(Point(40.0, 200.0))
    curve = node_of(before, "n1").onward
    assert isinstance(curve, Curve)
    tip = Point(40.0, 200.0) + curve.leave
    hand.drag(tip, Vector(-4.0, 6.0))
    assert hand.undo_label == "Move handle"
    assert is_smooth(hand.session.build, "n1")
    moved = node_of(hand.session.build, "n1").onward
    assert isinstance(moved, Curve)
    assert (moved.leave - curve.leave - Vector(-4.0, 6.0)).length <= 2 * hand.near
    assert hand.session.selection == (Item("node", "n1"),)
    undone(hand, before)
    hand.session.undo()
    hand.drag(tip, Vector(-4.0, 6.0), ALT | CONTROL)
    assert not is_smooth(hand.session.build, "n1")


def test_runs_are_dragged(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    middle = segment_of(before, "b").point_at(0.5)
    hand.drag(middle, Vector(3.0, 0.0))
    assert hand.undo_label == "Move run"
    assert node_of(hand.session.build, "b").at.x == pytest.approx(40.0, abs=2 * hand.near)
    assert node_of(hand.session.build, "c").at.x == pytest.approx(36.0, abs=2 * hand.near)
    undone(hand, before)


def test_a_post_is_put_by_hand(working: Working) -> None:
    before = three_and_three()
    hand = working(before)
    at = lay_out(before).post("t2").at
    hand.drag(at, STEP)
    assert hand.undo_label == "Move post 2"
    assert [each.post for each in hand.session.build.rows[0].moved] == ["t2"]
    assert lay_out(hand.session.build).post("t2").at.distance(at + STEP) <= 2 * hand.near
    undone(hand, before)


def test_a_double_click_takes_the_row_and_a_drag_moves_its_rule(working: Working) -> None:
    before = plain_head(row(count=3))
    hand = working(before)
    hand.double_click(Point(20.0, 100.0))
    hand.release(Point(20.0, 100.0))
    assert hand.session.selection == (Item("row", "treble"),)
    hand.drag(Point(20.0, 100.0), Vector(-2.0, 5.0))
    assert hand.undo_label == "Move row"
    assert hand.session.selection == (Item("row", "treble"),)
    rule = hand.session.build.rows[0].rule
    assert isinstance(rule, AlongEdge)
    assert rule.pitch == PITCH
    assert rule.start == pytest.approx(START + 5.0, abs=2 * hand.near)
    assert rule.inset == pytest.approx(INSET + 2.0, abs=2 * hand.near)
    undone(hand, before)
    hand.click(Point(18.0, 105.0))
    assert hand.session.selection == (Item("row", "treble"),)


def test_a_post_on_a_plate_takes_its_row_along(working: Working) -> None:
    before = eight_on_plates()
    hand = working(before)
    hand.drag(lay_out(before).post("t2").at, Vector(-1.0, 3.0))
    assert hand.undo_label == "Move row"
    assert hand.session.build.rows[0].moved == ()


@pytest.mark.parametrize(
    ("item", "at", "name"),
    [
        (Item("region", "inlay"), Point(6.0, 118.0), "Move inlay"),
        (Item("region", "rod"), Point(0.0, 15.0), "Move rod pocket"),
        (Item("retainer", "tree"), Point(5.0, 30.0), "Move tree"),
        (Item("retainer", "guide"), Point(-4.0, 36.0), "Move guide post"),
        (Item("old hole", "old1"), Point(25.0, 60.0), "Move old hole"),
    ],
)
def test_what_lies_on_the_head_is_dragged(working: Working, item: Item, at: Point, name: str) -> None:
    before = laden_head()
    hand = working(before)
    hand.drag(at, STEP)
    assert hand.undo_label == name
    assert hand.session.selection == (item,)
    undone(hand, before)


def test_several_parts_are_dragged_as_one_act(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("run", "c"), Item("region", "inlay")))
    hand.drag(Point(6.0, 118.0), STEP)
    assert hand.undo_label == "Move 2 parts"
    shape = hand.session.build.keep_clear[1].shape
    assert isinstance(shape, RoundRegion)
    step = shape.centre - Point(6.0, 118.0)
    assert node_of(hand.session.build, "c").at.distance(Point(33.0, 160.0) + step) < 1e-9
    assert node_of(hand.session.build, "d").at.distance(Point(-36.0, 152.0) + step) < 1e-9
    hand.drag(segment_of(hand.session.build, "c").point_at(0.5), STEP)
    assert hand.undo_label == "Move 2 parts"


def test_what_shift_has_just_taken_out_is_not_dragged(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("node", "c"), Item("node", "d")))
    hand.press(Point(33.0, 160.0), SHIFT)
    hand.move(Point(40.0, 150.0), SHIFT)
    hand.release(Point(40.0, 150.0), SHIFT)
    assert hand.session.build is before
    assert hand.session.selection == (Item("node", "d"),)


# Snapping


def test_a_node_snaps_and_says_why(working: Working) -> None:
    hand = working(laden_head())
    hand.press(Point(33.0, 160.0))
    hand.move(Point(36.5, 130.0))
    assert node_of(hand.session.scene.build, "c").at.x == 37.0
    assert hand.canvas.tool.hint.startswith("Above or below a node.")
    hand.move(Point(20.0, 151.6))
    assert node_of(hand.session.scene.build, "c").at.y == 152.0
    hand.move(Point(1.0, 170.0))
    assert node_of(hand.session.scene.build, "c").at.x == 0.0
    assert hand.canvas.tool.hint.startswith("On the centre line")
    plain = hand.canvas.grab().toImage()
    hand.move(Point(1.0, 170.0), CONTROL)
    assert node_of(hand.session.scene.build, "c").at.x != 0.0
    assert hand.canvas.tool.hint == "Ctrl moves freely, Esc gives up"
    assert hand.canvas.grab().toImage() != plain
    hand.canvas.snap = False
    hand.move(Point(1.0, 170.0))
    assert node_of(hand.session.scene.build, "c").at.x != 0.0
    hand.type(Qt.Key.Key_Escape)
    hand.release(Point(1.0, 170.0))


def test_the_grid_attracts_when_it_is_shown(working: Working) -> None:
    hand = working(laden_head())
    hand.canvas.grid = True
    step = hand.canvas.aids().grid
    assert step is not None
    hand.press(Point(25.0, 60.0))
    hand.move(Point(18.3, 71.3))
    at = hand.session.scene.build.old_holes[0].at
    for value in (at.x, at.y):
        assert value / step == pytest.approx(round(value / step))
    hand.release(Point(18.3, 71.3))


def test_a_straight_drag_keeps_its_axis_and_goes_in_steps_of_a_millimetre(working: Working) -> None:
    hand = working(laden_head())
    hand.canvas.grid = True
    before = hand.session.scene.build.old_holes[0].at
    # An odd place, off every step of the grid.
    hand.press(before)
    hand.move(Point(before.x + 3.3, before.y + 0.3))
    at = hand.session.scene.build.old_holes[0].at
    assert at.y == before.y
    assert abs(at.x - before.x - 3.3) <= 0.5
    hand.move(Point(before.x + 0.3, before.y + 9.4))
    at = hand.session.scene.build.old_holes[0].at
    assert at.x == before.x
    assert abs(at.y - before.y - 9.4) <= 0.5
    hand.release(Point(before.x, before.y + 9.4))


def test_measures_stand_beside_what_is_dragged(working: Working) -> None:
    hand = working(laden_head())
    bare = image_of(hand)
    hand.hold(Point(33.0, 160.0), STEP, FREE)
    assert image_of(hand) != bare
    hand.canvas.units = "inch"
    in_inches = image_of(hand)
    hand.move(Point(36.2, 156.0), FREE)
    assert image_of(hand) != in_inches
    hand.type(Qt.Key.Key_Escape)


def image_of(hand: Hand) -> QImage:
    return hand.canvas.grab().toImage()


# Double clicks


def test_a_double_click_on_the_edge_adds_a_node(working: Working) -> None:
    before = six_in_line()
    hand = working(before)
    at = segment_of(before, nodes_of(before)[1].key).point_at(0.4)
    hand.double_click(at)
    hand.release(at)
    assert hand.undo_label == "Add node"
    assert len(nodes_of(hand.session.build)) == len(nodes_of(before)) + 1
    (item,) = hand.session.selection
    assert node_of(hand.session.build, item.key).at.distance(at) <= 2 * hand.near
    hand.double_click(node_of(hand.session.build, item.key).at)
    assert hand.session.selection == (item,)
    hand.double_click(Point(-60.0, 100.0))
    assert hand.session.selection == NOTHING
    undone(hand, before)


def test_a_full_outline_takes_no_more_nodes(working: Working) -> None:
    build = plain_head()
    ends = nodes_of(build)
    many = tuple(type(ends[0])(key=f"x{n}", at=Point(40.0 - n / 6.25, 200.0)) for n in range(496))
    full = plain_head(
        outline=Nodes(nodes=(ends[0], *many, *ends[2:], type(ends[0])(key="z", at=Point(-40, 0))))
    )
    hand = working(set_run(full, "n0", nodes_of(full)[0].onward))
    hand.double_click(Point(40.0, 100.0))
    assert "500 nodes" in hand.canvas.tool.hint
    assert hand.session.build is full or len(nodes_of(hand.session.build)) == 500
    hand.click(Point(0.0, 50.0))
    assert hand.canvas.tool.hint.startswith("Click to select")


def test_a_drilled_hole_stays_and_says_so(working: Working) -> None:
    build = set_drilled(three_and_three(), "t2", drilled=True)
    hand = working(build)
    places = {post.key: post.at for post in hand.session.scene.layout.posts}
    hand.drag(places["t2"], Vector(3.0, 4.0))
    assert hand.session.build == build
    assert hand.undo_label is None
    assert "is drilled and stays" in hand.canvas.tool.hint
    # Others that are chosen with it move.
    hand.session.select((Item("post", "t2"), Item("post", "t3")))
    hand.type(Qt.Key.Key_Up)
    assert "is drilled and stays" in hand.canvas.tool.hint
    moved = {post.key: post.at for post in hand.session.scene.layout.posts}
    assert moved["t2"] == places["t2"]
    assert moved["t3"].y > places["t3"].y
