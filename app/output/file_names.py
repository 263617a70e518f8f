"""What written files are called."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QCoreApplication

from app.writing.export import Suffix


def suggested(folder: Path, build: str, part: str, suffix: Suffix) -> Path:
    """A file named after the build and the part of it, with nothing in it that some system refuses."""
    plain = "".join(letter if letter.isalnum() or letter in " -_." else "-" for letter in build)
    words = f"{plain.strip(' .-') or 'head'} {part}".strip()
    return folder / f"{words}{suffix}"


def kind(suffix: Suffix) -> str:
    """The kind of file, as a file dialog takes it."""
    kinds: dict[Suffix, str] = {
        ".pdf": QCoreApplication.translate("Output", "PDF (*.pdf)"),
        ".dxf": QCoreApplication.translate("Output", "DXF (*.dxf)"),
        ".svg": QCoreApplication.translate("Output", "SVG (*.svg)"),
        ".csv": QCoreApplication.translate("Output", "Table (*.csv)"),
    }
    return kinds[suffix]


def with_suffix(path: Path, suffix: Suffix) -> Path:
    """The path as it was typed when it has the suffix, else with the suffix behind it."""
    return path if path.suffix.lower() == suffix else path.with_name(f"{path.name}{suffix}")
