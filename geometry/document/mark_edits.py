"""Acts on what the head has already or must keep: regions, old holes, trees and guide posts, changed limits."""

from __future__ import annotations

from msgspec.structs import replace

from geometry.document.build import Build, OldHole, Polygon, Region, Retainer, RoundRegion
from geometry.document.edits import changed, without
from geometry.document.outline_nodes import kept_place
from geometry.shape.point import Vector


def set_region(build: Build, region: Region) -> Build:
    """Change the region with the same key."""
    return replace(build, keep_clear=changed(build.keep_clear, region.key, lambda _: region))


def set_old_hole(build: Build, hole: OldHole) -> Build:
    """Change the old hole with the same key."""
    return replace(build, old_holes=changed(build.old_holes, hole.key, lambda _: hole))


def remove_old_hole(build: Build, key: str) -> Build:
    """Forget an old hole."""
    return replace(build, old_holes=without(build.old_holes, key))


def set_retainer(build: Build, retainer: Retainer) -> Build:
    """Change the tree or guide post with the same key."""
    return replace(build, retainers=changed(build.retainers, retainer.key, lambda _: retainer))


def remove_retainer(build: Build, key: str) -> Build:
    """Take a tree or guide post away."""
    return replace(build, retainers=without(build.retainers, key))


def reset_limits(build: Build) -> Build:
    """Give all limits back to their defaults."""
    return replace(build, limits=())


def moved_region(region: Region, step: Vector) -> Region:
    """The region displaced by a step in mm."""
    shape = region.shape
    if isinstance(shape, Polygon):
        return replace(
            region, shape=Polygon(points=tuple(kept_place(point + step) for point in shape.points))
        )
    return replace(region, shape=RoundRegion(centre=kept_place(shape.centre + step), radius=shape.radius))
