"""The oracle's own findings of a build."""

from __future__ import annotations

import numpy as np

from tests.oracle.curve import Json
from tests.oracle.edge import edge_of
from tests.oracle.gaps import Found, Gap, Limits
from tests.oracle.hardware import check_hardware
from tests.oracle.head import Head
from tests.oracle.nut import labels
from tests.oracle.placing import posts_of
from tests.oracle.strings import check_strings
from tests.oracle.wood import check_outline, check_wood


def gaps_of(build: Json) -> list[Gap]:
    """All quantities of a build; of a head that is none, or whose rows have no place, only that."""
    found = Found(Limits(build))
    edge = edge_of(build)
    found.add("outline", "head", measured=float(not edge.sound))
    if not edge.sound:
        return found.gaps
    head = Head(build, edge, posts_of(build, edge))
    _placed(head, found)
    check_outline(edge, build, found)
    if head.posts:
        judge_parts(head, found)
    return found.gaps


def judge_parts(head: Head, found: Found) -> None:
    """What depends on where the holes are."""
    check_wood(head, found)
    check_hardware(head, found)
    check_strings(head, found)


def _placed(head: Head, found: Found) -> None:
    """Rows without a place, and strings without a post."""
    placed, strung = {post.key for post in head.posts}, {path.name for path in head.paths}
    rows = [row for row in head.build["rows"] if not {post["key"] for post in row["posts"]} <= placed]
    bare = [label for label in labels(head.build).values() if f"string {label}" not in strung]
    for label in bare:
        found.add("placement", f"string {label}", measured=1.0)
    if rows or not bare:
        found.add("placement", "head", measured=float(bool(rows)), faint=float(_over_the_tip(head)))


def _over_the_tip(head: Head) -> bool:
    """Whether a post stands beside a place of the edge beyond the tip: where a side ends there, nothing says."""
    tip = int(np.argmax(head.edge.points[:, 1]))
    for post in head.posts:
        nearest = int(np.argmin(np.linalg.norm(head.edge.points - head.edge.foot(post.at), axis=1)))
        if (nearest - tip) * post.sign > 0 and post.at[1] > head.edge.top / 2:
            return True
    return False
