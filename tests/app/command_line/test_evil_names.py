"""Names from files and of files do nothing in a terminal, and forge no line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.amount import THOROUGH
from tests.app.command_line.calls import SIX, Printed, run
from tests.evil_names import EVIL, named
from tests.geometry.trade.test_escapes import steers

COMMANDS = (
    ("check", "FILE"),
    ("check", "--all", "--rings", "FILE"),
    ("check", "--json", "FILE"),
    ("compare", "FILE", "OTHER"),
    ("compare", "--json", "FILE", "OTHER"),
    ("nut", "FILE"),
    ("strength", "FILE"),
    ("balance", "FILE"),
    ("balance", "--json", "FILE"),
    ("fits", "FILE"),
    ("bore", "FILE"),
    (
        "missed",
        "--help",
    ),
    ("check", "NOT THERE"),
    ("export", "FILE", "PDF"),
)
TURNS = 3


def evil_file(folder: Path, name: str) -> Path:
    """A file of this name as far as file names go, in which everything bears it."""
    path = folder / f"{name.replace('/', '-')}.pegwright"
    path.write_text(json.dumps(named(json.loads(SIX.read_bytes()), name)), encoding="utf-8")
    return path


@pytest.mark.parametrize("name", EVIL.values(), ids=EVIL)
def test_what_is_printed_steers_no_terminal(name: str, tmp_path: Path, capsys: Printed) -> None:
    file = evil_file(tmp_path, name)
    places = {
        "FILE": file,
        "OTHER": SIX,
        "PDF": file.with_suffix(".pdf"),
        "NOT THERE": tmp_path / f"{name[:9]}x",
    }
    # Each command meets names of each kind in turn; `test_escapes.py` holds every name against every escape.
    turn = list(EVIL.values()).index(name)
    for command in COMMANDS if THOROUGH else COMMANDS[turn % TURNS :: TURNS]:
        code = run(*(str(places.get(word, word)) for word in command))
        assert code in (0, 1, 2), command
        printed = capsys.readouterr()
        for line in (printed.out + printed.err).split("\n"):
            assert not steers(line), command
        if "--json" in command:
            assert isinstance(json.loads(printed.out), dict)


def test_a_name_forges_no_line(tmp_path: Path, capsys: Printed) -> None:
    assert run("check", evil_file(tmp_path, EVIL["line of its own"])) == 0
    assert capsys.readouterr().out.count("\n") == 3


def test_json_tells_the_name_as_it_is(tmp_path: Path, capsys: Printed) -> None:
    file = evil_file(tmp_path, EVIL["C1 escape"])
    assert run("check", "--json", file) == 0
    assert list(json.loads(capsys.readouterr().out)) == [str(file)]
