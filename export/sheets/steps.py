"""The drilling schedule and the bore ladder on one page where they fit, for both are wanted at the drill."""

from __future__ import annotations

from export.sheet import Sheet, fitted
from export.sheet_kind import Room, SheetKind
from export.sheets.cautions import BACKED_UP, CHECK_RULERS, SAFE_WORK
from export.sheets.ladder import ladder_sheets
from export.sheets.schedule import schedule_sheets
from export.sheets.table import GAP, stacked
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.tolerance import SAME
from geometry.trade.shop import Shop

_NAME, _TITLE = "steps", "Drilling schedule and bore ladder"


def steps_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """Both on one sheet of `room` (width and height in mm), true to size, else the sheets of either."""
    schedule = schedule_sheets(build, layout, shop, room, with_ladder=True)
    ladder = ladder_sheets(build, layout, shop, room, with_schedule=True)
    if len(schedule) == len(ladder) == 1:
        both = stacked((schedule[0].drawing, ladder[0].drawing), 2 * GAP)
        together = fitted(_NAME, _TITLE, both, margin=0.0)
        if together.bounds.width <= room[0] + SAME and together.bounds.height <= room[1] + SAME:
            return (together,)
    return schedule_sheets(build, layout, shop, room) + ladder_sheets(build, layout, shop, room)


STEPS = SheetKind(
    name=_NAME,
    title="Schedule and ladder: every step, the fit tried on scrap",
    draw=steps_sheets,
    # The test on scrap is told by both, and the bits of a guide on the guide.
    cautions=(SAFE_WORK, BACKED_UP, CHECK_RULERS),
    absent="no tuner has its place yet.",
)
