"""What actions of several menus ask and do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.window.actions.action import Run

if TYPE_CHECKING:
    from app.window.window import Window


def drawing(window: Window) -> bool:
    """Whether a head is on the drawing."""
    return window.drawing


def chosen(window: Window) -> bool:
    """Whether some part of it is selected."""
    return window.drawing and bool(window.session.selection)


def show_panel(name: str) -> Run:
    """Put a panel in front."""
    return lambda window: window.show_panel(name)
