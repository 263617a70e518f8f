"""How each role looks on paper, and what a machine does with it."""

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


class Operation(msgspec.Struct, frozen=True):
    """A thing that is done with a mark of a machine file: a layer of a DXF, a group of an SVG.

    `aci` is its colour number in a DXF, `colour` the same in an SVG, no two alike: jobs are sorted by them. What
    is not `shown` is switched off in a DXF, and no machine does anything with what is not `made`.
    """

    name: str
    aci: int
    colour: Colour
    shown: bool = True
    made: bool = True


# The first seven colours of a DXF, as every program shows them.
CUT_THROUGH = Operation("CUT_THROUGH", 1, (255, 0, 0))
POCKET = Operation("POCKET", 2, (255, 255, 0))
ENGRAVE = Operation("ENGRAVE", 3, (0, 255, 0))
AID = Operation("AIDS", 4, (0, 255, 255), made=False)
DRILL = Operation("DRILL", 5, (0, 0, 255))
SCORE = Operation("SCORE", 6, (255, 0, 255))
WORDS = Operation("WORDS", 7, BLACK, shown=False, made=False)


class Style(msgspec.Struct, frozen=True):
    """The look of one role.

    `weight` of the line in mm (0.1 or more: a thinner one vanishes on paper), `dash` in mm drawn and mm
    left out in turn (empty: solid), `fill` paints the inside too. `operation` is what a machine does with the mark.
    """

    weight: float
    operation: Operation = WORDS
    dash: tuple[float, ...] = SOLID
    colour: Colour = BLACK
    fill: bool = False


def _paper(
    weight: float, colour: Colour = BLACK, dash: tuple[float, ...] = SOLID, *, fill: bool = False
) -> Style:
    return Style(weight, WORDS, dash, colour, fill)


_NOTES = Style(0.1, WORDS)
_DIMENSION = Style(0.1, WORDS, colour=DARK)

STYLES: dict[Role, Style] = {
    Role.OUTLINE: Style(0.18, CUT_THROUGH),
    Role.CENTRE_LINE: Style(0.13, AID, CHAIN),
    Role.NUT_LINE: Style(0.18, AID),
    Role.NUT_SLOT: Style(0.13, SCORE),
    Role.NUT: Style(0.13, AID, colour=DARK),
    Role.BLANK: Style(0.13, AID, PHANTOM, GREY),
    Role.BINDING: Style(0.1, AID, colour=GREY),
    Role.BACK_FLAT: Style(0.13, AID, DASHED, GREY),
    Role.KEEP_CLEAR: Style(0.18, AID, SHORT, VERMILLION),
    Role.OLD_HOLE: Style(0.13, AID, DASHED, GREY),
    Role.BORE: Style(0.18, DRILL),
    Role.COUNTERBORE: Style(0.13, POCKET, DASHED),
    Role.CROSSHAIR: Style(0.1, AID),
    Role.CENTRE_DOT: Style(0.1, AID, fill=True),
    Role.SCREW: Style(0.13, DRILL),
    Role.PIN: Style(0.13, DRILL),
    Role.WASHER: Style(0.1, AID, colour=GREY),
    Role.BODY: Style(0.13, AID, colour=GREY),
    Role.PLATE: Style(0.13, AID, colour=GREY),
    Role.SHAFT: Style(0.1, AID, colour=PALE),
    Role.BUTTON: Style(0.1, AID, colour=PALE),
    Role.POST: Style(0.1, AID, colour=DARK),
    Role.STRING_PATH: Style(0.13, AID, colour=BLUE),
    Role.RETAINER: Style(0.13, AID, colour=GREEN),
    Role.CUT_LINE: Style(0.18, CUT_THROUGH),
    Role.FOLD_LINE: Style(0.13, SCORE, CHAIN),
    Role.MARGIN_RING: Style(0.13, AID, DOTTED, BLUE),
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
    Role.STOP: Style(0.35, WORDS, colour=VERMILLION),
    Role.WATCH: Style(0.25, WORDS, DASHED, BLUE),
    Role.FINE: Style(0.1, WORDS, DOTTED, GREEN),
    Role.CUT_OUTLINE: Style(0.18, CUT_THROUGH),
    Role.GUIDE_HOLE: Style(0.18, DRILL),
    Role.WINDOW: Style(0.18, CUT_THROUGH),
    Role.ENGRAVE: Style(0.1, ENGRAVE),
    Role.FENCE: Style(0.18, AID),
    Role.REFERENCE: Style(0.1, AID, colour=GREY),
    Role.COMB: Style(0.13, SCORE, colour=BLUE),
    Role.SECTION: Style(0.18, AID),
}
"""The look of every role."""
