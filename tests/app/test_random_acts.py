"""A few random acts; `tests/campaigns/random_acts.py` tries many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.window.window import Window
from tests.campaigns.random_acts import acts_in, broken, one_window

WINDOWS, ACTS = 4, 50


@pytest.fixture
def home(qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder in which files may be written; what acts change of the application is changed back."""
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    yield tmp_path
    qapp.setPalette(look[0])
    qapp.setFont(look[1])
    qapp.setStyleSheet(look[2])


def windows(home: Path, seeds: range, acts: int) -> Counter[str]:
    found: Counter[str] = Counter()
    for seed in seeds:
        folder = home / str(seed)
        folder.mkdir()
        found += one_window(seed, acts, folder)
    return found


def test_random_acts(home: Path) -> None:
    found = windows(home, range(WINDOWS), ACTS)
    assert broken(found) == []
    assert acts_in(found) >= WINDOWS * ACTS * 2 // 3
    assert found["steps undone and redone"] >= 10


def test_a_broken_law_is_seen(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Window, "isWindowModified", lambda _: None)
    [line] = broken(windows(home, range(1), 1))
    assert line.startswith("FAILED window 0 in all_is_well")
