"""What is selected: parts of the build by kind and key, in the order in which they were chosen."""

from __future__ import annotations

from typing import Literal

import msgspec

from geometry.document.build import Build
from geometry.document.outline_nodes import nodes_of

ItemKind = Literal["node", "run", "post", "row", "string", "region", "old hole", "retainer"]


class Item(msgspec.Struct, frozen=True, gc=False):
    """One part of the build; a run is called after the node it goes on from."""

    kind: ItemKind
    key: str


Selection = tuple[Item, ...]

NOTHING: Selection = ()


def toggled(selection: Selection, item: Item) -> Selection:
    """The selection with the item added, or taken away when it was in it."""
    if item in selection:
        return tuple(each for each in selection if each != item)
    return (*selection, item)


def keys_of(selection: Selection, kind: ItemKind) -> tuple[str, ...]:
    """Keys of the selected parts of one kind."""
    return tuple(item.key for item in selection if item.kind == kind)


def still_there(selection: Selection, build: Build) -> Selection:
    """The selection without parts that the build no longer has."""
    there = all_items(build)
    return tuple(item for item in selection if item in there)


def all_items(build: Build) -> frozenset[Item]:
    """Everything of a build that can be selected."""
    nodes = nodes_of(build)
    return frozenset(
        [
            *(Item("node", node.key) for node in nodes),
            *(Item("run", node.key) for node in nodes[:-1]),
            *(Item("row", row.key) for row in build.rows),
            *(Item("post", post.key) for row in build.rows for post in row.posts),
            *(Item("string", string.key) for string in build.strings),
            *(Item("region", region.key) for region in build.keep_clear),
            *(Item("old hole", hole.key) for hole in build.old_holes),
            *(Item("retainer", retainer.key) for retainer in build.retainers),
        ]
    )
