"""The head: its name, its outline while that is a starter, its wood, and the board it is cut from."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.session import Edit, Session
from app.document.settings import Settings, SettingsStore
from app.panels.numbers import MEASURE, Line, Numbers, range_of
from app.panels.outline_forms import act_or_refuse
from app.panels.panel import Panel
from app.panels.words import shape_words
from app.widgets.fields import Choice, Notes, TextField, Tick
from app.widgets.kit import Form, button, heading, remark
from app.widgets.number_field import NumberField
from app.widgets.wood_combo import WoodList
from geometry.bench.fit_words import unknown_wood
from geometry.document import edits
from geometry.document.build import Blank, Build, Head, HeadJoint
from geometry.document.outline import Nodes, Starter
from geometry.document.starters import STARTERS
from geometry.document.stretch import (
    outline_bounds,
    shoulder_ends,
    tip_ends,
    with_length,
    with_shoulder_width,
    with_tip_width,
    with_width,
)
from geometry.shape.bounds import Bounds
from geometry.trade.escapes import on_one_line
from geometry.trade.measures import LARGEST
from geometry.trade.quantities import show_force, show_length
from geometry.trade.units import Units
from geometry.trade.wood import Wood, find_wood

FREE = "free"


class HeadPanel(Panel):
    """Measures of the head."""

    def __init__(
        self,
        session: Session,
        units: Units = "mm",
        store: SettingsStore | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """Show the head of the session's build; the shop in the `store` has the maker's own woods."""
        super().__init__(session, "", units, parent)
        self._own_woods: tuple[Wood, ...] = ()
        self.setAccessibleName(self.tr("Head"))
        self.setWindowTitle(self.tr("Head"))
        self._add_build()
        self._add_outline()
        self._add_wood()
        self._add_board()
        self.notes = Notes(self.tr("Notes"))
        self.notes.edited.connect(
            lambda text: session.act(self.tr("Change the notes"), lambda build: edits.set_notes(build, text))
        )
        self.column.addWidget(heading(self.tr("Notes")))
        self.column.addWidget(self.notes)
        self.column.addStretch(1)
        if store is not None:
            self._take(store.settings)
            store.changed.connect(self._take)
        self.refresh()

    def _add_build(self) -> None:
        form = Form()
        self.name = TextField(self.tr("Name of the build"), tip=self.tr("Empty: it is called as its file"))
        self.name.edited.connect(self._rename)
        self.session.file_changed.connect(self._show_file)
        form.add_below(self.tr("Name"), self.name)
        self.left_handed = Tick(
            self.tr("Left-handed"), tip=self.tr("Mirror the whole head in the centre line")
        )
        self.left_handed.ticked.connect(self._mirror)
        form.add_wide(self.left_handed)
        self.column.addWidget(form)

    def _add_outline(self) -> None:
        form = Form()
        self.shape = Choice(self.tr("Shape"), tip=self.tr("Begin the outline anew from a ready shape"))
        self.shape.picked.connect(self._take_shape)
        form.add_below(self.tr("Shape"), self.shape)
        self.starter = Numbers(form, Starter, self._starter_lines(), self.units, self._edit_starter)
        self.free = button(
            self.tr("Free the outline"), self.tr("Turn the shape into nodes that can be moved one by one")
        )
        self.free.clicked.connect(lambda: self.session.act(self.tr("Free the outline"), edits.free_outline))
        self.freed = remark(self.tr("The outline is free: drag its nodes on the head."))
        form.add_wide(self.free)
        form.add_wide(self.freed)
        self.free_length = self._free_number(
            form, "Free.length", self.tr("Length"), self.tr("The upper half of the outline moves with it")
        )
        self.free_shoulder = self._free_number(
            form,
            "Free.shoulder",
            self.tr("Width at the shoulder"),
            self.tr("Between the outermost nodes of the lower half; both its sides move with it"),
        )
        self.free_tip = self._free_number(
            form,
            "Free.tip",
            self.tr("Width at the tip"),
            self.tr("Between the outermost corners at the tip, before they are rounded; both its sides move"),
        )
        self.free_width = self._free_number(
            form,
            "Free.width",
            self.tr("Greatest width"),
            self.tr("Curves between the nodes count; both sides move with it, the nut line stays"),
        )
        self.free_length.edited.connect(lambda size: self._stretch(self.free_length, with_length, size))
        self.free_shoulder.edited.connect(
            lambda size: self._stretch(self.free_shoulder, with_shoulder_width, size)
        )
        self.free_width.edited.connect(lambda size: self._stretch(self.free_width, with_width, size))
        self.free_tip.edited.connect(lambda size: self._stretch(self.free_tip, with_tip_width, size))
        self.outline_form = form
        self.column.addWidget(heading(self.tr("Outline")))
        self.column.addWidget(form)

    def _free_number(self, form: Form, measure: str, name: str, tip: str) -> NumberField:
        """A measure of the outline as a whole, which its nodes are stretched to."""
        field = NumberField(name, units=self.units, within=range_of(Starter, "length"), tip=tip)
        field.setProperty(MEASURE, measure)
        form.add(name, field)
        return field

    def _starter_lines(self) -> tuple[Line, ...]:
        return (
            Line("length", self.tr("Length")),
            Line("width_low", self.tr("Width at the shoulder")),
            Line("width_high", self.tr("Width at the tip")),
            Line("shoulder", self.tr("Shoulder from the nut")),
            Line(
                "tip_rise",
                self.tr("Rise of the tip"),
                tip=self.tr("How far its middle stands over its corners"),
            ),
            Line("corner", self.tr("Corner radius")),
            Line(
                "waist",
                self.tr("Waist"),
                tip=self.tr("How far each side is drawn in between shoulder and tip"),
            ),
            Line("lean_deg", self.tr("Lean"), "degrees", self.tr("How far the edge at the tuners leans")),
        )

    def _wood_lines(self) -> tuple[Line, ...]:
        return (
            Line("thickness_nut", self.tr("Thickness at the nut")),
            Line("thickness_tip", self.tr("Thickness at the tip")),
            Line(
                "neck_depth",
                self.tr("Depth of the neck"),
                tip=self.tr("At the nut, from the line of the face to its back, the fingerboard not counted"),
            ),
            Line("angle_deg", self.tr("Head angle"), "degrees", self.tr("0 for a flat head")),
            Line(
                "back_flat_from",
                self.tr("Back is flat from"),
                tip=self.tr("Distance from the nut line at which seats may begin"),
            ),
            Line(
                "edge_face",
                self.tr("Rounded edge, face"),
                tip=self.tr("Width of rounding or bevel on the face"),
            ),
            Line(
                "edge_back",
                self.tr("Rounded edge, back"),
                tip=self.tr("Width of rounding or bevel on the back"),
            ),
            Line(
                "binding", self.tr("Binding"), tip=self.tr("Its width all round; it does not count as wood")
            ),
            Line(
                "grain_deg", self.tr("Grain"), "degrees", self.tr("From the centre line, counter-clockwise")
            ),
            Line(
                "volute_height",
                self.tr("Volute"),
                tip=self.tr("How much thicker the wood is at the nut line; 0 for none"),
            ),
            Line(
                "volute_length",
                self.tr("Length of the volute"),
                tip=self.tr("From end to end; half of it lies in the neck"),
            ),
        )

    def _add_wood(self) -> None:
        form = Form()
        self.wood_numbers = Numbers(form, Head, self._wood_lines(), self.units, self._edit_head)
        self.wood = TextField(
            self.tr("Wood"), tip=self.tr("Sets bores, pilot holes, weight and strength; any name is allowed")
        )
        self.woods = WoodList(self.wood)
        self.wood.edited.connect(self._edit_wood)
        form.add_below(self.tr("Wood"), self.woods)
        self.hardness = remark()
        form.add_wide(self.hardness)
        joints = (("one piece", self.tr("One piece with the neck")), ("scarf", self.tr("Scarfed on")))
        self.joint = Choice(
            self.tr("Head and neck"), joints, tip=self.tr("Scarfed on, the grain follows an angled head")
        )
        self.joint.picked.connect(self._take_joint)
        form.add_below(self.tr("Head and neck"), self.joint)
        self.column.addWidget(heading(self.tr("Wood")))
        self.column.addWidget(form)

    def _add_board(self) -> None:
        form = Form()
        self.has_blank = Tick(
            self.tr("The board has a size"), tip=self.tr("Hold the head against the board it is cut from")
        )
        self.has_blank.ticked.connect(self._set_blank)
        form.add_wide(self.has_blank)
        lines = (
            Line("left", self.tr("Left of the centre line")),
            Line("right", self.tr("Right of the centre line")),
            Line("length", self.tr("Beyond the nut line")),
        )
        self.blank = Numbers(form, Blank, lines, self.units, self._edit_blank)
        self.cutter = Numbers(
            form,
            Build,
            (
                Line(
                    "cutter_diameter",
                    self.tr("Cutter diameter"),
                    tip=self.tr("Hollows must not be tighter; 0 when cut by hand"),
                ),
            ),
            self.units,
            self._edit_build,
        )
        self.blank_form = form
        self.column.addWidget(heading(self.tr("Board and cutter")))
        self.column.addWidget(form)

    # Showing

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show the head of a scene."""
        build = scene.build
        self.name.set_value(build.name)
        self._show_file()
        self.left_handed.set_value(build.hand == "left")
        self.notes.set_value(build.notes)
        if before is None or before.build.outline is not build.outline:
            self._leave_what_goes(build.outline)
            self._show_outline(build.outline)
            self._show_size(build)
        self.wood_numbers.show(build.head)
        self.wood.set_value(build.head.wood)
        self._show_hardness(build)
        self.joint.set_value(build.head.joint)
        self.cutter.show(build)
        blank = build.head.blank
        self.has_blank.set_value(blank is not None)
        for field in self.blank.fields.values():
            self.blank_form.set_shown(field, blank is not None)
        if blank is not None:
            self.blank.show(blank)

    def _take(self, settings: Settings) -> None:
        """The maker's own woods come with the shop."""
        if settings.shop.own_woods != self._own_woods:
            self._own_woods = settings.shop.own_woods
            self.woods.offer(self._own_woods)
            self._show_hardness(self.session.build)

    def _show_hardness(self, build: Build) -> None:
        """How hard the wood is, and the bores that stand in it."""
        wood = find_wood(build.head.wood, self._own_woods)
        bores = sorted({each.bore.through for each in build.hardware})
        sizes = ", ".join(show_length(bore, self.units) for bore in bores)
        words = self.tr("Hardness {force}, bores {sizes}") if sizes else self.tr("Hardness {force}")
        self.hardness.setVisible(bool(build.head.wood.strip()))
        if wood is None:
            self.hardness.setText(unknown_wood(build.head.wood, self._own_woods))
        else:
            self.hardness.setText(words.format(force=show_force(wood.janka, self.units), sizes=sizes))

    def _show_file(self) -> None:
        """What the build is called as long as it has no name."""
        path = self.session.path
        self.name.setPlaceholderText(
            on_one_line(path.stem) if path else self.tr("As the file will be called")
        )

    def _show_size(self, build: Build) -> None:
        """Length and widths of a free outline."""
        bounds = (
            outline_bounds(build)
            if isinstance(build.outline, Nodes) and len(build.outline.nodes) > 1
            else None
        )
        for field in (self.free_length, self.free_width):
            self.outline_form.set_shown(field, bounds is not None)
        if bounds is not None:
            self.free_length.set_value(round(bounds.top, 4))
            self.free_width.set_value(round(bounds.right - bounds.left, 4))
        for field, ends_of in ((self.free_shoulder, shoulder_ends), (self.free_tip, tip_ends)):
            ends = None if bounds is None else ends_of(build)
            self.outline_form.set_shown(field, ends is not None)
            if ends is not None:
                field.set_value(round(ends[1].x - ends[0].x, 4))

    def _leave_what_goes(self, outline: Starter | Nodes) -> None:
        """Take the keyboard to the drawing before its field goes: Qt would leave it to the next one, of the wood."""
        going = (
            (self.free_length, self.free_shoulder, self.free_tip, self.free_width)
            if isinstance(outline, Starter)
            else (self.free, *self.starter.fields.values())
        )
        if any(field.hasFocus() for field in going):
            self.drawing_wanted.emit()

    def _show_outline(self, outline: Starter | Nodes) -> None:
        starter = isinstance(outline, Starter)
        shapes: list[tuple[object, str]] = [(shape, shape_words(shape)) for shape in STARTERS]
        self.shape.set_options(shapes if starter else [(FREE, self.tr("Free")), *shapes])
        self.shape.set_value(outline.shape if isinstance(outline, Starter) else FREE)
        self.free.setVisible(starter)
        self.freed.setVisible(not starter)
        self.starter.show(outline)
        if isinstance(outline, Starter):
            lean = self.starter.fields["lean_deg"]
            self.outline_form.set_shown(lean, outline.shape == "one-sided")

    # Acts

    def _act(self, what: str, edit: Edit) -> None:
        self.session.act(self._label(what), edit)

    def _label(self, what: str) -> str:
        return self.tr("Change {what}").format(what=what[:1].lower() + what[1:])

    def _rename(self, name: str) -> None:
        self.session.act(self.tr("Rename the build"), lambda build: edits.rename(build, name))

    def _mirror(self) -> None:
        self.session.act(self.tr("Change the hand"), edits.mirrored)

    def _take_shape(self, shape: object) -> None:
        starter = next((each for key, each in STARTERS.items() if key == shape), None)
        if starter is not None:
            words = shape_words(starter.shape).lower()
            label = self.tr("Take the shape {shape}").format(shape=words)
            self.session.act(label, lambda build: edits.set_outline(build, starter))

    def _stretch(self, field: NumberField, stretched: Callable[[Build, float], Build], size: float) -> None:
        label = self._label(field.accessibleName())
        act_or_refuse(self.session, label, lambda build: stretched(build, size), field)

    def _edit_starter(self, line: Line, value: float | None) -> None:
        def edit(build: Build) -> Build:
            if not isinstance(build.outline, Starter):
                return build
            return edits.set_outline(build, replace(build.outline, **{line.field: value}))

        self._act(line.text, edit)

    def _edit_head(self, line: Line, value: float | None) -> None:
        self._act(line.text, lambda build: edits.set_head(build, replace(build.head, **{line.field: value})))

    def _edit_build(self, line: Line, value: float | None) -> None:
        self._act(line.text, lambda build: replace(build, **{line.field: value}))

    def _edit_wood(self, wood: str) -> None:
        self.session.act(
            self.tr("Change the wood"), lambda build: edits.set_head(build, replace(build.head, wood=wood))
        )

    def _take_joint(self, joint: object) -> None:
        taken: HeadJoint = "scarf" if joint == "scarf" else "one piece"
        self.session.act(
            self.tr("Change the joint of the head"),
            lambda build: edits.set_head(build, replace(build.head, joint=taken)),
        )

    def _set_blank(self, known: bool) -> None:  # noqa: FBT001 - a slot
        """Begin with a board that just holds the head."""
        edge = self.session.scene.layout.edge
        blank = blank_round(edge.contour.bounds) if known and edge is not None else None
        label = self.tr("Set the size of the board") if known else self.tr("Forget the board")
        self.session.act(label, lambda build: edits.set_head(build, replace(build.head, blank=blank)))

    def _edit_blank(self, line: Line, value: float | None) -> None:
        def edit(build: Build) -> Build:
            if build.head.blank is None:
                return build
            blank = replace(build.head.blank, **{line.field: value})
            return edits.set_head(build, replace(build.head, blank=blank))

        self._act(line.text, edit)


def blank_round(head: Bounds) -> Blank:
    """A board, in whole mm, that holds a head with a little to spare."""
    spare = 2.0
    left, right, length = (math.ceil(reach + spare) for reach in (-head.left, head.right, head.top))
    return Blank(left=_board(left), right=_board(right), length=_board(length))


def _board(length: float) -> float:
    return min(LARGEST, max(1.0, float(length)))
