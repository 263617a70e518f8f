"""Checks of the tuners against each other and the edge: bodies, washers, seats, buttons, screws and pins."""

from __future__ import annotations

import numpy as np

from geometry.checks.facts import Facts, hole_part, pairs
from geometry.checks.gaps import Floats, Gaps, Indices, Part, gaps, none_of, points
from geometry.shape.box import Box, box_disc_gaps, box_gaps, rows
from geometry.shape.segment import Circle
from geometry.trade.hardware import SideButton
from geometry.trade.wood import find_wood, pilot_share

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
    with_body += [(_plate_part(facts, plate.posts), plate.box, False) for plate in facts.layout.plates]
    butts = np.array([each[2] for each in with_body], dtype=bool)
    i, j = pairs(len(with_body))
    keep = (butts[i] & butts[j]) == butting if len(i) else np.empty(0, dtype=bool)
    i, j = i[keep], j[keep]
    rule = facts.rule("butting body gap" if butting else "body gap")
    measured, here, there = box_gaps(rows([each[1] for each in with_body]), i, j)
    return gaps(rule, [each[0] for each in with_body], measured, i, here, there, j=j)


def _plate_part(facts: Facts, posts: tuple[str, ...]) -> Part:
    labels = [facts.layout.labels[key] for key in (posts[0], posts[-1])]
    return Part("body", posts[0], " to ".join(labels))


def washer_gap(facts: Facts) -> Gaps:
    """Washers that overlap each other or the edge do not lie flat."""
    parts = (*(Part("washer", post.key, post.label) for post in facts.posts), *facts.edges())
    has = np.flatnonzero(facts.collar > 0)
    at, radius = facts.at[has], facts.collar[has] / 2
    i, j = pairs(len(has))
    apart = at[j] - at[i]
    between = np.hypot(apart[:, 0], apart[:, 1]) - radius[i] - radius[j]
    beside = facts.to_edge[has] - radius - facts.build.head.edge_face
    return gaps(
        facts.rule("washer gap"),
        parts,
        np.concatenate([between, beside]),
        np.concatenate([has[i], has]),
        np.vstack([at[i], at]),
        np.vstack([at[j], facts.foot[has]]),
        j=np.concatenate([has[j], len(facts.posts) + facts.edge_index(at, facts.foot[has])]),
    )


def seat(facts: Facts) -> Gaps:
    """A seat that hangs over the back's edge rocks, and the screws beside it split the wood."""
    parts, boxes = _seats(facts)
    if not boxes:
        return none_of(facts.rule("seat"))
    distance, here, there = _box_inside(facts, boxes)
    return gaps(facts.rule("seat"), parts, distance - facts.trim_back, np.arange(len(boxes)), here, there)


def seat_on_flat_back(facts: Facts) -> Gaps:
    """A seat on the curve of the neck or its volute stands off the wood."""
    parts, boxes = _seats(facts)
    lowest = points([min(box.corners(), key=lambda corner: corner.y) for box in boxes])
    from_y = facts.build.head.back_flat_from
    there = np.column_stack([lowest[:, 0], np.full(len(boxes), from_y)])
    return gaps(
        facts.rule("seat on flat back"), parts, lowest[:, 1] - from_y, np.arange(len(boxes)), lowest, there
    )


def _seats(facts: Facts) -> tuple[list[Part], list[Box]]:
    seats = [(Part("body", post.key, post.label), post.seat) for post in facts.posts]
    found = [(part, box) for part, box in seats if box is not None]
    found += [(_plate_part(facts, plate.posts), plate.box) for plate in facts.layout.plates]
    return [part for part, _ in found], [box for _, box in found]


def _sides(boxes: list[Box]) -> tuple[Floats, Floats]:
    """Starts and ends (4 n, 2) of the sides of boxes."""
    corners = np.array([[(corner.x, corner.y) for corner in box.corners()] for box in boxes])
    return corners.reshape(-1, 2), np.roll(corners, -1, axis=1).reshape(-1, 2)


def _nearest_side(facts: Facts, boxes: list[Box]) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Least unsigned distances (n,) of boxes to the edge with both places, and signed distances (n, 4) of corners."""
    starts, ends = _sides(boxes)
    distance, here, there = facts.edge.pieces.segment_distance(starts, ends)
    best = np.argmin(distance.reshape(-1, 4), axis=1) + 4 * np.arange(len(boxes))
    corners, feet = facts.edge.distance(starts)
    return distance[best], here[best], there[best], corners.reshape(-1, 4), feet.reshape(-1, 4, 2)


def _box_inside(facts: Facts, boxes: list[Box]) -> tuple[Floats, Floats, Floats]:
    """How far boxes lie inside the edge, negative by how far a corner is outside; and the places."""
    distance, here, there, corners, feet = _nearest_side(facts, boxes)
    worst = np.argmin(corners, axis=1)
    row = np.arange(len(boxes))
    out = corners[row, worst] < 0
    starts = _sides(boxes)[0].reshape(-1, 4, 2)
    return (
        np.where(out, corners[row, worst], distance),
        np.where(out[:, None], starts[row, worst], here),
        np.where(out[:, None], feet[row, worst], there),
    )


def button_gap(facts: Facts) -> Gaps:
    """Fingers turn one button; a neighbour that touches turns with it or stops it."""
    parts = [Part("button", post.key, post.label) for post in facts.posts]
    boxes = [(n, post.button) for n, post in enumerate(facts.posts) if isinstance(post.button, Box)]
    discs = [(n, post.button) for n, post in enumerate(facts.posts) if isinstance(post.button, Circle)]
    found = [_box_box(boxes), _box_disc(boxes, discs), _disc_disc(discs)]
    measured, i, j, here, there = (np.concatenate([each[n] for each in found]) for n in range(5))
    return gaps(facts.rule("button gap"), parts, measured, i, here, there, j=j)


Found = tuple[Floats, Indices, Indices, Floats, Floats]


def _box_box(boxes: list[tuple[int, Box]]) -> Found:
    owner = np.array([n for n, _ in boxes], dtype=np.intp)
    i, j = pairs(len(boxes))
    measured, here, there = box_gaps(rows([box for _, box in boxes]), i, j)
    return measured, owner[i], owner[j], here, there


def _box_disc(boxes: list[tuple[int, Box]], discs: list[tuple[int, Circle]]) -> Found:
    i, j = (index.ravel() for index in np.indices((len(boxes), len(discs))))
    table = rows([box for _, box in boxes])
    centres = points([disc.centre for _, disc in discs])
    radii = np.array([disc.radius for _, disc in discs])
    measured, here, there = box_disc_gaps(table[i], centres[j], radii[j])
    owners = [np.array([n for n, _ in each], dtype=np.intp) for each in (boxes, discs)]
    return measured, owners[0][i], owners[1][j], here, there


def _disc_disc(discs: list[tuple[int, Circle]]) -> Found:
    owner = np.array([n for n, _ in discs], dtype=np.intp)
    centres = points([disc.centre for _, disc in discs])
    radii = np.array([disc.radius for _, disc in discs])
    i, j = pairs(len(discs))
    apart = centres[j] - centres[i]
    measured = np.hypot(apart[:, 0], apart[:, 1]) - radii[i] - radii[j]
    return measured, owner[i], owner[j], centres[i], centres[j]


def button_to_edge(facts: Facts) -> Gaps:
    """A button that rubs the edge of the head wears it and turns hard; one that passes below the back is free."""
    chosen = [
        (number, post.button)
        for number, post in enumerate(facts.posts)
        if isinstance(post.button, Box) and not _passes_below(post.hardware.button)
    ]
    rule = facts.rule("button to edge")
    parts = [Part("button", post.key, post.label) for post in facts.posts]
    if not chosen:
        return none_of(rule)
    boxes = [box for _, box in chosen]
    distance, here, there, corners, feet = _nearest_side(facts, boxes)
    deepest = np.argmax(corners, axis=1)
    row = np.arange(len(boxes))
    over = (corners[row, deepest] > 0) | (distance == 0)
    starts = _sides(boxes)[0].reshape(-1, 4, 2)
    measured = np.where(
        over, np.minimum(-np.maximum(corners[row, deepest], 0.0), -_nodes_in(facts, boxes)), distance
    )
    here = np.where(over[:, None], starts[row, deepest], here)
    there = np.where(over[:, None], feet[row, deepest], there)
    return gaps(rule, parts, measured, np.array([number for number, _ in chosen]), here, there)


def _passes_below(button: object) -> bool:
    """Whether a side button turns wholly below the back, so that no edge is in its way."""
    return isinstance(button, SideButton) and button.swept_diameter / 2 < button.shaft_depth


def _nodes_in(facts: Facts, boxes: list[Box]) -> Floats:
    """How deep (n,) the deepest node of the edge stands in each box, 0 when none does."""
    nodes = facts.edge.pieces.starts
    depths = []
    for box in boxes:
        offset = nodes - np.array([box.centre.x, box.centre.y])
        along = box.half_along - np.abs(offset @ np.array([box.along.x, box.along.y]))
        across = box.half_across - np.abs(offset @ np.array([box.across.x, box.across.y]))
        depths.append(max(0.0, float(np.max(np.minimum(along, across)))))
    return np.array(depths)


# Screws and pins


def screw_to_edge(facts: Facts) -> Gaps:
    """A screw near the edge of the back splits it."""
    holes = facts.layout.holes
    rule = facts.rule("screw to edge")
    if not holes:
        return none_of(rule)
    at = points([hole.at for hole in holes])
    distance, foot = facts.edge.distance(at)
    radius = np.array([hole.diameter / 2 for hole in holes])
    parts = [*(hole_part(facts, hole) for hole in holes), *facts.edges()]
    j = len(holes) + facts.edge_index(at, foot)
    return gaps(rule, parts, distance - radius - facts.trim_back, np.arange(len(holes)), at, foot, j=j)


def screw_to_hole(facts: Facts) -> Gaps:
    """A screw that breaks into another hole does not hold."""
    holes = facts.layout.holes
    old = [hole for hole in facts.build.old_holes if not hole.plugged]
    parts = [hole_part(facts, hole) for hole in holes]
    parts += [*facts.bores(), *(Part("hole", hole.key, f"{hole.key} (old)") for hole in old)]
    at = np.vstack([points([hole.at for hole in holes]), facts.at, points([hole.at for hole in old])])
    radius = np.concatenate(
        [[hole.diameter / 2 for hole in holes], facts.bore / 2, [hole.diameter / 2 for hole in old]]
    )
    i, j = pairs(len(at))
    keep = (i < len(holes)) & ~_own(facts, i, j)
    i, j = i[keep], j[keep]
    apart = at[j] - at[i]
    measured = np.hypot(apart[:, 0], apart[:, 1]) - radius[i] - radius[j]
    return gaps(facts.rule("screw to hole"), parts, measured, i, at[i], at[j], j=j)


def _own(facts: Facts, i: Indices, j: Indices) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether a small hole i meets a bore j of one of its own tuners."""
    holes, posts = facts.layout.holes, facts.posts
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
    holes = facts.layout.holes
    own = [(n, places[key]) for n, hole in enumerate(holes) for key in hole.owners]
    parts = [hole_part(facts, hole) for hole in holes]
    hole_at = points([holes[n].at for n, _ in own])
    radius = np.array([holes[n].diameter / 2 for n, _ in own])
    bores = np.array([m for _, m in own], dtype=np.intp)
    apart = hole_at - facts.at[bores]
    measured = np.hypot(apart[:, 0], apart[:, 1]) - radius - facts.bore[bores] / 2
    i = np.array([n for n, _ in own], dtype=np.intp)
    return gaps(facts.rule("screw to own bore"), parts, measured, i, hole_at, facts.at[bores])


def screw_depth(facts: Facts) -> Gaps:
    """A pilot or screw that comes too near the face dents it or comes through."""
    holes = facts.layout.holes
    share = pilot_share(find_wood(facts.build.head.wood))
    thick = np.array([facts.layout.post(hole.owners[0]).thickness for hole in holes])
    drills = np.array([hole.root * share if hole.kind == "screw" else hole.diameter for hole in holes])
    depths = np.array([hole.depth for hole in holes])
    at = points([hole.at for hole in holes])
    parts = [hole_part(facts, hole) for hole in holes]
    measured = thick - depths - POINT_LENGTH * drills
    return gaps(facts.rule("screw depth"), parts, measured, np.arange(len(holes)), at, at)


def piece(facts: Facts) -> Gaps:
    """A left piece on the right side, or a right one on the left, tunes the wrong way round."""
    wrong = np.array([float(post.piece != post.fitting_piece) for post in facts.posts])
    parts = [Part("post", post.key, post.label) for post in facts.posts]
    return gaps(facts.rule("piece"), parts, wrong, np.arange(len(wrong)), facts.at, facts.at)
