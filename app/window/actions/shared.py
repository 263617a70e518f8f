"""What actions of several menus ask and do."""

from __future__ import annotations

from app.window.actions.action import Run
from app.window.actions.acts import Acts


def drawing(acts: Acts) -> bool:
    """Whether a head is on the drawing."""
    return acts.drawing


def chosen(acts: Acts) -> bool:
    """Whether some part of it is selected."""
    return acts.drawing and bool(acts.session.selection)


def show_panel(name: str) -> Run:
    """Put a panel in front."""
    return lambda acts: acts.show_panel(name)
