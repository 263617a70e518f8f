"""A build and its layout with the arrays that many checks need, made once."""

from __future__ import annotations

from functools import lru_cache

import msgspec
import numpy as np

from geometry.build.build import Build
from geometry.checks.gaps import Floats, Indices, Part, points
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, SmallHole
from geometry.layout.paths import StringPath
from geometry.shape.box import Box
from geometry.shape.segment import Circle
from geometry.trade.limits import ChangedLimit, Rule, rules_with


class Legs(msgspec.Struct, frozen=True):
    """The straight legs of all string paths: ends (m, 2), heights of the string's centre (m,), path of each (m,)."""

    starts: Floats
    ends: Floats
    start_heights: Floats
    end_heights: Floats
    path: Indices


class Facts(msgspec.Struct, frozen=True):
    """What a check looks at.

    `at` (n, 2), `bore` (n,) and `collar` (n,) are places, bore and collar diameters of the posts; `to_edge` (n,) the
    signed distances of their axes to the drawn edge, `foot` (n, 2) the places there. `trim_face` and `trim_back` are
    how far the wood stays behind the drawn edge on each side, in mm.
    """

    build: Build
    layout: Layout
    rules: dict[str, Rule]
    at: Floats
    bore: Floats
    collar: Floats
    to_edge: Floats
    foot: Floats
    trim_face: float
    trim_back: float
    legs: Legs

    @property
    def posts(self) -> tuple[PlacedPost, ...]:
        """The placed tuners."""
        return self.layout.posts

    @property
    def paths(self) -> tuple[StringPath, ...]:
        """The string paths."""
        return self.layout.paths

    @property
    def edge(self) -> Edge:
        """The edge; only checks that need a sound outline ask for it."""
        assert self.layout.edge is not None, "checks of the edge run with an edge only"
        return self.layout.edge

    def rule(self, name: str) -> Rule:
        """The rule called `name`, as this build has it."""
        return self.rules[name]

    def edges(self) -> tuple[Part, Part, Part]:
        """The three sides of the edge as parts: treble, bass, tip."""
        return Part("edge", "", "treble"), Part("edge", "", "bass"), Part("edge", "", "tip")

    def edge_index(self, at: Floats, foot: Floats) -> Indices:
        """Which of `edges` lies in the direction of `foot` (n, 2) from places (n, 2)."""
        way = foot - at
        # Outside the head the nearest place lies the other way.
        way = np.where(self.edge.contains(at)[:, None], way, -way) if len(at) else way
        treble = np.sign(way[:, 0]) == self.build.sign_of("treble")
        tip = way[:, 1] > np.abs(way[:, 0])
        return np.where(tip, 2, np.where(treble, 0, 1))

    def bores(self) -> tuple[Part, ...]:
        """The bores as parts, in the order of the posts."""
        return tuple(Part("bore", post.key, post.label) for post in self.posts)

    def strings(self) -> tuple[Part, ...]:
        """The strings as parts, in the order of the paths."""
        labels = self.layout.labels
        return tuple(Part("string", path.string.key, labels[path.string.key]) for path in self.paths)


@lru_cache(maxsize=32)
def _rules(changed: tuple[ChangedLimit, ...]) -> dict[str, Rule]:
    return rules_with(changed)


def facts_of(build: Build, layout: Layout) -> Facts:
    """The facts about a layout."""
    at = points([post.at for post in layout.posts])
    if layout.edge is not None and len(at):
        to_edge, foot = layout.edge.distance(at)
    else:
        to_edge, foot = np.zeros(len(at)), at
    head = build.head
    return Facts(
        build=build,
        layout=layout,
        rules=_rules(build.limits),
        at=at,
        bore=np.array([post.bore for post in layout.posts]),
        collar=np.array([post.hardware.collar_diameter for post in layout.posts]),
        to_edge=to_edge,
        foot=foot,
        trim_face=head.edge_face + head.binding,
        trim_back=head.edge_back + head.binding,
        legs=_legs(layout.paths),
    )


def _legs(paths: tuple[StringPath, ...]) -> Legs:
    rows = [
        (number, one, two, low, high)
        for number, path in enumerate(paths)
        for one, two, low, high in zip(
            path.points, path.points[1:], path.heights, path.heights[1:], strict=False
        )
    ]
    return Legs(
        starts=points([row[1] for row in rows]),
        ends=points([row[2] for row in rows]),
        start_heights=np.array([row[3] for row in rows]),
        end_heights=np.array([row[4] for row in rows]),
        path=np.array([row[0] for row in rows], dtype=np.intp),
    )


def circle_of(button: Box | Circle) -> Circle | None:
    """The disc of a rear button, None for a side button's rectangle."""
    return button if isinstance(button, Circle) else None


def pairs(count: int) -> tuple[Indices, Indices]:
    """All pairs i < j of `count` things."""
    i, j = np.triu_indices(count, 1)
    return i, j


def hole_part(facts: Facts, hole: SmallHole) -> Part:
    """A screw's or pin's hole as a part, called after the tuners it holds."""
    labels = " and ".join(facts.layout.labels[key] for key in hole.owners[:2])
    if len(hole.owners) > 2:
        labels = f"{facts.layout.labels[hole.owners[0]]} to {facts.layout.labels[hole.owners[-1]]}"
    return Part(hole.kind, hole.owners[0], labels)
