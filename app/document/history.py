"""Undo and redo: a list of whole builds with the name of the act that made each."""

from __future__ import annotations

from geometry.document.build import Build


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
