"""Files read and written: whole or not at all, and never over another without being told to."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from app.document.messages import Refusal
from geometry.document.build import Build
from geometry.document.codec import LARGEST_FILE, read_build
from geometry.document.error import BuildError

SUFFIX = ".pegwright"
"""What the names of build files end in."""

_PREFIX = 40


def load_build(path: Path) -> Build:
    """The build in a file; Refusal says what is wrong with it."""
    try:
        return read_build(read_bytes(path, LARGEST_FILE))
    except BuildError as error:
        raise Refusal(f"{path}: {error}") from None


def read_bytes(path: Path, largest: int) -> bytes:
    """At most `largest` + 1 bytes of a file; Refusal when it cannot be read."""
    try:
        with path.open("rb") as stream:
            return stream.read(largest + 1)
    except OSError as error:
        raise Refusal(f"{path}: cannot be read: {_reason(error)}") from None
    except ValueError:
        raise Refusal(f"{str(path)!r} is not a file name.") from None


def refuse_target(path: Path, *, force: bool) -> None:
    """Refuse a file that cannot be written, or that is there already unless `force` allows to write over it."""
    try:
        if path.is_dir():
            raise Refusal(f"{path} is a folder; give the name of a file in it.")
        if not force and path.exists():
            raise Refusal(f"{path} is there already; give --force to write over it.")
        if not Path(os.path.realpath(path)).parent.is_dir():
            raise Refusal(f"{path}: cannot be written: its folder is not there.")
    except OSError as error:
        raise Refusal(f"{path}: cannot be written: {_reason(error)}") from None


def write_whole(path: Path, data: bytes) -> None:
    """Write a file under another name and rename it, so that it is never there in part.

    A link is followed, and the file behind it keeps its mode. Refusal when it cannot be written.
    """
    import tempfile  # only now: reading a build must start fast

    target = Path(os.path.realpath(path))
    temporary = ""
    try:
        # Only the beginning of the name, for the whole may be as long as the system allows.
        start = f".{target.name[:_PREFIX]}."
        handle, temporary = tempfile.mkstemp(prefix=start, suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        Path(temporary).chmod(_mode(target))
        Path(temporary).replace(target)
    except OSError as error:
        if temporary:
            with suppress(OSError):
                Path(temporary).unlink()
        raise Refusal(f"{path}: cannot be written: {_reason(error)}") from None


def _mode(target: Path) -> int:
    """The mode of the file that is replaced, else what the user's mask gives a new one."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
