"""Work that takes a moment, done beside the window so that the window never waits."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial
from threading import Event, Thread, current_thread
from types import FunctionType, MethodType
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, QTimer, Signal

from app.document.collecting import collecting
from app.document.messages import Progress, Refusal

LOOK = 15
"""Milliseconds between two looks at how far the work is."""


class Cancelled(Exception):  # noqa: N818 - it is not a fault
    """The work ends because nobody wants its result any more."""


class _Task:
    """One piece of work under way."""

    def __init__(self) -> None:
        self.given_up = Event()
        self.progress = (0, 0)
        self.future: Future[Any]

    def note(self, done: int, steps: int) -> None:
        """Remember how far the work is; the place where work that was given up ends."""
        if self.given_up.is_set():
            raise Cancelled
        self.progress = (done, steps)


def _holds_qt(held: object) -> bool:
    """Whether something is a part of Qt, or a function that has one bound or enclosed."""
    match held:
        case QObject():
            return True
        case MethodType():
            within = [held.__self__]
        case partial():
            within = [held.func, *held.args, *held.keywords.values()]
        case FunctionType():
            within = [cell.cell_contents for cell in held.__closure__ or ()]
        case _:
            within = []
    return any(_holds_qt(each) for each in within)


def _end(workers: ThreadPoolExecutor, threads: list[Thread], *_: object) -> None:
    """Let workers go; at the end of the program they go with it."""
    if QCoreApplication.instance() is not None:
        collecting().while_ending(workers, threads)


class Work(QObject):
    """One piece of work at a time; a new one takes the place of the last.

    The work is a function of frozen values that is told where to report its progress. It holds no part of Qt: a dialog
    that is closed meanwhile would be destroyed in the thread of the work, which crashes the program. Errors of the
    program come up in the window's own thread, where they are caught and logged like all others.

    Signals:
        progressed: steps done, and of how many.
        done: what the function returned.
        refused: why it could not be done, a sentence.
        idle: the work is over, one way or another.
    """

    progressed = Signal(int, int)
    done = Signal(object)
    refused = Signal(str)
    idle = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        threads: list[Thread] = []
        self._workers = ThreadPoolExecutor(
            max_workers=1, thread_name_prefix="output", initializer=lambda: threads.append(current_thread())
        )
        self._end = partial(_end, self._workers, threads)
        self.destroyed.connect(self._end)
        self._task: _Task | None = None
        self._closed = False
        self._clock = QTimer(self, interval=LOOK)
        self._clock.timeout.connect(self._look)

    @property
    def busy(self) -> bool:
        """Whether something is under way."""
        return self._task is not None

    def start(self, function: Callable[[Progress], object]) -> None:
        """Do this from now on instead of anything else; nothing any more once it is closed."""
        if self._closed:
            return
        assert not _holds_qt(function), "work beside the window holds no part of it"
        self._give_up()
        task = self._task = _Task()
        task.future = collecting().during(lambda: self._workers.submit(function, task.note))
        self._clock.start()

    def cancel(self) -> None:
        """Give up what is under way; its result is never seen."""
        if self._give_up():
            self.idle.emit()

    def close(self) -> None:
        """Give up, and take no more work."""
        self._closed = True
        self._give_up()
        self._end()

    def _give_up(self) -> bool:
        self._clock.stop()
        task, self._task = self._task, None
        if task is not None:
            task.given_up.set()
            task.future.cancel()
        return task is not None

    def _look(self) -> None:
        task = self._task
        assert task is not None, "the clock runs while there is work"
        self.progressed.emit(*task.progress)
        if not task.future.done():
            return
        self._clock.stop()
        self._task = None
        try:
            result = task.future.result()
        except Refusal as refusal:
            self.refused.emit(str(refusal))
        else:
            self.done.emit(result)
        finally:
            self.idle.emit()
