"""Questions in a box over the window, and where the maker wants a file."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QFontDatabase, QFontMetrics
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QGridLayout,
    QMessageBox,
    QSizePolicy,
    QSpacerItem,
    QStyle,
    QWidget,
)

from geometry.trade.escapes import on_one_line

_tr = partial(QCoreApplication.translate, "Files")

BESIDE_TITLE = 6
"""What a desktop draws beside a title, in heights of its bar: icon, three buttons, air (common practice, no source)."""

Answer = TypeVar("Answer")

_leaving: set[QDialog] = set()


def answered(dialog: QDialog) -> bool:
    """Show a dialog and wait for it; whether it was accepted. Qt destroys it at the next turn of its events.

    Waiting hands a dialog over to Python, whose garbage collector would destroy it at any moment after: also while Qt
    tells one of its widgets that the focus has gone on to the next dialog, which crashes the program. So it is held
    until Qt is through with it.
    """
    accepted = dialog.exec() == QDialog.DialogCode.Accepted
    _leaving.add(dialog)
    dialog.destroyed.connect(lambda: _leaving.discard(dialog))
    dialog.deleteLater()
    return accepted


def question(
    parent: QWidget | None,
    title: str,
    words: str,
    more: str,
    icon: QMessageBox.Icon = QMessageBox.Icon.Warning,
) -> QMessageBox:
    """A box without buttons yet. Its words may hold names out of a file: they are shown as they are."""
    box = QMessageBox(parent)
    box.setIcon(icon)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(on_one_line(words))
    box.setInformativeText(on_one_line(more))
    _make_room_for_title(box)
    return box


def confirmed(
    parent: QWidget | None,
    title: str,
    words: str,
    more: str,
    yes: str,
    *,
    kind: QMessageBox.ButtonRole = QMessageBox.ButtonRole.DestructiveRole,
    icon: QMessageBox.Icon = QMessageBox.Icon.Warning,
    usual: bool = False,
) -> bool:
    """Ask whether to go on: the button `yes` was pressed, and not Cancel; Enter presses it where it is usual."""
    box = question(parent, title, words, more, icon)
    go_on, cancel = box.addButton(yes, kind), box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(go_on if usual else cancel)
    answered(box)
    return box.clickedButton() is go_on


def picked(box: QMessageBox, answers: Mapping[str, Answer], cancel: str) -> Answer | None:
    """Ask which of two things to do, the usual one first, the one that loses something second; None for neither."""
    role = QMessageBox.ButtonRole
    roles = zip(answers.items(), (role.AcceptRole, role.DestructiveRole), strict=True)
    buttons = [(box.addButton(words, kind), answer) for (words, answer), kind in roles]
    box.addButton(cancel, role.RejectRole)
    box.setDefaultButton(buttons[0][0])
    answered(box)
    return next((answer for button, answer in buttons if box.clickedButton() is button), None)


def _make_room_for_title(box: QMessageBox) -> None:
    """A box is never narrower than its title bar; it takes its size from its layout alone, no least width counts."""
    fonts = QFontMetrics(QFontDatabase.systemFont(QFontDatabase.SystemFont.TitleFont))
    bar = box.style().pixelMetric(QStyle.PixelMetric.PM_TitleBarHeight, None, box)
    width = fonts.horizontalAdvance(box.windowTitle()) + BESIDE_TITLE * bar
    grid, policy = box.layout(), QSizePolicy.Policy
    assert isinstance(grid, QGridLayout), "a message box is laid out in a grid"
    spacer = QSpacerItem(width, 0, policy.Minimum, policy.Minimum)
    grid.addItem(spacer, grid.rowCount(), 0, 1, grid.columnCount())


# Where files go


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
