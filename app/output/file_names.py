"""What written files are called."""

from __future__ import annotations

from pathlib import Path

from app.export_job import Suffix


def suggested(folder: Path, build: str, part: str, suffix: Suffix) -> Path:
    """A file named after the build and the part of it, with nothing in it that some system refuses."""
    plain = "".join(letter if letter.isalnum() or letter in " -_." else "-" for letter in build)
    words = f"{plain.strip(' .-') or 'head'} {part}".strip()
    return folder / f"{words}{suffix}"


def with_suffix(path: Path, suffix: Suffix) -> Path:
    """The path as it was typed when it has the suffix, else with the suffix behind it."""
    return path if path.suffix.lower() == suffix else path.with_name(f"{path.name}{suffix}")
