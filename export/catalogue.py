"""All sheets, in the order of the pages; what a sheet is stands in its own module."""

from __future__ import annotations

from export.sheet_kind import SheetKind
from export.sheets.back import BACK
from export.sheets.balance import BALANCE
from export.sheets.caliper import CALIPERS
from export.sheets.comb import COMB
from export.sheets.cradle import CRADLE
from export.sheets.face import FACE
from export.sheets.jig import JIG
from export.sheets.ladder import LADDER
from export.sheets.nut_strip import NUT
from export.sheets.report import REASONS, REPORT
from export.sheets.schedule import SCHEDULE
from export.sheets.steps import STEPS
from export.sheets.strength import STRENGTH
from export.sheets.strings import STRINGS

SHEETS: tuple[SheetKind, ...] = (
    FACE,
    BACK,
    COMB,
    LADDER,
    SCHEDULE,
    NUT,
    STRINGS,
    CALIPERS,
    JIG,
    CRADLE,
    STRENGTH,
    BALANCE,
    REPORT,
)
"""The order of the pages."""

KINDS = {kind.name: kind for kind in (*SHEETS, STEPS, REASONS)}
"""The same by their names, and those that hold two of them or a part of one."""
