"""A build and its layout with the arrays that many checks need, made once."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

import msgspec
import numpy as np

from geometry.checks.gaps import Part
from geometry.checks.near_edge import NearEdge, ToEdge, near_edge, polygons_of
from geometry.document.build import Build
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.layout.paths import StringPath
from geometry.shape.box import Box
from geometry.shape.close import Floats, Indices
from geometry.shape.shapes import Shapes, lines_of, places_at, points
from geometry.trade.limits import ChangedLimit, Rule, rules_with


class Legs(msgspec.Struct, frozen=True):
    """The straight legs of all string paths: ends (m, 2), heights of the string's centre (m,), path of each (m,).

    `lines` are the legs as shapes.
    """

    starts: Floats
    ends: Floats
    start_heights: Floats
    end_heights: Floats
    path: Indices
    lines: Shapes


class Facts(msgspec.Struct, frozen=True):
    """What a check looks at.

    `at` (n, 2), `bore` (n,) and `collar` (n,) are places, bore and collar diameters of the posts, `centres` their
    middles as shapes. `near` is None without an edge. `seats` are the parts whose seats are in `seat_shapes`,
    `side_buttons` the posts of `button_shapes`.
    `trim_face` and `trim_back` are how far the wood stays behind the drawn edge on each side, in mm.
    """

    build: Build
    layout: Layout
    rules: dict[str, Rule]
    at: Floats
    centres: Shapes
    bore: Floats
    collar: Floats
    trim_face: float
    trim_back: float
    legs: Legs
    string_radii: Floats
    bores: tuple[Part, ...]
    strings: tuple[Part, ...]
    holes: tuple[Part, ...]
    seats: tuple[Part, ...]
    seat_shapes: Shapes
    side_buttons: Indices
    button_shapes: Shapes
    edge_parts: tuple[Part, Part, Part]
    near_edge: NearEdge | None

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

    @property
    def near(self) -> NearEdge:
        """What lies how far from the edge; only checks that need a sound outline ask for it."""
        assert self.near_edge is not None, "checks of the edge run with an edge only"
        return self.near_edge

    def rule(self, name: str) -> Rule:
        """The rule called `name`, as this build has it."""
        return self.rules[name]

    def edge_index(self, beside: ToEdge) -> Indices:
        """Which of `edge_parts` is nearest to each of the places."""
        way = beside.foot - beside.at
        # Outside the head the nearest place lies the other way.
        way = np.where(beside.distance[:, None] >= 0, way, -way)
        treble = np.sign(way[:, 0]) == self.build.sign_of("treble")
        tip = way[:, 1] > np.abs(way[:, 0])
        return np.where(tip, 2, np.where(treble, 0, 1))


@lru_cache(maxsize=32)
def _rules(changed: tuple[ChangedLimit, ...]) -> dict[str, Rule]:
    return rules_with(changed)


EDGE_PARTS = (Part("edge", "", "treble"), Part("edge", "", "bass"), Part("edge", "", "tip"))


def facts_of(build: Build, layout: Layout) -> Facts:
    """The facts about a layout."""
    posts = layout.posts
    labels = layout.labels
    at = points([post.at for post in posts])
    legs = _legs(layout.paths)
    seats = _seats(layout)
    side = [n for n, post in enumerate(posts) if isinstance(post.button, Box)]
    buttons = [post.button for post in posts if isinstance(post.button, Box)]
    holes = points([hole.at for hole in layout.small_holes])
    seat_shapes, button_shapes = polygons_of([box for _, box in seats]), polygons_of(buttons)
    near = None
    if layout.edge is not None:
        near = near_edge(layout.edge, at, holes, (seat_shapes, button_shapes, legs.lines))
    head = build.head
    return Facts(
        build=build,
        layout=layout,
        rules=_rules(build.limits),
        at=at,
        centres=places_at(at),
        bore=np.array([post.bore for post in posts]),
        collar=np.array([post.hardware.collar_diameter for post in posts]),
        trim_face=head.edge_face + head.binding,
        trim_back=head.edge_back + head.binding,
        legs=legs,
        string_radii=np.array([path.string.diameter / 2 for path in layout.paths]),
        bores=tuple(Part("bore", post.key, post.label) for post in posts),
        strings=tuple(Part("string", path.string.key, labels[path.string.key]) for path in layout.paths),
        holes=_hole_parts(layout),
        seats=tuple(part for part, _ in seats),
        seat_shapes=seat_shapes,
        side_buttons=np.array(side, dtype=np.intp),
        button_shapes=button_shapes,
        edge_parts=EDGE_PARTS,
        near_edge=near,
    )


def _seats(layout: Layout) -> list[tuple[Part, Box]]:
    """The seats of single tuners and of plates, called after their tuners."""
    seats = [(Part("body", post.key, post.label), post.seat) for post in layout.posts]
    found = [(part, box) for part, box in seats if box is not None]
    return found + [(plate_part(layout, plate.posts), plate.box) for plate in layout.plates]


def plate_part(layout: Layout, posts: tuple[str, ...]) -> Part:
    """A plate as a part, called after its first and last tuner."""
    return Part("body", posts[0], f"{layout.labels[posts[0]]} to {layout.labels[posts[-1]]}")


def _legs(paths: tuple[StringPath, ...]) -> Legs:
    rows = [
        (number, one, two, low, high)
        for number, path in enumerate(paths)
        for one, two, low, high in zip(
            path.points, path.points[1:], path.heights, path.heights[1:], strict=False
        )
    ]
    starts, ends = points([row[1] for row in rows]), points([row[2] for row in rows])
    return Legs(
        starts=starts,
        ends=ends,
        start_heights=np.array([row[3] for row in rows]),
        end_heights=np.array([row[4] for row in rows]),
        path=np.array([row[0] for row in rows], dtype=np.intp),
        lines=lines_of(np.stack([starts, ends], axis=1)),
    )


@lru_cache(maxsize=64)
def pairs(count: int) -> tuple[Indices, Indices]:
    """All pairs i < j of `count` things, as arrays that must not be written to."""
    i, j = np.triu_indices(count, 1)
    return i, j


def _hole_parts(layout: Layout) -> tuple[Part, ...]:
    """Holes of screws and pins as parts, called after what they hold; several of one kind are numbered."""
    groups = [(hole.kind, hole.owners) for hole in layout.holes]
    count, seen = Counter(groups), Counter[tuple[str, tuple[str, ...]]]()
    parts = []
    for hole, group in zip(layout.holes, groups, strict=True):
        seen[group] += 1
        label = layout.names_of(hole.owners) + (f" no. {seen[group]}" if count[group] > 1 else "")
        parts.append(Part(hole.kind, hole.owners[0], label))
    of_trees = [Part(hole.kind, hole.tree, f"of retainer {hole.tree}") for hole in layout.tree_screws]
    return (*parts, *of_trees)
