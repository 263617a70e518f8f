"""On which side of the head the parts of a finding lie, and which of them can be selected."""

from __future__ import annotations

from app.document.scene import Scene, Side
from app.document.selection import Item, ItemKind, Selection, all_items
from geometry.checks.gaps import Part
from geometry.checks.judge import Finding
from geometry.document.build import Build

_ON_FACE = frozenset({"post", "washer", "string", "retainer"})
_ON_BACK = frozenset({"button", "body", "screw", "pin"})
_KINDS: dict[str, ItemKind] = {"region": "region", "hole": "old hole", "retainer": "retainer", "row": "row"}


def lies_on(side: Side, finding: Finding, build: Build) -> bool:
    """Whether all that a finding is about is seen from a side; bores and edges are seen from both."""
    return all(_seen_from(part, build) in (side, "both") for part in finding.about)


def _seen_from(part: Part, build: Build) -> Side:
    if part.kind in _ON_FACE or any(part.key == each.key for each in build.retainers):
        return "face"
    if part.kind in _ON_BACK:
        return "back"
    for each in build.keep_clear:
        if part.kind == "region" and part.key == each.key and each.side != "through":
            return each.side
    for hole in build.old_holes:
        if part.kind == "hole" and part.key == hole.key and hole.depth is not None:
            return hole.side
    return "both"


def items_about(finding: Finding, scene: Scene) -> Selection:
    """What can be selected of a finding: its tuners, those of its strings, and what else lies on the head."""
    posts = {post.string: post.key for post in scene.layout.posts}
    there = all_items(scene.build)
    found: dict[Item, None] = {}
    for part in finding.about:
        own = posts.get(part.key) if part.kind == "string" else part.key
        item = Item(_KINDS.get(part.kind, "post"), own or part.key)
        tree = Item("retainer", part.key)
        found.update(dict.fromkeys(each for each in (item, tree) if each in there))
    return tuple(found)
