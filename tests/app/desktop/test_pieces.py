"""What is put into a user's folders, held against the validators of the standards and the programs that use it."""

from __future__ import annotations

import configparser
import os
import struct
import subprocess
import sys
from pathlib import Path

import pytest

from app.command_line.desktop import add, remove
from app.command_line.program import _parser, main
from app.desktop.pieces import ICON_SIZES, NAME, pieces

COMMAND = Path('/opt/a maker\'s $tools/50% "new"/pegwright-window')


@pytest.fixture
def data(tmp_path: Path) -> Path:
    list(add(pieces(COMMAND, _parser()), tmp_path))
    return tmp_path


def tool(*command: str | Path) -> str:
    """What a program prints that `.ci/packages tests` installs."""
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout + done.stderr


def test_the_entry_is_valid_and_starts_what_was_given(data: Path) -> None:
    entry = data / "applications" / f"{NAME}.desktop"
    read = configparser.RawConfigParser()
    read.optionxform = str  # type: ignore[assignment,method-assign]
    read.read(entry)
    # By the specification: quoted, with " $ and the backslash escaped, all backslashes doubled, and % doubled.
    assert (
        read["Desktop Entry"]["Exec"] == '"/opt/a maker\'s \\\\$tools/50%% \\\\"new\\\\"/pegwright-window" %f'
    )
    tool("desktop-file-validate", entry)


def test_the_metadata_is_valid_and_names_the_entry(data: Path) -> None:
    about = data / "metainfo" / f"{NAME}.metainfo.xml"
    assert f"{NAME}.desktop" in about.read_text(encoding="utf-8")
    tool("appstreamcli", "validate", "--no-net", about)


def test_builds_are_known_by_their_suffix(data: Path) -> None:
    tool("update-mime-database", data / "mime")
    globs = (data / "mime" / "globs2").read_text(encoding="utf-8")
    assert "50:application/x-pegwright:*.pegwright" in globs


def test_icons_have_their_sizes(data: Path) -> None:
    for side in ICON_SIZES:
        png = (data / "icons" / "hicolor" / f"{side}x{side}" / "apps" / f"{NAME}.png").read_bytes()
        assert png.startswith(b"\x89PNG\r\n\x1a\n")
        # Width and height follow the name of the first chunk (PNG specification, section 11.2.2).
        assert struct.unpack(">II", png[16:24]) == (side, side)


def test_the_manual_tells_every_command(data: Path) -> None:
    page = (data / "man" / "man1" / "pegwright.1").read_text(encoding="utf-8")
    for command in ("check", "export", "missed", "desktop"):
        assert f"pegwright {command}" in page
    assert "\\-\\-despite\\-stop" in page
    # groff, which man calls, tells on stderr what it does not understand.
    assert tool("groff", "-man", "-Tutf8", "-ww", "-z", data / "man" / "man1" / "pegwright.1") == ""


def test_bash_completes_commands_and_options(data: Path) -> None:
    script = data / "bash-completion" / "completions" / "pegwright"
    said = tool(
        "bash", "-c",
        f'source "{script}"; COMP_WORDS=(pegwright "$1"); COMP_CWORD=1; _shtab_pegwright; echo "${{COMPREPLY[@]}}"',
        "bash", "ex",
    )  # fmt: skip
    assert said.split() == ["export"]


def test_what_was_added_is_taken_away_and_nothing_else(data: Path) -> None:
    other = data / "applications" / "other.desktop"
    other.write_text("[Desktop Entry]\n", encoding="utf-8")
    gone = list(remove(pieces(COMMAND, _parser()), data))
    assert len(gone) == len(list(pieces(COMMAND, _parser())))
    assert other.exists()
    assert not list(data.rglob(f"{NAME}*"))
    assert list(remove(pieces(COMMAND, _parser()), data)) == []


def run(data: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "XDG_DATA_HOME": str(data)}
    return subprocess.run(
        [sys.executable, "-m", "app", "desktop", *arguments],
        capture_output=True,
        text=True,
        check=False,
        env=environment,
        cwd=Path(__file__).parents[3],
    )


def test_the_command(tmp_path: Path) -> None:
    done = run(tmp_path, "--add")
    assert done.returncode == 0, done.stderr
    assert f"written: {tmp_path / 'applications' / NAME}.desktop" in done.stdout
    assert run(tmp_path, "--remove").stdout.count("deleted: ") == done.stdout.count("written: ")
    assert run(tmp_path, "--remove").stdout == "Nothing was there.\n"
    assert run(tmp_path).returncode == 2


def test_taking_away_needs_no_program_to_start(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    monkeypatch.setattr(sys, "argv", ["/nowhere/pegwright"])
    monkeypatch.setenv("XDG_DATA_HOME", str(data))
    assert main(["desktop", "--remove"]) == 0
    assert not list(data.rglob(f"{NAME}*"))
    assert main(["desktop", "--add"]) == 2


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "applications").write_text("", encoding="utf-8")
    done = run(tmp_path, "--add")
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
    assert str(tmp_path / "applications") in done.stderr
