"""While something works beside the window, garbage is collected in the window's thread alone."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from threading import Thread, current_thread, main_thread

import pytest
from pytestqt.qtbot import QtBot

from app.document.work import Work

SOON = 20_000
MANY = 20_000


@pytest.fixture(autouse=True)
def as_usual(qtbot: QtBot) -> Iterator[None]:
    """Works that a test leaves behind have let their threads go before the next one."""
    yield
    gc.collect()
    qtbot.wait(200)
    gc.enable()


def test_what_a_thread_leaves_in_circles_is_destroyed_in_the_windows_thread(qtbot: QtBot) -> None:
    destroyed: list[Thread] = []

    class Circle:
        def __init__(self) -> None:
            self.me = self

        def __del__(self) -> None:
            destroyed.append(current_thread())

    def make(_: object) -> int:
        assert not gc.isenabled()
        return len([Circle() and None for _ in range(MANY)])

    work = Work()
    with qtbot.waitSignal(work.done, timeout=SOON):
        work.start(make)
    qtbot.waitUntil(gc.isenabled, timeout=SOON)
    gc.collect()
    assert len(destroyed) == MANY
    assert set(destroyed) == {main_thread()}


def test_it_lasts_until_work_that_was_given_up_has_ended(qtbot: QtBot) -> None:
    going = [True]

    def last(_: object) -> None:
        while going:
            pass

    work = Work()
    work.start(last)
    work.cancel()
    qtbot.wait(200)
    assert not gc.isenabled()
    going.clear()
    qtbot.waitUntil(gc.isenabled, timeout=SOON)


def test_what_was_switched_off_before_stays_so(qtbot: QtBot) -> None:
    gc.disable()
    work = Work()
    with qtbot.waitSignal(work.done, timeout=SOON):
        work.start(lambda _: None)
    qtbot.wait(200)
    assert not gc.isenabled()


def rested(qtbot: QtBot) -> tuple[Work, Thread]:
    """A work that has done something, and its thread, which rests."""
    work, threads = Work(), list[Thread]()
    with qtbot.waitSignal(work.done, timeout=SOON):
        work.start(lambda _: threads.append(current_thread()))
    qtbot.waitUntil(gc.isenabled, timeout=SOON)
    return work, threads[0]


def test_it_lasts_until_the_thread_of_a_work_that_is_closed_has_ended(qtbot: QtBot) -> None:
    work, thread = rested(qtbot)
    work.close()
    assert not gc.isenabled()
    qtbot.waitUntil(gc.isenabled, timeout=SOON)
    assert not thread.is_alive()


def test_a_work_that_is_destroyed_lets_its_thread_go(qtbot: QtBot) -> None:
    work, thread = rested(qtbot)
    work.deleteLater()
    qtbot.waitUntil(lambda: not thread.is_alive(), timeout=SOON)
    qtbot.waitUntil(gc.isenabled, timeout=SOON)
