"""Numbers of the panels and dimensions on the drawing: the cursor in one lights up the other, a press comes back."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QWidget

from app.canvas.canvas import Canvas
from app.panels.numbers import MEASURE
from app.panels.tuners_panel import TunersPanel
from app.widgets.number_field import NumberField
from app.window.side import Side
from geometry.layout.head_dimensions import shown_measures


class Measuring(QObject):
    """Follows the cursor from field to field of the panels that have dimensions on the drawing."""

    def __init__(self, side: Side, canvas: Canvas, application: QApplication) -> None:
        super().__init__(canvas)
        self._side, self._canvas = side, canvas
        self._lit = ""
        application.focusChanged.connect(self._focused)
        side.chosen.connect(lambda _: self.show())
        canvas.session.changed.connect(lambda _: self.show())
        canvas.measure_pressed.connect(self.type_in)

    def show(self) -> None:
        """Show the dimensions of the panel in front."""
        names = shown_measures(self._side.name, self._lit) if self._side.is_open else ()
        self._canvas.show_measures(names, self._lit if self._lit in names else "", self._row())

    def _row(self) -> str | None:
        if self._side.name != "tuners":
            return None
        panel = self._side.panel("tuners")
        assert isinstance(panel, TunersPanel), "it was made as one"
        return panel.rows.current

    def _focused(self, _: QWidget | None, now: QWidget | None) -> None:
        """The dimension of the field with the cursor stands out."""
        if now is not None and now.window() is not self._side.window():
            return  # it is no field of ours
        measure = now.property(MEASURE) if isinstance(now, NumberField) else None
        self._lit = measure if isinstance(measure, str) else ""
        self.show()

    def type_in(self, name: str) -> None:
        """Put the cursor into the field of a dimension, so that typing replaces its number."""
        panel = self._side.panel(self._side.name)
        for field in panel.findChildren(NumberField):
            if field.property(MEASURE) == name and field.isVisibleTo(panel):
                panel.ensureWidgetVisible(field)
                field.setFocus(Qt.FocusReason.MouseFocusReason)
                field.selectAll()
                return
