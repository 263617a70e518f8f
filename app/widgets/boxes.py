"""Columns and rows that are filled at once, so that what stands in them reads in its order."""

from __future__ import annotations

from typing import TypeAlias, TypeVar

from PySide6.QtWidgets import QBoxLayout, QLayout, QWidget

Box = TypeVar("Box", bound=QBoxLayout)
Part: TypeAlias = QWidget | QLayout | tuple[QWidget | QLayout, int] | int | None
"""A part as it is, or with its share of the room; so many pixels of air; None takes all room that is left."""


def filled(
    box: Box, *parts: Part, margins: tuple[int, int, int, int] | None = None, spacing: int | None = None
) -> Box:
    """The column or row with these parts in it; `margins` and `spacing` in pixels, those of the style without."""
    if margins is not None:
        box.setContentsMargins(*margins)
    if spacing is not None:
        box.setSpacing(spacing)
    for part in parts:
        match part:
            case None:
                box.addStretch(1)
            case int():
                box.addSpacing(part)
            case (inner, share):
                _add(box, inner, share)
            case _:
                _add(box, part, 0)
    return box


def _add(box: QBoxLayout, part: QWidget | QLayout, share: int) -> None:
    if isinstance(part, QWidget):
        box.addWidget(part, share)
    else:
        box.addLayout(part, share)
