"""From the command line into the window."""

from __future__ import annotations

import builtins
import sys
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from app.command_line.codes import DONE, FAILED
from app.command_line.program import main
from app.document.settings import SettingsStore
from app.window import opening
from app.window.window import Window
from tests.app.window.conftest import Opener

Printed = pytest.CaptureFixture[str]


@pytest.fixture
def windows(opened: Opener, store: SettingsStore, monkeypatch: pytest.MonkeyPatch) -> list[Window]:
    """The windows that are shown; each closes at once, as if the maker had left."""
    shown: list[Window] = []
    opened()
    monkeypatch.setattr(opening, "usual_folders", lambda: (store.config, store.state))
    monkeypatch.setattr(Window, "show", lambda self: shown.append(self))

    def leave(self: QApplication) -> int:
        assert sys.excepthook == shown[-1].log.caught
        shown[-1].close()
        return 0

    monkeypatch.setattr(QApplication, "exec", leave)
    return shown


def test_a_file_is_opened_and_remembered(windows: list[Window], file: Path, store: SettingsStore) -> None:
    before = sys.excepthook
    assert main([str(file)]) == DONE
    [window] = windows
    assert window.session.path == file
    assert window.store.desk.recent == (str(file),)
    assert QApplication.applicationDisplayName() == "Pegwright"
    assert before == sys.__excepthook__ or sys.excepthook == sys.__excepthook__
    window.deleteLater()


def test_capitals_in_the_name_of_a_file_are_no_command(windows: list[Window], file: Path) -> None:
    loud = file.with_suffix(".PEGWRIGHT")
    file.rename(loud)
    assert main([str(loud)]) == DONE
    assert windows[0].session.path == loud
    windows[0].deleteLater()


def test_without_a_file_the_first_page_comes(windows: list[Window]) -> None:
    assert main([]) == DONE
    assert not windows[0].drawing
    windows[0].deleteLater()


def test_without_a_screen_a_sentence_is_said(capsys: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    assert main([]) == FAILED
    assert "there is no screen" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_with_a_screen_nothing_is_said(
    name: str, windows: list[Window], monkeypatch: pytest.MonkeyPatch
) -> None:
    for each in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(each, raising=False)
    monkeypatch.setenv(name, ":7")
    assert main([]) == DONE
    windows[0].deleteLater()


def test_missing_libraries_are_told_in_a_sentence(capsys: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name == "app.window.opening":
            raise ImportError("libGL.so.1: cannot open shared object file")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    assert main(["some.pegwright"]) == FAILED
    assert "libGL.so.1" in capsys.readouterr().err


def test_what_is_clicked_on_in_the_system_is_opened(opened: Opener, file: Path) -> None:
    window = opened()
    clicked = opening.ClickedFiles(window)
    assert clicked.eventFilter(window, QFileOpenEvent(file.as_posix()))
    assert window.session.path == file
    assert not clicked.eventFilter(window, QEvent(QEvent.Type.Show))
