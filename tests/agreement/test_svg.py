"""SVG files of the face, read by svgelements, agree with the Layout to a thousandth of a millimetre."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given, settings

from export.machine import for_machine
from export.sheets.face import plain_face_sheet
from export.svg import write_svg
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.trade.shop import Shop
from tests.agreement.conftest import Exported
from tests.agreement.reading import Drawn, from_svg
from tests.agreement.samples import Sample, fresh_builds
from tests.agreement.test_dxf import SMALL
from tests.agreement.truth import (
    SCALE,
    about_nut,
    assert_same_holes,
    assert_same_line,
    bores,
    nut_length,
    outline,
    rings,
)
from tests.amount import sampled

RED, BLUE = (255, 0, 0), (0, 0, 255)
"""Colours of what is cut through and what is drilled."""


def assert_face_agrees(strokes: list[Drawn], layout: Layout) -> None:
    """Outline and bores lie where the layout has them, in true size; the outline begins at the right end of the nut."""
    (edge,) = (each for each in strokes if each.colour == RED)
    nut = edge.points[[0, -1]]
    assert np.ptp(nut[:, 0]) == pytest.approx(nut_length(layout), rel=SCALE)
    found = about_nut(strokes, nut)
    drilled = rings([each for each in found if each.colour == BLUE])
    assert_same_holes([ring for ring in drilled if ring.radius > SMALL], bores(layout))
    (edge,) = (each for each in found if each.colour == RED)
    assert_same_line(edge.points, outline(layout))


def test_the_face_of_a_sample(sample: Sample, exported: Exported) -> None:
    assert_face_agrees(from_svg(exported(sample.path, ".svg")), sample.layout)


def test_the_groups_of_a_sample_are_operations(sample: Sample, exported: Exported) -> None:
    """Each has a name and one colour of its own, which all that is in it has."""
    root = ET.fromstring(exported(sample.path, ".svg", "--sheets", "guide", "--aids").decode())
    groups = root.findall("{*}g")
    assert {"CUT_THROUGH", "DRILL", "ENGRAVE", "AIDS", "WORDS"} == {group.get("id") for group in groups}
    assert len({group.get("stroke") for group in groups}) == len(groups)
    for group in groups:
        drawn = {each.get("stroke") for each in group if not each.tag.endswith("text")}
        assert drawn <= {group.get("stroke")}
    assert len(list(root)) == 2 + len(groups)  # title and description


@settings(max_examples=sampled(4, of=10), deadline=None)
@given(build=fresh_builds())
def test_the_face_of_any_build(build: Build) -> None:
    layout = lay_out(build)
    sheet = for_machine(plain_face_sheet(build, layout, Shop()), edge="neck", aids=False)
    assert_face_agrees(from_svg(write_svg(sheet, by_operation=True)), layout)
