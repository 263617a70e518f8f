"""Sheets brought onto the shop's paper: how much room there is, and the pages they come to."""

from __future__ import annotations

from collections.abc import Iterable

from app.document.messages import Refusal
from export.drawing import Drawing
from export.page import Page, paginate_each, room
from export.paper import Stamp
from export.sheet import Sheet
from geometry.shape.segment import Bounds


def room_for(stamp: Stamp, cautions: tuple[str, ...] = ()) -> tuple[float, float]:
    """Width and height in mm that the paper of a stamp has for a sheet with these cautions."""
    return room(Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=cautions), stamp)


def stamped_pages(stamped: Iterable[tuple[Sheet, Stamp]]) -> tuple[Page, ...]:
    """The sheets on paper, numbered through; Refusal when the paper is too small for one of them."""
    try:
        return paginate_each(stamped)
    except ValueError as error:
        raise Refusal(str(error)) from None
