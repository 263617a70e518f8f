"""A short page between a starter and the drawing: it asks only what matters, and shows the result already checked."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QRadioButton, QSizePolicy, QWidget

from app.canvas.levels import level_icon
from app.canvas.look import look_of
from app.document.settings import Settings
from app.panels.finding_rows import verdict
from app.widgets.boxes import filled
from app.widgets.cards import Heading
from app.widgets.fields import Combo
from app.widgets.kit import PlainLabel
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from app.widgets.shades import Shade
from app.widgets.wood_combo import WoodCombo, all_names
from app.window.begin_page import BeginPage
from app.window.start_screen import starter_words
from geometry.bench.bore_fit import begun
from geometry.checks.judge import findings
from geometry.document.build import Build
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.document.outline import StarterShape
from geometry.layout.layout import lay_out
from geometry.layout.trees import with_trees
from geometry.layout.tuner_load import say_most
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.string_sets import STRING_SETS
from geometry.trade.wood import known_woods

SIZES = QSize(300, 360), QSize(170, 210), 460
"""Of the picture of the head: usual, on small screens, and the height in pixels below which a screen is small."""


class NewBuildPage(BeginPage):
    """Nut width, strings, tuners and hand for a starter; the picture and its verdict follow at once."""

    def __init__(
        self,
        shape: StarterShape,
        settings: Settings,
        shade: Shade,
        parent: QWidget | None = None,
        measured: list[Hardware] | None = None,
    ) -> None:
        """`measured`: tuners that the maker has measured before; those measured here are added to it."""
        super().__init__(settings, shade, self.tr("The head as it would be"), SIZES, parent)
        self._measured = [] if measured is None else measured
        self._shape = shape
        self.setWindowTitle(self.tr("New build"))
        self.sign, self.verdict = PlainLabel(), PlainLabel()
        self.verdict.setWordWrap(True)
        self.verdict.setAccessibleName(self.tr("Verdict"))
        self.nut, self.strings, self.hardware = self._nut(), Combo(), Combo()
        self.typed = (self.nut,)
        self.wood = WoodCombo()
        self.right, self.left = QRadioButton(self.tr("Right-handed")), QRadioButton(self.tr("Left-handed"))
        self._fill_choices()
        self._lay_out(*starter_words(shape))
        self._connect()
        self.build = self._made()

    # Parts

    def _nut(self) -> NumberField:
        field = NumberField(
            self.tr("Width of the nut"),
            units=self._settings.units,
            within=Range(LEAST_NUT, MOST_NUT),
            tip=self.tr("How wide the nut is at the head"),
        )
        field.set_value(SUGGESTIONS[self._shape].nut_width)
        return field

    def _fill_choices(self) -> None:
        for each in STRING_SETS:
            self.strings.addItem(each.name[0].upper() + each.name[1:], each)
        for place, part in enumerate(LIBRARY):
            self.hardware.addItem(part.name[0].upper() + part.name[1:], part)
            tip = say_most(part, self._settings.units)
            self.hardware.setItemData(place, tip, Qt.ItemDataRole.ToolTipRole)
        for own in self._measured:
            self.hardware.addItem(own.name, own)
        self.hardware.addItem(self.tr("My own tuner, measured…"), None)
        self.wood.addItem(self.tr("Not named yet"), "")
        for wood in known_woods(self._settings.shop.own_woods):
            self.wood.add_wood(wood, all_names(wood)[0].upper() + all_names(wood)[1:])
        suggestion = SUGGESTIONS[self._shape]
        keys = [each.key for each in STRING_SETS], [part.key for part in LIBRARY]
        self.strings.setCurrentIndex(keys[0].index(suggestion.string_set))
        self.hardware.setCurrentIndex(keys[1].index(suggestion.hardware))
        self._begun_with: Hardware = self.hardware.currentData()
        for box, words, tip in (
            (self.strings, self.tr("Strings"), self.tr("The set of strings; each one can be changed later")),
            (self.hardware, self.tr("Tuners"), self.tr("The class of tuners; type in your own sizes later")),
            (self.wood, self.tr("Wood"), self.tr("Bores for pressed bushings are chosen for it")),
        ):
            box.setAccessibleName(words)
            box.setToolTip(tip)
            box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.right.setChecked(True)
        self.right.setToolTip(self.tr("Bass strings on the left, seen from the face"))
        self.left.setToolTip(self.tr("Bass strings on the right, seen from the face"))

    def _lay_out(self, name: str, line: str) -> None:
        self._hands = QButtonGroup(self)
        for button in (self.right, self.left):
            self._hands.addButton(button)
        hands = filled(QHBoxLayout(), self.right, self.left, None, spacing=18)
        form = self._form(self.nut, self.strings, self.hardware, self.wood, (self.tr("Hand"), hands))
        verdict = filled(QHBoxLayout(), self.sign, (self.verdict, 1), spacing=10)
        verdict.setAlignment(self.sign, Qt.AlignmentFlag.AlignTop)
        self._put_together(Heading(name, 1.4), PlainLabel(line), 14, form, 18, verdict, spacing=6)

    def _connect(self) -> None:
        self.nut.edited.connect(self._take)
        self.strings.currentIndexChanged.connect(self._follow)
        self.hardware.currentIndexChanged.connect(self._follow)
        self.hardware.activated.connect(self._measure)
        self.wood.currentIndexChanged.connect(self._follow)
        self.right.toggled.connect(self._follow)

    # What follows

    def _made(self) -> Build:
        build = new_build(
            self._shape,
            name="",  # it is called as its file, until the maker names it
            nut_width=self.nut.value or SUGGESTIONS[self._shape].nut_width,
            string_set=self.strings.currentData(),
            hardware=self._tuner(),
            left_handed=self.left.isChecked(),
        )
        return begun(with_trees(build), self.wood.currentData(), self._settings.shop)

    def _tuner(self) -> Hardware:
        """The tuners that are chosen; those that go with the starter while the maker's own are being measured."""
        chosen = self.hardware.currentData()
        return chosen if isinstance(chosen, Hardware) else self._begun_with

    def _measure(self, place: int) -> None:
        """Let the maker measure tuners of their own, beginning with those that were chosen."""
        if self.hardware.itemData(place) is not None:
            self._begun_with = self.hardware.itemData(place)
        elif not self.hardware.stepping:
            self._ask(place)

    def _ask(self, place: int) -> None:
        measured = self.ask_measures(
            replace(self._begun_with, key="own", name=self.tr("My tuners"), source="")
        )
        if measured is not None:
            self._begun_with = measured
            self._measured.append(measured)
            self.hardware.insertItem(place, measured.name, measured)
        kept = next(n for n in range(self.hardware.count()) if self.hardware.itemData(n) == self._begun_with)
        self.hardware.setCurrentIndex(kept)

    def accept(self) -> None:
        """Create the build; tuners of the maker's own that were only stepped to are measured first."""
        if self.hardware.currentData() is None:
            self._ask(self.hardware.currentIndex())
        else:
            super().accept()

    def ask_measures(self, hardware: Hardware) -> Hardware | None:
        """Ask for measures; None when given up."""
        from app.panels.hardware_form import HardwareForm

        return HardwareForm.ask(hardware, self._settings.units, self)

    def _tell(self, words: str) -> None:
        """What does not read has no verdict."""
        super()._tell(words)
        for part in (self.sign, self.verdict):
            part.setVisible(not words)

    def _follow(self) -> None:
        self.build = self._made()
        layout = lay_out(self.build)
        self._show_head(self.build, layout)
        level, words = verdict(findings(self.build, layout))
        self.sign.setPixmap(level_icon(level, look_of(self._shade), 20).pixmap(20, 20))
        self.verdict.setText(words)
