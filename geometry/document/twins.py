"""What lies alike on both sides of the centre line, and how one side follows an edit of the other.

Nodes and runs find their partners by their places (`outline_nodes`). Rows are twins where both sides are placed by the
same rule with the same tuners, posts where they have the same number in twin rows and were moved by hand alike, regions
where one is the mirror image of the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain

from msgspec.structs import replace

from geometry.document import edits
from geometry.document.build import Build, Moved, Polygon, Post, Region, RoundRegion, Row
from geometry.document.edits import post_in_mirror
from geometry.document.mark_edits import set_region
from geometry.document.outline import Nodes
from geometry.document.row_edits import OTHER_SIDE, is_drilled
from geometry.shape.point import Point
from geometry.shape.tolerance import PRINT

# Whether both sides are worked on together


def is_symmetric(build: Build) -> bool:
    """Whether an edit of one side is made on the other side too: as the maker said, else as the outline lies.

    An outline whose nodes mirror each other, as those of most starters do, is worked on symmetrically by itself.
    """
    if isinstance(build.symmetric, bool):
        return build.symmetric
    outline = build.outline
    if isinstance(outline, Nodes):
        return all(
            one.at.mirrored.distance(other.at) <= PRINT
            for one, other in zip(outline.nodes, reversed(outline.nodes), strict=True)
        )
    return outline.shape != "one-sided"


def set_symmetric(build: Build, *, on: bool) -> Build:
    """Work on both sides together from now on, or not."""
    return replace(build, symmetric=on)


# Twins


def twin_row(build: Build, row: str) -> Row | None:
    """The row of the other side that is placed likewise; None without one."""
    one = next(each for each in build.rows if each.key == row)
    alike = (
        each
        for each in build.rows
        if each.side == OTHER_SIDE[one.side] and each.rule == one.rule and each.hardware == one.hardware
    )
    return next(alike, None)


def twin_post(build: Build, post: str) -> str | None:
    """The key of the post that lies in the mirror; None without one."""
    row = next(row for row in build.rows if any(each.key == post for each in row.posts))
    twin = twin_row(build, row.key)
    place = next(place for place, each in enumerate(row.posts) if each.key == post)
    if twin is None or place >= len(twin.posts):
        return None
    other = twin.posts[place].key
    return other if _moved_alike(_moved(row, post), _moved(twin, other)) else None


def _moved(row: Row, post: str) -> Moved | None:
    return next((each for each in row.moved if each.post == post), None)


def _moved_alike(one: Moved | None, other: Moved | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one.along - other.along) <= PRINT and abs(one.inward - other.inward) <= PRINT


def twin_region(build: Build, region: str) -> str | None:
    """The key of the region that is the mirror image, the region's own where it lies evenly across; None without."""
    one = next(each for each in build.keep_clear if each.key == region)
    found = [each.key for each in build.keep_clear if _mirror_each_other(one, each)]
    return region if region in found else next(iter(found), None)


def _mirror_each_other(one: Region, other: Region) -> bool:
    if (one.side, one.depth) != (other.side, other.depth):
        return False
    if isinstance(one.shape, RoundRegion) or isinstance(other.shape, RoundRegion):
        return (
            isinstance(one.shape, RoundRegion)
            and isinstance(other.shape, RoundRegion)
            and abs(one.shape.radius - other.shape.radius) <= PRINT
            and one.shape.centre.mirrored.distance(other.shape.centre) <= PRINT
        )
    return len(one.shape.points) == len(other.shape.points) and all(
        _partner_in(other.shape.points, point) is not None for point in one.shape.points
    )


def _partner_in(points: tuple[Point, ...], point: Point) -> int | None:
    """The number of the point in the mirrored place."""
    image = point.mirrored
    return next((n for n, each in enumerate(points) if each.distance(image) <= PRINT), None)


def with_region(build: Build, region: Region) -> Build:
    """The build with another region, and with its mirror image unless that meets it or is it."""
    build = edits.add_region(build, region)
    shape = region.shape
    reach = (
        [shape.centre.x - shape.radius, shape.centre.x + shape.radius]
        if isinstance(shape, RoundRegion)
        else [point.x for point in shape.points]
    )
    if min(reach) <= 0 <= max(reach):
        return build
    key = edits.fresh_key("k", {each.key for each in build.keep_clear})
    return edits.add_region(build, replace(region, key=key, shape=edits.mirrored_shape(shape)))


# The other side follows


def with_twins(edit: Callable[[Build], Build]) -> Callable[[Build], Build]:
    """An edit that changes the other side likewise where both are worked on together."""

    def both(build: Build) -> Build:
        after = edit(build)
        return followed(build, after) if is_symmetric(build) else after

    return both


def followed(before: Build, after: Build, leads: Iterable[str] = ()) -> Build:
    """An edited build in which the twins of rows, posts and regions that the edit changed are changed likewise.

    Of two twins that both changed the first one of `leads` is followed, else the first in the build. What a post is
    set otherwise in than its twin stays so. A drilled hole is a fact of its own side: its post stays where it is, its
    row keeps its tuners, and where it is corrected its twin's mark stays.
    """
    after = _rows_follow(before, after)
    after = _posts_follow(before, after, leads)
    return _regions_follow(before, after)


def _rows_follow(before: Build, after: Build) -> Build:
    done: set[str] = set()
    for old, new in _pairs(before.rows, after.rows):
        twin = twin_row(before, old.key)
        if twin is None or old.key in done or (old.rule, old.hardware) == (new.rule, new.hardware):
            continue
        done.add(twin.key)
        there = next((row for row in after.rows if row.key == twin.key), None)
        # Its holes were drilled for its tuners; a rule that comes with other ones suits those.
        if there is None or (old.hardware != new.hardware and is_drilled(there)):
            continue
        tuners = next(each for each in after.hardware if each.key == new.hardware)
        after = edits.set_rule(edits.set_hardware(after, twin.key, tuners), twin.key, new.rule)
    return after


def _pairs(before: tuple[Row, ...], after: tuple[Row, ...]) -> Iterator[tuple[Row, Row]]:
    there = {row.key: row for row in after}
    return ((row, there[row.key]) for row in before if row.key in there)


def _posts_follow(before: Build, after: Build, leads: Iterable[str]) -> Build:
    old, new = _posts(before), _posts(after)
    done: set[str] = set()
    for key in dict.fromkeys(chain(leads, new)):
        if key not in old or key not in new or key in done or _alike(old[key], new[key]):
            continue
        twin = twin_post(before, key)
        if twin is not None and twin in new and not new[twin][0].drilled:
            done.add(twin)
            after = _with_post(after, _led(old[twin][0], new[twin][0], old[key][0], new[key][0]))
            if old[key][1] != new[key][1] and not new[key][0].drilled:
                after = _with_moved(after, twin, new[key][1])
    return after


_Placed = tuple[Post, Moved | None]


def _posts(build: Build) -> dict[str, _Placed]:
    return {post.key: (post, _moved(row, post.key)) for row in build.rows for post in row.posts}


def _alike(one: _Placed, other: _Placed) -> bool:
    """Whether nothing differs of what a twin follows: strings and turns are each post's own."""
    return one[1] == other[1] and post_in_mirror(one[0], one[0]) == post_in_mirror(one[0], other[0])


def _led(was: Post, now: Post, lead_was: Post, lead: Post) -> Post:
    """A post with what its twin across changed, as in a mirror, where both had it alike before."""
    image_was, image = post_in_mirror(was, lead_was), post_in_mirror(now, lead)
    fields = ("turned_deg", "flip_wound_side", "piece")
    changed = {
        field: getattr(image, field)
        for field in fields
        if getattr(image, field) != getattr(image_was, field) == getattr(was, field)
    }
    return replace(now, **changed)


def _with_post(build: Build, post: Post) -> Build:
    return edits.on_post(build, post.key, lambda _: post)


def _with_moved(build: Build, post: str, moved: Moved | None) -> Build:
    if moved is None:
        return edits.give_back(build, post)
    return edits.move_post(build, post, moved.along, moved.inward)


def _regions_follow(before: Build, after: Build) -> Build:
    there = {each.key: each for each in after.keep_clear}
    done: set[str] = set()
    for old in before.keep_clear:
        new = there.get(old.key)
        if new is None or new == old or old.key in done:
            continue
        twin = twin_region(before, old.key)
        if twin == old.key:
            after = set_region(after, replace(new, shape=_evened(old.shape, new.shape)))
        elif twin is not None and twin in there:
            done.add(twin)
            follower = replace(new, key=twin, name=there[twin].name, shape=edits.mirrored_shape(new.shape))
            after = set_region(after, follower)
    return after


def _evened(old: RoundRegion | Polygon, new: RoundRegion | Polygon) -> RoundRegion | Polygon:
    """A polygon that lay evenly across the centre line, with the partners of moved corners moved likewise."""
    if isinstance(new, RoundRegion) or isinstance(old, RoundRegion) or len(old.points) != len(new.points):
        return new
    points = list(new.points)
    done: set[int] = set()
    for place, (was, now) in enumerate(zip(old.points, new.points, strict=True)):
        partner = _partner_in(old.points, was)
        if was != now and partner is not None and partner != place and place not in done:
            done.add(partner)
            points[partner] = now.mirrored
    return Polygon(points=tuple(points))
