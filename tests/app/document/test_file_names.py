"""Names of files, and the question before one is written over."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from app.document.naming import LONGEST, plain_name
from app.document.question import ask_where, with_suffix

HERE = Path("here")


def test_a_suffix_is_added_where_it_is_not_there() -> None:
    assert with_suffix(HERE / "a", ".pdf") == HERE / "a.pdf"
    assert with_suffix(HERE / "a.PDF", ".pdf") == HERE / "a.PDF"
    assert with_suffix(HERE / "no. 7", ".svg") == HERE / "no. 7.svg"
    assert with_suffix(HERE / "old bass v1.2", ".pegwright") == HERE / "old bass v1.2.pegwright"


def test_a_long_name_still_makes_a_file_name() -> None:
    assert len(plain_name("弦" * 200).encode()) + len(" schedule mm.pegwright~") < 255
    assert len(plain_name("n" * 200)) == LONGEST


@pytest.mark.parametrize("suffix", [".pegwright", ".pdf", ".dxf", ".svg", ".csv"])
def test_a_file_that_the_suffix_makes_the_chosen_one_is_asked_about(
    suffix: str, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The system only asked about the name as it was typed."""
    parent = QWidget()
    qtbot.addWidget(parent)
    there = tmp_path / f"foo{suffix}"
    there.write_text("years of work")
    proposed: list[str] = []
    asked: list[str] = []
    answers = iter(["Cancel", "Write over it"])

    def choose(parent: QWidget, title: str, proposal: str, kinds: str) -> tuple[str, str]:
        proposed.append(proposal)
        return str(tmp_path / "foo"), kinds

    def reply(box: QMessageBox) -> int:
        asked.append(box.informativeText())
        words = next(answers)
        next(each for each in box.buttons() if each.text().replace("&", "") == words).click()
        return 0

    monkeypatch.setattr(QFileDialog, "getSaveFileName", choose)
    monkeypatch.setattr(QMessageBox, "exec", reply)
    assert ask_where(parent, "Save", tmp_path / "bar", "Files", suffix) == there
    assert asked == [str(there)] * 2
    assert proposed == [str(tmp_path / "bar"), str(there)]


def test_what_the_system_asked_about_is_not_asked_about_again(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    there = tmp_path / "foo.pdf"
    there.write_text("old")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(there), ""))
    assert ask_where(parent, "Save", there, "Files", ".pdf") == there


def test_a_folder_that_was_typed_is_made_when_wanted(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    there = tmp_path / "new head" / "mine.pegwright"
    proposals: list[str] = []

    def choose(_: QWidget, __: str, proposed: str, ___: str) -> tuple[str, str]:
        proposals.append(proposed)
        return str(there), ""

    answers = ["Cancel", "&Make the folder"]

    def answer(box: QMessageBox) -> int:
        wanted = answers.pop(0)
        next(each for each in box.buttons() if each.text() == wanted).click()
        return 0

    monkeypatch.setattr(QFileDialog, "getSaveFileName", choose)
    monkeypatch.setattr(QMessageBox, "exec", answer)
    assert ask_where(parent, "Save", tmp_path / "head.pegwright", "Files", ".pegwright") == there
    assert proposals == [str(tmp_path / "head.pegwright"), str(there)], "what was typed is not lost"
    assert there.parent.is_dir()
