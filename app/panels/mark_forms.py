"""One region to keep clear, one old hole, one tree or guide post: its exact numbers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.panels.numbers import Line, Numbers, PlaceFields
from app.widgets.fields import Choice, TextField, Tick
from app.widgets.kit import Caption, Form, column
from geometry.document.build import Build, FaceScrew, OldHole, Polygon, Region, Retainer, RoundRegion
from geometry.document.mark_edits import set_old_hole, set_region, set_retainer
from geometry.document.twins import with_twins
from geometry.layout.slots import trade_numbers
from geometry.shape.point import Point
from geometry.trade.escapes import in_menu, on_one_line
from geometry.trade.units import Units

Mark = TypeVar("Mark", Region, OldHole, Retainer)

NEW_GUIDE_RADIUS = 1.5
"""Of a guide post that had been a tree, mm; from memory."""


class MarkForm(Form, Generic[Mark]):
    """Fields about one of the marks of a kind; empty until one is shown."""

    def __init__(
        self,
        session: Session,
        marks: Callable[[Build], tuple[Mark, ...]],
        put: Callable[[Build, Mark], Build],
    ) -> None:
        """`marks` are those of a build, `put` gives it another one in place of one with its key."""
        super().__init__()
        self._session = session
        self._marks: Callable[[Build], tuple[Mark, ...]] = marks
        self._put_back: Callable[[Build, Mark], Build] = put
        self._key = ""

    def show_mark(self, scene: Scene, key: str | None) -> None:
        """Show a mark of a scene; nothing for None."""
        mark = next((each for each in self._marks(scene.build) if each.key == key), None)
        self.setVisible(mark is not None)
        if mark is not None:
            self._show(mark)

    def _show(self, mark: Mark) -> None:
        self._key = mark.key

    @property
    def _mark(self) -> Mark:
        return next(each for each in self._marks(self._session.build) if each.key == self._key)

    def _change(self, label: str, **fields: Any) -> None:
        """An act; of the marks only regions have twins."""
        changed = replace(self._mark, **fields)
        self._session.act(label, with_twins(lambda build: self._put_back(build, changed)))

    def _sets(self, label: str, field: str) -> Callable[[object], None]:
        """What is told of one thing of the mark, to change it."""
        return lambda value: self._change(label, **{field: value})

    def _change_number(self, label: str) -> Callable[[Line, float | None], None]:
        """What numbers of the mark itself call."""
        return lambda line, value: self._change(label, **{line.field: value})


class RegionForm(MarkForm[Region]):
    """A region to keep clear."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__(session, lambda build: build.keep_clear, set_region)
        self._point = 0
        tr = self.tr
        tip, told = tr("Such as rod pocket, inlay, glue line"), self._sets(tr("Rename region"), "name")
        self.name = self.put(TextField(tr("Name"), tip=tip, told=told), below=True)
        sides = (("face", tr("Face")), ("back", tr("Back")), ("through", tr("Through")))
        tip, told = tr("The side that it is cut from"), self._sets(tr("Change side of region"), "side")
        self.side = self.put(Choice(tr("From"), sides, tip=tip, told=told))
        cover = tr("How far a cover on the face stands up")
        lines = (
            Line("depth", tr("Depth"), tr("From its side")),
            Line("cover_height", tr("Cover over the face"), cover),
        )
        changed = tr("Change region")
        self.numbers = Numbers(self, Region, lines, units, self._change_number(changed))
        self.corner = self.put(Choice(tr("Corner"), told=self._choose_corner))
        self.place = PlaceFields(self, units, self._put)

        def edit_round(line: Line, value: float | None) -> None:
            self._change(changed, shape=replace(self._mark.shape, **{line.field: value}))

        self.round = Numbers(self, RoundRegion, (Line("radius", tr("Radius")),), units, edit_round)

    def _show(self, mark: Region) -> None:
        if mark.key != self._key:
            self._point = 0
        super()._show(mark)
        self.name.set_value(mark.name)
        self.side.set_value(mark.side)
        self.numbers.show(mark)
        self.set_shown(self.numbers.fields["depth"], mark.side != "through")
        self.round.show(mark.shape)
        self._show_corner(mark.shape)

    def _show_corner(self, shape: RoundRegion | Polygon) -> None:
        self.set_shown(self.corner, isinstance(shape, Polygon))
        if isinstance(shape, RoundRegion):
            self.place.show(shape.centre)
            return
        self._point = min(self._point, len(shape.points) - 1)
        corners = self.tr("{number} of {count}")
        count = len(shape.points)
        self.corner.set_options([(n, corners.format(number=n + 1, count=count)) for n in range(count)])
        self.corner.set_value(self._point)
        self.place.show(shape.points[self._point])

    def _choose_corner(self, number: object) -> None:
        assert isinstance(number, int), "an option"
        self._point = number
        self._show_corner(self._mark.shape)

    def _put(self, at: Point) -> None:
        shape = self._mark.shape
        if isinstance(shape, RoundRegion):
            self._change(self.tr("Move region"), shape=replace(shape, centre=at))
        else:
            points = tuple(at if n == self._point else each for n, each in enumerate(shape.points))
            self._change(self.tr("Move corner of region"), shape=Polygon(points=points))


class OldHoleForm(MarkForm[OldHole]):
    """A hole that the head has already."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__(session, lambda build: build.old_holes, set_old_hole)
        tr = self.tr
        self.place = PlaceFields(self, units, lambda at: self._change(tr("Move old hole"), at=at))
        lines = (
            Line("diameter", tr("Diameter")),
            Line("depth", tr("Depth"), tr("Empty: it goes through"), optional=True),
        )
        changed = tr("Change old hole")
        self.numbers = Numbers(self, OldHole, lines, units, self._change_number(changed))
        self.numbers.fields["depth"].setPlaceholderText(tr("through"))
        sides = (("face", tr("Face")), ("back", tr("Back")))
        tip = tr("The side that it is drilled from")
        self.side = self.put(Choice(tr("From"), sides, tip=tip, told=self._sets(changed, "side")))
        tip, told = (
            tr("Filled with wood, which counts as wood again"),
            self._sets(tr("Plug old hole"), "plugged"),
        )
        self.plugged = self.put(Tick(tr("Plugged"), tip=tip, told=told))

    def _show(self, mark: OldHole) -> None:
        super()._show(mark)
        self.place.show(mark.at)
        self.numbers.show(mark)
        self.set_shown(self.side, mark.depth is not None)
        self.side.set_value(mark.side)
        self.plugged.set_value(mark.plugged)


class RetainerForm(MarkForm[Retainer]):
    """A tree that holds strings down, or a post that guides them."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__(session, lambda build: build.retainers, set_retainer)
        tr = self.tr
        self._ticks: dict[str, Tick] = {}
        kinds = (("tree", tr("Tree")), ("guide post", tr("Guide post")))
        tip = tr("A tree holds strings down; a guide post turns them aside as well")
        self.kind = self.put(Choice(tr("Kind"), kinds, tip=tip, told=self._take_kind))
        self.place = PlaceFields(self, units, lambda at: self._change(tr("Move retainer"), at=at))
        reach = tr("It holds the strings that pass so near to its middle; a bar is a wide one")
        lines = (
            Line("height", tr("String height"), tr("Of the string's middle over the face, there")),
            Line("half_width", tr("Reaches to each side"), reach),
            Line("radius", tr("Radius")),
        )
        changed = tr("Change retainer")
        self.numbers = Numbers(self, Retainer, lines, units, self._change_number(changed))
        sides = (("treble", tr("Treble side")), ("bass", tr("Bass side")))
        tip, told = tr("The side on which strings pass it"), self._sets(changed, "passed_on")
        self.passed_on = self.put(Choice(tr("Passed on"), sides, tip=tip, told=told))
        self._add_screw(units)
        self._strings = QWidget()
        self._column = column(self._strings)
        title = Caption(tr("Strings under it"), self._strings)
        title.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.add_wide(title)
        self.add_wide(self._strings)

    def _add_screw(self, units: Units) -> None:
        tr, changed = self.tr, self.tr("Change screw of retainer")
        self.screw = Tick(
            tr("Screw in the face"),
            tip=tr("Its hole is drilled from the face"),
            told=lambda has: self._change(changed, screw=FaceScrew() if has else None),
        )
        self.put(self.screw)
        lines = (
            Line("diameter", tr("Shank diameter")),
            Line("root", tr("Root of the thread"), tr("Sets the pilot hole")),
            Line("depth", tr("Depth of its hole"), tr("From the face")),
        )

        def edit_screw(line: Line, value: float | None) -> None:
            screw = self._mark.held_by or FaceScrew()
            self._change(changed, screw=replace(screw, **{line.field: value}))

        self.screw_numbers = Numbers(self, FaceScrew, lines, units, edit_screw)

    def _show(self, mark: Retainer) -> None:
        super()._show(mark)
        self.kind.set_value(mark.kind)
        self.place.show(mark.at)
        self.numbers.show(mark)
        guides = mark.kind == "guide post"
        self.set_shown(self.numbers.fields["radius"], guides)
        self.set_shown(self.numbers.fields["half_width"], not guides)
        self.screw.set_value(mark.held_by is not None)
        self.screw_numbers.show(mark.held_by)
        self.set_shown(self.passed_on, guides)
        self.passed_on.set_value(mark.passed_on)
        self._show_strings(mark)

    def _show_strings(self, retainer: Retainer) -> None:
        build = self._session.scene.build
        numbers = trade_numbers(build.strings)
        if list(self._ticks) != [each.key for each in build.strings]:
            self._make_ticks(build)
        for string in build.strings:
            tick = self._ticks[string.key]
            words = f"{numbers[string.key]}  {string.name}".strip()
            tick.setText(in_menu(words))
            tick.setAccessibleName(on_one_line(words))
            tick.set_value(string.key in retainer.strings)

    def _make_ticks(self, build: Build) -> None:
        for tick in self._ticks.values():
            tick.hide()
            tick.deleteLater()
        self._ticks = {}
        for string in build.strings:
            tick = Tick("", tip=self.tr("Whether this string runs under it"))
            tick.ticked.connect(lambda under, key=string.key: self._lead(key, under=under))
            self._column.addWidget(tick)
            self._ticks[string.key] = tick

    def _take_kind(self, kind: object) -> None:
        radius = self._mark.radius
        if kind == "guide post" and radius == 0:
            radius = NEW_GUIDE_RADIUS
        self._change(self.tr("Change retainer"), kind=kind, radius=radius)

    def _lead(self, string: str, *, under: bool) -> None:
        others = tuple(key for key in self._mark.strings if key != string)
        order = [each.key for each in self._session.build.strings]
        strings = tuple(sorted((*others, string) if under else others, key=order.index))
        self._change(self.tr("Change strings of retainer"), strings=strings)
