"""Blocks, wedges, stops and boards lie beside each other, and the head between them."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import combinations

import pytest
import shapely

from geometry.bench.cradle import (
    LEAST_WALL,
    MARGIN,
    SHORTEST,
    STOP_WIDTH,
    THIN_END,
    Cradle,
    block_remarks,
    cradle,
    cradle_parts,
)
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour
from geometry.trade.shop import CradleSizes
from tests.builds import (
    bass_two_and_two,
    change,
    eight_on_plates,
    four_friction,
    mirror_of,
    nodes,
    plain_head,
    post_at,
    rectangle,
    six_in_line,
    three_and_three,
    three_strings,
    twelve_strings,
)

HEADS = pytest.mark.parametrize(
    "made",
    [
        three_and_three,
        six_in_line,
        eight_on_plates,
        four_friction,
        bass_two_and_two,
        twelve_strings,
        three_strings,
    ],
)
SIZES = CradleSizes()


def cradle_for(build: Build, sizes: CradleSizes = SIZES, kerf: float = 0.0) -> Cradle:
    return cradle(build, lay_out(build), sizes, kerf)


def area(contour: Contour) -> shapely.Polygon:
    return shapely.Polygon([(p.x, p.y) for p in contour.flatten(0.001)])


def pieces(made: Cradle) -> list[shapely.Polygon]:
    blocks = [area(block.outline) for block in made.blocks]
    return blocks + [area(each) for pair in made.wedges for each in (pair.inner, pair.outer, pair.stop)]


@HEADS
def test_no_two_pieces_overlap_and_all_stand_on_the_base(made: Callable[[], Build]) -> None:
    done = cradle_for(made())
    head = area(done.edge.region)
    base = shapely.box(done.base.left, done.base.bottom, done.base.right, done.base.top).buffer(1e-6)
    for piece in pieces(done):
        assert piece.is_valid
        assert base.contains(piece)
        assert head.distance(piece) >= SIZES.gap - 0.002
    for one, other in combinations([head, *pieces(done)], 2):
        assert one.intersection(other).area < 0.01


@HEADS
def test_outer_faces_are_parallel_to_the_centre_line(made: Callable[[], Build]) -> None:
    done = cradle_for(made())
    for block, sign in zip(done.blocks, (-1.0, 1.0), strict=True):
        assert block.outline.area() > 0
        upright = [s for s in block.outline.segments if s.start.x == s.end.x == sign * block.outer]
        assert sum(s.length for s in upright) == pytest.approx(block.length)
        assert block.outer - block.inner >= LEAST_WALL - 1e-9
        for hole in block.screws:
            assert area(block.outline).exterior.distance(shapely.Point(hole.centre.x, hole.centre.y)) > 5.0


@HEADS
def test_wedges_taper_as_wanted_and_fill_the_room_to_the_stop(made: Callable[[], Build]) -> None:
    done = cradle_for(made(), CradleSizes(wedge_taper=10.0))
    assert done.thick_end - THIN_END == pytest.approx(done.wedge_length / 10.0)
    for pair, block in zip(done.wedges, done.blocks, strict=True):
        both = shapely.union(area(pair.inner), area(pair.outer))
        assert both.area == pytest.approx(done.wedge_length * (done.thick_end + THIN_END))
        assert area(pair.inner).area == pytest.approx(area(pair.outer).area)
        assert min(abs(p.x) for p in pair.inner.points) == pytest.approx(block.outer)
        assert pair.inner.area() > 0
        assert pair.stop.bounds.width == pytest.approx(STOP_WIDTH)
        sign = -1 if pair.side == "left" else 1
        assert all(sign * hole.centre.x > block.outer for hole in pair.screws)


@HEADS
def test_the_other_hand_has_the_mirror_image(made: Callable[[], Build]) -> None:
    done, other = cradle_for(made()), cradle_for(mirror_of(made()))
    assert area(other.left.outline).symmetric_difference(area(done.right.outline.mirrored())).area < 0.01
    assert other.base.width == pytest.approx(done.base.width)


def test_the_base_begins_where_the_back_is_flat_and_ends_past_the_tip() -> None:
    build = three_and_three()
    done = cradle_for(build)
    assert done.base.bottom == build.head.back_flat_from
    assert done.base.top == pytest.approx(done.edge.top + MARGIN)
    assert done.thickness == build.head.thickness_nut
    assert cradle_for(build, CradleSizes(block_thickness=20.0)).thickness == 20.0


def test_the_blocks_of_a_square_head_are_as_wide_as_their_stock() -> None:
    build = plain_head(outline=rectangle(60.0, 150.0))
    done = cradle_for(build, CradleSizes(gap=1.0, block_width=40.0, cutter=0.0))
    for block in done.blocks:
        # The face ends on the corner's arc, where that has turned by 45°.
        assert block.outer == pytest.approx(30.0 + 1.0 / math.sqrt(2) + 40.0)
        assert block.inner == pytest.approx(31.0)
        assert block.width == pytest.approx(40.0)


def test_a_kerf_wider_than_the_cutter_counts_as_the_cutter() -> None:
    build = plain_head(outline=rectangle(60.0, 150.0))
    (off,) = cradle_for(build, CradleSizes(cutter=0.0), kerf=4.0).right.stands_off
    assert off.most == pytest.approx(2.0 - 1.5 / math.sqrt(2), abs=1e-3)
    assert cradle_for(build, CradleSizes(cutter=0.0), kerf=1.0).right.stands_off == ()


def test_a_bore_beyond_the_backing_is_named() -> None:
    build = plain_head(post_at(10.0, 60.0), post_at(-10.0, 12.0, "bass", key="two"))
    build = change(build, head=change(build.head, back_flat_from=15.0))
    done = cradle_for(build)
    assert len(done.unbacked) == 1
    assert f"bore {done.unbacked[0]}" in [*block_remarks(done, "mm")][-1]


CROSSED = nodes((30.0, 0.0), (-30.0, 100.0), (30.0, 100.0), (-30.0, 0.0))
LEANING = nodes((60.0, 0.0), (0.0, 40.0), (-60.0, 0.0))


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (CROSSED, "open or crosses itself"),
        (LEANING, "no right block"),
        (nodes((30.0, 0.0)), "open or crosses itself"),
    ],
)
def test_where_no_blocks_can_be_made_a_sentence_says_why(outline: object, words: str) -> None:
    build = plain_head(outline=outline)
    with pytest.raises(ValueError, match=words) as refused:
        cradle_for(build)
    assert str(refused.value).endswith(".")


def test_blocks_must_face_each_other() -> None:
    # The right side ends at y = 40, the left one begins at y = 50; what joins them leans by more than 45°.
    outline = nodes((30.0, 0.0), (30.0, 40.0), (-85.0, 120.0), (-85.0, 50.0), (-30.0, 0.0))
    build = plain_head(outline=outline)
    build = change(build, head=change(build.head, back_flat_from=5.0))
    with pytest.raises(ValueError, match="across from each other"):
        cradle_for(build)


# The list


def test_the_list_holds_the_sizes_of_the_drawn_pieces() -> None:
    build = three_and_three()
    done = cradle_for(build)
    parts = {part.name: part for part in cradle_parts(done)}
    for block in done.blocks:
        bounds, part = block.outline.bounds, parts[f"{block.side.capitalize()} block"]
        assert (part.length, part.width) == pytest.approx((bounds.height, bounds.width))
        assert part.thickness == build.head.thickness_nut
    assert (parts["Wedge"].number, parts["Stop"].number) == (4, 2)
    assert parts["Wedge"].width == done.thick_end
    assert (parts["Base plate"].length, parts["Base plate"].width) == (done.base.height, done.base.width)
    assert parts["Riser, face up"].thickness == pytest.approx(done.rest.riser)
    assert "Riser, face down" not in parts


def test_a_flat_head_of_even_thickness_needs_neither_riser_nor_packing() -> None:
    build = plain_head(outline=rectangle(60.0, 150.0))
    names = [part.name for part in cradle_parts(cradle_for(build))]
    assert names == ["Left block", "Right block", "Wedge", "Stop", "Base plate", "Backing board, scrap"]
    thinner = change(build, head=change(build.head, thickness_tip=build.head.thickness_nut - 2.0))
    last = cradle_parts(cradle_for(thinner))[-1]
    assert last.name == "Packing under the tip"
    assert last.thickness == pytest.approx(2.0)


def test_remarks_tell_of_wide_boards_and_of_open_corners() -> None:
    square = plain_head(outline=rectangle(60.0, 150.0))
    assert any(
        "stands up to 1.28 mm off the head" in words for words in block_remarks(cradle_for(square), "mm")
    )
    assert [*block_remarks(cradle_for(square, CradleSizes(cutter=0.0)), "mm")] == []
    tapered = plain_head(outline=nodes((40.0, 0.0), (20.0, 150.0), (-20.0, 150.0), (-40.0, 0.0)))
    said = [*block_remarks(cradle_for(tapered, CradleSizes(cutter=0.0, block_width=20.0)), "mm")]
    assert len(said) == 2
    assert "wide instead of 20.0 mm" in said[0]


def test_the_shortest_block_is_named_in_the_refusal() -> None:
    build = plain_head(outline=rectangle(60.0, 5.0 + SHORTEST - 2.0))
    with pytest.raises(ValueError, match="25 mm"):
        cradle_for(build)
