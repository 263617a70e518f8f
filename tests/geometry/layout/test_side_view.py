"""The head from the side, in closed form on plain heads."""

from __future__ import annotations

import math

import pytest
import shapely

from geometry.document.build import Build, Head
from geometry.layout.layout import lay_out
from geometry.layout.side_view import NECK, SideView, head_and_neck, over_fingerboard, side_view
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point
from geometry.trade.part_view import POST_OVER
from tests.builds import LENGTH, THICK, change, plain_head, post_at, tuner


def seen(build: Build) -> SideView:
    return side_view(build, lay_out(build))


def area(corners: tuple[Point, ...]) -> float:
    whole = shapely.Polygon([(at.x, at.y) for at in corners])
    assert whole.is_valid
    return float(whole.area)


def test_a_flat_head_is_its_thickness_by_its_length_and_the_neck_its_depth() -> None:
    wood = seen(plain_head(head=Head(thickness_nut=15.0, thickness_tip=15.0, neck_depth=18.0))).wood
    assert area(wood) == pytest.approx(15.0 * LENGTH + 18.0 * NECK)
    tapered = seen(plain_head(head=Head(thickness_nut=16.0, thickness_tip=12.0, neck_depth=18.0))).wood
    assert area(tapered) == pytest.approx(14.0 * LENGTH + 18.0 * NECK)


def test_a_volute_is_half_as_much_as_its_height_by_its_length() -> None:
    # A cosine from its height to nothing has half the area of the rectangle, which the trapezoid rule finds exactly.
    head = Head(
        thickness_nut=15.0, thickness_tip=15.0, neck_depth=15.0, volute_height=4.0, volute_length=30.0
    )
    assert area(seen(plain_head(head=head)).wood) == pytest.approx(15.0 * (LENGTH + NECK) + 4.0 * 30.0 / 2)


@pytest.mark.parametrize("degrees", [4.0, 14.0, 17.0])
def test_backs_of_neck_and_head_meet_where_both_lines_cross(degrees: float) -> None:
    # The back of the neck lies `depth` under its line through the nut: t cos a + y sin a = depth, at the back x = -t.
    angle = math.radians(degrees)
    head = Head(thickness_nut=15.0, thickness_tip=15.0, neck_depth=16.0, angle_deg=degrees)
    throat = head_and_neck(head, 200.0, 80.0)[4]
    assert throat.x == pytest.approx(-15.0)
    assert throat.y == pytest.approx((16.0 - 15.0 * math.cos(angle)) / math.sin(angle))


def test_the_neck_rises_over_the_face_that_falls_back() -> None:
    # Seen with the face upright the neck runs down and back: by its length times sine and cosine.
    head = Head(thickness_nut=15.0, thickness_tip=15.0, angle_deg=30.0)
    end = head_and_neck(head, 200.0, 40.0)[2]
    assert (end.x, end.y) == pytest.approx((-20.0, -40.0 * math.cos(math.radians(30.0))))
    build = change(plain_head(), head=head)
    assert over_fingerboard(build, 40.0)[1].x == pytest.approx(7.0 * math.cos(math.radians(30.0)))


def test_posts_and_strings_stand_over_the_face() -> None:
    # The plain tuner's string hole is 7.5 mm over the face; without turns the string runs to it.
    view = seen(plain_head(post_at(10.0, 60.0), slots=(-3.0, 3.0)))
    assert view.posts == (Bounds(0.0, 57.0, 7.5 + POST_OVER, 63.0),)
    (string,) = view.strings
    assert string[1] == Point(7.5, 0.0)
    assert string[-1].x == pytest.approx(7.5)
    assert string[0] == Point(7.5, -NECK)
    assert view.bodies == (Bounds(-THICK - 16.0, 52.0, -THICK, 68.0),)


def test_without_a_body_nothing_lies_under_the_back() -> None:
    build = plain_head(post_at(10.0, 60.0), hardware=(tuner(body=None, seat=None),))
    assert seen(build).bodies == ()
