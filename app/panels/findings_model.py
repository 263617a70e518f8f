"""Rows of findings for a list, cheap to change a hundred times a second, and what can be done about each at once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import (
    QAbstractListModel,
    QCoreApplication,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)

from app.canvas.levels import level_word
from app.document.session import Edit
from app.panels.finding_rows import (
    CuresRow,
    FindingRow,
    FoldRow,
    Identity,
    LimitsRow,
    ListRow,
    identity,
    is_changed,
    rows_of,
    translated,
)
from app.widgets.kit import capital
from geometry.bench.bore_fit import advice
from geometry.bench.fit_words import advice_words
from geometry.checks.judge import Finding, Level
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.document.edits import change_hardware
from geometry.trade.limits import ChangedLimit
from geometry.trade.shop import Shop, default_shop
from geometry.trade.units import Units

AnyIndex = QModelIndex | QPersistentModelIndex
NO_INDEX = QModelIndex()


class FindingsModel(QAbstractListModel):
    """Rows of findings, worst first."""

    def __init__(self, units: Units, parent: QObject) -> None:
        """No findings yet."""
        super().__init__(parent)
        self.rows: list[ListRow] = []
        self.units: Units = units
        self.fine_shown = False
        self.limits_of: Identity | None = None
        self.cures_of: Identity | None = None
        self._found: Sequence[Finding] = ()
        self._changed: tuple[ChangedLimit, ...] = ()
        self._said: dict[Finding, str] = {}
        self._build: Build | None = None
        self.shop = default_shop()

    def show(self, found: Sequence[Finding], build: Build) -> None:
        """Show other findings, those of a build; rows stay where they are on the screen."""
        anew = build.limits != self._changed
        self._found, self._changed, self._build = found, build.limits, build
        self._renew(anew=anew)

    def set_shop(self, shop: Shop) -> None:
        """Offer what can be done with the drills of another shop."""
        self.shop = shop
        self._renew(anew=True)

    def open_fine(self, *, shown: bool) -> None:
        """Show what is fine, or fold it."""
        self.fine_shown = shown
        self._renew()

    def open_limits(self, wanted: Identity | None) -> None:
        """Make room for the limits under one finding."""
        self.limits_of = wanted
        self._renew()

    def open_cures(self, wanted: Identity | None) -> None:
        """Make room for the cures of one finding beneath it."""
        self.cures_of = wanted
        self._renew()

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self.units = units
        self._said.clear()
        self._renew(anew=True)

    def words(self, finding: Finding) -> str:
        """The sentence of a finding, made once."""
        said = self._said.get(finding)
        if said is None:
            if len(self._said) > 2000:
                self._said.clear()
            said = self._said[finding] = say(finding, self.units, translated)
        return said

    def act(self, finding: Finding) -> FindingAct | None:
        """What can be done at once about a finding, None where nothing can."""
        shop = replace(self.shop, units=self.units)
        return None if self._build is None else act_of(finding, self._build, shop)

    def act_words(self, finding: Finding) -> str:
        """The words of what can be done at once about a finding, empty for nothing."""
        found = self.act(finding)
        return "" if found is None else found.words

    def changed_limit(self, finding: Finding) -> bool:
        """Whether a finding is judged by a limit of the maker's own."""
        return is_changed(finding.check, self._changed)

    def place(self, wanted: Identity) -> int | None:
        """The row of a finding that is shown."""
        shown = (identity(row.finding) if isinstance(row, FindingRow) else None for row in self.rows)
        return next((number for number, each in enumerate(shown) if each == wanted), None)

    def row_place(self, kind: type[LimitsRow | CuresRow | FoldRow]) -> int | None:
        """The row of a kind of which there is one at most."""
        return next((number for number, row in enumerate(self.rows) if isinstance(row, kind)), None)

    def _renew(self, *, anew: bool = False) -> None:
        """Show the rows as they are now; when none is another one, all are painted again only if `anew`."""
        rows = rows_of(
            self._found, fine_shown=self.fine_shown, limits_of=self.limits_of, cures_of=self.cures_of
        )
        if rows == self.rows and not anew:
            return
        had, has = len(self.rows), len(rows)
        if has > had:
            self.beginInsertRows(NO_INDEX, had, has - 1)
            self.rows = rows
            self.endInsertRows()
        elif has < had:
            self.beginRemoveRows(NO_INDEX, has, had - 1)
            self.rows = rows
            self.endRemoveRows()
        else:
            self.rows = rows
        if rows:
            self.dataChanged.emit(self.index(0), self.index(has - 1))

    def rowCount(self, parent: AnyIndex = NO_INDEX) -> int:  # noqa: N802 - Qt's name
        """How many rows there are."""
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: AnyIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words of a row, for screen readers and tooltips; the delegate asks for the row itself."""
        row = self.rows[index.row()]
        if isinstance(row, FindingRow):
            return self._finding_data(row.finding, role)
        roles = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole)
        if isinstance(row, FoldRow) and role in roles:
            return self.fold_words(row)
        return None

    def _finding_data(self, finding: Finding, role: int) -> str | None:
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self.words(finding)
            case Qt.ItemDataRole.AccessibleTextRole:
                act = self.act_words(finding)
                return f"{level_word(finding.level)}: {self.words(finding)} {act}".rstrip()
            case Qt.ItemDataRole.ToolTipRole:
                said = self.tr(
                    "Click to see it on the head and what helps (Enter, then Tab). L changes its limit."
                )
                act = self.act_words(finding)
                return self.tr("{said} U does this: {act}.").format(said=said, act=act) if act else said
        return None

    def fold_words(self, row: FoldRow) -> str:
        """The line that counts what is fine."""
        return self.tr("%n fine", "count of findings", row.count)

    def flags(self, index: AnyIndex) -> Qt.ItemFlag:
        """Findings and the fold can be chosen; the room for limits and cures holds fields of its own."""
        if isinstance(self.rows[index.row()], LimitsRow | CuresRow):
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


class FindingAct(msgspec.Struct, frozen=True):
    """The words on the link, the label of the act in the history, and the edit."""

    words: str
    label: str
    edit: Edit


def act_of(finding: Finding, build: Build, shop: Shop) -> FindingAct | None:
    """The act that goes with a finding, None where there is none."""
    if finding.check != "bore fit" or finding.level is Level.FINE:
        return None
    found = advice(build, finding.about[0].key, shop)
    if found is None:
        return None
    words = advice_words(found, shop.units)
    label = QCoreApplication.translate("FindingAct", "Bores: {words}").format(words=words)
    return FindingAct(capital(words), label, lambda build: change_hardware(build, found.hardware))
