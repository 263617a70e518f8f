"""DXF files of face and drill guide, read by GDAL, agree with the Layout to a thousandth of a millimetre."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings

from export.dxf import Version, write_dxf
from export.machine import Edge, for_machine
from export.sheets.face import STRIP, TICK_FROM, plain_face_sheet
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.tolerance import PRINT
from geometry.trade.shop import Shop
from tests.agreement.conftest import Exported
from tests.agreement.reading import Drawn, Points, from_dxf
from tests.agreement.samples import SAMPLES, Sample, fresh_builds
from tests.agreement.truth import Hole, assert_same_holes, assert_same_line, bores, nut_length, outline, rings
from tests.amount import in_turns, sampled

VERSIONS: tuple[Version, ...] = get_args(Version)
SMALL = 1.6
"""Radius in mm of the largest pilot."""


def version_of(sample: Sample) -> Version:
    """The versions in turn among the samples; `test_the_face_of_a_sample` reads all of each."""
    return VERSIONS[SAMPLES.index(sample.path.stem) % len(VERSIONS)]


def on_layer(strokes: list[Drawn], layer: str) -> list[Drawn]:
    return [each for each in strokes if each.layer == layer]


def counterbores(layout: Layout) -> list[Hole]:
    """The wider mouths of bores."""
    mouths = [(post.at, post.hardware.bore.counterbore) for post in layout.posts]
    return [Hole(at.x, at.y, wide.diameter / 2) for at, wide in mouths if wide is not None]


def chained(strokes: list[Drawn]) -> Points:
    """The points of strokes that follow each other, each turned so that it begins where the last one ended."""
    first, *others = (each.points for each in strokes)
    if others:
        away = np.abs(first[[0, -1], None] - others[0][[0, -1]]).sum(axis=2).min(axis=1)
        first = first[::-1] if away[0] < away[1] else first
    found = [first]
    for points in others:
        end = found[-1][-1]
        turned = points[::-1] if np.abs(points[-1] - end).sum() < np.abs(points[0] - end).sum() else points
        assert turned[0] == pytest.approx(end, abs=1e-6)
        found.append(turned[1:])
    return np.concatenate(found)


def assert_face_agrees(strokes: list[Drawn], layout: Layout, edge: Edge) -> None:
    """Outline and holes lie where the layout has them: the file's origin is the head's; no other layer is there."""
    drilled = rings(on_layer(strokes, "DRILL"))
    # No bore is as small as the pilot of a screw.
    assert_same_holes([ring for ring in drilled if ring.radius > SMALL], bores(layout))
    pilots = sorted((ring.x, ring.y) for ring in drilled if ring.radius <= SMALL)
    screws = sorted((hole.at.x, hole.at.y) for hole in layout.tree_screws)
    assert np.ravel(pilots) == pytest.approx(np.ravel(screws), abs=PRINT)
    assert_same_holes(rings(on_layer(strokes, "POCKET")), counterbores(layout))
    points = chained(on_layer(strokes, "CUT_THROUGH"))
    wanted = outline(layout)
    if edge == "plate":
        assert points[0] == pytest.approx(points[-1], abs=1e-6)
        wanted = np.concatenate((wanted, wanted[:1]))
    assert_same_line(points, wanted)
    assert {each.layer for each in strokes} <= {"CUT_THROUGH", "DRILL", "POCKET"}


@pytest.mark.parametrize(("version", "edge"), in_turns(VERSIONS, get_args(Edge)))
def test_the_face_of_a_sample(sample: Sample, exported: Exported, version: Version, edge: Edge) -> None:
    written = exported(sample.path, ".dxf", "--dxf-version", version, "--edge", edge)
    assert_face_agrees(from_dxf(written), sample.layout, edge)


def test_the_aids_of_a_sample(sample: Sample, exported: Exported) -> None:
    """The square of 100 mm, and ticks on the height of the nut line that begin beside its ends."""
    version = version_of(sample)
    strokes = on_layer(from_dxf(exported(sample.path, ".dxf", "--aids", "--dxf-version", version)), "AIDS")
    lowest = sample.layout.edge.contour.bounds.bottom if sample.layout.edge else 0.0
    below = [each.points for each in strokes if each.points[:, 1].max() < lowest - STRIP - 1.0]
    assert np.ptp(np.concatenate(below), axis=0) == pytest.approx((100.0, 100.0), abs=PRINT)
    ends = [each.points for each in strokes if np.abs(each.points[:, 1]).max() < PRINT]
    inner = np.sort(np.concatenate(ends)[:, 0])[1:3]
    assert inner == pytest.approx(
        np.array([-1.0, 1.0]) * (nut_length(sample.layout) / 2 + TICK_FROM), abs=PRINT
    )


def test_the_drill_guide_of_a_sample(sample: Sample, exported: Exported) -> None:
    options = ("--sheets", "guide", "--dxf-version", version_of(sample))
    strokes = from_dxf(exported(sample.path, ".dxf", *options))
    guides = [Hole(hole.x, hole.y, 1.0) for hole in bores(sample.layout)]
    # The holes for the screws of the plate are wider.
    narrow = [ring for ring in rings(on_layer(strokes, "DRILL")) if ring.radius < 1.5]
    assert_same_holes(narrow, guides)
    cut = np.concatenate([each.points for each in on_layer(strokes, "CUT_THROUGH")])
    assert cut[:, 1].min() == pytest.approx(0.0, abs=PRINT)


@settings(max_examples=sampled(4, of=15), deadline=None)
@given(build=fresh_builds())
def test_the_face_of_any_build(build: Build) -> None:
    layout = lay_out(build)
    for version in VERSIONS:
        sheet = for_machine(plain_face_sheet(build, layout, Shop()), edge="plate", aids=False)
        assert_face_agrees(from_dxf(write_dxf(sheet, version)), layout, "plate")
