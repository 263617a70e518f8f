"""Preferences: few, taken over at once, and easily set back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from operator import attrgetter
from typing import Any, get_args

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.document.settings import Settings, SettingsStore
from app.panels.numbers import range_of
from app.widgets.boxes import filled
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Fault, PlainLabel, button
from app.widgets.number_field import NumberField
from app.widgets.sizes import fit_content, roomy
from app.widgets.typed_line import all_reads
from app.window.limits_page import LimitsPage
from geometry.document.expression import read_expression
from geometry.document.lengths import LengthError
from geometry.trade.drills import Series
from geometry.trade.quantities import show_length
from geometry.trade.shop import PaperName, Shop

FONT_SCALES = (0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0)


class PreferencesDialog(QDialog):
    """Three pages; every change counts at once, and one button sets all of it back."""

    def __init__(self, store: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._store = store
        self._following: list[Callable[[Settings], None]] = []
        self.setWindowTitle(self.tr("Preferences"))
        self.pages = QTabWidget()
        self.pages.addTab(roomy(self._window_page()), self.tr("Window"))
        self.pages.addTab(roomy(self._shop_page()), self.tr("Workshop"))
        self.limits = LimitsPage(store)
        self.pages.addTab(self.limits, self.tr("Limits of new builds"))
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        self.reset_button = button(
            self.tr("Reset to defaults"),
            self.tr("Give up all preferences; printers, drills and recent builds stay"),
            self._reset,
        )
        buttons.addButton(self.reset_button, QDialogButtonBox.ButtonRole.ResetRole)
        self.fault = Fault(self.tr("What cannot be read"))
        self.fault.hide()
        parts = self.pages, self.fault, buttons
        filled(QVBoxLayout(self), *parts, margins=(16, 16, 16, 14), spacing=14)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 84)
        store.changed.connect(self._follow)
        self._follow(store.settings)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Take the size of the pages, once the type is known."""
        fit_content(self)
        super().showEvent(event)

    def reject(self) -> None:
        """Close once all that is typed reads; what does not would be lost unsaid."""
        if any(each.fault for each in self.findChildren(NumberField)):
            self.pages.setCurrentIndex(1)  # all of them are the workshop's
        if all_reads(self, self._tell):
            super().reject()

    def _tell(self, words: str) -> None:
        self.fault.tell(words)
        self.fault.setVisible(bool(words))

    # Pages

    def _window_page(self) -> QWidget:
        page, form = _page()
        units = Choice(
            self.tr("Units"),
            [("mm", self.tr("Millimetres")), ("inch", self.tr("Inches"))],
            tip=self.tr("What lengths are shown in, and what a plain number means"),
        )
        self._add(form, units, attrgetter("units"), Settings.in_units)
        colours = Choice(
            self.tr("Colours"),
            [
                ("system", self.tr("As the desktop")),
                ("light", self.tr("Light")),
                ("dark", self.tr("Dark")),
                ("contrast", self.tr("High contrast")),
            ],
            tip=self.tr("Light, dark, high contrast, or as the desktop has it"),
        )
        self._add(form, colours, attrgetter("theme"), partial(_with, "theme"))
        scales = [(scale, f"{scale * 100:g} %") for scale in FONT_SCALES]
        size = Choice(self.tr("Size of type"), scales, tip=self.tr("How large the words of the window are"))
        self._add(form, size, attrgetter("font_scale"), partial(_with, "font_scale"))
        side = self.tr(
            "The head from the side, beside the drawing, not only while one of its numbers is in hand"
        )
        for name, words, tip in (
            ("grid", self.tr("Show the grid"), self.tr("A grid behind the head that suits how near it is")),
            (
                "rings",
                self.tr("Show the rings"),
                self.tr("Round each hole, how far its mark may miss with the head still safe"),
            ),
            ("from_side", self.tr("Show the side as well"), side),
            (
                "snap",
                self.tr("Snap while dragging"),
                self.tr("Catch on lines, nodes and the grid; hold Ctrl to leave it off for once"),
            ),
        ):
            self._add(form, Tick(words, tip=tip), attrgetter(name), partial(_with, name))
        return page

    def _shop_page(self) -> QWidget:
        page, form = _page()
        tip = self.tr("Choose drills for bores from this set")
        for series, words in _series_words().items():
            box = Tick(words, tip=tip)
            self._add(form, box, partial(_has_series, series), partial(_with_series, series))
        self._lengths(form, self.tr("Other drills and reamers"), "extra_drills")
        self._lengths(form, self.tr("Nut files"), "nut_files")
        what_for = self.tr("New heads are held to hollows that the smallest one can cut.")
        self._lengths(form, self.tr("Router bits"), "cutters", what_for)
        for name, words, tip in self._shop_lengths():
            self._length(form, words, tip, name)
        papers = [(name, name) for name in get_args(PaperName)]
        paper = Choice(self.tr("Paper"), papers, tip=self.tr("What is in the printer"))
        self._add(
            form, paper, attrgetter("shop.paper"), lambda settings, name: _with_shop(settings, paper=name)
        )
        printer = Choice(
            self.tr("Printer"),
            [(each.name, each.name) for each in self._store.settings.shop.printers],
            tip=self.tr("Whose correction is used first; measure a printer under Print and export"),
        )
        self._add(form, printer, lambda settings: settings.shop.printers[0].name, _with_first_printer)
        return page

    def _shop_lengths(self) -> tuple[tuple[str, str, str], ...]:
        """Lengths of the shop by their names there, what they are called, and their tips."""
        return (
            (
                "finish_build_up",
                self.tr("Finish in bores"),
                self.tr("By how much finish makes a bore narrower, for new builds; a build keeps its own"),
            ),
            (
                "kerf",
                self.tr("Kerf"),
                self.tr("Width that the laser or saw takes away; it moves cut lines, never holes"),
            ),
            (
                "guide_bushing",
                self.tr("Guide bushing"),
                self.tr(
                    "Outside diameter of the bushings that sit in a drill guide; empty: holes for a pilot drill"
                ),
            ),
            (
                "press_throat",
                self.tr("Throat of the drill press"),
                self.tr("From the axis of its spindle to its column; with it the cradle says which way fits"),
            ),
            ("press_table", self.tr("Table of the drill press"), self.tr("Its length from left to right")),
            # What a printed drill guide is made for.
            (
                "bed_width",
                self.tr("Bed of the plastic printer, wide"),
                self.tr("Where it can print, left to right"),
            ),
            (
                "bed_depth",
                self.tr("Bed of the plastic printer, deep"),
                self.tr("Where it can print, front to back"),
            ),
            (
                "print_clearance",
                self.tr("Clearance of printed parts"),
                self.tr("What it must leave between two parts that are to go together"),
            ),
            ("print_wall", self.tr("Least printed wall"), self.tr("Thinner than this it does not hold")),
        )

    # Fields

    def _add(
        self,
        form: QFormLayout,
        box: Choice | Tick,
        read: Callable[[Settings], Any],
        change: Callable[[Settings, Any], Settings],
    ) -> None:
        """A box that shows what is read from the settings, and changes them."""
        chosen, words = (box.ticked, "") if isinstance(box, Tick) else (box.picked, box.accessibleName())
        form.addRow(words, box)
        chosen.connect(lambda value: self._store.keep(change(self._store.settings, value)))
        self._following.append(lambda settings: box.set_value(read(settings)))

    def _length(self, form: QFormLayout, words: str, tip: str, name: str) -> None:
        """A length of the shop, which may be left empty where it need not be known."""
        optional = getattr(Shop(), name) is None
        field = NumberField(
            words, units=self._store.settings.units, within=range_of(Shop, name), optional=optional, tip=tip
        )
        empty = self.tr("none") if name == "guide_bushing" else self.tr("not measured")
        field.setPlaceholderText(empty if optional else "")
        form.addRow(words, field)

        def keep(value: float | None) -> None:
            self._store.keep_shop(replace(self._store.settings.shop, **{name: value}))

        def follow(settings: Settings) -> None:
            field.set_units(settings.units)
            field.set_value(getattr(settings.shop, name))

        field.edited.connect(keep)
        field.cleared.connect(lambda: keep(None))
        self._following.append(follow)

    def _lengths(self, form: QFormLayout, words: str, name: str, what_for: str = "") -> None:
        field = QLineEdit()
        tip = self.tr("Sizes with semicolons between them, such as 8.8; 25/64 in")
        field.setAccessibleName(words)
        field.setToolTip(f"{tip}. {what_for}" if what_for else tip)
        field.setPlaceholderText(self.tr("none"))
        fault = PlainLabel()
        fault.setWordWrap(True)
        fault.hide()
        form.addRow(words, field)
        form.addRow("", fault)

        def take() -> None:
            settings = self._store.settings
            try:
                lengths = _read_lengths(field.text(), settings)
                shop = msgspec.convert({**msgspec.to_builtins(settings.shop), name: lengths}, Shop)
            except LengthError as error:
                reason = str(error)
            except msgspec.ValidationError:
                most = show_length(100.0, settings.units)
                reason = self.tr("Sizes lie between 0 and {most}.").format(most=most)
            else:
                reason = ""
                self._store.keep_shop(shop)
            fault.setText(reason)
            fault.setVisible(bool(reason))

        field.editingFinished.connect(take)
        self._following.append(lambda settings: field.setText(_shown_lengths(settings, name)))

    # What follows

    def _follow(self, settings: Settings) -> None:
        for follow in self._following:
            follow(settings)

    def _reset(self) -> None:
        settings = self._store.settings
        self._store.keep(
            Settings(screens=settings.screens, shop=replace(settings.shop, units="mm", paper="A4"))
        )

    def keyPressEvent(self, event: Any) -> None:  # noqa: N802 - Qt's name
        """Enter in a field takes it over; it does not close the dialog."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)


def _page() -> tuple[QWidget, QFormLayout]:
    page = QWidget()
    form = QFormLayout(page)
    form.setContentsMargins(20, 20, 20, 20)
    form.setHorizontalSpacing(18)
    form.setVerticalSpacing(10)
    return page, form


def _series_words() -> dict[Series, str]:
    translate = QCoreApplication.translate
    return {
        "metric": translate("Preferences", "Metric drills"),
        "fraction": translate("Preferences", "Fractions of an inch"),
        "number": translate("Preferences", "Number drills"),
        "letter": translate("Preferences", "Letter drills"),
    }


def _with(name: str, settings: Settings, value: object) -> Settings:
    return replace(settings, **{name: value})


def _with_shop(settings: Settings, **fields: object) -> Settings:
    return replace(settings, shop=replace(settings.shop, **fields))


def _has_series(series: Series, settings: Settings) -> bool:
    return series in settings.shop.drill_sets


def _with_series(series: Series, settings: Settings, on: bool) -> Settings:  # noqa: FBT001 - the state of a box
    others = tuple(each for each in settings.shop.drill_sets if each != series)
    return _with_shop(settings, drill_sets=(*others, series) if on else others)


def _with_first_printer(settings: Settings, name: str) -> Settings:
    printers = sorted(settings.shop.printers, key=lambda each: each.name != name)
    return _with_shop(settings, printers=tuple(printers))


def _read_lengths(text: str, settings: Settings) -> tuple[float, ...]:
    parts = (part.strip() for part in text.split(";"))
    return tuple(read_expression(part, units=settings.units) for part in parts if part)


def _shown_lengths(settings: Settings, name: str) -> str:
    lengths: tuple[float, ...] = getattr(settings.shop, name)
    return "; ".join(show_length(each, settings.units) for each in lengths)
