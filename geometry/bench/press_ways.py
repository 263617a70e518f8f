"""How a cradle comes under the spindle of a drill press, and what each way asks of the press.

The throat of a press is the distance from the axis of its spindle to its column. A bore comes under the spindle only
while the column stands outside of the base plate and clear of the neck.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from typing import Literal

import msgspec

from geometry.bench.cradle import Cradle
from geometry.bench.head_rest import SUPPORT
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.shape.tolerance import SAME

Holding = Literal["wedges", "screwed"]
"""How the blocks are held on the base plate, which with screwed ones is sawn off level with them."""

Turning = Literal["one side", "turned", "tip", "nearest"]
"""How the base plate lies under the spindle, the least work first.

One long side to the column for every bore; turned end for end, each bore drilled from its nearer long side; the tip to
the column and the neck towards the maker; turned so that each bore is drilled from its nearest edge, long side or tip.
"""

WORTH = 1.0
"""mm; a way that saves less of the throat is not worth the turning. Workshop practice, no source."""


class PressWay(msgspec.Struct, frozen=True):
    """One way to drill, and the least press for it; lengths in mm.

    `table` is the length of the table from left to right on which the base plate rests whole under every bore,
    `with_supports` that on which both supports of the neck stand besides, None where the neck does not run along it.
    The spindle is over the middle of the table.
    """

    holding: Holding
    turning: Turning
    throat: float
    table: float
    with_supports: float | None


class PressFit(msgspec.Struct, frozen=True):
    """The way for a press: the first that its throat takes, else the one that lacks least.

    `lacks` is by how much in mm the throat is too short for it, 0 where it is not.
    """

    way: PressWay
    lacks: float


def press_ways(made: Cradle, bores: tuple[Point, ...]) -> tuple[PressWay, ...]:
    """All ways that differ, the least work first; nothing without bores.

    Which throat is the least? Under the spindle lies a bore, outside of the base plate stands the column. The base
    plate is a rectangle, so the nearest place outside of it lies square off one of its edges, whatever the angle at
    which it is turned: no slanting position needs less than the best of the square ones. The edge at the nut is out,
    for the neck leaves there. So a bore needs at least its distance to the nearest of the other edges, and all bores
    together the largest of these distances: "nearest" attains it, by turning each bore's nearest edge to the column.

    The other ways leave edges out, which is less turning and never needs less: "turned" has the two long sides, between
    which half a turn changes, and needs the largest of the distances to the nearer of both; "one side" has one of
    them for all bores, "tip" has the tip. A way is left out where one before it needs as little.
    """
    if not bores:
        return ()
    return tuple(_worth_it(_all_ways(made, bores)))


def fit_press(ways: tuple[PressWay, ...], throat: float) -> PressFit:
    """The way for a press with this throat in mm, of at least one."""
    for way in ways:
        if way.throat <= throat + SAME:
            return PressFit(way, 0.0)
    least = min(ways, key=lambda way: way.throat)
    return PressFit(least, least.throat - throat)


def table_edge(made: Cradle, bores: tuple[Point, ...]) -> float:
    """How far in mm from the spindle a table may reach towards a neck that falls below it.

    The lower end of the base plate lies flush with the table's edge, or past it, under the lowest bore too.
    """
    return min(bore.y - made.base.bottom for bore in bores)


# What each asks for


class _Edge(msgspec.Struct, frozen=True):
    """An edge of the base plate turned to the column while a bore is under the spindle; lengths in mm.

    `away` is how far the edge is, `aside` how far the base plate reaches to the farther side along the table, and
    `supports` how far it and the supports do, None where the neck comes towards the maker.
    """

    away: float
    aside: float
    supports: float | None


def _all_ways(made: Cradle, bores: tuple[Point, ...]) -> Iterator[PressWay]:
    # Screwed blocks need a base plate as wide as they stand.
    sawn_off = Bounds(-made.left.outer, made.base.bottom, made.right.outer, made.base.top)
    plates: dict[Holding, Bounds] = {"wedges": made.base, "screwed": sawn_off}
    for holding, plate in plates.items():
        far = made.rest.far.away + SUPPORT / 2
        edges = [_edges(plate, far, bore) for bore in bores]
        for turning, choose in _CHOICES.items():
            chosen = choose(edges)
            supports = [edge.supports for edge in chosen if edge.supports is not None]
            yield PressWay(
                holding=holding,
                turning=turning,
                throat=max(edge.away for edge in chosen),
                table=2 * max(edge.aside for edge in chosen),
                with_supports=2 * max(supports) if len(supports) == len(chosen) else None,
            )


def _edges(plate: Bounds, far: float, bore: Point) -> tuple[_Edge, _Edge, _Edge]:
    """The left edge, the right edge and the tip, for one bore; `far` is where the supports end, in mm off the nut."""
    above, below = plate.top - bore.y, bore.y - plate.bottom
    to_left, to_right = bore.x - plate.left, plate.right - bore.x
    aside, supports = max(above, below), max(above, bore.y + far)
    return (
        _Edge(to_left, aside, supports),
        _Edge(to_right, aside, supports),
        _Edge(above, max(to_left, to_right), None),
    )


def _nearest(edges: Iterable[_Edge]) -> _Edge:
    return min(edges, key=lambda edge: edge.away)


def _one_side(edges: list[_Three]) -> list[_Edge]:
    sides = ([each[0] for each in edges], [each[1] for each in edges])
    return min(sides, key=lambda side: max(edge.away for edge in side))


_Three = tuple[_Edge, _Edge, _Edge]
_CHOICES: dict[Turning, Callable[[list[_Three]], list[_Edge]]] = {
    "one side": _one_side,
    "turned": lambda edges: [_nearest(each[:2]) for each in edges],
    "tip": lambda edges: [each[2] for each in edges],
    "nearest": lambda edges: [_nearest(each) for each in edges],
}
"""Which edge is turned to the column for each bore."""


def _worth_it(ways: Iterable[PressWay]) -> Iterator[PressWay]:
    """Of each holding the ways that need less than all before them."""
    least: dict[str, float] = {}
    for way in ways:
        if way.throat <= least.get(way.holding, math.inf) - WORTH:
            least[way.holding] = way.throat
            yield way
