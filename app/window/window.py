"""The window with everything that can be done in it, and the way in from the command line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QGuiApplication, QKeyEvent
from PySide6.QtWidgets import QInputDialog, QMenu, QWhatsThis

from app import VERSION
from app.document.crash import CrashLog
from app.document.document import Document
from app.document.files import SUFFIX
from app.document.naming import full_name
from app.document.scene import Side
from app.document.session import Session
from app.document.settings import Settings, SettingsStore, Theme
from app.tools.catalogue import TOOLS, ToolName
from app.widgets.sizes import screen_of
from app.window import dialogs, menus
from app.window.head_picture import HeadPicture
from app.window.notices import Notices
from app.window.shell import Shell
from app.window.toolbar import Toolbar
from geometry.document.edits import free_outline, mirrored, rename
from geometry.document.outline import Starter
from geometry.document.twins import set_symmetric
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
        self.notices = Notices(self.notice, session, self.document, store, self.show_log)
        self.head_picture = HeadPicture(self.canvas, session, self.document)
        self.tool_name: ToolName = "select"
        self.choices, self.measured = None, []
        self._make_menus()
        self._connect()
        self.use_tool("select")
        self.apply_settings(store.settings)
        self.restore_desk()
        if self.on_bench:
            self._arrived()
            self.head_picture.find()
        else:
            self.show_start()
        self.notices.begin()

    def _make_menus(self) -> None:
        self.made = menus.make_actions(self, self)
        self.recent_menu = menus.OpenMenu(self.tr("Open &recent"), self)
        self.recent_menu.aboutToShow.connect(self._fill_recent)
        menus.make_menus(self, self.made, self.recent_menu)
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
        status.units_asked.connect(self.toggle_units)
        status.zoom_asked.connect(self.actual_size)
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
        start.drawing_asked.connect(self.show_own_head)
        start.photo_asked.connect(self.show_photo)

    # What follows from a change

    def _arrived(self) -> None:
        """Another build is on the bench."""
        self.notices.arrived()
        self.show_drawing()
        self.use_tool("select")
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
        menus.refresh(self.made, self)

    def apply_settings(self, settings: Settings) -> None:
        """Show everything as the settings want it."""
        super().apply_settings(settings)
        self.refresh()

    def dress(self, settings: Settings) -> None:
        """Put on colours and size of type, the icons of the menus too."""
        super().dress(settings)
        menus.set_icons(self.made, self.shade)

    def _follow_system(self) -> None:
        if self.store.settings.theme in ("system", "contrast"):
            self.dress(self.store.settings)

    def show_recovered(self) -> None:
        """Offer recovered work again, or say that there is none."""
        self.notices.show_recovered()

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

    # Acts on the build

    def rename(self) -> None:
        """Ask for another name of the build."""
        name = self.ask_name()
        if name is not None:
            self.session.act(self.tr("Name the build"), lambda build: rename(build, name))

    def other_hand(self) -> None:
        """Turn the build into its mirror image."""
        self.session.act(self.tr("Switch left/right hand"), mirrored)

    def free_outline(self) -> None:
        """Turn the starter into nodes."""
        self.session.act(self.tr("Free the outline"), free_outline)

    @property
    def is_starter(self) -> bool:
        """Whether the outline is still a starter."""
        return isinstance(self.session.build.outline, Starter)

    # Tools and aids

    def use_tool(self, name: ToolName) -> None:
        """Take a tool in hand."""
        self.tool_name = name
        self.canvas.tool = TOOLS[name](self.session, self.canvas.aids)
        self.refresh()

    def tool_key(self, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> None:
        """Press a key on the drawing."""
        # Straight to the drawing: an event that is sent looks for a shortcut first, and finds the one that asked.
        self.canvas.keyPressEvent(QKeyEvent(QEvent.Type.KeyPress, key, modifiers))

    def toggle_symmetric(self) -> None:
        """Edit both sides alike, or not: the build remembers it."""
        on = not self.symmetric
        label = self.tr("Keep both sides alike") if on else self.tr("Let the sides differ")
        self.session.act(label, lambda build: set_symmetric(build, on=on))

    def toggle_snap(self) -> None:
        """Snap, or not."""
        self.store.keep(replace(self.store.settings, snap=not self.store.settings.snap))

    def toggle_grid(self) -> None:
        """Show the grid, or not."""
        self.store.keep(replace(self.store.settings, grid=not self.store.settings.grid))

    def toggle_rings(self) -> None:
        """Show how far each hole may miss, or not; whoever did not mean to reads how they come back."""
        shown = not self.store.settings.rings
        self.store.keep(replace(self.store.settings, rings=shown))
        if shown:
            self.status.clearMessage()
        else:
            words = self.tr("Miss rings are hidden. Press A on the drawing to show them again.")
            self.status.showMessage(words, 10_000)

    def toggle_from_side(self) -> None:
        """Show the head from the side at all times, or only while one of its numbers is in hand."""
        self.store.keep(replace(self.store.settings, from_side=not self.store.settings.from_side))

    def use_theme(self, theme: Theme) -> None:
        """Light, dark, high contrast, or as the desktop has it."""
        self.store.keep(replace(self.store.settings, theme=theme))

    def toggle_units(self) -> None:
        """Millimetres or inches."""
        settings = self.store.settings
        self.store.keep(settings.in_units("inch" if settings.units == "mm" else "mm"))

    def _show_context_menu(self, at: QPoint, picked: Picked | None) -> None:
        from app.window.context_menu import context_menu

        self.pop_up(context_menu(self, picked), at)

    # Views

    def set_side(self, side: Side) -> None:
        """Look at another side."""
        self.canvas.set_side(side)
        self.refresh()

    def actual_size(self) -> None:
        """Show the head as large as it is; a screen that nobody has measured is measured first."""
        if self.store.settings.per_mm(screen_of(self).name()) is None:
            self.measure_screen()
        self.canvas.actual_size()

    def toggle_full_screen(self) -> None:
        """Give the window the whole screen, or give it back."""
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    # Dialogs

    def show_own_head(self) -> None:
        """Begin from the drawing of a head."""
        dialogs.begin_from_drawing(self)

    def show_photo(self) -> None:
        """Begin from the photo or scan of a head."""
        dialogs.begin_from_photo(self, self.head_picture.show)

    def show_drilled(self) -> None:
        """Drilled holes held against their plan."""
        dialogs.show_drilled(self, self.head_picture.show)

    def show_output(self) -> None:
        """Preview, print and export."""
        dialogs.show_output(self)

    def show_widths(self) -> None:
        """The head for a range of nut widths."""
        dialogs.show_widths(self)

    def show_compare(self) -> None:
        """Today's head held against another one."""
        dialogs.show_compare(self)

    def show_preferences(self) -> None:
        """Preferences."""
        dialogs.show_preferences(self)

    def show_search(self) -> None:
        """Find an action by its words."""
        dialogs.show_search(self)

    def measure_screen(self) -> None:
        """Ask how large this screen is."""
        dialogs.measure_screen(self)

    def show_how(self) -> None:
        """How this works."""
        dialogs.show_how(self)

    def show_keys(self) -> None:
        """All keys."""
        dialogs.show_keys(self)

    def show_log(self) -> None:
        """What went wrong inside the program."""
        dialogs.show_log(self)

    def show_about(self) -> None:
        """Version and licence."""
        dialogs.show_about(self)

    def pop_up(self, menu: QMenu, at: QPoint) -> None:
        """Show a menu at a place of the screen; it goes when something was chosen or not."""
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(at)

    def ask_name(self) -> str | None:
        """What the build is to be called."""
        name, given = QInputDialog.getText(
            self, self.tr("Name the build"), self.tr("Name"), text=self.session.build.name
        )
        return name.strip()[:200] if given else None

    def what_is_this(self) -> None:
        """Explain what is clicked on next."""
        QWhatsThis.enterWhatsThisMode()

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
