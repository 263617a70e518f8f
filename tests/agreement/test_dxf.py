"""DXF files of face and drill guide, read by GDAL, agree with the Layout to a thousandth of a millimetre."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from hypothesis import given, settings

from export.dxf import write_dxf
from export.sheets.face import TICK_FROM, plain_face_sheet
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.tolerance import PRINT
from geometry.trade.shop import Shop
from tests.agreement.conftest import Exported
from tests.agreement.reading import Drawn, from_dxf
from tests.agreement.samples import Sample, fresh_builds
from tests.agreement.truth import Hole, assert_same_holes, assert_same_line, bores, nut_length, outline, rings

Version = Literal["R2000", "R12"]
VERSIONS: tuple[Version, ...] = ("R2000", "R12")
EACH_VERSION = pytest.mark.parametrize("version", VERSIONS)


def on_layer(strokes: list[Drawn], layer: str) -> list[Drawn]:
    return [each for each in strokes if each.layer == layer]


def counterbores(layout: Layout) -> list[Hole]:
    """The wider mouths of bores."""
    mouths = [(post.at, post.hardware.bore.counterbore) for post in layout.posts]
    return [Hole(at.x, at.y, wide.diameter / 2) for at, wide in mouths if wide is not None]


def assert_face_agrees(strokes: list[Drawn], layout: Layout) -> None:
    """Outline, nut line and holes lie where the layout has them: the file's origin is the head's."""
    assert_same_holes(rings(on_layer(strokes, "POST_BORES")), bores(layout))
    assert_same_holes(rings(on_layer(strokes, "COUNTERBORES")), counterbores(layout))
    (edge,) = on_layer(strokes, "HEAD_OUTLINE")
    assert edge.points[0] == pytest.approx(edge.points[-1], abs=1e-6)
    wanted = outline(layout)
    assert_same_line(edge.points, np.concatenate((wanted, wanted[:1])))
    ticks = np.concatenate([each.points for each in on_layer(strokes, "NUT_LINE")])
    inner = np.sort(ticks[:, 0])[1:3]
    assert inner == pytest.approx(np.array([-1.0, 1.0]) * (nut_length(layout) / 2 + TICK_FROM), abs=PRINT)
    assert ticks[:, 1] == pytest.approx(0.0, abs=PRINT)


@EACH_VERSION
def test_the_face_of_a_sample(sample: Sample, exported: Exported, version: Version) -> None:
    strokes = from_dxf(exported(sample.path, ".dxf", "--dxf-version", version))
    assert_face_agrees(strokes, sample.layout)
    (square,) = on_layer(strokes, "REFERENCE")
    assert np.ptp(square.points, axis=0) == pytest.approx((100.0, 100.0), abs=PRINT)


@EACH_VERSION
def test_the_drill_guide_of_a_sample(sample: Sample, exported: Exported, version: Version) -> None:
    strokes = from_dxf(exported(sample.path, ".dxf", "--sheets", "guide", "--dxf-version", version))
    guides = [Hole(hole.x, hole.y, 1.0) for hole in bores(sample.layout)]
    assert_same_holes(rings(on_layer(strokes, "GUIDE_HOLES")), guides)
    (plate,) = on_layer(strokes, "CUT_OUTLINE")
    assert plate.points[0] == pytest.approx(plate.points[-1], abs=1e-6)
    assert plate.points[:, 1].min() == pytest.approx(0.0, abs=PRINT)


@settings(max_examples=15, deadline=None)
@given(build=fresh_builds())
def test_the_face_of_any_build(build: Build) -> None:
    layout = lay_out(build)
    for version in VERSIONS:
        assert_face_agrees(from_dxf(write_dxf(plain_face_sheet(build, layout, Shop()), version)), layout)
