"""SVG files of the face, read by svgelements, agree with the Layout to a thousandth of a millimetre."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings

from export.sheets.face import TICK_FROM, plain_face_sheet
from export.svg import write_svg
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.trade.shop import Shop
from tests.agreement.conftest import Exported
from tests.agreement.reading import Drawn, from_svg
from tests.agreement.samples import Sample, fresh_builds
from tests.agreement.truth import (
    SCALE,
    about_nut,
    assert_same_holes,
    assert_same_line,
    bores,
    level_lines,
    nut_length,
    outline,
    rings,
)

STRONG = 0.18
"""Weight in mm of the lines of outline, nut line and bores."""


def assert_face_agrees(strokes: list[Drawn], layout: Layout) -> None:
    """Outline and bores lie where the layout has them; ticks beside the nut line tell its place and the scale."""
    ticks = np.concatenate(level_lines(strokes, STRONG))
    assert len(ticks) == 4
    nut = ticks[np.argsort(ticks[:, 0])][1:3]
    assert np.ptp(nut[:, 0]) == pytest.approx(nut_length(layout) + 2 * TICK_FROM, rel=SCALE)
    strong = [each for each in about_nut(strokes, nut) if each.looks(STRONG)]
    assert_same_holes(rings(strong), bores(layout))
    edge = max(strong, key=lambda each: float(np.ptp(each.points[:, 1])))
    wanted = outline(layout)
    assert_same_line(edge.points, np.concatenate((wanted, wanted[:1])))


def test_the_face_of_a_sample(sample: Sample, exported: Exported) -> None:
    assert_face_agrees(from_svg(exported(sample.path, ".svg")), sample.layout)


@settings(max_examples=10, deadline=None)
@given(build=fresh_builds())
def test_the_face_of_any_build(build: Build) -> None:
    layout = lay_out(build)
    assert_face_agrees(from_svg(write_svg(plain_face_sheet(build, layout, Shop()))), layout)
