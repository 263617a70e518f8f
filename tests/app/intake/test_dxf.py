"""Heads in DXF files: lines, bulges, splines, blocks, layers, units, and what broken files are told."""

from __future__ import annotations

import math
from contextlib import suppress
from time import process_time
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.intake.drawn import DrawingError
from geometry.intake.from_drawing import Asked
from geometry.intake.outline_fit import fit_outline
from geometry.shape.segment import Arc, Line
from geometry.trade.sentence import SentenceError, say_note
from tests.app.intake.drawings import BORES, CORNERS, bores_of, dxf, dxf_head, strays, with_bores


def outline(space: Any) -> None:
    space.add_lwpolyline(CORNERS.tolist(), close=True)
    with_bores(space)


def test_a_polyline_and_circles_are_the_head_and_its_holes() -> None:
    found = dxf_head(dxf(outline))
    assert strays(found) < 1e-6
    assert np.array(bores_of(found)) == pytest.approx(np.array(BORES), abs=1e-6)
    assert (found.unsure, found.left_out) == ((), ())


@given(
    turn=st.floats(0, 360),
    x=st.floats(-900, 900),
    y=st.floats(-900, 900),
    factor=st.sampled_from([1.0, 25.4]),
)
@settings(max_examples=4, deadline=None)
def test_a_block_however_placed_is_the_same_head(turn: float, x: float, y: float, factor: float) -> None:
    def draw(space: Any) -> None:
        inner = space.doc.blocks.new("inner")
        outline(inner)
        outer = space.doc.blocks.new("outer")
        outer.add_blockref("inner", (5, 7), dxfattribs={"rotation": 30})
        attributes = {"rotation": turn, "xscale": 1 / factor, "yscale": 1 / factor}
        space.add_blockref("outer", (x, y), dxfattribs=attributes)

    found = dxf_head(dxf(draw, units=4 if factor == 1 else 1))
    assert strays(found) < 1e-3
    assert np.array(bores_of(found)) == pytest.approx(np.array(BORES), abs=1e-3)


def test_bulges_are_arcs_and_come_out_as_such() -> None:
    """A half circle of radius 25 on a stem, by bulge 1, in the old and the new kind of polyline."""
    corners = [(25, 0, 0), (25, 100, 1), (-25, 100, 0), (-25, 0, 0)]
    for version, draw in (
        ("R2000", lambda space: space.add_lwpolyline(corners, format="xyb", close=True)),
        ("R12", lambda space: space.add_polyline2d(corners, format="xyb", close=True)),
    ):
        found = dxf_head(dxf(draw, version=version), Asked(length=125.0))
        segments = fit_outline(found.points).contour.segments
        assert [type(each) for each in segments] == [Line, Arc, Line]
        assert segments[1].radius == pytest.approx(25.0, abs=0.01)  # type: ignore[union-attr]


def test_a_mirrored_polyline_lies_where_its_plane_says() -> None:
    """Extrusion (0, 0, -1) turns x round, as mirroring does in many programs."""
    data = dxf(lambda space: space.add_lwpolyline(
        CORNERS.tolist(), close=True, dxfattribs={"extrusion": (0, 0, -1)}
    ))  # fmt: skip
    assert strays(dxf_head(data)) < 1e-6


def test_a_spline_through_points_of_an_ellipse_is_followed() -> None:
    angles = np.linspace(0, math.pi, 25)
    places = [(30 * math.cos(a), 20 + 90 * math.sin(a)) for a in angles]

    def draw(space: Any) -> None:
        space.add_spline(places)
        for x in (-30, 30):
            space.add_line((x, 0), (x, 20))
        space.add_line((-30, 0), (30, 0))

    found = dxf_head(dxf(draw))
    tip = found.points[found.points[:, 1] > 21]
    radius = np.hypot(tip[:, 0] / 30, (tip[:, 1] - 20) / 90)
    assert np.abs(radius - 1).max() < 0.004
    assert found.nut_width == pytest.approx(60.0)


def test_lines_and_arcs_with_gaps_are_joined_and_fitted_by_few() -> None:
    """A board with corners of radius 8 by lines and arcs, each end 0.05 mm off."""

    def draw(space: Any) -> None:
        space.add_line((30, 0.05), (30, 141.95))
        space.add_arc((22, 142), 8, 0.3, 89.7)
        space.add_line((-21.95, 150), (21.95, 150))
        space.add_arc((-22, 142), 8, 90, 180)
        space.add_line((-30, 141.95), (-30, 0))
        space.add_line((-30, 0), (30, 0))

    found = dxf_head(dxf(draw), Asked(nut_end="bottom"))
    fit = fit_outline(found.points)
    assert fit.largest < 0.1
    assert [type(each) for each in fit.contour.segments] == [Line, Arc, Line, Arc, Line]


def test_layers_that_are_off_are_left_out() -> None:
    def draw(space: Any) -> None:
        outline(space)
        space.doc.layers.add("NOTES").off()
        space.add_circle((0, 40), 6, dxfattribs={"layer": "NOTES"})
        space.add_text("Head")

    found = dxf_head(dxf(draw))
    assert len(found.holes) == len(BORES)
    words = say_note(found.left_out[0], "mm")
    assert "1 text" in words
    assert "1 thing on a layer that is off" in words


def test_a_nut_on_its_own_layer_tells_where_it_is() -> None:
    def draw(space: Any) -> None:
        neck = np.vstack([[[20.0, -300.0]], CORNERS, [[-20.0, -300.0]]])
        space.add_lwpolyline(neck.tolist(), close=True)
        space.add_line((-22, 0), (22, 0), dxfattribs={"layer": "Nut"})

    assert strays(dxf_head(dxf(draw))) < 1e-6


@pytest.mark.parametrize("wrong", [None, 0])
def test_without_a_unit_the_only_one_that_makes_a_head_is_taken_with_a_warning(wrong: int | None) -> None:
    found = dxf_head(dxf(outline, units=wrong or 0))
    assert strays(found) < 1e-6
    assert "millimetres were taken" in say_note(found.unsure[0], "mm")

    def inches(space: Any) -> None:
        space.add_lwpolyline((CORNERS / 25.4).tolist(), close=True)

    found = dxf_head(dxf(inches, units=0))
    assert strays(found) < 1e-6
    assert "inches were taken" in say_note(found.unsure[0], "mm")


def test_a_wrong_unit_needs_a_known_length() -> None:
    """A head drawn in mm in a file that says inches would be 4 m long."""
    data = dxf(outline, units=1)
    with pytest.raises(SentenceError, match=r"4114\.8 mm long, which no head is"):
        dxf_head(data)
    assert strays(dxf_head(data, Asked(length=162.0))) < 1e-6
    assert strays(dxf_head(data, Asked(nut_width=44.0))) < 1e-6
    found = dxf_head(dxf(outline), Asked(length=81.0))
    assert found.points[:, 1].max() == pytest.approx(81.0)
    assert "would be 162.0 mm long; it was made 81 mm" in say_note(found.unsure[0], "mm")


def loop(space: Any) -> None:
    for name, other in (("A", "B"), ("B", "A")):
        space.doc.blocks.new(name).add_blockref(other, (0, 0))
    space.add_blockref("A", (0, 0))


def many(space: Any) -> None:
    space.doc.blocks.new("leaf").add_line((0, 0), (1, 0))
    attributes = {"row_count": 900, "column_count": 900, "row_spacing": 1, "column_spacing": 1}
    space.add_blockref("leaf", (0, 0), dxfattribs=attributes)


def empty(space: Any) -> None:
    """Blocks of ten blocks each, down to one that holds nothing."""
    space.doc.blocks.new("e0")
    for depth in range(1, 12):
        block = space.doc.blocks.new(f"e{depth}")
        for _ in range(10):
            block.add_blockref(f"e{depth - 1}", (0, 0))
    space.add_blockref("e11", (0, 0))


def knotted(space: Any) -> None:
    """A spline one of whose knots is far from all others."""
    spline = space.add_open_spline([(0, 0), (30, 40), (20, 90), (-20, 90), (-30, 40), (-5, 0)])
    spline.knots = [0, 0, 0, 0, 1, 2, 99_999_999_999, 99_999_999_999, 99_999_999_999, 99_999_999_999]


def test_a_spline_with_a_spoilt_knot_takes_no_time() -> None:
    begun = process_time()
    with suppress(DrawingError):
        dxf_head(dxf(knotted))
    assert process_time() - begun < 2.0


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no sections"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00 SECTION", "binary"),
        (b"AC1015 and so on", "DWG"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n", "DXF is broken|no lines or curves"),
        (dxf(lambda space: None), "no lines or curves"),
        (dxf(lambda space: space.add_line((0, 0), (100, 0))), "no closed outline"),
        (dxf(loop), "block that holds itself"),
        (dxf(many), "far more than the drawing of one head"),
        (dxf(empty), "far more than the drawing of one head"),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(data: bytes, words: str) -> None:
    with pytest.raises(DrawingError, match=words):
        dxf_head(data)
