"""A few random acts; `tests/campaigns/random_acts.py` tries many."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.window.window import Window
from tests.campaigns.random_acts import broken, one_window

CAMPAIGN = Path(__file__).parents[1] / "campaigns" / "random_acts.py"
ACTS, LENGTH = 200, 50


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


def test_random_acts() -> None:
    """Each window in a process of its own, as in use: no window is left over that another could stumble on."""
    screenless = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    screenless.pop("DISPLAY", None)
    ran = subprocess.run(
        [sys.executable, CAMPAIGN, str(ACTS), "0", str(LENGTH)],
        capture_output=True,
        text=True,
        check=True,
        env=screenless,
    )
    found = Counter(
        {name: int(count) for count, name in (line.split(maxsplit=1) for line in ran.stdout.splitlines())}
    )
    assert broken(found) == []
    assert found["acts"] >= ACTS
    assert found["windows that kept all laws"] >= 2
    assert found["steps undone and redone"] >= 10


def test_a_broken_law_is_seen(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Window, "isWindowModified", lambda _: None)
    [line] = broken(windows(home, range(1), 1))
    assert line.startswith("FAILED window 0 in all_is_well")
