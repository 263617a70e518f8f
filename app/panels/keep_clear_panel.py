"""What is already there: regions where no hole may come, old holes, trees and guide posts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.selection import Item
from app.document.session import Session
from app.panels.mark_forms import MarkForm, OldHoleForm, RegionForm, RetainerForm
from app.panels.numbers import most_of
from app.panels.panel import Panel
from app.panels.part_table import PartTable
from app.widgets.kit import heading, line, small_button
from app.widgets.number_field import number_text
from geometry.document import edits, mark_edits
from geometry.document.build import Build, OldHole, Region, Retainer, RoundRegion
from geometry.shape.point import Point
from geometry.trade.units import Units

MIDDLE = Point(0.0, 20.0)
NEW_RADIUS = 5.0
NEW_HOLE = 6.0
NEW_TREE = Point(0.0, 50.0)
"""Where new marks begin, and how large, mm; the maker puts them right."""


class KeepClearPanel(Panel):
    """Lists of what is there, each with the fields of the current one."""

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show what the session's build has."""
        super().__init__(session, units)
        self.set_title(self.tr("Keep clear"))
        self._sections: list[tuple[PartTable, MarkForm[Any], QWidget, QWidget, str]] = []
        self._add_regions()
        self._add_holes()
        self._add_retainers()
        self.column.addStretch(1)
        self.refresh()

    def _add_regions(self) -> None:
        tr = self.tr
        columns = ("", tr("Name"), tr("From"))
        self.regions = PartTable(self.session, "region", tr("Regions to keep clear"), columns)
        tip = tr("Add a round region; polygons are drawn on the head")
        self.add_region = small_button(tr("Add"), tip, self._add_region)
        self.remove_region = small_button(
            tr("Remove"),
            tr("Forget this region"),
            lambda: self._forget(self.regions, tr("Remove region"), edits.remove_region),
        )
        self.region_form = RegionForm(self.session, self.units)
        self.put(heading(tr("Regions"), first=True))
        self._section(self.regions, self.region_form, self.add_region, self.remove_region, "keep_clear")

    def _add_holes(self) -> None:
        tr = self.tr
        columns = (tr("Diameter"), tr("Place"), "")
        self.holes = PartTable(self.session, "old hole", tr("Old holes"), columns)
        tip = tr("Note a hole that the head has already")
        self.add_hole = small_button(tr("Add"), tip, self._add_hole)
        self.remove_hole = small_button(
            tr("Remove"),
            tr("Forget this hole"),
            lambda: self._forget(self.holes, tr("Remove old hole"), mark_edits.remove_old_hole),
        )
        self.hole_form = OldHoleForm(self.session, self.units)
        self.put(heading(tr("Old holes")))
        self._section(self.holes, self.hole_form, self.add_hole, self.remove_hole, "old_holes")

    def _add_retainers(self) -> None:
        tr = self.tr
        name = tr("Trees and guide posts")
        self.retainers = PartTable(self.session, "retainer", name, (tr("Kind"), tr("Place")))
        tip = tr("Add a tree; its kind can be changed to a guide post")
        self.add_retainer = small_button(tr("Add"), tip, self._add_retainer)
        self.remove_retainer = small_button(
            tr("Remove"),
            tr("Take this one away"),
            lambda: self._forget(self.retainers, tr("Remove retainer"), mark_edits.remove_retainer),
        )
        self.retainer_form = RetainerForm(self.session, self.units)
        self.put(heading(name))
        self._section(
            self.retainers, self.retainer_form, self.add_retainer, self.remove_retainer, "retainers"
        )

    def _section(
        self, table: PartTable, form: MarkForm[Any], add: QWidget, remove: QWidget, field: str
    ) -> None:
        """A table of marks, its buttons, and the fields of the current mark; `field` holds them in a build."""
        table.current_changed.connect(lambda: self._show_forms(self.session.scene))
        self._sections.append((table, form, add, remove, field))
        self.put(table, line(add, remove), form)

    # Showing

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Show what the build of a scene has."""
        build, places = scene.build, self._place
        sides = {"face": self.tr("face"), "back": self.tr("back"), "through": self.tr("through")}
        round_or_not = {True: "○", False: "⬠"}
        regions = [
            (each.key, (round_or_not[isinstance(each.shape, RoundRegion)], each.name, sides[each.side]))
            for each in build.keep_clear
        ]
        plugged = {True: self.tr("plugged"), False: ""}
        holes = [
            (each.key, (self._length(each.diameter), places(each.at), plugged[each.plugged]))
            for each in build.old_holes
        ]
        kinds = {"tree": self.tr("Tree"), "guide post": self.tr("Guide post")}
        self.regions.show_rows(regions, scene)
        self.holes.show_rows(holes, scene)
        self.retainers.show_rows(
            [(each.key, (kinds[each.kind], places(each.at))) for each in build.retainers], scene
        )
        self._show_forms(scene)

    def _show_forms(self, scene: Scene) -> None:
        for table, form, add, remove, field in self._sections:
            table.setVisible(table.rowCount() > 0)
            remove.setVisible(table.current is not None)
            add.setEnabled(table.rowCount() < most_of(Build, field))
            form.show_mark(scene, table.current)

    def _length(self, length: float) -> str:
        return number_text(length, "length", self.units)

    def _place(self, at: Point) -> str:
        return f"{self._length(at.x)},  {self._length(at.y)}"

    # Acts

    def _add_region(self) -> None:
        key = edits.fresh_key("g", {each.key for each in self.session.build.keep_clear})
        shape = RoundRegion(centre=MIDDLE, radius=NEW_RADIUS)
        region = Region(key=key, name=self.tr("region"), shape=shape)
        self.session.act(
            self.tr("Add a region"), lambda build: edits.add_region(build, region), (Item("region", key),)
        )

    def _add_hole(self) -> None:
        key = edits.fresh_key("o", {each.key for each in self.session.build.old_holes})
        hole = OldHole(key=key, at=MIDDLE, diameter=NEW_HOLE)
        self.session.act(
            self.tr("Add an old hole"),
            lambda build: edits.add_old_hole(build, hole),
            (Item("old hole", key),),
        )

    def _add_retainer(self) -> None:
        """Strings begin under it at the height that they have at the nut."""
        build = self.session.build
        key = edits.fresh_key("t", {each.key for each in build.retainers})
        made = Retainer(key=key, at=NEW_TREE, height=build.nut.slot_floor, strings=())
        self.session.act(
            self.tr("Add a tree"), lambda build: edits.add_retainer(build, made), (Item("retainer", key),)
        )

    def _forget(self, table: PartTable, label: str, forget: Callable[[Build, str], Build]) -> None:
        key = table.current
        if key is not None:
            self.session.act(label, lambda build: forget(build, key))
