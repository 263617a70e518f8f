"""What tools say: names of acts, names of parts, measures while dragging, reasons of snapping."""

from __future__ import annotations

import math

from PySide6.QtCore import QCoreApplication

from app.document.scene import Scene
from app.document.selection import Item, Selection
from geometry.document.outline_nodes import RunMeasures, nodes_of
from geometry.layout.snap import Hint
from geometry.shape.point import Point, Vector
from geometry.trade.quantities import show_angle, show_length
from geometry.trade.units import Units


def tr(text: str) -> str:
    """A text of the tools in the maker's language."""
    return QCoreApplication.translate("Tools", text)


# Names


def part_name(scene: Scene, item: Item) -> str:
    """What a part is called in the name of an act."""
    match item.kind:
        case "post":
            return tr("post {0}").format(scene.layout.labels.get(item.key, item.key))
        case "string":
            return tr("string {0}").format(scene.layout.labels.get(item.key, item.key))
        case "region":
            names = (region.name for region in scene.build.keep_clear if region.key == item.key)
            return next(names, "") or tr("region")
        case "retainer":
            guides = (each.kind == "guide post" for each in scene.build.retainers if each.key == item.key)
            return tr("guide post") if next(guides, False) else tr("tree")
        case _:
            return {"node": tr("node"), "run": tr("run"), "row": tr("row")}.get(item.kind, tr("old hole"))


def part_title(scene: Scene, item: Item) -> str:
    """What a part is called where it stands alone: as on the drawing, by its number, or by its own name."""
    if item.kind in ("node", "run"):
        # Counted from the right end of the nut line.
        number = next(
            place for place, node in enumerate(nodes_of(scene.build), start=1) if node.key == item.key
        )
        words = tr("Node {0}") if item.kind == "node" else tr("Run {0}")
        return words.format(number)
    if item.kind == "row":
        return tr("Row of tuners")
    name = part_name(scene, item)
    drilled = (each.key for each in scene.layout.posts if each.post.drilled)
    if item.kind == "post" and item.key in drilled:
        name = tr("{0}, drilled").format(name)
    if item.kind == "region" and name != tr("region"):
        return tr("Region {0}").format(name)
    return name[:1].upper() + name[1:]


def act_name(scene: Scene, selection: Selection, one: str, many: str) -> str:
    """The name of an act on what is selected: `one` with the part's name in place of {0}, `many` with their number."""
    if len(selection) == 1:
        return one.format(part_name(scene, selection[0]))
    return many.format(len(selection))


def move_name(scene: Scene, selection: Selection) -> str:
    """The name of moving what is selected."""
    return act_name(scene, selection, tr("Move {0}"), tr("Move {0} parts"))


def delete_name(scene: Scene, selection: Selection) -> str:
    """The name of taking away what is selected."""
    return act_name(scene, selection, tr("Delete {0}"), tr("Delete {0} parts"))


# Measures


def place_words(at: Point, units: Units) -> str:
    """Where a place is."""
    return tr("x {0}   y {1}").format(show_length(at.x, units), show_length(at.y, units))


def step_words(step: Vector, units: Units) -> str:
    """How far something has moved."""
    return tr("moved {0}").format(show_length(step.length, units))


def run_words(measures: RunMeasures, units: Units) -> str:
    """A run in numbers: length, direction of a straight one, radius of an arc."""
    length = show_length(measures.length, units)
    if measures.radius is not None:
        return tr("{0}, radius {1}").format(length, show_length(measures.radius, units))
    return tr("{0} at {1}").format(length, show_angle(math.degrees(measures.angle)))


def radius_words(radius: float, units: Units) -> str:
    """A radius."""
    return tr("radius {0}").format(show_length(radius, units))


# Snapping


def hint_words(hints: tuple[Hint, ...]) -> str:
    """Why a place snapped, in one line; empty when it did not."""
    reasons = {
        "centre line": tr("on the centre line"),
        "nut line": tr("on the nut line"),
        "node x": tr("above or below a node"),
        "node y": tr("level with a node"),
        "tangent": tr("in line with the next run"),
        "grid": tr("on the grid"),
    }
    return ", ".join(dict.fromkeys(reasons[hint.kind] for hint in hints))
