"""From the command line into the window."""

from __future__ import annotations

import builtins
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QFileOpenEvent
from PySide6.QtWidgets import QApplication

from app.command_line.common import DONE, FAILED
from app.command_line.program import main
from app.document.settings import SettingsStore
from app.window import opening
from app.window.libraries import missing_libraries, package_of, plugin
from app.window.window import Window
from tests.app.window.conftest import Opener

HOME = Path(__file__).parents[3]
SCREEN = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
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
    for name in SCREEN:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    assert main([]) == FAILED
    assert "there is no screen" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_with_a_screen_nothing_is_said(
    name: str, windows: list[Window], monkeypatch: pytest.MonkeyPatch
) -> None:
    for each in SCREEN:
        monkeypatch.delenv(each, raising=False)
    monkeypatch.setenv(name, ":7")
    assert main([]) == DONE
    windows[0].deleteLater()


NO_SERVER = ":6789"


@pytest.mark.parametrize(
    ("environment", "words"),
    [
        ({"DISPLAY": NO_SERVER, "QT_QPA_PLATFORM": "xcb"}, f'behind DISPLAY "{NO_SERVER}"'),
        ({"DISPLAY": NO_SERVER}, f'behind DISPLAY "{NO_SERVER}"'),
        ({"QT_QPA_PLATFORM": "xcb"}, "DISPLAY is not set"),
        ({"WAYLAND_DISPLAY": "dead"}, 'behind WAYLAND_DISPLAY "dead"'),
        ({"QT_QPA_PLATFORM": "nonsense"}, 'QT_QPA_PLATFORM asks for "nonsense", which Qt does not have here'),
    ],
)
def test_a_screen_that_cannot_be_used_gives_one_sentence(
    environment: dict[str, str], words: str, tmp_path: Path
) -> None:
    """No abort and no core dump. Where a library of the platform is missing, the sentence names it and its package."""
    others = {name: value for name, value in os.environ.items() if name not in SCREEN}
    folders = {"XDG_RUNTIME_DIR": str(tmp_path), "HOME": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-m", "app"],
        cwd=HOME,
        env={**others, **folders, **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (FAILED, "", 1)
    assert done.stderr.startswith("pegwright: the window cannot be opened: ")
    platform = "wayland" if "WAYLAND_DISPLAY" in environment else "xcb"
    missing = missing_libraries([plugin(platform)])
    if missing and "nonsense" not in words:
        words = f"{', '.join(missing)} not found; on Debian and Ubuntu: sudo apt install"
    assert words in done.stderr


def test_libraries_that_are_missing_are_found(tmp_path: Path) -> None:
    """A plug-in away from its libraries misses them."""
    moved = shutil.copy(plugin("xcb"), tmp_path)
    assert "libQt6XcbQpa.so.6" in missing_libraries([Path(moved)])
    assert missing_libraries([Path("/bin/sh"), tmp_path / "none"]) == ()


@pytest.mark.parametrize(
    ("library", "package"),
    [
        ("libxcb-cursor.so.0", "libxcb-cursor0"),
        ("libxcb-icccm.so.4", "libxcb-icccm4"),
        ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
        ("libwayland-egl.so.1", "libwayland-egl1"),
        ("libcups.so.2", "libcups2"),
        ("libEGL.so.1", "libegl1"),
        ("libX11.so.6", "libx11-6"),
        ("libglib-2.0.so.0", "libglib2.0-0"),
        ("libgssapi_krb5.so.2", "libgssapi-krb5-2"),
    ],
)
def test_packages_are_called_as_debian_calls_them(library: str, package: str) -> None:
    """Names of packages in Debian 12."""
    assert package_of(library) == package


def test_missing_libraries_are_told_in_a_sentence(capsys: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name == "app.window.opening":
            raise ImportError("libGL.so.1: cannot open shared object file")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    monkeypatch.setattr("app.window.libraries.missing_libraries", lambda files: ())
    assert main(["some.pegwright"]) == FAILED
    assert "libGL.so.1" in capsys.readouterr().err
    monkeypatch.setattr("app.window.libraries.missing_libraries", lambda files: ("libGL.so.1", "libEGL.so.1"))
    assert main(["some.pegwright"]) == FAILED
    assert "libGL.so.1, libEGL.so.1 not found" in (said := capsys.readouterr().err)
    assert said.endswith("sudo apt install libgl1 libegl1\n")


def test_what_is_clicked_on_in_the_system_is_opened(opened: Opener, file: Path) -> None:
    window = opened()
    clicked = opening.ClickedFiles(window)
    assert clicked.eventFilter(window, QFileOpenEvent(file.as_posix()))
    assert window.session.path == file
    assert not clicked.eventFilter(window, QEvent(QEvent.Type.Show))
