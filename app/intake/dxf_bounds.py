"""Bounds of a DXF file, looked at before its blocks are taken apart: size, entities, blocks within blocks."""

from __future__ import annotations

from typing import Any

from geometry.intake.drawn import DrawingError
from geometry.trade.escapes import quoted

LARGEST_DXF = 20_000_000
"""Bytes."""

MOST_ENTITIES = 50_000
"""Entities once all blocks are taken apart."""

DEEPEST = 50
"""Blocks within blocks."""


def refuse_size(data: bytes) -> None:
    """A DrawingError for a file that is too large or no DXF by its first bytes."""
    if len(data) > LARGEST_DXF:
        message = f"The DXF is larger than {LARGEST_DXF // 1_000_000} MB; expected the drawing of one head."
        raise DrawingError(message)
    if data.startswith(b"AutoCAD Binary DXF"):
        message = "The DXF is a binary one; save it as a plain (ASCII) DXF."
        raise DrawingError(message)
    if data[:2] == b"AC" and data[2:6].isdigit():
        message = "This is a DWG; save it as a DXF."
        raise DrawingError(message)
    if b"SECTION" not in data[:100_000]:
        message = "The file is no DXF: it has no sections."
        raise DrawingError(message)


def refuse_blocks(document: Any) -> None:
    """A DrawingError for blocks that hold themselves, or that would become far too many entities."""
    if _Counts(document).of_layout(document.modelspace()) > MOST_ENTITIES:
        message = "The DXF holds, blocks taken apart, far more than the drawing of one head."
        raise DrawingError(message)


class _Counts:
    """How many entities layouts hold, blocks taken apart."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._known: dict[str, int] = {}
        self._open: list[str] = []

    def of_layout(self, layout: Any) -> int:
        """The entities of a layout, an insert counted as all that it puts there."""
        return sum(self._of(entity) for entity in layout)

    def _of(self, entity: Any) -> int:
        if entity.dxftype() != "INSERT":
            return 1
        copies = max(1, entity.dxf.get("row_count", 1)) * max(1, entity.dxf.get("column_count", 1))
        return 1 + int(copies) * self._of_block(str(entity.dxf.get("name", "")).lower())

    def _of_block(self, name: str) -> int:
        if name in self._open or len(self._open) > DEEPEST:
            message = f"The DXF has a block that holds itself: {quoted(name[:40])}."
            raise DrawingError(message)
        if name not in self._known:
            block = self._document.blocks.get(name)
            self._open.append(name)
            self._known[name] = 1 + (self.of_layout(block) if block is not None else 0)
            self._open.pop()
        return self._known[name]
