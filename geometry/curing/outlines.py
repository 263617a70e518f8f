"""The outline and its board: ends on the nut, lines that cross, hollows for the cutter, a larger blank."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from msgspec.structs import replace

from geometry.curing.case import Case, Change, Trial
from geometry.document.corner_edits import round_corner
from geometry.document.node_edits import remove_node, with_nodes
from geometry.document.outline import Bend, Curve, Node, Nodes, Straight
from geometry.document.outline_nodes import nodes_of
from geometry.shape.point import Point
from geometry.shape.tolerance import PRINT, SAME
from geometry.trade.quantities import show_fine, show_length
from geometry.trade.units import INCH, Units

# Boards are told in whole mm and in sixteenths of an inch; common practice, no source.
_BOARD_STEP: dict[Units, float] = {"mm": 1.0, "inch": INCH / 16}


def ends_on_the_nut(case: Case) -> Iterator[Change]:
    """The ends of a free outline where the nut ends."""
    half = case.build.nut.width / 2
    text = "put the ends of the outline on the ends of the nut"
    yield from _redrawn(case, text, lambda nodes: _with_ends(nodes, half, -half))


def ends_on_the_line(case: Case) -> Iterator[Change]:
    """The ends of a free outline straight down on the nut line."""
    text = "put the ends of the outline on the nut line"
    yield from _redrawn(case, text, lambda nodes: _with_ends(nodes, nodes[0].at.x, nodes[-1].at.x))


def turned_round(case: Case) -> Iterator[Change]:
    """An outline that runs clockwise, run the other way."""
    yield from _redrawn(case, "run the outline from the right end of the nut", _reversed)


def _redrawn(
    case: Case, text: str, change: Callable[[tuple[Node, ...]], tuple[Node, ...]]
) -> Iterator[Change]:
    outline = case.build.outline
    if isinstance(outline, Nodes) and len(outline.nodes) > 1:
        yield Trial(case.say(text), with_nodes(case.build, change(outline.nodes)))


def _with_ends(nodes: tuple[Node, ...], right: float, left: float) -> tuple[Node, ...]:
    """With the ends at these x on the nut line."""
    first, *most, last = nodes
    return (replace(first, at=Point(right, 0.0)), *most, replace(last, at=Point(left, 0.0)))


def _reversed(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """The same line from its other end: each run belongs to the node at its other end then."""
    runs = [_run_back(node.onward) for node in reversed(nodes[:-1])]
    return tuple(
        replace(node, onward=run)
        for node, run in zip(reversed(nodes), [*runs, nodes[-1].onward], strict=True)
    )


def _run_back(run: Straight | Bend | Curve) -> Straight | Bend | Curve:
    match run:
        case Bend(bulge=bulge):
            return Bend(bulge=-bulge)
        case Curve(leave=leave, arrive=arrive):
            return Curve(leave=arrive, arrive=leave)
        case _:
            return run


def one_node_less(case: Case) -> Iterator[Change]:
    """A node taken away where lines cross."""
    nodes = nodes_of(case.build)
    place = case.finding.where[0] if case.finding.where else Point(0.0, 0.0)
    for node in sorted(nodes[1:-1], key=lambda each: each.at.distance(place))[:_NEAREST]:
        where = (show_length(round(each, 1), case.head.units) for each in (node.at.x, node.at.y))
        words = case.say("take away the node at {0}, {1}", *where)
        yield Trial(words, remove_node(case.build, node.key))


_NEAREST = 8  # so many nodes near a crossing are tried


# The cutter


def smaller_cutter(case: Case) -> Iterator[Change]:
    """A smaller cutter of the shop."""
    today = case.build.cutter_diameter
    for cutter in sorted((each for each in case.head.shop.cutters if each < today), reverse=True):
        words = case.say("use the {0} cutter", show_fine(cutter, case.head.units))
        yield Trial(words, replace(case.build, cutter_diameter=cutter))


def sawn_by_hand(case: Case) -> Iterator[Change]:
    """No cutter: the hollow is sawn and filed."""
    yield Trial(case.say("saw and file it, without a cutter"), replace(case.build, cutter_diameter=0.0))


def rounded_for_the_cutter(case: Case) -> Iterator[Change]:
    """The corner rounded as far as the cutter needs."""
    place, radius = case.finding.where, case.build.cutter_diameter / 2
    if place is None or not isinstance(case.build.outline, Nodes):
        return
    for node in case.build.outline.nodes[1:-1]:
        if node.at.distance(place[0]) > PRINT:
            continue
        try:
            build = round_corner(case.build, node.key, radius)
        except ValueError:
            continue
        words = case.say("round the corner with a radius of {0}", show_length(radius, case.head.units))
        yield Trial(words, build)


# The board


def larger_board(case: Case) -> Iterator[Change]:
    """A board that the head fits on."""
    board, edge = case.build.head.blank, case.layout.edge
    if board is None or edge is None:
        return
    bounds, step = edge.contour.bounds, _BOARD_STEP[case.head.units]
    larger = replace(
        board,
        left=max(board.left, _whole(-bounds.left, step)),
        right=max(board.right, _whole(bounds.right, step)),
        length=max(board.length, _whole(bounds.top, step)),
    )
    sizes = (show_length(each, case.head.units) for each in (larger.left, larger.right, larger.length))
    words = case.say("take a larger board: {0} to the left, {1} to the right, {2} long", *sizes)
    yield Trial(words, replace(case.build, head=replace(case.build.head, blank=larger)))


def _whole(length: float, step: float) -> float:
    return step * math.ceil(length / step - SAME)
