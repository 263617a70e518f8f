"""What a cradle asks of a drill press, as a table and in sentences, and which way fits the press of the shop."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.bench.cradle import Cradle
from geometry.bench.press_ways import Holding, PressWay, Turning, fit_press, press_ways, table_edge
from geometry.layout.layout import Layout
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import DEPTH, UNKNOWN, bare_need, length_unit, show_length, show_need
from geometry.trade.shop import Shop
from geometry.trade.units import Units

HOW: dict[Turning, str] = {
    "one side": "one long side of the base plate to the column for every bore",
    "turned": "the base plate turned end for end, so that each bore is drilled from its nearer long side",
    "tip": "the tip to the column and the neck towards you",
    "nearest": "the base plate turned so that each bore is drilled from its nearest edge, long side or tip",
}
"""How the base plate lies, as part of a sentence."""

SHORT: dict[Turning, str] = {
    "one side": "one side",
    "turned": "turned end for end",
    "tip": "tip to the column",
    "nearest": "nearest edge",
}
"""The same for a table."""

HOLDINGS: dict[Holding, str] = {
    "wedges": "with wedges",
    "screwed": "with the blocks screwed on and the base plate sawn off level with them",
}
"""How the blocks are held, as part of a sentence."""

MEANING = (
    "Throat: from the spindle to the column. Table: how long it must be from left to right, the spindle over its "
    "middle, to carry the whole base plate under every bore; with supports: to carry both supports too. On a shorter "
    "table the supports stand beside it, on something as high."
)
"""What the columns hold."""


def ways_of(made: Cradle, layout: Layout) -> tuple[PressWay, ...]:
    """The ways to bring every bore of a layout under the spindle."""
    return press_ways(made, tuple(post.at for post in layout.posts))


def press_rows(ways: tuple[PressWay, ...], shop: Shop) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of a table: what each way asks for; the one for the press of the shop is marked."""
    unit, units = length_unit(shop.units), shop.units
    heads = ("Blocks: what is at the column", f"throat {unit}", f"table {unit}", f"with supports {unit}")
    chosen = _chosen(ways, shop)
    rows = tuple(
        (
            f"{'✓ ' if way is chosen else ''}{way.holding}: {SHORT[way.turning]}",
            bare_need(way.throat, units),
            bare_need(way.table, units),
            UNKNOWN if way.with_supports is None else bare_need(way.with_supports, units),
        )
        for way in ways
    )
    return heads, rows


def _chosen(ways: tuple[PressWay, ...], shop: Shop) -> PressWay | None:
    if shop.press_throat is None or not ways:
        return None
    fit = fit_press(ways, shop.press_throat)
    return None if fit.lacks else fit.way


def say_press(made: Cradle, layout: Layout, shop: Shop) -> Iterator[str]:
    """Which way fits the press of the shop, or what the least is; nothing without bores."""
    ways = ways_of(made, layout)
    if not ways:
        return
    if shop.press_throat is None:
        yield _say_least(ways, shop.units)
        return
    yield from say_fit(ways, shop.press_throat, shop.press_table, shop.units)


def say_fit(ways: tuple[PressWay, ...], throat: float, table: float | None, units: Units) -> Iterator[str]:
    """The way for a press, and how its table takes it."""
    fit = fit_press(ways, throat)
    press, way = f"throat of {show_length(throat, units)}", fit.way
    if fit.lacks:
        yield (
            f"No way fits your press: its {press} is {show_need(fit.lacks, units)} too short even "
            f"{HOLDINGS[way.holding]} and {HOW[way.turning]}, which needs {show_need(way.throat, units)}. "
            "Drill on another press."
        )
        return
    yield (
        f"On your press, {press}: {HOLDINGS[way.holding]}, {HOW[way.turning]}. That needs "
        f"{show_need(way.throat, units)}."
    )
    if table is not None:
        yield _say_table(way, table, units)


def _say_table(way: PressWay, table: float, units: Units) -> str:
    its = f"Its table of {show_length(table, units)}"
    if table + SAME < way.table:
        lacks = show_need((way.table - table) / 2, units)
        return (
            f"{its} is too short for the base plate by up to {lacks} at one end: rest that end on something as high as "
            "the table, and clamp on both sides of the bore."
        )
    if way.with_supports is None:
        return (
            f"{its} carries the whole base plate; the neck comes towards you, its supports before the table."
        )
    if table + SAME < way.with_supports:
        return f"{its} carries the whole base plate; the supports stand beside it, on something as high."
    return f"{its} carries the base plate and both supports."


def _say_least(ways: tuple[PressWay, ...], units: Units) -> str:
    first, least = ways[0], min(ways, key=lambda way: way.throat)
    wedges = min((way for way in ways if way.holding == first.holding), key=lambda way: way.throat)
    told = (
        f"Throat, from the spindle to the column: {show_need(first.throat, units)} with {HOW[first.turning]}"
    )
    if wedges is not first:
        told += f"; {show_need(wedges.throat, units)} with {HOW[wedges.turning]}"
    if least is not wedges:
        told += f"; {show_need(least.throat, units)} {HOLDINGS[least.holding]}, {HOW[least.turning]}"
    return f"{told}. Enter the throat of your press in the shop, and the way that fits it is named here."


def say_edge(made: Cradle, layout: Layout, units: Units) -> str:
    """How near to the spindle a table must end under a neck that falls below it; empty without bores."""
    bores = tuple(post.at for post in layout.posts)
    if not bores:
        return ""
    near = show_length(table_edge(made, bores), units, DEPTH)
    return (
        f"Under the lowest bore the table must then end {near} or less from the spindle, on the neck's side: swing the "
        "table aside, or take the riser."
    )
