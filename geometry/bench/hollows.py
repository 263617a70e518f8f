"""What is missing from the wood of a head: bores, counterbores, pockets, slots and open old holes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from geometry.bench.small_holes import old_hole_names
from geometry.document.build import Build, OldHole, Region, RoundRegion
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle

Span = tuple[float, float]
"""From the smaller to the larger of two coordinates, in mm."""


class Hollow(msgspec.Struct, frozen=True):
    """Something cut out square to the face: a circle, or a polygon by its corners.

    `name` is as a sentence calls it. `depth` in mm is from its side; what goes through has none.
    """

    name: str
    shape: Circle | tuple[Point, ...]
    side: Literal["face", "back", "through"] = "through"
    depth: float = 0.0

    @property
    def heights(self) -> tuple[float, ...]:
        """The y at which its width may be greatest or changes abruptly, in mm."""
        if isinstance(self.shape, Circle):
            return (self.shape.centre.y,)
        return tuple(corner.y for corner in self.shape)

    def spans(self, y: float) -> list[Span]:
        """From where to where along x it cuts a section at height `y`, from left to right."""
        if isinstance(self.shape, Circle):
            half = _half_chord(self.shape, y)
            return [(self.shape.centre.x - half, self.shape.centre.x + half)] if half > 0 else []
        return cuts(self.shape, y)

    def levels(self, thickness: float) -> Span:
        """From which to which depth below the face it reaches in wood of this thickness, in mm."""
        match self.side:
            case "through":
                return 0.0, thickness
            case "face":
                return 0.0, min(self.depth, thickness)
            case "back":
                return max(0.0, thickness - self.depth), thickness


def _half_chord(circle: Circle, y: float) -> float:
    square = circle.radius**2 - (y - circle.centre.y) ** 2
    return math.sqrt(square) if square > 0 else 0.0


def cuts(corners: Sequence[Point | Vector], y: float) -> list[Span]:
    """Even-odd cuts of a polygon; a corner at this very height counts as above it."""
    crossed = (
        one.x + (two.x - one.x) * (y - one.y) / (two.y - one.y)
        for one, two in zip(corners, (*corners[1:], *corners[:1]), strict=True)
        if (one.y > y) != (two.y > y)
    )
    places = sorted(crossed)
    return list(zip(places[::2], places[1::2], strict=True))


def hollows(build: Build, layout: Layout) -> tuple[Hollow, ...]:
    """All that is missing from the head when it is drilled, the holes of screws and pins left out.

    Plugged old holes are wood.
    """
    return (
        *(hollow for post in layout.posts for hollow in _bores(post)),
        *pockets(build),
        *(
            _old(name, hole)
            for name, hole in zip(old_hole_names(build), build.old_holes, strict=True)
            if not hole.plugged
        ),
    )


def _bores(post: PlacedPost) -> Iterator[Hollow]:
    bore = post.hardware.bore
    yield Hollow(f"bore {post.label}", Circle(post.at, bore.through / 2))
    wide = bore.counterbore
    if wide is not None and wide.diameter > bore.through:
        yield Hollow(f"counterbore {post.label}", Circle(post.at, wide.diameter / 2), "face", wide.depth)


def pockets(build: Build) -> tuple[Hollow, ...]:
    """The regions to keep clear that take wood away: those with a depth, and those that go through.

    A region of a side without a depth is a mark on the surface.
    """
    return tuple(_pocket(region) for region in build.keep_clear if takes_wood(region))


def takes_wood(region: Region) -> bool:
    """Whether a region to keep clear is hollow, not a mark on a surface."""
    return region.side == "through" or region.depth > 0


def _pocket(region: Region) -> Hollow:
    shape = region.shape
    cut = Circle(shape.centre, shape.radius) if isinstance(shape, RoundRegion) else shape.points
    return Hollow(f"the {region.name or region.key}", cut, region.side, region.depth)


def _old(name: str, hole: OldHole) -> Hollow:
    circle = Circle(hole.at, hole.diameter / 2)
    if hole.depth is None:
        return Hollow(f"old hole {name}", circle)
    return Hollow(f"old hole {name}", circle, hole.side, hole.depth)
