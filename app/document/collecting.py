"""Keeps Python from collecting garbage in threads beside the window, where what it finds may belong to Qt.

A thread that collects destroys what it finds in circles, widgets and timers among it, and Qt's may be destroyed in
their own thread only: the program crashes a while after, as when a timer goes off that is no more. A thread that ends
runs a little of Python still, just when the dialog that it worked for has become garbage.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from threading import Thread
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, QTimer

EVERY = 50
"""Milliseconds from one collecting to the next while others work."""

_YOUNG = (1, 0)
"""Generations that are collected meanwhile; the oldest takes longer than a frame and waits."""


class Collecting(QObject):
    """Collects in the window's thread as long as there is work beside it, and lets Python go on afterwards."""

    def __init__(self, parent: QObject) -> None:
        """Nothing changes before there is work."""
        super().__init__(parent)
        self._going: list[Callable[[], bool]] = []
        self._clock = QTimer(self, interval=EVERY)
        self._clock.timeout.connect(self._collect)

    def during(self, begin: Callable[[], Future[Any]]) -> Future[Any]:
        """Begin work, and keep collecting here until it is done."""
        self._keep()
        work = begin()
        self._going.append(lambda: not work.done())
        return work

    def while_ending(self, workers: ThreadPoolExecutor, threads: Sequence[Thread]) -> None:
        """Let workers go, and keep collecting here until their threads have ended."""
        self._keep()
        workers.shutdown(wait=False, cancel_futures=True)
        self._going.append(lambda: any(each.is_alive() for each in threads))

    def _keep(self) -> None:
        if gc.isenabled():
            gc.disable()
            self._clock.start()

    def _collect(self) -> None:
        if not self._going:
            # The work ended a whole turn ago, so that its thread rests.
            self._clock.stop()
            gc.enable()
            return
        self._going = [goes_on for goes_on in self._going if goes_on()]
        counts, most = gc.get_count(), gc.get_threshold()
        due = next((each for each in _YOUNG if counts[each] > most[each]), None)
        if due is not None:
            gc.collect(due)


@contextmanager
def nothing_collected() -> Iterator[None]:
    """Nothing is collected meanwhile.

    What reaches all widgets, as another look does, goes through a list that Qt made before: a widget that is collected
    on the way, by what another one does about it, crashes the program.
    """
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            gc.enable()


def collecting() -> Collecting:
    """The one of the application, which is asked for in its own thread."""
    application = QCoreApplication.instance()
    assert application is not None, "work is done beside a window"
    return application.findChild(Collecting) or Collecting(application)
