"""Found heads as builds: nut, holes, regions, sentences."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.document.build import Polygon
from geometry.document.codec import read_build, write_build
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import nodes_of
from geometry.intake.found import Found, FoundHole, FoundRegion, cut_at_nut, into_head_frame
from geometry.intake.into_build import Wishes, into_build
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.trade.sentence import SentenceError, say_note
from tests.geometry.intake.heads import base

BOARD = np.array([[22.0, 0.0], [30.0, 30.0], [30.0, 150.0], [-30.0, 150.0], [-30.0, 30.0], [-22.0, 0.0]])


def say(found: Found, wishes: Wishes) -> list[str]:
    return [say_note(note, "mm") for note in into_build(found, base(), wishes).notes]


def test_a_board_becomes_a_build_that_can_be_written_and_read() -> None:
    found = Found(
        BOARD,
        holes=(FoundHole(Point(-20.0, 60.0), 10.0),),
        regions=(FoundRegion("cavity", Polygon((Point(-3, 5), Point(3, 5), Point(0, 20)))),),
    )
    build = into_build(found, base(), Wishes(regions=True)).build
    assert read_build(write_build(build)) == build
    assert isinstance(build.outline, Nodes)
    places = np.array([(node.at.x, node.at.y) for node in nodes_of(build)])
    assert places == pytest.approx(BOARD, abs=1e-6)
    assert build.nut.width == pytest.approx(44.0)
    assert [(hole.at, hole.diameter, hole.plugged) for hole in build.old_holes] == [
        (Point(-20, 60), 10, False)
    ]
    assert [region.name for region in build.keep_clear] == ["cavity"]


def test_a_head_is_as_thick_as_it_was_told_to_be() -> None:
    head = into_build(Found(BOARD), base(), Wishes(thickness=14.2)).build.head
    assert (head.thickness_nut, head.thickness_tip) == (14.2, 14.2)
    assert into_build(Found(BOARD), base(), Wishes()).build.head == base().head


def test_the_sentence_tells_length_width_nodes_and_holes() -> None:
    assert say(Found(BOARD), Wishes())[0] == (
        "The head is 150.0 mm long and 44.0 mm wide at the nut, with 6 nodes and no holes."
    )


def test_the_middle_of_the_nut_line_becomes_the_origin() -> None:
    found = Found(BOARD + np.array([3.0, 0.0]), holes=(FoundHole(Point(3.0, 60.0), 10.0),))
    build = into_build(found, base(), Wishes()).build
    assert build.old_holes[0].at == Point(0.0, 60.0)
    assert nodes_of(build)[0].at == Point(22.0, 0.0)


def test_a_nut_width_next_to_the_one_found_is_taken_over() -> None:
    taken = into_build(Found(BOARD), base(), Wishes(nut_width=44.4))
    assert taken.build.nut.width == pytest.approx(44.4)
    assert taken.fit.contour.start.x == pytest.approx(22.2)
    assert taken.unsure == ()


def test_a_nut_width_far_from_the_one_found_is_told() -> None:
    assert "44.0 mm apart, not 40 mm as told" in say(Found(BOARD), Wishes(nut_width=40.0))[2]


def test_halves_that_differ_are_told() -> None:
    lopsided = BOARD + np.array([[0, 0], [4, 0], [4, 0], [0, 0], [0, 0], [0, 0]])
    assert any("halves are not alike" in words for words in say(Found(lopsided), Wishes(symmetric=True)))


@pytest.mark.parametrize(("factor", "words"), [(0.1, "15.0 mm long"), (20.0, "3000.0 mm long")])
def test_what_is_no_head_by_its_size_is_refused(factor: float, words: str) -> None:
    with pytest.raises(SentenceError, match=words):
        into_build(Found(BOARD * factor), base(), Wishes())


def test_rows_keep_within_a_short_head() -> None:
    build = into_build(Found(BOARD * [1.0, 0.7]), base(), Wishes()).build
    for row in build.rows:
        rule = row.rule
        assert rule.start + rule.pitch * (len(row.posts) - 1) <= 105.0 - 19.0  # type: ignore[union-attr]


def loop_with_neck() -> Floats:
    """The board with 40 mm of neck below the nut line, clockwise, from somewhere on its side."""
    neck = np.array([[-21.0, -40.0], [21.0, -40.0]])
    return np.roll(np.vstack([BOARD, neck])[::-1], 3, axis=0)


def test_a_closed_contour_is_cut_at_the_nut() -> None:
    cut = cut_at_nut(loop_with_neck())
    assert cut == pytest.approx(BOARD)
    assert cut_at_nut(BOARD) == pytest.approx(BOARD)


def test_what_does_not_reach_the_nut_line_is_refused() -> None:
    with pytest.raises(SentenceError, match="does not reach the nut line"):
        cut_at_nut(BOARD - [0.0, 500.0])


@pytest.mark.parametrize("angle", [0.0, 0.4, 2.0, -3.0])
def test_the_frame_of_the_head_is_found_however_it_lies(angle: float) -> None:
    rotation = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    lying = BOARD @ rotation + [100.0, -30.0]
    assert into_head_frame(lying, lying[0], lying[-1]) == pytest.approx(BOARD)
