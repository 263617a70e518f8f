"""Findings of real heads against the same distances measured by another library on finely flattened outlines."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely
import shapely.ops
from shapely import LineString, Polygon

from geometry.checks.judge import Finding, findings
from geometry.document.build import AlongEdge, Build, Moved
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import PlacedPost
from geometry.shape.box import Box
from geometry.shape.segment import Circle
from tests.builds import READY_MADE, change, laden_head, three_and_three

NEAR = 0.002
"""The outlines compared stray 0.0005 mm (flattened here) and 0.0009 mm (as arcs) from the drawn curve."""


def moved_about() -> Build:
    """Posts pushed out of place by hand, so that some things overlap and hang over."""
    build = three_and_three()
    treble, bass = build.rows
    return change(
        build,
        rows=(
            change(
                treble,
                moved=(Moved(post="t1", along=9.0, inward=-4.0), Moved(post="t3", along=3.0, inward=6.0)),
            ),
            change(bass, rule=AlongEdge(start=30.0, pitch=21.0, inset=9.0)),
        ),
    )


ALL = [*READY_MADE, laden_head, moved_about]


def area(thing: Box | Circle) -> Polygon:
    if isinstance(thing, Circle):
        return shapely.Point(thing.centre.x, thing.centre.y).buffer(thing.radius, quad_segs=512)
    return Polygon([(corner.x, corner.y) for corner in thing.corners()])


class Heads:
    """A build with its edge as a polyline and its wood as a polygon."""

    def __init__(self, build: Build) -> None:
        self.build, self.layout = build, lay_out(build)
        assert self.layout.edge is not None
        points = [(point.x, point.y) for point in self.layout.edge.drawn.flatten(0.0005)]
        self.edge = LineString(points)
        self.wood = Polygon([*points, (points[-1][0], -60.0), (points[0][0], -60.0)])

    def inside(self, thing: Polygon) -> float:
        """How far a thing lies inside the edge; only for those wholly inside."""
        assert self.wood.contains(thing)
        return float(self.edge.distance(thing.exterior))


def path(layout: Layout, key: str) -> LineString:
    found = next(each for each in layout.paths if each.string.key == key)
    return LineString([(point.x, point.y) for point in found.points])


def spot(post: PlacedPost) -> shapely.Point:
    return shapely.Point(post.at.x, post.at.y)


def expected(head: Heads, finding: Finding) -> float | None:
    """The quantity as shapely measures it, None where it is not a plain distance of things apart."""
    layout, trim = head.layout, head.build.head
    back, face = trim.edge_back + trim.binding, trim.edge_face + trim.binding
    keys = [part.key for part in finding.about]
    posts = {post.key: post for post in layout.posts}
    match finding.check:
        case "wall":
            post = posts[keys[0]]
            sign = 1 if head.wood.contains(spot(post)) else -1
            return sign * head.edge.distance(spot(post)) - post.bore / 2 - max(back, face)
        case "web" if keys[1] in posts:
            one, two = posts[keys[0]], posts[keys[1]]
            return spot(one).distance(spot(two)) - (one.bore + two.bore) / 2
        case "seat":
            post = posts[keys[0]]
            if post.seat is None or not head.wood.contains(area(post.seat)):
                return None
            return head.inside(area(post.seat)) - back
        case "body gap" | "butting body gap" | "button gap":
            things = [posts[key].button if finding.check == "button gap" else posts[key].body for key in keys]
            shapes = [area(thing) for thing in things if thing is not None]
            if len(shapes) < 2 or shapes[0].intersects(shapes[1]):
                return None
            return shapes[0].distance(shapes[1])
        case "button to edge":
            button = area(posts[keys[0]].button)
            return None if button.intersects(head.wood) else button.distance(head.edge)
        case "string to post":
            post = posts[keys[1]]
            wound = [each.string.diameter for each in layout.paths if each.post == keys[1]]
            own = next(each for each in layout.paths if each.string.key == keys[0]).string
            reach = post.hardware.post_diameter / 2 + sum(wound) + own.diameter / 2
            return path(layout, keys[0]).distance(spot(post)) - reach
        case "string over wood":
            way = path(layout, keys[0])
            return way.distance(head.edge) if head.wood.contains(way) else None
        case "string to string":
            return shortened_distance(head, keys[0], keys[1])
        case _:
            return None


def shortened_distance(head: Heads, *keys: str) -> float:
    """Distance of two paths without their ends, post radius + two diameters before the tangent."""
    ways, radii = [], 0.0
    for key in keys:
        found = next(each for each in head.layout.paths if each.string.key == key)
        post = head.layout.post(found.post)
        back = post.hardware.post_diameter / 2 + 2 * found.string.diameter
        whole = path(head.layout, key)
        ways.append(shapely.ops.substring(whole, 0.0, whole.length - back))
        radii += found.string.diameter / 2
    return float(ways[0].distance(ways[1])) - radii


@pytest.mark.parametrize("ready", ALL)
def test_measures_agree(ready: Callable[[], Build]) -> None:
    head = Heads(ready())
    compared = set()
    for finding in findings(head.build, head.layout):
        value = expected(head, finding)
        if value is not None:
            compared.add(finding.check)
            assert finding.measured == pytest.approx(value, abs=NEAR), finding
    assert {"wall", "web", "string to post", "string to string"} <= compared


@pytest.mark.parametrize("ready", ALL)
def test_no_closer_button_is_missed(ready: Callable[[], Build]) -> None:
    head = Heads(ready())
    posts = head.layout.posts
    said = findings(head.build, head.layout)
    for post in posts:
        gaps = [area(post.button).distance(area(other.button)) for other in posts if other is not post]
        buttons = [
            each.measured or 0.0
            for each in said
            if each.check == "button gap" and post.key in [part.key for part in each.about]
        ]
        assert max(0.0, min(buttons)) == pytest.approx(min(gaps), abs=NEAR)
