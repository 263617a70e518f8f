"""Everything that the window shows of one build, frozen: made once for each change."""

from __future__ import annotations

from typing import Literal

import msgspec

from app.document.selection import NOTHING, Selection
from export.drawing import Drawing
from export.sheets.view import back_view, face_view
from geometry.checks.judge import Finding, findings
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import PlacedPost
from geometry.search.rings.allowance import Joint
from geometry.shape.tolerance import PRINT

Side = Literal["face", "back", "both"]


class Ghost(msgspec.Struct, frozen=True):
    """A head that is only proposed, shown over the build in view, which stays as it is until somebody takes it.

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


class Scene(msgspec.Struct, frozen=True):
    """A build with all that follows from it, and what is selected.

    `gesture` tells that a drag is under way and nothing is committed yet. `ghost` is what is proposed for this very
    build, None most of the time. The drawings are made when they are asked for: whoever needs one often keeps it for
    as long as the layout is the same.
    """

    build: Build
    layout: Layout
    findings: tuple[Finding, ...]
    selection: Selection = NOTHING
    gesture: bool = False
    ghost: Ghost | None = None

    @property
    def face(self) -> Drawing:
        """The drawing as the face shows it."""
        return face_view(self.build, self.layout)

    @property
    def back(self) -> Drawing:
        """What lies on the back, still in the face's frame, so that it lies under what the face shows."""
        return back_view(self.build, self.layout)


def scene_of(build: Build, selection: Selection = NOTHING, *, gesture: bool = False) -> Scene:
    """The scene of a build."""
    layout = lay_out(build)
    return Scene(build, layout, findings(build, layout), selection, gesture)
