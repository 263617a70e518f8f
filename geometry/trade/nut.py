"""Where the strings cross the nut: equal centres, equal gaps between string edges, single strings and courses.

Equal centres: p = (W - margins) / (n - 1). Equal gaps: g = (X - sum of diameters) / (n - 1) with X from outer edge to
outer edge. Both are common practice with no source; the arithmetic is plain.
"""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import Literal

import msgspec

Course = tuple[float, ...]
"""Diameters in mm of the strings of one course, in order across the nut; a single string is a course of one."""


class Margins(msgspec.Struct, frozen=True, gc=False):
    """Distances in mm from the ends of the nut to the outer strings' centres or outer edges."""

    first: float
    last: float
    to: Literal["centre", "edge"]


def slot_positions(
    width: float,
    courses: tuple[Course, ...],
    margins: Margins,
    spacing: Literal["equal centres", "equal gaps"],
    course_gap: float,
) -> tuple[float, ...]:
    """Distances in mm from the first end of the nut to each string's centre, in order.

    `course_gap` is the gap between string edges within a course. A lone course sits half-way between the margins.
    """
    if not courses:
        return ()
    to_edge = margins.to == "edge"
    first = margins.first + (courses[0][0] / 2 if to_edge else 0.0)
    last = width - margins.last - (courses[-1][-1] / 2 if to_edge else 0.0)
    inner = [_within(course, course_gap) for course in courses]
    if len(courses) == 1:
        starts = [(first + last - inner[0][-1]) / 2]
    elif spacing == "equal centres":
        starts = _equal_centres(first, last, inner)
    else:
        starts = _equal_gaps(first, last, courses, inner)
    return tuple(start + step for start, steps in zip(starts, inner, strict=True) for step in steps)


def _within(course: Course, gap: float) -> list[float]:
    """Centres of a course's strings from its first one."""
    steps = [(one + two) / 2 + gap for one, two in pairwise(course)]
    return list(accumulate(steps, initial=0.0))


def _equal_centres(first: float, last: float, inner: list[list[float]]) -> list[float]:
    """First strings of courses whose middles are evenly spread."""
    middle_first, middle_last = first + inner[0][-1] / 2, last - inner[-1][-1] / 2
    pitch = (middle_last - middle_first) / (len(inner) - 1)
    return [middle_first + place * pitch - steps[-1] / 2 for place, steps in enumerate(inner)]


def _equal_gaps(
    first: float, last: float, courses: tuple[Course, ...], inner: list[list[float]]
) -> list[float]:
    """First strings of courses with the same gap from edge to edge between them."""
    taken = sum(steps[-1] for steps in inner)
    taken += sum(one[-1] / 2 + two[0] / 2 for one, two in pairwise(courses))
    gap = (last - first - taken) / (len(courses) - 1)
    starts = [first]
    for place in range(1, len(courses)):
        end = starts[-1] + inner[place - 1][-1] + courses[place - 1][-1] / 2
        starts.append(end + gap + courses[place][0] / 2)
    return starts
