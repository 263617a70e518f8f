"""Windows that keep their settings in a folder of the test, and leave the application as it was."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from app.document.session import Session
from app.document.settings import SettingsStore
from app.window.window import Window
from geometry.document.codec import write_build
from tests.builds import three_and_three
from tests.campaigns.hands_at_random import give_up_typing

Opener = Callable[..., Window]


@pytest.fixture
def store(tmp_path: Path) -> SettingsStore:
    return SettingsStore(tmp_path / "config", tmp_path / "state")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A build file that can be opened."""
    path = tmp_path / "three.pegwright"
    path.write_bytes(write_build(three_and_three()))
    return path


@pytest.fixture
def opened(qapp: QApplication, store: SettingsStore, file: Path) -> Iterator[Opener]:
    """Opens a window: on the file, or on the first page."""
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    windows = []

    def open_it(*, start: bool = False, using: SettingsStore | None = None) -> Window:
        session = Session(three_and_three())
        if not start:
            session.open(file)
        window = Window(session, using or store)
        window.resize(1280, 800)
        window.show()
        windows.append(window)
        return window

    yield open_it
    give_up_typing()
    for window in windows:
        window.session.start(three_and_three())
        window.document.recovery.close()
        window.close()
        window.deleteLater()
    # Dead windows would be dressed with the next ones.
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    qapp.setPalette(look[0])
    qapp.setFont(look[1])
    qapp.setStyleSheet(look[2])


@pytest.fixture
def window(opened: Opener) -> Window:
    """A window on a file."""
    return opened()
