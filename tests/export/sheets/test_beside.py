"""Labels in step, beyond an edge, along a line: free places, or None when there is none."""

from __future__ import annotations

import pytest

from export.drawing import Drawing, Mark, Role, Text
from export.labels import Request
from export.sheets.beside import Side, aside, in_step, on_line
from export.sheets.table import arranged, divided, heading, paragraphs, table
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle

REGION = Bounds(-100.0, -100.0, 100.0, 100.0)
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
    labels = in_step(WISHES, 1, Drawing(), REGION)
    assert labels is not None
    steps = {
        (round(mark.bounds.centre.x, 6), round(mark.bounds.centre.y - wish.anchor.y, 6))
        for mark, wish in zip(texts(labels), WISHES, strict=True)
    }
    assert len(steps) == 1
    ((x, y),) = steps
    assert (x, y > 5.0) == (0.0, True)


def test_one_obstacle_moves_all_labels_of_the_row() -> None:
    labels = in_step(WISHES, 1, Drawing((box(Bounds(-3.0, 36.0, 3.0, 40.0)),)), REGION)
    assert labels is not None
    assert all(mark.bounds.right < 0.0 for mark in texts(labels))


def test_a_label_that_stands_off_is_led_to() -> None:
    ring = Drawing(tuple(Mark(Role.BORE, Circle(wish.anchor, 7.5)) for wish in WISHES))
    wishes = [Request(wish.anchor, wish.lines, 3.0, 5.0) for wish in WISHES]
    labels = in_step(wishes, 1, ring, REGION, leaders=True)
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
