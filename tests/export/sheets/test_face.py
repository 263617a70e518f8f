"""The face: marks where they must be, labels that overlap nothing, a template that fits a page."""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import combinations

import pyogrio
import pytest
import shapely
from shapely import LineString

from export.drawing import Drawing, Role, Sheet, Text
from export.dxf import write_dxf
from export.machine import for_machine
from export.page import paginate
from export.paper import PAPERS, Stamp
from export.sheets.face import FACE, plain_face_sheet
from export.sheets.head import ROOM, circle_points, diameter_words, hatching
from export.sheets.legend import ring_words
from export.text import SMALLEST
from geometry.document.build import Build, Head, Polygon, Region
from geometry.document.edits import set_drilled
from geometry.document.outline import Nodes
from geometry.layout.layout import lay_out
from geometry.search.rings.allowance import exact_rings
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import FLAT
from geometry.trade.bore_fit import Fit
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import OPEN_GEAR
from geometry.trade.measured import measures, with_measured
from geometry.trade.shop import Shop
from tests.builds import (
    HALF,
    INSET,
    LENGTH,
    READY_MADE,
    START,
    change,
    laden_head,
    mirror_of,
    nodes,
    plain_head,
    post_at,
    row,
    six_in_line,
    three_and_three,
)
from tests.on_one import on_one

BUILDS: tuple[Callable[[], Build], ...] = (*READY_MADE, laden_head)


def face(build: Build, **fields: object) -> Sheet:
    return on_one(FACE.drawn(build, lay_out(build), Shop(**fields), ROOM))  # type: ignore[arg-type]


def circles(drawing: Drawing, *roles: Role) -> list[Circle]:
    return [mark.shape for mark in drawing.only(*roles).marks if isinstance(mark.shape, Circle)]


def contours(drawing: Drawing, *roles: Role) -> list[Contour]:
    return [mark.shape for mark in drawing.only(*roles).marks if isinstance(mark.shape, Contour)]


def words(drawing: Drawing) -> list[Text]:
    return [mark.shape for mark in drawing.marks if isinstance(mark.shape, Text)]


def inked(box: Bounds) -> shapely.Polygon:
    return shapely.box(box.left, box.bottom, box.right, box.top)


def lines_of(drawing: Drawing) -> list[shapely.LineString]:
    return [
        shapely.LineString([(point.x, point.y) for point in mark.shape.flatten(FLAT)])
        for mark in drawing.marks
        if isinstance(mark.shape, Contour)
    ]


@pytest.mark.parametrize("make", BUILDS)
def test_words_are_large_enough_and_overlap_nothing(make: Callable[[], Build]) -> None:
    drawing = face(make()).drawing
    texts = words(drawing)
    assert min(text.height for text in texts) >= SMALLEST
    # A hair is taken off, for lines of one label may touch; slanted words at the tip have slanted boxes.
    boxes = [inked(text.bounds.grown(-0.01)) for text in texts if abs(text.angle) < 1e-9]
    assert all(not one.intersects(other) for one, other in combinations(boxes, 2))
    marks = drawing.without(Role.TABLE, Role.TABLE_HEAD, Role.LEADER)
    assert all(not box.intersects(line) for box in boxes for line in lines_of(marks))


@pytest.mark.parametrize("make", BUILDS)
def test_every_bore_has_its_circle_crosshair_dot_and_name(make: Callable[[], Build]) -> None:
    build = make()
    layout, drawing = lay_out(build), face(build).drawing
    bores = circles(drawing, Role.BORE)
    assert bores == [Circle(post.at, post.hardware.bore.through / 2) for post in layout.posts]
    dots = circles(drawing, Role.CENTRE_DOT)
    arms = contours(drawing, Role.CROSSHAIR)
    for post, bore in zip(layout.posts, bores, strict=True):
        (dot,) = (dot for dot in dots if dot.centre == post.at)
        assert 0.15 <= dot.radius <= 0.2
        mine = [arm for arm in arms if arm.start.distance(post.at) < 1.0]
        assert len(mine) == 4
        for arm in mine:
            assert arm.start.distance(post.at) == pytest.approx(0.7)
            assert arm.end.distance(post.at) == pytest.approx(bore.radius + 3.0)
            assert arm.length == pytest.approx(bore.radius + 3.0 - 0.7)
        assert [text.words for text in words(drawing) if text.bold].count(post.label) == 1


def test_a_plain_post_by_closed_form() -> None:
    build = plain_head(row(), slots=(10.0, -10.0))
    drawing = face(build).drawing
    (bore,) = circles(drawing, Role.BORE)
    assert bore.centre.distance(Point(HALF - INSET, START)) < 1e-9
    said = [text.words for text in words(drawing)]
    # 10 mm is nearest to 25/64 in = 9.92 mm; the next 64ths are 9.53 and 10.32.
    assert {"10.0 mm", "25/64 in", "20.00", "60.00", "25/64"} <= set(said)
    inches = [text.words for text in words(face(build, units="inch").drawing)]
    assert {"0.787", "2.362", "x in", "y in"} <= set(inches)


def test_outline_nut_paths_and_slots_follow_the_layout() -> None:
    build = three_and_three()
    layout, drawing = lay_out(build), face(build).drawing
    assert layout.edge is not None
    assert contours(drawing, Role.OUTLINE) == [layout.edge.contour]
    (nut_line,) = contours(drawing, Role.NUT_LINE)
    assert (nut_line.start, nut_line.end) == (layout.edge.left_end, layout.edge.right_end)
    paths = contours(drawing, Role.STRING_PATH)
    assert [(path.start, path.end) for path in paths] == [(path.slot, path.tangent) for path in layout.paths]
    ticks = contours(drawing, Role.NUT_SLOT)
    assert sorted(tick.start.x for tick in ticks) == sorted(layout.slots.values())
    assert all(tick.start.y == 0.0 and tick.end.y < 0.0 for tick in ticks)
    ends = contours(drawing, Role.NUT)
    assert sorted(end.start.x for end in ends) == [-21.5, 21.5]
    # Nothing runs along the back edge of the nut, for it is no line to fold.
    assert all(end.bounds.width == 0.0 and end.bounds.top == 0.0 for end in ends)
    assert [disc.radius for disc in circles(drawing, Role.WASHER)] == [7.0] * 6
    (flat,) = contours(drawing, Role.BACK_FLAT)
    assert flat.start.y == flat.end.y == pytest.approx(build.head.back_flat_from)


def test_fold_marks_lie_inside_what_is_cut_out() -> None:
    build = plain_head(row())
    drawing = face(build).drawing
    half = build.nut.width / 2
    folds = contours(drawing, Role.FOLD_LINE)
    assert [(fold.start.y, fold.end.y) for fold in folds] == [(0.0, 0.0)] * 2
    assert all(abs(fold.end.x) < abs(fold.start.x) for fold in folds)
    (strip,) = contours(drawing, Role.CUT_LINE)
    assert strip.bounds.top == 0.0
    assert strip.bounds.centre.x == 0.0
    assert half > 0
    said = " ".join(text.words for text in words(drawing))
    assert "this line to the nut, head side" in said
    assert "Nut on: crease the strip at the nut line" in said
    assert "Head not sawn yet" in said


def test_regions_old_holes_blank_and_retainers_are_shown_and_named() -> None:
    build = laden_head()
    drawing = face(build).drawing
    assert circles(drawing, Role.OLD_HOLE) == [Circle(hole.at, hole.diameter / 2) for hole in build.old_holes]
    (blank,) = contours(drawing, Role.BLANK)
    assert blank.bounds == Bounds(-42.0, 0.0, 40.0, 180.0)
    tree, guide = build.retainers
    (bar,) = contours(drawing, Role.RETAINER)
    # As wide as it reaches, 6 mm to each side.
    assert (bar.bounds.left, bar.bounds.right) == pytest.approx((tree.at.x - 6.0, tree.at.x + 6.0))
    assert [post.centre for post in circles(drawing, Role.RETAINER)] == [guide.at]
    assert [pilot.centre for pilot in circles(drawing, Role.SCREW)] == [tree.at]
    said = {text.words for text in words(drawing)}
    assert {"K1", "K2", "H1", "R1", "R2"} <= said
    running = " ".join(text.words for text in words(drawing))
    assert "K1: rod pocket, on the face, 9 mm deep." in running
    assert "R1: string tree; pilot 1.4 mm · #54, 9 mm deep from the face." in running
    assert "R2: guide post over string 4." in running
    assert "inlay" in running


def test_hatching_stays_inside_a_polygon_and_covers_it() -> None:
    points = [Point(0, 0), Point(30, 0), Point(30, 20), Point(15, 5), Point(0, 20)]
    polygon = shapely.Polygon([(point.x, point.y) for point in points])
    lines = [shapely.LineString([(a.x, a.y), (b.x, b.y)]) for a, b in hatching(points)]
    assert all(polygon.buffer(1e-6).contains(line) for line in lines)
    # Lines 2.5 mm apart sum up to the area over 2.5, but for what the ends of the sweep lose.
    assert sum(line.length for line in lines) == pytest.approx(polygon.area / 2.5, rel=0.12)


def test_points_of_a_circle_stray_less_than_flat() -> None:
    circle = Circle(Point(3.0, 4.0), 25.0)
    polygon = shapely.Polygon([(point.x, point.y) for point in circle_points(circle)])
    assert polygon.exterior.distance(shapely.Point(3.0, 4.0)) > 25.0 - FLAT


def test_a_mark_on_a_surface_has_no_depth() -> None:
    region = Region(
        key="k", name="inlay", side="face", shape=Polygon(points=(Point(5, 90), Point(9, 90), Point(7, 95)))
    )
    drawing = face(plain_head(row(), keep_clear=(region,))).drawing
    assert "K1: inlay, on the face." in " ".join(text.words for text in words(drawing))


def test_a_region_on_one_place_is_still_shown() -> None:
    region = Region(key="k", name="spot", shape=Polygon(points=(Point(5, 90),) * 3))
    drawing = face(plain_head(row(), keep_clear=(region,))).drawing
    assert [circle.centre for circle in circles(drawing, Role.KEEP_CLEAR)] == [Point(5, 90)]
    assert "K1: spot, right through." in " ".join(text.words for text in words(drawing))


def test_a_counterbore_is_a_second_circle_with_both_sizes() -> None:
    build = three_and_three(
        hardware=(OPEN_GEAR,),
        rows=tuple(change(each, hardware=OPEN_GEAR.key) for each in three_and_three().rows),
    )
    drawing = face(build).drawing
    assert {circle.radius for circle in circles(drawing, Role.BORE)} == {3.25}
    assert {circle.radius for circle in circles(drawing, Role.COUNTERBORE)} == {4.4}
    said = [text.words for text in words(drawing)]
    assert said.count("6.5 mm") == said.count("top 8.8 mm") == 6
    notes = plain_face_sheet(build, lay_out(build), Shop()).notes
    assert "Post 1: 6.5 mm · letter F, counterbore 8.8 mm · 11/32 in, 9 mm deep." in notes


@pytest.mark.parametrize("make", BUILDS)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_head_of_up_to_190_mm_takes_one_page(make: Callable[[], Build], paper: str) -> None:
    build = make()
    if lay_out(build).top > 190.0:
        paper = "Legal"
    sheets = FACE.drawn(build, lay_out(build), Shop(), ROOM)
    for sheet in sheets:
        assert len(paginate(sheet, Stamp(build=build.name, paper=PAPERS[paper]))) == 1
    assert len(sheets[0].seam_avoid) == len(lay_out(build).posts)


def test_the_table_goes_below_a_broad_head() -> None:
    build = plain_head(row(), outline=nodes((70.0, 0.0), (70.0, 90.0), (-70.0, 90.0), (-70.0, 0.0)))
    drawing = face(build).drawing
    head = Drawing(drawing.only(Role.OUTLINE, Role.CUT_LINE).marks).bounds
    table = Drawing(drawing.only(Role.TABLE_HEAD).marks).bounds
    assert table.top < head.bottom


def test_a_left_handed_face_is_the_mirror_image() -> None:
    build = three_and_three()
    one, other = face(build).drawing, face(mirror_of(build)).drawing
    mine = {(round(c.centre.x, 6), round(c.centre.y, 6)) for c in circles(one, Role.BORE)}
    theirs = {(round(-c.centre.x, 6), round(c.centre.y, 6)) for c in circles(other, Role.BORE)}
    assert mine == theirs


def test_a_head_without_an_edge_still_makes_a_sheet() -> None:
    build = plain_head(row(), outline=Nodes(nodes=()))
    drawing = face(build).drawing
    assert not drawing.only(Role.OUTLINE, Role.BORE).marks
    (nut_line,) = contours(drawing, Role.NUT_LINE)
    assert nut_line.length == pytest.approx(build.nut.width)
    assert not plain_face_sheet(build, lay_out(build), Shop()).drawing.only(Role.OUTLINE).marks


def test_a_flat_back_that_never_begins_is_not_drawn() -> None:
    build = plain_head(row())
    build = change(build, head=change(build.head, back_flat_from=LENGTH + 50.0))
    assert not face(build).drawing.only(Role.BACK_FLAT).marks


def test_a_post_beyond_the_tip_is_drawn_and_named_where_it_is() -> None:
    build = plain_head(post_at(20.0, LENGTH + 30.0), slots=(10.0, -10.0))
    drawing = face(build).drawing
    (bore,) = circles(drawing, Role.BORE)
    assert bore.centre.distance(Point(20.0, LENGTH + 30.0)) < 1e-9
    assert [text.words for text in words(drawing) if text.bold].count("1") == 1


def test_a_head_without_length_has_its_strip_alone() -> None:
    drawing = face(plain_head(outline=nodes((40.0, 0.0), (-40.0, 0.0)))).drawing
    assert [mark.label for mark in drawing.only(Role.CUT_LINE).marks] == ["nut strip"]


@pytest.mark.parametrize("make", READY_MADE)
def test_the_plain_face_holds_outline_lines_and_bores_only(make: Callable[[], Build]) -> None:
    build = make()
    layout = lay_out(build)
    sheet = plain_face_sheet(build, layout, Shop())
    assert layout.edge is not None
    roles = {mark.role for mark in sheet.drawing.marks}
    screws = {Role.SCREW} if build.retainers else set()
    assert roles == {Role.OUTLINE, Role.CENTRE_LINE, Role.NUT_LINE, Role.BORE} | screws
    (outline,) = contours(sheet.drawing, Role.OUTLINE)
    assert outline == layout.edge.contour
    closed = for_machine(sheet, edge="plate", aids=False)
    (outline,) = contours(closed.drawing, Role.OUTLINE)
    assert outline.closed
    assert outline.segments[:-1] == layout.edge.contour.segments
    assert (outline.segments[-1].start, outline.segments[-1].end) == (
        layout.edge.left_end,
        layout.edge.right_end,
    )


def test_the_plain_face_reads_back_from_a_dxf_file() -> None:
    build = six_in_line()
    layout = lay_out(build)
    data = write_dxf(for_machine(plain_face_sheet(build, layout, Shop()), edge="neck", aids=False))
    frame = pyogrio.raw.read(io.BytesIO(data), where="Layer = 'DRILL'", columns=["Layer"])
    rings = shapely.from_wkb(frame[2])
    found = sorted((ring.centroid.x, ring.centroid.y) for ring in rings)
    holes = [post.at for post in layout.posts] + [screw.at for screw in layout.tree_screws]
    wanted = sorted((place.x, place.y) for place in holes)
    assert found == [pytest.approx(place, abs=1e-3) for place in wanted]


def test_words_for_sizes() -> None:
    assert diameter_words(Fit(10.0, 9.85, 10.3, "passes"), Shop()) == "10.0 mm · 25/64 in"
    assert diameter_words(Fit(8.6, 8.6, 8.65, "medium"), Shop()) == "8.6 mm · letter R"
    # No inch drill lies between 17.53 and 17.65: 11/16 in is 17.46, 45/64 in 17.86; 17.6 mm are 0.6929 in.
    assert diameter_words(Fit(17.6, 17.53, 17.65, "hard"), Shop()) == "17.6 mm · 0.693 in"


@pytest.mark.parametrize("make", READY_MADE)
def test_a_tick_stands_where_the_centre_line_leaves_the_head(make: Callable[[], Build]) -> None:
    build = make()
    sheet = face(build)
    edge = lay_out(build).edge
    assert edge is not None
    rim = LineString([(point.x, point.y) for point in edge.contour.flatten(FLAT)])
    up = LineString([(0.0, 0.5), (0.0, edge.top + 1.0)])
    leaves = max(place.y for place in shapely.get_parts(rim.intersection(up)))
    ticks = [
        mark.bounds
        for mark in sheet.drawing.only(Role.CENTRE_LINE).marks
        if mark.label == "centre tick" and mark.bounds.top > 0
    ]
    (tick,) = ticks
    assert tick.left == pytest.approx(tick.right)
    # It crosses the edge: it is seen on the paper and beside it.
    assert tick.bottom + 1.0 < leaves < tick.top - 1.0


def test_rings_are_listed_in_the_units_of_the_shop() -> None:
    build = six_in_line()
    layout = lay_out(build)
    # Rounded down to tenths of a mm, and from there to thousandths of an inch.
    radius = min(ring.radius for ring in exact_rings(build, layout).rings)
    inches = f"{int(radius / 25.4 * 1000) / 1000:.3f}"
    for units, head, cell in (("mm", "ring mm", f"{radius:.1f}"), ("inch", "ring in", inches)):
        told = [text.words for text in words(face(build, units=units).drawing)]
        assert cell in told[told.index(head) :]


def test_rings_that_are_not_drawn_are_named_in_runs() -> None:
    build = six_in_line()
    rings = exact_rings(build, lay_out(build)).rings
    small, none, drilled = (
        " ".join(ring_words(tuple(change(ring, **fields) for ring in rings)))
        for fields in ({"radius": 0.1}, {"radius": 0.0}, {"radius": 0.0, "drilled": True})
    )
    assert "The ring round 1 to 6 is too small to draw: its radius stands in the table." in small
    assert "Dotted ring" not in small
    assert "No ring round 1 to 6:" in none
    assert drilled == "Drilled already, so without a ring: 1 to 6."


def test_a_drilled_hole_has_no_ring_and_says_so() -> None:
    build = set_drilled(three_and_three(), three_and_three().rows[0].posts[0].key, drilled=True)
    drawing = face(build).drawing
    assert len(drawing.only(Role.MARGIN_RING).marks) == 5
    said = [text.words for text in words(drawing)]
    assert said.count("drilled") == 1
    assert "Drilled already, so without a ring: 1." in " ".join(said)


def test_sizes_at_the_holes_are_read_at_the_drill_where_a_page_allows_it() -> None:
    """10 point for sizes, 12 for names; on paper that is too small, the smaller sizes that fit."""
    point = 25.4 / 72
    plain = words(face(three_and_three()).drawing)
    assert {round(text.height / point, 3) for text in plain if text.words == "10.0 mm"} == {10.0}
    names = {text.words: text.height / point for text in plain if text.bold and text.words in "123456"}
    assert names == dict.fromkeys("123456", pytest.approx(12.0))
    assert min(text.height for text in plain) >= 7 * point - 1e-9


def test_holes_are_listed_from_the_first_on() -> None:
    plain = [text for text in words(face(three_and_three()).drawing) if not text.bold]
    listed = [text for text in plain if text.words in {"1", "2", "3", "4", "5", "6"}]
    assert [text.words for text in sorted(listed, key=lambda text: -text.at.y)] == [
        "1",
        "2",
        "3",
        "4",
        "5",
        "6",
    ]


@pytest.mark.parametrize(
    ("head", "shop", "said"),
    [
        (
            Head(thickness_nut=15.0, thickness_tip=15.0),
            Shop(),
            "Head 200 mm long, nut 80 mm wide; wood 15 mm thick.",
        ),
        (
            Head(thickness_nut=14.5, thickness_tip=13.0),
            Shop(),
            "Head 200 mm long, nut 80 mm wide; wood 14.5 mm thick at the nut, 13 mm at the tip.",
        ),
        # 15.875 mm is 5/8 in; 200 / 25.4 and 80 / 25.4 are no fractions.
        (
            Head(thickness_nut=15.875, thickness_tip=15.875),
            Shop(units="inch"),
            "Head 7.874 in long, nut 3.150 in wide; wood 5/8 in thick.",
        ),
    ],
)
def test_the_face_tells_length_nut_and_thickness(head: Head, shop: Shop, said: str) -> None:
    build = plain_head(row(), head=head)
    sheets = FACE.drawn(build, lay_out(build), shop, ROOM)
    assert said in " ".join(text.words for sheet in sheets for text in words(sheet.drawing))


@pytest.mark.parametrize("make", [three_and_three, six_in_line])
def test_figures_of_the_head_take_no_page_more(
    make: Callable[[], Build], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever the room: as many pages as without that sentence."""
    build = make()
    layout, stamp = lay_out(build), Stamp(build=build.name)
    rooms = [(174.0, high) for high in (195.0, 205.0, 210.0, 220.0)]

    def pages() -> list[int]:
        drawn = [FACE.drawn(build, layout, Shop(), room) for room in rooms]
        return [sum(len(paginate(sheet, stamp)) for sheet in sheets) for sheets in drawn]

    told = pages()
    monkeypatch.setattr("export.sheets.face.head_measures", lambda *_: "")
    assert told == pages()


def test_typical_measures_of_tuners_are_counted() -> None:
    build = three_and_three()
    (tuner,) = build.hardware

    def typical(hardware: Hardware) -> list[str]:
        said = words(face(change(build, hardware=(hardware,))).drawing)
        return [each.words for each in said if "typical" in each.words]

    assert typical(tuner) == ["All tuner measures are typical: measure yours."]
    assert typical(with_measured(tuner, measures(tuner).keys())) == []
    (line,) = typical(with_measured(tuner, measures(tuner).keys() - {"seat.along", "body_mass"}))
    assert "2 measures of the tuners are typical" in line
