"""The printed guide, read back with a library that did not write it, against the head it was made for."""

from __future__ import annotations

import io
import math
import zipfile
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely
import trimesh
from msgspec.structs import replace
from shapely.geometry.base import BaseGeometry

from export.sheet_kind import SheetError
from export.solid.body import Piece, pieces
from export.solid.files import written
from export.solid.plan import DOWEL, DOWEL_DEEP, FENCE_DEEP, THICKNESS, plan
from geometry.document.build import Build
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.trade.escapes import on_one_line
from geometry.trade.shop import Shop
from tests.builds import nodes, plain_head, post_at, row, three_and_three

SAMPLES = sorted((Path(__file__).parents[3] / "sample_builds").glob("*.pegwright"))
LARGE, SMALL = (300.0, 300.0), (110.0, 110.0)
WALL = 2.0
SHOP = Shop(print_wall=WALL, print_clearance=0.2)
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
"""The name space of the 3MF core specification."""


def made(build: Build, bed: tuple[float, float] = LARGE, bushing: float | None = None) -> tuple[Piece, ...]:
    shop = replace(SHOP, guide_bushing=bushing, bed_width=bed[0], bed_depth=bed[1])
    return pieces(plan(lay_out(build), shop, "01234567"), shop)


def mesh_of(piece: Piece) -> trimesh.Trimesh:
    """The file of one piece as its reader has it, moved to where the piece is."""
    read = trimesh.load(io.BytesIO(written([piece], "a", "b", "stl")), file_type="stl")
    assert isinstance(read, trimesh.Trimesh)
    read.apply_translation([piece.corners[:, 0].min(), 0.0, 0.0])
    return read


def cut(mesh: trimesh.Trimesh, height: float) -> list[shapely.Polygon]:
    """What a level cut through the body shows, as the face shows it: x to the right."""
    level = {"plane_normal": [0, 0, 1], "plane_origin": [0, 0, height]}
    lines = trimesh.intersections.mesh_plane(mesh, **level)  # type: ignore[no-untyped-call]
    flat = np.round(lines[:, :, :2] * (-1.0, 1.0), 6)
    rings = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(flat)))
    area: BaseGeometry = shapely.Polygon()
    for ring in rings:
        area = area.symmetric_difference(shapely.Polygon(ring))
    return [each for each in shapely.get_parts(area) if isinstance(each, shapely.Polygon)]


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_a_guide_of_a_sample(sample: Path) -> None:
    build = read_build(sample.read_bytes())
    layout = lay_out(build)
    [piece] = made(build)
    mesh = mesh_of(piece)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0
    assert np.ptp(mesh.vertices[:, 2]) == pytest.approx(THICKNESS + FENCE_DEEP, abs=1e-4)
    [plate] = cut(mesh, THICKNESS / 2)
    # Round openings are guide holes: 4 pi area over the square of the length is 1 for a circle alone.
    rings = [shapely.Polygon(ring) for ring in plate.interiors]
    holes = [ring for ring in rings if 4 * math.pi * ring.area / ring.length**2 > 0.99]
    assert len(holes) == len(layout.posts)
    for post in layout.posts:
        near = min(
            holes, key=lambda hole: math.hypot(hole.centroid.x - post.at.x, hole.centroid.y - post.at.y)
        )
        assert near.centroid.x == pytest.approx(post.at.x, abs=0.01)
        assert near.centroid.y == pytest.approx(post.at.y, abs=0.01)
        assert 2 * math.sqrt(near.area / math.pi) == pytest.approx(2.2, abs=0.01)
    assert_walls(plate)
    fences = cut(mesh, THICKNESS + FENCE_DEEP / 2)
    for fence in fences:
        assert_walls(fence)
    # Beside the head by the clearance, on both of its sides, and nowhere nearer.
    assert layout.edge is not None
    head = shapely.Polygon([(each.x, each.y) for each in layout.edge.contour.closed_by_line().flatten(1e-3)])
    gaps = [fence.distance(head) for fence in fences]
    assert min(gaps) == pytest.approx(SHOP.print_clearance, abs=0.01)
    assert min(fence.centroid.x for fence in fences) < 0 < max(fence.centroid.x for fence in fences)


def assert_walls(area: shapely.Polygon) -> None:
    """No neck thinner than the wall: worn down by half of it on all sides, an area stays in one piece."""
    worn = area.buffer(-(WALL / 2 - 0.02))
    assert isinstance(worn, shapely.Polygon)
    assert not worn.is_empty
    rings = [area.exterior, *area.interiors]
    gaps = [one.distance(two) for n, one in enumerate(rings) for two in rings[n + 1 :]]
    assert min(gaps, default=WALL) >= WALL - 0.01


def test_holes_for_metal_bushings_have_their_diameter() -> None:
    [piece] = made(three_and_three(), bushing=8.0)
    [plate] = cut(mesh_of(piece), THICKNESS / 2)
    areas = sorted(shapely.Polygon(ring).area for ring in plate.interiors)
    assert areas[-6:] == pytest.approx([math.pi * 16.0] * 6, rel=2e-3)


def test_a_guide_larger_than_the_bed_is_cut_and_joined_by_dowels() -> None:
    build = three_and_three()
    [whole] = made(build)
    nearer, beyond = made(build, SMALL)
    meshes = [mesh_of(each) for each in (nearer, beyond)]
    for mesh in meshes:
        assert mesh.is_watertight
        assert sorted(mesh.extents[:2]) <= list(SMALL)
    lost = 2 * (2 * DOWEL_DEEP) * math.pi * DOWEL**2 / 4
    assert mesh_of(whole).volume - sum(mesh.volume for mesh in meshes) == pytest.approx(lost, rel=0.01)
    assert nearer.corners[:, 1].max() == pytest.approx(beyond.corners[:, 1].min(), abs=1e-3)


def test_a_bed_that_is_too_small_for_half_of_it_is_refused() -> None:
    with pytest.raises(SheetError, match="Even in two pieces the guide is larger than the bed"):
        made(three_and_three(), (60.0, 60.0))


@pytest.mark.parametrize(
    ("build", "bushing", "words"),
    [
        (plain_head(), None, "it has no bores"),
        (plain_head(row(), outline=nodes((40, 0), (40, 0))), None, "open or crosses itself"),
        (plain_head(post_at(20.0, 3.0)), None, "to the rim of the guide"),
        (three_and_three(), 45.0, "leave less than 2 mm between them"),
    ],
)
def test_what_cannot_be_made_is_refused_in_words(build: Build, bushing: float | None, words: str) -> None:
    with pytest.raises(SheetError, match=words):
        made(build, bushing=bushing)


def test_3mf_says_millimetres_and_names(tmp_path: Path) -> None:
    bodies = made(three_and_three(), SMALL)
    title = 'Old <bass> & "friends" \x1b[31m'
    data = written(bodies, title, "fingerprint 01234567", "3mf")
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        [name] = [each for each in packed.namelist() if each.endswith(".model")]
        root = ET.fromstring(packed.read(name))
    assert root.get("unit") == "millimeter"
    assert [each.get("name") for each in root.iter(f"{CORE}object")] == [each.name for each in bodies]
    told = {each.get("name"): each.text for each in root.iter(f"{CORE}metadata")}
    assert told["Description"] == "fingerprint 01234567"
    assert told["Title"] == on_one_line(title)
    for body, read in zip(bodies, root.iter(f"{CORE}mesh"), strict=True):
        corners = [[float(v.get(axis, "")) for axis in "xyz"] for v in read.iter(f"{CORE}vertex")]
        sides = [
            [int(t.get(corner, "")) for corner in ("v1", "v2", "v3")] for t in read.iter(f"{CORE}triangle")
        ]
        mesh = trimesh.Trimesh(corners, sides)
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(mesh_of(body).volume, rel=1e-5)


def test_the_same_head_gives_the_same_bytes() -> None:
    one, two = (written(made(three_and_three()), "a", "b", "3mf") for _ in range(2))
    assert one == two


def test_numbers_are_sunk_into_the_upper_side() -> None:
    [piece] = made(three_and_three())
    mesh = mesh_of(piece)
    [middle] = cut(mesh, THICKNESS / 2)
    first = shapely.union_all(cut(mesh, 0.3))
    # Six digits and a fingerprint of eight, each a line of 0.9 mm, longer than 4 mm; the bores' mouths besides.
    assert middle.area - first.area > 14 * 0.9 * 4.0
    assert middle.buffer(0.001).contains(first)
