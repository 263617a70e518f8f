"""A tuner drawn as its measures say: from the face, and cut through along its shaft, with every measure in its place.

Plan: x is outward to the button, y along the row towards the tip, origin at the post. Section: x is outward, y up
from the face of the wood. All in mm. It only illustrates; nothing is checked or exported with it.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from geometry.shape.bounds import Bounds
from geometry.shape.point import Point
from geometry.trade.hardware import Hardware, RearButton, Rectangle, SideButton

ViewName = Literal["plan", "section"]
FigureKind = Literal[
    "wood", "plate", "body", "seat", "button", "shaft", "washer", "hexagon", "bushing", "bore", "post", "screw", "pin"
]  # fmt: skip


class Figure(msgspec.Struct, frozen=True):
    """A part of the drawing: an upright rectangle, or the circle in it."""

    kind: FigureKind
    box: Bounds
    round: bool = False


class Dimension(msgspec.Struct, frozen=True):
    """A measure in a view: its two ends, and how far beside them, to the left, its line stands."""

    view: ViewName
    one: Point
    two: Point
    beside: float = 0.0


def _box(centre: Point, width: float, height: float) -> Bounds:
    return Bounds(centre.x - width / 2, centre.y - height / 2, centre.x + width / 2, centre.y + height / 2)


def _disc(kind: FigureKind, centre: Point, diameter: float) -> Figure:
    return Figure(kind, _box(centre, diameter, diameter), round=True)


def post_places(hardware: Hardware) -> tuple[float, ...]:
    """How far along the row the posts of the drawing stand: one, or all of a plate."""
    plate = hardware.plate
    return (0.0,) if plate is None else tuple(plate.pitch * number for number in range(plate.posts))


def plan(hardware: Hardware) -> tuple[Figure, ...]:
    """The tuner from the face, what lies lower first."""
    figures: list[Figure] = []
    if hardware.plate is not None:
        figures.append(Figure("plate", _plate_box(hardware)))
    for along in post_places(hardware):
        figures += _one_tuner(hardware, along)
    plate_screws = hardware.plate.screws if hardware.plate else ()
    figures += [
        _disc("screw", Point(screw.outward, screw.along), screw.diameter)
        for screw in (*hardware.screws, *plate_screws)
    ]
    figures += [_disc("pin", Point(pin.outward, pin.along), pin.diameter) for pin in hardware.pins]
    return tuple(figures)


def _one_tuner(hardware: Hardware, along: float) -> list[Figure]:
    at = Point(0.0, along)
    figures: list[Figure] = []
    if hardware.plate is None:
        if hardware.body:
            figures.append(Figure("body", _on_back(hardware.body)))
        if hardware.seat:
            figures.append(Figure("seat", _on_back(hardware.seat)))
    figures += _button_in_plan(hardware, at)
    rounds: tuple[tuple[FigureKind, float], ...] = (
        ("washer", hardware.washer.diameter if hardware.washer else 0.0),
        ("hexagon", hardware.hexagon.diameter if hardware.hexagon else 0.0),
        ("bushing", hardware.bushing.crest if hardware.bushing else 0.0),
        ("bore", hardware.bore.through),
        ("post", hardware.post_diameter),
    )
    return [*figures, *(_disc(kind, at, diameter) for kind, diameter in rounds if diameter > 0)]


def _on_back(part: Rectangle) -> Bounds:
    return _box(Point(part.shift_outward, part.shift_along), part.across, part.along)


def _plate_box(hardware: Hardware) -> Bounds:
    plate = hardware.plate
    assert plate is not None, "asked only of tuners on a plate"
    last = post_places(hardware)[-1]
    middle = Point(plate.shift_outward, last / 2)
    return _box(middle, plate.across, last + 2 * plate.beyond)


def _button_in_plan(hardware: Hardware, at: Point) -> list[Figure]:
    match hardware.button:
        case SideButton() as side:
            y = at.y + side.shaft_offset
            middle = Point(side.shaft_length + side.length / 2, y)
            shaft = _box(Point(side.shaft_length / 2, y), side.shaft_length, SHAFT)
            return [Figure("shaft", shaft), Figure("button", _box(middle, side.length, side.swept_diameter))]
        case RearButton() as rear:
            return [_disc("button", at, rear.swept_diameter)]


SHAFT = 3.0
POST_OVER = 3.0
"""How thick a shaft is drawn, and how far a post over its string hole, mm: nobody measures them."""


def wood_thickness(hardware: Hardware) -> float:
    """The thickness of the wood in the section: in the middle of what the tuner takes, in mm."""
    return (hardware.thickness_least + hardware.thickness_most) / 2


def string_height(hardware: Hardware) -> float:
    """Height of the string hole over the face in the section, in mm."""
    if isinstance(hardware.button, RearButton):
        return hardware.collar_height + hardware.hole_height
    return hardware.hole_height - wood_thickness(hardware)


def section(hardware: Hardware) -> tuple[Figure, ...]:
    """The tuner cut through its post along the shaft, what lies behind first."""
    back, wider = -wood_thickness(hardware), hardware.bore.counterbore
    parts: list[tuple[FigureKind, float, float, float]] = []
    if hardware.bushing:
        parts.append(("bushing", hardware.bushing.crest, back / 2, 0.0))
    parts.append(("bore", hardware.bore.through, back, 0.0))
    if wider:
        parts.append(("bore", wider.diameter, -wider.depth, 0.0))
    if hardware.washer:
        parts.append(("washer", hardware.washer.diameter, 0.0, hardware.washer.height))
    if hardware.hexagon:
        parts.append(("hexagon", hardware.hexagon.diameter, 0.0, hardware.hexagon.height))
    parts.append(("post", hardware.post_diameter, back, max(0.0, string_height(hardware)) + POST_OVER))
    reach = _reach(hardware)
    return (
        Figure("wood", Bounds(-reach, back, reach, 0.0)),
        *_under_the_back(hardware, back),
        *(Figure(kind, Bounds(-width / 2, low, width / 2, high)) for kind, width, low, high in parts),
    )


def _reach(hardware: Hardware) -> float:
    """Half the width of the wood in the section."""
    across = hardware.body.across / 2 + abs(hardware.body.shift_outward) if hardware.body else 0.0
    return max(across, hardware.collar_diameter / 2, hardware.bore.largest / 2) + 4.0


def _under_the_back(hardware: Hardware, back: float) -> list[Figure]:
    part = hardware.plate or hardware.body
    middle = part.shift_outward if part else 0.0
    across = part.across if part else hardware.bore.largest
    match hardware.button:
        case SideButton() as side:
            axis = back - side.shaft_depth
            box = Bounds(middle - across / 2, back - 2 * side.shaft_depth, middle + across / 2, back)
            shaft = Bounds(0.0, axis - SHAFT / 2, side.shaft_length, axis + SHAFT / 2)
            ends = (side.shaft_length, side.shaft_length + side.length)
            half = side.swept_diameter / 2
            button = Bounds(ends[0], axis - half, ends[1], axis + half)
            return [Figure("body", box), Figure("shaft", shaft), Figure("button", button)]
        case RearButton() as rear:
            half = rear.swept_diameter / 2
            return [Figure("button", Bounds(-half, back - rear.length, half, back))]


def bounds_of(figures: tuple[Figure, ...]) -> Bounds:
    """The rectangle round figures."""
    whole = figures[0].box
    for figure in figures[1:]:
        whole = whole.joined(figure.box)
    return whole
