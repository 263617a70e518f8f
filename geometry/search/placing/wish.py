"""What the maker asks of the best placement."""

from __future__ import annotations

from typing import Literal

import msgspec

Kind = Literal["mirrored", "even", "free"]


class Span(msgspec.Struct, frozen=True, gc=False):
    """A length in mm that is kept between two others, both allowed."""

    least: float
    most: float


class Wish(msgspec.Struct, frozen=True):
    """How the best placement is looked for.

    `kind`: "even" changes the numbers of the rules and takes back what was moved by hand; "mirrored" does so too and
    gives rows that mirror each other the same numbers; "free" moves each post by hand and leaves the rules of rows that
    have a place alone. Rows on a rigid plate keep to it in all. None is "mirrored" where both sides are alike and
    something may move so, else "even". Posts in `fixed` (by key) stay where they are. `pitch` bounds the distance of
    neighbours that no plate holds apart, `inset` that of every post from the edge. `straight` is how many mm of the
    smallest ring a degree of splay is worth, in the mean of all strings; at 0 the pull only decides between equals.
    `seed` chooses the shifts from which the search starts again.
    """

    kind: Kind | None = None
    fixed: tuple[str, ...] = ()
    pitch: Span | None = None
    inset: Span | None = None
    straight: float = 0.0
    seed: int = 0
