"""Holes that the head has already: which are still there when the new bores are drilled."""

from __future__ import annotations

from collections.abc import Iterable

from geometry.document.build import Build, OldHole
from geometry.layout.parts import PlacedPost
from geometry.shape.tolerance import SAME


def open_holes(build: Build) -> list[OldHole]:
    """The old holes that no plug has made wood again."""
    return [hole for hole in build.old_holes if not hole.plugged]


def holes_left(build: Build, posts: Iterable[PlacedPost]) -> list[OldHole]:
    """The open old holes that no new bore takes away whole; one that is swallowed is gone and counts for nothing."""
    placed = list(posts)
    return [hole for hole in open_holes(build) if not any(swallows(post, hole) for post in placed)]


def swallows(post: PlacedPost, hole: OldHole) -> bool:
    """Whether a new bore takes an old hole away whole, at every depth that the old hole has."""
    return room_in_bore(post, hole) >= -SAME


def room_in_bore(post: PlacedPost, hole: OldHole) -> float:
    """How far in mm an old hole lies inside a bore that takes it away whole; negative where it does not."""
    bore = post.hardware.bore
    counter = bore.counterbore
    near_face = hole.side == "face" and hole.depth is not None
    within = (
        counter is not None and near_face and hole.depth is not None and hole.depth <= counter.depth + SAME
    )
    width = bore.largest if within else bore.through
    return width / 2 - post.at.distance(hole.at) - hole.diameter / 2
