"""Regions, old holes, trees and guide posts in the panel."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.selection import Item
from app.document.session import Session
from app.panels.keep_clear_panel import KeepClearPanel
from geometry.document.build import Build, FaceScrew, OldHole, Polygon, Region, Retainer, RoundRegion
from geometry.document.codec import read_build, write_build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import laden_head, plain_head, six_in_line, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

TRIANGLE = Polygon(points=(Point(0, 10), Point(10, 10), Point(0, 20)))


def panel_of(qtbot: QtBot, build: Build) -> KeepClearPanel:
    return shown(qtbot, KeepClearPanel(Session(build)), height=1400)


def test_a_region_is_added_changed_and_forgotten(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, plain_head())
    form = panel.region_form
    assert not form.isVisible()
    press(panel.add_region)
    assert panel.session.selection == (Item("region", "g1"),)
    type_in(form.name, "rod pocket")
    pick(form.side, "Face")
    type_in(form.numbers.fields["depth"], "8")
    type_in(form.numbers.fields["cover_height"], "2")
    type_in(form.place.x, "1")
    type_in(form.place.y, "12.5")
    type_in(form.round.fields["radius"], "6")
    wanted = Region(
        key="g1",
        name="rod pocket",
        shape=RoundRegion(centre=Point(1.0, 12.5), radius=6.0),
        side="face",
        depth=8.0,
        cover_height=2.0,
    )
    assert list(panel.session.build.keep_clear) == [wanted]
    assert read_build(write_build(panel.session.build)) == panel.session.build
    press(panel.remove_region)
    assert panel.session.build == plain_head()
    assert not panel.regions.isVisible()


def test_corners_of_a_polygon_have_exact_numbers(qtbot: QtBot) -> None:
    region = Region(key="g1", name="inlay", shape=TRIANGLE)
    other = replace(region, key="g2", name="other")
    panel = panel_of(qtbot, plain_head(keep_clear=(region, other)))
    form = panel.region_form
    assert not form.numbers.fields["depth"].isVisible()
    assert not form.round.fields["radius"].isVisible()
    pick(form.corner, "2 of 3")
    type_in(form.place.x, "12")
    shape = Polygon(points=(Point(0, 10), Point(12, 10), Point(0, 20)))
    assert panel.session.build.keep_clear[0] == replace(region, shape=shape)
    panel.regions.setFocus()
    QTest.keyClick(panel.regions, Qt.Key.Key_Down)
    assert form.corner.currentText() == "1 of 3"
    assert form.name.text() == "other"


def test_an_old_hole_is_noted_changed_and_forgotten(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, plain_head())
    form = panel.hole_form
    press(panel.add_hole)
    type_in(form.place.y, "70")
    type_in(form.numbers.fields["diameter"], "5/16 in")
    assert not form.side.isVisible()
    type_in(form.numbers.fields["depth"], "10")
    pick(form.side, "Face")
    press(form.plugged)
    wanted = OldHole(key="o1", at=Point(0.0, 70.0), diameter=7.9375, depth=10.0, side="face", plugged=True)
    assert list(panel.session.build.old_holes) == [wanted]
    type_in(form.numbers.fields["depth"], " ")
    assert panel.session.build.old_holes[0].depth is None
    press(panel.remove_hole)
    assert panel.session.build == plain_head()


def test_a_tree_becomes_a_guide_post(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    form = panel.retainer_form
    press(panel.add_retainer)
    assert not form.passed_on.isVisible()
    type_in(form.place.x, "-3")
    type_in(form.numbers.fields["height"], "4.5")
    pick(form.kind, "Guide post")
    pick(form.passed_on, "Bass side")
    QApplication.processEvents()
    ticks = list(form._ticks.values())
    press(ticks[1])
    press(ticks[0])
    press(ticks[4])
    press(ticks[1])
    keys = [each.key for each in build.strings]
    wanted = Retainer(
        key="t1",
        at=Point(-3.0, 50.0),
        height=4.5,
        strings=(keys[0], keys[4]),
        kind="guide post",
        radius=1.5,
        passed_on="bass",
    )
    assert list(panel.session.build.retainers) == [wanted]
    type_in(form.numbers.fields["radius"], "2")
    pick(form.kind, "Tree")
    pick(form.kind, "Guide post")
    assert panel.session.build.retainers[0].radius == 2.0
    assert read_build(write_build(panel.session.build)) == panel.session.build
    press(panel.remove_retainer)
    assert panel.session.build == build


def test_a_tree_has_its_reach_and_its_screw(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    form = panel.retainer_form
    press(panel.add_retainer)
    type_in(form.numbers.fields["half_width"], "12")
    assert form.screw.isChecked()
    type_in(form.screw_numbers.fields["depth"], "7")
    tree = panel.session.build.retainers[0]
    assert (tree.half_width, tree.screw) == (12.0, FaceScrew(depth=7.0))
    press(form.screw)
    assert panel.session.build.retainers[0].screw is None
    assert not form.screw_numbers.fields["root"].isVisible()
    assert lay_out(panel.session.build).tree_screws == ()
    press(form.screw)
    assert panel.session.build.retainers[0].held_by == FaceScrew()
    pick(form.kind, "Guide post")
    assert not form.numbers.fields["half_width"].isVisible()


def test_other_strings_give_other_ticks(qtbot: QtBot) -> None:
    panel = panel_of(
        qtbot, six_in_line(retainers=(Retainer(key="t1", at=Point(0, 50), height=3.0, strings=()),))
    )
    assert len(panel.retainer_form._ticks) == 6
    panel.session.act("fewer", lambda build: replace(build, strings=build.strings[:2]))
    assert [tick.text() for tick in panel.retainer_form._ticks.values()] == [
        f"{number}  {string.name}" for number, string in enumerate(panel.session.build.strings, start=1)
    ]


def test_everything_there_is_listed(qtbot: QtBot) -> None:
    build = laden_head()
    panel = panel_of(qtbot, build)
    assert panel.regions.rowCount() == len(build.keep_clear)
    assert panel.holes.rowCount() == len(build.old_holes)
    assert panel.retainers.rowCount() == len(build.retainers)
    panel.set_units("inch")
    panel._forget(panel.regions, "gone", lambda each, _: replace(each, keep_clear=()))
    panel._forget(panel.regions, "gone", lambda each, _: replace(each, name="never"))
    assert panel.session.build.name == build.name


def test_no_more_than_a_file_holds(qtbot: QtBot) -> None:
    region = Region(key="g", name="", shape=TRIANGLE)
    many = tuple(replace(region, key=f"g{number}") for number in range(100))
    panel = panel_of(qtbot, plain_head(keep_clear=many))
    assert not panel.add_region.isEnabled()
    assert panel.add_hole.isEnabled()
