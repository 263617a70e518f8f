"""The limits of one check, changed next to the finding that they judge."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from app.document.session import Session
from app.panels.finding_rows import is_changed, rules_of, translated
from app.widgets.kit import GAP, Form, button, capital, column, line, remark
from app.widgets.number_field import Measure, NumberField, Range
from geometry.document import edits
from geometry.document.build import Build
from geometry.document.references import LARGEST_LIMIT
from geometry.trade.limits import ChangedLimit, LevelName, Limit, Rule, Unit, rules_with
from geometry.trade.units import Units

LEVELS: tuple[LevelName, LevelName] = ("watch", "stop")
_MEASURES: dict[Unit, Measure] = {"mm": "length", "deg": "degrees", "%": "percent"}


class LimitEditor(QWidget):
    """Fields for the limits of a check; what is typed is an act like any other.

    Signals:
        done: the maker has finished.
    """

    done = Signal()

    def __init__(self, session: Session, check: str, units: Units, parent: QWidget | None = None) -> None:
        """Change the limits of `check` in the session's build."""
        super().__init__(parent)
        self._session = session
        self._check = check
        self._fields: dict[tuple[str, LevelName, bool], NumberField] = {}
        self.setAccessibleName(self.tr("Limits of {check}").format(check=translated(check)))
        self.setAutoFillBackground(True)
        whole = column(self)
        whole.setContentsMargins(36, GAP, 12, 12)
        rules = rules_of(check)
        for rule in rules:
            if len(rules) > 1:
                whole.addWidget(remark(capital(translated(rule.name))))
            whole.addWidget(self._form(rule, units))
        whole.addWidget(remark(f"{capital(translated(rules[0].source))}."))
        self.reset = button(self.tr("Reset"), self.tr("Take the usual limits again"), self._reset)
        finish = button(self.tr("Done"), self.tr("Close the limits (Esc)"))
        finish.clicked.connect(self.done)
        whole.addWidget(line(self.reset, finish))
        self.show_build(session.build)

    def show_build(self, build: Build) -> None:
        """Show the limits of a build."""
        for (name, level, of_bore), field in self._fields.items():
            limit = _limit(rules_with(build.limits)[name], level)
            field.set_value(limit.of_bore if of_bore else limit.least)
        self.reset.setEnabled(is_changed(self._check, build.limits))

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        for field in self._fields.values():
            field.set_units(units)

    def take_focus(self) -> None:
        """Let the maker type at once."""
        next(iter(self._fields.values())).setFocus(Qt.FocusReason.OtherFocusReason)

    def _form(self, rule: Rule, units: Units) -> QWidget:
        form = Form()
        for level in LEVELS:
            limit = rule.watch if level == "watch" else rule.stop
            if limit is None:
                continue
            words = self._words(rule, level)
            form.add(words, self._field(rule, level, units, words, of_bore=False))
            if limit.of_bore:
                factor = self.tr("or × play") if rule.share_of == "play" else self.tr("or × bore")
                form.add(factor, self._field(rule, level, units, f"{words}, {factor}", of_bore=True))
        return form

    def _words(self, rule: Rule, level: LevelName) -> str:
        if rule.sense == "at least":
            return self.tr("Good from") if level == "watch" else self.tr("Stop below")
        return self.tr("Good up to") if level == "watch" else self.tr("Stop above")

    def _field(self, rule: Rule, level: LevelName, units: Units, words: str, *, of_bore: bool) -> NumberField:
        name = f"{translated(rule.name)}: {words}"
        within = Range(least=0.0 if of_bore else -LARGEST_LIMIT, most=LARGEST_LIMIT)
        measure: Measure = "plain" if of_bore else _MEASURES[rule.unit]
        field = NumberField(name, units=units, measure=measure, within=within)
        field.edited.connect(lambda: self._edited(rule, level))
        self._fields[rule.name, level, of_bore] = field
        return field

    def _edited(self, rule: Rule, level: LevelName) -> None:
        least = self._fields[rule.name, level, False].value
        factor = self._fields.get((rule.name, level, True))
        of_bore = factor.value if factor is not None else 0.0
        assert least is not None, "the field is never empty"
        assert of_bore is not None, "the field is never empty"
        label = self.tr("Change the limit of {check}").format(check=translated(rule.name))
        if Limit(least, of_bore) == _limit(rule, level):
            self._session.act(label, lambda build: edits.reset_limit(build, rule.name, level))
        else:
            change = ChangedLimit(rule=rule.name, level=level, least=least, of_bore=of_bore)
            self._session.act(label, lambda build: edits.set_limit(build, change))

    def _reset(self) -> None:
        label = self.tr("Reset the limit of {check}").format(check=translated(self._check))
        self._session.act(label, lambda build: _with_usual_limits(build, self._check))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc closes the limits."""
        if event.key() == Qt.Key.Key_Escape:
            self.done.emit()
            return
        super().keyPressEvent(event)


def _limit(rule: Rule, level: LevelName) -> Limit:
    limit = rule.watch if level == "watch" else rule.stop
    assert limit is not None, "only limits that there are have a field"
    return limit


def _with_usual_limits(build: Build, check: str) -> Build:
    for rule in rules_of(check):
        for level in LEVELS:
            build = edits.reset_limit(build, rule.name, level)
    return build
