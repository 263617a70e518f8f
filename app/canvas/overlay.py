"""What lies over the drawing and is never exported: nodes and handles, what is selected, what is pointed at."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from app.canvas.look import Look, line
from app.canvas.paths import path_of
from app.canvas.places import Shape, shapes_of, smooth_nodes
from app.canvas.view import View
from app.document.scene import Scene
from app.document.selection import Item, keys_of
from geometry.document.outline_nodes import following, handles_of, nodes_of
from geometry.shape.segment import Circle

NODE = 4.5
"""Half the size of a node in pixels."""

HANDLE = 3.5
RING = 2.5  # pixels that the ring of a selected part stays clear of it
_CROWDED = 6.0  # nodes that lie closer than this on the screen are left out unless selected


def paint_overlay(painter: QPainter, scene: Scene, view: View, look: Look, hovered: Item | None) -> None:
    """Everything that can be taken hold of, in pixels of the canvas."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if hovered is not None and hovered not in scene.selection and hovered.kind != "node":
        _paint_item(painter, scene, hovered, view, look, width=1.4)
    for item in scene.selection:
        if item.kind != "node":
            _paint_item(painter, scene, item, view, look, width=2.4)
    _paint_handles(painter, scene, view, look)
    _paint_nodes(painter, scene, view, look, hovered)
    painter.restore()


def _paint_item(painter: QPainter, scene: Scene, item: Item, view: View, look: Look, *, width: float) -> None:
    """The part traced in the accent colour; a casing keeps it apart from the lines beneath."""
    for shape in shapes_of(scene, item):
        for colour, wide in ((look.paper, width + 2.6), (look.accent, width)):
            painter.setPen(line(colour, wide))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            trace(painter, shape, view)


def trace(painter: QPainter, shape: Shape, view: View) -> None:
    """Draw along a shape, round a circle a little outside of it."""
    if isinstance(shape, Circle):
        radius = shape.radius * view.scale + RING
        painter.drawEllipse(view.to_screen(shape.centre), radius, radius)
    else:
        painter.drawPath(view.transform.map(path_of(shape)))


def _paint_handles(painter: QPainter, scene: Scene, view: View, look: Look) -> None:
    """Handles as dots on stalks."""
    for key in opened_nodes(scene):
        node = next(node for node in nodes_of(scene.build) if node.key == key)
        for handle in handles_of(scene.build, key):
            foot, tip = view.to_screen(node.at), view.to_screen(handle.at)
            painter.setPen(line(look.accent, 1.2))
            painter.drawLine(QLineF(foot, tip))
            painter.setPen(line(look.paper, 1.2))
            painter.setBrush(QColor(look.accent))
            painter.drawEllipse(tip, HANDLE + 1, HANDLE + 1)


def opened_nodes(scene: Scene) -> tuple[str, ...]:
    """Keys of the nodes whose handles are shown: selected ones, and both ends of selected runs."""
    there = {node.key for node in nodes_of(scene.build)}
    runs = [key for key in keys_of(scene.selection, "run") if key in there]
    keys = [*keys_of(scene.selection, "node"), *runs, *(following(scene.build, run) for run in runs)]
    return tuple(key for key in dict.fromkeys(keys) if key in there)


def _paint_nodes(painter: QPainter, scene: Scene, view: View, look: Look, hovered: Item | None) -> None:
    """Corners as squares, smooth nodes as discs; the selected ones are full."""
    nodes = nodes_of(scene.build)
    smooth, chosen = smooth_nodes(nodes), set(keys_of(scene.selection, "node"))
    room = view.shown.grown(NODE / view.scale)
    last: QPointF | None = None
    for node in nodes:
        at = view.to_screen(node.at)
        crowded = last is not None and (at - last).manhattanLength() < _CROWDED
        if not room.contains(node.at) or (crowded and node.key not in chosen):
            continue
        last = at
        half = NODE + 1.5 if hovered == Item("node", node.key) else NODE
        painter.setPen(line(look.accent, 1.6))
        painter.setBrush(QColor(look.accent if node.key in chosen else look.paper))
        if node.key in smooth:
            painter.drawEllipse(at, half, half)
        else:
            painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
