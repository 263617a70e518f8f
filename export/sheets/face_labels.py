"""What is written at the holes of the face: names, sizes to drill, and what else has a name."""

from __future__ import annotations

from export.drawing import Drawing, Role
from export.labels import Request, Side, anywhere, aside
from export.sheets.head import LABEL, NAME, extent_at, inch_words, ring, rowwise, shared_labels
from geometry.bench.bore_fit import bore_fits
from geometry.bench.small_holes import retainer_names
from geometry.document.build import Build, Head, Retainer
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.segment import Bounds
from geometry.trade.quantities import show_diameter
from geometry.trade.shop import Shop
from geometry.trade.units import INCH

NUMBER, LARGE = 12 * INCH / 72, 10 * INCH / 72
"""Font sizes in mm of names and of sizes, to be read at the drill: 12 and 10 point."""

_TREE = 1.5  # radius in mm that shows the place of a string tree; its screw decides the hole


def shown_radius(retainer: Retainer) -> float:
    """Radius in mm of the circle that stands for a retainer."""
    return retainer.radius if retainer.radius > 0 else _TREE


def face_labels(
    build: Build, layout: Layout, shop: Shop, drawing: Drawing, region: Bounds, heights: tuple[float, ...]
) -> Drawing:
    """Names on the head, sizes there too if all find a place, else beside it, and whatever else has a name.

    Sizes have the first of `heights` (font sizes in mm) for which they find places without a leader across the head.
    """
    marks = _names(layout, drawing, region, large=LARGE in heights)
    marks += _sizes(build, layout, shop, drawing + marks, region, heights)
    trees = [
        Request(each.at, (name,), LABEL, shown_radius(each) + 1.0, bold=True)
        for name, each in zip(retainer_names(build), build.retainers, strict=True)
    ]
    marks += anywhere(trees, drawing + marks, region)
    return marks + shared_labels(build, layout, drawing + marks, region)


def _sizes(
    build: Build, layout: Layout, shop: Shop, drawing: Drawing, region: Bounds, heights: tuple[float, ...]
) -> Drawing:
    """As large as they can be without a leader, on the head, else beside it; else small, with leaders."""
    inside = Drawing()
    for height in heights:
        wishes = {
            post.key: Request(post.at, _bore_lines(build.head, post, shop), height, ring(post))
            for post in layout.posts
        }
        inside = rowwise(layout, wishes, drawing, region)
        if not inside.only(Role.LEADER).marks:
            return inside
        sides = [(Side(post.side_sign, _edge_x(layout, post)),) for post in layout.posts]
        beyond = aside([wishes[post.key] for post in layout.posts], sides, drawing)
        if beyond is not None:
            return beyond
    return inside


def _names(layout: Layout, drawing: Drawing, region: Bounds, *, large: bool) -> Drawing:
    """The names of the posts, if wanted large where that needs no leader."""
    if large:
        wishes = {
            post.key: Request(post.at, (post.label,), NUMBER, ring(post), bold=True) for post in layout.posts
        }
        marks = rowwise(layout, wishes, drawing, region)
        if not marks.only(Role.LEADER).marks:
            return marks
    wishes = {post.key: Request(post.at, (post.label,), NAME, ring(post), bold=True) for post in layout.posts}
    return rowwise(layout, wishes, drawing, region)


def _edge_x(layout: Layout, post: PlacedPost) -> float:
    """X of the edge level with a post, on the side of its row; of the post where there is no edge."""
    extent = extent_at(layout, post.at.y)
    if extent is None:
        return post.at.x
    return extent[1 if post.side_sign > 0 else 0].x


def _bore_lines(head: Head, post: PlacedPost, shop: Shop) -> tuple[str, ...]:
    fits = bore_fits(post.hardware, head, shop)
    lines = (show_diameter(fits.through.diameter), inch_words(fits.through, shop))
    if fits.counterbore is None:
        return lines
    wide = fits.counterbore
    return (*lines, f"top {show_diameter(wide.diameter)}", inch_words(wide, shop))
