"""Checks of the outline itself and of whether everything has a place at all."""

from __future__ import annotations

import itertools

import numpy as np

from geometry.checks.facts import Facts
from geometry.checks.gaps import Gaps, Part, gaps, none_of
from geometry.layout.edge import MOST_CROSSINGS, Edge
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.segment import Arc
from geometry.shape.shapes import points
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import Note

HEAD = Part("head", "", "")


def outline_is_sound(edge: Edge | None) -> bool:
    """Whether the outline starts and ends on the nut line, on the right sides, and never meets itself."""
    return edge is not None and not _faults(edge)


def _faults(edge: Edge) -> list[tuple[Point, str]]:
    crosses, count = "The outline crosses or touches itself", len(edge.crossings)
    if count == MOST_CROSSINGS:
        faults = [(place, f"{crosses}, in {count} places or more.") for place in edge.crossings]
    elif count > 1:
        faults = [(place, f"{crosses}: place {n} of {count}.") for n, place in enumerate(edge.crossings, 1)]
    else:
        faults = [(place, f"{crosses}.") for place in edge.crossings]
    for end, side in ((edge.right_end, "right"), (edge.left_end, "left")):
        if abs(end.y) > SAME:
            faults.append((end, f"The {side} end of the outline is not on the nut line."))
    if edge.right_end.x <= edge.left_end.x:
        faults.append(
            (edge.right_end, "The outline runs clockwise; it goes from the right nut end round the tip.")
        )
    if edge.top <= SAME:
        faults.append((edge.right_end, "The outline does not rise above the nut line."))
    return faults


def outline(facts: Facts) -> Gaps:
    """An edge that is open or crosses itself encloses no head."""
    edge = facts.layout.edge
    rule = facts.rule("outline")
    faults = [(Point(0.0, 0.0), "The outline has no line yet.")] if edge is None else _faults(edge)
    places = points([place for place, _ in faults] or [Point(0.0, 0.0)])
    count = np.array([1.0] * len(faults) or [0.0])
    notes = [note for _, note in faults] or [""]
    parts = [HEAD] * len(count)
    return gaps(rule, parts, count, np.arange(len(count)), places, places, notes=notes)


def width_at_nut(facts: Facts) -> Gaps:
    """A head that ends short of an end of its nut leaves that end without wood under it, however wide the other is."""
    return _at_nut(facts, "width at nut")


def overhang_at_nut(facts: Facts) -> Gaps:
    """A head that stands out beyond an end of its nut leaves a step at the neck."""
    return _at_nut(facts, "overhang at nut")


def _at_nut(facts: Facts, rule: str) -> Gaps:
    """How far the head reaches beyond each end of the nut, treble and bass."""
    edge, half = facts.edge, facts.build.nut.width / 2
    signs = np.array([facts.build.sign_of("treble"), facts.build.sign_of("bass")], dtype=float)
    ends = points([edge.right_end if sign > 0 else edge.left_end for sign in signs])
    of_nut = np.column_stack([signs * half, np.zeros(2)])
    beyond = signs * ends[:, 0] - half
    return gaps(facts.rule(rule), facts.edge_parts, beyond, np.arange(2), of_nut, ends)


def cutter_radius(facts: Facts) -> Gaps:
    """A hollow tighter than the cutter cannot be routed."""
    cutter = facts.build.cutter_diameter
    rule = facts.rule("cutter radius")
    if cutter == 0:
        return none_of(rule)
    hollows = _hollows(facts.edge)
    places = points([place for place, _ in hollows])
    radii: Floats = np.array([radius for _, radius in hollows])
    parts = [Part("edge", "", "")] * len(hollows)
    return gaps(rule, parts, radii - cutter / 2, np.arange(len(hollows)), places, places)


def _hollows(edge: Edge) -> list[tuple[Point, float]]:
    """Concave arcs with their radii, and concave corners as hollows of radius 0."""
    segments = edge.contour.segments
    hollows = [(arc.point_at(0.5), arc.radius) for arc in segments if isinstance(arc, Arc) and arc.bulge < 0]
    for before, after in itertools.pairwise(segments):
        turn = before.tangent_at(1.0).cross(after.tangent_at(0.0))
        # Joints of arcs within ARCS turn by far less than a hundredth of a radian.
        if turn < -0.01:
            hollows.append((after.start, 0.0))
    return hollows


def placement(facts: Facts) -> Gaps:
    """Every row needs its place on the head, and every string a post."""
    layout, build = facts.layout, facts.build
    faults: list[tuple[Part, Note]] = [(HEAD, note) for note in layout.problems]
    if not any(row.posts for row in build.rows):
        faults.append((HEAD, "There are no tuners yet."))
    if not build.strings:
        faults.append((HEAD, "There are no strings yet."))
    carried = {post.string for post in layout.posts}
    for string in build.strings:
        if string.key not in carried:
            label = layout.labels[string.key]
            faults.append((Part("string", string.key, label), f"String {label} has no post."))
    count = np.array([1.0] * len(faults) or [0.0])
    at = np.zeros((len(count), 2))
    parts = [part for part, _ in faults] or [HEAD]
    notes = [note for _, note in faults] or [""]
    return gaps(facts.rule("placement"), parts, count, np.arange(len(count)), at, at, notes=notes)
