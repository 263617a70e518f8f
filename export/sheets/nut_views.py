"""A nut drawn at true size: a paper strip to glue on its blank, and the blank from above, in front and at its end."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from export.drawing import Anchor, Drawing, Mark, Role, Text
from export.text import ASCENT, CAP, SMALLEST
from geometry.document.build import Build
from geometry.layout.nut_slots import Slot, blank_height, finished_height
from geometry.shape.contour import Contour, rectangle, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Line, Segment
from geometry.shape.tolerance import SAME
from geometry.trade.nut_work import fall_across

FRONT = 7.0
"""Height in mm of the part of the strip that is folded down over the front of the blank."""

_SIZE = max(2.5, SMALLEST)
_OFF = 1.0
_BEYOND = 2.0


def strip(build: Build, slots: tuple[Slot, ...]) -> Drawing:
    """The paper strip: its upper part lies on top of the blank, its lower part is folded down over the front.

    In head coordinates moved so that the fold, the edge towards the frets, lies at y = 0.
    """
    nut = build.nut
    half, reach = nut.width / 2, nut.width / 2 + nut.blank_oversize
    marks = [
        Mark(Role.CUT_LINE, rectangle(Bounds(-reach, -FRONT, reach, nut.thickness)), "strip"),
        Mark(Role.FOLD_LINE, through((Point(-reach, 0.0), Point(reach, 0.0))), "fold"),
        *(_upright(Role.NUT, x, -FRONT, nut.thickness, "end") for x in (-half, half)),
        _upright(Role.CENTRE_LINE, 0.0, -FRONT, nut.thickness, "centre"),
    ]
    for slot in slots:
        name = f"slot {slot.label}"
        marks.append(_upright(Role.NUT_SLOT, slot.x, -FRONT, 0.0, name))
        marks.append(Mark(Role.NUT_SLOT, through((Point(slot.x, 0.0), _far(slot, nut.thickness))), name))
    return Drawing((*marks, *_strip_words(build, slots, reach)))


def _far(slot: Slot, thickness: float) -> Point:
    """Where the middle of a slot comes out on the head's side of the nut, in strip coordinates."""
    return Point(slot.x + thickness * slot.way.x / slot.way.y, thickness)


def _strip_words(build: Build, slots: tuple[Slot, ...], reach: float) -> Iterator[Mark]:
    """The ends, the fold, and below the strip the name of each string or course."""
    ends = ("bass", "treble") if build.bass_sign < 0 else ("treble", "bass")
    middle = -FRONT / 2 - _SIZE * CAP / 2
    yield _label(Point(-reach - _OFF, middle), ends[0], "end")
    yield _label(Point(reach + _OFF, middle), ends[1], "start")
    yield _label(Point(reach + _OFF, -_SIZE * CAP / 2), "fold", "start")
    yield _label(Point(reach + _OFF, build.nut.thickness - _SIZE * CAP), "top, to the tip ↑", "start")
    for _, group in groupby(slots, key=lambda slot: slot.string.course or slot.string.key):
        course = list(group)
        x = sum(slot.x for slot in course) / len(course)
        yield _label(Point(x, -FRONT - _OFF - _SIZE * ASCENT), _number(course), "middle")


def _number(course: list[Slot]) -> str:
    """The number of a course, which is what the labels of its strings have in common: "1" of "1a" and "1b"."""
    return course[0].label if len(course) == 1 else course[0].label.rstrip("abcdefghijklmnopqrstuvwxyz")


# Views


def top_view(build: Build, slots: tuple[Slot, ...]) -> Drawing:
    """The blank from above, the tip up; the edge towards the frets at y = 0."""
    nut = build.nut
    half, reach, thick = nut.width / 2, nut.width / 2 + nut.blank_oversize, nut.thickness
    marks = [
        Mark(Role.BLANK, rectangle(Bounds(-reach, 0.0, reach, thick)), "blank"),
        *(_upright(Role.NUT, x, 0.0, thick, "end") for x in (-half, half)),
        _upright(Role.CENTRE_LINE, 0.0, -_BEYOND, thick + _BEYOND, "centre"),
    ]
    for slot in slots:
        far, near = _far(slot, thick), Point(slot.x, 0.0)
        aside = Vector(slot.width / 2 / slot.way.y, 0.0)
        walls = (through((near - aside, far - aside)), through((near + aside, far + aside)))
        marks += [Mark(Role.NUT_SLOT, wall, f"slot {slot.label}") for wall in walls]
    return Drawing(tuple(marks))


def front_view(build: Build, slots: tuple[Slot, ...]) -> Drawing:
    """The nut as the frets see it, its bottom at y = 0: blank, finished shape, slots and the strings in them."""
    nut, high = build.nut, blank_height(build.nut, slots)
    reach = nut.width / 2 + nut.blank_oversize
    marks = [
        Mark(Role.BLANK, rectangle(Bounds(-reach, 0.0, reach, high)), "blank"),
        Mark(Role.NUT, finished_shape(nut.width, slots), "finished nut"),
        _upright(Role.CENTRE_LINE, 0.0, -_BEYOND, high + _BEYOND, "centre"),
    ]
    for slot in slots:
        cut, radius = slot_shape(slot), slot.string.diameter / 2
        if cut is not None:
            marks.append(Mark(Role.NUT_SLOT, cut, f"slot {slot.label}"))
        marks.append(
            Mark(Role.STRING_PATH, Circle(Point(slot.x, slot.floor + radius), radius), f"string {slot.label}")
        )
    return Drawing(tuple(marks))


def finished_shape(width: float, slots: tuple[Slot, ...]) -> Contour:
    """The finished nut from the front, its top straight from slot to slot and level to its ends."""
    places = sorted((slot.x, slot.top) for slot in slots)
    tops = [Point(x, y) for x, y in places]
    left, right = -width / 2, width / 2
    top = [Point(left, tops[0].y), *tops, Point(right, tops[-1].y)]
    return through((Point(left, 0.0), Point(right, 0.0), *reversed(top)), closed=True)


def slot_shape(slot: Slot) -> Contour | None:
    """A slot from the front: straight walls down to a round bottom, or only a part of the round; None for no depth."""
    if slot.depth <= SAME:
        return None
    radius = slot.width / 2
    rise = min(slot.depth, radius)
    half = math.sqrt(radius**2 - (radius - rise) ** 2)
    foot = slot.floor + rise
    left, right = Point(slot.x - half, foot), Point(slot.x + half, foot)
    parts: list[Segment] = [Arc(left, right, rise / half)]
    if slot.depth - radius > SAME:
        up = Vector(0.0, slot.depth - radius)
        parts = [Line(left + up, left), *parts, Line(right, right + up)]
    return Contour(tuple(parts))


def end_view(build: Build, slots: tuple[Slot, ...]) -> Drawing:
    """The blank from the end at +x, the frets at the left: finished top, floors of the least and the largest fall."""
    nut, high = build.nut, blank_height(build.nut, slots)
    top = finished_height(slots)
    marks = [
        Mark(Role.BLANK, rectangle(Bounds(0.0, 0.0, nut.thickness, high)), "blank"),
        Mark(Role.NUT, through((Point(0.0, top), Point(nut.thickness, top))), "finished top"),
        _label(Point(-_OFF, high / 2), "frets", "end"),
        _label(Point(nut.thickness + _OFF, high / 2), "tip", "start"),
    ]
    falls = sorted({slot.fall for slot in slots if slot.fall is not None})
    for fall in dict.fromkeys((*falls[:1], *falls[-1:])):
        low = nut.slot_floor - fall_across(nut.thickness, fall)
        floor = through((Point(0.0, nut.slot_floor), Point(nut.thickness, low)))
        marks.append(Mark(Role.NUT_SLOT, floor, "slot floor"))
    return Drawing(tuple(marks))


# Marks


def _upright(role: Role, x: float, low: float, high: float, label: str) -> Mark:
    return Mark(role, through((Point(x, low), Point(x, high))), label)


def _label(at: Point, words: str, anchor: Anchor) -> Mark:
    return Mark(Role.LABEL, Text(at, _SIZE, words, anchor=anchor))
