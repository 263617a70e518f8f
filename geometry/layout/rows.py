"""The placement rules: where the posts of a row go, before anybody moves one by hand."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import msgspec

from geometry.document.build import AlongEdge, OnLine, OnPlate, Row, StraightPull
from geometry.layout.edge import Edge
from geometry.layout.least_splay import straight_line_places
from geometry.layout.pull import Pull, exact_places
from geometry.layout.track import RuleError, Track
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware


class PlacedRow(msgspec.Struct, frozen=True):
    """Centres of a row's posts from nut to tip; `line` is the row's direction, None along a curved edge.

    `insets` are the distances in mm that the rule wants from the edge, None where it wants none.
    """

    places: tuple[Point, ...]
    line: Vector | None
    insets: tuple[float | None, ...]


def place_row(
    row: Row, hardware: Hardware, sign: int, edge: Edge, pulls: tuple[Pull, ...], *, careful: bool
) -> PlacedRow:
    """The row as its rule has it; `sign` is that of x on its side, `pulls` the strings of its posts in order.

    Raises RuleError when the edge has no such place. For `careful` see Track.
    """
    count = len(row.posts)
    rule = row.rule
    match rule:
        case AlongEdge():
            return _along_edge(rule, count, sign, edge, careful=careful)
        case OnLine():
            return _on_line(rule, rule.pitch, count, sign, edge, careful=careful)
        case OnPlate():
            return _on_line(rule, _plate_pitch(row, hardware), count, sign, edge, careful=careful)
        case StraightPull():
            return _straight_pull(rule, pulls)


def _plate_pitch(row: Row, hardware: Hardware) -> float:
    if hardware.plate is None:
        msg = f"Row {row.key}: its tuners have no plate; it takes tuners on a plate or another rule."
        raise RuleError(msg)
    if hardware.plate.posts != len(row.posts):
        msg = f"Row {row.key}: the plate carries {hardware.plate.posts} posts, but the row has {len(row.posts)}."
        raise RuleError(msg)
    return hardware.plate.pitch


# The rows that a hand does not touch stay where they are: their places are kept.


@lru_cache(maxsize=32)
def _along_edge(rule: AlongEdge, count: int, sign: int, edge: Edge, *, careful: bool) -> PlacedRow:
    track = Track(edge, sign, rule.inset, careful=careful)
    places = [track.at_height(rule.start)]
    while len(places) < count:
        places.append(track.at_pitch(places[-1], rule.pitch))
    return PlacedRow(tuple(places), None, (rule.inset,) * count)


@lru_cache(maxsize=32)
def _on_line(
    rule: OnLine | OnPlate, pitch: float, count: int, sign: int, edge: Edge, *, careful: bool
) -> PlacedRow:
    """The first and last post at their insets, the others between them."""
    first = Track(edge, sign, rule.inset, careful=careful).at_height(rule.start)
    if count == 1:
        return PlacedRow((first,), None, (rule.inset,))
    inset_last = rule.inset if rule.inset_last is None else rule.inset_last
    track = Track(edge, sign, inset_last, careful=careful)
    track.go_on_beside(first)
    last = track.at_pitch(first, pitch * (count - 1))
    line = (last - first).unit()
    places = tuple(first + line * (pitch * number) for number in range(count))
    return PlacedRow(places, line, (rule.inset, *(None,) * (count - 2), inset_last))


def _straight_pull(rule: StraightPull, pulls: tuple[Pull, ...]) -> PlacedRow:
    if any(pull.slot is None for pull in pulls):
        msg = "Straight pull needs a string on every post of the row."
        raise RuleError(msg)
    exact = rule.exact or len(pulls) == 1
    places = (exact_places if exact else straight_line_places)(rule.start, rule.pitch, pulls)
    if exact and any(one.distance(two) > rule.pitch + SAME for one, two in pairwise(places)):
        msg = "Straight pull: the strings run further apart than the pitch of {0}."
        raise RuleError(msg, typed=(rule.pitch,))
    # A row of one post lies along its string.
    line = (places[-1] - places[0]).unit() if len(places) > 1 else pulls[0].run
    return PlacedRow(places, line, (None,) * len(places))
