"""What actions do to the build, with tools and aids, and with what is seen; dialogs are in a module of their own."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.tools.catalogue import TOOLS, ToolName
from app.widgets.sizes import screen_of
from app.window.dialogs import measure_screen
from app.window.shell import Shell, first_stop
from geometry.document.edits import free_outline as freed
from geometry.document.edits import mirrored
from geometry.document.edits import rename as renamed
from geometry.document.outline import Starter
from geometry.document.twins import set_symmetric

translate = QCoreApplication.translate

# The build


def rename(window: Shell) -> None:
    """Ask for another name of the build."""
    name = window.ask_name()
    if name is not None:
        window.session.act(translate("Window", "Name the build"), lambda build: renamed(build, name))


def other_hand(window: Shell) -> None:
    """Turn the build into its mirror image."""
    window.session.act(translate("Window", "Switch left/right hand"), mirrored)


def free_outline(window: Shell) -> None:
    """Turn the starter into nodes."""
    window.session.act(translate("Window", "Free the outline"), freed)


def is_starter(window: Shell) -> bool:
    """Whether a head is on the drawing whose outline is still a starter."""
    return window.drawing and isinstance(window.session.build.outline, Starter)


# Tools and aids


def use_tool(window: Shell, name: ToolName) -> None:
    """Take a tool in hand."""
    window.tool_name = name
    window.canvas.tool = TOOLS[name](window.session, window.canvas.aids)


def tool_key(window: Shell, key: Qt.Key, modifiers: Qt.KeyboardModifier) -> None:
    """Press a key on the drawing."""
    # Straight to the drawing: an event that is sent looks for a shortcut first, and finds the one that asked.
    window.canvas.keyPressEvent(QKeyEvent(QEvent.Type.KeyPress, key, modifiers))


def toggle_symmetric(window: Shell) -> None:
    """Edit both sides alike, or not: the build remembers it."""
    on = not window.canvas.symmetric
    label = (
        translate("Window", "Keep both sides alike") if on else translate("Window", "Let the sides differ")
    )
    window.session.act(label, lambda build: set_symmetric(build, on=on))


def toggle(window: Shell, aid: str) -> None:
    """Turn on or off what the settings call so: the grid, snapping, the rings, the side as well."""
    settings = window.store.settings
    window.store.keep(replace(settings, **{aid: not getattr(settings, aid)}))


def toggle_rings(window: Shell) -> None:
    """Show how far each hole may miss, or not; whoever did not mean to reads how they come back."""
    toggle(window, "rings")
    if window.store.settings.rings:
        window.status.clearMessage()
    else:
        words = translate("Window", "Miss rings are hidden. Press A on the drawing to show them again.")
        window.status.showMessage(words, 10_000)


def toggle_units(window: Shell) -> None:
    """Millimetres or inches."""
    settings = window.store.settings
    window.store.keep(settings.in_units("inch" if settings.units == "mm" else "mm"))


# What is seen


def actual_size(window: Shell) -> None:
    """Show the head as large as it is; a screen that nobody has measured is measured first."""
    if window.store.settings.per_mm(screen_of(window).name()) is None:
        measure_screen(window)
    window.canvas.actual_size()


def next_part(window: Shell, step: int) -> None:
    """Move the keyboard to the next part of the window that is there, or to the one before."""
    all_parts = (window.side, window.canvas, window.findings, window.status)
    parts = [part for part in all_parts if part.isVisibleTo(window)]
    focus = QApplication.focusWidget()
    here = next((place for place, part in enumerate(parts) if _holds(part, focus)), -step)
    target = first_stop(parts[(here + step) % len(parts)])
    target.setFocus(Qt.FocusReason.TabFocusReason if step > 0 else Qt.FocusReason.BacktabFocusReason)


def _holds(part: QWidget, focus: QWidget | None) -> bool:
    return focus is not None and (part is focus or part.isAncestorOf(focus))


def toggle_full_screen(window: Shell) -> None:
    """Give the window the whole screen, or give it back."""
    window.setWindowState(window.windowState() ^ Qt.WindowState.WindowFullScreen)
