"""The choices of an output as controls, in the order in which a maker thinks of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import get_args

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.output.choices import Choices, profile_of
from app.output.packet_choice import PacketChoice
from app.output.pieces import sheet_title
from app.panels.numbers import range_of
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, heading, remark
from app.widgets.number_field import NumberField
from app.writing.export import DxfVersion, LeftOut
from export.catalogue import ORDER, PACKETS, packet_named
from export.machine import Edge
from geometry.trade.shop import PaperName, Shop

_OWN = "own"


class OptionsPanel(QWidget):
    """Sheets, paper and printer, drill guide, drawings for machines.

    Signals:
        changed: the new Choices.
        correction_wanted: the maker wants to correct a printer.
        guide_wanted: the maker wants to look at the printed guide.
    """

    changed = Signal(object)
    correction_wanted = Signal()
    guide_wanted = Signal()

    def __init__(self, shop: Shop, choices: Choices, today: date, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices, self._shop, self._today = choices, shop, today
        self.sheets: dict[str, Tick] = {}
        self.reasons: dict[str, QLabel] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 16, 16, 16)
        column.setSpacing(8)
        self._add_sheets(column)
        self._add_paper(column)
        self._add_guide(column)
        self._add_machines(column)
        column.addStretch(1)

    def draw_for_machines(self, name: str) -> None:
        """Take the drawing with this name for files for machines."""
        self._set(drawing=name)

    def show_fingerprint(self, mark: str) -> None:
        """Say what every page and file of these choices is marked with."""
        self.fingerprint.setText(self.tr("Fingerprint {mark}, on every page and file").format(mark=mark))

    def show_left_out(self, left_out: Iterable[LeftOut]) -> None:
        """Say under each sheet that is wanted and not there why it is not."""
        reasons = {each.name: each.why for each in left_out}
        for name, label in self.reasons.items():
            reason = reasons.get(name, "")
            label.setText(reason[:1].upper() + reason[1:])
            label.setVisible(bool(reason))
            self.sheets[name].setAccessibleDescription(reason)

    def show_printers(self, shop: Shop, chosen: str) -> None:
        """Offer the printers that the shop has now, one of them chosen."""
        self._shop = shop
        self.printer.set_options([(profile.name, profile.name) for profile in shop.printers])
        self.printer.set_value(profile_of(shop, chosen).name)
        self._take_printer()

    def _say_correction(self) -> None:
        profile = profile_of(self._shop, str(self.printer.value))
        words = self.tr("Lengths × {x:.4f} across, × {y:.4f} up.")
        if profile.factor_x == profile.factor_y == 1.0:
            words = self.tr("Lengths as they are.")
        self.correction.setText(words.format(x=profile.factor_x, y=profile.factor_y))

    # How it is put together

    def _add_sheets(self, column: QVBoxLayout) -> None:
        column.addWidget(heading(self.tr("Sheets"), first=True))
        packets = [(packet.name, sheet_title(packet.title)) for packet in PACKETS]
        self.packet = PacketChoice(
            self.tr("Packet"),
            [*packets, (_OWN, self.tr("As ticked below"))],
            tip=self.tr("Sheets that go together"),
        )
        self.packet.picked.connect(self._take_packet)
        column.addWidget(self.packet)
        for kind in ORDER:
            name = kind.name
            box = Tick(sheet_title(kind.title), tip=self.tr("Print this sheet"))
            box.set_value(name in self.choices.names)
            box.ticked.connect(self._take_sheets)
            reason = remark()
            reason.setContentsMargins(24, 0, 0, 2)
            reason.hide()
            self.sheets[name], self.reasons[name] = box, reason
            column.addWidget(box)
            column.addWidget(reason)
        self._name_packet()
        self.dated = Tick(
            self.tr("With the date, {day}").format(day=self._today.isoformat()),
            tip=self.tr("Print today's date in the title block of every page"),
        )
        self.dated.set_value(self.choices.day is not None)
        self.dated.ticked.connect(lambda on: self._set(day=self._today if on else None))
        self.fingerprint = remark()
        column.addSpacing(4)
        column.addWidget(self.dated)
        column.addWidget(self.fingerprint)

    def _add_paper(self, column: QVBoxLayout) -> None:
        form = self._form(column, self.tr("Paper and printer"))
        papers = [(paper, paper) for paper in get_args(PaperName)]
        self.paper = Choice(self.tr("Paper"), papers, tip=self.tr("Size of the paper"))
        self._keep(self.paper, "paper")
        self.printer = Choice(self.tr("Printer"), tip=self.tr("Whose correction the pages carry"))
        self.printer.picked.connect(self._take_printer)
        self.correction = remark()
        self.correct = button(
            self.tr("&Correct a printer…"),
            self.tr("Print rulers, read them with a steel rule, keep the correction"),
            lambda: self.correction_wanted.emit(),
        )
        form.add(self.tr("&Paper"), self.paper)
        form.add_below(self.tr("P&rinter"), self.printer)
        form.add_wide(self.correction)
        form.add_wide(self.correct)
        self.show_printers(self._shop, self.choices.printer)

    def _add_guide(self, column: QVBoxLayout) -> None:
        form = self._form(column, self.tr("Drill guide"))
        self.bushing = NumberField(
            self.tr("Guide bushing"),
            units=self._shop.units,
            within=range_of(Shop, "guide_bushing"),
            optional=True,
            tip=self.tr(
                "Outside diameter of the bushings that sit in the guide; empty: holes for a pilot drill"
            ),
        )
        self.bushing.setPlaceholderText(self.tr("none"))
        self._keep(self.bushing, "guide_bushing")
        self.bushing.cleared.connect(lambda: self._set(guide_bushing=None))
        self.kerf = NumberField(
            self.tr("Kerf"),
            units=self._shop.units,
            within=range_of(Shop, "kerf"),
            tip=self.tr("Width that the laser or saw takes away; it moves cut lines, never holes"),
        )
        self._keep(self.kerf, "kerf")
        form.add(self.tr("Guide &bushing"), self.bushing)
        form.add(self.tr("&Kerf"), self.kerf)
        self.look = button(
            self.tr("&Look at the printed guide…"),
            self.tr("Turn the guide that 3MF and STL hold, as a picture"),
            lambda: self.guide_wanted.emit(),
        )
        form.add_wide(self.look)

    def _add_machines(self, column: QVBoxLayout) -> None:
        form = self._form(column, self.tr("For machines"))
        ends = {"neck": self.tr("Open, for a neck"), "plate": self.tr("Closed, for a plate")}
        self.edge = Choice(
            self.tr("Outline at the nut"),
            [(edge, ends[edge]) for edge in get_args(Edge)],
            tip=self.tr("A closed outline cuts a head off its neck"),
        )
        self._keep(self.edge, "edge")
        plain = {"plain": self.tr("Lines and arcs only")}
        versions = [(version, plain.get(version, version)) for version in get_args(DxfVersion)]
        tip = self.tr("R12 is for old machines, lines and arcs for those that read no polylines")
        self.version = Choice(self.tr("Kind of DXF"), versions, tip=tip)
        self._keep(self.version, "dxf_version")
        form.add_below(self.tr("&Outline at the nut"), self.edge)
        form.add(self.tr("Kind o&f DXF"), self.version)
        self.aids = Tick(
            self.tr("With lines and notes to set up by"),
            tip=self.tr(
                "Centre line, ticks at the nut, notes, and a square of 100 mm; no machine makes them"
            ),
        )
        self._keep(self.aids, "aids")
        form.add_wide(self.aids)

    def _keep(self, field: Choice | Tick | NumberField, name: str) -> None:
        """Show a choice in a field, and take over what is chosen or typed there."""
        field.set_value(getattr(self.choices, name))
        match field:
            case Choice():
                signal = field.picked
            case Tick():
                signal = field.ticked
            case NumberField():
                signal = field.edited
        signal.connect(lambda value: self._set(**{name: value}))

    # What the maker does

    def _take_packet(self, name: str) -> None:
        """Tick what belongs to a packet; for sheets of one's own the ticks stay as they are."""
        packet = packet_named(name)
        if packet is None:
            return
        for each, box in self.sheets.items():
            box.set_value(each in packet.names)
        self._set(names=packet.names)

    def _name_packet(self) -> None:
        """Say which packet the ticks are."""
        ticked = set(self.choices.names)
        self.packet.set_value(next((each.name for each in PACKETS if set(each.names) == ticked), _OWN))

    def _take_sheets(self) -> None:
        self._set(names=tuple(name for name, box in self.sheets.items() if box.isChecked()))

    def _take_printer(self) -> None:
        self._say_correction()
        self._set(printer=self.printer.value)

    @staticmethod
    def _form(column: QVBoxLayout, words: str) -> Form:
        form = Form()
        column.addWidget(heading(words))
        column.addWidget(form)
        return form

    def _set(self, **fields: object) -> None:
        self.choices = replace(self.choices, **fields)
        self._name_packet()
        self.changed.emit(self.choices)
