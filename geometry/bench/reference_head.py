"""The head that others are compared with: three tuners a side on a mahogany head at 13°, as the sample has it."""

from __future__ import annotations

from functools import lru_cache

from msgspec.structs import replace

from geometry.bench.strength import Strength, strength
from geometry.document.build import Build, Polygon, Region
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade import hardware_library
from geometry.trade.string_sets import find_string_set

REFERENCE_NAME = "three-plus-three sample"
"""What a sentence calls it."""

_WOOD = "true mahogany"
_POCKET_WIDTH, _POCKET_LENGTH, _POCKET_DEPTH = 10.0, 22.0, 9.0  # mm, from the nut line, of the rod


def reference_head() -> Build:
    """The head itself, made like any new one and given its wood and its rod pocket."""
    suggestion = SUGGESTIONS["straight-taper"]
    string_set, hardware = find_string_set(suggestion.string_set), hardware_library.find(suggestion.hardware)
    assert string_set is not None, "a starter suggests a set that there is"
    assert hardware is not None, "a starter suggests tuners that there are"
    fresh = new_build(
        "straight-taper",
        name=REFERENCE_NAME,
        nut_width=suggestion.nut_width,
        string_set=string_set,
        hardware=hardware,
        left_handed=False,
    )
    half = _POCKET_WIDTH / 2
    corners = (
        Point(-half, 0.0),
        Point(half, 0.0),
        Point(half, _POCKET_LENGTH),
        Point(-half, _POCKET_LENGTH),
    )
    pocket = Region(
        key="rod", name="rod pocket", shape=Polygon(points=corners), side="face", depth=_POCKET_DEPTH
    )
    return replace(fresh, head=replace(fresh.head, wood=_WOOD), keep_clear=(pocket,))


@lru_cache(maxsize=1)
def reference_use() -> float:
    """How much its strings use of what a timber code would allow of its wood, as a share."""
    build = reference_head()
    return strength(build, lay_out(build)).most_used()


def index(found: Strength) -> float:
    """How a head that has a figure compares: 100 for the reference, 200 for one that is used half as much."""
    return 100 * reference_use() / found.most_used()
