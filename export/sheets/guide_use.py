"""How the printed drill guide is printed, proved and used."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from export.drawing import Room, Sheet
from export.flow import Block, Heading, Paragraph, Space, flow
from export.sheet_kind import SheetKind
from export.sheets.cautions import GUIDED_BITS, SAFE_WORK, TRY_GUIDE
from export.sheets.guide import pilot_words
from export.solid.plan import DOWEL, DOWEL_DEEP, FENCE_DEEP, THICKNESS, Plan, cut_at, plan
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.trade.quantities import CLOSE, SAWN, show_fine, show_length
from geometry.trade.shop import Shop

_NAME, _TITLE = "guide-use", "Printed drill guide: print, prove, use"

_ASTRAY = 0.2  # how far in mm the longest distance between two holes may be off; workshop practice, no source


def guide_use_sheets(_build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """What to do step by step; raises SheetError where there is no such guide on this bed."""
    made = plan(layout, shop, "")
    blocks = (
        Heading("Printed drill guide"),
        *_about(made, shop),
        Heading("Print it", 2),
        *_steps(_printing(made, shop)),
        Heading("Prove it", 2),
        *_steps(_proving(layout, shop)),
        Heading("Use it", 2),
        *_steps(_using(shop)),
    )
    return flow(blocks, _NAME, _TITLE, *room)


GUIDE_USE = SheetKind(
    name=_NAME,
    title="Printed drill guide: how to print and use it",
    draw=guide_use_sheets,
    reads=True,
    cautions=(SAFE_WORK, GUIDED_BITS, TRY_GUIDE),
)


def _steps(sentences: Iterator[str]) -> Iterator[Block]:
    for number, sentence in enumerate(sentences, 1):
        yield Paragraph(f"{number}. {sentence}")
    yield Space()


def _about(made: Plan, shop: Shop) -> Iterator[Block]:
    left, low, right, top = made.plate.bounds
    sides = (right - left, top - low, THICKNESS + FENCE_DEEP)
    size = " × ".join(show_length(side, shop.units, SAWN) for side in sides)
    bed = " × ".join(show_length(side, shop.units) for side in (shop.bed_width, shop.bed_depth))
    pieces = "in one piece" if cut_at(made, shop) is None else "in two pieces, joined by dowels"
    yield Paragraph(
        f"The solid of the files for plastic printers: {size}, {pieces}, for a bed of {bed}.", bold=True
    )
    yield Paragraph(
        "A plate that lies on the face with its flat end against the nut; fences on both sides keep it from turning. "
        f"{_leads(shop)}"
    )
    yield Space()


def _leads(shop: Shop) -> str:
    if shop.guide_bushing is None:
        return (
            f"Its holes lead a pilot bit of {pilot_words(shop)} and nothing else: plastic does not lead a wider bit, "
            "which grabs, melts its way aside and spoils the head. For wider bits enter a metal bushing in the shop."
        )
    outside = show_length(shop.guide_bushing, shop.units)
    return f"Its holes take metal bushings of {outside} outside; the bit runs in the metal, never in the plastic."


def _printing(made: Plan, shop: Shop) -> Iterator[str]:
    yield (
        "Print it the way it lies in the file: upper side on the bed, fences up, no support. The numbers come out sunk "
        "into the side on the bed. Do not mirror it, do not scale it."
    )
    yield (
        "PLA or PETG, layers of 0.2 mm, four walls, half filled (common practice, no source). Let it cool on the "
        "bed, or it bends."
    )
    if cut_at(made, shop) is not None:
        dowel, deep = show_length(DOWEL, shop.units), show_length(2 * DOWEL_DEEP, shop.units)
        yield (
            f"Two dowels of {dowel}, {deep} long, join the pieces: glue them on a flat plate against a straightedge, "
            "and prove the guide only then."
        )


def _proving(layout: Layout, shop: Shop) -> Iterator[str]:
    yield "Lay it on a flat plate, smooth side down: it does not rock. Trim a swollen first layer with a knife."
    if shop.guide_bushing is None:
        yield f"Run a bit of {pilot_words(shop)} through every hole by hand, from both sides."
    else:
        yield "Press the bushings in with a vice, from the smooth side, square and flush."
    if len(layout.posts) > 1:
        far, one, other = max(
            (a.at.distance(b.at), a.label, b.label) for a, b in combinations(layout.posts, 2)
        )
        yield (
            f"Put two equal bits into holes {one} and {other} and measure over both, from outside to outside: "
            f"{show_length(far, shop.units, CLOSE)} plus the thickness of one bit. More than "
            f"{show_fine(_ASTRAY, shop.units)} off: do not use it; correct the printer and print it again."
        )
    yield ("Lay it on the paper template: every hole shows its dot, and both have the same fingerprint.")


def _using(shop: Shop) -> Iterator[str]:
    yield (
        "Nut on: push the flat end against it. Nut off: clamp a straight piece of wood along the nut line, and push "
        "the flat end against that."
    )
    yield (
        "Look for the centre line in the notches and slots, and for the edge of the head in the gaps of both "
        f"fences: alike on both sides. {show_fine(shop.print_clearance, shop.units)} of play is intended; share it "
        "evenly."
    )
    yield "Clamp it at both ends, a backing board under the head."
    bit = "the pilot bit" if shop.guide_bushing is None else "the bit that fits the bushings"
    yield f"Drill every hole with {bit}, at high speed and little pressure, and clear the chips often."
    yield "Take the guide off, look at every hole, and go on with the schedule: each bore follows its pilot hole."
    yield "A printed hole wears. Try the bit in it before each head: where it rattles, print another guide."
