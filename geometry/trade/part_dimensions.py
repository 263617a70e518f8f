"""Where each measure of a tuner is found on its drawing."""

from __future__ import annotations

from collections.abc import Callable

from geometry.shape.point import Point
from geometry.trade.hardware import Disc, Hardware, Pin, RearButton, Rectangle, Screw, SideButton
from geometry.trade.part_view import Dimension, ViewName, post_places, string_height, wood_thickness

PLAN: ViewName = "plan"
SECTION: ViewName = "section"
Finder = Callable[[Hardware, str], Dimension | None]
_BESIDE = 4.0  # lines of measures stand so far beside what they measure, mm


def dimension(hardware: Hardware, path: str) -> Dimension | None:
    """The measure of a field such as "washer.height" or "screws[0].along"; None when there is nothing to show."""
    head, _, field = path.partition(".")
    part, _, number = head.removesuffix("]").partition("[")
    if number:
        fixings = hardware.screws if part == "screws" else hardware.pins
        return _fixing(fixings[int(number)], field) if int(number) < len(fixings) else None
    finder = _FINDERS.get(part)
    return finder(hardware, field) if finder is not None else None


def _level(view: ViewName, left: float, right: float, y: float, beside: float) -> Dimension:
    return Dimension(view, Point(left, y), Point(right, y), beside)


def _upright(view: ViewName, low: float, high: float, x: float, beside: float) -> Dimension:
    return Dimension(view, Point(x, low), Point(x, high), beside)


def _post(hardware: Hardware, _: str) -> Dimension:
    half, top = hardware.post_diameter / 2, string_height(hardware) + 3.0
    return _level(SECTION, -half, half, top, _BESIDE)


def _hole(hardware: Hardware, _: str) -> Dimension:
    foot = hardware.collar_height if isinstance(hardware.button, RearButton) else -wood_thickness(hardware)
    return _upright(SECTION, foot, foot + hardware.hole_height, -hardware.post_diameter / 2, 2 * _BESIDE)


def _bore(hardware: Hardware, field: str) -> Dimension | None:
    back, wider = -wood_thickness(hardware), hardware.bore.counterbore
    if field == "through":
        half = hardware.bore.through / 2
        return _level(SECTION, -half, half, back, -_BESIDE)
    if wider is None:
        return None
    half = wider.diameter / 2
    if field == "counterbore.diameter":
        return _level(SECTION, -half, half, 0.0, 2 * _BESIDE)
    return _upright(SECTION, -wider.depth, 0.0, half, -_BESIDE)


def _turns_in(hardware: Hardware, _: str) -> Dimension:
    half = hardware.turns_in / 2
    return _level(SECTION, -half, half, 0.0, _BESIDE)


def _bushing(hardware: Hardware, field: str) -> Dimension | None:
    if hardware.bushing is None:
        return None
    half = (hardware.bushing.root if field == "root" else hardware.bushing.crest) / 2
    return _level(SECTION, -half, half, 0.0, 2 * _BESIDE)


def _disc(disc: Disc | None, field: str) -> Dimension | None:
    if disc is None:
        return None
    half = disc.diameter / 2
    if field == "diameter":
        return _level(PLAN, -half, half, 0.0, 0.0)
    return _upright(SECTION, 0.0, disc.height, half, -_BESIDE)


def _rectangle(part: Rectangle | None, field: str) -> Dimension | None:
    if part is None:
        return None
    left, right = part.shift_outward - part.across / 2, part.shift_outward + part.across / 2
    low, high = part.shift_along - part.along / 2, part.shift_along + part.along / 2
    match field:
        case "along":
            return _upright(PLAN, low, high, left, _BESIDE)
        case "across":
            return _level(PLAN, left, right, low, -_BESIDE)
        case "shift_along":
            return _upright(PLAN, 0.0, part.shift_along, part.shift_outward, 0.0)
    return _level(PLAN, 0.0, part.shift_outward, part.shift_along, 0.0)


def _plate(hardware: Hardware, field: str) -> Dimension | None:
    plate = hardware.plate
    if plate is None:
        return None
    places = post_places(hardware)
    last, left = places[-1], plate.shift_outward - plate.across / 2
    match field:
        case "pitch":
            return _upright(PLAN, 0.0, plate.pitch, left, _BESIDE)
        case "first to last":
            return _upright(PLAN, 0.0, last, left, _BESIDE)
        case "beyond":
            return _upright(PLAN, last, last + plate.beyond, left, _BESIDE)
        case "across":
            return _level(PLAN, left, left + plate.across, -plate.beyond, -_BESIDE)
        case "shift_outward":
            return _level(PLAN, 0.0, plate.shift_outward, last / 2, 0.0)
    return None


def _button(hardware: Hardware, field: str) -> Dimension | None:
    back = -wood_thickness(hardware)
    if isinstance(hardware.button, SideButton):
        return _side_button(hardware.button, field, back)
    half, foot = hardware.button.swept_diameter / 2, back - hardware.button.length
    if field == "swept_diameter":
        return _level(SECTION, -half, half, foot, -_BESIDE)
    return _upright(SECTION, foot, back, half, -_BESIDE) if field == "length" else None


def _side_button(side: SideButton, field: str, back: float) -> Dimension | None:
    half, axis, far = side.swept_diameter / 2, back - side.shaft_depth, side.shaft_length + side.length
    top = side.shaft_offset + half
    match field:
        case "shaft_offset":
            return _upright(PLAN, 0.0, side.shaft_offset, side.shaft_length / 2, 0.0)
        case "shaft_depth":
            return _upright(SECTION, axis, back, side.shaft_length / 2, 0.0)
        case "shaft_length":
            return _level(PLAN, 0.0, side.shaft_length, top, _BESIDE)
        case "length":
            return _level(PLAN, side.shaft_length, far, top, _BESIDE)
        case "swept_diameter":
            return _upright(PLAN, side.shaft_offset - half, top, far, -_BESIDE)
    return None


def _thickness(hardware: Hardware, _: str) -> Dimension:
    reach = hardware.body.across / 2 if hardware.body else hardware.bore.largest
    return _upright(SECTION, -wood_thickness(hardware), 0.0, -reach, 0.0)


def _fixing(part: Screw | Pin, field: str) -> Dimension | None:
    match field:
        case "along":
            return _upright(PLAN, 0.0, part.along, part.outward, 0.0)
        case "outward":
            return _level(PLAN, 0.0, part.outward, part.along, 0.0)
        case "diameter" | "root":
            half = part.diameter / 2
            return _level(PLAN, part.outward - half, part.outward + half, part.along, _BESIDE)
    return None


_FINDERS: dict[str, Finder] = {
    "post_diameter": _post,
    "bushing_bore": _turns_in,
    "hole_height": _hole,
    "bore": _bore,
    "bushing": _bushing,
    "washer": lambda hardware, field: _disc(hardware.washer, field),
    "hexagon": lambda hardware, field: _disc(hardware.hexagon, field),
    "body": lambda hardware, field: _rectangle(hardware.body, field),
    "seat": lambda hardware, field: _rectangle(hardware.seat, field),
    "plate": _plate,
    "button": _button,
    "thickness_least": _thickness,
    "thickness_most": _thickness,
}
