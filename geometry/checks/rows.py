"""Checks of how the posts of a row stand to each other, and to the plate that carries them."""

from __future__ import annotations

from itertools import groupby

import numpy as np

from geometry.checks.facts import Facts, plate_part
from geometry.checks.gaps import Gaps, Part, gaps, none_of
from geometry.document.build import OnLine, OnPlate, StraightPull
from geometry.layout.parts import PlacedPlate, PlacedPost
from geometry.shape.close import Floats, Indices
from geometry.shape.shapes import points
from geometry.trade.hardware import Plate


def evenness(facts: Facts) -> Gaps:
    """The eye sees a post that stands out of its row or nearer to one neighbour than to the other."""
    rule = facts.rule("evenness")
    rows = rows_of_three(facts)
    if not rows:
        return none_of(rule)
    found = [unevenness(facts, row) for row in rows]
    worst = [int(np.argmax(each)) for each in found]
    ends = facts.at[[row[place] for row, place in zip(rows, worst, strict=True)]]
    names = [facts.layout.names_of(tuple(facts.posts[n].key for n in row)) for row in rows]
    parts = [Part("row", facts.posts[row[0]].row, name) for row, name in zip(rows, names, strict=True)]
    measured = np.array([each[place] for each, place in zip(found, worst, strict=True)])
    return gaps(rule, parts, measured, np.arange(len(rows)), ends, ends)


def plate_fit(facts: Facts) -> Gaps:
    """A plate whose shafts lie off the middles of their holes binds the posts in their bushings, or does not go on.

    All shafts count together, as one rigid body: a small error of each pitch adds up over the row.
    """
    rule = facts.rule("plate fit")
    plates = facts.layout.plates
    if not plates:
        return none_of(rule)
    carried = [[facts.layout.post(key) for key in plate.posts] for plate in plates]
    worst = [max(row, key=lambda post: post.at.distance(post.tuner.at)) for row in carried]
    return gaps(
        rule,
        [plate_part(facts.layout, plate.posts) for plate in plates],
        np.array([plate.fit for plate in plates]),
        np.arange(len(plates)),
        points([post.at for post in worst]),
        points([post.tuner.at for post in worst]),
        bore=np.array([row[0].hardware.play for row in carried]),
        notes=[_off(plate, row) for plate, row in zip(plates, carried, strict=True)],
    )


def _off(plate: PlacedPlate, row: list[PlacedPost]) -> str:
    """In which way the holes of a row differ from its plate."""
    made = row[0].hardware.plate
    assert isinstance(made, Plate), "a placed plate comes from one"
    last = min(len(row), made.posts) - 1
    longer = row[0].at.distance(row[last].at) - made.pitch * last
    if abs(longer) < plate.fit:
        return "Its holes are unevenly spaced, or not in one line."
    return (
        "Its holes stand further apart than its shafts."
        if longer > 0
        else "Its holes stand closer than its shafts."
    )


def rows_of_three(facts: Facts) -> list[Indices]:
    """The numbers of the posts of each row that has at least three, from the nut to the tip."""
    numbered = enumerate(facts.posts)
    rows = [[n for n, _ in group] for _, group in groupby(numbered, lambda each: each[1].row)]
    return [np.array(row, dtype=np.intp) for row in rows if len(row) > 2]


def unevenness(facts: Facts, row: Indices) -> Floats:
    """How far in mm each post of a row (k,) is off, by its distances to its neighbours and by the line of the row.

    Distances are held against their mean; the line is that through the first and the last post, and a row along a
    curved edge has none.
    """
    at = facts.at[row]
    apart = np.hypot(*np.diff(at, axis=0).T)
    off = np.abs(apart - apart.mean())
    found: Floats = np.maximum(np.append(off, 0.0), np.insert(off, 0, 0.0))
    if not _is_straight(facts, row):
        return found
    way = at[-1] - at[0]
    length = float(np.hypot(*way))
    across = np.array([-way[1], way[0]]) / (length if length > 0 else 1.0)
    straight: Floats = np.abs((at - at[0]) @ across)
    return np.maximum(found, straight)


def _is_straight(facts: Facts, row: Indices) -> bool:
    key = facts.posts[int(row[0])].row
    rule = next(each.rule for each in facts.build.rows if each.key == key)
    return isinstance(rule, OnLine | OnPlate) or (isinstance(rule, StraightPull) and not rule.exact)
