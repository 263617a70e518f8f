"""The balance sheet: what the head weighs, how hard it pulls the neck down, and what other tuners would save."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Room, Sheet
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow
from export.sheet_kind import SheetKind
from geometry.bench.balance import usual_place
from geometry.bench.balance_words import NOTE, rival_row, say_balance, unweighed
from geometry.bench.rivals import Rival, rivals
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.point import Point
from geometry.trade.shop import Shop
from geometry.trade.units import Units

_NAME, _TITLE = "balance", "Balance of the head"


def balance_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """The balance as sheets of one page each; a page has `room` (width and height in mm). Nothing without tuners."""
    found = rivals(build, layout, shop.own_woods)
    if not found:
        return ()
    blocks = tuple(_blocks(build, layout, found, shop.units, room[0]))
    return flow(blocks, _NAME, _TITLE, *room)


BALANCE = SheetKind(
    reads=True,
    name=_NAME,
    title="Balance: weight of head and tuners",
    draw=balance_sheets,
    absent="no tuner has its place yet, or the outline is not sound.",
)


def _blocks(
    build: Build, layout: Layout, found: tuple[Rival, ...], units: Units, wide: float
) -> Iterator[Block]:
    place = usual_place(build)
    own = found[0]
    first, *others = say_balance(own.balance, place, units)
    yield Heading(first)
    yield from (Paragraph(words) for words in others)
    for name in unweighed(layout):
        yield Paragraph(f"The mass of {name} is not known: weigh one.", bold=True)
    yield Heading("Other buttons, other tuners", 2)
    table = rival_table(found, place, units)
    yield from (table,) if wide >= NARROW else table.halves(3)
    yield Paragraph(
        "At the nut and at the bridge: how hard the head tips down, measured there, while the neck is level. "
        + NOTE
    )


def rival_table(found: tuple[Rival, ...], place: Point, units: Units) -> Table:
    """One row for each set of tuners, those of the build first."""
    columns = (
        Column("Tuners and buttons", 6.0),
        Column("Tuners", 1.3, "end"),
        Column("Head", 1.2, "end"),
        Column("At the nut", 1.6, "end"),
        Column("At the bridge", 1.7, "end"),
        Column("Saves", 1.2, "end"),
    )
    rows = (Row(rival_row(rival, found[0], place, units), bold=rival is found[0]) for rival in found)
    return Table(columns, tuple(rows))
