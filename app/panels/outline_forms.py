"""One node of the outline, and one run: their exact numbers."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import get_args

from msgspec.structs import replace

from app.document.session import Session
from app.panels.numbers import Line, Numbers, PlaceFields, act_or_refuse
from app.widgets.fields import Choice
from app.widgets.kit import Form
from app.widgets.number_field import NumberField, Range
from geometry.document.build import Build
from geometry.document.corner_edits import make_corner, make_smooth, round_corner
from geometry.document.node_edits import move_nodes
from geometry.document.outline_nodes import RunKind, RunMeasures, is_end, is_smooth, node_of, run_measures
from geometry.document.run_edits import run_as, set_angle, set_length, set_radius
from geometry.document.twins import is_symmetric
from geometry.shape.point import Point
from geometry.trade.measures import LARGEST
from geometry.trade.units import Units

LENGTHS = Range(least=0.0, most=LARGEST, above=True)
ANGLES = Range(least=-360.0, most=360.0)


class _OutlineForm(Form):
    """Fields about a part of the outline, empty until one is shown."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._key = ""

    def _act(
        self, label: str, edit: Callable[[Build, str, bool], Build], field: NumberField | None = None
    ) -> None:
        """One act: `edit` takes the key of the part, and whether both sides are worked on together.

        With a field, what cannot be done is said there.
        """
        key, both = self._key, is_symmetric(self._session.build)
        if field is None:
            self._session.act(label, lambda build: edit(build, key, both))
        else:
            act_or_refuse(self._session, label, lambda build: edit(build, key, both), field)


class NodeForm(_OutlineForm):
    """A node: where it is, whether the outline has a corner there, and a radius to round it."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__(session)
        self.place = PlaceFields(self, units, self._move)
        kinds = (("smooth", self.tr("Smooth")), ("corner", self.tr("Corner")))
        tip = self.tr("Whether the outline bends sharply here")
        self.kind = self.put(Choice(self.tr("Shape"), kinds, tip=tip, told=self._take_kind))
        tip = self.tr("Radius of an arc in place of the corner")
        self.rounding = NumberField(self.tr("Round by"), units=units, within=LENGTHS, optional=True, tip=tip)
        self.rounding.edited.connect(self._round)
        self.put(self.rounding)

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

    def _move(self, at: Point) -> None:
        self._act(self.tr("Move node"), lambda build, key, both: move_nodes(build, {key: at}, symmetric=both))

    def _take_kind(self, kind: object) -> None:
        smooth = kind == "smooth"
        label = self.tr("Make a smooth node") if smooth else self.tr("Make a corner")
        make = make_smooth if smooth else make_corner
        self._act(label, lambda build, key, both: make(build, key, symmetric=both))

    def _round(self, radius: float) -> None:
        self._act(
            self.tr("Round corner"),
            lambda build, key, both: round_corner(build, key, radius, symmetric=both),
            self.rounding,
        )
        if not self.rounding.fault:
            self.rounding.set_value(None)


class RunForm(_OutlineForm):
    """A run of the outline: what it is, how long, in which direction, how round."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__(session)
        tr = self.tr
        kinds = (("straight", tr("Straight")), ("arc", tr("Arc")), ("curve", tr("Curve")))
        tip = tr("How this run of the outline goes")
        self.kind = self.put(Choice(tr("Kind"), kinds, tip=tip, told=self._take_kind))
        direction = tr("Of the straight line between its nodes: 0 to the right, 90 towards the tip")
        lines = (
            Line("length", tr("Length"), tr("Along the run; its far node moves"), within=LENGTHS),
            Line("angle", tr("Direction"), direction, "degrees", within=ANGLES),
            Line("radius", tr("Radius"), tr("Makes it an arc"), within=LENGTHS),
        )
        self.numbers = Numbers(self, RunMeasures, lines, units, self._edit)
        self.length, self.angle, self.radius = self.numbers.fields.values()

    def show_run(self, build: Build, key: str) -> None:
        """Show a run of the outline, called after the node that it goes on from."""
        self._key = key
        measures = run_measures(build, key)
        self.kind.set_value(measures.kind)
        radius = measures.radius if measures.kind == "arc" else None
        # In degrees, as the field has it.
        self.numbers.show(replace(measures, angle=math.degrees(measures.angle), radius=radius))

    def _take_kind(self, choice: object) -> None:
        kind = next(each for each in get_args(RunKind) if each == choice)
        self._act(
            self.tr("Change the kind of a run"),
            lambda build, key, both: run_as(build, key, kind, symmetric=both),
        )

    def _edit(self, line: Line, value: float | None) -> None:
        assert value is not None, "the fields are never empty"
        label, number, changed = {
            "length": (self.tr("Set the length of a run"), value, set_length),
            "angle": (self.tr("Turn a run"), math.radians(value), set_angle),
            "radius": (self.tr("Set the radius of a run"), value, set_radius),
        }[line.field]
        self._act(
            label,
            lambda build, key, both: changed(build, key, number, symmetric=both),
            self.numbers.fields[line.field],
        )
