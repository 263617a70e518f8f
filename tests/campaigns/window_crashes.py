"""Windows are killed with unsaved work in them: the next window offers what was kept, and gives it back whole.

`python tests/campaigns/window_crashes.py [windows] [seed]` prints the counts. Each window works at random, as in
`random_acts.py`, until it is killed at a random moment, dialogs and saves under way or not. The test suite kills a few.
"""

from __future__ import annotations

import hashlib
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from PySide6.QtCore import QEvent  # noqa: E402 - the path comes first
from PySide6.QtWidgets import QApplication  # noqa: E402

from app.document import document  # noqa: E402
from app.document.files import Stamp  # noqa: E402
from app.document.recovery import Recovery  # noqa: E402
from app.document.session import Session  # noqa: E402
from app.document.settings import SettingsStore  # noqa: E402
from app.window.window import Window  # noqa: E402
from geometry.document.build import Build  # noqa: E402
from geometry.document.codec import write_build  # noqa: E402
from tests.builds import plain_head  # noqa: E402
from tests.campaigns.random_acts import Run, use_qt  # noqa: E402

SOON = 20
"""Milliseconds after an edit at which these windows keep unsaved work, so that much is kept before a kill."""

LONGEST = 2.0
"""Seconds at most between the first thing kept and the kill."""

NOTHING = "nothing"
"""What is told in the place of a build where none is kept."""


def mark(build: Build) -> str:
    """A short sign of a build, equal for equal ones."""
    return hashlib.sha256(write_build(build)).hexdigest()[:16]


def _tell(line: str) -> None:
    os.write(1, f"{line}\n".encode())


def _works(seed: int, folder: Path) -> None:
    """Work until somebody kills us, telling what is about to be kept and what is kept."""
    keep, forget = Recovery.keep, Recovery.forget

    def kept(self: Recovery, build: Build, path: Path | None, stamp: Stamp | None = None) -> None:
        _tell(f"begins {mark(build)}")
        keep(self, build, path, stamp)
        _tell(f"done {mark(build)}")

    def forgotten(self: Recovery) -> None:
        _tell(f"begins {NOTHING}")
        forget(self)
        _tell(f"done {NOTHING}")

    Recovery.keep, Recovery.forget = kept, forgotten  # type: ignore[method-assign]
    document.AUTOSAVE_AFTER = SOON
    run = Run(seed, folder)
    run.answers.begin()
    while run.hands.window.isVisible():
        run.act()
        time.sleep(0.001)


def _recovers(folder: Path) -> None:
    """What the next window offers, and whether it is back on the bench, unsaved, when that is taken."""
    session = Session(plain_head())
    window = Window(session, SettingsStore(folder / "config", folder / "state"))
    offers = window.notice.buttons
    if not offers:
        _tell(NOTHING)
        return
    assert [each.text() for each in offers] == ["Restore", "Discard"]
    offers[0].click()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert session.modified
    _tell(mark(session.build))


def _process(does: Callable[[], None], folder: Path) -> tuple[int, int]:
    """The number of a process that does something, and where what it tells can be read."""
    reads, writes = os.pipe()
    child = os.fork()
    if child:
        os.close(writes)
        return child, reads
    os.dup2(writes, 1)
    with (folder / "errors").open("a") as errors:
        os.dup2(errors.fileno(), 2)
    os.chdir(folder)
    os.environ["HOME"] = str(folder)
    code = 1
    try:
        _application = use_qt()
        does()
        code = 0
    finally:
        os._exit(code)


def _lines(reads: int) -> list[str]:
    """All that a process told that has ended."""
    with os.fdopen(reads, "rb") as told:
        return told.read().decode().split("\n")[:-1]


def _killed(seed: int, folder: Path) -> list[str]:
    """What a window told of what it kept until it was killed."""
    chance = random.Random(f"{seed} kill")
    child, reads = _process(lambda: _works(seed, folder), folder)
    begun = b""
    while b"done" not in begun.replace(f"done {NOTHING}".encode(), b""):
        more = os.read(reads, 4096)
        begun += more
        if not more:
            break
    time.sleep(chance.uniform(0.0, LONGEST))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    lines = (begun + b"\n".join(line.encode() for line in [*_lines(reads), ""])).decode().split("\n")
    return [line for line in lines if line]


def one_crash(seed: int, folder: Path) -> str:
    """What came of a window that was killed: a word for what is right, else what is lost."""
    told = _killed(seed, folder)
    # The last thing kept, or what was just being kept: either is whole.
    may_be = {line.split()[1] for line in told[-1:] or [f"done {NOTHING}"]}
    if told and told[-1].startswith("begins"):
        may_be |= {told[-2].split()[1] if len(told) > 1 else NOTHING}
    child, reads = _process(lambda: _recovers(folder), folder)
    _, status = os.waitpid(child, 0)
    found = _lines(reads)
    if status or len(found) != 1:
        return f"FAILED window {seed}: {(folder / 'errors').read_text(errors='replace')[-1500:]}"
    if found[0] not in may_be:
        return f"LOST window {seed}: {found[0]} in the place of {may_be}"
    return "had nothing unsaved" if found[0] == NOTHING else "recovered"


def campaign(windows: int, seed: int = 0) -> Counter[str]:
    """What came of so many windows, counted."""
    found: Counter[str] = Counter()
    for number in range(seed, seed + windows):
        with tempfile.TemporaryDirectory() as folder:
            found[one_crash(number, Path(folder))] += 1
    return found


if __name__ == "__main__":
    for outcome, count in sorted(campaign(*map(int, sys.argv[1:] or ["100"])).items()):
        print(f"{count:5d}  {outcome}")
