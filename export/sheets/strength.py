"""The strength sheet: where a head is weakest against its strings, what is in the figure, and where that is from."""

from __future__ import annotations

import math
from collections.abc import Iterator

from export.drawing import REDUCED, TRUE_SIZE, Drawing, Role, Room, Sheet, fitted
from export.flow import Block, Column, Heading, Paragraph, Row, Table, flow, laid_out
from export.sheet_kind import SheetKind
from export.sheets.cautions import FOR_STRENGTH
from export.sheets.strength_curve import fit_to, strength_drawing
from export.sheets.table import GAP, paragraphs
from geometry.bench.grain import LONG_SHARE, SAFETY, WEAK_SHARE
from geometry.bench.strength import Station, Strength, strength
from geometry.bench.strength_words import ASSUMED, GOVERNS, percent, say_strength, sources
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.string_loads import string_loads
from geometry.shape.point import Point
from geometry.trade.quantities import (
    ESTIMATE,
    figures,
    show_force,
    show_measured,
    show_share,
    show_stress,
    typed_number,
)
from geometry.trade.shop import Shop
from geometry.trade.units import Units

_NAME, _TITLE = "strength", "Will it hold: the head against its strings"
_MARGIN = 1.0


def strength_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """The head with its curve and the words below it, or the words on pages of their own where that takes them.

    A page has `room` (width and height in mm). Nothing where no string pulls on the head.
    """
    found = strength(build, layout, own=shop.own_woods)
    if found.weakest is None:
        return ()
    wide, high = room[0] - 2 * _MARGIN, room[1] - 2 * _MARGIN
    fit = fit_to(build, layout, (wide, high), shop.units)
    drawing = strength_drawing(build, layout, found, shop.units, fit)
    if fit.factor < 1:
        drawing += _below(drawing, paragraphs((f"Drawn at {_reduction(fit.factor)} of its size.",), wide))
    blocks = tuple(_blocks(build, layout, found, shop.units))
    whole = drawing + _below(drawing, laid_out(blocks, wide))
    scale = REDUCED if fit.factor < 1 else TRUE_SIZE
    alone = whole.bounds.height <= high
    drawn = whole if alone else drawing
    first = fitted(_NAME, _TITLE, drawn, margin=_MARGIN, scale=scale)
    if alone:
        return (first,)
    return (first, *flow(blocks, f"{_NAME}-words", "Will it hold, in words", *room))


STRENGTH = SheetKind(
    reads=True,
    name=_NAME,
    title="Strength: will it hold",
    draw=strength_sheets,
    cautions=FOR_STRENGTH,
    absent="no string with a known pull goes to a post, so nothing pulls on the head; or its outline is not sound.",
)


def _reduction(factor: float) -> str:
    """How large something reduced is drawn: in whole percent rounded down, so that it never reads as true size."""
    return show_share(math.floor(100 * factor) / 100)


def _below(drawing: Drawing, text: Drawing) -> Drawing:
    at, size = drawing.bounds, text.bounds
    corner = Point(at.left + (at.width - size.width) / 2, at.bottom - GAP)
    return text.moved(corner - Point(size.left, size.top))


def _blocks(build: Build, layout: Layout, found: Strength, units: Units) -> Iterator[Block]:
    first, *others = say_strength(found, build, layout, units)
    yield Paragraph(first, bold=True)
    yield from (Paragraph(words) for words in others if words != GOVERNS)
    yield Paragraph(GOVERNS, bold=True)
    weakest = found.weakest
    if found.told and weakest is not None:
        yield Heading("What is in the figure, at the weakest place", 2)
        yield factor_table(found, weakest, units)
    yield Heading("What goes in, and where it is from", 2)
    yield input_table(build, layout, found, units)
    yield from (Paragraph(words) for words in ASSUMED)


def factor_table(found: Strength, weakest: Station, units: Units) -> Table:
    """From the mean strength to what is allowed at the weakest place of a figure that is told, and the stress there."""
    assert found.wood is not None, "without a wood there is no figure"
    left = found.wood.modulus_of_rupture
    slope = (
        f"{figures(math.degrees(weakest.slope), ESTIMATE)}° off the {'head' if weakest.y >= 0 else 'neck'}"
    )
    shares = (
        ("A weak board: 19 of 20 surpass it", percent(WEAK_SHARE), WEAK_SHARE),
        (f"Grain {slope}", percent(weakest.grain()), weakest.grain()),
        ("A load that stays for years", percent(LONG_SHARE), LONG_SHARE),
        ("Margin of a timber code", f"1 / {typed_number(SAFETY)}", 1 / SAFETY),
    )
    rows = [("Strength on average", "", show_stress(left, units, ESTIMATE))]
    for name, value, share in shares:
        left *= share
        rows.append((name, value, show_stress(left, units, ESTIMATE)))
    rows.append(
        (
            "Stress by the strings, of that",
            percent(found.use(weakest)),
            show_stress(weakest.bending, units, ESTIMATE),
        )
    )
    columns = (Column("In turn", 5.0), Column("Share", 2.0, "end"), Column("Leaves", 2.0, "end"))
    return Table(columns, tuple(Row(row, bold=row is rows[-1]) for row in rows))


def input_table(build: Build, layout: Layout, found: Strength, units: Units) -> Table:
    """Everything the figure is made from, its value, and where it is from."""
    columns = (Column("Input", 2.6), Column("Value", 2.4), Column("From", 5.0))
    head = build.head
    thick = " to ".join(
        dict.fromkeys(show_measured(each, units) for each in (head.thickness_nut, head.thickness_tip))
    )
    joint = "grain along the neck" if head.joint == "one piece" else "grain along the head"
    rows = [
        ("Wood", head.wood or "not named", "the build"),
        ("Thickness", thick, "the build, from the nut to the tip"),
        ("Head", f"{typed_number(head.angle_deg)}°, {head.joint}", f"the build: {joint}"),
        (
            "Neck at the nut",
            f"{show_measured(head.neck_depth, units)} deep",
            "the build; the fingerboard not counted",
        ),
        *_volute(build, units),
        (
            "Pull of the strings",
            _pull(build, layout, units),
            "their pitches, gauges and scale length; see strings",
        ),
        *sources(found, units),
    ]
    return Table(columns, tuple(Row(row, Role.NOTES) for row in rows))


def _volute(build: Build, units: Units) -> Iterator[tuple[str, str, str]]:
    head = build.head
    if head.volute_height > 0 and head.volute_length > 0:
        high, long = show_measured(head.volute_height, units), show_measured(head.volute_length, units)
        yield "Volute", f"{high} high, {long} long", "the build"


def _pull(build: Build, layout: Layout, units: Units) -> str:
    """The pull of all strings that have a post."""
    placed = {path.string.key for path in layout.paths}
    pulls = [load.pull for load in string_loads(build) if load.string.key in placed]
    known = [pull for pull in pulls if pull is not None]
    missing = f", {len(pulls) - len(known)} not known" if len(known) < len(pulls) else ""
    return f"{show_force(sum(known), units, ESTIMATE)} on {len(known)} strings{missing}"
