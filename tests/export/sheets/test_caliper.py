"""The caliper card: readings in closed form, and a card that can be read and written on."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import combinations

import pytest
from shapely import LineString
from shapely import Point as Place

from export.drawing import Drawing, Sheet, Text
from export.page import paginate, paginate_all, room
from export.paper import PAPERS, Stamp
from export.sheets.caliper import caliper_sheets, edge_readings, readings
from export.text import SMALLEST
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import PlacedPost
from geometry.search.rings.allowance import exact_rings
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import FLAT
from geometry.trade.hardware_library import OPEN_GEAR
from geometry.trade.quantities import bare_radius
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from tests.builds import (
    READY_MADE,
    change,
    nodes,
    plain_head,
    post_at,
    row,
    six_in_line,
    three_and_three,
    three_strings,
    twelve_strings,
)


def largest(post: PlacedPost) -> float:
    return post.bore


def room_of(stamp: Stamp) -> tuple[float, float]:
    """Width and height in mm of a page without cautions."""
    return room(Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing()), stamp)


def card(build: Build, shop: Shop | None = None, paper: str = "A4") -> Sheet:
    (sheet,) = cards(build, shop, paper)
    return sheet


def cards(build: Build, shop: Shop | None = None, paper: str = "A4") -> tuple[Sheet, ...]:
    area = room_of(Stamp(build="", paper=PAPERS[paper]))
    return caliper_sheets(build, lay_out(build), shop or Shop(), area)


def texts(sheet: Sheet) -> list[Text]:
    return [mark.shape for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def cells(sheet: Sheet, first: str) -> list[str]:
    """The cells of the first table row that begins with these words, from left to right."""
    start = next(text for text in texts(sheet) if text.words == first and text.bounds.left < 10)
    level = [text for text in texts(sheet) if text.at.y == start.at.y and not text.bold]
    return [text.words for text in sorted(level, key=lambda each: each.bounds.left)]


def names(layout: Layout) -> list[str]:
    return [reading.name for reading in readings(layout, largest)]


def test_readings_of_a_plain_head_in_closed_form() -> None:
    # Bores of 10 mm at (+-20, 60) and (+-20, 100) on a head 80 mm wide.
    layout = lay_out(plain_head(row("treble", 2), row("bass", 2)))
    found = {reading.name: reading for reading in readings(layout, largest)}
    assert list(found) == [
        "spare A – spare B",
        "spare C – spare D",
        "spare C – spare A",
        "spare D – spare B",
    ]
    assert [each.centres for each in found.values()] == pytest.approx([40.0] * 4)
    assert [each.between for each in found.values()] == pytest.approx([30.0] * 4)
    assert [each.across for each in found.values()] == pytest.approx([50.0] * 4)
    edges = edge_readings(layout)
    assert [each.to_nut for each in edges] == pytest.approx([55.0, 95.0, 55.0, 95.0])
    assert [each.to_side for each in edges] == pytest.approx([15.0] * 4)


@pytest.mark.parametrize("make", READY_MADE)
def test_readings_agree_with_another_library(make: Callable[[], Build]) -> None:
    layout = lay_out(make())
    assert layout.edge is not None
    edge = LineString([(at.x, at.y) for at in layout.edge.contour.flatten(FLAT)])
    posts = {post.label: post for post in layout.posts}
    for each in edge_readings(layout):
        post = posts[each.name]
        disc = Place(post.at.x, post.at.y)
        assert each.to_side == pytest.approx(edge.distance(disc) - post.bore / 2, abs=2 * FLAT)
        assert each.to_nut == pytest.approx(post.at.y - post.bore / 2)
    for reading in readings(layout, largest):
        one, other = (posts[name].at for name in reading.name.split(" – "))
        assert reading.centres == pytest.approx(math.dist((one.x, one.y), (other.x, other.y)))


def test_the_mean_of_both_readings_is_the_centres_and_half_their_difference_the_diameter() -> None:
    for reading in readings(lay_out(three_and_three()), largest):
        assert (reading.between + reading.across) / 2 == pytest.approx(reading.centres)
        assert (reading.across - reading.between) / 2 == pytest.approx(10.0)


def test_neighbours_ends_and_facing_bores_are_paired() -> None:
    assert names(lay_out(three_and_three())) == [
        *("1 – 2", "2 – 3", "6 – 5", "5 – 4"),
        *("1 – 3", "6 – 4"),
        *("6 – 1", "5 – 2", "4 – 3"),
    ]
    # In line nothing faces anything.
    assert names(lay_out(six_in_line())) == ["6 – 5", "5 – 4", "4 – 3", "3 – 2", "2 – 1", "6 – 1"]
    assert len(names(lay_out(twelve_strings()))) == 10 + 2 + 6


def test_every_bore_of_a_staggered_head_faces_one() -> None:
    pairs = names(lay_out(three_strings()))
    assert all(any(label in pair.split(" – ") for pair in pairs) for label in "123")
    assert len(set(pairs)) == len(pairs)


def test_one_bore_has_edges_only() -> None:
    sheet = card(plain_head(post_at(10.0, 60.0)))
    words = [text.words for text in texts(sheet)]
    assert not any(word.startswith("Bore to bore") for word in words)
    assert "Bore to edges, on the face" in words


def test_bores_that_are_narrower_behind_are_read_on_both_faces() -> None:
    # 6.5 mm through, 8.8 mm on the face, 40 mm apart.
    build = plain_head(row("treble", 2, hardware=OPEN_GEAR.key), hardware=(OPEN_GEAR,))
    sheet = card(build)
    tables = [text.words for text in texts(sheet) if text.words.startswith("Bore to bore")]
    assert tables == ["Bore to bore, on the face", "Bore to bore, on the back (through diameter)"]
    values = [text.words for text in texts(sheet) if text.words in {"31.20", "48.80", "33.50", "46.50"}]
    assert values == ["31.20", "48.80", "33.50", "46.50"]
    assert cells(sheet, "spare A")[1] == "8.80"
    plain = card(plain_head(row("treble", 2)))
    assert not any("on the back" in text.words for text in texts(plain))


def test_the_card_shows_the_readings_and_leaves_room_to_write() -> None:
    sheet = card(plain_head(row("treble", 2), row("bass", 2)))
    assert cells(sheet, "spare A – spare B") == ["spare A – spare B", "40.00", "30.00", "50.00"]
    name, wide, _, nut, side = cells(sheet, "spare B")
    assert (name, wide, nut, side) == ("spare B", "10.00", "95.00", "15.00")
    heads = [text for text in texts(sheet) if text.words in {"Read", "Off by"}]
    assert [text.words for text in heads] == ["Read", "Off by"] * 4
    for head in heads:
        below = [text for text in texts(sheet) if abs(text.bounds.centre.x - head.bounds.centre.x) < 5]
        rows = [text for text in below if head.at.y - 12 < text.at.y < head.at.y - 4 and not text.bold]
        assert not rows


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_a_bore_may_be_off_by_the_ring_of_its_mark(units: Units) -> None:
    build = set_drilled(three_and_three(), three_and_three().rows[0].posts[0].key, drilled=True)
    sheet = card(build, Shop(units=units))
    told = {ring.label: cells(sheet, ring.label)[2] for ring in exact_rings(build, lay_out(build)).rings}
    assert sorted(told) == ["1", "2", "3", "4", "5", "6"]
    for ring in exact_rings(build, lay_out(build)).rings:
        assert told[ring.label] == ("drilled" if ring.drilled else bare_radius(ring.radius, units))


def test_inches_have_three_decimals() -> None:
    sheet = card(plain_head(row("treble", 2)), Shop(units="inch"))
    # 40 mm, 30 mm and 50 mm.
    assert cells(sheet, "spare A – spare B") == ["spare A – spare B", "1.575", "1.181", "1.969"]
    assert "(in)" in " ".join(text.words for text in texts(sheet))


def test_where_there_is_no_wood_a_dash_stands() -> None:
    # Two bores of 10 mm 8 mm apart run into each other; one at y = 4 begins in the nut.
    build = plain_head(post_at(10.0, 60.0), post_at(10.0, 68.0, key="two"), post_at(10.0, 4.0, key="three"))
    sheet = card(build)
    assert cells(sheet, "spare C")[2:4] == ["none", "–"]
    overlapping = plain_head(row("treble", 2, rule=change(row().rule, pitch=8.0)))
    assert cells(card(overlapping), "spare A – spare B")[1:] == ["8.00", "–", "18.00"]


def test_a_rounded_face_tells_where_the_jaw_rests() -> None:
    build = plain_head(row("treble", 1))
    rounded = change(build, head=change(build.head, edge_face=2.0))
    assert any("rounded off" in text.words for text in texts(card(rounded)))
    assert not any("rounded off" in text.words for text in texts(card(build)))


def test_a_head_without_bores_says_so() -> None:
    for build in (plain_head(), plain_head(row("treble", 1), outline=nodes((40.0, 0.0), (40.0, 0.0)))):
        sheet = card(build)
        assert [text.words for text in texts(sheet)] == ["There are no bores to measure yet."]


@pytest.mark.parametrize("make", READY_MADE)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_card_is_one_page_on_which_nothing_overlaps(make: Callable[[], Build], paper: str) -> None:
    sheet = card(make(), paper=paper)
    assert len(paginate(sheet, Stamp(build="", paper=PAPERS[paper]))) == 1
    assert sheet.name == "calipers"
    for text in texts(sheet):
        assert text.height >= SMALLEST
    for one, other in combinations([text.bounds for text in texts(sheet)], 2):
        assert not one.overlaps(other.grown(-1e-6))


@pytest.mark.parametrize("make", READY_MADE)
@pytest.mark.parametrize("banner", [None, "Do not drill. " * 12])
def test_on_small_paper_no_page_is_divided_and_every_reading_is_there(
    make: Callable[[], Build], banner: str | None
) -> None:
    build = make()
    stamp = Stamp(build="", paper=PAPERS["A5"], banner=banner)
    sheets = caliper_sheets(build, lay_out(build), Shop(), room_of(stamp))
    assert len(paginate_all(sheets, stamp)) == len(sheets)
    layout = lay_out(build)
    said = [text.words for sheet in sheets for text in texts(sheet)]
    for reading in readings(layout, largest):
        assert reading.name in said
        assert f"{reading.centres:.2f}" in said
    for edge in edge_readings(layout):
        assert f"{edge.to_nut:.2f}" in said
    for sheet in sheets:
        assert min(text.height for text in texts(sheet)) >= SMALLEST
        for one, other in combinations([text.bounds for text in texts(sheet)], 2):
            assert not one.overlaps(other.grown(-1e-6))


def test_a_card_too_high_for_its_page_runs_over_several() -> None:
    build = twelve_strings()
    layout = lay_out(build)
    (whole,) = caliper_sheets(build, layout, Shop(), (174.0, 240.0))
    tight = (174.0, whole.bounds.height - 5.0)
    sheets = caliper_sheets(build, layout, Shop(), tight)
    assert all(sheet.bounds.width <= tight[0] and sheet.bounds.height <= tight[1] for sheet in sheets)


@pytest.mark.parametrize("make", READY_MADE)
def test_the_sketch_is_the_head_reduced(make: Callable[[], Build]) -> None:
    build = make()
    layout = lay_out(build)
    sheet = card(build)
    discs = [mark.shape for mark in sheet.drawing.marks if isinstance(mark.shape, Circle)]
    assert len(discs) == len(layout.posts)
    scale = discs[0].radius / (layout.posts[0].bore / 2)
    assert 0.2 < scale < 0.9
    for disc, post in zip(discs, layout.posts, strict=True):
        step, true = disc.centre - discs[0].centre, post.at - layout.posts[0].at
        assert (step.x, step.y) == pytest.approx((true.x * scale, true.y * scale), abs=1e-9)
        named = [text for text in texts(sheet) if text.words == post.label and text.bold]
        assert len(named) == 1
        gaps = {
            other.label: named[0].bounds.centre.distance(near.centre)
            for near, other in zip(discs, layout.posts, strict=True)
        }
        assert min(gaps, key=lambda label: gaps[label]) == post.label
