"""The same head for another nut: a slider with everything following it, in one act of its own."""

from __future__ import annotations

import math

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QHBoxLayout, QSlider, QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.panels.finding_rows import translated
from app.panels.panel import Panel
from app.panels.sentences import sentence, tell
from app.panels.words import widen_remark, widen_words
from app.widgets.fields import Choice
from app.widgets.kit import Form, heading, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from geometry.checks.judge import Finding, findings
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.gate import harm
from geometry.search.refitting.refit import WIDEN, Widen, harmless_ways, refit
from geometry.search.refitting.refit_words import say_changes, say_harm
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

OWN = "own"
"""Stands for the nodes' own shares among the choices."""

REACH = 0.2
"""The slider reaches so much of the nut's width to both sides."""


class RefitPanel(Panel):
    """The nut's width, and how the outline follows it.

    Whatever is tried one after the other starts from the same build, so that nothing adds up: back at its width, the
    head is exactly what it was.
    """

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show the nut of the session's build."""
        super().__init__(session, units)
        self.set_title(self.tr("Refit"))
        self._first = session.build
        self._first_layout: Layout | None = None
        self._first_found: tuple[Finding, ...] = ()
        self._made = session.build
        self._base: Build | None = None
        self._add_width()
        self._add_follow()
        self.changes = sentence()
        self.changes_title = heading(self.tr("What changes"))
        self.put(self.changes_title, self.changes)
        self.column.addStretch(1)
        self.refresh()

    def _add_width(self) -> None:
        form, tr = Form(), self.tr
        within, tip = Range(LEAST_NUT, MOST_NUT), tr("The head follows: outline, rows, strings")
        self.width_field = NumberField(tr("Nut width"), units=self.units, within=within, tip=tip)
        self.width_field.edited.connect(self._type)
        tip = tr("Drag, and see every clearance and ring; Esc restores the head")
        self.slider = WidthSlider(tr("Nut width"), tip)
        self.slider.slid.connect(self._slide)
        self.slider.let_go.connect(self._keep)
        self.slider.gave_up.connect(self._give_up)
        self.ends = remark(""), remark("")
        for label in self.ends:
            label.setWordWrap(False)
        form.put(self.width_field)
        form.add_wide(self.slider)
        ends = QWidget()
        row = QHBoxLayout(ends)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.ends[0])
        row.addStretch(1)
        row.addWidget(self.ends[1])
        form.add_wide(ends)
        self.put(heading(tr("Another nut for this head"), first=True), form)

    def _add_follow(self) -> None:
        form = Form()
        options: list[tuple[object, str]] = [(OWN, widen_words(None))]
        options += [(each, widen_words(each)) for each in WIDEN]
        tip = self.tr("Which places move when the nut gets wider")
        self.follow = Choice(self.tr("The outline follows"), options, tip=tip, told=self._pick)
        self.follow.set_value(OWN)
        self.follow_remark = remark(widen_remark(None))
        form.put(self.follow, below=True)
        form.put(self.follow_remark)
        self.put(form)

    @property
    def widen(self) -> Widen | None:
        """How the outline follows; None by its nodes' own shares."""
        return next((each for each in WIDEN if each == self.follow.value), None)

    # Showing

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Show the nut of a scene, and what differs from the head before it was refitted."""
        if self._base is None:
            self._begin()
        self.width_field.set_value(scene.build.nut.width)
        if self._base is None:
            self._show_slider(scene.build.nut.width)
        self._show_changes(scene)

    def _begin(self) -> None:
        """Another act than ours has made the build: what comes next starts from it."""
        if self.session.build not in (self._made, self._first):
            self._first = self._made = self.session.build
            self._first_layout = None

    def _show_slider(self, width: float) -> None:
        usual = self._first.nut.width
        least = min(width, max(LEAST_NUT, math.floor(usual * (1 - REACH))))
        most = max(width, min(MOST_NUT, math.ceil(usual * (1 + REACH))))
        self.slider.show_width(width, least, most)
        for label, end in zip(self.ends, (least, most), strict=True):
            label.setText(show_length(end, self.units))

    def _show_changes(self, scene: Scene) -> None:
        changed = scene.build is not self._first and scene.build.nut.width != self._first.nut.width
        self.changes_title.setVisible(changed)
        tell(self.changes, self._say_changes(scene) if changed else ())

    def _say_changes(self, scene: Scene) -> tuple[str, ...]:
        if self._first_layout is None:
            self._first_layout = lay_out(self._first)
            self._first_found = findings(self._first, self._first_layout)
        changes = say_changes(self._first, scene.build, (self._first_layout, scene.layout), self.units)
        worse = harm(self._first_found, scene.findings)
        if not worse:
            return changes
        told = say_harm(worse, self.units, translated)
        return (told, *changes) if scene.gesture else (told, self._say_ways(scene.build.nut.width), *changes)

    def _say_ways(self, width: float) -> str:
        """Which other ways for the outline to follow make nothing worse."""
        ways = [widen_words(way) for way in harmless_ways(self._first, width)]
        if not ways:
            return self.tr("No way for the outline to follow this nut was found that makes nothing worse.")
        return self.tr("Nothing is worse where the outline follows otherwise: {0}.").format(", ".join(ways))

    # Acts

    def _type(self, width: float) -> None:
        self._preview(width)
        self._keep()

    def _slide(self, width: float) -> None:
        self._preview(width)
        if not self.slider.held:
            self._keep()

    def _pick(self, _: object) -> None:
        self.follow_remark.setText(widen_remark(self.widen))
        width = self.session.build.nut.width
        if width != self._first.nut.width:
            self._preview(width)
            self._keep()

    def _preview(self, width: float) -> None:
        """Show the head for another nut; an undo in the middle of it has ended what was under way."""
        if self._base is None:
            self._begin()
            self._base = self.session.build
        if self.session.build is self._base:
            self.session.preview(refit(self._first, width, self.widen), self.session.selection)

    def _keep(self) -> None:
        """What is shown becomes one act."""
        base, self._base = self._base, None
        if base is None or self.session.build is not base or not self.session.scene.gesture:
            self.show_scene(self.session.scene, None)
            return
        self._made = self.session.scene.build
        width = show_length(self._made.nut.width, self.units)
        self.session.commit(self.tr("Refit to a nut of {width}").format(width=width))

    def _give_up(self) -> None:
        """The head is again what it was."""
        self.slider.leave_off()
        if self._base is not None:
            self._base = None
            self.session.cancel()
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802 - Qt's name
        """Nothing stays under way where nobody sees it."""
        self._give_up()
        super().hideEvent(event)


TENTHS = 10
"""Steps of the slider in a millimetre."""

_PAGE = 10


class WidthSlider(QSlider):
    """A length in mm, by mouse or by keys.

    Signals:
        slid: another length in mm, while it is held or at once.
        let_go: the button or the key came up.
        gave_up: Esc, while it was held.
    """

    slid = Signal(float)
    let_go = Signal()
    gave_up = Signal()

    def __init__(self, name: str, tip: str) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setSingleStep(1)
        self.setPageStep(_PAGE)
        self._given_up = self._pressed = False
        self.held = False
        """Whether a button or a key is down on it."""
        self.valueChanged.connect(lambda tenths: self.slid.emit(tenths / TENTHS))

    def show_width(self, width: float, least: float, most: float) -> None:
        """Show a length between two others, all in mm; nobody is told."""
        with QSignalBlocker(self):
            self.setRange(round(least * TENTHS), round(most * TENTHS))
            self.setValue(round(width * TENTHS))

    def leave_off(self) -> None:
        """What the hand does until the next press counts no more."""
        self.held, self._given_up = False, True

    def _release(self) -> None:
        if self.held:
            self.held = False
            self.let_go.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold."""
        self.held, self._pressed, self._given_up = True, True, False
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Follow the hand, unless it gave up."""
        if not self._given_up:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Let go."""
        super().mouseReleaseEvent(event)
        self._pressed = False
        self._release()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Step by keys; Esc gives up what is under way, else it is left to the window."""
        if event.key() == Qt.Key.Key_Escape and self.held:
            self.leave_off()
            self.gave_up.emit()
            return
        self.held = True
        super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Let go, when the key really came up."""
        super().keyReleaseEvent(event)
        if not event.isAutoRepeat():
            self._release()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """A key will come up elsewhere; a button still comes up here."""
        super().focusOutEvent(event)
        if not self._pressed:
            self._release()

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """The wheel scrolls the panel; turned over a slider it must not change the build."""
        event.ignore()
