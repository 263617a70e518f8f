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
from app.panels.numbers import Line, Numbers
from app.panels.sentences import sentence, tell
from app.panels.words import change_words
from app.widgets.kit import Form, remark
from app.widgets.number_field import NumberField, Range, number_text
from export.sheets.nut_strip import nut_remarks, slot_table
from geometry.document import edits
from geometry.document.build import Nut
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
        tr = self.tr
        self.add_heading(tr("Slots"), first=True)
        self.slots = ValueTable(tr("Where each slot is, how wide, and the file for it"))
        self.heights = ValueTable(tr("How deep each slot is, how high it lies, and how it runs"))
        self.wrong, self.none = sentence(bold=True), remark(tr("There are no strings yet."))
        tip = tr("Margins, files, heights, and what the numbers are worth")
        self.about = Fold(tr("What the columns mean"), tip)
        self.add(self.none, self.wrong, self.slots, self.heights, self.about)
        self._add_fitting()
        self._add_numbers()

    def _add_fitting(self) -> None:
        tr = self.tr
        self.fitting_title = self.add_heading(tr("Fit it from below"))
        self.fitting_form = form = Form()
        over, within = (
            tr("From fret 1 to the underside of the open string, as it is now"),
            Range(0.0, MOST_CLEARANCE),
        )
        self.measured = (
            self.ask_length(form, tr("Measured, bass"), over, within),
            self.ask_length(form, tr("Measured, treble"), over, within),
        )
        tip, within = tr("Left empty: the finished height at its lowest place"), Range(LEAST, MOST_HEIGHT)
        self.nut_height = self.ask_length(form, tr("Height of the nut now"), tip, within)
        self.ask = remark(
            tr(
                "Measure over fret 1 under both outer strings; what is wanted stands below, under Wanted heights."
            )
        )
        tip = tr("The nut seen from the frets; what comes off is drawn larger than it is")
        self.cut = CutView(tr("Cut along the bottom"), tip)
        self.fitting_words = sentence()
        self.add(form, self.ask, self.cut, self.fitting_words)

    def _add_numbers(self) -> None:
        tr = self.tr
        over = tr("From the fret to the underside of the open string")
        heights = (
            Line("clearance_bass", tr("Over fret 1, bass"), over),
            Line("clearance_treble", tr("Over fret 1, treble"), over),
            Line("action_bass", tr("Over fret 12, bass"), over),
            Line("action_treble", tr("Over fret 12, treble"), over),
        )
        wider = tr("Than their strings; too wide, and they buzz")
        allowance = Line("slot_allowance", tr("Slots wider by"), wider)
        share, percent = tr("Share of the diameter that stands over the top of the nut"), Range(0.0, 100.0)
        falls = tr("Share of the break angle behind the nut")
        shares = (
            Line("proud_wound", tr("Stands proud, wound"), share, "percent", within=percent),
            Line("proud_plain", tr("Stands proud, other"), share, "percent", within=percent),
            Line("fall_share", tr("Floor falls by"), falls, "percent", within=percent),
        )
        blank = (
            Line("blank_oversize", tr("Oversize at each end"), tr("Trimmed on the instrument")),
            Line("least_height", tr("Least height"), tr("A lower nut breaks out at its slots")),
            Line(
                "blank_height",
                tr("Height of the blank"),
                tr("Left empty: as high as it takes"),
                optional=True,
            ),
        )
        self._groups: list[Numbers] = []
        self.numbers: dict[str, NumberField] = {}
        self._group(tr("Wanted heights"), heights)
        form = self._group(tr("How slots are filed"), (allowance,))
        self.shares = Numbers(form, Nut, shares, self.units, self._edit_share)
        self._group(tr("Blank"), blank)
        self.blank = self.numbers["blank_height"]

    def _group(self, title: str, lines: tuple[Line, ...]) -> Form:
        form = Form()
        made = Numbers(form, Nut, lines, self.units, self._edit)
        self._groups.append(made)
        self.numbers |= made.fields
        self.add_heading(title)
        self.add(form)
        return form

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """Everything about the nut that can be typed."""
        nut = scene.build.nut
        for numbers in self._groups:
            numbers.show(nut)
        # In per cent, as the fields have them.
        shares = {name: round(100 * getattr(nut, name), 9) for name in self.shares.fields}
        self.shares.show(replace(nut, **shares))

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

    def _edit_share(self, line: Line, value: float | None) -> None:
        assert value is not None, "the field is never empty"
        self._edit(line, value / 100)

    def _edit(self, line: Line, value: float | None) -> None:
        changed = {line.field: UNSET if value is None else value}
        self.session.act(
            change_words(line.text), lambda build: edits.set_nut(build, replace(build.nut, **changed))
        )
