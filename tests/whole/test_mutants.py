"""The list of mistakes that the tests must notice is about the program as it is."""

from __future__ import annotations

from tests.bench.mutants import MUTANTS, wrong


def test_every_mistake_can_still_be_made() -> None:
    assert wrong() == []


def test_there_are_forty_of_them_and_each_changes_something() -> None:
    assert len({(mutant.file, mutant.old, mutant.new) for mutant in MUTANTS}) >= 40
    assert all(mutant.old != mutant.new for mutant in MUTANTS)
