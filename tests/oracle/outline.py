"""The outline of a head from its JSON: nodes as they are, starters as their measures say."""

from __future__ import annotations

import itertools
import math

import numpy as np

from tests.oracle.curve import Floats, Json, Run, mirrored_run, reversed_run, turned_left, unit

ROW_SHARE = 0.55
"""Share of the lower width that lies on the tuners' side of a one-sided starter."""


def runs_of(build: Json) -> list[Run]:
    """The runs of the edge from the right end of the nut line round the tip to its left end."""
    outline = build["outline"]
    if outline["kind"] == "nodes":
        return _drawn(outline["nodes"])
    if outline["shape"] == "one-sided":
        runs = _one_sided(outline, build["nut"]["width"])
        left_handed = build.get("hand", "right") == "left"
        return [reversed_run(mirrored_run(run)) for run in reversed(runs)] if left_handed else runs
    return _symmetric(outline, build["nut"]["width"])


def _drawn(nodes: list[Json]) -> list[Run]:
    runs = []
    for node, following in itertools.pairwise(nodes):
        start, end = np.array(node["at"], float), np.array(following["at"], float)
        onward = node.get("onward", {"run": "straight"})
        if onward["run"] == "curve":
            handles = np.array(onward["leave"], float), np.array(onward["arrive"], float)
            runs.append(Run(start, end, 0.0, *handles))
        else:
            runs.append(Run(start, end, onward.get("bulge", 0.0)))
    return runs


def _symmetric(outline: Json, nut_width: float) -> list[Run]:
    shoulder = np.array([outline["width_low"] / 2, outline["shoulder"]])
    corner = np.array([outline["width_high"] / 2, outline["length"] - outline["tip_rise"]])
    side = _side(shoulder, corner, outline["waist"])
    right = [_shoulder(np.array([nut_width / 2, 0.0]), shoulder, side.ways(np.array([0.0]))[0]), side]
    tip = _tip(corner, corner * [-1, 1], outline["tip_rise"])
    left = [reversed_run(mirrored_run(run)) for run in reversed(right)]
    return _rounded([*right, tip, *left], [1, 2], outline["corner"])


def _one_sided(outline: Json, nut_width: float) -> list[Run]:
    """Tuners at negative x, on the straight side that leans over."""
    low, height = outline["width_low"], outline["length"] - outline["tip_rise"] - outline["shoulder"]
    row = np.array([-low * ROW_SHARE, outline["shoulder"]])
    free = np.array([low * (1 - ROW_SHARE), outline["shoulder"]])
    row_tip = row + height * np.array([math.tan(math.radians(outline["lean_deg"])), 1.0])
    free_tip = row_tip + np.array([outline["width_high"], 0.0])
    side = _side(free, free_tip, outline["waist"])
    runs = [
        _shoulder(np.array([nut_width / 2, 0.0]), free, side.ways(np.array([0.0]))[0]),
        side,
        _tip(free_tip, row_tip, outline["tip_rise"]),
        Run(row_tip, row),
        reversed_run(_shoulder(np.array([-nut_width / 2, 0.0]), row, unit(row_tip - row))),
    ]
    return _rounded(runs, [1, 2], outline["corner"])


def _shoulder(end: Floats, shoulder: Floats, onward: Floats) -> Run:
    """Leaves the nut along the neck and arrives in the direction of the side."""
    reach = 0.55 * shoulder[1]
    if abs(shoulder[0] - end[0]) < 1e-6:
        return Run(end, shoulder)
    return Run(end, shoulder, 0.0, np.array([0.0, reach]), -reach * onward)


def _side(shoulder: Floats, corner: Floats, waist: float) -> Run:
    """A bulge is twice the height of the arc over its chord, divided by the chord; a waist is hollow."""
    chord = float(np.linalg.norm(corner - shoulder))
    return Run(shoulder, corner, -2 * waist / chord)


def _tip(right: Floats, left: Floats, rise: float) -> Run:
    return Run(right, left, 2 * rise / float(np.linalg.norm(left - right)))


def _rounded(runs: list[Run], corners: list[int], radius: float) -> list[Run]:
    """A fillet where run n meets run n + 1, for each n given; a corner where it does not fit stays sharp."""
    for n in sorted(corners, reverse=True) if radius > 0 else []:
        fillet = _fillet(runs[n], runs[n + 1], radius)
        runs = runs if fillet is None else [*runs[:n], *fillet, *runs[n + 2 :]]
    return runs


def _fillet(one: Run, two: Run, radius: float) -> list[Run] | None:
    """Both runs cut back to where a circle of `radius` to their left touches them, and its arc between.

    Along the first run the circle's distance to the second one falls towards the corner: halved until it is the radius.
    """
    low, high = 0.0, 1.0

    def beyond(t: float) -> tuple[float, Floats, float]:
        at = one.places(np.array([t]))[0]
        centre = at + radius * turned_left(one.ways(np.array([t]))[0])
        touched, distance = _foot(two, centre)
        return distance - radius, centre, touched

    if beyond(0.0)[0] < 0:
        return None
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if beyond(middle)[0] > 0 else (low, middle)
    _, centre, touched = beyond(low)
    if touched > 1 - 1e-9:
        return None
    first, last = one.places(np.array([low]))[0], two.places(np.array([touched]))[0]
    angle = math.atan2(*(last - centre)[::-1]) - math.atan2(*(first - centre)[::-1])
    arc = Run(first, last, math.tan(angle % (2 * math.pi) / 4))
    return [_cut(one, 0.0, low), arc, _cut(two, touched, 1.0)]


def _foot(run: Run, point: Floats) -> tuple[float, float]:
    """The parameter of the place of a line or arc nearest to a point, and its distance."""
    if run.bulge:
        first, there = run.start - run.centre, point - run.centre
        turned = math.atan2(first[0] * there[1] - first[1] * there[0], first @ there)
        t = turned / run.sweep
    else:
        t = float((point - run.start) @ (run.end - run.start)) / run.chord**2
    t = min(max(t, 0.0), 1.0)
    return t, float(np.linalg.norm(run.places(np.array([t]))[0] - point))


def _cut(run: Run, first: float, last: float) -> Run:
    """The part of a line or arc between two parameters."""
    start, end = run.places(np.array([first, last]))
    return Run(start, end, math.tan(run.sweep * (last - first) / 4) if run.bulge else 0.0)
