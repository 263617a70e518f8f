"""How large a window may be, so that its buttons are never below the edge of the screen."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

FRAME = QSize(16, 48)
"""Pixels that a desktop puts round a window, its title bar among them; most take less."""


def fit(window: QWidget, width: int, height: int) -> None:
    """Make a window so large, or as large as the screen has room for beside its panels and the window's frame."""
    window.resize(QSize(width, height).boundedTo(window.screen().availableSize() - FRAME))
