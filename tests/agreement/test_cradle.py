"""The blocks of a cradle, read by GDAL from the file that cuts them, fit the head within the chosen gap everywhere."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from geometry.bench.cradle import THIN_END, cradle
from geometry.trade.shop import CradleSizes
from tests.agreement.conftest import Exported
from tests.agreement.reading import from_dxf
from tests.agreement.samples import SAMPLES, Sample, sample_named
from tests.agreement.truth import outline
from tests.amount import in_turns

GAP = CradleSizes().gap
WITHIN = 0.01


def parts(dxf: bytes, kerf: float) -> list[shapely.Polygon]:
    """Everything that is cut, as it is when half the kerf has gone."""
    loops = [shapely.Polygon(each.points) for each in from_dxf(dxf) if each.layer == "CUT_THROUGH"]
    return [loop.buffer(-kerf / 2, quad_segs=128) for loop in loops]


def inner_faces(block: shapely.Polygon, sign: float, step: float = 0.2) -> list[shapely.Point]:
    """Places of a block that look towards the centre line, by height."""
    _, low, _, high = block.bounds
    heights = np.arange(low + 0.02, high - 0.02, step)
    cuts = [block.intersection(shapely.LineString([(-900.0, y), (900.0, y)])).bounds for y in heights]
    return [
        shapely.Point(left if sign > 0 else right, y)
        for (left, _, right, _), y in zip(cuts, heights, strict=True)
    ]


CUTS = ((0.0, "R2000"), (0.0, "R12"), (1.6, "R2000"))
"""Kerf and version of the file."""


@pytest.mark.parametrize(("name", "cutting"), in_turns(SAMPLES, CUTS))
def test_the_blocks_of_a_sample_fit_its_head(
    name: str, cutting: tuple[float, str], exported: Exported
) -> None:
    sample, (kerf, version) = sample_named(name), cutting
    options = ("--sheets", "cradle", "--kerf", str(kerf), "--dxf-version", version)
    cut = parts(exported(sample.path, ".dxf", *options), kerf)
    edge = shapely.LineString(outline(sample.layout))
    head = shapely.Polygon(edge.coords)
    blocks = sorted((part for part in cut if part.distance(head) < 2 * GAP), key=lambda part: part.centroid.x)
    assert len(blocks) == 2
    made = cradle(sample.build, sample.layout, CradleSizes(), kerf)
    for block, drawn, sign in zip(blocks, made.blocks, (-1.0, 1.0), strict=True):
        assert block.distance(head) == pytest.approx(GAP, abs=WITHIN)
        assert block.bounds[3] - block.bounds[1] == pytest.approx(drawn.length, abs=WITHIN)
        # No head among the samples has a corner that the cutter cannot reach, so nothing stands off.
        assert drawn.stands_off == ()
        distances = [edge.distance(place) for place in inner_faces(block, sign)]
        assert distances == pytest.approx([GAP] * len(distances), abs=WITHIN)


def test_every_piece_of_a_sample_is_there_and_none_lies_over_another(
    sample: Sample, exported: Exported
) -> None:
    cut = parts(exported(sample.path, ".dxf", "--sheets", "cradle", "--kerf", "1.6"), 0.0)
    made = cradle(sample.build, sample.layout, CradleSizes(), 1.6)
    # Two blocks, four wedges, two stops and the base plate.
    assert len(cut) == 9
    assert shapely.union_all(cut).area == pytest.approx(sum(part.area for part in cut))
    (base,) = [part for part in cut if part.bounds[2] - part.bounds[0] > made.base.width]
    assert base.bounds[2] - base.bounds[0] == pytest.approx(made.base.width + 1.6, abs=WITHIN)
    wedge_area = made.wedge_length * (THIN_END + made.thick_end) / 2
    wedges = [part for part in cut if part.buffer(-0.8).area == pytest.approx(wedge_area, rel=1e-3)]
    assert len(wedges) == 4
