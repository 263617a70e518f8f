"""From the command line into the window."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QFileOpenEvent, QIcon

from app import VERSION
from app.desktop.pieces import NAME
from app.document.crash import CrashLog
from app.document.files import load_build, usual_folders
from app.document.messages import Refusal
from app.document.session import Session
from app.document.settings import SettingsStore
from app.window import screen
from app.window.screen import Leave
from app.window.window import Window


def open_window(path: Path | None, leave: Leave) -> int:
    """Open the window, on a file if one is given, and stay until it is closed; the exit code.

    Refusal when there is no screen to open it on, and `leave` as in `screen.application`.
    """
    application = screen.application(leave)
    application.setApplicationName("pegwright")
    application.setApplicationDisplayName("Pegwright")
    application.setApplicationVersion(VERSION)
    application.setDesktopFileName(NAME)
    store = SettingsStore(*usual_folders())
    drawing = str(files("app") / "resources" / "desktop" / f"{NAME}.svg")
    application.setWindowIcon(QIcon(drawing))
    log = CrashLog(store.state / "log.txt", VERSION)
    window = opened_window(store, log, path)
    log.install(window.notices.went_wrong)
    clicked = ClickedFiles(window)
    application.installEventFilter(clicked)
    window.show()
    code = application.exec()
    log.remove()
    return code


class ClickedFiles(QObject):
    """Opens what is clicked on in the system's own windows; macOS tells a running program so, others start it."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.window = window

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Take the events that name a file, and no others."""
        if event.type() != QEvent.Type.FileOpen or not isinstance(event, QFileOpenEvent) or not event.file():
            return super().eventFilter(watched, event)
        self.window.document.open(Path(event.file()))
        return True


def opened_window(store: SettingsStore, log: CrashLog, path: Path | None) -> Window:
    """The window on a file; one that cannot be read leaves the first page with a sentence about it."""
    session, problem = None, ""
    if path is not None:
        try:
            session = Session(load_build(path), path)
            store.keep_desk(store.desk.opened(path))
        except Refusal as refusal:
            problem = str(refusal)
    window = Window(session or _fresh(), store, log)
    if problem:
        window.say(problem)
    return window


def _fresh() -> Session:
    """A session for the first page, with a build that nobody has chosen yet."""
    from app.window.start_screen import suggested

    return Session(suggested("straight-taper"))
