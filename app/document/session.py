"""The one mutable object of the window: the build with its history, what is selected, and where it is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import msgspec
from PySide6.QtCore import QObject, Signal

from app.document.files import load_build, write_whole
from app.document.scene import Ghost, scene_of
from app.document.selection import NOTHING, Selection, still_there
from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.layout.held import held

Edit = Callable[[Build], Build]


class History:
    """Snapshots of one build; nothing is ever merged or guessed, the caller says what one act is."""

    def __init__(self, build: Build) -> None:
        """Begin with a build that no act has made."""
        self._steps: list[tuple[str, Build]] = [("", build)]
        self._place = 0

    @property
    def build(self) -> Build:
        """The build as it stands."""
        return self._steps[self._place][1]

    @property
    def undo_label(self) -> str | None:
        """The act that undo would take back, None when there is none."""
        return self._steps[self._place][0] if self._place > 0 else None

    @property
    def redo_label(self) -> str | None:
        """The act that redo would do again, None when there is none."""
        return self._steps[self._place + 1][0] if self._place + 1 < len(self._steps) else None

    @property
    def undo_labels(self) -> tuple[str, ...]:
        """All acts that can be undone, the last one first."""
        return tuple(label for label, _ in reversed(self._steps[1 : self._place + 1]))

    def commit(self, label: str, build: Build) -> bool:
        """Add an act; acts that were undone are forgotten. An act that changes nothing is not kept."""
        if build == self.build:
            return False
        del self._steps[self._place + 1 :]
        self._steps.append((label, build))
        self._place += 1
        return True

    def undo(self) -> None:
        """Go back by one act, if there is one."""
        self._place = max(0, self._place - 1)

    def redo(self) -> None:
        """Go forward by one act, if there is one."""
        self._place = min(len(self._steps) - 1, self._place + 1)


class Session(QObject):
    """A build being worked on.

    Acts of the user come in as edits; each makes one frozen Scene and one `changed`. A gesture previews builds
    while the mouse moves, and ends in one commit or in a cancel that restores exactly what was there.

    Signals:
        changed: the new Scene, after every act, preview, undo, selection.
        file_changed: after the file name or the saved state changed.
    """

    changed = Signal(object)
    file_changed = Signal()

    def __init__(self, build: Build, path: Path | None = None) -> None:
        """Work on a build; with a path it counts as saved there."""
        super().__init__()
        self.history = History(build)
        self.path = path
        self._saved: Build | None = build if path else None
        self._fresh: Build | None = build
        self.scene = scene_of(build)

    # What there is

    @property
    def build(self) -> Build:
        """The build as committed, without the preview of a gesture."""
        return self.history.build

    @property
    def selection(self) -> Selection:
        """What is selected."""
        return self.scene.selection

    @property
    def modified(self) -> bool:
        """Whether something would be lost if the window closed."""
        return self.build != (self._saved if self._saved is not None else self._fresh)

    # Acts

    def act(self, label: str, edit: Edit, selection: Selection | None = None) -> None:
        """Do one act: it can be undone by its label. Without a change nothing is kept. Drilled holes stay in place."""
        self.cancel()
        self.history.commit(label, held(self.build, edit(self.build)))
        self._acted(selection)

    def preview(self, build: Build, selection: Selection | None = None) -> None:
        """Show a build while a gesture lasts, without committing it. Drilled holes stay in place."""
        self._show(held(self.build, build), self.selection if selection is None else selection, gesture=True)

    def commit(self, label: str) -> None:
        """End a gesture: what it shows becomes one act."""
        if self.scene.gesture:
            self.history.commit(label, self.scene.build)
            self._acted()

    def cancel(self) -> None:
        """End a gesture and restore what was there before it."""
        if self.scene.gesture:
            self._show(self.build, self.selection)

    def undo(self) -> None:
        """Take the last act back."""
        self.cancel()
        self.history.undo()
        self._acted()

    def redo(self) -> None:
        """Do the last undone act again."""
        self.cancel()
        self.history.redo()
        self._acted()

    def _acted(self, selection: Selection | None = None) -> None:
        self._show(self.build, self.selection if selection is None else selection)
        self.file_changed.emit()

    def select(self, selection: Selection) -> None:
        """Select other parts; not an act, not undone."""
        if selection != self.selection:
            there = still_there(selection, self.scene.build)
            self.scene = msgspec.structs.replace(self.scene, selection=there)
            self.changed.emit(self.scene)

    # Proposals

    def propose(self, ghost: Ghost) -> None:
        """Show a proposal over the build in view; any other build in view takes it away."""
        self.cancel()
        self.scene = msgspec.structs.replace(self.scene, ghost=ghost)
        self.changed.emit(self.scene)

    def dismiss(self) -> None:
        """Take a proposal away; the build is what it was."""
        if self.scene.ghost is not None:
            self.scene = msgspec.structs.replace(self.scene, ghost=None)
            self.changed.emit(self.scene)

    def _show(self, build: Build, selection: Selection, *, gesture: bool = False) -> None:
        self.scene = scene_of(build, still_there(selection, build), gesture=gesture)
        self.changed.emit(self.scene)

    # The file

    def start(
        self, build: Build, path: Path | None = None, *, saved: bool = False, restored: bool = False
    ) -> None:
        """Work on another build; its history begins anew. A restored one is unsaved from the start."""
        self.history = History(build)
        self.path = path
        self._saved = build if saved else None
        self._fresh = None if restored else build
        self._show(build, NOTHING)
        self.file_changed.emit()

    def open(self, path: Path) -> None:
        """Work on the build in a file; Refusal when it cannot be read, and nothing changes then."""
        self.start(load_build(path), path, saved=True)

    def save(self, path: Path) -> None:
        """Keep the build in a file; Refusal when it cannot be written."""
        self.cancel()
        write_whole(path, write_build(self.build))
        self.path = path
        self._saved = self.build
        self.file_changed.emit()
