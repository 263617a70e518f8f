"""The window with everything that can be done in it, and the way in from the command line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QMenu

from app import VERSION
from app.document.crash import CrashLog
from app.document.document import Document
from app.document.files import SUFFIX
from app.document.naming import full_name
from app.document.session import Session
from app.document.settings import Settings, SettingsStore
from app.window import dialogs, menus
from app.window.actions.acts import actual_size, toggle_units, use_tool
from app.window.head_picture import HeadPicture
from app.window.notices import Notices
from app.window.shell import Shell
from app.window.side import PANELS
from app.window.toolbar import Toolbar
from geometry.layout.pick import Picked
from geometry.trade.escapes import in_menu, in_tip, on_one_line

if TYPE_CHECKING:
    from app.window.start_screen import StartScreen


class Window(Shell):
    """One window with one build on the bench."""

    def __init__(self, session: Session, store: SettingsStore, log: CrashLog | None = None) -> None:
        """Show a session; settings are read from the store and kept there."""
        super().__init__(session, store)
        self.document = Document(session, store, self)
        self.document.kept_nowhere = self.side.kept_nowhere
        self.log = log or CrashLog(store.state / "log.txt", VERSION)
        self.notices = Notices(self.notice, session, self.document, store, lambda: dialogs.show_log(self))
        self.head_picture = HeadPicture(self.canvas, session, self.document)
        self.choices, self.measured = None, []
        self._make_menus()
        self._connect()
        use_tool(self, "select")
        self.apply_settings(store.settings)
        self.restore_desk()
        if self.on_bench:
            self._arrived()
            self.head_picture.find()
        else:
            self.show_start()
        self.notices.begin()

    def _make_menus(self) -> None:
        self.made = menus.make_actions(self)
        self.side.set_tips({name: self.made[f"panel {name}"].toolTip() for name in PANELS})
        self.recent_menu = menus.OpenMenu(self.tr("Open &recent"), self)
        self.recent_menu.aboutToShow.connect(self._fill_recent)
        menus.make_menus(self, self.recent_menu)
        self.toolbar = Toolbar(self.made, self)
        self.addToolBar(self.toolbar)
        self.narrow.carry(self.toolbar)

    def _connect(self) -> None:
        self.session.changed.connect(self._scene_changed)
        self.session.file_changed.connect(self._file_changed)
        self.page_changed.connect(self._page_changed)
        self.document.opened.connect(self._arrived)
        self.store.changed.connect(self.apply_settings)
        canvas, status = self.canvas, self.status
        canvas.pointer_moved.connect(status.set_place)
        canvas.hint.connect(status.hint.setText)
        canvas.view_changed.connect(self._view_changed)
        canvas.aids_changed.connect(self.refresh)
        canvas.context_menu.connect(self._show_context_menu)
        self.findings.hovered.connect(canvas.highlight)
        self.findings.chosen.connect(canvas.zoom_to_finding)
        self.findings.stepped.connect(canvas.look_on)
        self.findings.back_wanted.connect(canvas.go_back)
        self.findings.cures.cured.connect(canvas.show_moved)
        status.units_asked.connect(lambda: toggle_units(self))
        status.zoom_asked.connect(lambda: actual_size(self))
        self.search_wanted.connect(self._show_search)
        self.keys_wanted.connect(self._show_keys)
        hints = QGuiApplication.styleHints()
        hints.colorSchemeChanged.connect(self._follow_system)
        if hasattr(hints, "accessibility"):  # from Qt 6.10 on
            hints.accessibility().contrastPreferenceChanged.connect(self._follow_system)

    def connect_start(self, start: StartScreen) -> None:
        """Join the first page to the rest."""
        super().connect_start(start)
        start.starter_chosen.connect(lambda shape: dialogs.begin_with(self, shape))
        start.recent_chosen.connect(self.document.open)
        start.sample_chosen.connect(self.document.open_sample)
        start.open_asked.connect(self.document.choose_and_open)
        start.drawing_asked.connect(lambda: dialogs.show_own_head(self))
        start.photo_asked.connect(lambda: dialogs.show_photo(self))

    # What follows from a change

    def _arrived(self) -> None:
        """Another build is on the bench."""
        self.notices.arrived()
        self.show_drawing()
        use_tool(self, "select")
        self._file_changed()

    def _scene_changed(self) -> None:
        scene = self.session.scene
        self.status.show_scene(scene)
        if not scene.gesture:
            self.refresh()

    def _view_changed(self) -> None:
        self.status.set_zoom(self.canvas.zoom)
        if self.findings.shows_way_back != self.canvas.has_left:
            self.findings.show_way_back(self.canvas.has_left)
            self.refresh()

    def _file_changed(self) -> None:
        self.status.set_saved(self.session.modified, has_file=self.session.path is not None)
        self._page_changed()

    def _page_changed(self) -> None:
        self._name_window()
        self.refresh()

    def _name_window(self) -> None:
        path, name = self.session.path, self.session.build.name
        if self.drawing:
            called = on_one_line(full_name(name, path)) or self.tr("Unnamed")
            self.setWindowTitle(f"{called.replace('[*]', '[*][*]')}[*] – Pegwright")
            self.setWindowModified(self.session.modified)
        else:
            self.setWindowModified(False)
            self.setWindowTitle("Pegwright")

    def refresh(self) -> None:
        """Make menus and toolbar tell the truth."""
        menus.refresh(self)

    def apply_settings(self, settings: Settings) -> None:
        """Show everything as the settings want it."""
        super().apply_settings(settings)
        self.refresh()

    def dress(self, settings: Settings) -> None:
        """Put on colours and size of type, the icons of the menus too."""
        super().dress(settings)
        menus.set_icons(self)

    def _follow_system(self) -> None:
        if self.store.settings.theme in ("system", "contrast"):
            self.dress(self.store.settings)

    # Recent builds

    def _fill_recent(self) -> None:
        self.recent_menu.clear()
        for name in self.store.desk.recent:
            path = Path(name)
            action = self.recent_menu.addAction(in_menu(path.name))
            action.setToolTip(in_tip(name))
            action.setStatusTip(name)
            action.setEnabled(path.exists())
            action.triggered.connect(lambda _=False, path=path: self.document.open(path))
        if self.store.desk.recent:
            self.recent_menu.addSeparator()
        clear = self.recent_menu.addAction(self.tr("Forget these"))
        clear.setEnabled(bool(self.store.desk.recent))
        clear.triggered.connect(lambda: self.store.keep_desk(replace(self.store.desk, recent=())))

    # What comes up

    def _show_context_menu(self, at: QPoint, picked: Picked | None) -> None:
        from app.window.context_menu import context_menu

        self.pop_up(context_menu(self, picked), at)

    def _show_search(self) -> None:
        from app.window.command_search import CommandSearch

        self.ask(CommandSearch(self.made, self))

    def _show_keys(self) -> None:
        from app.window.command_search import keys_html
        from app.window.help import Page

        self.ask(Page(QCoreApplication.translate("Help", "Keys"), keys_html(), self))

    def pop_up(self, menu: QMenu, at: QPoint) -> None:
        """Show a menu at a place of the screen; it goes when something was chosen or not."""
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    # Qt's events

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Look whether another program wrote our file meanwhile."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.document.look_outside()
            self.store.write_waiting()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:  # noqa: N802 - Qt's name
        """Take one build file, and say what will happen."""
        path = _dropped(event)
        if path is not None:
            self.status.showMessage(self.tr("Let go to open {name}").format(name=path.name), 3000)
            _take_as_copy(event)

    def dropEvent(self, event: QDropEvent) -> None:  # noqa: N802 - Qt's name
        """Open the file."""
        path = _dropped(event)
        if path is not None:
            _take_as_copy(event)
            self.document.open(path)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802 - Qt's name
        """Ask about unsaved changes, and remember how the desk is left."""
        if not self.settle() or not self.document.may_leave():
            event.ignore()
            return
        self.store.keep_desk(self.left_desk())
        self.document.recovery.close()
        event.accept()


def _dropped(event: QDropEvent) -> Path | None:
    """The one build file that is dragged, None when it is anything else."""
    urls = event.mimeData().urls()
    path = Path(urls[0].toLocalFile()) if len(urls) == 1 and urls[0].isLocalFile() else None
    return path if path is not None and path.suffix.lower() == SUFFIX else None


def _take_as_copy(event: QDropEvent) -> None:
    """Take what is dropped; whoever hears that it was moved deletes the file."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()
