"""The DXF file, read back with GDAL and with ezdxf's own audit."""

from __future__ import annotations

import io
import logging
import math
from collections import Counter
from pathlib import Path
from typing import Any, get_args

import ezdxf
import msgspec
import numpy as np
import pyogrio
import pytest
import shapely
from ezdxf._options import options
from ezdxf.lldxf.encoding import decode_dxf_unicode

from export.drawing import Drawing, Mark, Role, Sheet, fitted
from export.dxf import Version, write_dxf
from export.machine import for_machine
from export.style import STYLES
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line
from geometry.trade.escapes import on_one_line
from tests.evil_names import EVIL, FINE
from tests.export.conftest import POSTS, RADIUS

VERSIONS = get_args(Version)


def document(sheet: Sheet, version: Version = "R2000") -> Any:
    text = write_dxf(sheet, version).decode("ascii")
    return ezdxf.filemanagement.read(io.StringIO(text))


def with_aids(sheet: Sheet, *told: str) -> Sheet:
    return for_machine(sheet, edge="neck", aids=True, told=told)


def outline_of(sheet: Sheet) -> Contour:
    shape = next(mark.shape for mark in sheet.drawing.marks if mark.role is Role.OUTLINE)
    assert isinstance(shape, Contour)
    return shape


def by_gdal(sheet: Sheet, version: Version, tmp_path: Path) -> dict[str, list[Any]]:
    """The shapes of a file by layer, as GDAL sees them."""
    path = tmp_path / "sheet.dxf"
    path.write_bytes(write_dxf(sheet, version))
    table = pyogrio.raw.read(path, columns=["Layer"])
    found: dict[str, list[Any]] = {}
    for layer, shape in zip(table[3][0], table[2], strict=True):
        found.setdefault(layer, []).append(shapely.from_wkb(shape))
    return found


def fitted_circle(ring: Any) -> tuple[Point, float]:
    """Centre and radius of the circle through the points of a ring, by least squares."""
    points = shapely.get_coordinates(ring)
    rows = np.column_stack([2 * points, np.ones(len(points))])
    x, y, rest = np.linalg.lstsq(rows, (points**2).sum(axis=1), rcond=None)[0]
    return Point(float(x), float(y)), math.sqrt(rest + x * x + y * y)


@pytest.mark.parametrize("version", VERSIONS)
def test_gdal_finds_bores_and_outline(head: Sheet, version: Version, tmp_path: Path) -> None:
    found = by_gdal(head, version, tmp_path)
    bores = [fitted_circle(ring) for ring in found["DRILL"]]
    assert len(bores) == len(POSTS)
    for (centre, radius), post in zip(bores, POSTS, strict=True):
        assert centre.distance(post) < 0.001
        assert radius == pytest.approx(RADIUS, abs=0.001)
    window = shapely.box(-6.0, 59.0, 6.0, 71.0)
    edge = shapely.union_all([each for each in found["CUT_THROUGH"] if not window.contains(each)])
    outline = outline_of(head)
    for x, y in shapely.get_coordinates(edge):
        assert outline.nearest(Point(float(x), float(y))).distance < 0.001
    # GDAL puts a point every 4 degrees, so the top of the arc may lie 30 (1 - cos 2 degrees) = 0.018 mm lower.
    assert edge.bounds == pytest.approx((-30.0, 0.0, 30.0, 110.0), abs=0.0184)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_reference_square_measures_100_mm(head: Sheet, version: Version, tmp_path: Path) -> None:
    aids = shapely.union_all(by_gdal(with_aids(head), version, tmp_path)["AIDS"])
    low = aids.intersection(shapely.box(-500.0, -500.0, 500.0, head.bounds.bottom))
    left, bottom, right, top = low.bounds
    assert (right - left, top - bottom) == pytest.approx((100.0, 100.0))
    assert "AIDS" not in by_gdal(for_machine(head, edge="neck", aids=False), version, tmp_path)


def test_units_are_millimetres_and_extents_are_set(head: Sheet) -> None:
    header = document(head).header
    assert (header["$INSUNITS"], header["$MEASUREMENT"], header["$LUNITS"]) == (4, 1, 2)
    assert header["$ACADVER"] == "AC1015"
    # The outline is 60 wide and 110 high; words beside and under it count for nothing.
    assert (header["$EXTMIN"][:2], header["$EXTMAX"][:2]) == ((-30.0, 0.0), (30.0, 110.0))


@pytest.mark.parametrize("version", VERSIONS)
def test_a_long_note_stretches_nothing_and_the_view_opens_on_the_part(head: Sheet, version: Version) -> None:
    sheet = for_machine(head, edge="plate", aids=False, banner="Do not drill: " + "fix this first, " * 40)
    read = document(sheet, version)
    assert read.header["$EXTMAX"][:2] == (30.0, 110.0)
    (view,) = read.viewports.get("*Active")
    centre, high = view.dxf.center, view.dxf.height
    assert (centre[0], centre[1]) == (0.0, 55.0)
    assert 110.0 <= high <= 130.0
    assert max(len(text.dxf.text) for text in read.modelspace().query("TEXT")) <= 100


def test_r12_keeps_to_what_r12_knows(head: Sheet) -> None:
    kinds = Counter(entity.dxftype() for entity in document(head, "R12").modelspace())
    assert set(kinds) == {"POLYLINE", "CIRCLE", "TEXT"}
    assert document(head, "R12").header["$ACADVER"] == "AC1009"
    assert not any(byte > 126 for byte in write_dxf(head, "R12"))


def test_plain_files_hold_lines_arcs_and_circles_that_follow_each_other(head: Sheet) -> None:
    read = document(head, "plain")
    assert read.header["$ACADVER"] == "AC1009"
    kinds = Counter(entity.dxftype() for entity in read.modelspace())
    assert set(kinds) == {"LINE", "ARC", "CIRCLE", "TEXT"}
    (arc,) = read.modelspace().query("ARC")
    # Half a circle of radius 30 round (0, 80), counter-clockwise from its right end (DXF reference, ARC).
    assert tuple(arc.dxf.center)[:2] == pytest.approx((0.0, 80.0))
    assert (arc.dxf.radius, arc.dxf.start_angle % 360, arc.dxf.end_angle % 360) == pytest.approx((30, 0, 180))
    assert arc.end_point.distance(read.modelspace().query("LINE")[1].dxf.start) < 1e-9


@pytest.mark.parametrize("version", VERSIONS)
def test_everything_takes_its_look_from_its_layer(head: Sheet, version: Version) -> None:
    drawing = document(head, version)
    for entity in drawing.modelspace():
        assert entity.dxf.layer not in {"0", "Defpoints"}
        assert entity.dxf.color == 256  # BYLAYER
        assert entity.dxf.linetype.upper() == "BYLAYER"
    for look in {STYLES[mark.role] for mark in head.drawing.marks}:
        layer = drawing.layers.get(look.operation.name) if look.operation.made else None
        assert layer is None or (abs(layer.dxf.color), layer.is_off()) == (look.operation.aci, False)
    assert not drawing.audit().errors


def test_words_lie_on_one_layer_that_is_off(head: Sheet) -> None:
    drawing = document(with_aids(head, "Kerf 0.00 mm"))
    texts = drawing.modelspace().query("TEXT")
    assert {text.dxf.layer for text in texts} == {"WORDS"}
    assert drawing.layers.get("WORDS").is_off()
    written = {text.dxf.text for text in texts}
    assert {"Kerf 0.00 mm", "Bass side", "All lengths in mm.", "Drill from the face."} <= written
    upright = next(text for text in texts if text.dxf.text == "Bass side")
    assert upright.dxf.rotation == pytest.approx(90.0)


def test_a_contour_is_one_polyline_with_bulges() -> None:
    corner = (Point(0.0, 0.0), Point(10.0, 0.0), Point(0.0, 10.0))
    # A quarter turn has the bulge tan(90 / 4 degrees) = 0.414214 (DXF reference, group code 42).
    arc = Arc(corner[1], corner[2], math.tan(math.radians(90) / 4))
    closed = Contour((Line(*corner[:2]), arc, Line(corner[2], corner[0])), closed=True)
    marks = (Mark(Role.CUT_OUTLINE, closed), Mark(Role.ENGRAVE, Contour((Line(*corner[:2]), arc))))
    lines = document(fitted("quarter", "Quarter", Drawing(marks))).modelspace().query("LWPOLYLINE")
    cut = next(line for line in lines if line.dxf.layer == "CUT_THROUGH")
    assert cut.closed
    assert [tuple(point) for point in cut.get_points("xyb")] == [
        (0.0, 0.0, 0.0),
        (10.0, 0.0, pytest.approx(0.41421356)),
        (0.0, 10.0, 0.0),
    ]
    engraved = next(line for line in lines if line.dxf.layer == "ENGRAVE")
    assert not engraved.closed
    assert len(engraved) == 3


def test_nothing_is_cut_twice() -> None:
    a, b, c = Point(0.0, 0.0), Point(10.0, 0.0), Point(5.0, 8.0)
    arc = Arc(a, b, 0.5)
    marks = (
        Mark(Role.CUT_OUTLINE, through((a, b, c), closed=True)),
        Mark(Role.CUT_OUTLINE, through((c, b, a), closed=True)),
        Mark(Role.CUT_OUTLINE, Contour((arc,))),
        Mark(Role.CUT_OUTLINE, Contour((arc.reversed(),))),
        Mark(Role.GUIDE_HOLE, Circle(a, 3.0), "first"),
        Mark(Role.GUIDE_HOLE, Circle(a, 3.0), "again"),
        Mark(Role.ENGRAVE, Circle(a, 3.0)),
        Mark(Role.CUT_OUTLINE, Contour((Line(a, a),))),
        Mark(Role.CUT_OUTLINE, Contour((Line(c, c), Line(c, a)))),
        Mark(Role.GUIDE_HOLE, Circle(c, 0.0)),
    )
    space = document(fitted("doubles", "Doubles", Drawing(marks))).modelspace()
    kinds = Counter((entity.dxftype(), entity.dxf.layer) for entity in space if entity.dxftype() != "TEXT")
    assert kinds == {
        ("LWPOLYLINE", "CUT_THROUGH"): 3,
        ("CIRCLE", "DRILL"): 1,
        ("CIRCLE", "ENGRAVE"): 1,
    }
    assert sorted(len(line) for line in space.query("LWPOLYLINE")) == [2, 2, 3]


def test_a_cubic_never_reaches_a_machine() -> None:
    cubic = Cubic(Point(0.0, 0.0), Point(9.0, 0.0), Vector(1.0, 1.0), Vector(1.0, 1.0))
    with pytest.raises(AssertionError, match="cubics become arcs"):
        write_dxf(fitted("cubic", "Cubic", Drawing((Mark(Role.OUTLINE, Contour((cubic,))),))))


@pytest.mark.parametrize("before", [True, False])
def test_bytes_repeat_and_the_library_is_left_as_it_was(
    head: Sheet, before: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(options, "write_fixed_meta_data_for_testing", before)
    for version in VERSIONS:
        assert write_dxf(head, version) == write_dxf(msgspec.structs.replace(head), version)
    assert options.write_fixed_meta_data_for_testing is before


def test_no_message_is_logged(head: Sheet, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING):
        for version in VERSIONS:
            write_dxf(head, version)
    assert caplog.records == []


def test_words_with_line_ends_or_foreign_letters_do_not_break_the_file(head: Sheet) -> None:
    notes = ("one\n  0\nEOF\ntwo", "漢字 Ж", "\x00\x07", "   ")
    for version in VERSIONS:
        drawing = document(with_aids(head, *notes), version)
        assert len(drawing.modelspace().query("CIRCLE")) == 2 * len(POSTS)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("name", [*EVIL.values(), *FINE.values()], ids=[*EVIL, *FINE])
def test_names_say_what_they_say_to_whoever_reads_the_file(head: Sheet, name: str, version: Version) -> None:
    """No sign of a drawing, control character or line is made of a name: ezdxf reads its letters back in order."""
    sheet = for_machine(msgspec.structs.replace(head, notes=(name,)), edge="neck", aids=True)
    read = document(sheet, version)
    lowest = min(read.modelspace().query("TEXT"), key=lambda each: each.dxf.insert.y)
    lowest.dxf.text = decode_dxf_unicode(lowest.dxf.text)  # as its reader for mending does
    told = lowest.plain_text().replace("\u200d", "")
    assert told == on_one_line(name).replace("\u200d", "")


@pytest.mark.parametrize("version", VERSIONS)
def test_bytes_are_ascii_and_words_come_back(version: Version) -> None:
    words = "Bore 1: ⌀ 10.0 mm · 25/64 in, 13°, Kopfplatte für Ahörn"
    sheet = Sheet(
        "a", "A", Bounds(0, 0, 10, 10), Drawing((Mark(Role.GUIDE_HOLE, Circle(Point(5, 5), 2)),)), (words,)
    )
    data = write_dxf(with_aids(sheet), version)
    assert data.isascii()
    read = ezdxf.read(io.StringIO(data.decode()))  # type: ignore[attr-defined]
    told = {text.dxf.text for text in read.modelspace().query("TEXT")}
    assert any("für Ahörn" in decode_dxf_unicode(each) for each in told)
    layer = read.layers.get("WORDS")
    assert layer.is_frozen()
    assert not read.layers.get("DRILL").is_frozen()


@pytest.mark.parametrize("version", VERSIONS)
def test_what_the_file_is_stands_as_comments_at_its_head(head: Sheet, version: Version) -> None:
    sheet = for_machine(head, edge="plate", aids=False, banner="STOP. Do not drill.", told=("Für Ahörn.",))
    lines = write_dxf(sheet, version).decode("ascii").splitlines()
    comments = [lines[at + 1] for at in range(0, 8, 2) if lines[at] == "999"]
    assert comments[0] == "STOP. Do not drill."
    assert comments[2].startswith("Head outline CLOSED")
    assert decode_dxf_unicode(comments[3]) == "Für Ahörn."


def test_a_straight_side_says_that_it_does_not_bulge(head: Sheet) -> None:
    """Otherwise some readers give it the bulge of the arc before it."""
    lines = [line.strip() for line in write_dxf(head).decode("ascii").splitlines()]
    points = sum(len(each) for each in document(head).modelspace().query("LWPOLYLINE"))
    body = lines[lines.index("ENTITIES") + 1 :]
    assert body[: body.index("ENDSEC")][::2].count("42") == points
