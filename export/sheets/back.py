"""The back of the head at true size: bodies, and the holes of their screws and pins."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Drawing, Mark, Role, Room, Sheet
from export.labels import Request, anywhere, in_step
from export.sheet_kind import Machine, SheetKind
from export.sheets.cautions import FOR_PILOTS
from export.sheets.head import (
    LABEL,
    NAME,
    ROOM,
    centre_line,
    crosshair,
    diameter_words,
    head_lines,
    inch_words,
    keep_clear,
    old_holes,
    rowwise,
    shared_labels,
)
from export.sheets.legend import keep_clear_words
from export.sheets.table import divided, heading, paragraphs, stacked, with_table
from geometry.bench.small_holes import pilot, small_hole_fit, small_hole_names
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, SmallHole
from geometry.shape.box import Box
from geometry.shape.contour import through
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import CLOSE, bare_fine, bare_length, length_unit, show_diameter, show_length
from geometry.trade.shop import Shop
from geometry.trade.wood import Wood

_BEYOND = 1.5
_INTO_NECK = 5.0
_SAYS = (
    "This is the back: the mirror image of the face. L and R are the left and right pieces, "
    "by the sides as seen from the face."
)
_MEASURES = (
    "x from the centre line as seen here (right +), y from the nut line. ⌀ in: the inch drill that "
    "does as well."
)


def back_sheets(build: Build, layout: Layout, shop: Shop, room: Room = ROOM) -> tuple[Sheet, ...]:
    """The back as one looks at it: the mirror image of what lies on the back, drawn as the face shows it.

    Its table of screws and pins stands beside the head or below it, whichever keeps to `room` (width and height in
    mm); where neither does, on a sheet of its own.
    """
    drawing = Drawing(tuple(back_marks(build, layout, shop.own_woods)))
    region = drawing.only(Role.OUTLINE, Role.NUT_LINE, Role.BUTTON, Role.CENTRE_LINE).bounds
    drawing = (drawing + _labels(build, layout, shop, drawing, region)).mirrored()
    sentences = (_SAYS, *_sizes(build, layout, shop), _MEASURES, *keep_clear_words(build, shop.units))
    tables = _tables(build, layout, shop, 1)
    wide = stacked((*_tables(build, layout, shop, 2), paragraphs(sentences, room[0] - 4.0)))
    holes = drawing.only(Role.BORE, Role.SCREW, Role.PIN).marks
    circles = tuple(mark.shape for mark in holes if isinstance(mark.shape, Circle))

    def sheets(*parts: tuple[str, ...]) -> tuple[Sheet, ...]:
        """With the sentences in so many parts, each of which finds a place of its own."""
        blocks = (*tables, *(paragraphs(part, 48.0) for part in parts))
        return with_table("back", "Back, mirror image of the face", drawing, blocks, wide, room, circles)

    together = sheets(sentences)
    return together if len(together) == 1 else sheets(sentences[:1], sentences[1:])


def _drilled(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """The same, nothing where no screw and no pin is drilled from the back."""
    sheets = back_sheets(build, layout, shop, room)
    return sheets if any(sheet.drawing.only(Role.SCREW, Role.PIN).marks for sheet in sheets) else ()


BACK = SheetKind(
    name="back",
    title="Back: screws and pins",
    draw=_drilled,
    cautions=FOR_PILOTS,
    absent="no screw and no pin goes into the back.",
    machine=Machine(),
)


def back_marks(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> Iterator[Mark]:
    """Everything on the back, still as the face shows it; `own` are the woods of the maker's shop."""
    yield from head_lines(build, layout)
    yield centre_line(-_INTO_NECK, layout.top + _INTO_NECK)
    yield from keep_clear(build)
    yield from old_holes(build)
    for post in layout.posts:
        yield from _tuner(post)
    for plate in layout.plates:
        yield Mark(Role.PLATE, plate.box.contour(), f"plate of {layout.names_of(plate.posts)}")
    for hole, name in zip(layout.holes, small_hole_names(layout), strict=True):
        yield from small_hole(hole, pilot(build, hole, own), name)


def small_hole(hole: SmallHole, drill: float, name: str) -> Iterator[Mark]:
    """The hole for a screw or a pin, `drill` mm wide, with its crosshair."""
    radius = drill / 2
    yield Mark(Role.SCREW if hole.kind == "screw" else Role.PIN, Circle(hole.at, radius), name)
    yield from crosshair(hole.at, radius, name, beyond=_BEYOND)


def _tuner(post: PlacedPost) -> Iterator[Mark]:
    name = f"post {post.label}"
    button = post.button.contour() if isinstance(post.button, Box) else post.button
    yield Mark(Role.BUTTON, button, name)
    if post.shaft is not None and post.shaft[0].distance(post.shaft[1]) > SAME:
        yield Mark(Role.SHAFT, through(post.shaft), name)
    if post.body is not None:
        yield Mark(Role.BODY, post.body.contour(), name)
    radius = post.hardware.bore.through / 2
    yield Mark(Role.BORE, Circle(post.at, radius), name)
    yield from crosshair(post.at, radius, name, beyond=_BEYOND)


# Words


def piece_name(post: PlacedPost) -> str:
    """The post's name and, where pieces differ, whether it takes the left or the right one: "3 L"."""
    return f"{post.label} {post.piece[0].upper()}" if post.hardware.handed else post.label


def _labels(build: Build, layout: Layout, shop: Shop, drawing: Drawing, region: Bounds) -> Drawing:
    names = {
        post.key: Request(post.at, (piece_name(post),), NAME, post.hardware.bore.through / 2, bold=True)
        for post in layout.posts
    }
    marks = rowwise(layout, names, drawing, region)
    marks += _hole_labels(build, layout, shop, drawing + marks, region)
    return marks + shared_labels(build, layout, drawing + marks, region)


def _hole_labels(build: Build, layout: Layout, shop: Shop, drawing: Drawing, region: Bounds) -> Drawing:
    """Name and drill of each hole; holes that lie alike beside the posts of a row are labelled alike."""
    groups: dict[tuple[str, float, float], list[Request]] = {}
    signs = {}
    for hole, name in zip(layout.holes, small_hole_names(layout), strict=True):
        drill = pilot(build, hole, shop.own_woods)
        post = layout.post(hole.owners[0])
        way = hole.at - post.tuner.at
        along, outward = way.dot(post.tuner.along), way.dot(post.tuner.outward)
        key = (post.row, round(along, 2), round(outward, 2))
        signs[key] = post.side_sign
        groups.setdefault(key, []).append(Request(hole.at, (name, show_diameter(drill)), LABEL, drill / 2))
    marks = Drawing()
    for key, wishes in groups.items():
        alike = in_step(wishes, signs[key], drawing + marks, region, leaders=True)
        marks += alike if alike is not None else anywhere(wishes, drawing + marks, region)
    return marks


def _sizes(build: Build, layout: Layout, shop: Shop) -> tuple[str, ...]:
    """One sentence for every drill that the small holes want, with the holes that want it."""
    named: dict[tuple[str, str], list[str]] = {}
    for hole, name in zip(layout.holes, small_hole_names(layout), strict=True):
        drill = pilot(build, hole, shop.own_woods)
        what = "pilot" if hole.kind == "screw" else "pin"
        size = f"{what} {diameter_words(small_hole_fit(hole, drill), shop)}"
        named.setdefault((size, f"{show_length(hole.depth, shop.units)} deep"), []).append(name)
    return tuple(f"{_run(names)}: {size}, {deep}." for (size, deep), names in named.items())


def _run(names: list[str]) -> str:
    """The names, or the first and the last of three or more that follow each other."""
    numbers = [int(name[1:]) for name in names]
    if len(names) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1)):
        return f"{names[0]} to {names[-1]}"
    return ", ".join(names)


def _tables(build: Build, layout: Layout, shop: Shop, columns: int) -> tuple[Drawing, ...]:
    """The tables of screws and of pins, whichever there are."""
    unit = length_unit(shop.units)
    named = list(zip(layout.holes, small_hole_names(layout), strict=True))
    tables = []
    for kind, title in (("screw", "Screw pilots"), ("pin", "Pin holes")):
        rows = tuple(_row(build, hole, name, shop) for hole, name in named if hole.kind == kind)
        heads = ("hole", f"x {unit}", f"y {unit}", "⌀ mm", "⌀ in", f"deep {unit}")
        if rows:
            tables.append(divided(title, heads, rows, columns))
    return tuple(tables) or (heading("No screws, no pins"),)


def _row(build: Build, hole: SmallHole, name: str, shop: Shop) -> tuple[str, ...]:
    drill = pilot(build, hole, shop.own_woods)
    return (
        name,
        bare_length(-hole.at.x, shop.units, CLOSE),
        bare_length(hole.at.y, shop.units, CLOSE),
        bare_fine(drill, "mm"),
        inch_words(small_hole_fit(hole, drill), shop).removesuffix(" in"),
        bare_fine(hole.depth, shop.units),
    )
