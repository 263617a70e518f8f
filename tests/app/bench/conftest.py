"""Panels of the bench that keep their shop in a folder of the test."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.document.session import Session
from app.document.settings import SettingsStore
from geometry.document.build import Build
from tests.app.panels.hands import shown

Maker = Callable[[Build, str], BenchPanel]


@pytest.fixture
def store(tmp_path: Path) -> SettingsStore:
    return SettingsStore(tmp_path / "config", tmp_path / "state")


@pytest.fixture
def bench(qtbot: QtBot, store: SettingsStore) -> Maker:
    """Makes the panel for a build, with one of its pages in front."""

    def make(build: Build, page: str) -> BenchPanel:
        panel = shown(qtbot, BenchPanel(Session(build), "mm", store), width=396, height=1200)
        panel.show_page(page)
        return panel

    return make
