"""A finished drawing at true size, ready for any writer."""

from __future__ import annotations

import msgspec

from export.drawing import Drawing, Text
from export.text import SMALLEST
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME

TRUE_SIZE = "Scale 1:1"
REDUCED = "Drawing reduced"
NO_SCALE = ""
"""What a title block says of a sheet's drawing; nothing of words, tables and charts."""


class Sheet(msgspec.Struct, frozen=True):
    """Marks in sheet millimetres, true size, y up.

    `name` is short and fit for a file name ("face"), `title` is for people. `bounds` is the region that
    belongs to the sheet; every mark lies inside it. `notes` are sentences printed beside it, `cautions` at
    most three short ones printed where nobody misses them. A seam between two sheets of paper shall not
    cross the circles of `seam_avoid`. `scale` is what the title block says of the drawing's size.
    """

    name: str
    title: str
    bounds: Bounds
    drawing: Drawing
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    seam_avoid: tuple[Circle, ...] = ()
    scale: str = TRUE_SIZE

    def __post_init__(self) -> None:
        assert len(self.cautions) <= 3, "more than three cautions are read by nobody"
        heights = [mark.shape.height for mark in self.drawing.marks if isinstance(mark.shape, Text)]
        assert min(heights, default=SMALLEST) >= SMALLEST - SAME, f"words in {self.name!r} are too small"
        if self.drawing.marks:
            room, marks = self.bounds.grown(SAME), self.drawing.bounds
            assert room.joined(marks) == room, (
                f"marks of {self.name!r} leave the sheet: {marks} in {self.bounds}"
            )


def fitted(
    name: str,
    title: str,
    drawing: Drawing,
    *,
    margin: float = 2.0,
    notes: tuple[str, ...] = (),
    cautions: tuple[str, ...] = (),
    seam_avoid: tuple[Circle, ...] = (),
    scale: str = TRUE_SIZE,
) -> Sheet:
    """The sheet whose bounds stand `margin` mm off the drawing on all sides."""
    return Sheet(name, title, drawing.bounds.grown(margin), drawing, notes, cautions, seam_avoid, scale)
