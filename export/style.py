"""How each role looks on paper, and on which layer of a machine file it lies."""

from __future__ import annotations

import msgspec

from export.drawing import Role

Colour = tuple[int, int, int]

BLACK: Colour = (0, 0, 0)
DARK: Colour = (70, 70, 70)
GREY: Colour = (110, 110, 110)
PALE: Colour = (160, 160, 160)
TINT: Colour = (225, 225, 225)
WHITE: Colour = (255, 255, 255)
# Three colours that people with any kind of colour vision tell apart: "Color Universal Design", 2008.
# Each also differs from the others by its dash or its weight.
BLUE: Colour = (0, 114, 178)
GREEN: Colour = (0, 158, 115)
VERMILLION: Colour = (213, 94, 0)

# Dashes, mm drawn and mm left out in turn, in the manner of ISO 128-2 (dashed, chain, double chain, dotted).
SOLID: tuple[float, ...] = ()
DASHED = (2.4, 0.9)
SHORT = (1.2, 0.7)
CHAIN = (6.0, 0.8, 0.6, 0.8)
PHANTOM = (6.0, 0.8, 0.6, 0.8, 0.6, 0.8)
DOTTED = (0.3, 0.7)


# Colour numbers of DXF, one for each thing that a machine does and no other: who sets up a job sorts by colour.
CUT_THROUGH, POCKET, ENGRAVE, AID, DRILL, SCORE, WORDS = range(1, 8)


class Style(msgspec.Struct, frozen=True):
    """The look of one role.

    `weight` of the line in mm (0.1 or more: a thinner one vanishes on paper), `dash` in mm drawn and mm
    left out in turn (empty: solid), `fill` paints the inside too. In a machine file the mark takes colour
    number `aci` from its `layer`, which says what is done with it; a layer that is not `plot` is switched off there.
    """

    weight: float
    layer: str
    aci: int = WORDS
    dash: tuple[float, ...] = SOLID
    colour: Colour = BLACK
    fill: bool = False
    plot: bool = True


def _paper(
    weight: float, colour: Colour = BLACK, dash: tuple[float, ...] = SOLID, *, fill: bool = False
) -> Style:
    return Style(weight, "PAPER", WORDS, dash, colour, fill, plot=False)


_NOTES = Style(0.1, "NOTES", WORDS, plot=False)
_DIMENSION = Style(0.1, "DIMENSIONS", WORDS, colour=DARK, plot=False)

STYLES: dict[Role, Style] = {
    Role.OUTLINE: Style(0.18, "HEAD_OUTLINE", CUT_THROUGH),
    Role.CENTRE_LINE: Style(0.13, "CENTRE_LINE", AID, CHAIN),
    Role.NUT_LINE: Style(0.18, "NUT_LINE", SCORE),
    Role.NUT_SLOT: Style(0.13, "NUT_SLOTS", SCORE),
    Role.NUT: Style(0.13, "NUT", AID, colour=DARK),
    Role.BLANK: Style(0.13, "BLANK", AID, PHANTOM, GREY),
    Role.BINDING: Style(0.1, "BINDING", AID, colour=GREY),
    Role.BACK_FLAT: Style(0.13, "BACK_FLAT", AID, DASHED, GREY),
    Role.KEEP_CLEAR: Style(0.18, "KEEP_CLEAR", AID, SHORT, VERMILLION),
    Role.OLD_HOLE: Style(0.13, "OLD_HOLES", AID, DASHED, GREY),
    Role.BORE: Style(0.18, "POST_BORES", DRILL),
    Role.COUNTERBORE: Style(0.13, "COUNTERBORES", POCKET, DASHED),
    Role.CROSSHAIR: Style(0.1, "CENTRES", AID),
    Role.CENTRE_DOT: Style(0.1, "CENTRES", AID, fill=True),
    Role.SCREW: Style(0.13, "SCREW_HOLES", DRILL),
    Role.PIN: Style(0.13, "PIN_HOLES", DRILL),
    Role.WASHER: Style(0.1, "WASHERS", AID, colour=GREY),
    Role.BODY: Style(0.13, "BODIES", AID, colour=GREY),
    Role.PLATE: Style(0.13, "PLATES", AID, colour=GREY),
    Role.SHAFT: Style(0.1, "SHAFTS", AID, colour=PALE),
    Role.BUTTON: Style(0.1, "BUTTONS", AID, colour=PALE),
    Role.POST: Style(0.1, "POSTS", AID, colour=DARK),
    Role.STRING_PATH: Style(0.13, "STRINGS", AID, colour=BLUE),
    Role.RETAINER: Style(0.13, "RETAINERS", AID, colour=GREEN),
    Role.CUT_LINE: Style(0.18, "CUT_LINE", CUT_THROUGH),
    Role.FOLD_LINE: Style(0.13, "FOLD_LINE", SCORE, CHAIN),
    Role.MARGIN_RING: Style(0.13, "MARGIN_RINGS", AID, DOTTED, BLUE),
    Role.DIMENSION: _DIMENSION,
    Role.LEADER: _DIMENSION,
    Role.LABEL: _NOTES,
    Role.NOTES: _NOTES,
    Role.TABLE: _paper(0.1, PALE),
    Role.TABLE_HEAD: _paper(0.25),
    Role.RULER: _paper(0.1),
    Role.TITLE: _paper(0.1),
    Role.TITLE_FRAME: _paper(0.25),
    Role.CAUTION: _paper(0.35),
    Role.BANNER: _paper(0.25),
    Role.BANNER_FRAME: _paper(0.9, VERMILLION),
    Role.REGISTRATION: _paper(0.13),
    Role.MARKER: _paper(0.1, fill=True),
    Role.MARKER_LIGHT: _paper(0.1, WHITE, fill=True),
    Role.SEAM: _paper(0.13, GREY, CHAIN),
    Role.TILE_EDGE: _paper(0.1, PALE, SHORT),
    Role.TILE_MAP: _paper(0.1, DARK),
    Role.TILE_HERE: _paper(0.1, TINT, fill=True),
    Role.CURVE: _paper(0.4),
    Role.SECOND_CURVE: _paper(0.4, BLUE, DASHED),
    Role.SECOND_MARKER: _paper(0.4, BLUE),
    Role.AVOID: _paper(0.13, VERMILLION),
    Role.STOP: Style(0.35, "FINDINGS", WORDS, colour=VERMILLION, plot=False),
    Role.WATCH: Style(0.25, "FINDINGS", WORDS, DASHED, BLUE, plot=False),
    Role.FINE: Style(0.1, "FINDINGS", WORDS, DOTTED, GREEN, plot=False),
    Role.CUT_OUTLINE: Style(0.18, "CUT_OUTLINE", CUT_THROUGH),
    Role.GUIDE_HOLE: Style(0.18, "GUIDE_HOLES", DRILL),
    Role.WINDOW: Style(0.18, "CUT_WINDOWS", CUT_THROUGH),
    Role.ENGRAVE: Style(0.1, "ENGRAVE", ENGRAVE),
    Role.FENCE: Style(0.18, "FENCE", AID),
    Role.REFERENCE: Style(0.1, "REFERENCE", AID, colour=GREY),
    Role.COMB: Style(0.13, "COMB", SCORE, colour=BLUE),
    Role.SECTION: Style(0.18, "SECTION", AID),
}
"""The look of every role."""
