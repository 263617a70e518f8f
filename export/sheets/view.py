"""What the window shows of a head: the marks of the templates without tabs, tables and placed labels.

Names stand at fixed places beside their bores, so that they follow a drag; the sheets place theirs with care.
"""

from __future__ import annotations

from export.drawing import Drawing, Mark, Role, Text
from export.sheets.back import back_marks, piece_name
from export.sheets.face import blank_marks, bore_marks, nut_marks, path_marks, retainer_marks
from export.sheets.head import NAME, centre_line, head_lines, keep_clear, old_holes
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.point import Vector

INTO_NECK = 12.0
BEYOND_TIP = 8.0
"""How far in mm the centre line runs on past the nut and the tip."""


def face_view(build: Build, layout: Layout) -> Drawing:
    """The face as one looks at it."""
    return Drawing(
        (
            *blank_marks(build.head.blank),
            *head_lines(build, layout),
            centre_line(-INTO_NECK, layout.top + BEYOND_TIP),
            *keep_clear(build),
            *old_holes(build),
            *nut_marks(build, layout),
            *path_marks(layout),
            *retainer_marks(build),
            *bore_marks(layout),
            *(_name(post, post.label) for post in layout.posts),
        )
    )


def back_view(build: Build, layout: Layout) -> Drawing:
    """What lies on the back, in the frame of the face."""
    names = (_name(post, piece_name(post)) for post in layout.posts)
    return Drawing((*back_marks(build, layout), *names))


def _name(post: PlacedPost, words: str) -> Mark:
    """The post's name on the inner side of its bore, clear of the crosshair."""
    inner = -1.0 if post.side_sign > 0 else 1.0
    reach = max(post.bore, post.hardware.collar_diameter) / 2 + 1.5
    at = post.at + Vector(inner * reach * 0.75, reach * 0.75)
    return Mark(
        Role.LABEL, Text(at, NAME, words, anchor="end" if inner < 0 else "start", bold=True), post.label
    )
