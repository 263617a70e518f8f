"""Unsaved work kept beside the user's own files, so that a crash costs two seconds and not an evening.

Each window keeps one file in a folder of the program's own, with a lock that ends with the process. What lies there
without a living owner was left behind by a crash. The user's own file is never touched.
"""

from __future__ import annotations

import os
import stat
import time
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import msgspec
from PySide6.QtCore import QLockFile

from app.document.files import Stamp, make_folder, read_bytes, write_whole
from app.document.messages import Refusal
from geometry.document.build import Build
from geometry.document.codec import LARGEST_FILE, read_build, write_build
from geometry.document.error import FileError

SUFFIX = ".unsaved"


_LARGEST = LARGEST_FILE + 10_000


class Leftover(msgspec.Struct, frozen=True):
    """Work that a window left behind: the build, the file it belongs to if it had one, and when it was kept.

    `stamp` is that of the file when the work on it began, None where nobody knows.
    """

    kept_in: Path
    build: Build
    path: Path | None
    when: datetime
    stamp: Stamp | None = None


class _Kept(msgspec.Struct, frozen=True):
    path: str | None
    build: msgspec.Raw
    stamp: Stamp | None = None


class Recovery:
    """The place where one window keeps its unsaved work."""

    def __init__(self, folder: Path) -> None:
        """Claim a place in the folder; where that cannot be written, work goes on without the safety net."""
        self._folder = folder
        self._file = folder / f"{os.getpid()}-{time.monotonic_ns()}{SUFFIX}"
        self.problem = ""
        self._lock: QLockFile | None = None

    def keep(self, build: Build, path: Path | None, stamp: Stamp | None = None) -> None:
        """Write the build down now, with its file and the stamp of that; `problem` tells when that was not possible."""
        about = _Kept(str(path.absolute()) if path else None, msgspec.Raw(write_build(build)), stamp)
        try:
            self._claim()
            write_whole(self._file, msgspec.json.encode(about))
            self.problem = ""
        except Refusal as refusal:
            self.problem = str(refusal)

    def forget(self) -> None:
        """Nothing is unsaved any more."""
        self.problem = ""
        with suppress(OSError):
            self._file.unlink(missing_ok=True)

    def close(self) -> None:
        """Give the place up, what is in it included."""
        self.forget()
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def adopt(self, leftover: Leftover) -> bool:
        """Take the place of what was left behind for this window's own; False when another window has it now.

        Nothing is written for it, so a full disk takes nothing away: it stays where it is until it is saved. Where no
        lock can be taken it stays too, and the window keeps its own place.
        """
        lock = _lock(leftover.kept_in)
        if not lock.tryLock(0):
            return lock.error() is not QLockFile.LockError.LockFailedError
        self.close()
        self._file, self._lock = leftover.kept_in, lock
        return True

    def left_behind(self) -> tuple[Leftover, ...]:
        """What windows that no longer run have left, the latest first; files that cannot be read are passed over."""
        try:
            files = [file for file in self._folder.glob(f"*{SUFFIX}") if file != self._file]
        except OSError:
            return ()
        found = map(self._leftover, files)
        return tuple(sorted((each for each in found if each), key=lambda each: each.when, reverse=True))

    def discard(self, leftover: Leftover) -> None:
        """Throw away what was left behind, unless another window has taken it meanwhile."""
        if _is_held(leftover.kept_in):
            return
        with suppress(OSError):
            leftover.kept_in.unlink(missing_ok=True)
            _lock_of(leftover.kept_in).unlink(missing_ok=True)

    def _claim(self) -> None:
        if self._lock is None:
            make_folder(self._file)
            lock = _lock(self._file)
            if not lock.tryLock(0):
                raise Refusal(f"{_lock_of(self._file)}: cannot be written.")
            self._lock = lock

    def _leftover(self, file: Path) -> Leftover | None:
        if _is_held(file):
            return None
        try:
            when = datetime.fromtimestamp(file.stat().st_mtime, tz=UTC).astimezone()
            kept = msgspec.json.decode(read_bytes(file, _LARGEST), type=_Kept)
            build = read_build(bytes(kept.build))
        except (OSError, Refusal, msgspec.MsgspecError, UnicodeDecodeError, RecursionError, FileError):
            return None
        path = Path(kept.path) if kept.path and "\0" not in kept.path else None
        return Leftover(file, build, path, when, kept.stamp)


def _is_held(file: Path) -> bool:
    """Whether a living window keeps its work there."""
    try:
        # Qt would wait for ever to read a pipe in the place of a lock.
        if not stat.S_ISREG(_lock_of(file).lstat().st_mode):
            return True
    except FileNotFoundError:
        pass  # nobody has it, or somebody gives it up
    except OSError:
        return True
    lock = _lock(file)
    if not lock.tryLock(0):
        # In a folder that cannot be written no lock can be taken; then no living window has one there either.
        return lock.error() is QLockFile.LockError.LockFailedError
    lock.unlock()
    return False


def _lock_of(file: Path) -> Path:
    return file.with_suffix(".lock")


def _lock(file: Path) -> QLockFile:
    lock = QLockFile(str(_lock_of(file)))
    # Never too old: a head may well lie open for a week. A dead owner is found out by its process number.
    lock.setStaleLockTime(0)
    return lock
