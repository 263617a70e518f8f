"""Files read and written: whole or not at all, and never over another without being told to."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from app.document.messages import Refusal
from geometry.document.build import Build
from geometry.document.codec import LARGEST_FILE, LARGEST_SHOP, read_build, read_shop
from geometry.document.error import FileError
from geometry.trade.escapes import quoted
from geometry.trade.shop import Shop

try:
    import fcntl
except ImportError:  # Windows: there nobody can delete a file that another program holds open
    fcntl = None  # type: ignore[assignment]

SUFFIX = ".pegwright"
"""What the names of build files end in."""

Stamp = tuple[int, int, int]
"""What tells whether a file was written: its time in ns, its size, and which file it is on its disk."""

ENDING = ".pegwright-tmp"
"""What the names of hidden files end in that are written before they take the place of another."""

_PREFIX = 40


# Reading


def load_build(path: Path) -> Build:
    """The build in a file; Refusal says what is wrong with it."""
    try:
        return read_build(read_bytes(path, LARGEST_FILE))
    except FileError as error:
        raise Refusal(f"{path}: {error}") from None


def load_shop(path: Path) -> Shop:
    """The shop in a file; Refusal says what is wrong with it."""
    try:
        return read_shop(read_bytes(path, LARGEST_SHOP))
    except FileError as error:
        raise Refusal(f"{path}: {error}") from None


def read_bytes(path: Path, largest: int) -> bytes:
    """At most `largest` + 1 bytes of a file; Refusal when it cannot be read.

    A named pipe is refused, for nobody knows when somebody will write into it.
    """
    try:
        with open(path, "rb", opener=_without_waiting) as stream:
            if _is_named_pipe(stream.fileno(), path):
                raise Refusal(f"{path}: cannot be read: it is a pipe.")
            return stream.read(largest + 1)
    except OSError as error:
        raise Refusal(f"{path}: cannot be read: {_reason(error)}") from None
    except ValueError:
        raise Refusal(f"{quoted(str(path))} is not a file name.") from None


def read_if_there(path: Path, largest: int) -> bytes | None:
    """As `read_bytes`; None where there is no such file."""
    try:
        path.lstat()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise Refusal(f"{path}: cannot be read: {_reason(error)}") from None
    return read_bytes(path, largest)


def stamp_of(path: Path | None) -> Stamp | None:
    """The stamp of a file; None for none, or one that cannot be seen."""
    try:
        status = path.stat() if path else None
    except (OSError, ValueError):
        return None
    return (status.st_mtime_ns, status.st_size, status.st_ino) if status else None


def _without_waiting(name: str, flags: int) -> int:
    """Open a file at once, even a pipe into which nobody writes yet; what is read from it may be waited for."""
    handle = os.open(name, flags | getattr(os, "O_NONBLOCK", 0))
    if hasattr(os, "O_NONBLOCK"):
        os.set_blocking(handle, True)
    return handle


def _is_named_pipe(handle: int, path: Path) -> bool:
    """Whether this is a pipe with a place in a folder, and not the output of another command."""
    return stat.S_ISFIFO(os.fstat(handle).st_mode) and os.path.lexists(os.path.realpath(path))


# Writing


def refuse_target(path: Path, *, force: bool) -> None:
    """Refuse a file that cannot be written, or that is there already unless `force` allows to write over it."""
    try:
        if path.is_dir():
            raise Refusal(f"{path} is a folder; give the name of a file in it.")
        _refuse_devices(path)
        if not force and path.exists():
            raise Refusal(f"{path} is there already; give --force to write over it.")
        if not Path(os.path.realpath(path)).parent.is_dir():
            raise Refusal(f"{path}: cannot be written: its folder is not there.")
    except OSError as error:
        raise Refusal(f"{path}: cannot be written: {_reason(error)}") from None


def write_whole(path: Path, data: bytes, *, like: Path | None = None) -> None:
    """Write a file under another name, read it back and rename it, so that it is never there in part.

    A link is followed, and the file behind it keeps its mode; `like` is another file whose mode and time it gets.
    What killed saves left in the folder goes first. Refusal when it cannot be written.
    """
    target = Path(os.path.realpath(path))
    try:
        _refuse_devices(path)
        clear(target.parent)
        with beside(target) as (stream, temporary):
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
            stream.seek(0)
            if stream.read() != data:
                raise Refusal(f"{path}: cannot be written: what was written does not read back.")
            if like is None:
                temporary.chmod(_mode(target))
            else:
                import shutil  # only now: reading a build must start fast

                shutil.copystat(like, temporary)
            if os.name == "nt":
                stream.close()  # an open file cannot be renamed there
            temporary.replace(target)
        _keep_names(target.parent)
    except OSError as error:
        raise Refusal(f"{path}: cannot be written: {_reason(error)}") from None


def make_folder(path: Path) -> None:
    """Make the folder of a file, and those above it; Refusal when that is not possible."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refusal(f"{path}: cannot be written: {_reason(error)}") from None


def keep_copy(path: Path) -> None:
    """Keep what a build file holds as `name~`, so that it can be written over; Refusal when it cannot be kept.

    What is no build that can be read never takes the place of one that is: it is kept as `name.unread~`. Of an empty
    file, or none, nothing is kept.
    """
    held = read_if_there(path, LARGEST_FILE)
    if not held:
        return
    if len(held) > LARGEST_FILE:
        raise Refusal(f"{path}: is too large to be kept as a copy.")
    end = "~" if _is_build(held) else ".unread~"
    write_whole(path.with_name(path.name + end), held, like=path)


def _is_build(data: bytes) -> bool:
    try:
        read_build(data)
    except FileError:
        return False
    return True


def _refuse_devices(path: Path) -> None:
    """Refuse what is there and no file, such as a device or a pipe: renaming would put a file in its place."""
    try:
        mode = path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return  # who writes finds that out and says so
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
        raise Refusal(f"{path}: cannot be written: it is a device or a pipe, and no file.")


def _keep_names(folder: Path) -> None:
    """Have the names of a folder on the disk too, where the system does that."""
    if os.name == "nt":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return  # one may write into a folder that one may not read
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(handle)


def _mode(target: Path) -> int:
    """The mode of the file that is replaced, else what the user's mask gives a new one."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


# Hidden files, each locked as long as its writer lives, so that whoever saves next in the folder knows which are dead


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


# Where this system keeps what programs remember


def usual_folders() -> tuple[Path, Path]:
    """The folders of settings and of state."""
    from platformdirs import user_config_path, user_state_path

    return user_config_path("pegwright", appauthor=False), user_state_path("pegwright", appauthor=False)
