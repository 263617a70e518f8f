"""Where the numbers that do not lie in the plan are found on the head seen from the side.

Places are those of `side_view`: heights over the face, and the y along it.
"""

from __future__ import annotations

import math

from geometry.document.build import Build, Row
from geometry.layout.found_dimension import DOWN, LEFT, RIGHT, UP, Finder, Found, PartFinder
from geometry.layout.layout import Layout
from geometry.layout.parts import thickness_at
from geometry.layout.paths import hole_over_face
from geometry.layout.side_view import NECK, NUT, neck_axes
from geometry.shape.point import Point, Vector

_BESIDE = 6.0
"""Lines of measure stand so far beside the wood, mm."""

_ARM = 0.6
"""Share of the head at which the angle between face and neck is shown."""


def _thickness(at_tip: bool) -> Finder:  # noqa: FBT001 - one of two ends
    def find(build: Build, layout: Layout, _: Row | None) -> Found:
        y = layout.top if at_tip else 0.0
        back = Point(-thickness_at(build, y, layout.top), y)
        if at_tip:
            return Found(back, Point(0.0, y), UP, aside=UP * _BESIDE)
        return Found(back, Point(0.0, y), LEFT, words_at=back)

    return find


def _neck_depth(build: Build, _: Layout, __: Row | None) -> Found:
    along, out = neck_axes(build.head)
    end = NUT + along * NECK
    return Found(end - out * build.head.neck_depth, end, DOWN, aside=along * _BESIDE)


def _angle(build: Build, layout: Layout, _: Row | None) -> Found:
    """Between the face and the line of the neck drawn on over it."""
    along, _out = neck_axes(build.head)
    arm = max(layout.top, 1.0) * _ARM
    onward = NUT - along * arm
    middle = NUT + Vector(0.0, arm).turned(-math.radians(build.head.angle_deg) / 2)
    return Found(
        Point(0.0, arm), onward, RIGHT, words_at=middle, about=NUT, value=build.head.angle_deg, kind="angle"
    )


def _volute(build: Build, _: Layout, __: Row | None) -> Found:
    back = Point(-build.head.thickness_nut, 0.0)
    rim = back + LEFT * build.head.volute_height
    return Found(rim, back, LEFT, words_at=rim)


def _slot_floor(build: Build, _: Layout, __: Row | None) -> Found:
    floor = Point(build.nut.slot_floor, 0.0)
    return Found(NUT, floor, RIGHT, words_at=floor)


def _scale_length(build: Build, _: Layout, __: Row | None) -> Found:
    """Along the strings from the nut, broken where the drawing of the neck ends."""
    along, out = neck_axes(build.head)
    floor = NUT + out * build.nut.slot_floor
    return Found(floor, floor + along * NECK, RIGHT, aside=out * _BESIDE, value=build.scale_length)


def _turns(_: Build, layout: Layout, key: str) -> Found | None:
    """The windings of a string on its post, from the string hole down."""
    post = next((each for each in layout.posts if each.key == key), None)
    path = next((each for each in layout.paths if each.post == key), None)
    if post is None or path is None:
        return None
    high, low = hole_over_face(post), path.heights[-1]
    turns = (high - low) / path.string.diameter
    y = post.at.y + path.contact_radius
    return Found(Point(low, y), Point(high, y), UP, words_at=Point(high, y), value=turns, kind="count")


SIDE: dict[str, Finder] = {
    "Head.thickness_nut": _thickness(at_tip=False),
    "Head.thickness_tip": _thickness(at_tip=True),
    "Head.neck_depth": _neck_depth,
    "Head.angle_deg": _angle,
    "Head.volute_height": _volute,
    "Nut.slot_floor": _slot_floor,
    "Build.scale_length": _scale_length,
}
"""What finds each of them, by the name that its field in a panel has."""

SIDE_OF_PARTS: dict[str, PartFinder] = {"Post.turns": _turns}
"""The same for those of a single post."""
