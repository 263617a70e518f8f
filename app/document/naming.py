"""What a build is called: by its name, by its file until it has one, by both where they differ."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from geometry.document.build import Build

LONGEST = 200
"""So many bytes of a build's name go into the name of a file; systems take 255 with what comes behind."""


def plain_name(build: str) -> str:
    """The name of a build with nothing in it that some system refuses in the name of a file."""
    short = build.encode(errors="replace")[:LONGEST].decode(errors="ignore")
    plain = "".join(letter if letter.isalnum() or letter in " -_." else "-" for letter in short)
    return plain.strip(" .-") or "head"


def named(build: Build, path: Path | None) -> Build:
    """The build under its own name, else under that of its file; nameless without either."""
    stem = _stem(path)
    return replace(build, name=stem) if stem and not build.name.strip() else build


def full_name(name: str, path: Path | None) -> str:
    """The name, and that of the file behind it where it says something else."""
    stem = _stem(path)
    if not name.strip() or not stem:
        return name.strip() or stem
    same = stem.casefold() in {name.strip().casefold(), plain_name(name).casefold()}
    return name if same else f"{name} ({stem})"


def _stem(path: Path | None) -> str:
    """The name of a file without its ending, as a build can hold it."""
    return "" if path is None else path.stem.encode(errors="replace").decode()[:200]
