"""A head that is only proposed, shown over the one that is worked on."""

from __future__ import annotations

import msgspec

from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.search.rings.allowance import Joint
from geometry.shape.tolerance import PRINT


class Ghost(msgspec.Struct, frozen=True):
    """A proposal for the build in view, which stays as it is until somebody takes it.

    `words` name it on the drawing, such as "best placement". `joint` are its rings, None while they are not known.
    """

    build: Build
    layout: Layout
    words: str
    joint: Joint | None = None

    def moved(self, today: Layout) -> tuple[tuple[PlacedPost, PlacedPost], ...]:
        """The posts that it would move, each as it is today and as proposed."""
        there = {post.key: post for post in self.layout.posts}
        pairs = ((post, there[post.key]) for post in today.posts if post.key in there)
        return tuple((old, new) for old, new in pairs if old.at.distance(new.at) > PRINT)
