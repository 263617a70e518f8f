"""Settings that are not those of whoever runs the tests."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def no_shop_of_our_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Settings in a folder of the test, where there is no shop yet."""
    folder = tmp_path / "settings"
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder))
    return folder
