"""What all panels have in common: a column that scrolls and quiet updates."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.widgets.kit import ScrolledColumn
from app.widgets.number_field import NumberField
from geometry.trade.units import Units


class Panel(ScrolledColumn):
    """A column of forms about the session's build; hidden panels catch up when they are shown.

    Signals:
        drawing_wanted: what comes next is done on the drawing, so the keyboard goes there.
    """

    drawing_wanted = Signal()

    letters = 0
    """How wide the panel reads best, in average letters; 0 for one that makes do with what there is."""

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show what the session works on."""
        super().__init__()
        self.session = session
        self.units: Units = units
        self.shown: Scene | None = None
        """The scene that the fields show."""
        self._least = 0
        self.verticalScrollBar().installEventFilter(self)
        self._keep_width(bar_shown=False)
        session.changed.connect(self._changed)

    def set_title(self, title: str) -> None:
        """Name the panel."""
        self.setAccessibleName(title)
        self.setWindowTitle(title)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self.units = units
        for field in self.findChildren(NumberField):
            field.set_units(units)
        if self.shown is not None:
            self.show_scene(self.session.scene, None)

    @property
    def kept_nowhere(self) -> str:
        """A sentence about what is typed here and would be lost with the build on the bench; empty for nothing."""
        return ""

    @property
    def row_in_hand(self) -> str | None:
        """The key of the row of tuners that the fields show, if they show one."""
        return None

    @property
    def part_in_hand(self) -> str | None:
        """The same for a single post or string."""
        return None

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show a scene; `before` is the one that the fields show, None when all must be shown anew."""

    def refresh(self) -> None:
        """Catch up with the session."""
        scene = self.session.scene
        if scene is not self.shown:
            before, self.shown = self.shown, scene
            self.show_scene(scene, before)

    def _changed(self) -> None:
        if self.isVisible():
            self.refresh()

    def _keep_width(self, *, bar_shown: bool) -> None:
        """Leave the room of the scroll bar free while it is not there, so that nothing moves when it comes."""
        margins = self.viewportMargins()
        margins.setRight(0 if bar_shown else self.verticalScrollBar().sizeHint().width())
        if margins != self.viewportMargins():
            self.setViewportMargins(margins)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """A form that needs another width than before: a scroll area alone would cut it off at the side."""
        if event.type() == QEvent.Type.LayoutRequest and isinstance(watched, QWidget):
            before, self._least = self._least, watched.minimumSizeHint().width()
            if before != self._least:
                self.updateGeometry()
        if watched is self.verticalScrollBar() and event.type() in {QEvent.Type.Show, QEvent.Type.Hide}:
            self._keep_width(bar_shown=event.type() == QEvent.Type.Show)
        return super().eventFilter(watched, event)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """What happened while the panel was hidden is shown now."""
        self.refresh()
        super().showEvent(event)
