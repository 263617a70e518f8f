"""The command as a process: what is imported, and outputs that are odd, closed, full or broken."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from argparse import ArgumentParser
from pathlib import Path

import pytest

from app.command_line.program import COMMANDS, _parser
from tests.amount import in_turns

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "sample_builds").glob("*.pegwright"))
SOUND = ROOT / "sample_builds" / "three-plus-three.pegwright"
STOPPED = ROOT / "sample_builds" / "fails-thin-wall.pegwright"
HEAVY = ("PySide6", "reportlab", "ezdxf", "scipy")

Done = subprocess.CompletedProcess[bytes]


def pegwright(*given: str | bytes | Path, shell: str = "", **environment: str) -> Done:
    """The command run in a process; `shell` is how a shell redirects it."""
    command: list[str | bytes | Path] = [sys.executable, "-m", "app", *given]
    if shell:
        command = ["bash", "-c", f'exec "$@" {shell}', "bash", *command]
    done = subprocess.run(
        command, cwd=ROOT, env={**os.environ, **environment}, capture_output=True, check=False, timeout=60
    )
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr
    return done


def test_check_brings_in_no_heavy_library() -> None:
    program = (
        "import sys; from app.command_line.program import main; code = main(sys.argv[1:]); "
        f"print(code, sorted(set(sys.modules) & set({HEAVY!r})), file=sys.stderr)"
    )
    command = [sys.executable, "-c", program, "check", *map(str, SAMPLES)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True, timeout=60)
    assert done.stderr == "1 []\n"


def test_a_command_that_is_understood_alone_is_the_same_among_all() -> None:
    among_all = _commands("")
    assert list(among_all) == [*(name for _, names in COMMANDS for name in names), "desktop"]
    for name, parser in among_all.items():
        assert _commands(name)[name].format_help() == parser.format_help()
        assert len(_commands(name)) < len(among_all) or name == "desktop"


def _commands(given: str) -> dict[str, ArgumentParser]:
    parser = _parser(given)
    (commands,) = (each.choices for each in parser._actions if isinstance(each.choices, dict))
    return commands


def test_the_exit_code_of_the_process(tmp_path: Path) -> None:
    assert pegwright("check", SOUND).returncode == 0
    assert pegwright("check", STOPPED).returncode == 1
    refused = pegwright("check", tmp_path)
    assert refused.returncode == 2
    assert refused.stderr.decode() == f"pegwright: {tmp_path}: cannot be read: is a directory\n"
    usage = pegwright("drill")
    assert (usage.returncode, usage.stdout, usage.stderr.count(b"\n")) == (2, b"", 1)


def test_a_reader_that_goes_away_is_no_fault() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    command = [sys.executable, "-m", "app", "schema"]
    with os.fdopen(writer, "wb") as output:
        done = subprocess.run(
            command, cwd=ROOT, stdout=output, stderr=subprocess.PIPE, check=False, timeout=60
        )
    assert (done.returncode, done.stderr) == (2, b"")


def test_the_first_line_is_enough_for_head() -> None:
    done = pegwright("schema", shell="| head -1")
    assert done.stdout == b"{\n"
    assert done.stderr == b""


@pytest.mark.parametrize("command", ["check", "schema"])
def test_a_full_disk_is_said_in_one_line(command: str) -> None:
    files = [STOPPED] if command == "check" else []
    done = pegwright(command, *files, shell="> /dev/full")
    assert done.returncode == 2
    assert done.stderr == b"pegwright: the output cannot be written: no space left on device\n"


@pytest.mark.parametrize(
    ("shell", "outcome"),
    in_turns([">&-", "2>&-", "<&-", "<&- >&- 2>&-"], [(SOUND, 0), (STOPPED, 1), (ROOT, 2)]),
)
def test_closed_streams_change_no_exit_code(shell: str, outcome: tuple[Path, int]) -> None:
    path, code = outcome
    done = pegwright("check", path, shell=shell)
    assert done.returncode == code
    # Of what cannot be read nothing is said where a build is told of.
    assert code < 2 or done.stdout == b""


def test_names_that_are_not_utf_8(tmp_path: Path) -> None:
    folder = os.fsencode(tmp_path)
    build, pdf = folder + b"/K\xf6nig.pegwright", folder + b"/\xff\xfe.pdf"
    assert pegwright("new", "narrow", "-o", build).returncode == 0
    checked = pegwright("check", build)
    assert checked.returncode == 0
    assert checked.stdout.startswith(folder + b"/K\\udcf6nig.pegwright: It can be drilled")
    assert list(json.loads(pegwright("check", "--json", build).stdout)) == [os.fsdecode(build)]
    assert pegwright("export", build, pdf, XDG_CONFIG_HOME=str(tmp_path)).returncode == 0
    assert os.path.getsize(pdf) > 0  # noqa: PTH202 - bytes are no Path
    missing = pegwright("check", folder + b"/\xff")
    assert (missing.returncode, missing.stderr.count(b"\n")) == (2, 1)


def test_a_terminal_without_our_letters(tmp_path: Path) -> None:
    path = tmp_path / "größe.pegwright"
    assert pegwright("new", "narrow", "-o", path).returncode == 0
    done = pegwright("check", "--all", path, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert b"gr\\xf6\\xdfe.pegwright" in done.stdout


def test_a_build_can_come_through_a_pipe() -> None:
    done = pegwright("check", "/dev/stdin", shell=f"< {SOUND}")
    assert done.stdout.startswith(b"/dev/stdin: It can be drilled: everything clears.\n  All tuner measures ")
