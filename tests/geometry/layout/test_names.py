"""Names of holes in order and in short."""

from __future__ import annotations

import pytest

from geometry.layout.names import run_words


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["6", "5", "4", "3", "2", "1"], "1 to 6"),
        (["1", "2", "4"], "1, 2, 4"),
        (["10", "9", "8", "2"], "2, 8 to 10"),
        (["S1", "S2", "S3", "P1"], "P1, S1 to S3"),
        (["1a", "1b", "2a", "2b"], "1a to 2b"),
        (["1a", "2a", "3a"], "1a, 2a, 3a"),
        (["1a", "1b", "1c"], "1a, 1b, 1c"),
        (["spare A", "spare B", "spare C"], "spare A, spare B, spare C"),
        (["1", "2", "3", "4a", "4b"], "1 to 3, 4a, 4b"),
        ([], ""),
    ],
)
def test_runs(names: list[str], words: str) -> None:
    assert run_words(names) == words
