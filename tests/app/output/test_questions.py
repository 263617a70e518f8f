"""The dialogs of the system, answered without being seen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QApplication, QFileDialog, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from app.output.questions import Questions

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture
def questions(qtbot: QtBot) -> Questions:
    parent = QWidget()
    qtbot.addWidget(parent)
    parent.show()
    return Questions(parent)


def soon(answer: Callable[[QWidget], None]) -> None:
    """Answer the dialog that opens next."""

    def try_it() -> None:
        dialog = QApplication.activeModalWidget()
        assert dialog is not None
        answer(dialog)

    QTimer.singleShot(50, try_it)


def press(words: str) -> Callable[[QWidget], None]:
    def answer(dialog: QWidget) -> None:
        assert isinstance(dialog, QMessageBox)
        next(button for button in dialog.buttons() if button.text().replace("&", "") == words).click()

    return answer


def test_a_stop_is_written_only_when_told(questions: Questions) -> None:
    soon(press("Write it"))
    assert questions.despite_stop("Do not drill.")
    soon(press("Cancel"))
    assert not questions.despite_stop("Do not drill.")


def test_a_path_or_none(questions: Questions, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for chosen, wanted in ((str(tmp_path / "a.pdf"), tmp_path / "a.pdf"), ("", None)):
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, given=chosen: (given, ""))
        assert questions.path("Save", Path("a.pdf"), ".pdf") == wanted


def test_the_printers_dialog_knows_the_pages(questions: Questions, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[tuple[int, int]] = []

    def accepted(dialog: QPrintDialog) -> int:
        seen.append((dialog.minPage(), dialog.maxPage()))
        return 1

    monkeypatch.setattr(QPrintDialog, "exec", accepted)
    printer = QPrinter()
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    assert questions.printer(printer, 5)
    assert seen == [(1, 5)]


def test_printers_have_names(questions: Questions) -> None:
    assert all(questions.installed_printers())
