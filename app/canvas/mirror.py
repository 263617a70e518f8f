"""The other side of what is selected: what follows when it is moved, traced in dashes."""

from __future__ import annotations

from PySide6.QtCore import QLineF, Qt
from PySide6.QtGui import QPainter

from app.canvas.look import DASHED, Look, line
from app.canvas.overlay import NODE, trace
from app.canvas.places import shapes_of
from app.canvas.view import View
from app.document.scene import Scene
from app.document.selection import Item, Selection
from geometry.document.build import Build
from geometry.document.outline_nodes import nodes_of, partner_of, run_partner_of
from geometry.document.twins import is_symmetric, twin_post, twin_region, twin_row
from geometry.shape.point import Point


def twins_of(build: Build, selection: Selection) -> Selection:
    """The parts that follow an edit of what is selected, none of them selected themselves."""
    if not selection or not is_symmetric(build):
        return ()
    twins = (_twin(build, item) for item in selection)
    return tuple(dict.fromkeys(twin for twin in twins if twin is not None and twin not in selection))


def _twin(build: Build, item: Item) -> Item | None:
    key: str | None = None
    if item.kind in {"node", "run"} and any(node.key == item.key for node in nodes_of(build)):
        key = (partner_of if item.kind == "node" else run_partner_of)(build, item.key)
    elif item.kind == "post":
        key = twin_post(build, item.key)
    elif item.kind == "row":
        row = twin_row(build, item.key)
        key = None if row is None else row.key
    elif item.kind == "region":
        key = twin_region(build, item.key)
    return None if key is None else Item(item.kind, key)


def paint_twins(painter: QPainter, scene: Scene, view: View, look: Look) -> None:
    """Trace what follows, and while a drag lasts the line that it is mirrored in."""
    twins = twins_of(scene.build, scene.selection)
    if not twins:
        return
    painter.save()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width, dash in ((look.paper, 4.0, ()), (look.accent, 1.8, DASHED)):
        painter.setPen(line(colour, width, dash))
        for item in twins:
            for shape in shapes_of(scene, item):
                if item.kind == "node":
                    painter.drawEllipse(view.to_screen(shape.bounds.centre), 2 * NODE, 2 * NODE)
                else:
                    trace(painter, shape, view)
        if scene.gesture:
            top = max(node.at.y for node in nodes_of(scene.build))
            painter.drawLine(QLineF(view.to_screen(Point(0.0, 0.0)), view.to_screen(Point(0.0, top))))
    painter.restore()
