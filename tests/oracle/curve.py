"""Runs of an outline as drawn: places, ways and samples of lines, arcs and cubics, straight from their definitions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

Json = dict[str, Any]
Floats = NDArray[np.float64]

SAGITTA = 4e-4
"""How far in mm the chords of a sampled run may stray from it: far less than what is compared."""


def turned_left(way: Floats) -> Floats:
    """A direction (..., 2) turned by a quarter turn, counter-clockwise."""
    return np.stack([-way[..., 1], way[..., 0]], axis=-1)


def unit(way: Floats) -> Floats:
    """A direction (..., 2) at length 1."""
    length = np.linalg.norm(way, axis=-1, keepdims=True)
    return way / np.where(length > 0, length, 1.0)


@dataclass(frozen=True)
class Run:
    """A run from `start` to `end`: straight without more, an arc with a bulge, a cubic with two handles."""

    start: Floats
    end: Floats
    bulge: float = 0.0
    leave: Floats | None = None
    arrive: Floats | None = None

    def places(self, t: Floats) -> Floats:
        """The places (n, 2) at parameters from 0 to 1."""
        t = t[:, None]
        if self.leave is not None and self.arrive is not None:
            one, two = self.start + self.leave, self.end + self.arrive
            s = 1 - t
            return s**3 * self.start + 3 * s * s * t * one + 3 * s * t * t * two + t**3 * self.end
        if self.bulge == 0:
            return self.start + t * (self.end - self.start)
        centre, first = self.centre, self.start - self.centre
        angle = t[:, 0] * self.sweep
        cos, sin = np.cos(angle), np.sin(angle)
        x, y = first
        found: Floats = centre + np.stack([cos * x - sin * y, sin * x + cos * y], axis=1)
        return found

    def ways(self, t: Floats) -> Floats:
        """The directions (n, 2) of the run, by differences far finer than anything compared."""
        before, after = np.clip(t - 1e-6, 0, 1), np.clip(t + 1e-6, 0, 1)
        return unit(self.places(after) - self.places(before))

    @cached_property
    def chord(self) -> float:
        return float(np.linalg.norm(self.end - self.start))

    @cached_property
    def sweep(self) -> float:
        """The angle an arc goes through; bulge = tan(angle / 4)."""
        return 4 * math.atan(self.bulge)

    @cached_property
    def radius(self) -> float:
        return self.chord * (1 + self.bulge**2) / (4 * abs(self.bulge))

    @cached_property
    def centre(self) -> Floats:
        across = turned_left(unit(self.end - self.start))
        off = self.chord * (1 - self.bulge**2) / (4 * self.bulge)
        return (self.start + self.end) / 2 + across * off

    def samples(self) -> Floats:
        """Parameters whose chords stray at most SAGITTA from the run."""
        if self.leave is not None and self.arrive is not None:
            one, two = self.start + self.leave, self.end + self.arrive
            bends = [self.start - 2 * one + two, one - 2 * two + self.end]
            # A chord over a step h of a curve strays at most |second derivative| h^2 / 8.
            most = 6 * max(float(np.linalg.norm(bend)) for bend in bends)
            count = math.ceil(math.sqrt(most / (8 * SAGITTA)))
        elif self.bulge:
            step = 2 * math.sqrt(2 * SAGITTA / self.radius)
            count = math.ceil(abs(self.sweep) / step)
        else:
            count = 1
        return np.linspace(0, 1, max(count, 1) + 1)

    def curvature(self, t: Floats) -> Floats:
        """Signed curvature (n,) in 1/mm of a cubic or an arc, positive where it bends to the left."""
        if self.leave is None or self.arrive is None:
            value = math.copysign(1 / self.radius, self.bulge) if self.bulge else 0.0
            return np.full(len(t), value)
        one, two = self.start + self.leave, self.end + self.arrive
        s, t = (1 - t)[:, None], t[:, None]
        first = 3 * (s * s * (one - self.start) + 2 * s * t * (two - one) + t * t * (self.end - two))
        second = 6 * (s * (two - 2 * one + self.start) + t * (self.end - 2 * two + one))
        cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        return np.asarray(cross / np.maximum(np.linalg.norm(first, axis=1), 1e-12) ** 3)


def reversed_run(run: Run) -> Run:
    """The run from its end to its start."""
    return Run(run.end, run.start, -run.bulge, run.arrive, run.leave)


def mirrored_run(run: Run) -> Run:
    """The run in a mirror on the centre line."""
    flip = np.array([-1.0, 1.0])
    handles = [None if handle is None else handle * flip for handle in (run.leave, run.arrive)]
    return Run(run.start * flip, run.end * flip, -run.bulge, handles[0], handles[1])
