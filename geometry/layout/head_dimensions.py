"""Where the measures of head, nut and rows are found on the drawing."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from geometry.document.build import Build, Row
from geometry.document.outline import Starter
from geometry.document.row_edits import facing_row
from geometry.document.stretch import Ends, outline_bounds, shoulder_ends, tip_ends
from geometry.layout.found_dimension import BESIDE, DOWN, LEFT, RIGHT, Finder, Found
from geometry.layout.layout import Layout
from geometry.layout.place_dimensions import OF_PARTS
from geometry.layout.plan_dimensions import PLAN
from geometry.layout.side_dimensions import SIDE, SIDE_OF_PARTS
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import PRINT

LEAST_SQUARE = 0.1
"""Share of a step outwards that is square to a row, for its pitch to be drawn beside the head."""


class HeadDimension(Found, frozen=True, kw_only=True):
    """A measure of head, nut or row with the name that its field in a panel has."""

    name: str

    @property
    def length(self) -> float:
        """The number that is measured: mm, degrees of an angle, or how many."""
        return self.one.distance(self.two) if self.value is None else self.value

    @property
    def broken(self) -> bool:
        """Whether its line is not as long as what it measures, since that does not fit the drawing."""
        drawn = self.one.distance(self.two)
        return self.kind == "length" and abs(abs(self.length) - drawn) > PRINT

    @property
    def ends(self) -> tuple[Point, Point]:
        """The ends of the line that is drawn."""
        return self.one + self.aside, self.two + self.aside

    @property
    def words(self) -> Point:
        """The place beside which its words stand."""
        one, two = self.ends
        return self.words_at or one + (two - one) * 0.5


MEASURES: dict[str, tuple[str, ...]] = {
    "head": (
        "Starter.length",
        "Starter.width_low",
        "Starter.width_high",
        "Starter.shoulder",
        "Free.length",
        "Free.width",
        "Free.shoulder",
        "Free.tip",
    ),
    "strings": ("Nut.width", "Nut.margin_treble", "Nut.margin_bass"),
    "tuners": ("OnLine.start", "OnLine.pitch", "OnLine.inset", "OnLine.inset_last", "Row.ahead"),
}
"""The measures that the numbers of a panel have on the drawing at all times, by the panel's name."""

OF_POSTS = tuple(name for name in OF_PARTS if name != "String.diameter")
"""Those of a single post."""

IN_HAND: dict[str, tuple[str, ...]] = {
    "head": (
        "Starter.tip_rise",
        "Starter.corner",
        "Starter.waist",
        "Head.back_flat_from",
        "Head.binding",
        "Head.edge_face",
        "Head.edge_back",
        "Head.volute_length",
        "Blank.left",
        "Blank.right",
        "Blank.length",
        "Starter.lean_deg",
        "Head.grain_deg",
        "Build.cutter_diameter",
    ),
    "strings": ("Nut.thickness", "Nut.course_gap", "Build.bridge_spread", "String.diameter"),
    "tuners": OF_POSTS,
    "selected": OF_POSTS,
}
"""More of them, which are shown while their field has the cursor: all at once would crowd the drawing."""


FROM_THE_SIDE: dict[str, tuple[str, ...]] = {
    "head": (
        "Head.thickness_nut",
        "Head.thickness_tip",
        "Head.neck_depth",
        "Head.angle_deg",
        "Head.volute_height",
    ),
    "strings": ("Nut.slot_floor", "Build.scale_length"),
    "tuners": tuple(SIDE_OF_PARTS),
    "selected": tuple(SIDE_OF_PARTS),
}
"""Those that do not lie in the plan and are found on the head seen from the side."""


def shown_measures(panel: str, lit: str) -> tuple[str, ...]:
    """The names of the measures to show for a panel, the one called `lit` in hand."""
    more = (lit,) if lit in IN_HAND.get(panel, ()) else ()
    return MEASURES.get(panel, ()) + more


def head_dimension(
    build: Build, layout: Layout, name: str, row: str | None = None, part: str | None = None
) -> HeadDimension | None:
    """The measure called `name`, of a row, or of a post or string, by its key; None where there is nothing to show.

    Those of `FROM_THE_SIDE` lie in the frame of `side_view`, the others in the plan.
    """
    of_part = OF_PARTS.get(name) or SIDE_OF_PARTS.get(name)
    finder = _FINDERS.get(name) or PLAN.get(name) or SIDE.get(name)
    found = None
    if of_part is not None and part is not None:
        found = of_part(build, layout, part)
    elif finder is not None:
        found = finder(build, layout, next((each for each in build.rows if each.key == row), None))
    return None if found is None else HeadDimension(**msgspec.structs.asdict(found), name=name)


# Head and nut


def _length(build: Build, _: Layout, __: Row | None) -> Found:
    bounds = outline_bounds(build)
    x = bounds.right + BESIDE
    return Found(Point(x, 0.0), Point(x, bounds.top), RIGHT)


def _nut(build: Build, _: Layout, __: Row | None) -> Found:
    half, y = build.nut.width / 2, -BESIDE
    return Found(Point(-half, y), Point(half, y), DOWN)


def _across(left: Point, right: Point) -> Found:
    """A width: its words stand beside the head, where they cover neither tuners nor strings."""
    return Found(left, right, LEFT, words_at=left)


def _starter_width(field: str) -> Finder:
    def find(build: Build, _: Layout, __: Row | None) -> Found | None:
        starter = build.outline
        # A one-sided head leans: its widths do not lie across the middle.
        if not isinstance(starter, Starter) or starter.lean_deg:
            return None
        half = getattr(starter, field) / 2
        y = starter.shoulder if field == "width_low" else starter.length - starter.tip_rise
        return _across(Point(-half, y), Point(half, y))

    return find


def _starter_length(build: Build, layout: Layout, row: Row | None) -> Found | None:
    return _length(build, layout, row) if isinstance(build.outline, Starter) else None


def _free_length(build: Build, layout: Layout, row: Row | None) -> Found | None:
    return None if isinstance(build.outline, Starter) else _length(build, layout, row)


def _free_width(build: Build, _: Layout, __: Row | None) -> Found | None:
    if isinstance(build.outline, Starter):
        return None
    bounds = outline_bounds(build)
    y = bounds.top + BESIDE
    return _across(Point(bounds.left, y), Point(bounds.right, y))


def _free_across(ends_of: Callable[[Build], Ends]) -> Finder:
    def find(build: Build, _: Layout, __: Row | None) -> Found | None:
        ends = None if isinstance(build.outline, Starter) else ends_of(build)
        if ends is None:
            return None
        left, right = ends
        y = (left.y + right.y) / 2
        return _across(Point(left.x, y), Point(right.x, y))

    return find


# Rows


def _start(build: Build, layout: Layout, row: Row | None) -> Found | None:
    posts = _places(layout, row)
    if row is None or not posts:
        return None
    out = _beside(build, row, posts[0])
    away = _outward(build, row)
    return Found(Point(posts[0].x, 0.0), posts[0], away, aside=out, by_row=0 in _moved(layout, row))


def _ahead(build: Build, layout: Layout, row: Row | None) -> Found | None:
    """How much further from the nut a row begins than the one facing it, on that one's side."""
    facing = None if row is None else facing_row(build, row.key)
    posts, others = _places(layout, row), _places(layout, facing)
    if row is None or facing is None or not posts or not others or abs(posts[0].y - others[0].y) <= PRINT:
        return None
    out = _beside(build, facing, posts[0])
    by_row = any(0 in _moved(layout, each) for each in (row, facing))
    return Found(Point(posts[0].x, others[0].y), posts[0], _outward(build, facing), aside=out, by_row=by_row)


def _pitch(build: Build, layout: Layout, row: Row | None) -> Found | None:
    """Between the first two neighbours that stand where their row has them, else between the first two by the row."""
    posts = _places(layout, row)
    if row is None or len(posts) < 2 or not hasattr(row.rule, "pitch"):
        return None
    moved = _moved(layout, row)
    first = next((n for n in range(len(posts) - 1) if moved.isdisjoint({n, n + 1})), 0)
    by_row = not moved.isdisjoint({first, first + 1})
    posts = posts[first : first + 2]
    along, outward = (posts[1] - posts[0]).unit(), _outward(build, row)
    square = outward - along * outward.dot(along)
    reach = max(_beside(build, row, post).dot(outward) for post in posts)
    # A row that runs straight across has nothing beside it on the way out.
    aside = square * (reach / square.dot(outward)) if square.dot(outward) > LEAST_SQUARE else Vector(0.0, 0.0)
    return Found(posts[0], posts[1], outward, aside=aside, by_row=by_row)


def _inset(build: Build, layout: Layout, row: Row | None) -> Found | None:
    """At the first post where the last has an inset of its own; else at the last, clear of start and pitch."""
    posts = _places(layout, row)
    if row is None or not posts:
        return None
    own = getattr(row.rule, "inset_last", None) is not None
    return _inset_of(build, layout, row, 0 if own else len(posts) - 1)


def _inset_last(build: Build, layout: Layout, row: Row | None) -> Found | None:
    posts = _places(layout, row)
    if row is None or len(posts) < 2 or getattr(row.rule, "inset_last", None) is None:
        return None
    return _inset_of(build, layout, row, len(posts) - 1)


def _inset_of(build: Build, layout: Layout, row: Row, number: int) -> Found | None:
    if layout.edge is None or not hasattr(row.rule, "inset"):
        return None
    post, by_row = _places(layout, row)[number], number in _moved(layout, row)
    foot = layout.edge.contour.nearest(post)
    end = layout.edge.contour.segments[foot.index].point_at(foot.t)
    return Found(post, end, _outward(build, row), words_at=end, by_row=by_row)


def _outward(build: Build, row: Row) -> Vector:
    return Vector(float(build.sign_of(row.side)), 0.0)


def _beside(build: Build, row: Row, post: Point) -> Vector:
    """From a post straight out of the head, past the whole outline on the side of its row."""
    bounds = outline_bounds(build)
    x = bounds.right + BESIDE if build.sign_of(row.side) > 0 else bounds.left - BESIDE
    return Vector(x - post.x, 0.0)


def _moved(layout: Layout, row: Row) -> frozenset[int]:
    """The numbers of the placed posts of a row, from the nut, that do not stand where its rule has them."""
    placed = {post.key: post for post in layout.posts}
    posts = [placed[post.key] for post in row.posts if post.key in placed]
    return frozenset(n for n, post in enumerate(posts) if post.at.distance(post.ruled.at) > PRINT)


def _places(layout: Layout, row: Row | None) -> list[Point]:
    at = {post.key: post.ruled.at for post in layout.posts}
    return [] if row is None else [at[post.key] for post in row.posts if post.key in at]


_FINDERS: dict[str, Finder] = {
    "Starter.length": _starter_length,
    "Starter.width_low": _starter_width("width_low"),
    "Starter.width_high": _starter_width("width_high"),
    "Free.length": _free_length,
    "Free.width": _free_width,
    "Free.shoulder": _free_across(shoulder_ends),
    "Free.tip": _free_across(tip_ends),
    "Nut.width": _nut,
    "OnLine.start": _start,
    "OnLine.pitch": _pitch,
    "OnLine.inset": _inset,
    "OnLine.inset_last": _inset_last,
    "Row.ahead": _ahead,
}
