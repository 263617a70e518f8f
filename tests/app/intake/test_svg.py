"""Heads in SVG files: units, transforms, shapes of all kinds, what is left out, what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.intake.svg_reader import read_svg
from geometry.intake.drawn import DrawingError
from geometry.intake.from_drawing import Asked
from geometry.trade.sentence import SentenceError, say_note
from tests.app.intake.drawings import BORES, CORNERS, bores_of, circles, path, strays, svg, svg_head

FLAT = np.array([1.0, -1.0])


def test_a_path_and_circles_are_the_head_and_its_holes() -> None:
    found = svg_head(svg(path() + circles()))
    assert strays(found) < 1e-4
    assert np.array(bores_of(found)) == pytest.approx(np.array(BORES), abs=1e-4)
    assert (found.unsure, found.left_out, found.regions) == ((), (), ())


@pytest.mark.parametrize(
    ("size", "factor"),
    [
        ('width="200mm" height="200mm" viewBox="-100 -180 200 200"', 1.0),
        ('width="20cm" height="20cm" viewBox="-100 -180 200 200"', 1.0),
        ('width="2in" height="2in" viewBox="-100 -180 200 200"', 0.254),
        ('width="566.92913pt" height="566.92913pt" viewBox="-100 -180 200 200"', 1.0),
        ('width="100mm" height="100mm" viewBox="-100 -180 200 200"', 0.5),
    ],
)
def test_width_and_view_box_tell_the_size(size: str, factor: float) -> None:
    scale = 1 / factor
    found = svg_head(svg(f'<g transform="scale({scale})">{path()}{circles()}</g>', size))
    assert strays(found) < 1e-3
    assert found.unsure == ()


@pytest.mark.parametrize(
    "size", ["", 'width="200" height="200"', 'width="200px" height="200px" viewBox="0 0 2 2"']
)
def test_pixels_need_a_known_length(size: str) -> None:
    data = svg(path() + circles(), size)
    with pytest.raises(SentenceError, match=r"measured in pixels.*tell its length, or its width at the nut"):
        svg_head(data)
    assert strays(svg_head(data, Asked(length=162.0))) < 1e-3
    assert strays(svg_head(data, Asked(nut_width=44.0))) < 1e-3


@given(turn=st.floats(-180, 180), x=st.floats(-500, 500), y=st.floats(-500, 500), mirrored=st.booleans())
@settings(max_examples=5, deadline=None)
def test_however_it_lies_it_is_the_same_head(turn: float, x: float, y: float, mirrored: bool) -> None:
    flip = "scale(-1 1)" if mirrored else ""
    data = svg(f'<g transform="translate({x} {y}) rotate({turn}) {flip}">{path()}{circles()}</g>')
    found = svg_head(data, Asked(from_back=mirrored))
    assert strays(found) < 1e-3
    assert np.array(bores_of(found)) == pytest.approx(np.array(BORES), abs=1e-3)


def test_arcs_ellipses_curves_and_polygons_are_followed() -> None:
    """A half circle on a stem by A, an ellipse by C, a hole as a polygon of 24 corners and one as four arcs."""
    angles = 2 * np.pi * np.arange(24) / 24
    corners = " ".join(f"{10 + 4 * math.cos(a):.5f},{-40 - 4 * math.sin(a):.5f}" for a in angles)
    arcs = "M -6 -40 a 4 4 0 0 1 -8 0 a 4 4 0 0 1 8 0 z"
    body = f'<path d="M 25 0 V -100 A 25 25 0 0 0 -25 -100 V 0 Z"/><polygon points="{corners}"/><path d="{arcs}"/>'
    found = svg_head(svg(body))
    tip = found.points[found.points[:, 1] > 100]
    assert np.hypot(tip[:, 0], tip[:, 1] - 100) == pytest.approx(25.0, abs=1e-3)
    assert np.array(bores_of(found)) == pytest.approx(np.array([(10, 40, 4), (-10, 40, 4)]), abs=2e-3)


def test_loose_ends_are_joined() -> None:
    """Every edge by itself, up to 0.2 mm short, some run backwards, one drawn twice."""
    edges = [CORNERS[[k, k + 1]] for k in range(len(CORNERS) - 1)] + [CORNERS[[-1, 0]]]
    short = [edge + (edge[::-1] - edge) * 0.0015 for edge in edges]
    lines = [each if number % 2 else each[::-1] for number, each in enumerate(short)]
    found = svg_head(svg("".join(path(line, closed=False) for line in [*lines, lines[2]]) + circles()))
    assert strays(found) < 0.25
    assert [say_note(note, "mm") for note in found.left_out] == ["Left out: 1 line drawn twice."]


def test_a_hole_in_a_square_about_it_is_no_line_drawn_twice() -> None:
    square = '<rect x="-5" y="-105" width="10" height="10"/><circle cx="0" cy="-100" r="5"/>'
    found = svg_head(svg(path() + square))
    assert np.array(bores_of(found)) == pytest.approx(np.array([(0.0, 100.0, 5.0)]), abs=1e-3)
    assert not any("twice" in say_note(note, "mm") for note in found.left_out)


def test_a_head_open_at_the_nut_is_closed_by_its_nut_line() -> None:
    assert strays(svg_head(svg(path(closed=False)))) < 1e-4


def test_a_line_called_nut_cuts_the_neck_off() -> None:
    neck = np.vstack([[[20.0, -60.0]], CORNERS, [[-20.0, -60.0]]])
    line = '<g id="nut"><path d="M -30 0 H 30"/></g>'
    found = svg_head(
        svg(path(neck) + line + circles(), 'width="300mm" height="300mm" viewBox="-150 -200 300 300"')
    )
    assert strays(found) < 1e-3
    assert np.array(bores_of(found)) == pytest.approx(np.array(BORES), abs=1e-4)


def board(top: float = 60.0) -> str:
    """A head with two straight ends, the nut at the right of the drawing as it lies."""
    corners = np.array(
        [[0.0, 22.0], [-30.0, 30.0], [-150.0, top / 2], [-150.0, -top / 2], [-30.0, -30.0], [0.0, -22.0]]
    )
    return path(corners)


def test_two_straight_ends_need_a_side() -> None:
    data = svg(board(), 'width="200mm" height="200mm" viewBox="-180 -100 200 200"')
    with pytest.raises(DrawingError, match=r"2 straight ends.*top, bottom, left or right"):
        svg_head(data)
    assert svg_head(data, Asked(nut_end="right")).nut_width == pytest.approx(44.0)
    assert svg_head(data, Asked(nut_end="left")).nut_width == pytest.approx(60.0)
    assert svg_head(data, Asked(nut_width=44.0)).nut_width == pytest.approx(44.0)
    with pytest.raises(DrawingError, match="no straight end at the top"):
        svg_head(data, Asked(nut_end="top"))


def test_a_head_without_a_straight_end_is_refused() -> None:
    with pytest.raises(DrawingError, match="no straight end that could be the nut line"):
        svg_head(svg('<ellipse cx="0" cy="-80" rx="30" ry="80"/>'))


def test_what_is_not_used_is_counted() -> None:
    body = (
        path()
        + circles()
        + '<text x="0" y="0">Head</text><image href="none.png" width="3" height="3"/><path d="M 0 -20 V -140"/>'
        + '<circle cx="90" cy="0" r="5"/><circle cx="20" cy="-50" r="8"/><rect x="-5" y="-30" width="10" height="20"/>'
    )
    found = svg_head(svg(body))
    words = " ".join(say_note(note, "mm") for note in found.left_out)
    for expected in (
        "1 text",
        "1 image",
        "1 open line",
        "1 closed shape beside the head",
        "1 circle round a hole",
    ):
        assert expected in words
    assert len(found.holes) == 4
    assert [len(region.shape.points) for region in found.regions] == [4]  # type: ignore[union-attr]


def test_a_frame_round_the_sheet_is_not_the_head() -> None:
    found = svg_head(svg('<rect x="-90" y="-170" width="180" height="180"/>' + path()))
    assert strays(found) < 1e-4
    assert any("edge of the sheet" in say_note(note, "mm") for note in found.unsure)


def test_a_shape_called_outline_is_the_head_though_another_is_larger() -> None:
    other = '<path d="M -99 -170 L 99 -179 L 99 10 L -99 19 Z"/>'
    assert strays(svg_head(svg(path(more='id="Head_outline"') + other))) < 1e-4


BOMB = (
    b'<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    b'<svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>'
)
TEN_EACH = "".join(f'<g id="c{n}">' + f'<use href="#c{n - 1}"/>' * 10 + "</g>" for n in range(1, 9))
COPIES = svg(f'<defs><g id="c0"><path d="M0 0 H 1"/></g>{TEN_EACH}</defs><use href="#c8"/>')


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not sound XML"),
        (b"<html/>", "no SVG"),
        (svg("<path d='M 0 0 L"), "not sound XML"),
        (svg(""), "no lines or curves"),
        (svg('<path d="M 0 0 L 100 0 L 100 1"/>'), "no closed outline"),
        (BOMB, "entities by entities"),
        (COPIES, "far more than the drawing of one head"),
        (svg('<g id="a"><use href="#a"/></g>'), "copies a part of itself"),
        (svg("<g>" * 200 + "</g>" * 200), "groups within each other"),
        (b'<?xml version="1.0" encoding="nonsense"?><svg/>', "encoding"),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    with pytest.raises(DrawingError, match=words):
        svg_head(data)


def test_namespaces_named_by_entities_are_read() -> None:
    head = b'<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]>'
    assert len(read_svg(head + svg(path()).replace(b'"http://www.w3.org/2000/svg"', b'"&ns;"')).curves) == 1
