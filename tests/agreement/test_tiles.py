"""Heads too large for one page: every bore whole on some page, and pages that join without a step."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import pytest
from msgspec.structs import replace

from export.page import paginate_all
from export.paper import PAPERS, Stamp
from export.pdf import write_pdf
from export.sheets.face import face_sheets
from geometry.document.build import Build
from geometry.document.outline import Starter
from geometry.layout.layout import Layout, lay_out
from geometry.shape.tolerance import PRINT
from geometry.trade.shop import default_shop
from tests.agreement.reading import Drawn, Points, Ring, rendered
from tests.agreement.samples import sample_named
from tests.agreement.truth import bores, rings, to_head

BORE = 0.18
CROSS = 0.13
CROSS_RADIUS = 2.0


def bass_head() -> Build:
    return sample_named("four-string-bass").build


def long_head() -> Build:
    """A head of half a metre, three posts a side far from each other."""
    build = sample_named("three-plus-three").build
    assert isinstance(build.outline, Starter)
    rows = tuple(replace(row, rule=replace(row.rule, pitch=190.0)) for row in build.rows)
    return replace(build, outline=replace(build.outline, length=500.0), rows=rows)


HEADS = pytest.mark.parametrize(("make", "pages"), [(bass_head, 3), (long_head, 4)])


class Tile(NamedTuple):
    """What one page shows, in head mm: bores that lie on it whole, and where its registration crosses are."""

    bores: list[Ring]
    crosses: list[Ring]


def tiles(build: Build) -> tuple[Layout, list[Tile]]:
    """The face on sheets of A5."""
    layout = lay_out(build)
    sheets = face_sheets(build, layout, default_shop())
    pages = paginate_all(sheets[:1], Stamp(build=build.name, paper=PAPERS["A5"]))
    return layout, [_tile(strokes, layout) for strokes in rendered(write_pdf(pages, build.name))]


def _tile(strokes: list[Drawn], layout: Layout) -> Tile:
    placed = to_head(strokes, layout, BORE)
    shown = [head for head, page in zip(placed, strokes, strict=True) if _whole(page)]
    bores = rings(each for each in shown if each.looks(BORE) and each.curved)
    small = rings(each for each in shown if each.looks(CROSS) and each.curved and each.clip is None)
    crosses = [ring for ring in small if abs(ring.radius - CROSS_RADIUS) < PRINT]
    for ring in crosses:
        _assert_arms_meet(ring, [each.points for each in shown if each.looks(CROSS)])
    return Tile(bores, crosses)


def _whole(stroke: Drawn) -> bool:
    """Whether nothing of a stroke on a page is cut off at the edge of its part."""
    if stroke.clip is None:
        return True
    low, high = np.array(stroke.clip[:2]), np.array(stroke.clip[2:])
    return bool(((stroke.points >= low) & (stroke.points <= high)).all())


def _assert_arms_meet(ring: Ring, lines: list[Points]) -> None:
    """Two lines have their middle at the centre of a cross."""
    middles = [line.mean(axis=0) for line in lines if len(line) == 2]
    assert sum(math.dist(middle, (ring.x, ring.y)) < PRINT for middle in middles) == 2


@HEADS
def test_every_bore_is_whole_on_some_page(make: Callable[[], Build], pages: int) -> None:
    layout, parts = tiles(make())
    assert len(parts) == pages
    for bore in bores(layout):
        seen = [
            ring
            for part in parts
            for ring in part.bores
            if math.dist((ring.x, ring.y), (bore.x, bore.y)) <= PRINT
            and abs(ring.radius - bore.radius) <= PRINT
        ]
        assert seen, f"{bore} is cut on every page"
    assert all(len(part.bores) < len(layout.posts) for part in parts)


@HEADS
def test_crosses_of_neighbouring_pages_coincide(make: Callable[[], Build], pages: int) -> None:
    _, parts = tiles(make())
    rest = [(ring.x, ring.y) for part in parts for ring in part.crosses]
    while rest:
        place = rest.pop()
        same = [other for other in rest if math.dist(place, other) < 1.0]
        assert same, f"the cross at {place} is on one page only"
        assert max(math.dist(place, other) for other in same) <= PRINT
        rest = [other for other in rest if other not in same]
    assert all(len(part.crosses) >= 2 for part in parts)
