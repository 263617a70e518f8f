"""The head from the side, beside the drawing: where the numbers are that do not lie in the plan.

It stands at the right of the drawing, which keeps clear of it as long as the head is fitted in; over a drawing that
was zoomed or pushed along it comes up at the left where it covers less of the head there. Where there is no room for
both it takes the place of the drawing, for as long as it is asked for. It is painted for itself: what is
dragged on the drawing does not wait for it.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPolygonF, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.canvas.look import Look, line, pen
from app.canvas.measures import Boxes, paint_measures
from app.canvas.surface import Surface
from app.canvas.view import View, limited
from app.document.scene import Scene
from app.widgets.kit import small_button
from export.drawing import Role
from geometry.layout.head_dimensions import HeadDimension, head_dimension
from geometry.layout.layout import Layout
from geometry.layout.side_view import SideView, side_view
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point

_LEAST, _MOST = 24, 40
"""Average letters of its width beside the drawing, at least and at most."""

_SHARE = 0.36
"""Of the width of the canvas that it takes, within these."""

_LEAST_BESIDE = 62
"""Average letters of the canvas' width below which there is no room for both."""

_TALL = 2.1
"""How many times as tall as wide it is at most: heads are long."""

_GAP = 8  # pixels between it and the edge of the canvas
_WORDS = 9.0  # average letters left beside the head for the words of dimensions
_OVER, _UNDER = 3.8, 2.4  # lines of type left over it, the title among them, and under it


class SideInset(QWidget):
    """Shows the head of the canvas' session from its right side, the tip up.

    Signals:
        measure_pressed: the name of a dimension whose words were pressed.
        put_away: it was closed by its button.
    """

    measure_pressed = Signal(str)
    put_away = Signal()

    def __init__(self, canvas: Surface) -> None:
        """Hidden until it is asked for."""
        super().__init__(canvas)
        self._canvas = canvas
        self._always = False
        self._names: tuple[str, ...] = ()
        self._lit, self._closed_for = "", ""
        self._part: str | None = None
        self._seen: tuple[Layout, SideView] | None = None
        self.boxes: Boxes = ()
        """Where the dimensions of the last painting can be pressed."""
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.setAccessibleName(self.tr("The head from the side"))
        self.close_button = small_button("×", self.tr("Put the view from the side away"))
        self.close_button.setParent(self)
        self.close_button.clicked.connect(self._put_away)
        self.hide()
        canvas.installEventFilter(self)
        canvas.session.changed.connect(self._changed)
        canvas.aids_changed.connect(self.update)
        canvas.view_changed.connect(self._view_changed)

    # What it shows, and when

    @property
    def always(self) -> bool:
        """Whether it is shown at all times, and not only while a number of its own is in hand."""
        return self._always

    @always.setter
    def always(self, always: bool) -> None:
        self._always = always
        self._arrange()

    def show_measures(self, names: tuple[str, ...], lit: str, part: str | None, words: str) -> None:
        """Show these dimensions, those of a post by its key; the one called `lit` is in hand.

        `words` tell them to those who cannot see them.
        """
        if lit != self._lit:
            self._closed_for = ""
        self._names, self._lit, self._part = names, lit, part
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)
        self._arrange()
        self.update()

    def _put_away(self) -> None:
        self._closed_for = self._lit
        self.put_away.emit()
        self._arrange()

    def _arrange(self) -> None:
        """Be there or not, and tell the canvas which part of it is covered."""
        wanted = self._always or (bool(self._lit) and self._lit != self._closed_for)
        area = self._area() if wanted else None
        if area is not None:
            self.setGeometry(area)
        self.setVisible(area is not None)
        self._canvas.cover(None if area is None else QRectF(area))

    def _area(self) -> QRect:
        """Beside the drawing; all of the canvas where both have no room."""
        canvas, letter = self._canvas, self.fontMetrics().averageCharWidth()
        ruler = round(canvas.view.ruler)
        room = canvas.rect().adjusted(ruler, ruler, 0, 0)
        if canvas.width() < _LEAST_BESIDE * letter:
            return room
        wide = round(min(max(room.width() * _SHARE, _LEAST * letter), _MOST * letter))
        high = min(room.height() - 2 * _GAP, round(_TALL * wide))
        top = room.top() + (room.height() - high) // 2
        right = QRect(room.right() - _GAP - wide, top, wide, high)
        if canvas.fits:
            return right
        return min(right, QRect(room.left() + _GAP, top, wide, high), key=self._hidden)

    def _hidden(self, area: QRect) -> float:
        """How much of the head would lie under an area, in square pixels."""
        under = self._canvas.head_on_screen.intersected(QRectF(area))
        return under.width() * under.height()

    def _view_changed(self) -> None:
        """A head that is fitted in keeps clear of the right: back to there; else it stays, whatever is pushed by."""
        if self._canvas.fits and not self.isHidden() and self.geometry() != self._area():
            self._arrange()

    def _changed(self, scene: Scene) -> None:
        if not scene.gesture:
            self.update()

    # Painting

    def _dimensions(self) -> list[HeadDimension]:
        scene = self._canvas.session.scene
        found = (head_dimension(scene.build, scene.layout, name, part=self._part) for name in self._names)
        return [each for each in found if each is not None and (each.kind != "length" or self._matters(each))]

    def _matters(self, each: HeadDimension) -> bool:
        """Whether there is something of that length, or the maker has just asked for it."""
        return each.length > 0 or each.name == self._lit

    def _side(self) -> SideView:
        scene = self._canvas.session.scene
        if self._seen is None or self._seen[0] is not scene.layout:
            self._seen = scene.layout, side_view(scene.build, scene.layout)
        return self._seen[1]

    def view_of(self, side: SideView) -> View:
        """The head as large as it goes, with room for words around it; its face to the left, where the plan is."""
        bounds, letters = side.bounds, self.fontMetrics()
        over, under = _OVER * letters.height(), _UNDER * letters.height()
        wide = self.width() - 2 * _WORDS * letters.averageCharWidth()
        high = self.height() - over - under
        scale = limited(
            min(max(wide, 1.0) / max(bounds.width, 1.0), max(high, 1.0) / max(bounds.height, 1.0))
        )
        view = View(bounds.centre, scale, float(self.width()), float(self.height()), mirrored=True)
        return view.panned(0.0, (over - under) / 2)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the head and its dimensions."""
        look, side = self._canvas.look, self._side()
        view = self.view_of(side)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), look.desk)
        paint_side(painter, side, view, look)
        painter.setPen(line(look.quiet, 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        taken = [QRectF(self.close_button.geometry()), self._paint_title(painter)]
        shown, units = self._dimensions(), self._canvas.units
        self.boxes = paint_measures(painter, shown, self._lit, view, look, units, taken)
        painter.end()

    def _paint_title(self, painter: QPainter) -> QRectF:
        """The words in the corner; gives back where they stand, in pixels."""
        room = QRectF(self.rect()).adjusted(_GAP, 4, -_GAP - self.close_button.width(), 0)
        return painter.drawText(room, Qt.AlignmentFlag.AlignLeft, self.tr("From the side"))

    # What Qt calls

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Follow the size of the canvas."""
        if event.type() == QEvent.Type.Resize and watched is self._canvas and not self.isHidden():
            self._arrange()
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Keep the button in its corner."""
        super().resizeEvent(event)
        size = self.close_button.sizeHint()
        self.close_button.setGeometry(self.width() - size.width() - 3, 3, size.width(), size.height())

    def _name_at(self, pixel: QPointF) -> str | None:
        return next((name for box, name in self.boxes if box.contains(pixel)), None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Show what can be pressed."""
        over = self._name_at(event.position()) is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take the number in hand whose words lie there; the drawing beneath hears nothing of it."""
        name = self._name_at(event.position())
        if name is not None and event.button() == Qt.MouseButton.LeftButton:
            self.measure_pressed.emit(name)
        event.accept()


def paint_side(painter: QPainter, side: SideView, view: View, look: Look) -> None:
    """Wood, hardware and strings seen from the side, in pixels of the view."""

    def area(corners: tuple[Point, ...], role: Role, fill: str = "") -> None:
        stroke = look.stroke(role)
        painter.setPen(pen(stroke))
        painter.setBrush(QColor(fill or stroke.fill))
        painter.drawPolygon(QPolygonF([view.to_screen(corner) for corner in corners]))

    def box(bounds: Bounds, role: Role) -> None:
        painter.setPen(pen(look.stroke(role)))
        painter.setBrush(QColor(look.stroke(role).fill))
        painter.drawRect(view.box_to_screen(bounds))

    for body in side.bodies:
        box(body, Role.BODY)
    area(side.wood, Role.OUTLINE, look.wood)
    area(side.fingerboard, Role.PLATE)
    area(side.nut, Role.NUT)
    for post in side.posts:
        box(post, Role.WASHER)
    painter.setPen(pen(look.stroke(Role.STRING_PATH)))
    for string in side.strings:
        painter.drawPolyline(QPolygonF([view.to_screen(place) for place in string]))
