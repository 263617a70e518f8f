"""What every tool of the canvas is: it takes the pointer and keys, previews builds, and ends in one act.

The canvas knows nothing of what tools do; a tool knows nothing of widgets. It reads where the pointer is in head
millimetres and asks the geometry; what it shows besides the build it paints as an overlay.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec
from PySide6.QtCore import Qt

from app.document.scene import Side
from app.document.session import Session
from geometry.shape.point import Point
from geometry.trade.units import Units

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from app.canvas.look import Look
    from app.canvas.view import View


class Pointer(msgspec.Struct, frozen=True, gc=False):
    """Where the pointer is in head mm, how near counts as on it (`reach`, mm), and which keys are held."""

    at: Point
    reach: float
    shift: bool = False
    control: bool = False
    alt: bool = False
    double: bool = False


class Aids(msgspec.Struct, frozen=True, gc=False):
    """How the maker wants to draw: the side in view, units of what is said, and what helps.

    `snap` turns snapping on, `grid` is the spacing in mm of the grid to snap to (None: not to the grid), `symmetric`
    makes every edit on both sides of the centre line.
    """

    side: Side = "face"
    units: Units = "mm"
    snap: bool = True
    grid: float | None = None
    symmetric: bool = False


class Tool:
    """A tool that does nothing: each tool changes what it needs.

    Press, move and release come in this order; move comes without a press too, while the pointer hovers.
    """

    name = ""
    cursor = Qt.CursorShape.ArrowCursor
    follows = False
    """Whether the overlay changes with every movement of the pointer, without a press too."""

    def __init__(self, session: Session, aids: Callable[[], Aids]) -> None:
        """Work on a session; `aids` is asked anew at every event."""
        self.session = session
        self.aids = aids

    @property
    def hint(self) -> str:
        """What the tool does now, and what a key would change; one line for the status bar."""
        return ""

    @property
    def busy(self) -> bool:
        """Whether a gesture is under way that Esc would cancel."""
        return False

    def press(self, pointer: Pointer) -> None:
        """The main button goes down; `double` at the second press of a double click."""

    def move(self, pointer: Pointer) -> None:
        """The pointer moves, with the button down or not."""

    def release(self, pointer: Pointer) -> None:
        """The main button comes up."""

    def cancel(self) -> None:
        """Give up what is under way; the build is exactly what it was before."""

    def key(self, key: int, modifiers: Qt.KeyboardModifier) -> bool:  # noqa: ARG002
        """A key is pressed on the canvas; whether the tool took it."""
        return False

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        """Paint what the tool shows besides the build, in pixels of the canvas."""
