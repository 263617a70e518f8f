"""Every call to the disk of one save made to fail in turn, for each reason that disks give.

`python tests/campaigns/faults.py` prints the counts. The test suite tries fewer reasons.
"""

from __future__ import annotations

import errno
import os
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication, QWidget  # noqa: E402 - the path comes first

from app.document.document import Document  # noqa: E402
from app.document.files import load_build  # noqa: E402
from app.document.recovery import Recovery  # noqa: E402
from app.document.session import Session  # noqa: E402
from app.document.settings import SettingsStore  # noqa: E402
from geometry.document.codec import write_build  # noqa: E402
from geometry.document.edits import rename  # noqa: E402
from tests.builds import three_and_three  # noqa: E402

REASONS = (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EDQUOT)
CALLS = (
    "open",
    "fsync",
    "replace",
    "rename",
    "unlink",
    "chmod",
    "utime",
    "scandir",
    "mkdir",
    "stat",
    "lstat",
    "close",
)
"""Functions of `os` that reach the disk; files that it opens count their own reads and writes."""

RIGHT = ("saved", "refused and told")
"""What may become of a save."""

OLDER, OLD, NEW = (rename(three_and_three(), name) for name in ("older", "old", "new"))


class Faults:
    """Counts calls to the disk and lets the one of a number fail; without a number none."""

    def __init__(self, fails: int | None, reason: int) -> None:
        self.count, self.fails, self.reason = 0, fails, reason
        self.failed = ""

    def around(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        """The call, counted."""

        def counted(*given: Any, **named: Any) -> Any:
            self.count += 1
            if self.count == self.fails:
                self.failed = name
                raise OSError(self.reason, os.strerror(self.reason))
            return call(*given, **named)

        return counted

    def opened(self, *given: Any, **named: Any) -> Any:
        """What `os.fdopen` gives, with its calls counted. A close that fails has closed all the same."""
        stream = _FDOPEN(*given, **named)
        close = stream.close

        def closing() -> None:
            close()
            self.around("close of a file", lambda: None)()

        counted = {
            name: self.around(name, getattr(stream, name)) for name in ("write", "flush", "read", "seek")
        }
        return mock.Mock(wraps=stream, **counted, close=closing, fileno=stream.fileno)

    @contextmanager
    def at_work(self) -> Iterator[None]:
        """Every call of the block is counted."""
        patches = [mock.patch.object(os, name, self.around(name, getattr(os, name))) for name in CALLS]
        patches.append(mock.patch.object(os, "fdopen", self.opened))
        for patch in patches:
            patch.start()
        try:
            yield
        finally:
            for patch in patches:
                patch.stop()


_FDOPEN = os.fdopen


def one_save(folder: Path, trouble: AbstractContextManager[None]) -> str:
    """What became of a save in this trouble: a word for what is right, a sentence for what is lost."""
    file = folder / "head.pegwright"
    file.write_bytes(write_build(OLD))
    file.with_name("head.pegwright~").write_bytes(write_build(OLDER))
    session = Session(OLD, file)
    window = QWidget()
    document = Document(session, SettingsStore(folder / "config", folder / "state"), window)
    told: list[str] = []
    document.refused.connect(told.append)
    document.unkept.connect(told.append)
    session.act("name", lambda _: NEW)
    document.keep_unsaved()
    with trouble:
        saved = document.save()
    lost = _lost(file, folder / "state" / "recovery", saved=saved, told=bool(list(filter(None, told))))
    document.recovery.close()
    window.deleteLater()
    return lost or ("saved" if saved else "refused and told")


def _lost(file: Path, recovery: Path, *, saved: bool, told: bool) -> str:
    now, copy = _name(file), _name(file.with_name("head.pegwright~"))
    if now not in ("old", "new") or (saved and now != "new"):
        return f"the file holds {now} after it was {'saved' if saved else 'refused'}"
    if copy not in ("older", "old"):
        return f"the copy holds {copy}"
    if not saved and not told:
        return "nothing was told"
    if saved and copy == "older" and not told:
        return "no copy was kept and nothing was told"
    if not saved and "new" not in map(_kept, recovery.glob("*.unsaved")):
        return "the work is not kept"
    return ""


def _name(file: Path) -> str:
    try:
        return load_build(file).name
    except Exception as error:
        return f"nothing that can be read ({error})"


def _kept(file: Path) -> str:
    """The name of the build in a recovery file, read through a copy: nobody holds the lock of that."""
    copy = file.with_name(f"copy-{file.name}")
    shutil.copy(file, copy)
    try:
        left = Recovery(file.parent).left_behind()
    finally:
        copy.unlink()
    return next((each.build.name for each in left if each.kept_in == copy), "")


def campaign(reasons: Sequence[int], *, step: int = 1) -> Counter[str]:
    """What became of a save for every call, or one in `step`, and every reason, counted."""
    found: Counter[str] = Counter()
    for reason in reasons:
        number, more = 1, True
        while more:
            with tempfile.TemporaryDirectory() as folder:
                faults = Faults(number, reason)
                became = one_save(Path(folder), faults.at_work())
            more = bool(faults.failed)
            if more:
                found[became if became in RIGHT else f"LOST: {faults.failed} {became}"] += 1
            number += step
    return found


if __name__ == "__main__":
    application = QApplication.instance() or QApplication([])
    for outcome, count in sorted(campaign(REASONS).items()):
        print(f"{count:5d}  {outcome}")
