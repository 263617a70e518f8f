"""The strings' sheet: what each pulls and how near plain steel is to breaking, and where to cut it off."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Room, Sheet
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow
from export.sheet_kind import SheetKind
from export.sheets.cautions import FOR_STRINGS
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.string_loads import StringCut, StringLoad, string_cuts, string_loads, total_pull
from geometry.trade.limits import rules_with
from geometry.trade.quantities import (
    CUT,
    ESTIMATE,
    UNKNOWN,
    WORKED_OUT,
    show_force,
    show_gauge,
    show_length,
    show_share,
    show_stress,
    show_unit_weight,
    typed_number,
)
from geometry.trade.shop import Shop
from geometry.trade.strings import PAST_POST_SPARE, WIRE_SOURCE, UnitWeight
from geometry.trade.units import Units

_NAME, _TITLE = "strings", "Strings: pull and lengths to cut"


def string_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """The strings as sheets of one page each; a page has `room` (width and height in mm). Nothing without strings."""
    if not build.strings:
        return ()
    blocks = (*_loads(build, layout, shop.units, room[0]), *_cuts(layout, shop.units))
    return flow(blocks, _NAME, _TITLE, *room)


STRINGS = SheetKind(
    reads=True,
    name=_NAME,
    title=_TITLE,
    draw=string_sheets,
    cautions=FOR_STRINGS,
    absent="the build has no strings yet.",
)


# Pull


def _loads(build: Build, layout: Layout, units: Units, wide: float) -> Iterator[Block]:
    loads = string_loads(build)
    yield Heading(f"Pull of the strings over {show_length(build.scale_length, units)}")
    table = load_table(loads, layout, units)
    yield from (table,) if wide >= NARROW else table.halves(5)
    yield Paragraph(total_words(loads, units), bold=True)
    yield from (Paragraph(words) for words in load_sources(build, loads))


def total_words(loads: tuple[StringLoad, ...], units: Units) -> str:
    """What all strings pull together."""
    known = [load for load in loads if load.pull is not None]
    missing = len(loads) - len(known)
    about = "≈ " if any(load.estimate for load in known) else ""
    rest = f", without {missing} of {len(loads)} strings whose pitch is not known." if missing else "."
    return f"All together {about}{show_force(total_pull(loads), units, figures_of(*known))}{rest}"


def figures_of(*parts: StringLoad | UnitWeight) -> int:
    """To how many figures pulls or unit weights are told, and what follows from all of them."""
    return ESTIMATE if any(part.estimate for part in parts) else WORKED_OUT


def load_table(loads: tuple[StringLoad, ...], layout: Layout, units: Units) -> Table:
    """One row for each string, treble-most first."""
    columns = (
        Column("String", 1.0),
        Column("Pitch", 1.0),
        Column("Frequency", 1.5, "end"),
        Column("Gauge", 1.4, "end"),
        Column("Kind", 1.1),
        Column("Unit weight", 1.7, "end"),
        Column("Pull", 1.6, "end"),
        Column("Stress", 1.5, "end"),
        Column("Of its strength", 1.5, "end"),
    )
    return Table(columns, tuple(Row(_load_cells(load, layout, units)) for load in loads))


def _load_cells(load: StringLoad, layout: Layout, units: Units) -> tuple[str, ...]:
    about = "≈ " if load.weight.estimate else ""
    roughly = "≈ " if load.estimate else ""
    return (
        layout.labels[load.string.key],
        load.pitch or "–",
        UNKNOWN if load.hertz is None else f"{load.hertz:.2f} Hz",
        show_gauge(load.string.diameter, units),
        load.string.kind,
        f"{about}{show_unit_weight(load.weight.value, units, figures_of(load.weight))}",
        UNKNOWN if load.pull is None else f"{roughly}{show_force(load.pull, units, figures_of(load))}",
        UNKNOWN if load.stress is None else show_stress(load.stress, units),
        UNKNOWN if load.percent is None else show_share(load.percent / 100),
    )


def load_sources(build: Build, loads: tuple[StringLoad, ...]) -> Iterator[str]:
    """How the numbers came about: the law, the weights by kind, the strength of wire."""
    yield "Pull = unit weight × (2 × sounding length × frequency)², Mersenne's law; A4 is 440 Hz (ISO 16)."
    by_source: dict[str, list[str]] = {}
    for load in loads:
        kinds = by_source.setdefault(load.weight.source, [])
        if load.string.kind not in kinds:
            kinds.append(load.string.kind)
    for source, kinds in by_source.items():
        yield f"Unit weight, {' and '.join(kinds)}: {source}."
    if any(load.estimate for load in loads):
        yield "≈ marks an estimate: type in the unit weight or the tension that the maker of the string states."
    if any(load.stress is not None for load in loads):
        rule = rules_with(build.limits)["string stress"]
        limits = (
            f"{word} above {typed_number(limit.least)} %"
            for word, limit in (("watch", rule.watch), ("stop", rule.stop))
            if limit
        )
        yield f"Strength: {WIRE_SOURCE}, for plain steel only; {', '.join(limits)}. Other strings are not judged."


# Cutting


def _cuts(layout: Layout, units: Units) -> Iterator[Block]:
    cuts = string_cuts(layout)
    if not cuts:
        return
    yield Heading("Where to cut")
    yield cut_table(cuts, layout, units)
    yield Paragraph(cut_words(units))


def cut_words(units: Units) -> str:
    """How to cut a string, and what its lengths are."""
    return (
        "Pull the string through its post until it is tight, then cut it at the length past the post: "
        f"turns × π × (post + string diameter) + {show_length(PAST_POST_SPARE, units, CUT)} to hold and bend (workshop "
        "practice, no source). Nut to post is in plan, as the string runs; from the nut is both together."
    )


def cut_table(cuts: tuple[StringCut, ...], layout: Layout, units: Units) -> Table:
    """One row for each string that has a post, treble-most first."""
    columns = (
        Column("String", 1.2),
        Column("Turns", 1.0, "end"),
        Column("Nut to post", 1.4, "end"),
        Column("Past the post", 1.4, "end"),
        Column("From the nut", 1.4, "end"),
    )
    return Table(columns, tuple(Row(_cut_cells(cut, layout, units)) for cut in cuts))


def _cut_cells(cut: StringCut, layout: Layout, units: Units) -> tuple[str, ...]:
    lengths = (cut.to_post, cut.past_post, cut.from_nut)
    return (
        layout.labels[cut.path.string.key],
        typed_number(cut.turns),
        *(show_length(each, units, CUT) for each in lengths),
    )
