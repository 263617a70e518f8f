"""All sheets, in the order of the pages; what a sheet is stands in its own module."""

from __future__ import annotations

from export.sheet_kind import SheetKind
from export.sheets.back import BACK
from export.sheets.balance import BALANCE
from export.sheets.caliper import CALIPERS
from export.sheets.comb import COMB
from export.sheets.cradle import CRADLE
from export.sheets.face import FACE
from export.sheets.guide import GUIDE
from export.sheets.guide_use import GUIDE_USE
from export.sheets.ladder import LADDER
from export.sheets.nut_strip import NUT
from export.sheets.report import REASONS, REPORT
from export.sheets.schedule import SCHEDULE
from export.sheets.steps import STEPS
from export.sheets.strength import STRENGTH
from export.sheets.strings import STRINGS

ORDER: tuple[SheetKind, ...] = (
    REASONS,
    FACE,
    BACK,
    COMB,
    STEPS,
    LADDER,
    SCHEDULE,
    NUT,
    STRINGS,
    CALIPERS,
    GUIDE,
    GUIDE_USE,
    CRADLE,
    STRENGTH,
    BALANCE,
    REPORT,
)
"""The order of the pages."""

SHEETS = tuple(kind for kind in ORDER if kind not in (REASONS, STEPS))
"""Those that say nothing twice: without the one that holds two of them and the one that is a part of the report."""

KINDS = {kind.name: kind for kind in ORDER}
"""All by their names."""
