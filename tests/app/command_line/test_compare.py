"""`pegwright compare`, called as the command line calls it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import NoReturn

import pypdfium2
import pytest

from tests.app.command_line.calls import SAMPLES, SOUND, STOPPED, Printed, refused, run


def test_two_files_are_compared_on_the_terminal(capsys: Printed) -> None:
    assert run("compare", SOUND, STOPPED) == 1
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "A: three-plus-three. It can be drilled: everything clears."
    assert said[1].startswith("B: fails-thin-wall. Do not drill: ")
    assert said[2] == "B has something at stop, A nothing."
    assert any(line.startswith("smallest ring") for line in said)
    assert any(line.startswith("wall") and line.rstrip().endswith("A") for line in said)


def test_files_of_one_name_are_told_by_their_folders(capsys: Printed, tmp_path: Path) -> None:
    other = tmp_path / SOUND.name
    other.write_bytes(SOUND.read_bytes())
    assert run("compare", SOUND, other) == 0
    said = capsys.readouterr().out
    assert said.startswith(f"A: {SOUND}. ")
    assert "checks A is better on 0, B on 0; " in said


def test_the_same_head_with_other_tuners(capsys: Printed) -> None:
    assert run("compare", SOUND, "--hardware", "enclosed-pins", "--json") in (0, 1)
    told = json.loads(capsys.readouterr().out)
    assert "locating pins" in told["B"]["name"]
    assert {hole["apart"] for hole in told["holes"]} == {0.0}
    mass = next(number for number in told["numbers"] if number["name"] == "mass of the tuners")
    assert mass["change"] == pytest.approx(mass["B"] - mass["A"])
    assert all(each["A"] is not None or each["B"] is not None for each in told["checks"])


def test_tuners_that_do_not_take_the_strings_are_refused(capsys: Printed) -> None:
    told = refused(capsys, "compare", SAMPLES / "four-string-bass.pegwright", "--hardware", "friction")
    assert (
        "takes strings of up to 60 N and 1.1 mm (workshop practice, no source); not these: G2, D2, A1, E1."
        in told
    )


def test_a_pdf_holds_both_names_and_opens(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "both.pdf"
    assert run("compare", SOUND, STOPPED, "-o", out, "--date", "2026-01-02") == 1
    assert capsys.readouterr().out.startswith(f"Wrote {out}. B has something at stop")
    with pypdfium2.PdfDocument(out) as document:
        text = document[0].get_textpage().get_text_range()
    assert "A: three-plus-three" in text
    assert "B: fails-thin-wall" in text


def test_a_csv_holds_every_line(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "both.csv"
    assert run("compare", SOUND, STOPPED, "-o", out) == 1
    capsys.readouterr()
    rows = list(csv.DictReader(io.StringIO(out.read_text())))
    assert {row["kind"] for row in rows} == {"head", "hole", "check"}
    wall = next(row for row in rows if row["name"] == "wall")
    assert (wall["level A"], wall["level B"], wall["better"]) == ("fine", "stop", "A")
    for row in rows:
        if row["kind"] == "head" and row["A"] and row["B"]:
            assert float(row["B minus A"]) == pytest.approx(float(row["B"]) - float(row["A"]), abs=2e-3)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ([], "compare: give another build file or --hardware KEY, not both."),
        (
            [STOPPED, "--hardware", "friction"],
            "compare: give another build file or --hardware KEY, not both.",
        ),
        (["--hardware", "nonsense"], 'There is no hardware "nonsense". Classes: '),
        ([STOPPED, "-o", "a.dxf"], "a.dxf: no writer for this suffix; expected one of .pdf, .csv."),
        (["missing.pegwright"], "missing.pegwright: cannot be read: no such file or directory"),
        ([STOPPED, "--paper", "B9"], "--paper: "),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_line(
    capsys: Printed, given: list[str | Path], words: str
) -> None:
    assert refused(capsys, "compare", SOUND, *given).startswith(words)


def test_a_file_that_is_there_is_not_written_over(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "both.pdf"
    out.write_bytes(b"kept")
    assert "is there already" in refused(capsys, "compare", SOUND, STOPPED, "-o", out)
    assert out.read_bytes() == b"kept"


def test_paper_without_room_is_refused(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_small(_: object) -> NoReturn:
        message = "the paper is too small"
        raise ValueError(message)

    monkeypatch.setattr("app.writing.pages.paginate_each", too_small)
    assert refused(capsys, "compare", SOUND, STOPPED, "-o", tmp_path / "both.pdf") == "the paper is too small"
