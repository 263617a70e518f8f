"""What files are called, and where the maker wants them."""

from __future__ import annotations

import os
from contextlib import suppress
from functools import partial
from pathlib import Path

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.document.question import confirmed

_tr = partial(QCoreApplication.translate, "Files")


def with_suffix(path: Path, suffix: str) -> Path:
    """The path as it was typed when it has the suffix, else with the suffix behind it."""
    return path if path.suffix.lower() == suffix else path.with_name(f"{path.name}{suffix}")


def ask_where(parent: QWidget, title: str, proposed: Path, kinds: str, suffix: str) -> Path | None:
    """Where to write a file with this suffix; None when the maker thinks better of it.

    The system asks before a file is written over that was chosen as it is called. Where the suffix was left out, that
    question is asked here, for the system knew nothing of it. So is whether a folder that was typed shall be made.
    """
    while True:
        chosen, _ = QFileDialog.getSaveFileName(parent, title, str(proposed), kinds)
        if not chosen:
            return None
        path = with_suffix(Path(chosen), suffix)
        if not _has_folder(path) and not ask_make_folder(parent, path.parent):
            proposed = path
            continue
        # Unlike Path.exists this says no where the folder cannot be read.
        if path == Path(chosen) or not os.path.exists(path) or ask_write_over(parent, path):  # noqa: PTH110
            return path
        proposed = path


def _has_folder(path: Path) -> bool:
    """Whether the folder of a file is there; one that cannot be read says so when the file is written."""
    try:
        return path.parent.exists()
    except OSError:
        return True


def ask_make_folder(parent: QWidget, folder: Path) -> bool:
    """Make a folder that is not there, if that is wanted; why it cannot be made is said when the file is written."""
    words = _tr('The folder "{name}" is not there. Make it?').format(name=folder.name)
    kind, icon = QMessageBox.ButtonRole.AcceptRole, QMessageBox.Icon.Question
    title, make = _tr("A new folder"), _tr("&Make the folder")
    if not confirmed(parent, title, words, str(folder), make, kind=kind, icon=icon, usual=True):
        return False
    with suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
    return True


def ask_write_over(parent: QWidget, path: Path) -> bool:
    """Whether a file that is there shall be written over."""
    words = _tr("A file of this name is there already. Write over it?")
    return confirmed(parent, _tr("The file is there already"), words, str(path), _tr("&Write over it"))
