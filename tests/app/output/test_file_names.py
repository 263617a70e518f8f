"""Names of written files."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.output.questions import kind_of, suggested
from app.writing.export import SUFFIXES, Suffix

HERE = Path("here")


@pytest.mark.parametrize(
    ("build", "part", "name"),
    [
        ("Tideline twelve", "", "Tideline twelve.dxf"),
        ("Tideline twelve", "face mm", "Tideline twelve face mm.dxf"),
        ("no. 7: left/right", "", "no. 7- left-right.dxf"),
        ("..", "", "head.dxf"),
        ("", "guide mm", "head guide mm.dxf"),
        ("Ørsted ß", "", "Ørsted ß.dxf"),
    ],
)
def test_a_build_names_its_files(build: str, part: str, name: str) -> None:
    assert suggested(HERE, build, part, ".dxf") == HERE / name


def test_a_file_dialog_shows_the_kind() -> None:
    assert [kind_of(suffix)[-6:] for suffix in (".pdf", ".dxf", ".svg", ".csv")] == [
        "*.pdf)",
        "*.dxf)",
        "*.svg)",
        "*.csv)",
    ]


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_every_file_that_can_be_written_has_its_kind(suffix: Suffix) -> None:
    assert f"(*{suffix})" in kind_of(suffix)
