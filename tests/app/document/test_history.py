"""Undo and redo: what was done is taken back and done again as it was; what comes after an undo forgets the rest."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.document.session import History
from geometry.document.build import Build
from tests.builds import plain_head


def named(name: str) -> Build:
    return msgspec.structs.replace(plain_head(), name=name)


def test_a_new_history_has_nothing_to_take_back() -> None:
    history = History(named("start"))
    assert (history.undo_label, history.redo_label, history.undo_labels) == (None, None, ())
    history.undo()
    history.redo()
    assert history.build == named("start")


def test_an_act_after_an_undo_forgets_what_was_undone() -> None:
    history = History(named("start"))
    for name in ("one", "two", "three"):
        assert history.commit(f"to {name}", named(name))
    history.undo()
    history.undo()
    assert history.redo_label == "to two"
    assert history.commit("to other", named("other"))
    assert history.undo_labels == ("to other", "to one")
    history.redo()
    assert history.build == named("other")


def test_an_act_that_changes_nothing_is_none_and_keeps_what_was_undone() -> None:
    history = History(named("start"))
    history.commit("to one", named("one"))
    history.undo()
    assert not history.commit("nothing", named("start"))
    assert history.redo_label == "to one"


@given(st.lists(st.one_of(st.sampled_from(["undo", "redo"]), st.integers(0, 3)), max_size=30))
def test_history_is_a_past_and_a_future(acts: list[str | int]) -> None:
    # The model: what is behind, what is here, what is ahead.
    history, past, here, future = History(named("start")), list[str](), "start", list[str]()
    for act in acts:
        if act == "undo":
            history.undo()
            if past:
                future.append(here)
                here = past.pop()
        elif act == "redo":
            history.redo()
            if future:
                past.append(here)
                here = future.pop()
        else:
            changed = history.commit(f"to {act}", named(str(act)))
            assert changed == (str(act) != here)
            if changed:
                past.append(here)
                here, future = str(act), []
        assert history.build == named(here)
        assert (history.undo_label is None, history.redo_label is None) == (not past, not future)
    assert len(history.undo_labels) == len(past)


@pytest.mark.parametrize("count", [1, 50])
def test_all_undone_is_the_start_and_all_redone_the_end(count: int) -> None:
    history = History(named("start"))
    for number in range(count):
        history.commit(str(number), named(str(number)))
    for _ in range(count):
        history.undo()
    assert history.build == named("start")
    for _ in range(count):
        history.redo()
    assert history.build == named(str(count - 1))
