"""From the command line into the window, on a screen; where none can be used, one sentence instead of Qt's abort."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from PySide6.QtCore import QEvent, QMessageLogContext, QObject, QtMsgType, qInstallMessageHandler
from PySide6.QtGui import QFileOpenEvent, QIcon
from PySide6.QtWidgets import QApplication

from app import VERSION
from app.desktop.pieces import NAME
from app.document.crash import CrashLog
from app.document.files import load_build, usual_folders
from app.document.messages import Refusal
from app.document.session import Session
from app.document.settings import SettingsStore
from app.window.libraries import how_to_get, missing_libraries, plugin
from app.window.window import Window

Leave = Callable[[str], None]
"""Says a sentence and ends the process at once."""

_SERVERS = {"xcb": "DISPLAY", "wayland": "WAYLAND_DISPLAY"}


def open_window(path: Path | None, leave: Leave) -> int:
    """Open the window, on a file if one is given, and stay until it is closed; the exit code.

    Refusal when there is no screen to open it on, and `leave` as in `application_on`.
    """
    application = application_on(leave)
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
    if session is None:
        # For the first page, a build that nobody has chosen yet.
        from app.window.start_screen import suggested

        session = Session(suggested("straight-taper"))
    window = Window(session, store, log)
    if problem:
        window.say(problem)
    return window


# The screen


def application_on(leave: Leave) -> QApplication:
    """The application; Refusal where no screen is named, and `leave` is called where it cannot be used.

    Qt finds that out while the application is made and then aborts. It tells its reasons first, so nothing needs to be
    tried beforehand, which would cost every start some time.
    """
    if _has_no_screen():
        raise Refusal("there is no screen to open the window on; see pegwright --help for the commands.")
    there = QApplication.instance()
    if there is not None:
        assert isinstance(there, QApplication), "nobody made another kind of application"
        return there
    told: list[str] = []

    def hear(kind: QtMsgType, _context: QMessageLogContext, words: str) -> None:
        told.append(words)
        if kind is QtMsgType.QtFatalMsg:
            leave(f"the window cannot be opened: {cause(told)}.")

    before = qInstallMessageHandler(hear)
    made = QApplication(sys.argv[:1])
    qInstallMessageHandler(before)
    if told and sys.stderr is not None:
        sys.stderr.write("".join(f"{words}\n" for words in told))
    return made


def cause(told: list[str]) -> str:
    """Why no platform of Qt works here, from what Qt told, as the end of a sentence."""
    asked = os.environ.get("QT_QPA_PLATFORM", "")
    tried = dict.fromkeys(
        re.findall(r'Could not (load|find) the Qt platform plugin "([^"]*)"', "\n".join(told))
    )
    causes = [
        _why(platform)
        if act == "load"
        else f'QT_QPA_PLATFORM asks for "{platform}", which Qt does not have here'
        for act, platform in tried
        if act == "find" or asked or os.environ.get(_SERVERS.get(platform.split("-")[0], ""))
    ]
    return "; ".join(causes) or "Qt has no platform that works here"


def _why(platform: str) -> str:
    missing = missing_libraries([plugin(platform)])
    if missing:
        return how_to_get(missing)
    name = _SERVERS.get(platform.split("-")[0])
    if name is None:
        return f'the platform "{platform}" does not work here'
    server = os.environ.get(name)
    return f'no screen answers behind {name} "{server}"' if server else f"{name} is not set"


def _has_no_screen() -> bool:
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM"):
        return False
    return not any(os.environ.get(name) for name in _SERVERS.values())
