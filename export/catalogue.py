"""All sheets, in the order of the pages, and which go together; what a sheet is stands in its own module."""

from __future__ import annotations

import msgspec

from export.sheet_kind import SheetKind
from export.sheets.back import BACK
from export.sheets.balance import BALANCE
from export.sheets.caliper import CALIPERS
from export.sheets.comb import COMB
from export.sheets.cradle import CRADLE
from export.sheets.face import FACE
from export.sheets.guide import GUIDE
from export.sheets.guide_use import GUIDE_USE
from export.sheets.ladder import LADDER, STEPS
from export.sheets.nut_strip import NUT
from export.sheets.report import REASONS, REPORT
from export.sheets.schedule import SCHEDULE
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


# Packets


class Packet(msgspec.Struct, frozen=True):
    """Sheets by their names, in the order of the pages; `name` is short, for commands, `title` and `about` are read."""

    name: str
    title: str
    about: str
    names: tuple[str, ...]


def _names(*kinds: SheetKind) -> tuple[str, ...]:
    """The names of some kinds, in the order of the pages."""
    return tuple(kind.name for kind in ORDER if kind in kinds)


BENCH = Packet(
    "bench",
    "For the bench",
    "templates for face and back, combs, every step with the ladder, the nut, the caliper card",
    _names(FACE, BACK, COMB, STEPS, NUT, CALIPERS),
)
CRADLE_ALONE = Packet(
    "cradle", "Cradle", "the blocks and wedges that hold the head under a drill", _names(CRADLE)
)
GUIDES = Packet(
    "guides",
    "Drill guides",
    "the plate for a laser or router, and how the printed guide is printed and used",
    _names(GUIDE, GUIDE_USE),
)
FIGURES = Packet(
    "figures",
    "Figures",
    "the pull of the strings, strength, balance, every check",
    _names(STRINGS, STRENGTH, BALANCE, REPORT),
)
EVERYTHING = Packet("everything", "Everything", "every sheet by itself", _names(*SHEETS))

FAILED = Packet(
    "failed",
    "What to fix",
    "of a head that fails: what is wrong, worst first, then the templates under their banner",
    _names(REASONS, FACE, BACK),
)

PACKETS = (BENCH, CRADLE_ALONE, GUIDES, FIGURES, EVERYTHING, FAILED)
"""What can be asked for by name."""


def usual_packet(*, stopped: bool) -> Packet:
    """That of someone who asks for none: for the bench, of a head that fails only what shows why."""
    return FAILED if stopped else BENCH


def packet_named(name: str) -> Packet | None:
    """The packet with this name; None when there is none."""
    return next((packet for packet in PACKETS if packet.name == name), None)
