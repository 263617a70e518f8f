"""What is already there: regions where no hole may come, old holes, trees and guide posts."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QToolButton, QWidget

from app.document.scene import Scene
from app.document.selection import Item
from app.document.session import Session
from app.panels.mark_forms import OldHoleForm, RegionForm, RetainerForm
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

    def __init__(self, session: Session, units: Units = "mm", parent: QWidget | None = None) -> None:
        """Show what the session's build has."""
        super().__init__(session, "", units, parent)
        self.setAccessibleName(self.tr("Keep clear"))
        self.setWindowTitle(self.tr("Keep clear"))
        self._add_regions()
        self._add_holes()
        self._add_retainers()
        self.column.addStretch(1)
        self.refresh()

    def _add_regions(self) -> None:
        columns = ("", self.tr("Name"), self.tr("From"))
        self.regions = PartTable(self.session, "region", self.tr("Regions to keep clear"), columns)
        self.add_region = small_button(
            self.tr("Add"), self.tr("Add a round region; polygons are drawn on the head")
        )
        self.remove_region = small_button(self.tr("Remove"), self.tr("Forget this region"))
        self.region_form = RegionForm(self.session, self.units)
        self._section(
            self.tr("Regions"),
            self.regions,
            (self.add_region, self.remove_region),
            self.region_form,
            first=True,
        )
        self.add_region.clicked.connect(self._add_region)
        self.remove_region.clicked.connect(
            lambda: self._forget(self.regions, self.tr("Remove region"), edits.remove_region)
        )

    def _add_holes(self) -> None:
        columns = (self.tr("Diameter"), self.tr("Place"), "")
        self.holes = PartTable(self.session, "old hole", self.tr("Old holes"), columns)
        self.add_hole = small_button(self.tr("Add"), self.tr("Note a hole that the head has already"))
        self.remove_hole = small_button(self.tr("Remove"), self.tr("Forget this hole"))
        self.hole_form = OldHoleForm(self.session, self.units)
        self._section(self.tr("Old holes"), self.holes, (self.add_hole, self.remove_hole), self.hole_form)
        self.add_hole.clicked.connect(self._add_hole)
        self.remove_hole.clicked.connect(
            lambda: self._forget(self.holes, self.tr("Remove old hole"), mark_edits.remove_old_hole)
        )

    def _add_retainers(self) -> None:
        columns = (self.tr("Kind"), self.tr("Place"))
        self.retainers = PartTable(self.session, "retainer", self.tr("Trees and guide posts"), columns)
        self.add_retainer = small_button(
            self.tr("Add"), self.tr("Add a tree; its kind can be changed to a guide post")
        )
        self.remove_retainer = small_button(self.tr("Remove"), self.tr("Take this one away"))
        self.retainer_form = RetainerForm(self.session, self.units)
        buttons = (self.add_retainer, self.remove_retainer)
        self._section(self.tr("Trees and guide posts"), self.retainers, buttons, self.retainer_form)
        self.add_retainer.clicked.connect(self._add_retainer)
        self.remove_retainer.clicked.connect(
            lambda: self._forget(self.retainers, self.tr("Remove retainer"), mark_edits.remove_retainer)
        )

    def _section(
        self,
        title: str,
        table: PartTable,
        buttons: tuple[QToolButton, ...],
        form: QWidget,
        *,
        first: bool = False,
    ) -> None:
        table.current_changed.connect(lambda: self._show_forms(self.session.scene))
        self.column.addWidget(heading(title, first=first))
        for part in (table, line(*buttons), form):
            self.column.addWidget(part)

    # Showing

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Show what the build of a scene has."""
        build, places = scene.build, self._place
        sides = {"face": self.tr("face"), "back": self.tr("back"), "through": self.tr("through")}
        round_or_not = {True: "○", False: "⬠"}
        self.regions.show_rows(
            [
                (each.key, (round_or_not[isinstance(each.shape, RoundRegion)], each.name, sides[each.side]))
                for each in build.keep_clear
            ],
            scene,
        )
        plugged = {True: self.tr("plugged"), False: ""}
        self.holes.show_rows(
            [
                (each.key, (self._length(each.diameter), places(each.at), plugged[each.plugged]))
                for each in build.old_holes
            ],
            scene,
        )
        kinds = {"tree": self.tr("Tree"), "guide post": self.tr("Guide post")}
        self.retainers.show_rows(
            [(each.key, (kinds[each.kind], places(each.at))) for each in build.retainers], scene
        )
        self._show_forms(scene)

    def _show_forms(self, scene: Scene) -> None:
        sections = (
            (self.regions, self.remove_region, self.add_region, "keep_clear"),
            (self.holes, self.remove_hole, self.add_hole, "old_holes"),
            (self.retainers, self.remove_retainer, self.add_retainer, "retainers"),
        )
        for table, remove, add, field in sections:
            table.setVisible(table.rowCount() > 0)
            remove.setVisible(table.current is not None)
            add.setEnabled(table.rowCount() < most_of(Build, field))
        self.region_form.show_region(scene, self.regions.current)
        self.hole_form.show_hole(scene, self.holes.current)
        self.retainer_form.show_retainer(scene, self.retainers.current)

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
