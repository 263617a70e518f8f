"""What a machine gets of a sheet: what it is to make, and aids and words only where they are wanted."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Literal, assert_never

import msgspec

from export.drawing import Drawing, Mark, Role, Sheet, Text
from export.sheet_kind import refuse_sheet
from export.style import STYLES, WORDS, Operation
from export.text import LEADING, SMALLEST
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds

Edge = Literal["neck", "plate"]
"""How the outline of a head ends at the nut line: open, for a head on its neck, or closed, for a plate by itself."""

_REFERENCE = 100.0  # side in mm of the square that shows the scale of a file
_LONGEST = 100  # letters of a line of words, so that none reaches far beside the drawing

_OFF, _MARGIN = 10.0, 2.0
_SIZE = 1.5 * SMALLEST
_SQUARE = "The square measures 100 mm by 100 mm. Unit: millimetre."
_ENDS: dict[Edge, str] = {
    "neck": "Head outline OPEN at the nut line: for a head on its neck.",
    "plate": "Head outline CLOSED along the nut line: for a plate; it cuts a head off its neck.",
}


def operation_of(mark: Mark) -> Operation:
    """What is done with a mark; words are read, whatever they stand for."""
    return WORDS if isinstance(mark.shape, Text) else STYLES[mark.role].operation


def for_machine(
    sheet: Sheet, *, edge: Edge, aids: bool, banner: str | None = None, told: tuple[str, ...] = ()
) -> Sheet:
    """The sheet as a machine gets it: what is cut, pocketed, drilled, engraved and scored.

    With `aids` come the other lines, words, notes and a square of 100 mm under the drawing, for R12 has no place for
    the unit. The notes of the sheet that is returned are for readers who do not look at the drawing: how its outline
    ends, what is `told`, the notes that it had, and first of all the `banner` of a head that fails, which stands in the
    drawing and in the title as well. Raises SheetError where nothing is left to make.
    """
    made = [_ended(mark, edge) for mark in sheet.drawing.marks if aids or operation_of(mark).made]
    if not made:
        refuse_sheet("it holds nothing that a machine makes; write it with its aids, or as a PDF.")
    failing = () if banner is None else (banner,)
    has_edge = any(mark.role is Role.OUTLINE for mark in made)
    notes = (*failing, f"{sheet.title}.", *([_ENDS[edge]] if has_edge else ()), *told, *sheet.notes)
    words = failing
    drawing = Drawing(tuple(made))
    if aids:
        drawing += _reference(drawing.bounds)
        words = (_SQUARE, *sheet.cautions, *notes)
    drawing += Drawing(tuple(_written(words, drawing.bounds)))
    title = sheet.title if banner is None else f"FAILS: {sheet.title}"
    return msgspec.structs.replace(
        sheet, title=title, bounds=drawing.bounds.grown(_MARGIN), drawing=drawing, notes=notes, cautions=()
    )


def lines_of(sentence: str) -> list[str]:
    """A sentence as lines that are short enough; one that is short stays as it is, spaces and all."""
    return wrap(sentence, _LONGEST) if len(sentence) > _LONGEST else [sentence]


def _ended(mark: Mark, edge: Edge) -> Mark:
    """The mark, an outline as the nut line is to end it."""
    if mark.role is not Role.OUTLINE or not isinstance(mark.shape, Contour) or mark.shape.closed:
        return mark
    match edge:
        case "neck":
            return mark
        case "plate":
            return msgspec.structs.replace(mark, shape=mark.shape.closed_by_line())
        case _:
            assert_never(edge)


def _reference(bounds: Bounds) -> Drawing:
    """The square that shows the scale, under the drawing."""
    left, top = bounds.left, bounds.bottom - _OFF
    right, bottom = left + _REFERENCE, top - _REFERENCE
    corners = (Point(left, bottom), Point(right, bottom), Point(right, top), Point(left, top))
    return Drawing((Mark(Role.REFERENCE, through(corners, closed=True), "100 mm"),))


def _written(sentences: tuple[str, ...], bounds: Bounds) -> Iterator[Mark]:
    """Words under the drawing."""
    lines = [line for sentence in sentences for line in lines_of(sentence)]
    for number, line in enumerate(lines, 1):
        at = Point(bounds.left, bounds.bottom - _OFF - LEADING * _SIZE * number)
        yield Mark(Role.NOTES, Text(at, _SIZE, line))
