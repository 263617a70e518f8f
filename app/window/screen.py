"""The application on a screen; where there is none that can be used, one sentence instead of Qt's abort."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from app.document.messages import Refusal
from app.window.libraries import how_to_get, missing_libraries, plugin

Leave = Callable[[str], None]
"""Says a sentence and ends the process at once."""

_SERVERS = {"xcb": "DISPLAY", "wayland": "WAYLAND_DISPLAY"}


def application(leave: Leave) -> QApplication:
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
