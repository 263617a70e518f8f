"""Marks with fixed places in millimetres, before anyone decides how they look, and sheets of them for any writer."""

from __future__ import annotations

import math
from collections.abc import Collection
from enum import StrEnum
from typing import Literal, assert_never

import msgspec
from msgspec.structs import replace

from export.text import ASCENT, DESCENT, SMALLEST, width
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line, Segment, bounds_of
from geometry.shape.tolerance import SAME

Anchor = Literal["start", "middle", "end"]

_OTHER_END: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}
_SHARE: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}


class Role(StrEnum):
    """What a mark means in the workshop; how it looks is decided by the style of its role."""

    # the head
    OUTLINE = "outline"
    CENTRE_LINE = "centre line"
    NUT_LINE = "nut line"
    NUT_SLOT = "nut slot"
    NUT = "nut"
    BLANK = "blank"
    BINDING = "binding"
    BACK_FLAT = "back flat"
    KEEP_CLEAR = "keep clear"
    OLD_HOLE = "old hole"
    # holes and their marks
    BORE = "bore"
    COUNTERBORE = "counterbore"
    CROSSHAIR = "crosshair"
    CENTRE_DOT = "centre dot"
    SCREW = "screw"
    PIN = "pin"
    # hardware
    WASHER = "washer"
    BODY = "body"
    PLATE = "plate"
    SHAFT = "shaft"
    BUTTON = "button"
    POST = "post"
    # strings
    STRING_PATH = "string path"
    RETAINER = "retainer"
    # paper
    CUT_LINE = "cut line"
    FOLD_LINE = "fold line"
    MARGIN_RING = "margin ring"
    DIMENSION = "dimension"
    LEADER = "leader"
    LABEL = "label"
    TABLE = "table"
    TABLE_HEAD = "table head"
    RULER = "ruler"
    TITLE = "title"
    TITLE_FRAME = "title frame"
    CAUTION = "caution"
    BANNER = "banner"
    BANNER_FRAME = "banner frame"
    REGISTRATION = "registration"
    MARKER = "marker"
    MARKER_LIGHT = "light of a marker"
    SEAM = "seam"
    TILE_EDGE = "tile edge"
    TILE_MAP = "tile map"
    TILE_HERE = "tile here"
    NOTES = "notes"
    # charts
    CURVE = "curve"
    SECOND_CURVE = "second curve"
    SECOND_MARKER = "marker of the second curve"
    AVOID = "avoid"
    # results of checks
    STOP = "stop"
    WATCH = "watch"
    FINE = "fine"
    # guides and machine files
    CUT_OUTLINE = "cut outline"
    GUIDE_HOLE = "guide hole"
    WINDOW = "window"
    ENGRAVE = "engrave"
    FENCE = "fence"
    REFERENCE = "reference"
    COMB = "comb"
    SECTION = "section"


class Text(msgspec.Struct, frozen=True, tag="text"):
    """One line of words.

    `at` is a place on the baseline: the words' start, middle or end as `anchor` says. `height` is the size of
    the font (the em) in mm, as type is measured: 2.47 mm is 7 point; capitals stand 0.73 of it. `angle` in
    radians, counter-clockwise from +x.
    """

    at: Point
    height: float
    words: str
    angle: float = 0.0
    anchor: Anchor = "start"
    bold: bool = False

    @property
    def width(self) -> float:
        """Length of the line in mm."""
        return width(self.words, self.height, bold=self.bold)

    @property
    def start(self) -> Point:
        """Where the baseline begins."""
        return self.at - Vector(self.width * _SHARE[self.anchor], 0.0).turned(self.angle)

    @property
    def bounds(self) -> Bounds:
        """The upright box round the words, from under the descenders to the top of accented capitals."""
        if not self.angle:  # as nearly all words lie: there are thousands of them on a page
            long, y = self.width, self.at.y
            left = self.at.x - long * _SHARE[self.anchor]
            return Bounds(left, y - self.height * DESCENT, left + long, y + self.height * ASCENT)
        along = Vector(self.width, 0.0).turned(self.angle)
        up = Vector(0.0, self.height).turned(self.angle)
        low, high = self.start - up * DESCENT, self.start + up * ASCENT
        return bounds_of((low, low + along, high, high + along))

    def mirrored(self) -> Text:
        """The same words, still readable, filling the mirror image in the y axis of the place they filled."""
        return replace(self, at=self.at.mirrored, angle=-self.angle, anchor=_OTHER_END[self.anchor])

    def moved(self, step: Vector) -> Text:
        """The text displaced by `step` mm."""
        return replace(self, at=self.at + step)


Shape = Contour | Circle | Text


class Mark(msgspec.Struct, frozen=True):
    """One shape on the drawing and what it means; `label` names the thing it stands for ("post 3")."""

    role: Role
    shape: Shape
    label: str = ""

    @property
    def bounds(self) -> Bounds:
        """The box round the shape, in mm, without the weight of its line."""
        return self.shape.bounds

    def mirrored(self) -> Mark:
        """The mirror image in the y axis; words stay readable."""
        return Mark(self.role, self.shape.mirrored(), self.label)

    def moved(self, step: Vector) -> Mark:
        """The mark displaced by `step` mm."""
        return Mark(self.role, self.shape.moved(step), self.label)


class Drawing(msgspec.Struct, frozen=True):
    """Marks in the order in which they are painted: later ones lie on top."""

    marks: tuple[Mark, ...] = ()

    def __add__(self, other: Drawing) -> Drawing:
        return Drawing(self.marks + other.marks)

    @property
    def bounds(self) -> Bounds:
        """The box round all marks; an empty drawing is a programming error."""
        assert self.marks, "an empty drawing has no bounds"
        boxes = [mark.bounds for mark in self.marks]
        return Bounds(
            min(box.left for box in boxes),
            min(box.bottom for box in boxes),
            max(box.right for box in boxes),
            max(box.top for box in boxes),
        )

    def mirrored(self) -> Drawing:
        """The drawing seen from the other side: mirrored in the y axis, words readable."""
        return Drawing(tuple(mark.mirrored() for mark in self.marks))

    def moved(self, step: Vector) -> Drawing:
        """The drawing displaced by `step` mm."""
        return Drawing(tuple(mark.moved(step) for mark in self.marks))

    def only(self, *roles: Role) -> Drawing:
        """The marks that have one of `roles`, in their order."""
        return Drawing(tuple(mark for mark in self.marks if mark.role in roles))

    def without(self, *roles: Role) -> Drawing:
        """The marks that have none of `roles`, in their order."""
        return Drawing(tuple(mark for mark in self.marks if mark.role not in roles))


def joined(drawings: Collection[Drawing]) -> Drawing:
    """One drawing holding the marks of all, in their order."""
    return Drawing(tuple(mark for drawing in drawings for mark in drawing.marks))


QUARTER = math.pi / 2
"""A quarter turn, for words that run up a vertical line."""


# Sheets


Room = tuple[float, float]
"""Width and height in mm that a page leaves a drawing."""

TRUE_SIZE = "Scale 1:1"
REDUCED = "Drawing reduced"
NO_SCALE = ""
"""What a title block says of a sheet's drawing; nothing of words, tables and charts."""


class Sheet(msgspec.Struct, frozen=True):
    """Marks in sheet millimetres, true size, y up.

    `name` is short and fit for a file name ("face"), `title` is for people. `bounds` is the region that
    belongs to the sheet; every mark lies inside it. `notes` are sentences printed beside it, `cautions` at
    most three short ones printed where nobody misses them. A seam between two sheets of paper shall not
    cross the circles of `seam_avoid`. `scale` is what the title block says of the drawing's size.
    """

    name: str
    title: str
    bounds: Bounds
    drawing: Drawing
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    seam_avoid: tuple[Circle, ...] = ()
    scale: str = TRUE_SIZE

    def __post_init__(self) -> None:
        assert len(self.cautions) <= 3, "more than three cautions are read by nobody"
        heights = [mark.shape.height for mark in self.drawing.marks if isinstance(mark.shape, Text)]
        assert min(heights, default=SMALLEST) >= SMALLEST - SAME, f"words in {self.name!r} are too small"
        if self.drawing.marks:
            room, marks = self.bounds.grown(SAME), self.drawing.bounds
            assert room.joined(marks) == room, (
                f"marks of {self.name!r} leave the sheet: {marks} in {self.bounds}"
            )


def fitted(
    name: str,
    title: str,
    drawing: Drawing,
    *,
    margin: float = 2.0,
    notes: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
    seam_avoid: tuple[Circle, ...] = (),
    scale: str = TRUE_SIZE,
) -> Sheet:
    """The sheet whose bounds stand `margin` mm off the drawing on all sides."""
    return Sheet(name, title, drawing.bounds.grown(margin), drawing, notes, cautions, seam_avoid, scale)


# Smaller, for sheets that are looked at and not laid on the work; words keep their size


def reduced(drawing: Drawing, factor: float) -> Drawing:
    """The drawing with all places `factor` times as far from the origin."""
    if factor == 1.0:
        return drawing
    return Drawing(tuple(Mark(mark.role, _shape(mark.shape, factor), mark.label) for mark in drawing.marks))


def _shape(shape: Shape, factor: float) -> Shape:
    match shape:
        case Contour():
            segments = tuple(_segment(each, factor) for each in shape.segments)
            return Contour(segments, shape.closed)
        case Circle():
            return Circle(reduced_point(shape.centre, factor), shape.radius * factor)
        case Text():
            return replace(shape, at=reduced_point(shape.at, factor))
        case _:
            assert_never(shape)


def _segment(segment: Segment, factor: float) -> Segment:
    start, end = reduced_point(segment.start, factor), reduced_point(segment.end, factor)
    match segment:
        case Line() | Arc():
            return replace(segment, start=start, end=end)
        case Cubic():
            return Cubic(start, end, segment.leave * factor, segment.arrive * factor)
        case _:
            assert_never(segment)


def reduced_point(point: Point, factor: float) -> Point:
    """The place `factor` times as far from the origin."""
    return Point(point.x * factor, point.y * factor)
