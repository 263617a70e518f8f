"""Numbers of the panels and dimensions on the drawing: the cursor in one lights up the other, a press comes back."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QWidget

from app.canvas.canvas import Canvas
from app.canvas.side_inset import SideInset
from app.document.scene import Scene
from app.panels.numbers import MEASURE
from app.widgets.number_field import NumberField
from app.window.side import Side
from geometry.layout.head_dimensions import FROM_THE_SIDE, shown_measures


class Measuring(QObject):
    """Follows the cursor from field to field of the panels that have dimensions on the drawing."""

    def __init__(self, side: Side, canvas: Canvas, inset: SideInset, application: QApplication) -> None:
        super().__init__(canvas)
        self._side, self._canvas, self._inset = side, canvas, inset
        self._lit = ""
        application.focusChanged.connect(self._focused)
        side.chosen.connect(lambda _: self.show())
        canvas.session.changed.connect(self._changed)
        canvas.measure_pressed.connect(self.type_in)
        inset.measure_pressed.connect(self.type_in)

    def show(self) -> None:
        """Show the dimensions of the panel in front."""
        opened = self._side.name if self._side.is_open else ""
        names, from_side = shown_measures(opened, self._lit), FROM_THE_SIDE.get(opened, ())
        panel = self._side.panel(opened) if opened else None
        row, part = (None, None) if panel is None else (panel.row_in_hand, panel.part_in_hand)
        self._canvas.show_measures(names, self._lit if self._lit in names else "", row, part)
        lit = self._lit if self._lit in from_side else ""
        self._inset.show_measures(from_side, lit, part, self._told(from_side))

    def _changed(self, scene: Scene) -> None:
        if not scene.gesture:
            self.show()

    def _fields(self) -> dict[str, NumberField]:
        """The fields of the panel in front that can be seen, by the names of their dimensions."""
        panel = self._side.panel(self._side.name)
        fields = ((field.property(MEASURE), field) for field in panel.findChildren(NumberField))
        return {name: field for name, field in fields if name and field.isVisibleTo(panel)}

    def _told(self, names: tuple[str, ...]) -> str:
        """The numbers of these dimensions in words."""
        fields = self._fields() if names else {}
        return ", ".join(
            f"{fields[name].accessibleName()} {fields[name].text()}" for name in names if name in fields
        )

    def _focused(self, _: QWidget | None, now: QWidget | None) -> None:
        """The dimension of the field with the cursor stands out."""
        if now is None or now.window() is not self._side.window():
            # It is no field of ours; or a widget goes that had the cursor, and among its like it is half gone already.
            return
        measure = now.property(MEASURE) if isinstance(now, NumberField) else None
        self._lit = measure if isinstance(measure, str) else ""
        self.show()

    def type_in(self, name: str) -> None:
        """Put the cursor into the field of a dimension, so that typing replaces its number."""
        field = self._fields().get(name)
        if field is not None:
            self._side.panel(self._side.name).ensureWidgetVisible(field)
            field.setFocus(Qt.FocusReason.MouseFocusReason)
            field.selectAll()
