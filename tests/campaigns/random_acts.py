"""Random acts in the window: nothing crashes or warns, undoing all gives the start, redoing all the end.

`python tests/campaigns/random_acts.py [acts] [seed] [acts of a window]` prints the counts. Every action of the menus is
among the acts; dialogs are worked in and closed in mid-work. Each window has a process of its own, as it has in use, so
that a crash takes no other with it and the seed of its window is told: `random_acts.py --window SEED` tries that one
again. The test suite tries a few.
"""

from __future__ import annotations

import faulthandler
import json
import os
import random
import sys
import tempfile
import traceback
from collections import Counter, deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from PySide6.QtCore import QMessageLogContext, Qt, QtMsgType, qInstallMessageHandler  # noqa: E402 - the path comes first
from PySide6.QtWidgets import QApplication  # noqa: E402

from tests.campaigns.dialogs_at_random import Answers, lay_files, waits  # noqa: E402
from tests.campaigns.hands_at_random import Hands  # noqa: E402

LENGTH = 100
"""Acts of one window."""

STUCK = 120
"""Seconds after which one act is said to hang."""

OF_QT = (
    "plugin does not support",
    "QFSFileEngine::open: No file name specified",
    "QPainter::begin(): Returned false",
    # Two windows that copy at once on one display.
    "Cannot set X11 selection owner",
)
"""Warnings that Qt's own parts bring about."""

MOST_BROKEN = 20
"""After so many crashes and failures there is enough to look at."""

LOUD = frozenset(
    (
        "new", "open", "own head", "photo", "recovered", "save as", "rename", "output", "widths", "compare", "quit",
        "preferences", "how", "search", "shortcuts", "what is this", "log", "about", "actual size", "measure screen",
    )
)  # fmt: skip
"""Actions that ask something, or bring another build or page: rarer than the others, for they cost more."""


class Run:
    """One window, and whoever answers what it asks."""

    def __init__(self, seed: int, folder: Path) -> None:
        self.chance = random.Random(seed)
        lay_files(folder)
        self.hands = Hands(self.chance, folder)
        self.answers = Answers(self.chance, self.hands.done)
        self.last: deque[str] = deque(maxlen=12)

    def act(self) -> None:
        """Do one act and see that all is well after it."""
        self.last.append("?")
        if self.chance.random() < 0.3 and self.hands.window.drawing:
            self.last[-1] = self._choose()
        else:
            before = Counter(self.hands.done)
            self.hands.act()
            self.last[-1] = "".join(self.hands.done - before)
        # Into the error stream, whose end a crash leaves behind.
        print(self.last[-1], file=sys.stderr, flush=True)
        self.answers.wait()
        self.hands.all_is_well()

    def _choose(self) -> str:
        """An action of the menus, all of which are tried."""
        made = self.hands.window.made
        loud = self.chance.random() < 0.15
        key = self.chance.choice([each for each in made if (each in LOUD) == loud])
        if made[key].isEnabled():
            made[key].trigger()
            self.hands.done[f"action {key}"] += 1
        return f"action {key}"

    def whole(self, acts: int) -> None:
        """So many acts, or fewer where the window is closed by one, and what must hold at the end."""
        self.answers.begin()
        try:
            for _ in range(acts):
                faulthandler.dump_traceback_later(STUCK, exit=True)
                self.act()
                if not self.hands.window.isVisible():
                    break
            self.hands.back_and_forth()
        finally:
            self.answers.wait() if waits() else None
            self.answers.end()
            self.hands.leave()
            faulthandler.cancel_dump_traceback_later()


@contextmanager
def warnings_into(faults: list[str]) -> Iterator[None]:
    """Qt's warnings, but for those that Qt's own parts bring about.

    The screenless platform cannot do everything to a popup, Qt's print dialog looks for a file without a name when
    nothing is typed for one, and a printer that does not answer is told as a warning besides.
    """

    def heard(kind: QtMsgType, _context: QMessageLogContext, words: str) -> None:
        if kind not in (QtMsgType.QtDebugMsg, QtMsgType.QtInfoMsg) and not any(
            each in words for each in OF_QT
        ):
            faults.append(f"Qt warns: {words}")

    before = qInstallMessageHandler(heard)
    try:
        yield
    finally:
        qInstallMessageHandler(before)


def one_window(seed: int, acts: int, folder: Path) -> Counter[str]:
    """What became of a window whose files are in this folder, with all its acts counted."""
    run = Run(seed, folder)
    outcome = "windows that kept all laws"
    try:
        with warnings_into(run.hands.faults):
            run.whole(acts)
            assert run.hands.faults == [], run.hands.faults
            assert run.hands.window.log.read() == ""
    except AssertionError as error:
        where = traceback.extract_tb(error.__traceback__)[-1].name
        outcome = f"FAILED window {seed} in {where}: {str(error)[:2000]}; last: {', '.join(run.last)}"
    return run.hands.done + Counter({outcome: 1, "steps undone and redone": run.hands.kept})


def _begun(seed: int, folder: Path, length: int) -> int:
    """The number of a process that works in one window and writes its counts into the folder."""
    child = os.fork()
    if child:
        return child
    os.chdir(folder)
    os.environ["HOME"] = str(folder)
    with (folder / "errors").open("w") as errors:
        os.dup2(errors.fileno(), 2)
        faulthandler.enable(errors)
        _application = use_qt()
        found = one_window(seed, length, folder)
        (folder / "found").write_text(json.dumps(found))
        # Whatever Python and Qt do to each other at the end of a process is not asked here.
        os._exit(0)


def _ended(seed: int, folder: Path, status: int) -> Counter[str]:
    """What a window left behind in its folder, or how it ended."""
    if status == 0:
        return Counter(json.loads((folder / "found").read_text()))
    errors = (folder / "errors").read_text(errors="replace")
    return Counter([f"CRASHED window {seed}, {os.waitstatus_to_exitcode(status)}: {errors[:2500]}"])


def broken(found: Counter[str]) -> list[str]:
    """What went wrong, a line each."""
    return [name for name in found if name.startswith(("FAILED", "CRASHED"))]


def acts_in(found: Counter[str]) -> int:
    """How many acts there were, those in dialogs too."""
    other = ("windows that", "steps undone", "dialog ", "FAILED", "CRASHED")
    return sum(count for name, count in found.items() if not name.startswith(other))


def campaign(acts: int, seed: int = 0, length: int = LENGTH) -> Counter[str]:
    """So many acts at least, `length` of a window, in as many windows at a time as there are cores."""
    found: Counter[str] = Counter()
    at_work: dict[int, tuple[int, tempfile.TemporaryDirectory[str]]] = {}
    while True:
        goes_on = acts_in(found) < acts and len(broken(found)) < MOST_BROKEN
        while goes_on and len(at_work) < (os.cpu_count() or 1):
            room = tempfile.TemporaryDirectory()
            at_work[_begun(seed, Path(room.name), length)] = seed, room
            seed += 1
        if not at_work:
            return found
        child, status = os.wait()
        which, room = at_work.pop(child)
        found.update(_ended(which, Path(room.name), status))
        room.cleanup()


def use_qt() -> QApplication:
    """The application of a process of its own, screenless where no screen is named, with dialogs of Qt's own."""
    if not os.environ.get("DISPLAY"):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    QApplication.setAttribute(Qt.ApplicationAttribute.AA_DontUseNativeDialogs)
    return QApplication([])


if __name__ == "__main__":
    if sys.argv[1:2] == ["--window"]:
        faulthandler.enable()
        application = use_qt()
        with tempfile.TemporaryDirectory() as home:
            os.chdir(home)
            os.environ["HOME"] = home
            counts = one_window(int(sys.argv[2]), LENGTH, Path(home))
    else:
        counts = campaign(*(map(int, sys.argv[1:]) if len(sys.argv) > 1 else [10_000]))
    print(f"{acts_in(counts):7d}  acts")
    for name, many in sorted(counts.items()):
        print(f"{many:7d}  {name}")
