"""Paints a whole scene as the canvas shows it, from the desk up to the rulers."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QBrush, QPainter, QPainterPath

from app.canvas.backdrop import Backdrop, Scenery, paint_rulers
from app.canvas.beside import hardware_of
from app.canvas.clear import bores_of
from app.canvas.dimension import paint_dimension, paint_stops
from app.canvas.drilled import paint_drilled, paint_drilled_legend
from app.canvas.ghost import paint_ghost, paint_legend
from app.canvas.marks import MarkPainter, fill_wood
from app.canvas.measures import Boxes, paint_measures
from app.canvas.mirror import paint_twins
from app.canvas.overlay import paint_overlay
from app.canvas.rings import paint_rings
from app.canvas.underlay import USUAL, Underlay, UnderlayPainter
from app.canvas.view import View
from app.document.scene import Scene, Side
from app.document.selection import Item
from export.drawing import Drawing, Role
from geometry.checks.judge import Finding, Level
from geometry.layout.head_dimensions import HeadDimension
from geometry.layout.layout import Layout
from geometry.search.rings.allowance import Joint
from geometry.shape.bounds import Bounds


class Shown(msgspec.Struct, frozen=True):
    """One frame: the scene, how it is seen, and what is pointed at.

    `pointer` is a pixel, `finding` the one whose place is shown; `overlay` paints what the tool shows. `rings` are
    those of this very build, None where they are not shown or not known. `measures` are dimensions that can be pressed,
    `lit` is the name of the one in hand; nothing can be seen where the canvas is `covered`. `underlay` is a picture of
    the face, `strength` the share of it that is seen.
    """

    scene: Scene
    scenery: Scenery
    side: Side
    hovered: Item | None
    pointer: QPointF | None
    finding: Finding | None
    overlay: Callable[[QPainter], None]
    rings: Joint | None = None
    measures: tuple[HeadDimension, ...] = ()
    lit: str = ""
    covered: QRectF | None = None
    underlay: Underlay | None = None
    strength: float = USUAL


class ScenePainter:
    """Paints frames and keeps what the next one can use: pictures of the view, paths of the marks."""

    def __init__(self) -> None:
        """Begin with nothing kept."""
        self._backdrop = Backdrop()
        self._underlay = UnderlayPainter()
        self._face, self._back = MarkPainter(), MarkPainter()
        self._layout: Layout | None = None
        self._drawings: dict[str, Drawing] = {}
        self.boxes: Boxes = ()
        """Where the dimensions of the last frame can be pressed."""

    def drawing(self, scene: Scene, side: Side) -> Drawing:
        """What lies on one side; kept for as long as the layout is the same. Both: what the face shows."""
        if scene.layout is not self._layout:
            self._layout, self._drawings = scene.layout, {}
        name = "back" if side == "back" else "face"
        if name not in self._drawings:
            self._drawings[name] = scene.back if name == "back" else scene.face
        return self._drawings[name]

    def wood(self, scene: Scene, side: Side) -> QPainterPath:
        """The edge of the head as it is drawn on a side, in head mm."""
        marks = self._back if side == "back" else self._face
        return marks.outline(self.drawing(scene, side))

    def extent(self, scene: Scene, side: Side) -> Bounds:
        """The box round what is worth seeing of a side, in head mm; the nut when there is nothing else."""
        half = scene.build.nut.width / 2
        bounds = Bounds(-half, -scene.build.nut.thickness, half, half)
        for each in (side,) if side != "both" else (side, "back"):
            marks = self.drawing(scene, each).without(Role.CENTRE_LINE).marks
            bounds = bounds.joined(Drawing(marks).bounds) if marks else bounds
        return bounds

    def _hardware(self, scene: Scene, view: View) -> list[QRectF]:
        """Where the hardware of the back lies, in pixels."""
        return [view.box_to_screen(box) for box in hardware_of(scene.layout)]

    def paint(self, painter: QPainter, shown: Shown) -> None:
        """One frame, in pixels of the canvas."""
        scene, scenery = shown.scene, shown.scenery
        view, look = scenery.view, scenery.look
        painter.setFont(scenery.font)
        self._backdrop.take(scenery)
        painter.drawPixmap(QPointF(0.0, 0.0), self._backdrop.desk)
        marks = self._back if shown.side == "back" else self._face
        drawing = self.drawing(scene, shown.side)
        fill_wood(painter, marks.outline(drawing), view, QBrush(self._backdrop.wood))
        if shown.underlay is not None and shown.side != "back":
            self._underlay.paint(painter, shown.underlay, shown.strength, view, scenery.ratio)
        if shown.side == "both":
            self._back.paint(painter, self.drawing(scene, "back"), view, look, "ghost")
        marks.paint(painter, drawing, view, look)
        some_drilled = paint_drilled(painter, scene.layout, view, look)
        if shown.rings is not None:
            paint_rings(painter, shown.rings, view, look)
        if scene.ghost is not None:
            paint_ghost(painter, scene.ghost, scene.layout, shown.side, view, look)
        paint_twins(painter, scene, view, look)
        paint_overlay(painter, scene, view, look, shown.hovered)
        # Over what is selected, whose rings would cut the signs in two.
        # The worst finding is the first one: without a stop there are no signs to keep off names.
        stops = bool(scene.findings) and scene.findings[0].level is Level.STOP
        names = marks.names_seen(scenery.font, view) if stops else []
        signs = paint_stops(painter, scene.findings, view, look, shown.finding, names)
        hardware = self._hardware(scene, view) if shown.measures and shown.side != "face" else []
        self.boxes = paint_measures(
            painter,
            shown.measures,
            shown.lit,
            view,
            look,
            scenery.units,
            [*signs, *hardware],
            shown.covered,
        )
        if shown.finding is not None:
            seen = marks.to_be_seen(scenery.font, view)
            taken = [*signs, *seen, *(box for box, _ in self.boxes)]
            paint_dimension(painter, shown.finding, view, look, scenery.units, taken)
        if some_drilled and scene.ghost is None:
            head = view.transform.mapRect(marks.outline(drawing).boundingRect())
            covered = [] if shown.covered is None else [shown.covered]
            paint_drilled_legend(painter, view, look, [head, *covered, *(box for box, _ in self.boxes)])
        if scene.ghost is not None:
            paint_legend(painter, scene.ghost, view, look, bores_of(scene.layout, view))
        painter.save()
        shown.overlay(painter)
        painter.restore()
        paint_rulers(painter, self._backdrop, scenery, shown.pointer)
