"""How much is tried of what a law says of many heads.

The suite tries a sample each time, and more than one thing at once where a test has several parameters. With
`PEGWRIGHT_TESTS=thorough` in the environment it tries all of it; benches and campaigns try still more.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from itertools import product
from typing import TypeVar

One = TypeVar("One")
Other = TypeVar("Other")

THOROUGH = os.environ.get("PEGWRIGHT_TESTS") == "thorough"


def sampled(few: int, *, of: int) -> int:
    """How many are tried: a few, or all that there are."""
    return of if THOROUGH else few


def in_turns(ones: Sequence[One], others: Sequence[Other]) -> list[tuple[One, Other]]:
    """Pairs in which each of both is there; or all pairs."""
    if THOROUGH:
        return list(product(ones, others))
    most = max(len(ones), len(others))
    return [(ones[place % len(ones)], others[place % len(others)]) for place in range(most)]
