"""What written files are called."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QCoreApplication

from app.document.naming import plain_name
from app.writing.export import Suffix


def suggested(folder: Path, build: str, part: str, suffix: Suffix) -> Path:
    """A file named after the build and the part of it, with nothing in it that some system refuses."""
    return folder / f"{f'{plain_name(build)} {part}'.strip()}{suffix}"


def kind(suffix: Suffix) -> str:
    """The kind of file, as a file dialog takes it."""
    kinds: dict[Suffix, str] = {
        ".pdf": QCoreApplication.translate("Output", "PDF (*.pdf)"),
        ".dxf": QCoreApplication.translate("Output", "DXF (*.dxf)"),
        ".svg": QCoreApplication.translate("Output", "SVG (*.svg)"),
        ".csv": QCoreApplication.translate("Output", "Table (*.csv)"),
        ".3mf": QCoreApplication.translate("Output", "3MF (*.3mf)"),
        ".stl": QCoreApplication.translate("Output", "STL (*.stl)"),
    }
    return kinds[suffix]
