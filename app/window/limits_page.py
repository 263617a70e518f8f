"""The limits that new builds begin with, as a table; a build that is there already keeps its own."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from app.document.settings import Settings, SettingsStore
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.window.reading_tables import TYPED, fixed_item
from geometry.document.expression import read_expression
from geometry.document.lengths import LengthError
from geometry.trade.limits import (
    DEFAULT_RULES,
    ChangedLimit,
    LevelName,
    Limit,
    Rule,
    ShareOf,
    Unit,
    rules_with,
)
from geometry.trade.quantities import show_length, show_typed, typed_number
from geometry.trade.units import Units

_tr = partial(QCoreApplication.translate, "Limits")

LEVELS: tuple[LevelName, ...] = ("watch", "stop")
_EXAMPLE = 3.0
_SIGNS: dict[Unit, str] = {"deg": "°", "%": " %"}
_SHARES: dict[ShareOf, str] = {"bore": "D", "play": "P"}
RULES = tuple(rule for rule in DEFAULT_RULES if rule.unit)
"""Rules whose limits are measures; what is counted has nothing to set."""


class LimitsPage(QWidget):
    """A row for each rule; a changed limit is bold, and an emptied cell takes the usual one again."""

    def __init__(self, store: SettingsStore, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)  # as the pages beside it, which scroll
        self._store = store
        self.table = QTableWidget(len(RULES), 3)
        self.table.setAccessibleName(self.tr("Limits of new builds"))
        self.table.setToolTip(self.tr("Type another limit; empty a cell for the usual one"))
        self.table.setHorizontalHeaderLabels([self.tr("Check"), self.tr("Watch"), self.tr("Stop")])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(TYPED)
        self.about, self.note = PlainLabel(), PlainLabel()
        for label in (self.about, self.note):
            label.setWordWrap(True)
        parts = self.about, (self.table, 1), self.note
        filled(QVBoxLayout(self), *parts, margins=(20, 20, 20, 12), spacing=10)
        self.show_settings(store.settings)
        store.changed.connect(self.show_settings)
        self.table.cellChanged.connect(self._changed)

    def show_settings(self, settings: Settings) -> None:
        """Show the limits as they are."""
        self.about.setText(_about(settings.units))
        rules = rules_with(settings.limits)
        changed = {(each.rule, each.level) for each in settings.limits}
        self.table.blockSignals(True)
        for row, rule in enumerate(RULES):
            name = fixed_item(_rule_name(rule))
            name.setToolTip(_what_for(rule.name))
            self.table.setItem(row, 0, name)
            for column, level in enumerate(LEVELS, start=1):
                item = _cell(rules[rule.name], level, settings.units)
                font = item.font()
                font.setBold((rule.name, level) in changed)
                item.setFont(font)
                self.table.setItem(row, column, item)
        self.table.blockSignals(False)

    def _changed(self, row: int, column: int) -> None:
        rule, level = RULES[row], LEVELS[column - 1]
        settings = self._store.settings
        item = self.table.item(row, column)
        text = item.text().strip() if item is not None else ""
        others = tuple(each for each in settings.limits if (each.rule, each.level) != (rule.name, level))
        try:
            change: tuple[ChangedLimit, ...] = (_read(rule, level, text, settings.units),) if text else ()
        except LengthError as error:
            self.note.setText(str(error))
            change = tuple(each for each in settings.limits if each not in others)
        else:
            self.note.clear()
        self._store.keep(settings.with_limits((*others, *change)))
        self.show_settings(self._store.settings)


def _read(rule: Rule, level: LevelName, text: str, units: Units) -> ChangedLimit:
    """The limit that was typed: a measure, and after "or" a share of bore or play; LengthError when it is neither."""
    least, _, share = text.partition(_or())
    usual = _limit(rule, level)
    plain = least.strip().removesuffix(_SIGNS.get(rule.unit, "").strip())
    number = read_expression(plain, units=units if rule.unit == "mm" else "mm", negative=True)
    of_bore = usual.of_bore if usual else 0.0
    if share:
        of_bore = read_expression(share.strip().removesuffix(_SHARES[rule.share_of]))
    return ChangedLimit(rule.name, level, number, of_bore)


def _cell(rule: Rule, level: LevelName, units: Units) -> QTableWidgetItem:
    limit = _limit(rule, level)
    if limit is None:
        return fixed_item("–")
    item = QTableWidgetItem(shown_limit(limit, rule, units))
    item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return item


def shown_limit(limit: Limit, rule: Rule, units: Units) -> str:
    """A limit as text, such as "3 mm or 0.25 D" or "13°"."""
    least = show_typed(limit.least, rule.unit, units)
    return (
        f"{least} {_or()} {typed_number(limit.of_bore)} {_SHARES[rule.share_of]}" if limit.of_bore else least
    )


def _limit(rule: Rule, level: LevelName) -> Limit | None:
    return rule.watch if level == "watch" else rule.stop


def _or() -> str:
    return QCoreApplication.translate("Limits", "or", "between a length and a share of the bore")


def _rule_name(rule: Rule) -> str:
    name = QCoreApplication.translate("Rule", rule.name)
    most = _tr(", at most") if rule.sense == "at most" else ""
    return f"{name[:1].upper()}{name[1:]}{most}"


def _about(units: Units) -> str:
    """Which of two limits counts, in a few sentences."""
    sentences = (
        _tr(
            "Less than Watch is worth a look; less than Stop does not work, and then Stop alone is told. "
            'Where a name says "at most", more counts instead of less.'
        ),
        _tr("A part is held to the limits of its own kind: a bore to Wall, a screw or pin to Screw to edge."),
        _tr(
            "D is the diameter of the bore, P the play of the post: of {length} or 0.25 D the larger counts."
        ).format(length=show_length(_EXAMPLE, units)),
    )
    return "\n".join(sentences)


def _what_for(rule: str) -> str:
    """What a check is about, where another one might be taken for it; empty for the others."""
    between = _tr("Wood between two bores; askew to the grain the limit lies between both webs")
    words = {
        "wall": _tr("Wood from a bore to the edge beside it; screws have Screw to edge"),
        "end distance": _tr("Wood from a bore along the grain to the end of the head; beside it counts Wall"),
        "web along grain": between,
        "web across grain": between,
        "body gap": _tr("Between two bodies; where bodies may touch, Butting body gap counts instead"),
        "butting body gap": _tr("Between two bodies that may touch, instead of Body gap"),
        "washer gap": _tr("Between two washers, and from a washer to the edge"),
        "seat": _tr("From a seat to the edge of the back"),
        "seat on flat back": _tr("From a seat to where the back is no longer flat"),
        "screw to edge": _tr("Wood from a screw or pin to the edge; bores have Wall"),
        "screw to hole": _tr(
            "Wood from a screw or pin to other bores and screws; to its tuner's bore see the next"
        ),
        "screw to own bore": _tr("Wood from a screw or pin to the bore of its own tuner"),
        "break": _tr("How much a string bends over the nut, at least; see High break too"),
        "high break": _tr("How much a string bends over the nut, at most; see Break too"),
        "first post": _tr("From the nut to the first post of a string"),
        "first washer": _tr("From the nut to the first washer"),
        "into the nut": _tr("From the nut line to a bore or washer; below 0 it is in the nut"),
        "width at nut": _tr("How far the wood reaches beyond each end of the nut, at least"),
        "overhang at nut": _tr("How far the wood reaches beyond each end of the nut, at most"),
    }
    return words.get(rule, "")
