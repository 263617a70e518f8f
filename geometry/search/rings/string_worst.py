"""What the strings can lose at worst when posts move: exact, by looking for the worst directions.

What a string keeps is least where posts have moved as far as they may, so only directions are looked for.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from geometry.search.rings.string_lines import Lines
from geometry.search.rings.string_slack import DiscRows, StringSlack, of_lines, pair_ends
from geometry.shape.close import Floats, Indices, point_segment, segment_segment

_ANGLES = 24  # directions looked at before the worst one is closed in on
_ROUNDS = 8  # halvings of the step between directions: the worst is found within a thousandth of a radian


def worst_of(strings: StringSlack, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
    """Margins (c,) of chosen rows when posts may move by radii (n,), and the steps (c, n, 2) that end them."""
    count = len(strings.discs.line)
    margins = np.empty(len(chosen))
    steps = np.zeros((len(chosen), len(radii), 2))
    tops = np.concatenate([strings.discs.top, np.full(len(strings.pairs.one), np.inf)])
    kinds = np.where(chosen >= count, 2, np.where(np.isfinite(tops[chosen]), 1, 0))
    for kind, (worst, first) in enumerate(((_discs, 0), (_washers, 0), (_pairs, count))):
        these = np.flatnonzero(kinds == kind)
        if len(these):
            margins[these], steps[these] = worst(strings, radii, chosen[these] - first)
    return margins, steps


def _discs(strings: StringSlack, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
    """Posts that strings must pass: those come straight towards the string, wherever it has swung."""
    rows, lines = strings.discs.only(chosen), strings.lines
    line, post = rows.line, rows.post
    centre, moves = strings.at[post], of_lines(lines, radii)[line]

    def apart(angles: Floats) -> Floats:
        distance, _ = point_segment(centre, lines.start[line], lines.ends(line, _steps(angles, moves)))
        return distance

    angles, distance = _worst_angle(apart, len(chosen))
    swung = _steps(angles, moves)
    _, near = point_segment(centre, lines.start[line], lines.ends(line, swung))
    steps = np.zeros((len(chosen), len(radii), 2))
    _put(steps, lines, line, swung)
    way = near - centre
    length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)
    steps[np.arange(len(chosen)), post] = way * (radii[post] / length)[:, None]
    return distance - radii[post] - rows.needed, steps


def _washers(strings: StringSlack, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
    """Washers that strings must pass, or be high enough over: both posts are looked at in all directions."""
    rows, lines = strings.discs.only(chosen), strings.lines
    moves, others = of_lines(lines, radii)[rows.line], radii[rows.post]

    def apart(first: Floats, second: Floats) -> Floats:
        found = clear_of(rows, lines, _steps(first, moves), strings.at[rows.post] + _steps(second, others))
        return found - strings.slope * moves

    first, second, margins = _worst_angles(apart, len(chosen))
    steps = np.zeros((len(chosen), len(radii), 2))
    _put(steps, lines, rows.line, _steps(first, moves))
    steps[np.arange(len(chosen)), rows.post] = _steps(second, others)
    return margins, steps


def clear_of(rows: DiscRows, lines: Lines, steps: Floats, centre: Floats) -> Floats:
    """How far (..., k) strings are beside discs, or how high over them where that is more."""
    start, end = rows.stretch(lines.start[rows.line], lines.ends(rows.line, steps))
    distance, _ = point_segment(centre, start, end)
    # Over the disc only the stretch across it counts.
    half = np.sqrt(np.maximum(rows.needed**2 - distance**2, 0.0))
    clear: Floats = np.maximum(distance - rows.needed, rows.height(start, end, centre, half))
    return clear


def _pairs(strings: StringSlack, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
    """Strings that must keep apart: both posts are looked at in all directions."""
    rows, lines = strings.pairs.only(chosen), strings.lines
    one, two, whole = rows.one, rows.two, rows.whole
    moves = of_lines(lines, radii)

    def apart(first: Floats, second: Floats) -> Floats:
        ends = pair_ends(lines, one, _steps(first, moves[one]), whole)
        others = pair_ends(lines, two, _steps(second, moves[two]), whole)
        return _between(lines.start[one], ends, lines.start[two], others)

    first, second, distance = _worst_angles(apart, len(chosen))
    steps = np.zeros((len(chosen), len(radii), 2))
    for line, angles in ((one, first), (two, second)):
        _put(steps, lines, line, _steps(angles, moves[line]))
    return distance - rows.needed, steps


def _put(steps: Floats, lines: Lines, line: Indices, taken: Floats) -> None:
    """Write the steps (k, 2) of the posts of lines (k,) into the steps (k, n, 2) of all posts."""
    has = np.flatnonzero(lines.owner[line] >= 0)
    steps[has, lines.owner[line[has]]] = taken[has]


def _steps(angles: Floats, moves: Floats) -> Floats:
    """Steps (..., k, 2) of length `moves` (k,) in the directions of the angles (..., k)."""
    found: Floats = np.stack([np.cos(angles), np.sin(angles)], axis=-1) * moves[:, None]
    return found


def _between(starts: Floats, ends: Floats, other_starts: Floats, other_ends: Floats) -> Floats:
    """Distances (..., k) of segments whose ends come in several versions (..., k, 2)."""
    shape = np.broadcast_shapes(ends.shape, other_ends.shape)
    flat = [np.broadcast_to(each, shape).reshape(-1, 2) for each in (starts, ends, other_starts, other_ends)]
    distance, _, _ = segment_segment(*flat)
    return distance.reshape(shape[:-1])


def _worst_angle(apart: Callable[[Floats], Floats], count: int) -> tuple[Floats, Floats]:
    """The angles (k,) at which `apart` is least, and how much it is there."""
    step = math.tau / _ANGLES
    tried = np.repeat((np.arange(_ANGLES) * step)[:, None], count, axis=1)
    row = np.arange(count)
    for _ in range(_ROUNDS):
        found = apart(tried)
        best = np.argmin(found, axis=0)
        angle, least = tried[best, row], found[best, row]
        step /= 2
        tried = angle + step * np.array([-1.0, -0.5, 0.0, 0.5, 1.0])[:, None]
    return angle, least


def _worst_angles(apart: Callable[[Floats, Floats], Floats], count: int) -> tuple[Floats, Floats, Floats]:
    """The same for two posts that move at once."""
    coarse = _ANGLES // 2
    step = math.tau / coarse
    grid = np.arange(coarse) * step
    first, second = (np.repeat(each.reshape(-1, 1), count, axis=1) for each in np.meshgrid(grid, grid))
    row = np.arange(count)
    around = np.array([-1.0, 0.0, 1.0])
    ones, twos = (each.reshape(-1, 1) for each in np.meshgrid(around, around))
    for _ in range(_ROUNDS):
        found = apart(first, second)
        best = np.argmin(found, axis=0)
        one, two, least = first[best, row], second[best, row], found[best, row]
        step /= 2
        first, second = one + step * ones, two + step * twos
    return one, two, least
