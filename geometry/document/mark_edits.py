"""Acts on what the head has already or must keep: regions, old holes, trees and guide posts, changed limits."""

from __future__ import annotations

from typing import TypeVar

from msgspec.structs import replace

from geometry.document.build import Build, OldHole, Region, Retainer

Mark = TypeVar("Mark", Region, OldHole, Retainer)


def set_region(build: Build, region: Region) -> Build:
    """Change the region with the same key."""
    return replace(build, keep_clear=_put(build.keep_clear, region))


def set_old_hole(build: Build, hole: OldHole) -> Build:
    """Change the old hole with the same key."""
    return replace(build, old_holes=_put(build.old_holes, hole))


def remove_old_hole(build: Build, key: str) -> Build:
    """Forget an old hole."""
    return replace(build, old_holes=_without(build.old_holes, key))


def set_retainer(build: Build, retainer: Retainer) -> Build:
    """Change the tree or guide post with the same key."""
    return replace(build, retainers=_put(build.retainers, retainer))


def remove_retainer(build: Build, key: str) -> Build:
    """Take a tree or guide post away."""
    return replace(build, retainers=_without(build.retainers, key))


def reset_limits(build: Build) -> Build:
    """Give all limits back to their defaults."""
    return replace(build, limits=())


def _put(marks: tuple[Mark, ...], mark: Mark) -> tuple[Mark, ...]:
    assert any(each.key == mark.key for each in marks), f"there is no {mark.key!r}"
    return tuple(mark if each.key == mark.key else each for each in marks)


def _without(marks: tuple[Mark, ...], key: str) -> tuple[Mark, ...]:
    assert any(each.key == key for each in marks), f"there is no {key!r}"
    return tuple(each for each in marks if each.key != key)
