"""Measuring tuners: every measure in a form, beside a drawing that shows which one it is and follows the numbers."""

from __future__ import annotations

from msgspec import UNSET
from msgspec.structs import fields, replace
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QDialog, QHBoxLayout, QMessageBox, QVBoxLayout, QWidget

from app.document.question import answered, question
from app.panels.hardware_groups import (
    NEW_PIN,
    NEW_REAR_BUTTON,
    NEW_SCREW,
    NEW_SIDE_BUTTON,
    Group,
    back_groups,
    button_groups,
    face_groups,
    part_at,
    pin_lines,
    post_groups,
    screw_lines,
    with_part,
    wood_group,
)
from app.panels.numbers import Line, Numbers
from app.panels.part_drawing import PartDrawing
from app.panels.part_forms import WHOLE, Fixing, FixingsForm, PlateForm
from app.widgets.fields import Choice, TextField, Tick
from app.widgets.kit import GAP, MARGIN, Fault, Form, ScrolledColumn, button, heading, remark
from app.widgets.number_field import NumberField, number_text
from app.widgets.sizes import fit
from app.widgets.typed_line import all_reads
from geometry.trade.agreement import doubts, with_body
from geometry.trade.hardware import POST_SLACK, Hardware, Rectangle, SideButton
from geometry.trade.measured import measured, measures, with_measured, without_fixing
from geometry.trade.units import Units


class HardwareForm(QDialog):
    """A form for the measures of a tuner; `hardware` is what they come to."""

    def __init__(self, hardware: Hardware, units: Units = "mm", parent: QWidget | None = None) -> None:
        """Begin with the measures of `hardware`."""
        super().__init__(parent)
        self.hardware = self._begun_with = hardware
        self.units: Units = units
        self.paths: dict[NumberField, str] = {}
        """Where the measure of each field is found in the record."""
        self._measured = measured(hardware)
        """The paths of what the maker has typed, here or before; all else is typical."""
        self._groups: list[tuple[Group, Form, Numbers, Tick | None]] = []
        self.typical = remark("")
        self.of_body = remark(self.tr("Typical for its body, with which it changes. Measure yours."))
        self.doubt = Fault(self.tr("What cannot be right"))
        self.setWindowTitle(self.tr("Measures of the tuners"))
        self.drawing = PartDrawing(hardware, units)
        self.measures = ScrolledColumn()
        self._lay_out()
        self._add_names()
        self.measures.put(heading(self.tr("Post and bore")))
        self._add_groups(post_groups())
        self._add_bushing_kind()
        self.measures.put(heading(self.tr("On the face")))
        self._add_groups(face_groups())
        self._add_button()
        self.measures.put(heading(self.tr("On the back")))
        self._add_groups(back_groups())
        self._add_plate()
        self._add_fixings()
        self.measures.put(heading(self.tr("Wood, mass and strings")))
        self._add_groups((wood_group(),))
        self.measures.column.addStretch(1)
        self._listen()
        self._show()

    @staticmethod
    def ask(hardware: Hardware, units: Units, parent: QWidget) -> Hardware | None:
        """Let the maker measure; None when given up."""
        form = HardwareForm(hardware, units, parent)
        return form.hardware if answered(form) else None

    def ask_give_up(self) -> bool:
        """Whether the measures that were typed may be given up."""
        box = question(
            self,
            self.tr("Measures of the tuners"),
            self.tr("Give up the measures that you have typed?"),
            self.tr("The tuners stay as they were."),
            QMessageBox.Icon.Question,
        )
        give_up = box.addButton(self.tr("&Give them up"), QMessageBox.ButtonRole.DestructiveRole)
        box.setDefaultButton(box.addButton(QMessageBox.StandardButton.Cancel))
        answered(box)
        return box.clickedButton() is give_up

    # Laying out

    def _lay_out(self) -> None:
        self.take = button(self.tr("Take these measures"), self.tr("Use them for this row"), self.accept)
        tip = self.tr("Leave the tuners as they were (Esc)")
        self.give_up = button(self.tr("Cancel"), tip, self.reject)
        sides = QHBoxLayout()
        sides.setSpacing(0)
        sides.addWidget(self.measures, 4)
        sides.addWidget(self.drawing, 5)
        foot = QHBoxLayout()
        foot.setContentsMargins(MARGIN, MARGIN, MARGIN, MARGIN)
        foot.setSpacing(GAP)
        foot.addWidget(self.doubt, 1)
        foot.addWidget(self.give_up)
        foot.addWidget(self.take)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(sides, 1)
        whole.addLayout(foot)
        fit(self, 820, 640)

    def _add_names(self) -> None:
        form = Form()
        self.name = TextField(self.tr("Name"), told=lambda text: self._change(name=text))
        self.source = TextField(
            self.tr("Where the measures come from"),
            tip=self.tr("Such as: measured with calipers"),
            told=lambda text: self._change(source=text),
        )
        form.put(self.name, below=True)
        form.put(self.source, below=True)
        words = self.tr("Numbers in italics are typical of this kind, from memory. Measure yours.")
        self.measures.put(form, remark(words))

    def _add_groups(self, groups: tuple[Group, ...]) -> None:
        for group in groups:
            form, tick = Form(), None
            if group.fresh is not None:
                tick = form.put(Tick(group.title, tip=group.tip))
                tick.ticked.connect(lambda has, group=group: self._set_part(group, has=has))
            numbers = self._numbers(form, group)
            if "bushing_bore" in numbers.fields:
                self._turns_in = numbers.fields["bushing_bore"]
                form.add_wide(self.typical)
            if group.path == "seat":
                form.add_wide(self.of_body)
            self._groups.append((group, form, numbers, tick))
            self.measures.put(form)

    def _numbers(self, form: Form, group: Group) -> Numbers:
        def with_number(line: Line, value: float | None) -> Hardware:
            # An empty field leaves what the record says of what nobody has measured or knows.
            usual = next(each.default for each in fields(group.record) if each.name == line.field)
            taken = usual if value is None else value
            changed = replace(part_at(self.hardware, group.path) or self.hardware, **{line.field: taken})
            if isinstance(changed, Rectangle) and group.path == "body" and not self._seat_is_measured():
                return with_body(self.hardware, changed)
            return with_part(self.hardware, group.path, changed) if group.path else changed

        numbers = Numbers(
            form,
            group.record,
            group.lines,
            self.units,
            lambda line, value: self._take(with_number(line, value)),
            lambda line, value: self.drawing.show_hardware(with_number(line, value)),
        )
        for name, field in numbers.fields.items():
            self.paths[field] = f"{group.path}.{name}".lstrip(".")
            if group.title:
                field.setAccessibleName(f"{group.title}: {field.accessibleName()}")
        return numbers

    def _add_bushing_kind(self) -> None:
        self.bushing_form = Form()
        kinds = (("screw-in", self.tr("Screwed in")), ("press-in", self.tr("Pressed in")))
        self.bushing = Choice(self.tr("Bushing is"), kinds, told=self._set_bushing)
        self.bushing_form.put(self.bushing)
        self.measures.put(self.bushing_form)

    def _add_button(self) -> None:
        form = Form()
        places = (("side", self.tr("At the side")), ("rear", self.tr("On the back")))
        tip = self.tr("On a shaft across the post, or in line with it")
        self.axis = form.put(Choice(self.tr("Button is"), places, tip=tip, told=self._set_axis))
        self.measures.put(heading(self.tr("Button")), form)
        self._add_groups(button_groups())

    def _add_plate(self) -> None:
        self.plate_pitch = PlateForm(self.units)
        self.plate_pitch.edited.connect(lambda plate: self._change(plate=plate))
        self.plate_pitch.typed.connect(
            lambda plate: self.drawing.show_hardware(replace(self.hardware, plate=plate))
        )
        self.paths |= self.plate_pitch.paths
        self.butts = Tick(
            self.tr("Bodies may touch"),
            tip=self.tr("Tuners of this kind are made to stand side by side"),
            told=lambda value: self._change(butts=value),
        )
        self.measures.put(self.plate_pitch, self.butts)

    def _add_fixings(self) -> None:
        tr, units = self.tr, self.units
        self.screws = FixingsForm(tr("Screw {number}"), NEW_SCREW, screw_lines(), units)
        self.plate_screws = FixingsForm(tr("Plate screw {number}"), NEW_SCREW, screw_lines(), units)
        self.pins = FixingsForm(tr("Pin {number}"), NEW_PIN, pin_lines(), units)
        self.measures.put(heading(tr("Screws and pins")))
        self._fixings = {"screws": self.screws, "plate.screws": self.plate_screws, "pins": self.pins}
        for name, form in self._fixings.items():
            form.edited.connect(lambda parts, name=name: self._set_fixings(name, parts))
            form.typed.connect(
                lambda parts, name=name: self.drawing.show_hardware(with_part(self.hardware, name, parts))
            )
            form.which.picked.connect(self._show_typical)
            self.measures.put(form)
            self.paths |= {field: f"{name}[].{path}" for path, field in form.numbers.fields.items()}

    def _listen(self) -> None:
        for field in self.paths:
            field.installEventFilter(self)
            # How many posts there are is counted, not measured.
            if field is not self.plate_pitch.posts:
                field.edited.connect(lambda _, field=field: self._mark(field))
                field.confirmed.connect(lambda field=field: self._mark(field))

    # Showing

    def _show(self) -> None:
        hardware = self.hardware
        self.name.set_value(hardware.name)
        self.source.set_value(hardware.source)
        for group, form, numbers, tick in self._groups:
            part = part_at(hardware, group.path)
            has = isinstance(part, group.record)
            numbers.show(part if has else None)
            form.setVisible(has or tick is not None)
            if tick is not None:
                tick.set_value(has)
        self._show_turns_in()
        self.of_body.setVisible(hardware.seat is not None and not self._seat_is_measured())
        self.bushing_form.setVisible(hardware.bushing is not None)
        self.bushing.set_value(hardware.bushing.kind if hardware.bushing else None)
        self.axis.set_value("side" if isinstance(hardware.button, SideButton) else "rear")
        self._show_plate()
        self._doubt("")
        self.butts.set_value(hardware.butts)
        self.screws.show_parts(hardware.screws)
        self.pins.show_parts(hardware.pins)
        self._show_typical()
        self.drawing.show_hardware(hardware)

    def _show_typical(self) -> None:
        typical = measures(self.hardware).keys() - self._measured
        for field in self.paths:
            if field is not self.plate_pitch.posts:
                field.set_typical(self._record_path(field) in typical)

    def _seat_is_measured(self) -> bool:
        """Whether the seat is the maker's own; a typical one goes with the body."""
        return any(path.startswith("seat.") for path in self._measured)

    def _drawn_path(self, field: NumberField) -> str:
        """Where the measure of a field is now: of the screw or pin in hand."""
        name, _, rest = self.paths[field].partition("[]")
        return f"{name}[{self._fixings[name].place}]{rest}" if rest else name

    def _record_path(self, field: NumberField) -> str:
        path = self._drawn_path(field)
        return "plate.pitch" if path == WHOLE else path

    def _doubt(self, unread: str) -> None:
        """Say what does not read, else which measures cannot be."""
        self.doubt.tell(unread or " ".join(each.say(self.units) for each in doubts(self.hardware)))

    def _show_turns_in(self) -> None:
        """What counts while nobody has measured in what the post turns, marked as typical."""
        usual = number_text(self.hardware.post_diameter + POST_SLACK, "length", self.units)
        self._turns_in.setPlaceholderText(usual)
        self.typical.setText(
            self.tr("Typical for the post, from memory: {0}. Measure yours.").format(usual)
            if self.hardware.bushing_bore is UNSET
            else self.tr("Measured: how far a plate's holes may be off follows from it.")
        )

    def _show_plate(self) -> None:
        plate = self.hardware.plate
        for part in (self.plate_pitch, self.plate_screws):
            part.setVisible(plate is not None)
        if plate is not None:
            self.plate_pitch.show_plate(plate)
            self.plate_screws.show_parts(plate.screws)

    # Changing

    def _change(self, **fields: object) -> None:
        self._take(replace(self.hardware, **fields))

    def _take(self, hardware: Hardware) -> None:
        self._measured &= measures(hardware).keys()
        self.hardware = with_measured(hardware, self._measured)
        self._show()

    def _mark(self, field: NumberField) -> None:
        """What was typed is measured, even where it is what was there."""
        self._measured.add(self._record_path(field))
        self._take(self.hardware)

    def _set_part(self, group: Group, *, has: bool) -> None:
        assert group.fresh is not None, "only parts that may be missing have a box to tick"
        self._take(with_part(self.hardware, group.path, group.fresh(self.hardware) if has else None))

    def _set_bushing(self, kind: object) -> None:
        if self.hardware.bushing is not None:
            changed = replace(self.hardware.bushing, kind="screw-in" if kind == "screw-in" else "press-in")
            self._change(bushing=changed)

    def _set_axis(self, axis: object) -> None:
        if isinstance(self.hardware.button, SideButton) != (axis == "side"):
            fresh = NEW_SIDE_BUTTON if axis == "side" else NEW_REAR_BUTTON
            self._measured = {path for path in self._measured if not path.startswith("button.")}
            self._change(button=fresh)

    def _set_fixings(self, name: str, parts: tuple[Fixing, ...]) -> None:
        before = part_at(self.hardware, name)
        if before is None:
            return
        if len(parts) < len(before):
            self._measured = without_fixing(self._measured, name, self._fixings[name].place)
        self._take(with_part(self.hardware, name, parts))

    # What Qt calls

    def accept(self) -> None:
        """Take the measures, once all that is typed reads."""
        if all_reads(self, self._doubt):
            super().accept()

    def reject(self) -> None:
        """Give the measures up; typed ones are not given up by a key alone."""
        if self.hardware == self._begun_with or self.ask_give_up():
            super().reject()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """The measure of the field with the cursor stands out on the drawing."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, NumberField):
            self.drawing.show_measure(self._drawn_path(watched), watched.accessibleName())
        return super().eventFilter(watched, event)
