"""The bore ladder at true size: a coupon to lay on scrap of the head's own board, a bore for each drill to try."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.sheet_kind import Machine, SheetKind
from export.sheets.cautions import BACKED_UP, CHECK_RULERS, FOR_TEMPLATES, SAFE_WORK
from export.sheets.head import LABEL, crosshair
from export.sheets.schedule import drill_words, off_words, schedule_sheets
from export.sheets.table import GAP, SIZE, heading, paged, paragraphs, stacked
from export.text import ASCENT, LEADING, width
from geometry.bench.bore_fit import Ladder, ladders, pressed
from geometry.bench.fit_words import ladder_subject, range_words, reason, wood_words
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.contour import rectangle
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.drills import Drill
from geometry.trade.quantities import show_fine
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import find_wood

_NAME, _TITLE = "ladder", "Bore ladder for scrap of the same board"

WALL = 6.0
"""mm of wood between two bores, and between a bore and the edge of the coupon, at least: workshop practice."""

_ABOVE = 7.0
_BELOW = 14.0

HOW = (
    "Glue or tape the coupon on scrap of the head's own board, equally thick, its grain along the arrow. Drill each "
    "bore with its own drill as the schedule says, on a backing board, and try the tuner from the smallest up. Finish "
    "is not in these bores."
)
"""How a ladder is used."""

RIGHT_RIBBED = (
    "A ribbed bushing is right when it starts by hand and goes home with a clamp, without a hammer; where every bore "
    "is loose, take a narrower drill."
)
RIGHT_FREE = "A threaded bushing, a post or a peg is right when it drops in and does not rattle."

KEEP = (
    "Tell the shop which bore felt right, in the window under Felt right on scrap or with the command for bores: "
    "new builds begin with it."
)
"""What to do with what was felt."""


def ladder_sheets(
    build: Build, layout: Layout, shop: Shop, room: Room, *, with_schedule: bool = False
) -> tuple[Sheet, ...]:
    """A coupon for each kind of tuner, on as few sheets as `room` (width and height in mm) allows.

    Nothing without bores to drill or without drills. `with_schedule`: the schedule stands above, which tells the wood.
    """
    found = ladders(build, layout, shop)
    if not found:
        return ()
    coupons = [_coupon(build, ladder, shop.units, room[0] - 2.0) for ladder in found]
    wood = wood_words(find_wood(build.head.wood, shop.own_woods), build.head.wood, shop.units)
    told = () if with_schedule else (f"Wood: {wood}.",)
    words = paragraphs((*_how(found), *told), room[0] - 4.0)
    pages = paged((*coupons, words), room[1] - 2.0, 2 * GAP)
    names = [_NAME] if len(pages) == 1 else [f"{_NAME}-{number}" for number in range(1, len(pages) + 1)]
    return tuple(_sheet(name, page) for name, page in zip(names, pages, strict=True))


def _how(found: tuple[Ladder, ...]) -> Iterator[str]:
    """How the ladders are used, without what none of these tuners wants to know."""
    yield HOW
    ribbed = [pressed(ladder.hardware) for ladder in found]
    if any(ribbed):
        yield RIGHT_RIBBED
    if not all(ribbed):
        yield RIGHT_FREE
    if any(ladder.hardware.bushing is not None for ladder in found):
        yield KEEP


def _sheet(name: str, drawing: Drawing) -> Sheet:
    bores = drawing.only(Role.BORE).marks
    circles = tuple(mark.shape for mark in bores if isinstance(mark.shape, Circle))
    return fitted(name, _TITLE, drawing, margin=1.0, seam_avoid=circles)


LADDER = SheetKind(
    name=_NAME,
    title="Bore ladder: the fit, tried on scrap",
    draw=ladder_sheets,
    cautions=FOR_TEMPLATES,
    absent="no bore is left to drill, or the shop has no drills.",
    machine=Machine(),
)


# One coupon


def _coupon(build: Build, ladder: Ladder, units: Units, wide: float) -> Drawing:
    """The coupon under its title, from an upper left corner; its bores in as many lines as `wide` mm asks for."""
    wood = build.head.wood.strip() or "wood not named"
    why = reason(ladder.fit, ladder.hardware, units)
    marked = (
        "in bold" if any(ladder.good.holds(drill.diameter) for drill in ladder.rungs) else "none of these"
    )
    bored = f"{show_fine(ladder.bore, units)}{_finish(build, units)}"
    good = f"{range_words(ladder.good, units)}, {marked}"
    said = (
        f"{ladder_subject(ladder.hardware, units)}.",
        f"The build's bore is {bored}. The fit: {why}; drills of {good}.",
    )
    return stacked(
        (heading(f"Ladder in {wood}"), paragraphs(said, wide - 2.0), _board(ladder, units, wide)), 2.0
    )


def _finish(build: Build, units: Units) -> str:
    """That the ladder is without the finish."""
    up = build.head.finish_build_up
    return f", {show_fine(up, units)} for the finish left out" if up > 0 else ""


def _board(ladder: Ladder, units: Units, wide: float) -> Drawing:
    largest = max(drill.diameter for drill in ladder.rungs)
    labels = (words for drill in ladder.rungs for words in _label(ladder, drill, units))
    pitch = max(largest + WALL, *(width(words, SIZE, bold=True) + 2.0 for words in labels))
    each = max(1, int((wide - WALL) / pitch))
    lines = -(-len(ladder.rungs) // each)
    each = -(-len(ladder.rungs) // lines)
    line = largest + _ABOVE + _BELOW
    marks: list[Mark] = []
    for number, drill in enumerate(ladder.rungs):
        row, column = divmod(number, each)
        at = Point(WALL / 2 + (column + 0.5) * pitch, -row * line - _ABOVE - largest / 2)
        marks += _rung(ladder, drill, at, largest, units)
    size = Vector(each * pitch + WALL, lines * line)
    return Drawing((*_outline(size), *marks))


def _outline(size: Vector) -> Iterator[Mark]:
    yield Mark(Role.CUT_LINE, rectangle(Bounds(0.0, -size.y, size.x, 0.0)), "coupon")
    arrow = "grain of the head →"
    at = Point(size.x / 2, -1.2 - LABEL * ASCENT)
    yield Mark(Role.LABEL, Text(at, LABEL, arrow, anchor="middle"))


def _rung(ladder: Ladder, drill: Drill, at: Point, largest: float, units: Units) -> Iterator[Mark]:
    radius = drill.diameter / 2
    yield Mark(Role.BORE, Circle(at, radius), drill.name)
    yield from crosshair(at, radius, drill.name, beyond=2.0)
    baseline = at.y - largest / 2 - 3.0 - SIZE * ASCENT
    lines = _label(ladder, drill, units)
    for number, words in enumerate(lines):
        place = Point(at.x, baseline - number * SIZE * LEADING)
        bold = ladder.good.holds(drill.diameter)
        yield Mark(Role.LABEL, Text(place, SIZE, words, anchor="middle", bold=bold))


def _label(ladder: Ladder, drill: Drill, units: Units) -> tuple[str, ...]:
    """The drill, its diameter in the other measure, and how far off the build's bore it is."""
    name, *others = drill_words(drill).split(", ")
    off = off_words(drill.diameter - ladder.bore, units)
    return (name, ", ".join(others), "as the build" if off == "0" else off)


# With the schedule on one page where they fit, for both are wanted at the drill


def steps_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """Both on one sheet of `room` (width and height in mm), true to size, else the sheets of either."""
    schedule = schedule_sheets(build, layout, shop, room, with_ladder=True)
    ladder = ladder_sheets(build, layout, shop, room, with_schedule=True)
    if len(schedule) == len(ladder) == 1:
        both = stacked((schedule[0].drawing, ladder[0].drawing), 2 * GAP)
        together = fitted("steps", "Drilling schedule and bore ladder", both, margin=0.0)
        if together.bounds.width <= room[0] + SAME and together.bounds.height <= room[1] + SAME:
            return (together,)
    return schedule_sheets(build, layout, shop, room) + ladder_sheets(build, layout, shop, room)


STEPS = SheetKind(
    name="steps",
    title="Schedule and ladder: every step, the fit tried on scrap",
    draw=steps_sheets,
    # The test on scrap is told by both, and the bits of a guide on the guide.
    cautions=(SAFE_WORK, BACKED_UP, CHECK_RULERS),
    absent="no tuner has its place yet.",
)
