"""What helps on the drawing: colours, units, grid, snap, rings and a picture under it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.canvas.look import Look
from app.canvas.underlay import STRENGTHS, USUAL, Underlay
from app.document.live_rings import LiveRings
from app.document.session import Session
from geometry.document.twins import is_symmetric
from geometry.trade.units import Units


class Aided(QWidget):
    """A widget that shows a session, with what helps to read the drawing and to draw.

    Signals:
        aids_changed: grid, snap, or units were switched, or the picture under the drawing.
    """

    aids_changed = Signal()

    def __init__(self, session: Session, look: Look, parent: QWidget | None) -> None:
        """Everything is on, in millimetres, without a picture."""
        super().__init__(parent)
        self.session = session
        self._look = look
        self._units: Units = "mm"
        self._grid, self._snap = True, True
        self._rings: LiveRings | None = None
        self._rings_shown = True
        self._underlay: Underlay | None = None
        self._underlay_shown, self._strength = True, USUAL

    @property
    def look(self) -> Look:
        """The colours."""
        return self._look

    @look.setter
    def look(self, look: Look) -> None:
        self._look = look
        self.update()

    @property
    def units(self) -> Units:
        """What rulers, grid and dimensions are in."""
        return self._units

    @units.setter
    def units(self, units: Units) -> None:
        self._units = units
        self._aid()

    @property
    def grid(self) -> bool:
        """Whether the grid is shown, and snapped to."""
        return self._grid

    @grid.setter
    def grid(self, shown: bool) -> None:
        self._grid = shown
        self._aid()

    @property
    def snap(self) -> bool:
        """Whether what is dragged catches on lines, nodes and the grid."""
        return self._snap

    @snap.setter
    def snap(self, on: bool) -> None:
        self._snap = on
        self._aid()

    @property
    def symmetric(self) -> bool:
        """Whether both sides of the centre line are edited at once, as the build says."""
        return is_symmetric(self.session.build)

    def _aid(self) -> None:
        self.update()
        self.aids_changed.emit()

    @property
    def rings_shown(self) -> bool:
        """Whether the rings of the miss allowance are shown, as far as they are known."""
        return self._rings_shown

    @rings_shown.setter
    def rings_shown(self, shown: bool) -> None:
        self._rings_shown = shown
        self.update()

    @property
    def underlay(self) -> Underlay | None:
        """The picture of the face under the drawing, shown or not; None where there is none."""
        return self._underlay

    @underlay.setter
    def underlay(self, underlay: Underlay | None) -> None:
        self._underlay, self._underlay_shown = underlay, True
        self._aid()

    @property
    def underlay_shown(self) -> bool:
        """Whether there is a picture under the drawing and it is shown."""
        return self._underlay is not None and self._underlay_shown

    @underlay_shown.setter
    def underlay_shown(self, shown: bool) -> None:
        self._underlay_shown = shown
        self._aid()

    @property
    def strength(self) -> float:
        """Which share of the picture is seen, the rest is the drawing's wood."""
        return self._strength

    def strengthen_underlay(self, steps: int) -> None:
        """Show more of the picture, or less of it for `steps` below 0."""
        place = STRENGTHS.index(self._strength) + steps
        self._strength = STRENGTHS[min(len(STRENGTHS) - 1, max(0, place))]
        self._underlay_shown = True
        self._aid()

    @property
    def _rings_wanted(self) -> bool:
        """Whether rings are painted: a proposal is held against those of today."""
        return self._rings_shown or self.session.scene.ghost is not None

    def follow_rings(self, rings: LiveRings) -> None:
        """Show the rings that are found for the session from now on."""
        self._rings = rings
        rings.changed.connect(self.update)
