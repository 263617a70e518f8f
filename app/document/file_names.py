"""What files are called, and where the maker wants them."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.document.question import question


def with_suffix(path: Path, suffix: str) -> Path:
    """The path as it was typed when it has the suffix, else with the suffix behind it."""
    return path if path.suffix.lower() == suffix else path.with_name(f"{path.name}{suffix}")


def ask_where(parent: QWidget, title: str, proposed: Path, kinds: str, suffix: str) -> Path | None:
    """Where to write a file with this suffix; None when the maker thinks better of it.

    The system asks before a file is written over that was chosen as it is called. Where the suffix was left out, that
    question is asked here, for the system knew nothing of it.
    """
    while True:
        chosen, _ = QFileDialog.getSaveFileName(parent, title, str(proposed), kinds)
        if not chosen:
            return None
        path = with_suffix(Path(chosen), suffix)
        # Unlike Path.exists this says no where the folder cannot be read.
        if path == Path(chosen) or not os.path.exists(path) or ask_write_over(parent, path):  # noqa: PTH110
            return path
        proposed = path


def ask_write_over(parent: QWidget, path: Path) -> bool:
    """Whether a file that is there shall be written over."""
    words = _tr("A file of this name is there already. Write over it?")
    box = question(parent, _tr("The file is there already"), words, str(path))
    over = box.addButton(_tr("&Write over it"), QMessageBox.ButtonRole.DestructiveRole)
    box.setDefaultButton(box.addButton(QMessageBox.StandardButton.Cancel))
    box.exec()
    return box.clickedButton() is over


def _tr(words: str) -> str:
    return QCoreApplication.translate("Files", words)
