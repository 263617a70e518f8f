"""The command line called in this process, and builds to call it with."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.command_line.program import main
from geometry.document.build import Build
from geometry.document.codec import write_build

SAMPLES = Path(__file__).parents[3] / "sample_builds"
SOUND = SAMPLES / "three-plus-three.pegwright"
STOPPED = SAMPLES / "fails-thin-wall.pegwright"
SIX = SAMPLES / "six-in-line.pegwright"
UKULELE = SAMPLES / "tenor-ukulele.pegwright"

Printed = pytest.CaptureFixture[str]


def run(*given: str | Path) -> int:
    """The exit code of a command."""
    try:
        return main([str(each) for each in given])
    except SystemExit as left:
        return left.code if isinstance(left.code, int) else -1


def said(capsys: Printed, *given: str | Path, code: int = 0) -> str:
    """What a command prints; it complains of nothing and exits with the code."""
    assert run(*given) == code
    printed = capsys.readouterr()
    assert printed.err == ""
    return printed.out


def refused(capsys: Printed, *given: str | Path) -> str:
    """The one line with which a command is refused; it says nothing else and exits with 2."""
    assert run(*given) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith("pegwright: ")
    assert printed.err.count("\n") == 1
    assert printed.err.endswith("\n")
    return printed.err.removeprefix("pegwright: ").rstrip("\n")


def written(build: Build, folder: Path, name: str = "head") -> Path:
    """A build in a file of the folder."""
    path = folder / f"{name}.pegwright"
    path.write_bytes(write_build(build))
    return path
