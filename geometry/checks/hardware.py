"""Checks of the tuners against each other and the edge: bodies, washers, seats, buttons, screws and pins."""

from __future__ import annotations

import numpy as np
import shapely

from geometry.checks.facts import Facts, pairs, plate_part
from geometry.checks.gaps import Gaps, Part, gaps, none_of
from geometry.checks.near_edge import deepest
from geometry.checks.trimmed import BOTH_SIDES, once_back_trimmed, once_rounded, once_trimmed, trimmed_end
from geometry.layout.edge import Edge
from geometry.layout.old_holes import holes_left
from geometry.layout.parts import thickness_at
from geometry.shape.box import Box, box_disc_gaps, box_gaps, rows
from geometry.shape.close import Floats, Indices
from geometry.shape.segment import Circle
from geometry.shape.shapes import Shapes, places_at, points
from geometry.trade.hardware import SideButton
from geometry.trade.wood import WIDEST_SHARE

POINT_LENGTH = 0.3
"""A 118 degree drill point is (D / 2) / tan(59 degrees) = 0.3 D long."""


def body_gap(facts: Facts) -> Gaps:
    """Bodies that meet cannot both be screwed down."""
    return _body_gaps(facts, butting=False)


def butting_body_gap(facts: Facts) -> Gaps:
    """Bodies made to stand side by side may touch, but not overlap."""
    return _body_gaps(facts, butting=True)


def _body_gaps(facts: Facts, *, butting: bool) -> Gaps:
    bodies = [(Part("body", post.key, post.label), post.body, post.hardware.butts) for post in facts.posts]
    with_body = [(part, box, butts) for part, box, butts in bodies if box is not None]
    with_body += [(plate_part(facts.layout, plate.posts), plate.box, False) for plate in facts.layout.plates]
    butts = np.array([each[2] for each in with_body], dtype=bool)
    i, j = pairs(len(with_body))
    keep = (butts[i] & butts[j]) == butting
    rule = facts.rule("butting body gap" if butting else "body gap")
    if not keep.any():
        return none_of(rule)
    i, j = i[keep], j[keep]
    measured, here, there = box_gaps(rows([each[1] for each in with_body]), i, j)
    return gaps(rule, [each[0] for each in with_body], measured, i, here, there, j=j)


def washer_gap(facts: Facts) -> Gaps:
    """Washers that overlap each other or the edge do not lie flat."""
    parts = (*(Part("washer", post.key, post.label) for post in facts.posts), *facts.edge_parts)
    has = np.flatnonzero(facts.collar > 0)
    at, radius = facts.at[has], facts.collar[has] / 2
    i, j = pairs(len(has))
    between = shapely.distance(facts.centres[has[i]], facts.centres[has[j]]) - radius[i] - radius[j]
    near = facts.near.posts
    head = facts.build.head
    beside = near.distance[has] - radius - head.edge_face
    ends = trimmed_end(at, near.foot[has], near.distance[has], head.edge_face, beside)
    return gaps(
        facts.rule("washer gap"),
        parts,
        np.concatenate([between, beside]),
        np.concatenate([has[i], has]),
        np.vstack([at[i], at]),
        np.vstack([at[j], ends]),
        j=np.concatenate([has[j], len(facts.posts) + facts.edge_index(near)[has]]),
        notes=[*[""] * len(between), *[once_rounded(head)] * len(beside)],
    )


def seat(facts: Facts) -> Gaps:
    """A seat that hangs over the back's edge rocks, and the screws beside it split the wood."""
    near = facts.near.seats
    distance, here, there = near.distance.copy(), near.here.copy(), near.there.copy()
    for n in np.flatnonzero(~shapely.contains_properly(facts.edge.wood, near.shapes)):
        over = shapely.difference(near.shapes[n], facts.edge.wood)
        distance[n], here[n], there[n] = deepest(over, facts.edge.line)
    row, measured = np.arange(len(distance)), distance - facts.trim_back
    ends = trimmed_end(here, there, distance, facts.trim_back, measured)
    notes = (once_back_trimmed(facts.build.head),) * len(row)
    return gaps(facts.rule("seat"), facts.seats, measured, row, here, ends, notes=notes)


def seat_on_flat_back(facts: Facts) -> Gaps:
    """A seat on the curve of the neck or its volute stands off the wood."""
    rule = facts.rule("seat on flat back")
    if not facts.seats:
        return none_of(rule)
    lowest = lowest_corners(facts.seat_shapes)
    from_y = facts.build.head.back_flat_from
    there = np.column_stack([lowest[:, 0], np.full(len(lowest), from_y)])
    return gaps(rule, facts.seats, lowest[:, 1] - from_y, np.arange(len(lowest)), lowest, there)


def lowest_corners(boxes: Shapes) -> Floats:
    """Those (n, 2) of the corners of boxes (n,) that are nearest to the nut line."""
    corners = shapely.get_coordinates(boxes).reshape(-1, 5, 2)
    lowest: Floats = corners[np.arange(len(corners)), np.argmin(corners[:, :, 1], axis=1)]
    return lowest


def button_gap(facts: Facts) -> Gaps:
    """Fingers turn one button; a neighbour that touches turns with it or stops it."""
    parts = [Part("button", post.key, post.label) for post in facts.posts]
    boxes = [(n, post.button) for n, post in enumerate(facts.posts) if isinstance(post.button, Box)]
    discs = [(n, post.button) for n, post in enumerate(facts.posts) if isinstance(post.button, Circle)]
    found = [_box_box(boxes), _box_disc(boxes, discs), _disc_disc(discs)]
    rule = facts.rule("button gap")
    filled = [each for each in found if len(each[0])]
    if not filled:
        return none_of(rule)
    measured, i, j, here, there = (np.concatenate([each[n] for each in filled]) for n in range(5))
    return gaps(rule, parts, measured, i, here, there, j=j)


Found = tuple[Floats, Indices, Indices, Floats, Floats]


NOTHING: Found = (
    np.empty(0),
    np.empty(0, dtype=np.intp),
    np.empty(0, dtype=np.intp),
    np.empty((0, 2)),
    np.empty((0, 2)),
)


def _box_box(boxes: list[tuple[int, Box]]) -> Found:
    if len(boxes) < 2:
        return NOTHING
    owner = np.array([n for n, _ in boxes], dtype=np.intp)
    i, j = pairs(len(boxes))
    measured, here, there = box_gaps(rows([box for _, box in boxes]), i, j)
    return measured, owner[i], owner[j], here, there


def _box_disc(boxes: list[tuple[int, Box]], discs: list[tuple[int, Circle]]) -> Found:
    if not boxes or not discs:
        return NOTHING
    i, j = (index.ravel() for index in np.indices((len(boxes), len(discs))))
    table = rows([box for _, box in boxes])
    centres = points([disc.centre for _, disc in discs])
    radii = np.array([disc.radius for _, disc in discs])
    measured, here, there = box_disc_gaps(table[i], centres[j], radii[j])
    owners = [np.array([n for n, _ in each], dtype=np.intp) for each in (boxes, discs)]
    return measured, owners[0][i], owners[1][j], here, there


def _disc_disc(discs: list[tuple[int, Circle]]) -> Found:
    if len(discs) < 2:
        return NOTHING
    owner = np.array([n for n, _ in discs], dtype=np.intp)
    centres = points([disc.centre for _, disc in discs])
    radii = np.array([disc.radius for _, disc in discs])
    i, j = pairs(len(discs))
    middles = places_at(centres)
    measured = shapely.distance(middles[i], middles[j]) - radii[i] - radii[j]
    return measured, owner[i], owner[j], centres[i], centres[j]


def button_to_edge(facts: Facts) -> Gaps:
    """A button that rubs the edge of the head wears it and turns hard; one that passes below the back is free."""
    rule = facts.rule("button to edge")
    beside = [not _passes_below(facts.posts[n].hardware.button) for n in facts.side_buttons.tolist()]
    chosen = np.flatnonzero(beside)
    if not len(chosen):
        return none_of(rule)
    near = facts.near.buttons
    posts = facts.side_buttons[chosen]
    measured, here, there = (each[chosen] for each in (near.distance, near.here, near.there))
    shapes = near.shapes[chosen]
    for n in np.flatnonzero(shapely.intersects(facts.edge.wood, shapes)):
        measured[n], here[n], there[n] = _over_head(facts.edge, shapes[n])
    parts = [Part("button", post.key, post.label) for post in facts.posts]
    return gaps(rule, parts, measured, posts, here, there)


def _passes_below(button: object) -> bool:
    """Whether a side button turns wholly below the back, so that no edge is in its way."""
    return isinstance(button, SideButton) and button.swept_diameter / 2 < button.shaft_depth


def _over_head(edge: Edge, button: shapely.Polygon) -> tuple[float, Floats, Floats]:
    """How far a side button reaches over the head, as a negative distance, and the ends of the deepest reach.

    That is the depth of its deepest place in the head, or of the head's deepest place in it.
    """
    shared = shapely.intersection(button, edge.wood)
    return min(deepest(shared, edge.line), deepest(shared, button.boundary), key=lambda each: each[0])


# Screws and pins


def screw_to_edge(facts: Facts) -> Gaps:
    """A screw near the edge splits the wood there."""
    holes = facts.layout.small_holes
    rule = facts.rule("screw to edge")
    if not holes:
        return none_of(rule)
    near = facts.near.holes
    radius = np.array([hole.diameter / 2 for hole in holes])
    parts = [*facts.holes, *facts.edge_parts]
    j = len(holes) + facts.edge_index(near)
    trims = np.array([facts.trim_face if hole.side == "face" else facts.trim_back for hole in holes])
    measured = near.distance - radius - trims
    ends = trimmed_end(near.at, near.foot, near.distance, trims, measured)
    face, back = (once_trimmed(facts.build.head, side) for side in BOTH_SIDES)
    notes = [face if hole.side == "face" else back for hole in holes]
    return gaps(rule, parts, measured, np.arange(len(holes)), near.at, ends, j=j, notes=notes)


def screw_to_hole(facts: Facts) -> Gaps:
    """A screw that breaks into another hole does not hold."""
    holes = facts.layout.small_holes
    old = holes_left(facts.build, facts.posts)
    parts = [*facts.holes, *facts.bores, *(Part("hole", hole.key, f"{hole.key} (old)") for hole in old)]
    at = np.vstack([points([hole.at for hole in holes]), facts.at, points([hole.at for hole in old])])
    radius = np.concatenate(
        [[hole.diameter / 2 for hole in holes], facts.bore / 2, [hole.diameter / 2 for hole in old]]
    )
    i, j = pairs(len(at))
    keep = (i < len(holes)) & ~_own(facts, i, j)
    i, j = i[keep], j[keep]
    middles = places_at(at)
    measured = shapely.distance(middles[i], middles[j]) - radius[i] - radius[j]
    return gaps(facts.rule("screw to hole"), parts, measured, i, at[i], at[j], j=j)


def _own(facts: Facts, i: Indices, j: Indices) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether a small hole i meets a bore j of one of its own tuners."""
    holes, posts = facts.layout.small_holes, facts.posts
    own = {
        (n, len(holes) + m)
        for n, hole in enumerate(holes)
        for m, post in enumerate(posts)
        if post.key in hole.owners
    }
    return np.array([pair in own for pair in zip(i.tolist(), j.tolist(), strict=True)], dtype=bool)


def screw_to_own_bore(facts: Facts) -> Gaps:
    """A screw that runs into its own tuner's bore does not hold and blocks the post."""
    places = {post.key: number for number, post in enumerate(facts.posts)}
    holes = facts.layout.small_holes
    own = [(n, places[key]) for n, hole in enumerate(holes) for key in hole.owners]
    parts = facts.holes
    hole_at = points([holes[n].at for n, _ in own])
    radius = np.array([holes[n].diameter / 2 for n, _ in own])
    bores = np.array([m for _, m in own], dtype=np.intp)
    measured = shapely.distance(places_at(hole_at), facts.centres[bores]) - radius - facts.bore[bores] / 2
    i = np.array([n for n, _ in own], dtype=np.intp)
    return gaps(facts.rule("screw to own bore"), parts, measured, i, hole_at, facts.at[bores])


def screw_depth(facts: Facts) -> Gaps:
    """A pilot or screw that comes too near the face, or near the back from there, dents it or comes through.

    The widest pilot that any wood wants, whose point reaches deepest: a build is judged alike in every shop, whatever
    woods the shop adds.
    """
    holes = facts.layout.small_holes
    thick = np.array([thickness_at(facts.build, hole.at.y, facts.layout.top) for hole in holes])
    drills = np.array([hole.root * WIDEST_SHARE if hole.kind == "screw" else hole.diameter for hole in holes])
    depths = np.array([hole.depth for hole in holes])
    at = points([hole.at for hole in holes])
    parts = facts.holes
    measured = thick - depths - POINT_LENGTH * drills
    return gaps(facts.rule("screw depth"), parts, measured, np.arange(len(holes)), at, at)


def piece(facts: Facts) -> Gaps:
    """A left piece on the right side, or a right one on the left, tunes the wrong way round."""
    wrong = np.array([float(post.piece != post.fitting_piece) for post in facts.posts])
    parts = [Part("post", post.key, post.label) for post in facts.posts]
    return gaps(facts.rule("piece"), parts, wrong, np.arange(len(wrong)), facts.at, facts.at)
