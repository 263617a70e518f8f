"""The surface on which the head is seen, from which side and how large; it shows and takes no pointer."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.aided import Aided
from app.canvas.backdrop import Scenery, grid_steps, ruler_width
from app.canvas.beside import beside_hardware, hardware_of
from app.canvas.look import LIGHT, Look, line
from app.canvas.painting import ScenePainter, Shown
from app.canvas.places import bounds_of_items, moved_posts
from app.canvas.tool import Aids
from app.canvas.view import View
from app.canvas.whereabouts import items_about, lies_on
from app.document.scene import Scene, Side
from app.document.selection import Item
from app.document.session import Session
from geometry.checks.judge import Finding
from geometry.layout.head_dimensions import HeadDimension, head_dimension
from geometry.layout.layout import Layout
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point
from geometry.trade.units import INCH, Units

LIKELY_PER_MM = 96 / INCH
"""Pixels per millimetre of a screen that nobody has measured, as desktop systems take it."""

_CONTEXT = 8.0  # mm that are shown around what one zooms to


_AROUND_FINDING = 15.0  # mm
_WORDS = (9, 13)
"""Average letters that a head leaves free at its left and its right where something stands beside it."""

CLOSEST = 3.0
"""A finding is shown no larger than so many times the whole head: what lies around it tells where it is."""


class Left(msgspec.Struct, frozen=True):
    """What was in view before a finding was shown."""

    view: View
    side: Side
    fits: bool


WHOLE: dict[Units, float] = {"mm": 1.0, "inch": INCH / 32}
"""Steps in mm of what is dragged, at most: those of a rule for the bench."""


class Surface(Aided):
    """Shows the scene of a session, at any zoom.

    Signals:
        view_changed: another part is seen, or at another size, or another side.
    """

    view_changed = Signal()

    def __init__(self, session: Session, look: Look = LIGHT, parent: QWidget | None = None) -> None:
        """Show what a session holds."""
        super().__init__(session, look, parent)
        self.per_mm = LIKELY_PER_MM
        self._side: Side = "face"
        self._painter = ScenePainter()
        self._view = View(Point(0.0, 90.0), LIKELY_PER_MM, 640.0, 480.0, ruler_width(self.font()))
        self._fits = True
        self._history = session.history
        self._pointed: Finding | None = None
        self._looked: Finding | None = None
        self._left: Left | None = None
        self._hovered: Item | None = None
        self._pointer: QPointF | None = None
        self._ringed = False
        self._measures: tuple[tuple[str, ...], str, str | None, str | None] = ((), "", None, None)
        self._covered: QRectF | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        session.changed.connect(self._take)

    # How it is seen

    @property
    def view(self) -> View:
        """Which part is seen, and how large."""
        return self._view

    @property
    def zoom(self) -> float:
        """How large the head is shown: 1 is life-size on this screen."""
        return self._view.scale / self.per_mm

    @property
    def side(self) -> Side:
        """The side in view; both is the face with what lies on the back showing through."""
        return self._side

    def set_side(self, side: Side) -> None:
        """Look at another side: the back alone from behind, so in the mirror."""
        self._side = side
        self._hovered = None
        self._show(msgspec.structs.replace(self._view, mirrored=side == "back"), fits=self._fits)
        if self._fits:
            self.fit()

    def fit(self) -> None:
        """The whole head, as large as it goes; it stays fitted while the canvas changes its size."""
        self._leave()
        extent = self._painter.extent(self.session.scene, self._side)
        self._show(self._fitted(extent), fits=True)

    @property
    def fits(self) -> bool:
        """Whether the whole head is shown, and stays so while the canvas changes its size."""
        return self._fits

    @property
    def head_on_screen(self) -> QRectF:
        """The box round what is to be seen of the head from this side, in pixels."""
        return self._view.box_to_screen(self._painter.extent(self.session.scene, self._side))

    def _fitted(self, extent: Bounds) -> View:
        """The view of the whole head: beside what is covered, with room for words at both sides of it."""
        # Where everything is covered nothing can keep clear of it.
        if self._covered is None or self._covered.left() <= self._view.ruler:
            return self._view.fitted(extent)
        kept, letter = self.width() - self._covered.left(), self.fontMetrics().averageCharWidth()
        return self._view.fitted_beside(extent, kept, *(side * letter for side in _WORDS))

    def cover(self, area: QRectF | None) -> None:
        """Something lies over a part of the canvas, at its right; a head that is fitted in keeps clear of it."""
        if area != self._covered:
            self._covered = area
            if self._fits:
                self.fit()
            self.update()

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Larger by `factor`, about a pixel: the pointer's if it is on the canvas, else the middle."""
        self._show(self._view.zoomed(factor, at or self._pointer or self._view.middle))

    def zoom_to(self, bounds: Bounds) -> None:
        """A part of the head with some of what lies around it."""
        self._show(self._view.fitted(bounds.grown(_CONTEXT)))

    def zoom_to_selection(self) -> None:
        """Zoom to what is selected, to everything when nothing is."""
        bounds = bounds_of_items(self.session.scene, self.session.selection)
        if bounds is None:
            self.fit()
        else:
            self.zoom_to(bounds)

    def zoom_to_finding(self, finding: Finding) -> None:
        """Show the parts of a finding in what lies around them, selected, and its dimension.

        Both sides are drawn where one of them lies on the side that is not in view. `go_back` shows what was there.
        """
        scene = self.session.scene
        if finding.where is None:
            self.highlight(finding)
            return
        left = self._left or Left(self._view, self._side, self._fits)
        if self._side != "both" and not lies_on(self._side, finding, scene.build):
            self.set_side("both")
        parts = items_about(finding, scene)
        bounds, boxes = bounds_of(finding.where), bounds_of_items(scene, parts)
        bounds = bounds if boxes is None else bounds.joined(boxes)
        self._left, self._looked, self._pointed = left, finding, None
        self._show(self._close(bounds))
        self.session.select(parts)

    def look_on(self, finding: Finding) -> None:
        """Show a finding in place of the one that is looked at, if there is one."""
        if self.has_left:
            self.zoom_to_finding(finding)

    def _close(self, bounds: Bounds) -> View:
        """The view of a part of the head in what lies around it."""
        close = self._view.fitted(bounds.grown(_AROUND_FINDING))
        whole = self._view.fitted(self._painter.extent(self.session.scene, self._side)).scale
        return msgspec.structs.replace(close, scale=min(close.scale, CLOSEST * whole))

    def show_moved(self, before: Layout, finding: Finding) -> None:
        """Show the posts that have moved since a layout, and what a finding is about, if any of it is out of view.

        `go_back` shows what was there.
        """
        scene = self.session.scene
        moved = moved_posts(before, scene.layout)
        bounds = bounds_of_items(scene, (*moved, *items_about(finding, scene))) if moved else None
        if bounds is None or self._view.room.contains(self._view.box_to_screen(bounds)):
            return
        self._left = self._left or Left(self._view, self._side, self._fits)
        self._show(self._close(bounds))

    @property
    def has_left(self) -> bool:
        """Whether a finding is shown in place of what was in view before."""
        return self._left is not None

    def go_back(self) -> None:
        """Show what was in view before findings were shown."""
        left = self._left
        self._leave()
        if left is None:
            return
        self.highlight(None)
        self._side = left.side
        view = self._view
        self._show(msgspec.structs.replace(left.view, width=view.width, height=view.height, ruler=view.ruler))
        if left.fits:
            self.fit()

    def _leave(self) -> None:
        """No finding is looked at any more, and its dimension goes with it."""
        self._left = self._looked = None

    def actual_size(self) -> None:
        """As large as the head itself, as far as `per_mm` (pixels per mm of the screen) is right."""
        self._show(self._view.zoomed(self.per_mm / self._view.scale, self._view.middle))

    def show_measures(
        self, names: tuple[str, ...], lit: str = "", row: str | None = None, part: str | None = None
    ) -> None:
        """Show these dimensions of the build; the one called `lit` stands out.

        Those of a row, and those of a post or a string, are of the one with the key `row` or `part`.
        """
        if (names, lit, row, part) != self._measures:
            self._measures = (names, lit, row, part)
            self.update()

    def _dimensions(self) -> tuple[HeadDimension, ...]:
        """The dimensions as they are now; none while a hand rests in a drag, which has measures of its own."""
        names, _, row, part = self._measures
        scene = self.session.scene
        if scene.gesture or scene.ghost is not None:
            return ()
        found = (head_dimension(scene.build, scene.layout, name, row, part) for name in names)
        shown = [each for each in found if each is not None]
        if self._side == "face" or not shown:
            return tuple(shown)
        hardware, wood = hardware_of(scene.layout), self._painter.wood(scene, self._side)
        return tuple(beside_hardware(each, hardware, wood) for each in shown)

    def highlight(self, finding: Finding | None) -> None:
        """Show the dimension line of a finding; it follows the finding while the build changes.

        None: that of the finding which is looked at in place of what was in view, if there is one.
        """
        self._pointed = finding
        self.update()

    @property
    def _finding(self) -> Finding | None:
        """The finding whose dimension line is shown."""
        return self._pointed or (self._looked if self.has_left else None)

    def _show(self, view: View, *, fits: bool = False) -> None:
        self._fits = fits
        self._view = view
        self.update()
        self.view_changed.emit()

    @property
    def grid_step(self) -> float:
        """Spacing of the fine grid in mm at this zoom."""
        return grid_steps(self._view, self._units).fine_mm

    def aids(self) -> Aids:
        """How the maker wants to draw, for the tools."""
        # What is dragged goes in whole millimetres, however coarse the grid that is shown; zoomed in, finer.
        grid = min(self.grid_step, WHOLE[self._units]) if self._grid else None
        return Aids(self._side, self._units, self._snap, grid, self.symmetric)

    # What is shown

    def _take(self, scene: Scene) -> None:
        """Show another scene; a build that was just opened is fitted in."""
        self._pointed, self._looked = (_same(each, scene.findings) for each in (self._pointed, self._looked))
        if self.session.history is not self._history:
            self._history = self.session.history
            self._pointed = self._looked = self._hovered = self._underlay = None
            self.fit()
        self.update()

    def paint_tool(self, painter: QPainter) -> None:
        """Paint what a tool shows besides the build; there is none here."""

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint the scene as it is seen now."""
        shown = Shown(
            scene=self.session.scene,
            scenery=Scenery(
                self._view, self._look, self._units, self._grid, self.devicePixelRatioF(), self.font()
            ),
            side=self._side,
            hovered=self._hovered,
            pointer=self._pointer,
            finding=self._finding,
            overlay=self.paint_tool,
            measures=self._dimensions(),
            lit=self._measures[1],
            covered=self._covered,
            underlay=self._underlay if self._underlay_shown else None,
            strength=self._strength,
            rings=self._rings.joint if self._rings is not None and self._rings_wanted else None,
        )
        painter = QPainter(self)
        try:
            self._painter.paint(painter, shown)
            if self._ringed:
                painter.setPen(line(self._look.accent, 2.0))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        finally:
            painter.end()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Make the rulers as wide as another size of type asks for."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._show(msgspec.structs.replace(self._view, ruler=ruler_width(self.font())), fits=self._fits)
            if self._fits:
                self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Keep the head fitted, or else its middle in the middle."""
        super().resizeEvent(event)
        view = self._view.resized(float(self.width()), float(self.height()))
        self._show(view, fits=self._fits)
        if self._fits:
            self.fit()


def _same(finding: Finding | None, findings: tuple[Finding, ...]) -> Finding | None:
    """The finding as it is now: the same check of the same parts; None when there is none any more."""
    if finding is None:
        return None
    return next(
        (each for each in findings if each.check == finding.check and each.about == finding.about), None
    )
