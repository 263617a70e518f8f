"""The line at the foot of the window: what the tool does, where the pointer is, what is selected, what is saved."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QSizePolicy, QStatusBar, QToolButton, QWidget

from app.canvas.words import part_title
from app.document.scene import Scene
from app.widgets.kit import PlainLabel, ShortenedLabel
from geometry.shape.point import Point
from geometry.trade.escapes import on_one_line
from geometry.trade.quantities import show_length
from geometry.trade.units import Units


class StatusLine(QStatusBar):
    """Shows what it is told.

    Signals:
        units_asked: the button with the units was pressed.
        zoom_asked: the button with the zoom was pressed.
    """

    units_asked = Signal()
    zoom_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._units: Units = "mm"
        self._at: Point | None = None
        self.setSizeGripEnabled(False)
        self.hint = ShortenedLabel()
        self.hint.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.place, self.snap, self.selected, self.saved = (PlainLabel() for _ in range(4))
        # No wider than their words: the hint has the rest of the line.
        self.zoom, self.units = QToolButton(), QToolButton()
        parts = (
            (
                self.place,
                self.tr("Place of the pointer"),
                self.tr("Across from the centre line, up from the nut"),
            ),
            (self.snap, self.tr("Snap"), self.tr("Whether what is dragged catches on lines and nodes")),
            (self.selected, self.tr("Selection"), self.tr("What is selected")),
            (self.saved, self.tr("Saved"), self.tr("Whether the file holds what you see")),
            (
                self.zoom,
                self.tr("Zoom"),
                self.tr("How large the head is shown; press for true size (Ctrl+1)"),
            ),
            (self.units, self.tr("Units"), self.tr("What lengths are shown in; press to change (Ctrl+U)")),
        )
        # Before they are put in: the line is as high as what it gets.
        self.set_units(self._units)
        self.set_zoom(1.0)
        self.addWidget(self.hint, 1)
        for part, name, tip in parts:
            part.setAccessibleName(name)
            part.setToolTip(tip)
            if isinstance(part, QToolButton):
                part.setAutoRaise(True)
                part.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            else:
                part.setContentsMargins(5, 0, 5, 0)
            self.addPermanentWidget(part)
        self.zoom.clicked.connect(self.zoom_asked)
        self.units.clicked.connect(self.units_asked)
        self.setContentsMargins(8, 0, 8, 0)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self._units = units
        self.units.setText("mm" if units == "mm" else self.tr("inch"))
        self.set_place(self._at)

    def set_place(self, at: Point | None) -> None:
        """Where the pointer is, None when it is not on the drawing."""
        self._at = at
        if at is None:
            self.place.clear()
        else:
            across, up = show_length(at.x, self._units), show_length(at.y, self._units)
            self.place.setText(self.tr("x {across}   y {up}").format(across=across, up=up))

    def set_zoom(self, zoom: float) -> None:
        """How large the head is shown: 1 is true size."""
        self.zoom.setText(f"{zoom * 100:.0f} %")

    def set_snap(self, on: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Whether snapping is on."""
        self.snap.setText(self.tr("Snap on") if on else self.tr("Snap off"))

    def set_saved(self, modified: bool, *, has_file: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Whether there is something to save."""
        if modified:
            self.saved.setText(self.tr("Not saved"))
        else:
            self.saved.setText(self.tr("Saved") if has_file else self.tr("New"))

    def show_scene(self, scene: Scene) -> None:
        """What is selected."""
        count = len(scene.selection)
        if count == 0:
            words = ""
        elif count == 1:
            words = on_one_line(part_title(scene, scene.selection[0]))
        else:
            words = self.tr("%n selected", "", count)
        if words != self.selected.text():
            self.selected.setText(words)
