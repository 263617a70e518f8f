"""The same build, shop and date give the same bytes, whatever the process, and no date is told unasked."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from pathlib import Path

import pdfplumber
import pytest

from app.command_line.program import main
from geometry.document.codec import write_shop
from geometry.trade.shop import default_shop
from tests.agreement.samples import FOLDER

ROOT = FOLDER.parent
FILES = ("all.pdf", "face.dxf", "face.svg", "holes.csv")
SAMPLE = FOLDER / "eight-string-mandolin.pegwright"


def written(folder: Path, *options: str, **environment: str) -> dict[str, bytes]:
    """The files that another process exports."""
    folder.mkdir()
    (folder / "shop.json").write_bytes(write_shop(default_shop()))
    command = [sys.executable, "-m", "app", "export", str(SAMPLE), *(str(folder / name) for name in FILES)]
    subprocess.run(
        [*command, "--shop", str(folder / "shop.json"), *options],
        cwd=ROOT,
        env={**os.environ, **environment},
        check=True,
        capture_output=True,
    )
    return {name: (folder / name).read_bytes() for name in FILES}


def test_two_processes_write_the_same_bytes(tmp_path: Path) -> None:
    one = written(tmp_path / "one", "--date", "2026-03-14", PYTHONHASHSEED="1", TZ="UTC")
    two = written(
        tmp_path / "two",
        "--date",
        "2026-03-14",
        PYTHONHASHSEED="2",
        SOURCE_DATE_EPOCH="86400",
        TZ="Pacific/Auckland",
    )
    assert one == two


@pytest.fixture(scope="module")
def undated(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return written(tmp_path_factory.mktemp("undated") / "out", SOURCE_DATE_EPOCH="1000000000")


def words(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return "\n".join(page.extract_text() for page in document.pages)


DATE = re.compile(rb"\b20\d\d-\d\d-\d\d\b|\b20\d\d(0[1-9]|1[0-2])[0-3]\d\b")


def test_no_date_is_told_unasked(undated: dict[str, bytes]) -> None:
    assert not DATE.search(words(undated["all.pdf"]).encode())
    with pdfplumber.open(io.BytesIO(undated["all.pdf"])) as document:
        assert document.metadata["CreationDate"] == document.metadata["ModDate"] == "D:20000101000000+00'00'"
    for name in ("face.svg", "holes.csv"):
        assert not DATE.search(undated[name])


def test_a_date_that_is_asked_for_is_on_every_page(tmp_path: Path) -> None:
    out = tmp_path / "face.pdf"
    shop = tmp_path / "shop.json"
    shop.write_bytes(write_shop(default_shop()))
    assert main(["export", str(SAMPLE), str(out), "--shop", str(shop), "--date", "2026-03-14"]) == 0
    with pdfplumber.open(out) as document:
        assert all("2026-03-14" in page.extract_text() for page in document.pages)
        assert document.metadata["CreationDate"] == "D:20260314000000+00'00'"
