"""The sheet of markers that a head is laid on to be photographed or scanned, and a page that says how."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from export.drawing import QUARTER, Anchor, Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.flow import Block, Heading, Paragraph, flow
from export.style import STYLES
from export.text import SMALLEST
from geometry.intake.marker_cells import marker_cells
from geometry.intake.marker_pair import MarkerPair, Sheets
from geometry.intake.marker_sheet import CELLS, Marker, MarkerSheet
from geometry.shape.contour import Contour, rectangle, through
from geometry.shape.point import Point

_TITLE = "Lay the head on this sheet"
_TICK = 7.0  # mm of the nut line and the centre line at each end
_INSET = STYLES[Role.MARKER].weight / 2

HOW_TO: tuple[Block, ...] = (
    Heading("How to photograph a head"),
    Paragraph(
        "Print the sheet at 100 % on white paper that is not glossy and lay it flat on a table. Measure one of its "
        "rulers with a steel rule and note what you read: you are asked for it when the picture is read."
    ),
    Paragraph(
        "Take strings, tuners and bushings off the head. Lay the head on the sheet with its back flat on the paper and "
        "its face up: the head's side of the nut on the nut line, the middle of the nut on the centre line, the tip to "
        "the top. The neck goes out between the markers at the foot. Cover no other marker."
    ),
    Paragraph(
        "Hold the camera above the middle of the sheet, about half a metre (20 in) up, on larger paper twice the "
        "height of the sheet. Tilt it by about ten degrees: how high a camera was cannot be told when it was held dead "
        "level, and has to be measured then. Do not zoom. The whole frame of markers should be in the picture and fill "
        "most of it."
    ),
    Paragraph(
        "Even light: by a window without sun, or under a lamp on either side. No flash, no hard shadow beside the "
        "head, no shine on its face. Keep the picture as the camera made it: neither cut nor straightened."
    ),
    Paragraph("Measure the thickness of the head with calipers: you are asked for that too."),
    Heading("How to scan a head"),
    Paragraph(
        "Cut the field out along the inner edge of the markers and lay the frame that is left on the glass, print "
        "down. Lay the head in the field, face down, the head's side of the nut on the nut line. Lay a white cloth "
        "over both: a dark head shows best against white. Scan at 200 to 300 dpi."
    ),
)
"""What the second page says."""


HOW_TO_TAPE: tuple[Block, ...] = (
    Heading("How to tape the two sheets"),
    Paragraph(
        "Cut the upper sheet off straight, from one mark to the other below its markers. Lay its cut edge on the two "
        "marks above the markers of the lower sheet, so that the centre lines go on, and tape both flat to the table "
        "and to each other at the sides. It need not be exact: how they lie to each other is found out from the "
        "picture. Both come from one printer, one after the other. A pair is for photos; a scan takes one sheet."
    ),
    *HOW_TO[:6],
)
"""What the last page of a pair says."""


def marker_sheets(sheet: Sheets, room: Room) -> tuple[Sheet, ...]:
    """The sheets of markers and the page of how to use them, for pages that leave `room` (width, height) in mm."""
    parts = [(sheet, _TITLE)] if isinstance(sheet, MarkerSheet) else []
    if isinstance(sheet, MarkerPair):
        parts = [(sheet.lower, f"{_TITLE}: lower of two"), (sheet.upper, f"{_TITLE}: upper of two")]
    drawn = [
        fitted(f"markers-{part.part}", title, markers_drawing(part), margin=0.0) for part, title in parts
    ]
    blocks = HOW_TO_TAPE if isinstance(sheet, MarkerPair) else HOW_TO
    return (*drawn, *flow(blocks, "how-to", "How to take the picture", *room))


def markers_drawing(sheet: MarkerSheet) -> Drawing:
    """Markers, nut line and centre line in the frame of the sheet, and for one of a pair where the other one joins."""
    marks = [mark for marker in sheet.markers for mark in _marker(marker)]
    return Drawing((*marks, *_lines(sheet), *_words(sheet), *_joins(sheet)))


def _marker(marker: Marker) -> Iterator[Mark]:
    """A black square, its white cells on it, and what is black within those."""
    label = f"marker {marker.number}"
    yield Mark(Role.MARKER, rectangle(marker.bounds.grown(-_INSET)), label)
    white = _white_cells(marker)
    for area in shapely.get_parts(white):
        yield Mark(Role.MARKER_LIGHT, _ring(area.exterior), label)
        yield from (Mark(Role.MARKER, _ring(hole), label) for hole in area.interiors)


def _white_cells(marker: Marker) -> shapely.Geometry:
    """The white cells as areas, smaller by half the weight of the line that is drawn round them."""
    cell, box = marker.side / CELLS, marker.bounds
    squares = [
        shapely.box(
            box.left + column * cell,
            box.top - (row + 1) * cell,
            box.left + (column + 1) * cell,
            box.top - row * cell,
        )
        for row, line in enumerate(marker_cells(marker.number))
        for column, white in enumerate(line)
        if white
    ]
    return shapely.union_all(squares, grid_size=1e-6).buffer(-_INSET, join_style="mitre")


def _ring(ring: shapely.LinearRing) -> Contour:
    return through([Point(x, y) for x, y in ring.coords[:-1]], closed=True)


def _lines(sheet: MarkerSheet) -> Iterator[Mark]:
    """Nut line and centre line, strong at their ends, pale between them so that they hide no edge of a head."""
    field = sheet.field
    foot, top = Point(0.0, field.bottom), Point(0.0, field.top)
    left, right = Point(field.left, 0.0), Point(field.right, 0.0)
    whole = [(foot, top)] if sheet.part == "upper" else [(left, right), (foot, top)]
    for one, other in whole:
        yield Mark(Role.REFERENCE, through((one, other)), "line to lay the head on")
    if sheet.part != "upper":
        for end, into in ((left, _TICK), (right, -_TICK)):
            yield Mark(Role.NUT_LINE, through((end, Point(end.x + into, 0.0))), "nut line")
    for end, into in ((foot, _TICK), (top, -_TICK)):
        yield Mark(Role.CENTRE_LINE, through((end, Point(0.0, end.y + into))), "centre line")


def _words(sheet: MarkerSheet) -> Iterator[Mark]:
    field = sheet.field
    if sheet.part != "upper":
        yield Mark(Role.LABEL, Text(Point(field.left + 0.5, 1.0), _SIZE, "nut line"))
        yield Mark(Role.LABEL, Text(Point(field.right - 0.5, 1.0), _SIZE, "nut line", 0.0, "end"))
    yield Mark(Role.LABEL, Text(Point(-1.0, field.top - 0.5), _SIZE, "centre line", QUARTER, "end"))


def _joins(sheet: MarkerSheet) -> Iterator[Mark]:
    """Marks at both sides where the sheets of a pair meet; between them lies the head, so nothing is printed there."""
    if sheet.part == "whole":
        return
    frame, field, lower = sheet.frame, sheet.field, sheet.part == "lower"
    at = field.top if lower else field.bottom
    words = "the upper sheet lies to here" if lower else "cut off here"
    # Of the upper sheet what lies below the marks is cut off.
    baseline = at - _SIZE - 0.7 if lower else at + 0.7
    ends: tuple[tuple[float, float, Anchor], ...] = (
        (frame.left, field.left, "start"),
        (frame.right, field.right, "end"),
    )
    for end, into, anchor in ends:
        yield Mark(Role.NUT_LINE, through((Point(end, at), Point(into, at))), words)
        yield Mark(Role.LABEL, Text(Point(into, baseline), _SIZE, words, 0.0, anchor))


_SIZE = SMALLEST + 0.03  # mm of the words
