"""Labels stand beside what they name and overlap nothing."""

from __future__ import annotations

from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from export.drawing import Drawing, Mark, Role, Text
from export.labels import GAP, Obstacles, Request, Side, aside, in_step, obstacles_of, on_line, place_labels
from export.sheets.table import arranged, divided, heading, paragraphs, table
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Bounds, Circle, Line
from tests.amount import sampled

REGION = Bounds(-60.0, -60.0, 60.0, 60.0)
PLACE = st.builds(Point, st.floats(-50, 50), st.floats(-50, 50))
WORDS = st.lists(st.sampled_from(("1", "Post 3", "bore ⌀ 10.00 mm")), min_size=1, max_size=2).map(tuple)
WISH = st.builds(Request, PLACE, WORDS, st.just(2.6), st.sampled_from((0.0, 3.0, 7.0)))
OBSTACLES = st.builds(
    Obstacles,
    st.lists(st.builds(lambda at: Bounds(at.x, at.y, at.x + 9.0, at.y + 5.0), PLACE), max_size=4).map(tuple),
    st.lists(st.builds(Circle, PLACE, st.floats(1, 8)), max_size=4).map(tuple),
    st.lists(st.builds(Line, PLACE, PLACE), max_size=6).map(tuple),
)


def boxes(marks: tuple[Mark, ...]) -> list[shapely.Polygon]:
    found = [mark.bounds for mark in marks if isinstance(mark.shape, Text)]
    # Lines of one label may touch; a hair is taken off for rounding.
    return [
        shapely.box(box.left + 1e-9, box.bottom + 1e-9, box.right - 1e-9, box.top - 1e-9) for box in found
    ]


@settings(deadline=None, max_examples=sampled(20, of=60))
@given(st.lists(WISH, min_size=1, max_size=14), OBSTACLES)
def test_labels_overlap_nothing(wishes: list[Request], obstacles: Obstacles) -> None:
    marks = place_labels(wishes, obstacles, REGION)
    labels = boxes(marks)
    assert len(labels) == sum(len(wish.lines) for wish in wishes)
    by_label = [wish for wish in wishes for _ in wish.lines]
    for (one, first), (other, second) in combinations(zip(labels, by_label, strict=True), 2):
        if first is not second:
            assert one.distance(other) > GAP / 2
    for label in labels:
        assert all(
            label.distance(shapely.box(box.left, box.bottom, box.right, box.top)) > 0
            for box in obstacles.boxes
        )
        assert all(
            label.distance(shapely.Point(disc.centre.x, disc.centre.y)) >= disc.radius - 1e-6
            for disc in (*obstacles.circles, *(Circle(wish.anchor, wish.clear) for wish in wishes))
        )
        lines = [
            shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])
            for line in obstacles.lines
        ]
        assert all(label.distance(line) > 0 for line in lines)
    assert marks == place_labels(wishes, obstacles, REGION)


def box_of(marks: tuple[Mark, ...]) -> Bounds:
    return Drawing(tuple(mark for mark in marks if isinstance(mark.shape, Text))).bounds


def test_the_first_choice_is_to_the_right() -> None:
    marks = place_labels([Request(Point(0.0, 0.0), ("Post 1", "bore"), 2.6, 5.0)], Obstacles(), REGION)
    assert [mark.role for mark in marks] == [Role.LABEL, Role.LABEL]
    assert 5.0 < box_of(marks).left < 6.0
    assert box_of(marks).centre.y == pytest.approx(0.0)


def test_an_obstacle_sends_the_label_to_the_left() -> None:
    wall = Obstacles(lines=(Line(Point(7.0, -50.0), Point(7.0, 50.0)),))
    marks = place_labels([Request(Point(0.0, 0.0), ("Post 1",), 2.6, 5.0)], wall, REGION)
    assert -6.0 < box_of(marks).right < -5.0


def test_a_crowded_anchor_gets_a_leader() -> None:
    ring = Obstacles(
        boxes=tuple(
            Bounds(x - 4.5, y - 4.5, x + 4.5, y + 4.5)
            for x in (-10.0, 0.0, 10.0)
            for y in (-10.0, 0.0, 10.0)
            if (x, y) != (0.0, 0.0)
        )
    )
    marks = place_labels([Request(Point(0.0, 0.0), ("Post 1",), 2.6, 2.0)], ring, REGION)
    (leader,) = (mark.shape for mark in marks if mark.role is Role.LEADER)
    assert isinstance(leader, Contour)
    assert leader.start.distance(Point(0.0, 0.0)) == pytest.approx(2.0)
    # It ends just short of the words.
    box = box_of(marks)
    nearest = Point(min(max(0.0, box.left), box.right), min(max(0.0, box.bottom), box.top))
    assert leader.end.distance(nearest) == pytest.approx(GAP / 2)
    assert all(not box.overlaps(other) for other in ring.boxes)


def test_a_leader_crosses_lines_only_when_it_must() -> None:
    fence = Obstacles(
        circles=(Circle(Point(0.0, 0.0), 12.0),),
        lines=tuple(Line(Point(x, -50.0), Point(x, 50.0)) for x in (-14.0, 14.0)),
    )
    marks = place_labels([Request(Point(0.0, 0.0), ("1",), 2.6)], fence, REGION)
    assert [mark.role for mark in marks] == [Role.LABEL, Role.LEADER]


def test_a_full_region_sends_labels_outside_to_the_right() -> None:
    full = Obstacles(boxes=(REGION,))
    wishes = [Request(Point(0.0, 10.0 * k), (f"Post {k}",), 2.6) for k in range(3)]
    marks = place_labels(wishes, full, REGION)
    found = [mark.bounds for mark in marks if mark.role is Role.LABEL]
    assert all(box.left > REGION.right for box in found)
    assert all(not one.overlaps(other) for one, other in combinations(found, 2))
    assert sum(mark.role is Role.LEADER for mark in marks) == 3


def test_an_anchor_under_its_own_label_gets_no_leader() -> None:
    anchor = Point(REGION.right + 3.0, REGION.top - 1.0)
    marks = place_labels([Request(anchor, ("Post 1",), 2.6)], Obstacles(boxes=(REGION,)), REGION)
    assert [mark.role for mark in marks] == [Role.LABEL]


def test_drawings_become_obstacles() -> None:
    arc = Contour((Arc(Point(10.0, 0.0), Point(-10.0, 0.0), 1.0),))
    drawing = Drawing(
        (
            Mark(Role.BORE, Circle(Point(1.0, 2.0), 3.0)),
            Mark(Role.OUTLINE, arc),
            Mark(Role.LABEL, Text(Point(0.0, 0.0), 3.0, "word")),
            Mark(Role.OUTLINE, through((Point(0.0, 0.0), Point(5.0, 0.0)))),
        )
    )
    found = obstacles_of(drawing, 0.05)
    assert found.circles == (Circle(Point(1.0, 2.0), 3.0),)
    assert found.boxes == (Text(Point(0.0, 0.0), 3.0, "word").bounds,)
    *arcs, last = found.lines
    assert last == Line(Point(0.0, 0.0), Point(5.0, 0.0))
    # Chords with sagitta 0.05 on a radius of 10 span 2 acos(1 - 0.005) = 0.2 rad: 16 over half a turn.
    assert 15 <= len(arcs) <= 32
    assert all(line.start.distance(Point(0.0, 0.0)) == pytest.approx(10.0) for line in arcs)


HEAD_REGION = Bounds(-100.0, -100.0, 100.0, 100.0)
WISHES = [Request(Point(0.0, 30.0 * number), (str(number),), 3.0, 5.0) for number in range(3)]


def box(bounds: Bounds) -> Mark:
    corners = (
        Point(bounds.left, bounds.bottom),
        Point(bounds.right, bounds.bottom),
        Point(bounds.right, bounds.top),
        Point(bounds.left, bounds.top),
    )
    return Mark(Role.BODY, through(corners, closed=True))


def texts(drawing: Drawing) -> list[Mark]:
    return [mark for mark in drawing.marks if isinstance(mark.shape, Text)]


def test_a_row_is_labelled_at_the_same_place_of_each() -> None:
    labels = in_step(WISHES, 1, Drawing(), HEAD_REGION)
    assert labels is not None
    steps = {
        (round(mark.bounds.centre.x, 6), round(mark.bounds.centre.y - wish.anchor.y, 6))
        for mark, wish in zip(texts(labels), WISHES, strict=True)
    }
    assert len(steps) == 1
    ((x, y),) = steps
    assert (x, y > 5.0) == (0.0, True)


def test_one_obstacle_moves_all_labels_of_the_row() -> None:
    labels = in_step(WISHES, 1, Drawing((box(Bounds(-3.0, 36.0, 3.0, 40.0)),)), HEAD_REGION)
    assert labels is not None
    assert all(mark.bounds.right < 0.0 for mark in texts(labels))


def test_a_label_that_stands_off_is_led_to() -> None:
    ring = Drawing(tuple(Mark(Role.BORE, Circle(wish.anchor, 7.5)) for wish in WISHES))
    wishes = [Request(wish.anchor, wish.lines, 3.0, 5.0) for wish in WISHES]
    labels = in_step(wishes, 1, ring, HEAD_REGION, leaders=True)
    assert labels is not None
    leaders = [mark.shape for mark in labels.only(Role.LEADER).marks]
    assert len(leaders) == 3
    for leader, wish in zip(leaders, wishes, strict=True):
        assert isinstance(leader, Contour)
        assert leader.start.distance(wish.anchor) == pytest.approx(5.1)
    assert in_step(wishes, 1, ring, Bounds(-8.0, -8.0, 8.0, 68.0)) is None


def test_labels_beyond_an_edge_stand_level_beside_it() -> None:
    edge = Mark(Role.OUTLINE, through((Point(20.0, -50.0), Point(20.0, 90.0))))
    labels = aside(WISHES, [(Side(1, 20.0),)] * 3, Drawing((edge,)))
    assert labels is not None
    for mark, wish in zip(texts(labels), WISHES, strict=True):
        assert mark.bounds.left == pytest.approx(22.0)
        assert mark.bounds.centre.y == pytest.approx(wish.anchor.y, abs=0.5)


def test_a_bore_in_the_way_of_the_leader_sends_it_to_the_other_side() -> None:
    wall = Drawing(tuple(Mark(Role.BORE, Circle(Point(14.0, 5.0 * step), 4.0)) for step in range(-9, 10)))
    (wish, *_) = WISHES
    labels = aside([wish], [(Side(1, 20.0), Side(-1, -20.0))], wall)
    assert labels is not None
    assert texts(labels)[0].bounds.right == pytest.approx(-22.0)
    assert aside([wish], [(Side(1, 20.0),)], wall) is None


def test_words_on_a_line_stand_over_it_else_under_it_else_beyond_its_end() -> None:
    line = (Point(0.0, 0.0), Point(40.0, 0.0))
    mark = Mark(Role.BACK_FLAT, through(line))
    over = on_line("flat", 2.6, line, Drawing((mark,)))
    assert over is not None
    assert over.bounds.bottom > 0.0
    lid = box(Bounds(-1.0, 1.0, 41.0, 5.0))
    hatch = [Mark(Role.BORE, Circle(Point(3.0 * step, 3.0), 2.0)) for step in range(14)]
    under = on_line("flat", 2.6, line, Drawing((mark, lid, *hatch)))
    assert under is not None
    assert under.bounds.top < 0.0
    both = [Mark(Role.BORE, Circle(Point(3.0 * step, -3.0), 2.0)) for step in range(14)]
    beyond = on_line("flat", 2.6, line, Drawing((mark, lid, *hatch, *both)))
    assert beyond is not None
    assert beyond.bounds.left > 40.0
    everything = Mark(Role.BORE, Circle(Point(20.0, 0.0), 90.0))
    assert on_line("flat", 2.6, line, Drawing((everything,))) is None


def test_a_table_is_as_wide_as_its_words_and_divides_its_rows() -> None:
    heads, rows = ("hole", "x"), (("S1", "1.00"), ("S2", "−22.00"), ("S3", "3.00"))
    drawing = table(heads, rows)
    rules = drawing.only(Role.TABLE_HEAD, Role.TABLE).bounds
    assert drawing.bounds.width == pytest.approx(rules.width)
    numbers = [mark.bounds.right for mark in texts(drawing) if mark.shape.words in {"1.00", "−22.00"}]  # type: ignore[union-attr]
    assert numbers[0] == pytest.approx(numbers[1])
    halves = divided("Holes", heads, rows, columns=2)
    assert [mark.shape.words for mark in texts(halves)].count("hole") == 2  # type: ignore[union-attr]
    assert halves.bounds.height < divided("Holes", heads, rows).bounds.height


def test_arrangements_beside_below_and_in_the_corners() -> None:
    head = Drawing((box(Bounds(0.0, 0.0, 60.0, 100.0)),))
    block, band = heading("Bores"), paragraphs(("One two three.",), 100.0)
    beside = arranged(head, (block,), band, (170.0, 200.0))
    assert texts(beside)[0].bounds.left > 60.0
    below = arranged(head, (block,), band, (70.0, 200.0))
    assert texts(below)[0].bounds.top < 0.0
    # An angle leaves its upper left corner free, and no room beside or below it.
    angle = Drawing((Mark(Role.OUTLINE, through((Point(0, 0), Point(60, 0), Point(60, 100)))),))
    inside = arranged(angle, (block,), band, (60.0, 100.0)).bounds
    assert (inside.width, inside.height) == (60.0, 100.0)
    full = Drawing((Mark(Role.BORE, Circle(Point(30.0, 30.0), 80.0)),))
    over = arranged(full, (paragraphs(("word " * 60,), 60.0),), band, (160.0, 160.0))
    assert over.bounds.height > 160.0 or over.bounds.width > 160.0
