"""How much a build file has room for."""

from __future__ import annotations

from geometry.document.build import MOST_NODES, Build
from geometry.document.outline_nodes import nodes_of


def check_room(build: Build) -> None:
    """Raise ValueError, a sentence for the maker, when there is more of something than a file takes."""
    counts = [
        (len(nodes_of(build)), MOST_NODES, "nodes"),
        (max((len(row.posts) for row in build.rows), default=0), 40, "tuners in a row"),
        (len(build.keep_clear), 100, "regions to keep clear"),
        (len(build.retainers), 40, "trees and guide posts"),
        (len(build.old_holes), 200, "old holes"),
    ]
    for count, most, what in counts:
        if count > most:
            message = f"A build has room for {most} {what}."
            raise ValueError(message)
