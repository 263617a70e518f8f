"""A sheet before it is drawn: what it is called, how it is drawn, and what a machine gets of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import NoReturn

import msgspec

from export.drawing import NO_SCALE, TRUE_SIZE, Room, Sheet
from export.page import room_for
from export.paper import Stamp
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.trade.shop import Shop

Draw = Callable[[Build, Layout, Shop, Room], tuple[Sheet, ...]]


class SheetError(ValueError):
    """A sheet that this build or these tools do not allow; one sentence for the maker."""


def refuse_sheet(sentence: str) -> NoReturn:
    """Raise the SheetError that says this."""
    raise SheetError(sentence)


class Machine(msgspec.Struct, frozen=True):
    """What a DXF or SVG shows of a kind: a drawing of its own, else the one page of the sheet.

    `title` is what the window calls it where that is not the title of the sheet.
    """

    draw: Callable[[Build, Layout, Shop], Sheet] | None = None
    title: str = ""


class SheetKind(msgspec.Struct, frozen=True, kw_only=True):
    """One sheet of the catalogue.

    `name` is short, for commands and names of files; `title` is for people. `draw` gives its pages, each of which
    knows whether it is true to size (`Sheet.scale`), none where a head needs no such sheet, `absent` saying why, and
    raises SheetError. `reads` tells of pages to read, which have no rulers and so more room. `cautions` stand on
    every page. `machine` is None where there are only words, which no machine wants; `table` gives the bytes of a
    CSV, with the fingerprint in each row.
    """

    name: str
    title: str
    draw: Draw
    reads: bool = False
    cautions: tuple[str, ...] = ()
    absent: str = ""
    machine: Machine | None = None
    table: Callable[[Build, Layout, Shop, str], bytes] | None = None

    def drawn(self, build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
        """Its sheets for pages with so much room, with their cautions; raises SheetError."""
        sheets = self.draw(build, layout, shop, room)
        return tuple(msgspec.structs.replace(sheet, cautions=self.cautions) for sheet in sheets)

    def on_paper(self, build: Build, layout: Layout, shop: Shop, stamp: Stamp) -> tuple[Sheet, ...]:
        """Its sheets for the paper of a stamp; raises SheetError."""
        scale = NO_SCALE if self.reads else TRUE_SIZE
        return self.drawn(build, layout, shop, room_for(stamp, self.cautions, scale))

    def drawing(self, build: Build, layout: Layout, shop: Shop, stamp: Stamp) -> Sheet:
        """The one sheet of a DXF or SVG; raises SheetError, also where there are several pages or none."""
        if self.machine is not None and self.machine.draw is not None:
            return self.machine.draw(build, layout, shop)
        sheets = self.on_paper(build, layout, shop, stamp)
        if self.machine is not None:
            # Tables that found no place beside the drawing are on pages of their own.
            sheets = tuple(sheet for sheet in sheets if sheet.scale != NO_SCALE)
        if not sheets:
            raise SheetError(self.absent)
        if len(sheets) > 1:
            refuse_sheet(f"it has {len(sheets)} pages, and a DXF or SVG holds one. Write a PDF.")
        return sheets[0]

    @property
    def machine_title(self) -> str:
        """What the drawing for machines is called."""
        return (self.machine and self.machine.title) or self.title
