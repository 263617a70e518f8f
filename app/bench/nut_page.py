"""The nut at the bench: slots and heights, what they follow from, and the cut along its bottom."""

from __future__ import annotations

from msgspec import UNSET
from msgspec.structs import replace

from app.bench.cut_view import CutView
from app.bench.page import Fold, Page
from app.bench.value_table import ValueTable
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers, range_of
from app.panels.sentences import sentence, tell
from app.widgets.kit import Form, remark
from app.widgets.number_field import NumberField, Range, number_text
from export.sheets.nut_strip import nut_remarks, slot_table
from geometry.document import edits
from geometry.document.build import Build, Nut
from geometry.layout.nut_fitting import fit_nut, say_fitting, usual_height
from geometry.layout.nut_slots import blank_height, nut_slots
from geometry.trade.measures import LEAST
from geometry.trade.units import Units

MOST_CLEARANCE, MOST_HEIGHT = 10.0, 100.0
"""mm; nothing that is measured over fret 1, no nut is more."""

_FIRST = 5
"""Columns of the first of the two tables that a narrow panel needs."""


class NutPage(Page):
    """Tables of slots and heights, then the fitting, then everything they follow from."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        self.add_heading(self.tr("Slots"), first=True)
        self.slots = ValueTable(self.tr("Where each slot is, how wide, and the file for it"))
        self.heights = ValueTable(self.tr("How deep each slot is, how high it lies, and how it runs"))
        self.wrong, self.none = sentence(bold=True), remark(self.tr("There are no strings yet."))
        self.about = Fold(
            self.tr("What the columns mean"),
            self.tr("Margins, files, heights, and what the numbers are worth"),
        )
        for part in (self.none, self.wrong, self.slots, self.heights, self.about):
            self.add(part)
        self._add_fitting()
        self._add_numbers()

    def _add_fitting(self) -> None:
        self.fitting_title = self.add_heading(self.tr("Fit it from below"))
        self.fitting_form = form = Form()
        self.measured = tuple(
            self._measured(
                form,
                name,
                self.tr("From fret 1 to the underside of the open string, as it is now"),
                Range(0.0, MOST_CLEARANCE),
            )
            for name in (self.tr("Measured, bass"), self.tr("Measured, treble"))
        )
        self.nut_height = self._measured(
            form,
            self.tr("Height of the nut now"),
            self.tr("Left empty: the finished height at its lowest place"),
            Range(LEAST, MOST_HEIGHT),
        )
        self.ask = remark(
            self.tr(
                "Measure over fret 1 under both outer strings; what is wanted stands below, under Wanted heights."
            )
        )
        self.cut = CutView(
            self.tr("Cut along the bottom"),
            self.tr("The nut seen from the frets; what comes off is drawn larger than it is"),
        )
        self.fitting_words = sentence()
        for part in (form, self.ask, self.cut, self.fitting_words):
            self.add(part)

    def _measured(self, form: Form, name: str, tip: str, within: Range) -> NumberField:
        field = NumberField(name, units=self.units, within=within, optional=True, tip=tip)
        field.edited.connect(self.wanted)
        field.cleared.connect(self.wanted)
        form.add(name, field)
        return field

    def _add_numbers(self) -> None:
        over = self.tr("From the fret to the underside of the open string")
        heights = (
            Line("clearance_bass", self.tr("Over fret 1, bass"), tip=over),
            Line("clearance_treble", self.tr("Over fret 1, treble"), tip=over),
            Line("action_bass", self.tr("Over fret 12, bass"), tip=over),
            Line("action_treble", self.tr("Over fret 12, treble"), tip=over),
        )
        allowance = Line(
            "slot_allowance",
            self.tr("Slots wider by"),
            tip=self.tr("Than their strings; too wide, and they buzz"),
        )
        blank = (
            Line("blank_oversize", self.tr("Oversize at each end"), tip=self.tr("Trimmed on the instrument")),
            Line("least_height", self.tr("Least height"), tip=self.tr("A lower nut breaks out at its slots")),
        )
        self.numbers: dict[str, NumberField] = {}
        self._group(self.tr("Wanted heights"), heights)
        form = self._group(self.tr("How slots are filed"), (allowance,))
        self._shares(form)
        form = self._group(self.tr("Blank"), blank)
        self._blank_height(form)

    def _group(self, title: str, lines: tuple[Line, ...]) -> Form:
        form = Form()
        numbers = Numbers(form, Nut, lines, self.units, self._edit_line)
        self.numbers |= numbers.fields
        self.add_heading(title)
        self.add(form)
        return form

    def _shares(self, form: Form) -> None:
        self.shares: dict[str, NumberField] = {}
        of_string = self.tr("Share of the diameter that stands over the top of the nut")
        for field, name, tip in (
            ("proud_wound", self.tr("Stands proud, wound"), of_string),
            ("proud_plain", self.tr("Stands proud, other"), of_string),
            ("fall_share", self.tr("Floor falls by"), self.tr("Share of the break angle behind the nut")),
        ):
            made = NumberField(name, measure="percent", within=Range(0.0, 100.0), tip=tip)
            made.edited.connect(lambda value, field=field, name=name: self._set(name, field, value / 100))
            form.add(name, made)
            self.shares[field] = made

    def _blank_height(self, form: Form) -> None:
        name = self.tr("Height of the blank")
        self.blank = NumberField(
            name,
            units=self.units,
            within=range_of(Nut, "blank_height"),
            optional=True,
            tip=self.tr("Left empty: as high as it takes"),
        )
        self.blank.edited.connect(lambda value: self._set(name, "blank_height", value))
        self.blank.cleared.connect(lambda: self._set(name, "blank_height", UNSET))
        form.add(name, self.blank)

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """Everything about the nut that can be typed."""
        nut = scene.build.nut
        for name, field in self.numbers.items():
            field.set_value(getattr(nut, name))
        for name, field in self.shares.items():
            field.set_value(round(100 * getattr(nut, name), 9))
        self.blank.set_value(None if nut.blank_height is UNSET else nut.blank_height)

    def show_values(self, scene: Scene) -> None:
        """Slots, heights, the cut."""
        build, layout, shop = scene.build, scene.layout, self.shop
        slots = nut_slots(build, layout)
        self.none.setVisible(not slots)
        first, second = slot_table(build, slots, shop).halves(_FIRST)
        self.slots.show_table(first)
        self.heights.show_table(second)
        said = list(nut_remarks(build, slots, shop)) if slots else []
        tell(self.wrong, [each.words for each in said if each.bold])
        self.about.tell(each.words for each in said if not each.bold)
        self.blank.setPlaceholderText(number_text(blank_height(build.nut, slots), "length", self.units))
        for part in (self.fitting_title, self.fitting_form):
            part.setVisible(bool(slots))
        if slots:
            self.nut_height.setPlaceholderText(number_text(usual_height(build, layout), "length", self.units))
        self._show_fitting(scene if slots else None)

    def _show_fitting(self, scene: Scene | None) -> None:
        bass, treble = (field.value for field in self.measured)
        known = scene is not None and bass is not None and treble is not None
        self.ask.setVisible(scene is not None and not known)
        if scene is None or bass is None or treble is None:
            self.cut.show_cut(None, bass_left=True, units=self.units)
            tell(self.fitting_words, "")
            return
        build = scene.build
        found = fit_nut(build, scene.layout, (bass, treble), height=self.nut_height.value)
        self.cut.show_cut(found, bass_left=build.bass_sign < 0, units=self.units)
        tell(self.fitting_words, list(say_fitting(build, found, self.units)))

    # Acts

    def _edit_line(self, line: Line, value: float | None) -> None:
        self._set(line.text, line.field, value)

    def _set(self, what: str, field: str, value: object) -> None:
        label = self.tr("Change {what}").format(what=what[:1].lower() + what[1:])

        def edit(build: Build) -> Build:
            return edits.set_nut(build, replace(build.nut, **{field: value}))

        self.session.act(label, edit)
