"""A head as the oracle sees it: the JSON of a build, its edge, its tuners, holes and strings."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from tests.oracle.curve import Floats, Json
from tests.oracle.edge import Edge, edge_of
from tests.oracle.parts import Body, Hole, Plates, bodies, collars, holes_of, plates
from tests.oracle.paths import Path, paths_of, thickness
from tests.oracle.placing import Post, posts_of


@dataclass(frozen=True)
class Head:
    """What is where."""

    build: Json
    edge: Edge
    posts: list[Post]

    @cached_property
    def at(self) -> Floats:
        return np.stack([post.at for post in self.posts])

    @cached_property
    def steep(self) -> list[tuple[Floats, Floats]]:
        """Where the edge ends the grain, standing at 45 degrees or more to it, and a little less, and a little more.

        Arcs that follow a curve turn off it by up to 0.15 degrees.
        """
        turn = math.radians(self.build.get("head", {}).get("grain_deg", 0.0))
        grain = np.array([-math.sin(turn), math.cos(turn)])
        return [self.edge.steep_to(grain, degrees) for degrees in (45.0, 44.8, 45.2)]

    @cached_property
    def plates(self) -> Plates:
        return plates(self.posts)

    @cached_property
    def holes(self) -> list[Hole]:
        return holes_of(self.build, self.posts, self.plates)

    @cached_property
    def bodies(self) -> list[Body]:
        return bodies(self.posts, self.plates, "body")

    @cached_property
    def seats(self) -> list[Body]:
        return bodies(self.posts, self.plates, "seat")

    @cached_property
    def discs(self) -> dict[str, list[tuple[shapely.Polygon, float]]]:
        """The areas of washers and hexagons by post, and their heights; their chords stray by less than 0.001 mm."""
        return {
            post.key: [
                (shapely.Point(post.at).buffer(disc["diameter"] / 2, quad_segs=96), disc.get("height", 0.0))
                for disc in collars(post)
            ]
            for post in self.posts
        }

    @cached_property
    def paths(self) -> list[Path]:
        return paths_of(self.build, self.edge, self.posts)

    def thickness(self, y: float) -> float:
        return thickness(self.build, self.edge, y)

    @property
    def rounded_face(self) -> float:
        """How far the flat of the face stays behind the drawn edge: a washer lies on binding, too."""
        return float(self.build.get("head", {}).get("edge_face", 0.0))

    @property
    def trim_face(self) -> float:
        """How far the wood of the face stays behind the drawn edge."""
        said = self.build.get("head", {})
        return float(said.get("edge_face", 0.0) + said.get("binding", 0.0))

    @property
    def trim_back(self) -> float:
        said = self.build.get("head", {})
        return float(said.get("edge_back", 0.0) + said.get("binding", 0.0))

    def displaced(self, steps: dict[str, Floats]) -> Head:
        """The head with holes drilled beside their marks: tuners go with their holes, their shafts keep their way."""
        posts = [replace(post, at=post.at + steps[post.key]) for post in self.posts]
        return Head(self.build, self.edge, posts)


def head_of(build: Json) -> Head:
    """The head of a build."""
    edge = edge_of(build)
    return Head(build, edge, posts_of(build, edge))
