"""Unsaved work kept beside the user's own files, so that a crash costs two seconds and not an evening.

Each window keeps one file in a folder of the program's own, with a lock that ends with the process. What lies there
without a living owner was left behind by a crash. The user's own file is never touched.
"""

from __future__ import annotations

import os
import time
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import msgspec
from PySide6.QtCore import QLockFile

from app.document.files import write_whole
from app.document.messages import Refusal
from geometry.document.build import Build
from geometry.document.codec import LARGEST_FILE, read_build, write_build
from geometry.document.error import BuildError

SUFFIX = ".unsaved"


class Leftover(msgspec.Struct, frozen=True):
    """Work that a window left behind: the build, the file it belongs to if it had one, and when it was kept."""

    kept_in: Path
    build: Build
    path: Path | None
    when: datetime


class _Kept(msgspec.Struct, frozen=True):
    path: str | None
    build: msgspec.Raw


class Recovery:
    """The place where one window keeps its unsaved work."""

    def __init__(self, folder: Path) -> None:
        """Claim a place in the folder; where that cannot be written, work goes on without the safety net."""
        self._folder = folder
        self._file = folder / f"{os.getpid()}-{time.monotonic_ns()}{SUFFIX}"
        self.problem = ""
        self._lock: QLockFile | None = None

    def keep(self, build: Build, path: Path | None) -> None:
        """Write the build down now; `problem` tells when that was not possible."""
        about = _Kept(str(path.absolute()) if path else None, msgspec.Raw(write_build(build)))
        try:
            self._claim()
            write_whole(self._file, msgspec.json.encode(about))
            self.problem = ""
        except (OSError, Refusal) as error:
            self.problem = str(error)

    def forget(self) -> None:
        """Nothing is unsaved any more."""
        with suppress(OSError):
            self._file.unlink(missing_ok=True)

    def close(self) -> None:
        """Give the place up, what is in it included."""
        self.forget()
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def left_behind(self) -> tuple[Leftover, ...]:
        """What windows that no longer run have left, the latest first; files that cannot be read are passed over."""
        found = (self._leftover(file) for file in self._folder.glob(f"*{SUFFIX}") if file != self._file)
        return tuple(sorted((each for each in found if each), key=lambda each: each.when, reverse=True))

    def discard(self, leftover: Leftover) -> None:
        """Throw away what was left behind."""
        with suppress(OSError):
            leftover.kept_in.unlink(missing_ok=True)
            _lock_of(leftover.kept_in).unlink(missing_ok=True)

    def _claim(self) -> None:
        if self._lock is None:
            self._folder.mkdir(parents=True, exist_ok=True)
            self._lock = _lock(self._file)
            self._lock.tryLock(0)

    def _leftover(self, file: Path) -> Leftover | None:
        lock = _lock(file)
        if not lock.tryLock(0):
            return None
        lock.unlock()
        try:
            when = datetime.fromtimestamp(file.stat().st_mtime, tz=UTC).astimezone()
            with file.open("rb") as stream:
                kept = msgspec.json.decode(stream.read(LARGEST_FILE + 10_000), type=_Kept)
            build = read_build(bytes(kept.build))
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError, BuildError):
            return None
        return Leftover(file, build, Path(kept.path) if kept.path else None, when)


def _lock_of(file: Path) -> Path:
    return file.with_suffix(".lock")


def _lock(file: Path) -> QLockFile:
    lock = QLockFile(str(_lock_of(file)))
    # Never too old: a head may well lie open for a week. A dead owner is found out by its process number.
    lock.setStaleLockTime(0)
    return lock
