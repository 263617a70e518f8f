"""What each string of a build pulls and how near it is to breaking, and where to cut it off."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import msgspec
from msgspec import UNSET

from geometry.document.build import Build, String
from geometry.layout.layout import Layout
from geometry.layout.paths import StringPath, turns_round
from geometry.trade.pitch import frequency, pitch_step, plain_pitch
from geometry.trade.quantities import ESTIMATE, to_figures
from geometry.trade.strings import (
    UnitWeight,
    past_the_post,
    stress,
    tension,
    usual_weight,
    weight_for,
    wire_strength,
)

TYPED = "typed in"


class StringLoad(msgspec.Struct, frozen=True):
    """One string at its pitch.

    `pitch` is empty and `hertz` None where no pitch is known; `pull` in N is then known only where it was typed in.
    `stress` and `strength` in MPa are None for all but plain steel, `strength` for diameters without a published one
    as well.
    """

    string: String
    pitch: str
    hertz: float | None
    weight: UnitWeight
    pull: float | None
    stress: float | None
    strength: float | None

    @property
    def percent(self) -> float | None:
        """Stress in percent of the least strength of such a wire; None where either cannot be told."""
        if self.stress is None or self.strength is None:
            return None
        return 100 * self.stress / self.strength

    @property
    def told_pull(self) -> float | None:
        """The pull in N, an estimate as it is told everywhere: to two figures."""
        return to_figures(self.pull, ESTIMATE) if self.estimate and self.pull is not None else self.pull

    @property
    def estimate(self) -> bool:
        """Whether the pull follows from an estimated weight."""
        return self.weight.estimate and self.string.tension is UNSET


@lru_cache(maxsize=256)
def string_load(string: String, scale_length: float) -> StringLoad:
    """The load of one string over a sounding length in mm."""
    pitch = _pitch(string)
    hertz = frequency(pitch)
    weight = _weight(string, scale_length, hertz)
    pull = _pull(string, scale_length, hertz, weight)
    plain = string.kind == "plain"
    return StringLoad(
        string=string,
        pitch=pitch,
        hertz=hertz,
        weight=weight,
        pull=pull,
        stress=stress(pull, string.diameter) if plain and pull is not None else None,
        strength=wire_strength(string.diameter) if plain else None,
    )


def string_loads(build: Build) -> tuple[StringLoad, ...]:
    """The loads of all strings, treble-most first."""
    return tuple(string_load(string, build.scale_length) for string in build.strings)


def total_pull(loads: tuple[StringLoad, ...]) -> float:
    """The pull in N of all strings whose pull is known."""
    return sum(load.pull for load in loads if load.pull is not None)


def _pitch(string: String) -> str:
    """The pitch that was given, else the name where it is one, else nothing."""
    if string.pitch is not UNSET:
        return plain_pitch(string.pitch)
    return plain_pitch(string.name) if pitch_step(string.name) is not None else ""


def _weight(string: String, scale_length: float, hertz: float | None) -> UnitWeight:
    if string.unit_weight is not UNSET:
        return UnitWeight(string.unit_weight, TYPED)
    if string.tension is not UNSET and hertz is not None:
        return UnitWeight(weight_for(string.tension, scale_length, hertz), f"from the tension {TYPED}")
    return usual_weight(string.kind, string.diameter)


def _pull(string: String, scale_length: float, hertz: float | None, weight: UnitWeight) -> float | None:
    if string.tension is not UNSET:
        return string.tension
    return None if hertz is None else tension(weight.value, scale_length, hertz)


# Cutting


class StringCut(msgspec.Struct, frozen=True):
    """Where to cut one string, in mm.

    `to_post` is its way in plan from the nut to where it meets the post, `past_post` what to leave beyond.
    """

    path: StringPath
    turns: float
    to_post: float
    past_post: float

    @property
    def from_nut(self) -> float:
        """Length of string beyond the nut."""
        return self.to_post + self.past_post


def string_cuts(layout: Layout) -> tuple[StringCut, ...]:
    """Where to cut every string that has a post, treble-most first."""
    return tuple(_cut(layout, path) for path in layout.paths)


def _cut(layout: Layout, path: StringPath) -> StringCut:
    post = layout.post(path.post)
    turns = turns_round(path.string, post)
    to_post = sum(start.distance(end) for start, end in pairwise(path.points))
    return StringCut(
        path, turns, to_post, past_the_post(post.hardware.post_diameter, path.string.diameter, turns)
    )
