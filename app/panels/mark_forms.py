"""One region to keep clear, one old hole, one tree or guide post: its exact numbers."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.panels.numbers import Line, Numbers
from app.widgets.fields import Choice, TextField, Tick
from app.widgets.kit import Caption, Form
from app.widgets.number_field import NumberField, Range
from geometry.document import mark_edits
from geometry.document.build import Build, FaceScrew, OldHole, Polygon, Region, Retainer, RoundRegion
from geometry.document.twins import with_twins
from geometry.layout.slots import trade_numbers
from geometry.shape.point import Point
from geometry.trade.escapes import in_menu, on_one_line
from geometry.trade.measures import LARGEST
from geometry.trade.units import Units

NEW_GUIDE_RADIUS = 1.5
"""Of a guide post that had been a tree, mm; from memory."""

PLACES = Range(least=-LARGEST, most=LARGEST)


class PlaceFields:
    """X and Y of one place, in a form."""

    def __init__(self, form: Form, units: Units, edited: Any) -> None:
        """`edited` is told the new place."""
        words = (
            (form.tr("X"), form.tr("From the centre line, to the right")),
            (form.tr("Y"), form.tr("From the nut line, towards the tip")),
        )
        self.x, self.y = (NumberField(name, units=units, within=PLACES, tip=tip) for name, tip in words)
        for field in (self.x, self.y):
            form.add(field.accessibleName(), field)
            field.edited.connect(lambda: edited(Point(self.x.value or 0.0, self.y.value or 0.0)))

    def show(self, at: Point) -> None:
        """Show a place."""
        self.x.set_value(at.x)
        self.y.set_value(at.y)


class RegionForm(Form):
    """A region to keep clear."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a region is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        self._point = 0
        self.name = TextField(self.tr("Name"), tip=self.tr("Such as rod pocket, inlay, glue line"))
        sides = (
            ("face", self.tr("Face")),
            ("back", self.tr("Back")),
            ("through", self.tr("Through")),
        )
        self.side = Choice(self.tr("From"), sides, tip=self.tr("The side that it is cut from"))
        self.name.edited.connect(lambda text: self._change(self.tr("Rename region"), name=text))
        self.side.picked.connect(lambda side: self._change(self.tr("Change side of region"), side=side))
        self.add_below(self.tr("Name"), self.name)
        self.add(self.tr("From"), self.side)
        lines = (
            Line("depth", self.tr("Depth"), tip=self.tr("From its side")),
            Line("cover_height", self.tr("Cover over the face"), tip=self.tr("How far a cover on the face stands up")),
        )  # fmt: skip
        self.numbers = Numbers(self, Region, lines, units, self._edit)
        self.corner = Choice(self.tr("Corner"))
        self.corner.picked.connect(self._choose_corner)
        self.add(self.tr("Corner"), self.corner)
        self.place = PlaceFields(self, units, self._put)
        round_lines = (Line("radius", self.tr("Radius")),)
        self.round = Numbers(self, RoundRegion, round_lines, units, self._edit_round)

    def show_region(self, scene: Scene, key: str | None) -> None:
        """Show a region of a scene; nothing for None."""
        region = _find(scene.build.keep_clear, key)
        self.setVisible(region is not None)
        if region is None:
            return
        if region.key != self._key:
            self._point = 0
        self._key = region.key
        self.name.set_value(region.name)
        self.side.set_value(region.side)
        self.numbers.show(region)
        self.set_shown(self.numbers.fields["depth"], region.side != "through")
        self.round.show(region.shape)
        self._show_corner(region.shape)

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
        self._show_corner(self._region().shape)

    def _region(self) -> Region:
        return next(each for each in self._session.build.keep_clear if each.key == self._key)

    def _change(self, label: str, **fields: Any) -> None:
        changed = replace(self._region(), **fields)
        self._session.act(label, with_twins(lambda build: mark_edits.set_region(build, changed)))

    def _edit(self, line: Line, value: float | None) -> None:
        self._change(self.tr("Change region"), **{line.field: value})

    def _edit_round(self, line: Line, value: float | None) -> None:
        shape = replace(self._region().shape, **{line.field: value})
        self._change(self.tr("Change region"), shape=shape)

    def _put(self, at: Point) -> None:
        shape = self._region().shape
        if isinstance(shape, RoundRegion):
            self._change(self.tr("Move region"), shape=replace(shape, centre=at))
        else:
            points = tuple(at if n == self._point else each for n, each in enumerate(shape.points))
            self._change(self.tr("Move corner of region"), shape=Polygon(points=points))


class OldHoleForm(Form):
    """A hole that the head has already."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a hole is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        self.place = PlaceFields(self, units, lambda at: self._change(self.tr("Move old hole"), at=at))
        lines = (
            Line("diameter", self.tr("Diameter")),
            Line("depth", self.tr("Depth"), tip=self.tr("Empty: it goes through"), optional=True),
        )
        self.numbers = Numbers(self, OldHole, lines, units, self._edit)
        self.numbers.fields["depth"].setPlaceholderText(self.tr("through"))
        sides = (("face", self.tr("Face")), ("back", self.tr("Back")))
        self.side = Choice(self.tr("From"), sides, tip=self.tr("The side that it is drilled from"))
        self.plugged = Tick(self.tr("Plugged"), tip=self.tr("Filled with wood, which counts as wood again"))
        self.side.picked.connect(lambda side: self._change(self.tr("Change old hole"), side=side))
        self.plugged.ticked.connect(lambda is_so: self._change(self.tr("Plug old hole"), plugged=is_so))
        self.add(self.tr("From"), self.side)
        self.add_wide(self.plugged)

    def show_hole(self, scene: Scene, key: str | None) -> None:
        """Show an old hole of a scene; nothing for None."""
        hole = _find(scene.build.old_holes, key)
        self.setVisible(hole is not None)
        if hole is None:
            return
        self._key = hole.key
        self.place.show(hole.at)
        self.numbers.show(hole)
        self.set_shown(self.side, hole.depth is not None)
        self.side.set_value(hole.side)
        self.plugged.set_value(hole.plugged)

    def _change(self, label: str, **fields: Any) -> None:
        hole = next(each for each in self._session.build.old_holes if each.key == self._key)
        changed = replace(hole, **fields)
        self._session.act(label, lambda build: mark_edits.set_old_hole(build, changed))

    def _edit(self, line: Line, value: float | None) -> None:
        self._change(self.tr("Change old hole"), **{line.field: value})


class RetainerForm(Form):
    """A tree that holds strings down, or a post that guides them."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a retainer is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        self._ticks: dict[str, Tick] = {}
        kinds = (("tree", self.tr("Tree")), ("guide post", self.tr("Guide post")))
        self.kind = Choice(
            self.tr("Kind"),
            kinds,
            tip=self.tr("A tree holds strings down; a guide post turns them aside as well"),
        )
        self.kind.picked.connect(self._take_kind)
        self.add(self.tr("Kind"), self.kind)
        self.place = PlaceFields(self, units, lambda at: self._change(self.tr("Move retainer"), at=at))
        lines = (
            Line(
                "height", self.tr("String height"), tip=self.tr("Of the string's middle over the face, there")
            ),
            Line(
                "half_width",
                self.tr("Reaches to each side"),
                tip=self.tr("It holds the strings that pass so near to its middle; a bar is a wide one"),
            ),
            Line("radius", self.tr("Radius")),
        )
        self.numbers = Numbers(self, Retainer, lines, units, self._edit)
        sides = (("treble", self.tr("Treble side")), ("bass", self.tr("Bass side")))
        self.passed_on = Choice(self.tr("Passed on"), sides, tip=self.tr("The side on which strings pass it"))
        self.passed_on.picked.connect(lambda side: self._change(self.tr("Change retainer"), passed_on=side))
        self.add(self.tr("Passed on"), self.passed_on)
        self._add_screw(units)
        self._strings = QWidget()
        self._column = QVBoxLayout(self._strings)
        self._column.setContentsMargins(0, 0, 0, 0)
        title = Caption(self.tr("Strings under it"), self._strings)
        title.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.add_wide(title)
        self.add_wide(self._strings)

    def _add_screw(self, units: Units) -> None:
        self.screw = Tick(self.tr("Screw in the face"), tip=self.tr("Its hole is drilled from the face"))
        self.screw.ticked.connect(
            lambda has: self._change(self.tr("Change screw of retainer"), screw=FaceScrew() if has else None)
        )
        self.add_wide(self.screw)
        lines = (
            Line("diameter", self.tr("Shank diameter")),
            Line("root", self.tr("Root of the thread"), tip=self.tr("Sets the pilot hole")),
            Line("depth", self.tr("Depth of its hole"), tip=self.tr("From the face")),
        )
        self.screw_numbers = Numbers(self, FaceScrew, lines, units, self._edit_screw)

    def show_retainer(self, scene: Scene, key: str | None) -> None:
        """Show a retainer of a scene; nothing for None."""
        retainer = _find(scene.build.retainers, key)
        self.setVisible(retainer is not None)
        if retainer is None:
            return
        self._key = retainer.key
        self.kind.set_value(retainer.kind)
        self.place.show(retainer.at)
        self.numbers.show(retainer)
        guides = retainer.kind == "guide post"
        self.set_shown(self.numbers.fields["radius"], guides)
        self.set_shown(self.numbers.fields["half_width"], not guides)
        self.screw.set_value(retainer.held_by is not None)
        self.screw_numbers.show(retainer.held_by)
        self.set_shown(self.passed_on, guides)
        self.passed_on.set_value(retainer.passed_on)
        self._show_strings(scene.build, retainer)

    def _show_strings(self, build: Build, retainer: Retainer) -> None:
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
        radius = self._retainer().radius
        if kind == "guide post" and radius == 0:
            radius = NEW_GUIDE_RADIUS
        self._change(self.tr("Change retainer"), kind=kind, radius=radius)

    def _retainer(self) -> Retainer:
        return next(each for each in self._session.build.retainers if each.key == self._key)

    def _lead(self, string: str, *, under: bool) -> None:
        others = tuple(key for key in self._retainer().strings if key != string)
        order = [each.key for each in self._session.build.strings]
        strings = tuple(sorted((*others, string) if under else others, key=order.index))
        self._change(self.tr("Change strings of retainer"), strings=strings)

    def _change(self, label: str, **fields: Any) -> None:
        changed = replace(self._retainer(), **fields)
        self._session.act(label, lambda build: mark_edits.set_retainer(build, changed))

    def _edit_screw(self, line: Line, value: float | None) -> None:
        screw = self._retainer().held_by or FaceScrew()
        changed = replace(screw, **{line.field: value})
        self._change(self.tr("Change screw of retainer"), screw=changed)

    def _edit(self, line: Line, value: float | None) -> None:
        self._change(self.tr("Change retainer"), **{line.field: value})


def _find(marks: tuple[Any, ...], key: str | None) -> Any:
    return next((each for each in marks if each.key == key), None)
