"""Opening, saving and not losing the build: the file side of the window, with every question in one method."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.document.files import SUFFIX, keep_copy, load_build, stamp_of
from app.document.messages import Refusal
from app.document.naming import full_name, plain_name
from app.document.question import ask_where, confirmed, picked, question
from app.document.recovery import Leftover, Recovery
from app.document.session import Session
from app.document.settings import SettingsStore
from geometry.document.build import Build

AUTOSAVE_AFTER = 2000
"""Milliseconds after the last edit at which unsaved work is kept."""

TRY_AGAIN_AFTER = 10_000
"""Milliseconds after which unsaved work that could not be kept is tried again."""

UnsavedAnswer = Literal["save", "discard", "cancel"]
ChangedAnswer = Literal["write over", "save as", "cancel"]


class Document(QObject):
    """The build's file: what is asked before something is lost, the backup, and the recovery file.

    Signals:
        refused: a sentence about something that could not be done.
        opened: after another build came onto the bench.
        saved: after the build was written into its file.
        changed_outside: another program has written the open file.
        unkept: why unsaved work cannot be kept for a crash, each time it was tried; empty once it can.
    """

    refused = Signal(str)
    opened = Signal()
    saved = Signal()
    changed_outside = Signal()
    unkept = Signal(str)

    def __init__(self, session: Session, store: SettingsStore, window: QWidget) -> None:
        """Keep the session's build; questions are asked over `window`."""
        super().__init__(window)
        self._session, self._store, self._window = session, store, window
        self.kept_nowhere: Callable[[], str] = lambda: ""
        """A sentence about what is typed beside the build and would be lost with it; empty for nothing."""
        self.recovery = Recovery(store.state / "recovery")
        self._backed_up = False
        self._stamp = self._told = stamp_of(session.path)
        self._timer = QTimer(self, singleShot=True, interval=AUTOSAVE_AFTER)
        self._again = QTimer(self, singleShot=True, interval=TRY_AGAIN_AFTER)
        for timer in (self._timer, self._again):
            timer.timeout.connect(self.keep_unsaved)
        session.file_changed.connect(self._edited)

    # Coming and going

    def start(self, build: Build, *, unsaved: bool = False, asked: bool = False) -> bool:
        """Begin with a new build; False when the maker would rather keep the old one, unless that was `asked` before.

        One that took work, such as reading a drawing, is `unsaved` from the start; a starter is made again in a moment.
        """
        if not asked and not self.may_leave():
            return False
        self._session.start(build, restored=unsaved)
        self._arrived()
        if unsaved:
            self._timer.start()
        return True

    def open(self, path: Path) -> bool:
        """Open a file; whether it is open now."""
        if not self.may_leave() or not self._tried(lambda: self._session.open(path)):
            return False
        self._store.keep_desk(self._store.desk.opened(path))
        self._arrived()
        return True

    def open_sample(self, path: Path) -> bool:
        """Open one of the samples as a new build, so that saving asks where to."""
        if not self.may_leave() or not self._tried(lambda: self._session.start(load_build(path))):
            return False
        self._arrived()
        return True

    def choose_and_open(self) -> bool:
        """Ask for a file and open it."""
        path = self.ask_what_to_open()
        return path is not None and self.open(path)

    def reload(self) -> None:
        """Take what another program wrote; the work in the window is given up."""
        path = self._session.path
        if path is not None and self._tried(lambda: self._session.open(path)):
            self._arrived()

    def _tried(self, act: Callable[[], None]) -> bool:
        """Do something with a file; False, and said, where it cannot be done."""
        try:
            act()
        except Refusal as refusal:
            self.refused.emit(str(refusal))
            return False
        return True

    def restore(self, leftover: Leftover) -> bool:
        """Go on with work that a crash left behind; it counts as not saved, and stays kept where it is.

        Whether its file was written since is asked when it is saved, and told at once.
        """
        if not self.may_leave():
            return False
        if not self.recovery.adopt(leftover):
            self.refused.emit(self.tr("Another window has restored this work meanwhile."))
            return True
        self._session.start(leftover.build, leftover.path, restored=True)
        self._arrived()
        self._stamp = self._told = leftover.stamp
        self.keep_unsaved()
        self.look_outside()
        return True

    def may_leave(self) -> bool:
        """Whether the build on the bench may go: it is saved, or the maker said what to do."""
        self._session.cancel()
        words = self.kept_nowhere()
        if words and not self.ask_to_let_go(words):
            return False
        if not self._session.modified:
            return True
        answer = self.ask_about_unsaved()
        if answer == "save":
            return self.save()
        return answer == "discard"

    def _arrived(self) -> None:
        self._timer.stop()
        self._backed_up = False
        self._stamp = self._told = stamp_of(self._session.path)
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
            self._backed_up = False
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
        """Save with a copy of what was there before this sitting; what cannot be kept does not hinder the save."""
        unkept = ""
        try:
            if not self._backed_up:
                keep_copy(path)
        except Refusal as refusal:
            unkept = str(refusal)
        if not self._tried(lambda: self._session.save(path)):
            return False
        self._backed_up = True
        self._stamp = self._told = stamp_of(path)
        self._store.keep_desk(self._store.desk.opened(path))
        self.saved.emit()
        if unkept:
            words = self.tr("The build is saved, but no copy is kept of what the file held before. {why}")
            self.refused.emit(words.format(why=unkept))
        return True

    def was_changed_outside(self) -> bool:
        """Whether another program or window wrote the open file since it was read or saved."""
        now = stamp_of(self._session.path)
        return now is not None and now != self._stamp

    def look_outside(self) -> None:
        """Tell once when another program has written the file; saving asks until the maker has answered."""
        now = stamp_of(self._session.path)
        if now is not None and now not in (self._stamp, self._told):
            self._told = now
            self.changed_outside.emit()

    def keep_mine(self) -> None:
        """The maker has been told of what another program wrote, and will write over it."""
        self._stamp = self._told
        self._backed_up = False

    # Recovery

    def keep_unsaved(self) -> None:
        """Write unsaved work into the recovery file now."""
        self._timer.stop()
        self._again.stop()
        if self._session.modified:
            self.recovery.keep(self._session.build, self._session.path, self._stamp)
            if self.recovery.problem:
                self._again.start()
        self.unkept.emit(self.recovery.problem)

    def _edited(self) -> None:
        if self._session.modified:
            self._timer.start()
        else:
            self._timer.stop()
            self._again.stop()
            self.recovery.forget()
            self.unkept.emit("")

    # Questions, each in one place

    def ask_what_to_open(self) -> Path | None:
        """Which file to open."""
        name, _ = QFileDialog.getOpenFileName(
            self._window, self.tr("Open a build"), str(self._usual_folder()), self._filter()
        )
        return Path(name) if name else None

    def ask_where_to_save(self) -> Path | None:
        """Where to save; whoever chooses a file that is there is asked before it is written over."""
        name = f"{plain_name(self._session.build.name)}{SUFFIX}"
        proposed = self._session.path or self._usual_folder() / name
        return ask_where(self._window, self.tr("Save the build"), proposed, self._filter(), SUFFIX)

    def ask_about_unsaved(self) -> UnsavedAnswer:
        """What to do with changes that are not saved."""
        name = full_name(self._session.build.name, self._session.path) or self.tr("this build")
        words = self.tr('Save the changes to "{name}"?')
        more = self.tr("Without saving, what you did since the last save is lost.")
        if self._session.path is None:
            words, more = self.tr('Save "{name}"?'), self.tr("Without saving, it is lost.")
        title, icon = self.tr("Unsaved changes"), QMessageBox.Icon.Question
        box = question(self._window, title, words.format(name=name), more, icon)
        answers: dict[str, UnsavedAnswer] = {self.tr("Save"): "save", self.tr("Discard"): "discard"}
        return picked(box, answers, self.tr("Cancel")) or "cancel"

    def ask_to_let_go(self, words: str) -> bool:
        """Whether what is typed beside the build may be lost."""
        title, more = self.tr("Not accepted yet"), self.tr("It is lost if you go on.")
        return confirmed(self._window, title, words, more, self.tr("&Go on"))

    def ask_about_changed(self) -> ChangedAnswer:
        """What to do when saving would write over another program's changes."""
        words = self.tr("Another program or window has written this file since you opened it.")
        box = question(self._window, self.tr("The file has changed"), words, str(self._session.path))
        save_as, over = self.tr("Save under another name…"), self.tr("Write over it")
        answers: dict[str, ChangedAnswer] = {save_as: "save as", over: "write over"}
        return picked(box, answers, self.tr("Cancel")) or "cancel"

    def _filter(self) -> str:
        return self.tr("Pegwright builds") + f" (*{SUFFIX});;" + self.tr("All files") + " (*)"

    def _usual_folder(self) -> Path:
        recent = (Path(name).parent for name in self._store.desk.recent)
        return next((folder for folder in recent if folder.is_dir()), Path.home())
