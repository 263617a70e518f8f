"""Hidden files that are written before they take the place of another, and what is left of them by a killed save.

Each is locked as long as its writer lives, so that whoever saves next in the folder knows which ones are dead.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

try:
    import fcntl
except ImportError:  # Windows: there nobody can delete a file that another program holds open
    fcntl = None  # type: ignore[assignment]

ENDING = ".pegwright-tmp"
"""What the names of these files end in; they begin with a dot."""

_PREFIX = 40


@contextmanager
def beside(target: Path) -> Iterator[tuple[IO[bytes], Path]]:
    """A new file in the folder of the target, open for writing and reading; gone afterwards unless it was renamed.

    Raises OSError.
    """
    stream, path = _begun(target)
    try:
        yield stream, path
    finally:
        try:
            stream.close()
        finally:
            with suppress(OSError):
                path.unlink()


def clear(folder: Path) -> None:
    """Delete the temporary files of this folder whose writers are dead; what cannot be deleted stays."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.startswith(".") and entry.name.endswith(ENDING):
                with suppress(OSError):
                    _delete_if_dead(entry.path)


def _begun(target: Path) -> tuple[IO[bytes], Path]:
    import tempfile  # only now: reading a build must start fast

    while True:
        # Only the beginning of the name, for the whole may be as long as the system allows.
        handle, name = tempfile.mkstemp(prefix=f".{target.name[:_PREFIX]}.", suffix=ENDING, dir=target.parent)
        if _mine(handle):
            return os.fdopen(handle, "w+b"), Path(name)
        os.close(handle)


def _mine(handle: int) -> bool:
    """Lock a new file; False when another save took it for dead in the moment before."""
    if fcntl is None:
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return True  # a file system without locks: nobody can lock it, so nobody deletes it either
    return os.fstat(handle).st_nlink > 0


def _delete_if_dead(name: str) -> None:
    if fcntl is None:
        Path(name).unlink()
        return
    handle = os.open(name, os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        Path(name).unlink()
    finally:
        os.close(handle)
