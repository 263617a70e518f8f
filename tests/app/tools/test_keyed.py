"""Keys that every tool understands."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QByteArray, QMimeData, Qt
from PySide6.QtGui import QGuiApplication

from app.document.selection import NOTHING, Item
from app.tools.catalogue import TOOLS
from app.tools.keyed import LARGEST_PASTE, MIME_TYPE, on_clipboard, put_on_clipboard
from geometry.document.copies import ASIDE, Copies, copied
from geometry.document.outline_nodes import node_of, nodes_of
from geometry.layout.layout import lay_out
from geometry.shape.point import Point, Vector
from tests.app.tools.conftest import Working
from tests.app.tools.hand import ALT, CONTROL, FREE, SHIFT
from tests.builds import laden_head, plain_head, rectangle

KEYS = Qt.Key


@pytest.mark.parametrize("tool", sorted(TOOLS))
@pytest.mark.parametrize(
    ("key", "keys", "step"),
    [
        (KEYS.Key_Left, FREE, Vector(-0.1, 0.0)),
        (KEYS.Key_Right, SHIFT, Vector(1.0, 0.0)),
        (KEYS.Key_Up, ALT, Vector(0.0, 0.01)),
        (KEYS.Key_Down, FREE, Vector(0.0, -0.1)),
    ],
)
def test_arrows_nudge(
    working: Working, tool: str, key: KEYS, keys: Qt.KeyboardModifier, step: Vector
) -> None:
    before = laden_head()
    hand = working(before, tool)
    hand.session.select((Item("node", "c"),))
    hand.type(key, keys)
    assert node_of(hand.session.build, "c").at.distance(Point(33.0, 160.0) + step) < 1e-9
    assert hand.undo_label == "Move node"
    hand.session.undo()
    assert hand.session.build == before


def test_from_behind_right_is_left(working: Working) -> None:
    hand = working(laden_head())
    hand.canvas.set_side("back")
    hand.session.select((Item("post", "t1"),))
    at = lay_out(hand.session.build).post("t1").at
    hand.type(KEYS.Key_Right, SHIFT)
    assert lay_out(hand.session.build).post("t1").at.distance(at + Vector(-1.0, 0.0)) < 1e-9
    assert hand.undo_label == "Move post 1"


def test_a_run_is_nudged_with_its_nodes_and_both_sides_alike(working: Working) -> None:
    hand = working(plain_head(outline=rectangle()))
    hand.session.select((Item("run", "n0"),))
    hand.type(KEYS.Key_Right, SHIFT)
    assert [node.at.x for node in nodes_of(hand.session.build)] == [41.0, 41.0, -41.0, -41.0]


def test_without_a_selection_arrows_are_the_view_s(working: Working) -> None:
    hand = working(laden_head())
    centre = hand.canvas.view.centre
    hand.type(KEYS.Key_Left)
    assert hand.canvas.view.centre != centre
    assert hand.undo_label is None
    hand.session.select((Item("string", "s1"),))
    hand.type(KEYS.Key_Left)
    hand.type(KEYS.Key_Delete)
    assert hand.undo_label is None


@pytest.mark.parametrize("key", [KEYS.Key_Delete, KEYS.Key_Backspace])
def test_delete_takes_away_what_is_selected(working: Working, key: KEYS) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("node", "c"), Item("region", "rod"), Item("post", "b2"), Item("run", "a")))
    hand.type(key)
    build = hand.session.build
    assert [node.key for node in nodes_of(build)] == ["a", "b", "d", "e", "f"]
    assert [region.key for region in build.keep_clear] == ["inlay"]
    assert [post.key for post in build.rows[1].posts] == ["b1", "b3"]
    assert hand.undo_label == "Delete 4 parts"
    assert hand.session.selection == (Item("run", "a"),)
    hand.session.undo()
    assert hand.session.build == before


def test_the_ends_of_the_outline_are_not_deleted(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("node", "a"),))
    hand.type(KEYS.Key_Delete)
    assert hand.session.build == before
    assert hand.undo_label is None


def test_everything_in_view_is_selected(working: Working) -> None:
    hand = working(laden_head())
    hand.type(KEYS.Key_A, CONTROL)
    kinds = [item.kind for item in hand.session.selection]
    assert kinds.count("node") == 6
    assert kinds.count("post") == 6
    assert kinds.count("region") == 2
    assert kinds.count("retainer") == 2
    assert kinds.count("old hole") == 1


def test_copies_are_pasted_aside(working: Working) -> None:
    before = laden_head()
    hand = working(before)
    hand.session.select((Item("region", "inlay"), Item("string", "s1")))
    hand.type(KEYS.Key_C, CONTROL)
    assert hand.undo_label is None
    hand.type(KEYS.Key_V, CONTROL)
    assert hand.undo_label == "Paste"
    assert len(hand.session.build.keep_clear) == 3
    assert list(hand.session.selection) == [Item("region", hand.session.build.keep_clear[2].key)]
    hand.session.undo()
    assert hand.session.build == before


def test_what_is_cut_comes_back_by_pasting(working: Working) -> None:
    hand = working(laden_head())
    hand.session.select((Item("old hole", "old1"),))
    hand.type(KEYS.Key_X, CONTROL)
    assert hand.undo_label == "Cut old hole"
    assert len(hand.session.build.old_holes) == 1
    hand.type(KEYS.Key_V, CONTROL)
    assert [hole.at for hole in hand.session.build.old_holes] == [Point(-30.0, 95.0), Point(25.0, 60.0)]


def test_a_second_one_is_put_beside(working: Working) -> None:
    hand = working(laden_head())
    hand.session.select((Item("retainer", "guide"),))
    hand.type(KEYS.Key_D, CONTROL)
    assert hand.undo_label == "Duplicate guide post"
    assert hand.session.build.retainers[2].at == Point(-4.0, 36.0) + ASIDE
    hand.session.select(NOTHING)
    hand.type(KEYS.Key_D, CONTROL)
    assert len(hand.session.build.retainers) == 3


def test_nothing_to_copy_or_paste_is_said(working: Working) -> None:
    hand = working(laden_head())
    QGuiApplication.clipboard().clear()
    hand.type(KEYS.Key_V, CONTROL)
    assert hand.canvas.tool.hint.startswith("There is nothing to paste")
    hand.type(KEYS.Key_C, CONTROL)
    assert hand.canvas.tool.hint.startswith("Select nodes")
    hand.type(KEYS.Key_X, CONTROL)
    assert hand.undo_label is None
    put_on_clipboard(Copies())
    hand.type(KEYS.Key_V, CONTROL)
    assert hand.canvas.tool.hint.startswith("There is nothing to paste")
    hand.type(KEYS.Key_Q, CONTROL)
    assert hand.canvas.tool.hint.startswith("Click to select")


def test_a_full_build_says_that_it_is_full(working: Working) -> None:
    hand = working(laden_head())
    put_on_clipboard(Copies(regions=laden_head().keep_clear * 51))
    hand.type(KEYS.Key_V, CONTROL)
    assert "100 regions" in hand.canvas.tool.hint
    assert hand.undo_label is None


def test_while_dragging_keys_wait(working: Working) -> None:
    hand = working(laden_head())
    hand.hold(Point(33.0, 160.0), Vector(3.0, 3.0))
    during = hand.session.scene.build
    hand.type(KEYS.Key_Delete)
    hand.type(KEYS.Key_Left)
    assert hand.session.scene.build == during
    hand.type(KEYS.Key_Escape)
    assert hand.undo_label is None
    hand.release(Point(36.0, 163.0))


# The clipboard


def test_copies_survive_the_clipboard(working: Working) -> None:
    working(laden_head())
    copies = copied(laden_head(), [("node", "c"), ("post", "t2"), ("region", "rod"), ("retainer", "tree")])
    put_on_clipboard(copies)
    assert on_clipboard() == copies


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b'{"nodes": 3}',
        b'{"nodes": [{"key": "n 1"}]}',
        b"\xff\xfe",
        b'{"more": 1}',
        b" " * (LARGEST_PASTE + 1),
    ],
)
def test_what_cannot_be_used_is_nothing(working: Working, content: bytes) -> None:
    working(laden_head())
    data = QMimeData()
    data.setData(MIME_TYPE, QByteArray(content))
    QGuiApplication.clipboard().setMimeData(data)
    assert on_clipboard() is None


def test_words_on_the_clipboard_are_no_parts(working: Working) -> None:
    working(laden_head())
    QGuiApplication.clipboard().setText('{"nodes": []}')
    assert on_clipboard() is None
