"""Several sheets seen as one, for tests that ask what they say together."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from export.drawing import Sheet
from geometry.shape.point import Vector


def on_one(sheets: Sequence[Sheet]) -> Sheet:
    """The first sheet with the marks of the others far to its right; a single one as it is."""
    first, *others = sheets
    for sheet in others:
        drawing = first.drawing + sheet.drawing.moved(
            Vector(first.bounds.right + 100.0 - sheet.bounds.left, 0.0)
        )
        first = msgspec.structs.replace(
            first, drawing=drawing, bounds=first.bounds.joined(drawing.bounds.grown(1.0))
        )
    return first
