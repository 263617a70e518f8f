"""Opening, saving and not losing the build: the file side of the window, with every question in one method."""

from __future__ import annotations

import shutil
from contextlib import suppress
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox, QPushButton, QWidget

from app.document.files import SUFFIX, load_build
from app.document.messages import Refusal
from app.document.recovery import Leftover, Recovery
from app.document.session import Session
from app.document.settings import SettingsStore
from geometry.document.build import Build

AUTOSAVE_AFTER = 2000
"""Milliseconds after the last edit at which unsaved work is kept."""

UnsavedAnswer = Literal["save", "discard", "cancel"]
ChangedAnswer = Literal["write over", "save as", "cancel"]
Stamp = tuple[int, int]


class Document(QObject):
    """The build's file: what is asked before something is lost, the backup, and the recovery file.

    Signals:
        refused: a sentence about something that could not be done.
        opened: after another build came onto the bench.
        changed_outside: another program has written the open file.
    """

    refused = Signal(str)
    opened = Signal()
    changed_outside = Signal()

    def __init__(self, session: Session, store: SettingsStore, window: QWidget) -> None:
        """Keep the session's build; questions are asked over `window`."""
        super().__init__(window)
        self._session, self._store, self._window = session, store, window
        self.recovery = Recovery(store.state / "recovery")
        self._backed_up = False
        self._stamp = _stamp(session.path)
        self._timer = QTimer(self, singleShot=True, interval=AUTOSAVE_AFTER)
        self._timer.timeout.connect(self.keep_unsaved)
        session.file_changed.connect(self._edited)

    # Coming and going

    def start(self, build: Build) -> bool:
        """Begin with a new build; False when the maker would rather keep the old one."""
        if not self.may_leave():
            return False
        self._session.start(build)
        self._arrived()
        return True

    def open(self, path: Path) -> bool:
        """Open a file; whether it is open now."""
        if not self.may_leave():
            return False
        try:
            self._session.open(path)
        except Refusal as refusal:
            self.refused.emit(str(refusal))
            return False
        self._store.keep_desk(self._store.desk.opened(path))
        self._arrived()
        return True

    def open_sample(self, path: Path) -> bool:
        """Open one of the samples as a new build, so that saving asks where to."""
        if not self.may_leave():
            return False
        try:
            build = load_build(path)
        except Refusal as refusal:
            self.refused.emit(str(refusal))
            return False
        self._session.start(build)
        self._arrived()
        return True

    def choose_and_open(self) -> bool:
        """Ask for a file and open it."""
        path = self.ask_what_to_open()
        return path is not None and self.open(path)

    def reload(self) -> None:
        """Take what another program wrote; the work in the window is given up."""
        path = self._session.path
        if path is None:
            return
        try:
            self._session.open(path)
        except Refusal as refusal:
            self.refused.emit(str(refusal))
            return
        self._arrived()

    def restore(self, leftover: Leftover) -> bool:
        """Go on with work that a crash left behind; it counts as not saved."""
        if not self.may_leave():
            return False
        self._session.start(leftover.build, leftover.path, restored=True)
        self._arrived()
        self.keep_unsaved()
        self.recovery.discard(leftover)
        return True

    def may_leave(self) -> bool:
        """Whether the build on the bench may go: it is saved, or the maker said what to do."""
        self._session.cancel()
        if not self._session.modified:
            return True
        answer = self.ask_about_unsaved()
        if answer == "save":
            return self.save()
        return answer == "discard"

    def _arrived(self) -> None:
        self._timer.stop()
        self.recovery.forget()
        self._backed_up = False
        self._stamp = _stamp(self._session.path)
        self.opened.emit()

    # Saving

    def save(self) -> bool:
        """Save where the build came from, asking where to if that is nowhere; whether it is saved."""
        path = self._session.path
        if path is None:
            return self.save_as()
        if self.was_changed_outside():
            answer = self.ask_about_changed()
            if answer != "write over":
                return self.save_as() if answer == "save as" else False
        return self._save(path)

    def save_as(self) -> bool:
        """Ask for a name and save there; whether it is saved."""
        path = self.ask_where_to_save()
        if path is None:
            return False
        if path != self._session.path:
            self._backed_up = False
        return self._save(path)

    def _save(self, path: Path) -> bool:
        try:
            self._back_up(path)
            self._session.save(path)
        except Refusal as refusal:
            self.refused.emit(str(refusal))
            return False
        self._stamp = _stamp(path)
        self._store.keep_desk(self._store.desk.opened(path))
        return True

    def _back_up(self, path: Path) -> None:
        """Keep what was there before this sitting as `name~`; without room for it the save itself will say so."""
        if not self._backed_up and path.exists():
            with suppress(OSError):
                shutil.copy2(path, path.with_name(path.name + "~"))
        self._backed_up = True

    def was_changed_outside(self) -> bool:
        """Whether another program wrote the open file since it was read or saved."""
        now = _stamp(self._session.path)
        return now is not None and self._stamp is not None and now != self._stamp

    def look_outside(self) -> None:
        """Tell once when another program has written the file."""
        if self.was_changed_outside():
            self._stamp = _stamp(self._session.path)
            self.changed_outside.emit()

    # Recovery

    def keep_unsaved(self) -> None:
        """Write unsaved work into the recovery file now."""
        self._timer.stop()
        if self._session.modified:
            self.recovery.keep(self._session.build, self._session.path)

    def _edited(self) -> None:
        if self._session.modified:
            self._timer.start()
        else:
            self._timer.stop()
            self.recovery.forget()

    # Questions, each in one place

    def ask_what_to_open(self) -> Path | None:
        """Which file to open."""
        name, _ = QFileDialog.getOpenFileName(
            self._window, self.tr("Open a build"), str(self._usual_folder()), self._filter()
        )
        return Path(name) if name else None

    def ask_where_to_save(self) -> Path | None:
        """Where to save; the system asks before a file is written over."""
        proposed = self._session.path or self._usual_folder() / _file_name(self._session.build.name)
        name, _ = QFileDialog.getSaveFileName(
            self._window, self.tr("Save the build"), str(proposed), self._filter()
        )
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_name(path.name + SUFFIX)

    def ask_about_unsaved(self) -> UnsavedAnswer:
        """What to do with changes that are not saved."""
        name = self._session.build.name or self.tr("this build")
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.Question)
        box.setWindowTitle(self.tr("Unsaved changes"))
        box.setText(self.tr("Save the changes to “{name}”?").format(name=name))
        box.setInformativeText(self.tr("Without saving, what you did since the last save is lost."))
        role = QMessageBox.ButtonRole
        save = box.addButton(self.tr("Save"), role.AcceptRole)
        discard = box.addButton(self.tr("Discard"), role.DestructiveRole)
        box.addButton(self.tr("Cancel"), role.RejectRole)
        box.setDefaultButton(save)
        box.exec()
        answers: dict[QPushButton, UnsavedAnswer] = {save: "save", discard: "discard"}
        return next((each for button, each in answers.items() if box.clickedButton() is button), "cancel")

    def ask_about_changed(self) -> ChangedAnswer:
        """What to do when saving would write over another program's changes."""
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle(self.tr("The file has changed"))
        box.setText(self.tr("Another program has written this file since you opened it."))
        box.setInformativeText(str(self._session.path))
        role = QMessageBox.ButtonRole
        other = box.addButton(self.tr("Save under another name…"), role.AcceptRole)
        over = box.addButton(self.tr("Write over it"), role.DestructiveRole)
        box.addButton(self.tr("Cancel"), role.RejectRole)
        box.setDefaultButton(other)
        box.exec()
        answers: dict[QPushButton, ChangedAnswer] = {other: "save as", over: "write over"}
        return next((each for button, each in answers.items() if box.clickedButton() is button), "cancel")

    def _filter(self) -> str:
        return self.tr("Pegwright builds") + f" (*{SUFFIX});;" + self.tr("All files") + " (*)"

    def _usual_folder(self) -> Path:
        recent = (Path(name).parent for name in self._store.desk.recent)
        return next((folder for folder in recent if folder.is_dir()), Path.home())


def _stamp(path: Path | None) -> Stamp | None:
    """What tells whether a file was written: its time and size; None for no file."""
    try:
        status = path.stat() if path else None
    except OSError:
        return None
    return (status.st_mtime_ns, status.st_size) if status else None


def _file_name(name: str) -> str:
    """A file name made of the build's name, without characters that some system refuses."""
    kept = "".join(letter if letter.isalnum() or letter in " -_" else "-" for letter in name).strip(" -")
    return f"{kept or 'head'}{SUFFIX}"
