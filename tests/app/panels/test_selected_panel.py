"""What is selected, in exact numbers."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.document.selection import Item, ItemKind
from app.document.session import Session
from app.panels.selected_panel import SelectedPanel
from geometry.document.build import Build
from geometry.document.corner_edits import round_corner
from geometry.document.edits import free_outline
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import is_smooth, node_of, nodes_of, run_measures
from geometry.document.starters import STARTERS
from geometry.document.twins import set_symmetric
from geometry.search.rings.rings import drilled_posts
from geometry.shape.point import Point
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import laden_head, plain_head, rectangle, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def panel_of(qtbot: QtBot, build: Build, kind: ItemKind | None = None, key: str = "") -> SelectedPanel:
    session = Session(build)
    if kind is not None:
        session.select((Item(kind, key),))
    return shown(qtbot, SelectedPanel(session), height=1200)


def square(qtbot: QtBot, kind: ItemKind, key: str) -> SelectedPanel:
    """The plain head: 80 wide, 200 long, nodes n0 to n3 from the right end of the nut line."""
    return panel_of(qtbot, plain_head(outline=rectangle()), kind, key)


def test_nothing_selected(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, plain_head())
    assert panel.title.text() == "Nothing is selected"
    assert panel.hint.isVisible()
    assert not [field for field in panel.findChildren(QLineEdit) if field.isVisible()]


def test_a_node_is_put_on_a_hundredth(qtbot: QtBot) -> None:
    panel = square(qtbot, "node", "n1")
    assert panel.title.text() == "Node 2"
    type_in(panel.node.place.x, "39.87")
    type_in(panel.node.place.y, "7 7/8 in")
    assert node_of(panel.session.build, "n1").at == Point(39.87, 200.025)
    assert node_of(panel.session.build, "n2").at == Point(-39.87, 200.025)
    assert panel.session.history.undo_labels == ("Move node", "Move node")


def test_sides_that_may_differ_move_alone(qtbot: QtBot) -> None:
    panel = square(qtbot, "node", "n1")
    panel.session.act("Let the sides differ", lambda build: set_symmetric(build, on=False))
    type_in(panel.node.place.x, "35")
    assert node_of(panel.session.build, "n2").at == Point(-40.0, 200.0)


def test_ends_stay_on_the_nut_line(qtbot: QtBot) -> None:
    panel = square(qtbot, "node", "n0")
    assert not panel.node.place.y.isEnabled()
    assert not panel.node.kind.isVisible()
    assert not panel.arriving.isVisible()
    assert panel.leaving.isVisible()
    panel.session.select((Item("node", "n3"),))
    assert panel.arriving.isVisible()
    assert not panel.leaving.isVisible()


def test_a_corner_becomes_smooth_and_a_corner_again(qtbot: QtBot) -> None:
    panel = square(qtbot, "node", "n1")
    pick(panel.node.kind, "Smooth")
    assert is_smooth(panel.session.build, "n1")
    assert not panel.node.rounding.isVisible()
    pick(panel.node.kind, "Corner")
    assert not is_smooth(panel.session.build, "n1")


def test_a_corner_is_rounded_by_a_radius(qtbot: QtBot) -> None:
    panel = square(qtbot, "node", "n1")
    before = panel.session.build
    type_in(panel.node.rounding, "500")
    assert panel.node.rounding.fault
    assert panel.node.rounding.text() == "500"
    assert panel.session.build == before
    type_in(panel.node.rounding, "12")
    assert panel.session.build == round_corner(before, "n1", 12.0, symmetric=True)
    arcs = [run_measures(panel.session.build, node.key) for node in nodes_of(panel.session.build)[:-1]]
    assert [each.radius for each in arcs if each.kind == "arc"] == [pytest.approx(12.0)] * 2
    panel.session.undo()
    type_in(panel.node.rounding, "3")
    panel.session.undo()
    panel.session.select((Item("node", "n2"),))
    assert panel.node.rounding.text() == ""


def test_length_and_direction_of_a_run(qtbot: QtBot) -> None:
    panel = square(qtbot, "run", "n0")
    assert panel.title.text() == "Run 1"
    assert panel.leaving.length.text() == "200 mm"
    assert panel.leaving.angle.text() == "90°"
    assert not panel.leaving_title.isVisible()
    type_in(panel.leaving.length, "190")
    assert node_of(panel.session.build, "n1").at == Point(40.0, 190.0)
    type_in(panel.leaving.angle, "100")
    measures = run_measures(panel.session.build, "n0")
    assert measures.length == pytest.approx(190.0)
    assert math.degrees(measures.angle) == pytest.approx(100.0)


def test_kind_and_radius_of_a_run(qtbot: QtBot) -> None:
    panel = square(qtbot, "run", "n1")
    form = panel.leaving
    assert not form.radius.isVisible()
    pick(form.kind, "Arc")
    before = panel.session.build
    type_in(form.radius, "30")
    assert "at least half the distance" in form.radius.fault
    assert panel.session.build == before
    type_in(form.radius, "50")
    assert run_measures(panel.session.build, "n1").radius == pytest.approx(50.0)
    pick(form.kind, "Curve")
    assert run_measures(panel.session.build, "n1").kind == "curve"
    pick(form.kind, "Straight")
    assert panel.session.build == plain_head(outline=rectangle())


def test_a_radius_that_was_refused_is_gone_once_another_run_is_looked_at(qtbot: QtBot) -> None:
    panel = square(qtbot, "run", "n1")
    pick(panel.leaving.kind, "Arc")
    there = panel.leaving.radius.text()
    type_in(panel.leaving.radius, "abc")
    assert panel.leaving.radius.fault
    panel.session.select((Item("run", "n0"),))
    panel.session.select((Item("run", "n1"),))
    assert panel.leaving.radius.text() == there
    assert not panel.leaving.radius.fault


def test_what_cannot_be_turned_says_why(qtbot: QtBot) -> None:
    panel = square(qtbot, "run", "n1")
    type_in(panel.leaving.angle, "170")
    assert "centre line" in panel.leaving.angle.fault
    assert panel.leaving.angle.value == 180.0


@pytest.mark.parametrize(
    ("kind", "title", "visible"),
    [
        ("region", "Region", "region"),
        ("old hole", "Old hole", "hole"),
        ("retainer", "Tree", "retainer"),
        ("row", "Row of tuners", "hint"),
        ("string", "String 1", "hint"),
        ("post", "Post 1", "post"),
    ],
)
def test_every_kind_of_part_has_its_fields(qtbot: QtBot, kind: ItemKind, title: str, visible: str) -> None:
    build = laden_head()
    keys: dict[ItemKind, str] = {
        "region": build.keep_clear[0].key,
        "old hole": build.old_holes[0].key,
        "retainer": build.retainers[0].key,
        "row": build.rows[0].key,
        "string": build.strings[0].key,
        "post": build.rows[0].posts[0].key,
    }
    panel = panel_of(qtbot, build, kind, keys[kind])
    assert panel.title.text().split()[0] == title.split()[0]
    assert getattr(panel, visible).isVisible()


def test_of_several_the_last_one_is_shown(qtbot: QtBot) -> None:
    build = free_outline(three_and_three())
    first, second = (node.key for node in nodes_of(build)[1:3])
    panel = panel_of(qtbot, build)
    panel.session.select((Item("node", first), Item("node", second)))
    assert panel.title.text() == "Node 3"
    assert panel.hint.text() == "2 selected; these are the numbers of the last one."


def test_a_node_of_a_starter_frees_the_outline(qtbot: QtBot) -> None:
    build = replace(three_and_three(), outline=STARTERS["narrow"])
    key = nodes_of(build)[1].key
    panel = panel_of(qtbot, build, "node", key)
    type_in(panel.node.place.x, "21")
    assert isinstance(panel.session.build.outline, Nodes)
    assert node_of(panel.session.build, key).at.x == 21.0
    assert panel.node.isVisible()
    panel.session.undo()
    assert panel.session.build == build


def test_a_hole_is_drilled_and_not(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three(), "post", "t1")
    assert not panel.post.drilled.isChecked()
    press(panel.post.drilled)
    assert drilled_posts(panel.session.build) == ("t1",)
    press(panel.post.drilled)
    assert drilled_posts(panel.session.build) == ()
    assert panel.session.history.undo_labels == ("Mark hole 1 as not drilled", "Mark hole 1 as drilled")
