"""The head: its name, its outline while that is a starter, its wood, and the board it is cut from."""

from __future__ import annotations

import math

import msgspec
from msgspec.structs import replace

from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import Settings, SettingsStore
from app.panels.numbers import Line, Numbers, act_or_refuse, acts_on, range_of
from app.panels.panel import Panel
from app.panels.words import change_words, shape_words
from app.widgets.fields import Choice, Notes, TextField, Tick
from app.widgets.kit import Form, button, heading, remark
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


class Free(msgspec.Struct, frozen=True):
    """Measures of a free outline as a whole, in mm, which its nodes are stretched to; None for what it has not."""

    length: float | None = None
    shoulder: float | None = None
    tip: float | None = None
    width: float | None = None


_STRETCHED = {
    "length": with_length,
    "shoulder": with_shoulder_width,
    "tip": with_tip_width,
    "width": with_width,
}


class HeadPanel(Panel):
    """Measures of the head."""

    def __init__(self, session: Session, units: Units = "mm", store: SettingsStore | None = None) -> None:
        """Show the head of the session's build; the shop in the `store` has the maker's own woods."""
        super().__init__(session, units)
        self._own_woods: tuple[Wood, ...] = ()
        self.set_title(self.tr("Head"))
        self._add_build()
        self._add_outline()
        self._add_wood()
        self._add_board()
        self.notes = Notes(self.tr("Notes"))
        self.notes.edited.connect(
            lambda text: session.act(self.tr("Change the notes"), lambda build: edits.set_notes(build, text))
        )
        self.put(heading(self.tr("Notes")), self.notes)
        self.column.addStretch(1)
        if store is not None:
            self._take(store.settings)
            store.changed.connect(self._take)
        self.refresh()

    def _add_build(self) -> None:
        form, tr = Form(), self.tr
        self.name = TextField(
            tr("Name of the build"), tip=tr("Empty: it is called as its file"), told=self._rename
        )
        self.session.file_changed.connect(self._show_file)
        form.add_below(tr("Name"), self.name)
        self.left_handed = form.put(
            Tick(tr("Left-handed"), tip=tr("Mirror the whole head in the centre line"), told=self._mirror)
        )
        self.put(form)

    def _add_outline(self) -> None:
        self.outline_form = form = Form()
        tr = self.tr
        self.shape = Choice(
            tr("Shape"), tip=tr("Begin the outline anew from a ready shape"), told=self._take_shape
        )
        form.put(self.shape, below=True)
        starter = acts_on(self.session, _starter, edits.set_outline)
        self.starter = Numbers(form, Starter, self._starter_lines(), self.units, starter)
        self.free = button(
            tr("Free the outline"),
            tr("Turn the shape into nodes that can be moved one by one"),
            lambda: self.session.act(tr("Free the outline"), edits.free_outline),
        )
        self.freed = remark(tr("The outline is free: drag its nodes on the head."))
        form.put(self.free)
        form.put(self.freed)
        self.sizes = Numbers(form, Free, self._free_lines(), self.units, self._stretch)
        self.put(heading(tr("Outline")), form)

    def _free_lines(self) -> tuple[Line, ...]:
        tr = self.tr
        low = tr("Between the outermost nodes of the lower half; both its sides move with it")
        high = tr("Between the outermost corners at the tip, before they are rounded; both its sides move")
        wide = tr("Curves between the nodes count; both sides move with it, the nut line stays")
        size = range_of(Starter, "length")
        return (
            Line("length", tr("Length"), tr("The upper half of the outline moves with it"), within=size),
            Line("shoulder", tr("Width at the shoulder"), low, within=size),
            Line("tip", tr("Width at the tip"), high, within=size),
            Line("width", tr("Greatest width"), wide, within=size),
        )

    def _starter_lines(self) -> tuple[Line, ...]:
        tr = self.tr
        return (
            Line("length", tr("Length")),
            Line("width_low", tr("Width at the shoulder")),
            Line("width_high", tr("Width at the tip")),
            Line("shoulder", tr("Shoulder from the nut")),
            Line("tip_rise", tr("Rise of the tip"), tr("How far its middle stands over its corners")),
            Line("corner", tr("Corner radius")),
            Line("waist", tr("Waist"), tr("How far each side is drawn in between shoulder and tip")),
            Line("lean_deg", tr("Lean"), tr("How far the edge at the tuners leans"), "degrees"),
        )

    def _wood_lines(self) -> tuple[Line, ...]:
        tr = self.tr
        neck = tr("At the nut, from the line of the face to its back, the fingerboard not counted")
        flat = tr("Distance from the nut line at which seats may begin")
        volute = tr("How much thicker the wood is at the nut line; 0 for none")
        return (
            Line("thickness_nut", tr("Thickness at the nut")),
            Line("thickness_tip", tr("Thickness at the tip")),
            Line("neck_depth", tr("Depth of the neck"), neck),
            Line("angle_deg", tr("Head angle"), tr("0 for a flat head"), "degrees"),
            Line("back_flat_from", tr("Back is flat from"), flat),
            Line("edge_face", tr("Rounded edge, face"), tr("Width of rounding or bevel on the face")),
            Line("edge_back", tr("Rounded edge, back"), tr("Width of rounding or bevel on the back")),
            Line("binding", tr("Binding"), tr("Its width all round; it does not count as wood")),
            Line("grain_deg", tr("Grain"), tr("From the centre line, counter-clockwise"), "degrees"),
            Line("volute_height", tr("Volute"), volute),
            Line(
                "volute_length",
                tr("Length of the volute"),
                tr("From end to end; half of it lies in the neck"),
            ),
        )

    def _add_wood(self) -> None:
        form, tr = Form(), self.tr
        in_head = acts_on(self.session, lambda build: build.head, edits.set_head)
        self.wood_numbers = Numbers(form, Head, self._wood_lines(), self.units, in_head)
        self.wood = TextField(
            tr("Wood"),
            tip=tr("Sets bores, pilot holes, weight and strength; any name is allowed"),
            told=lambda wood: self._set(tr("Change the wood"), wood=wood),
        )
        self.woods = form.put(WoodList(self.wood), below=True)
        self.hardness = form.put(remark())
        joints = (("one piece", tr("One piece with the neck")), ("scarf", tr("Scarfed on")))
        tip = tr("Scarfed on, the grain follows an angled head")
        self.joint = form.put(Choice(tr("Head and neck"), joints, tip=tip, told=self._take_joint), below=True)
        self.put(heading(tr("Wood")), form)

    def _add_board(self) -> None:
        self.blank_form = form = Form()
        tr = self.tr
        tip = tr("Hold the head against the board it is cut from")
        self.has_blank = form.put(Tick(tr("The board has a size"), tip=tip, told=self._set_blank))
        lines = (
            Line("left", tr("Left of the centre line")),
            Line("right", tr("Right of the centre line")),
            Line("length", tr("Beyond the nut line")),
        )
        of_board = acts_on(self.session, lambda build: build.head.blank, _with_blank)
        self.blank = Numbers(form, Blank, lines, self.units, of_board)
        tip = tr("Hollows must not be tighter; 0 when cut by hand")
        cutter = Line("cutter_diameter", tr("Cutter diameter"), tip)
        of_build = acts_on(self.session, lambda build: build, lambda _, changed: changed)
        self.cutter = Numbers(form, Build, (cutter,), self.units, of_build)
        self.put(heading(tr("Board and cutter")), form)

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
            self.sizes.show(free_measures(build))
        self.wood_numbers.show(build.head)
        self.wood.set_value(build.head.wood)
        self._show_hardness(build)
        self.joint.set_value(build.head.joint)
        self.cutter.show(build)
        self.has_blank.set_value(build.head.blank is not None)
        self.blank.show(build.head.blank)

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

    def _leave_what_goes(self, outline: Starter | Nodes) -> None:
        """Take the keyboard to the drawing before its field goes: Qt would leave it to the next one, of the wood."""
        of_starter = (self.free, *self.starter.fields.values())
        going = self.sizes.fields.values() if isinstance(outline, Starter) else of_starter
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

    def _rename(self, name: str) -> None:
        self.session.act(self.tr("Rename the build"), lambda build: edits.rename(build, name))

    def _mirror(self, _: bool) -> None:  # noqa: FBT001 - what a tick tells
        self.session.act(self.tr("Change the hand"), edits.mirrored)

    def _take_shape(self, shape: object) -> None:
        starter = next((each for key, each in STARTERS.items() if key == shape), None)
        if starter is not None:
            words = shape_words(starter.shape).lower()
            label = self.tr("Take the shape {shape}").format(shape=words)
            self.session.act(label, lambda build: edits.set_outline(build, starter))

    def _stretch(self, line: Line, size: float | None) -> None:
        assert size is not None, "the field is never empty"
        stretched, field = _STRETCHED[line.field], self.sizes.fields[line.field]
        act_or_refuse(self.session, change_words(line.text), lambda build: stretched(build, size), field)

    def _set(self, label: str, **fields: object) -> None:
        """Change something of the head."""
        self.session.act(label, lambda build: edits.set_head(build, replace(build.head, **fields)))

    def _take_joint(self, joint: object) -> None:
        taken: HeadJoint = "scarf" if joint == "scarf" else "one piece"
        self._set(self.tr("Change the joint of the head"), joint=taken)

    def _set_blank(self, known: bool) -> None:  # noqa: FBT001 - what a tick tells
        """Begin with a board that just holds the head."""
        edge = self.session.scene.layout.edge
        blank = blank_round(edge.contour.bounds) if known and edge is not None else None
        label = self.tr("Set the size of the board") if known else self.tr("Forget the board")
        self._set(label, blank=blank)


def _starter(build: Build) -> Starter | None:
    return build.outline if isinstance(build.outline, Starter) else None


def _with_blank(build: Build, blank: Blank) -> Build:
    return edits.set_head(build, replace(build.head, blank=blank))


def free_measures(build: Build) -> Free:
    """What can be told of a free outline, to the ten-thousandth of a mm; nothing of a starter."""
    if not isinstance(build.outline, Nodes) or len(build.outline.nodes) < 2:
        return Free()
    bounds = outline_bounds(build)
    shoulder, tip = (
        None if ends is None else round(ends[1].x - ends[0].x, 4)
        for ends in (shoulder_ends(build), tip_ends(build))
    )
    return Free(round(bounds.top, 4), shoulder, tip, round(bounds.right - bounds.left, 4))


def blank_round(head: Bounds) -> Blank:
    """A board, in whole mm, that holds a head with a little to spare."""
    spare = 2.0
    left, right, length = (math.ceil(reach + spare) for reach in (-head.left, head.right, head.top))
    return Blank(left=_board(left), right=_board(right), length=_board(length))


def _board(length: float) -> float:
    return min(LARGEST, max(1.0, float(length)))
