"""One node of the outline, and one run: their exact numbers."""

from __future__ import annotations

import math

from PySide6.QtWidgets import QWidget

from app.document.session import Edit, Session
from app.panels.mark_forms import PlaceFields
from app.widgets.fields import Choice
from app.widgets.kit import Form
from app.widgets.number_field import NumberField, Range
from geometry.document.build import Build
from geometry.document.corner_edits import make_corner, make_smooth, round_corner
from geometry.document.node_edits import move_nodes
from geometry.document.outline_nodes import RunKind, is_end, is_smooth, node_of, run_measures
from geometry.document.run_edits import run_as, set_angle, set_length, set_radius
from geometry.document.twins import is_symmetric
from geometry.shape.point import Point
from geometry.trade.measures import LARGEST
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

LENGTHS = Range(least=0.0, most=LARGEST, above=True)
ANGLES = Range(least=-360.0, most=360.0)


def act_or_refuse(session: Session, label: str, edit: Edit, field: NumberField) -> None:
    """Do an act with a number just typed; what cannot be done is said at its field."""
    try:
        session.act(label, edit)
    except ValueError as error:
        field.refuse(say_note(error, field.units))


class NodeForm(Form):
    """A node: where it is, whether the outline has a corner there, and a radius to round it."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a node is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        self.place = PlaceFields(self, units, self._put)
        kinds = (("smooth", self.tr("Smooth")), ("corner", self.tr("Corner")))
        self.kind = Choice(self.tr("Shape"), kinds, tip=self.tr("Whether the outline bends sharply here"))
        self.kind.picked.connect(self._take_kind)
        self.rounding = NumberField(
            self.tr("Round by"),
            units=units,
            within=LENGTHS,
            optional=True,
            tip=self.tr("Radius of an arc in place of the corner"),
        )
        self.rounding.edited.connect(self._round)
        self.add(self.tr("Shape"), self.kind)
        self.add(self.tr("Round by"), self.rounding)

    def show_node(self, build: Build, key: str) -> None:
        """Show a node of a free outline."""
        if key != self._key:
            self.rounding.set_value(None)
        self._key = key
        end, smooth = is_end(build, key), is_smooth(build, key)
        self.place.show(node_of(build, key).at)
        self.place.y.setEnabled(not end)
        self.kind.set_value("smooth" if smooth else "corner")
        self.set_shown(self.kind, not end)
        self.set_shown(self.rounding, not end and not smooth)

    def _put(self, at: Point) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        self._session.act(
            self.tr("Move node"), lambda build: move_nodes(build, {key: at}, symmetric=symmetric)
        )

    def _take_kind(self, kind: object) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        label, make = (
            (self.tr("Make a smooth node"), make_smooth)
            if kind == "smooth"
            else (self.tr("Make a corner"), make_corner)
        )
        self._session.act(label, lambda build: make(build, key, symmetric=symmetric))

    def _round(self, radius: float) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        act_or_refuse(
            self._session,
            self.tr("Round corner"),
            lambda build: round_corner(build, key, radius, symmetric=symmetric),
            self.rounding,
        )
        if not self.rounding.fault:
            self.rounding.set_value(None)


class RunForm(Form):
    """A run of the outline: what it is, how long, in which direction, how round."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a run is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        kinds = (("straight", self.tr("Straight")), ("arc", self.tr("Arc")), ("curve", self.tr("Curve")))
        self.kind = Choice(self.tr("Kind"), kinds, tip=self.tr("How this run of the outline goes"))
        self.length = NumberField(
            self.tr("Length"), units=units, within=LENGTHS, tip=self.tr("Along the run; its far node moves")
        )
        self.angle = NumberField(
            self.tr("Direction"),
            measure="degrees",
            within=ANGLES,
            tip=self.tr("Of the straight line between its nodes: 0 to the right, 90 towards the tip"),
        )
        self.radius = NumberField(
            self.tr("Radius"), units=units, within=LENGTHS, tip=self.tr("Makes it an arc")
        )
        self.kind.picked.connect(self._take_kind)
        self.length.edited.connect(self._set_length)
        self.angle.edited.connect(self._set_angle)
        self.radius.edited.connect(self._set_radius)
        for field in (self.kind, self.length, self.angle, self.radius):
            self.add(field.accessibleName(), field)

    def show_run(self, build: Build, key: str) -> None:
        """Show a run of the outline, called after the node that it goes on from."""
        self._key = key
        measures = run_measures(build, key)
        self.kind.set_value(measures.kind)
        self.length.set_value(measures.length)
        self.angle.set_value(math.degrees(measures.angle))
        self.radius.set_value(measures.radius)
        self.set_shown(self.radius, measures.kind == "arc")

    def _take_kind(self, choice: object) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        kinds: tuple[RunKind, ...] = ("straight", "arc", "curve")
        kind = next(each for each in kinds if each == choice)
        self._session.act(
            self.tr("Change the kind of a run"), lambda build: run_as(build, key, kind, symmetric=symmetric)
        )

    def _set_length(self, length: float) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        act_or_refuse(
            self._session,
            self.tr("Set the length of a run"),
            lambda build: set_length(build, key, length, symmetric=symmetric),
            self.length,
        )

    def _set_angle(self, degrees: float) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        act_or_refuse(
            self._session,
            self.tr("Turn a run"),
            lambda build: set_angle(build, key, math.radians(degrees), symmetric=symmetric),
            self.angle,
        )

    def _set_radius(self, radius: float) -> None:
        key, symmetric = self._key, is_symmetric(self._session.build)
        act_or_refuse(
            self._session,
            self.tr("Set the radius of a run"),
            lambda build: set_radius(build, key, radius, symmetric=symmetric),
            self.radius,
        )
