"""The parts of the window and where they are: pages in the middle, docks, notice, status line, colours."""

from __future__ import annotations

from base64 import b64decode
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QByteArray, Qt, Signal
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QDockWidget,
    QInputDialog,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.canvas.canvas import Canvas
from app.canvas.look import look_of
from app.canvas.side_inset import SideInset
from app.document.crash import CrashLog
from app.document.document import Document
from app.document.live_rings import LiveRings
from app.document.question import answered
from app.document.session import Session
from app.document.settings import Desk, Settings, SettingsStore
from app.panels.findings_panel import FindingsPanel
from app.panels.level_sign import VerdictLine
from app.tools.catalogue import ToolName
from app.widgets.boxes import filled
from app.widgets.notice import NoticeBar
from app.widgets.shades import shade_of
from app.widgets.sizes import fit, screen_of
from app.widgets.theme import dress
from app.widgets.typed_line import all_reads
from app.window.narrow import Narrow
from app.window.side import PANELS, Side
from app.window.status import StatusLine
from app.window.toolbar import Toolbar

if TYPE_CHECKING:
    from app.output.choices import Choices
    from app.window.measuring import Measuring
    from app.window.notices import Notices
    from app.window.start_screen import StartScreen
    from geometry.trade.hardware import Hardware

LAYOUT_VERSION = 1
"""Raised when docks or toolbars change, so that an old layout is not forced on new ones."""

_PANEL = 70
"""Average letters that buttons and panel take: forms read well in it, and most tables of the bench fit."""

TYPED = "typed"
"""The key of the notice about a field that does not read; it goes as soon as the field does."""


class Shell(QMainWindow):
    """The window without its menus and acts.

    Signals:
        page_changed: the first page or the drawing was put in front.
        search_wanted: an action is looked for by its words.
        keys_wanted: all keys are to be shown.
    """

    page_changed = Signal()
    search_wanted = Signal()
    keys_wanted = Signal()

    session: Session
    store: SettingsStore
    canvas: Canvas
    document: Document
    log: CrashLog
    notices: Notices
    tool_name: ToolName
    made: dict[str, QAction]
    """The actions by their keys in the table."""
    choices: Choices | None
    """What was chosen for the last output."""
    measured: list[Hardware]
    """Tuners that the maker has measured for new builds, as long as the window is open."""

    def __init__(self, session: Session, store: SettingsStore) -> None:
        """Show the session as the settings want it."""
        super().__init__()
        self.session, self.store = session, store
        self.shade = shade_of(store.settings.theme)
        self.on_bench = session.path is not None
        """Whether a build was chosen, so that there is a drawing to go back to."""
        self.toolbar: Toolbar | None = None
        self._measuring: Measuring | None = None
        self._left_docks = _bytes(store.desk.docks)
        # Before the parts are made: they take their sizes from the type.
        dress(_application(), self.shade, store.settings.font_scale)
        self._make_parts()
        self._make_docks()
        self.setAcceptDrops(True)
        self.setMinimumSize(480, 320)

    # Parts

    def _make_parts(self) -> None:
        units = self.store.settings.units
        self.rings = LiveRings(self.session, self)
        self.canvas = Canvas(self.session, look_of(self.shade))
        self.canvas.follow_rings(self.rings)
        self.side_inset = SideInset(self.canvas)
        self.side_inset.put_away.connect(
            lambda: self.store.keep(replace(self.store.settings, from_side=False))
        )
        self._start: StartScreen | None = None
        self.notice = NoticeBar()
        self.status = StatusLine()
        self.side = Side(self.session, units, self.shade, self.rings, self.store)
        self.side.drawing_wanted.connect(lambda: self.canvas.setFocus(Qt.FocusReason.OtherFocusReason))
        self.findings = FindingsPanel(self.session, units, self.rings, self.store)
        self.pages = QStackedWidget()
        self.pages.addWidget(QWidget())  # nothing yet, until a page is chosen
        self.pages.addWidget(self.canvas)
        self.setStatusBar(self.status)
        centre = QWidget()
        self.verdict = VerdictLine(self.session)
        parts = self.notice, (self.pages, 1), self.verdict
        filled(QVBoxLayout(centre), *parts, margins=(0, 0, 0, 0), spacing=0)
        self.setCentralWidget(centre)

    def _make_docks(self) -> None:
        area, corner = Qt.DockWidgetArea, Qt.Corner
        self.side_dock = self._dock("side", self.tr("Build"), self.side, area.LeftDockWidgetArea)
        self.findings_dock = self._dock(
            "findings", self.tr("Findings"), self.findings, area.RightDockWidgetArea
        )
        letter = self.fontMetrics().averageCharWidth()
        docks, widths = [self.side_dock, self.findings_dock], [letter * _PANEL, letter * 54]
        self.resizeDocks(docks, widths, Qt.Orientation.Horizontal)
        self.setCorner(corner.BottomLeftCorner, area.LeftDockWidgetArea)
        self.setCorner(corner.BottomRightCorner, area.RightDockWidgetArea)
        self.narrow = Narrow(
            self, self.pages, self.side_dock, self.findings_dock, self.verdict, LAYOUT_VERSION
        )

    def _dock(self, key: str, title: str, part: QWidget, area: Qt.DockWidgetArea) -> QDockWidget:
        dock = QDockWidget(title, self)
        dock.setObjectName(key)
        dock.setAccessibleName(title)
        dock.setWidget(part)
        self.addDockWidget(area, dock)
        return dock

    # Pages

    @property
    def drawing(self) -> bool:
        """Whether the drawing is shown, and not the first page."""
        return self.pages.currentWidget() is self.canvas

    @property
    def start(self) -> StartScreen:
        """The first page, made when it is first wanted: whoever opens a file does not wait for it."""
        if self._start is None:
            from app.window.start_screen import StartScreen

            self._start = StartScreen(self.shade)
            self.pages.addWidget(self._start)
            self.connect_start(self._start)
        return self._start

    def connect_start(self, start: StartScreen) -> None:
        """Join the first page to the rest."""
        start.back_asked.connect(self.show_drawing)

    def show_start(self) -> None:
        """Show the first page; the build stays where it is until another one is chosen."""
        self.session.cancel()
        if self.drawing:
            self._left_docks = self.narrow.docks
        self.start.set_can_go_back(self.on_bench)
        self.start.set_recent(tuple(Path(name) for name in self.store.desk.recent))
        self.pages.setCurrentWidget(self.start)
        self._show_bench(shown=False)
        self.start.setFocus()
        self.page_changed.emit()

    def show_drawing(self) -> None:
        """Show the drawing, with the docks as they were left."""
        if self.drawing:
            return
        self.on_bench = True
        self.pages.setCurrentWidget(self.canvas)
        self._show_bench(shown=True)
        self.narrow.forget()
        self.restoreState(self._left_docks, LAYOUT_VERSION)
        if not self.side.name:
            panel = self.store.desk.panel
            self.side.show_panel(panel if panel in PANELS else "head")
        self.narrow.follow(self._left_docks)
        self._join_measures()
        self.canvas.setFocus()
        self.page_changed.emit()

    def _join_measures(self) -> None:
        """Join the numbers of the panels with the drawing, once there is one."""
        if self._measuring is None:
            from app.window.measuring import Measuring

            self._measuring = Measuring(self.side, self.canvas, self.side_inset, _application())
        self._measuring.show()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Give the drawing its room first."""
        super().resizeEvent(event)
        if not self.drawing:
            return
        self.narrow.follow()
        wider = event.size().width() > event.oldSize().width()
        if wider and self.side.is_open and self.side.comfortable_width:
            self.narrow.make_room()

    def _show_bench(self, *, shown: bool) -> None:
        self.verdict.hide()
        for part in (self.side_dock, self.findings_dock, self.toolbar, self.status):
            if part is not None:
                part.setVisible(shown)

    # From part to part

    def show_panel(self, name: str) -> None:
        """Show a panel and take the keyboard there."""
        self.side_dock.show()
        self.side.show_panel(name)
        first_stop(self.side.panel(name)).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_findings(self) -> None:
        """Show the findings and take the keyboard there."""
        self.narrow.show_findings()
        first_stop(self.findings).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # What is asked and said

    def say(self, words: str) -> None:
        """Say something that went otherwise than it was meant."""
        self.notice.say(words)

    def settle(self) -> bool:
        """Take over what is typed and not entered yet; False, and said, where it cannot be read."""

        def tell(words: str) -> None:
            if words:
                self.notice.say(words, key=TYPED)
            else:
                self.notice.drop(TYPED)

        return all_reads(self, tell)

    def ask(self, dialog: QDialog) -> bool:
        """Show a dialog and wait for it; whether it was accepted.

        Every dialog comes here, so that a test can answer it.
        """
        return answered(dialog)

    def ask_name(self) -> str | None:
        """What the build is to be called."""
        name, given = QInputDialog.getText(
            self, self.tr("Name the build"), self.tr("Name"), text=self.session.build.name
        )
        return name.strip()[:200] if given else None

    # Settings

    def apply_settings(self, settings: Settings) -> None:
        """Show everything as the settings want it."""
        self.dress(settings)
        self.canvas.units = settings.units
        self.canvas.grid, self.canvas.snap = settings.grid, settings.snap
        self.canvas.rings_shown = settings.rings
        self.side_inset.always = settings.from_side
        self.side.set_units(settings.units)
        self.findings.set_units(settings.units)
        self.status.set_units(settings.units)
        self.status.set_snap(settings.snap)
        per_mm = settings.per_mm(screen_of(self).name())
        if per_mm is not None:
            self.canvas.per_mm = per_mm
        self.status.set_zoom(self.canvas.zoom)

    def dress(self, settings: Settings) -> None:
        """Put on colours and size of type."""
        self.shade = shade_of(settings.theme)
        dress(_application(), self.shade, settings.font_scale)
        self.canvas.look = look_of(self.shade)
        self.side_inset.update()
        for part in (self.side, self._start, self.notice):
            if part is not None:
                part.set_shade(self.shade)

    # How the desk is left

    def restore_desk(self) -> None:
        """Put the window where it was; on a first start it takes a usual size."""
        if not self.restoreGeometry(_bytes(self.store.desk.geometry)):
            fit(self, 1280, 800)

    def left_desk(self) -> Desk:
        """How the desk looks now."""
        docks = self.narrow.docks if self.drawing else self._left_docks
        geometry, places = (bytes(each.toBase64().data()).decode() for each in (self.saveGeometry(), docks))
        return replace(self.store.desk, geometry=geometry, docks=places, panel=self.side.name)


def _bytes(text: str) -> QByteArray:
    """What Qt wrote, from base 64; empty when it was spoilt, of which Qt itself would read what is left."""
    try:
        return QByteArray(b64decode(text, validate=True))
    except ValueError:
        return QByteArray()


def _application() -> QApplication:
    application = QApplication.instance()
    assert isinstance(application, QApplication), "a window has an application"
    return application


def first_stop(part: QWidget) -> QWidget:
    """Where Tab would come first within a part: itself, or the first of its fields that can be used."""
    if part.focusPolicy() & Qt.FocusPolicy.TabFocus:
        return part
    stops = (
        each
        for each in part.findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.isVisibleTo(part) and each.isEnabled()
    )
    return next(stops, part)
