"""Findings, always in sight: a headline, then each one with its margin, worst first."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.document.live_rings import LiveRings
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import Settings, SettingsStore
from app.panels.finding_cures import FindingCures
from app.panels.finding_rows import LimitsRow, found_again, identity, rules_of, translated
from app.panels.findings_model import FindingsModel
from app.panels.findings_view import FindingsList
from app.panels.level_sign import LevelSign, tell_verdict
from app.panels.limit_editor import LimitEditor
from app.widgets.kit import PlainLabel, button, column, remark, strong
from geometry.checks.judge import Finding
from geometry.document import mark_edits
from geometry.search.rings.allowance_words import say_rings
from geometry.trade.measured import say_typical
from geometry.trade.units import Units


class FindingsPanel(QWidget):
    """Whether the head can be drilled, and why not.

    Signals:
        hovered: the finding that the mouse or the keyboard points at, None when it points at none.
        chosen: the finding that the maker wants to see on the head.
        stepped: the finding that the keyboard has come to, to be seen in place of one that is looked at.
        back_wanted: the view before it is wanted again.
    """

    hovered = Signal(object)
    chosen = Signal(object)
    stepped = Signal(object)
    back_wanted = Signal()

    def __init__(
        self,
        session: Session,
        units: Units = "mm",
        rings: LiveRings | None = None,
        store: SettingsStore | None = None,
    ) -> None:
        """Show the findings of the session's scene, and what is told of the rings that are found for it.

        The shop in the `store` chooses what is offered about a finding; without one it is the usual shop.
        """
        super().__init__()
        self.session = session
        self.model = FindingsModel(units, self)
        self.list = FindingsList(self.model, self)
        self.setAccessibleName(self.tr("Findings"))
        self._pointed: Finding | None = None
        self._left_open: Finding | None = None
        self._history = session.history
        self._editor: LimitEditor | None = None
        self.sign = LevelSign()
        self.sentence = strong("")
        self.sentence.setAccessibleName(self.tr("Verdict"))
        self.rings = remark("")
        self.rings.setAccessibleName(self.tr("Miss allowance"))
        self.rings.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.typical = remark("")
        self.typical.setAccessibleName(self.tr("Typical measures"))
        self.changed_count = PlainLabel()
        self.reset_all = button(
            self.tr("Reset all"),
            self.tr("Take the usual limits again everywhere"),
            lambda: session.act(self.tr("Reset all limits"), mark_edits.reset_limits),
        )
        self.back = button(
            self.tr("Back to where I was"), self.tr("Show what was in view before this finding")
        )
        self.back.hide()
        self.back.clicked.connect(self.back_wanted)
        self._lay_out()
        self.list.pointed.connect(self._point_at)
        self.list.stepped.connect(self.stepped)
        self.cures = FindingCures(session, self.model, self.list)
        self.list.wanted.connect(self._choose)
        self.list.limits_wanted.connect(self.toggle_limits)
        self.list.act_wanted.connect(self._do)
        self._rings = rings or LiveRings(session, self)
        self._rings.changed.connect(self._show_rings)
        session.changed.connect(self.show_scene)
        if store is not None:
            self._take(store.settings)
            store.changed.connect(self._take)
        self.show_scene(session.scene)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(12, 12, 12, 12)
        head.setSpacing(8)
        head.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        words = QWidget()
        column(words, self.sentence, self.typical, self.rings).addWidget(
            self.back, 0, Qt.AlignmentFlag.AlignLeft
        )
        head.addWidget(words, 1)
        self.foot = QWidget()
        foot = QHBoxLayout(self.foot)
        foot.setContentsMargins(12, 6, 12, 6)
        foot.addWidget(self.changed_count, 1)
        foot.addWidget(self.reset_all)
        self._keep_room()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(head)
        whole.addWidget(self.list, 1)
        whole.addWidget(self.foot)

    def _keep_room(self) -> None:
        """Two lines for the rings, so that the list stays where it is."""
        self.rings.setMinimumHeight(2 * self.rings.fontMetrics().lineSpacing())

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self.model.set_units(units)
        self.cures.renew()
        self._show_rings()
        if self._editor is not None:
            self._editor.set_units(units)

    def show_scene(self, scene: Scene) -> None:
        """Show the findings of a scene; the list stays where it is scrolled to."""
        self.list.follow(lambda: self.model.show(scene.findings, scene.build), waits=False)
        self._show_headline(scene)
        changed = len(scene.build.limits)
        self.foot.setVisible(changed > 0)
        if changed:
            self.changed_count.setText(self.tr("Changed limits: %n", "", changed))
        if self._editor is not None:
            self._editor.show_build(scene.build)
            if self.model.row_place(LimitsRow) is None:
                self.close_limits()
        if self.session.history is not self._history:
            # Another build: what was pointed at was not in it.
            self._history = self.session.history
            self.list.begin_anew()
            self._point_at(None)
        if self._pointed is not None:
            # What is pointed at may have been measured anew.
            now = found_again(self._pointed, scene.findings)
            if now != self._pointed:
                self._point_at(now)
        self.cures.follow(scene)

    def _show_headline(self, scene: Scene) -> None:
        tell_verdict(scene.findings, self.sign, self.sentence)
        typical = say_typical((post.hardware for post in scene.layout.posts), translated)
        self.typical.setText(typical)
        self.typical.setVisible(bool(typical))

    def _show_rings(self) -> None:
        """One sentence about all rings; its room stays while nothing is known in the middle of a drag."""
        found = self._rings.joint
        words = "" if found is None else say_rings(found, self.model.units, translated)
        if words != self.rings.text():
            self.rings.setText(words)

    # Pointing

    def _point_at(self, finding: Finding | None) -> None:
        if finding is not self._pointed:
            self._pointed = finding
            self.hovered.emit(finding)

    # Acts

    def _take(self, settings: Settings) -> None:
        if settings.shop != self.model.shop:
            self.model.set_shop(settings.shop)
            self.cures.renew()

    def _choose(self, finding: Finding) -> None:
        """Show a finding on the head, and beneath it what cures it; an act that stands beside it already is enough."""
        self.chosen.emit(finding)
        if self.model.act(finding) is None:
            self.cures.open(finding)
        else:
            self.cures.close()

    def _do(self, finding: Finding) -> None:
        """What can be done at once: the act beside the finding, or the first cure beneath it."""
        found = self.model.act(finding)
        if found is not None:
            self.session.act(found.label, found.edit)
        elif finding == self.cures.finding:
            self.cures.take_first()

    # Limits

    def toggle_limits(self, finding: Finding) -> None:
        """Open the limits under a finding, or close them."""
        wanted = identity(finding)
        if self.model.limits_of == wanted:
            self.close_limits()
            return
        self.close_limits()
        if not rules_of(finding.check):
            return
        self._editor = LimitEditor(self.session, finding.check, self.model.units, self.list.viewport())
        self._editor.done.connect(self.close_limits)
        self._editor.show()
        self.list.show_room(LimitsRow, self._editor)
        self.list.follow(lambda: self.model.open_limits(wanted))
        self.list.reveal_room(LimitsRow)
        self._editor.take_focus()

    def close_limits(self) -> None:
        """Close the limits that are open."""
        if self._editor is not None:
            editor, self._editor = self._editor, None
            had_focus = editor.isAncestorOf(self.focusWidget()) if self.focusWidget() else False
            self.list.drop_room(LimitsRow)
            editor.hide()
            editor.deleteLater()
            self.list.follow(lambda: self.model.open_limits(None))
            if had_focus:
                self.list.setFocus(Qt.FocusReason.OtherFocusReason)

    # Where the maker was

    @property
    def shows_way_back(self) -> bool:
        """Whether the view from before is offered."""
        return self.back.isVisibleTo(self)

    def show_way_back(self, shown: bool) -> None:  # noqa: FBT001 - reads as Qt's setVisible
        """Offer the view that was there before a finding was shown, or no longer."""
        if self.back.hasFocus() and not shown:
            # Otherwise the keyboard would go to whatever comes next, such as the name of the build.
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
        self.back.setVisible(shown)

    # What Qt calls

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802 - Qt's name
        """Nothing is worked out where nobody sees it."""
        if not event.spontaneous():
            self._left_open = self.cures.finding
            self.cures.close()
        super().hideEvent(event)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """What was open when the panel went is open again."""
        super().showEvent(event)
        found, self._left_open = self._left_open, None
        now = None if found is None else found_again(found, self.session.scene.findings)
        if now is not None:
            self.cures.open(now)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Wide enough to read, as high as there is room."""
        return QSize(320, 480)

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Another size of type."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._keep_room()
