"""In which order placements are looked for: the plainest first, so that what comes after is worth what it spoils."""

from __future__ import annotations

import msgspec
from msgspec.structs import replace

from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.alike import Twins, Unlike, twins_of
from geometry.search.placing.handles import Handles, closed_up, handles_of
from geometry.search.placing.wish import Kind, Wish


class Stages(msgspec.Struct, frozen=True):
    """What a search may change, from the plainest to what was asked for; `twins` are rows that mirror each other."""

    kind: Kind
    twins: Twins
    handles: tuple[Handles, ...]


def sides_of(build: Build, layout: Layout) -> Twins | Unlike:
    """The rows that a search can keep mirror images of each other, or why there are none. `layout` is the build's."""
    found = twins_of(build, layout)
    if isinstance(found, Unlike) and found.why == "no place":
        fitting = closed_up(build)
        return twins_of(fitting, lay_out(fitting))
    return found


def stages_of(build: Build, layout: Layout, wish: Wish) -> Stages:
    """The stages of a wish. `layout` is that of the build.

    Rows that mirror each other are first kept so, rows that nobody has moved by hand are first kept even.
    """
    found = twins_of(build, layout)
    twins: Twins = () if isinstance(found, Unlike) else found
    tied = handles_of(build, layout, replace(wish, kind="even"), twins)
    kind: Kind = wish.kind or ("mirrored" if twins and tied.handles else "even")
    assert twins or kind != "mirrored", "the sides are not alike"
    if kind == "mirrored":
        return Stages(kind, twins, (tied,))
    loose = handles_of(build, layout, replace(wish, kind="even"))
    if kind == "even":
        return Stages(kind, twins, (tied, loose) if twins else (loose,))
    free = [
        handles_of(build, layout, replace(wish, kind="free"), each)
        for each in ((twins, ()) if twins else ((),))
    ]
    is_even = loose.build == build
    return Stages(kind, twins, (*((tied,) if is_even else ()), *free))
