"""Work beside the window: its result, its refusals, its end when nobody wants it any more."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from functools import partial

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from app.document.messages import Progress, Refusal
from app.document.work import Cancelled, Work


@pytest.fixture
def work(qtbot: QtBot) -> Iterator[Work]:
    made = Work()
    yield made
    made.close()


def waiting_for(gate: threading.Event, result: str = "done") -> Callable[[Progress], str]:
    def function(progress: Progress) -> str:
        progress(1, 3)
        assert gate.wait(5)
        progress(2, 3)
        return result

    return function


def test_the_result_comes_from_another_thread(qtbot: QtBot, work: Work) -> None:
    with qtbot.waitSignal(work.done) as told:
        work.start(lambda _: threading.current_thread().name)
    assert str((told.args or [""])[0]).startswith("output")
    assert not work.busy


def test_the_window_goes_on_and_sees_progress(qtbot: QtBot, work: Work) -> None:
    gate = threading.Event()
    with qtbot.waitSignal(work.progressed, check_params_cb=lambda done, steps: (done, steps) == (1, 3)):
        work.start(waiting_for(gate))
    assert work.busy
    with qtbot.waitSignal(work.done) as told:
        gate.set()
    assert told.args == ["done"]


def test_given_up_work_ends_and_is_never_seen(qtbot: QtBot, work: Work) -> None:
    gate, ended = threading.Event(), threading.Event()

    def function(progress: Progress) -> str:
        try:
            return waiting_for(gate)(progress)
        except Cancelled:
            ended.set()
            raise

    with qtbot.waitSignal(work.progressed, check_params_cb=lambda done, _: done == 1):
        work.start(function)
    with qtbot.assertNotEmitted(work.done, wait=60):
        with qtbot.waitSignal(work.idle):
            work.cancel()
        assert not work.busy
        gate.set()
        assert ended.wait(5)


def test_new_work_takes_the_place_of_the_last(qtbot: QtBot, work: Work) -> None:
    gate = threading.Event()
    results: list[object] = []
    work.done.connect(results.append)
    work.start(waiting_for(gate, "old"))
    work.start(lambda _: "new")
    with qtbot.waitSignal(work.done):
        gate.set()
    assert results == ["new"]


def test_a_refusal_is_a_sentence(qtbot: QtBot, work: Work) -> None:
    def function(_: Progress) -> str:
        raise Refusal("The disk is full.")

    with qtbot.waitSignal(work.idle), qtbot.waitSignal(work.refused) as told:
        work.start(function)
    assert told.args == ["The disk is full."]


def test_a_fault_of_the_program_comes_up_in_the_window(qtbot: QtBot, work: Work) -> None:
    def function(_: Progress) -> str:
        raise ZeroDivisionError

    with qtbot.captureExceptions() as caught, qtbot.waitSignal(work.idle):
        work.start(function)
    assert [kind for kind, *_ in caught] == [ZeroDivisionError]


def test_without_work_there_is_nothing_to_give_up(qtbot: QtBot, work: Work) -> None:
    with qtbot.assertNotEmitted(work.idle, wait=1):
        work.cancel()


class Dialog(QObject):
    """A part of the window that somebody may close while the work goes on."""

    def words(self, _: Progress) -> str:
        return "mine"


def test_work_holds_no_part_of_the_window(work: Work) -> None:
    dialog, words = Dialog(), "mine"
    held: list[Callable[[Progress], object]] = [
        dialog.words,
        lambda _: dialog.objectName(),
        partial(lambda part, _: part, dialog),
        partial(lambda _, part: part, part=lambda: dialog),
    ]
    for function in held:
        with pytest.raises(AssertionError, match="holds no part"):
            work.start(function)
    assert not work.busy
    work.start(lambda _: words)
    assert work.busy


def test_what_is_closed_takes_no_more_work(qtbot: QtBot) -> None:
    made = Work()
    made.close()
    with qtbot.assertNotEmitted(made.done, wait=50):
        made.start(lambda _: "late")
        assert not made.busy
