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

from export.drawing import Drawing, Mark, Role
from export.dxf import REFERENCE, Version, write_dxf
from export.sheet import Sheet, fitted
from export.style import STYLES
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line
from geometry.trade.escapes import on_one_line
from tests.evil_names import EVIL, FINE
from tests.export.conftest import POSTS, RADIUS

VERSIONS = get_args(Version)


def document(sheet: Sheet, version: Version = "R2000", notes: tuple[str, ...] = ()) -> Any:
    text = write_dxf(sheet, version, notes).decode("cp1252")
    return ezdxf.filemanagement.read(io.StringIO(text))


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
    bores = [fitted_circle(ring) for ring in found[STYLES[Role.BORE].layer]]
    assert len(bores) == len(POSTS)
    for (centre, radius), post in zip(bores, POSTS, strict=True):
        assert centre.distance(post) < 0.001
        assert radius == pytest.approx(RADIUS, abs=0.001)
    (edge,) = found[STYLES[Role.OUTLINE].layer]
    outline = outline_of(head)
    for x, y in shapely.get_coordinates(edge):
        assert outline.nearest(Point(float(x), float(y))).distance < 0.001
    # GDAL puts a point every 4 degrees, so the top of the arc may lie 30 (1 - cos 2 degrees) = 0.018 mm lower.
    assert edge.bounds == pytest.approx((-30.0, 0.0, 30.0, 110.0), abs=0.0184)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_reference_square_measures_100_mm(head: Sheet, version: Version, tmp_path: Path) -> None:
    (square,) = by_gdal(head, version, tmp_path)[STYLES[Role.REFERENCE].layer]
    left, bottom, right, top = square.bounds
    assert (right - left, top - bottom) == (pytest.approx(100.0), pytest.approx(100.0))
    assert top < head.bounds.bottom


def test_units_are_millimetres_and_extents_are_set(head: Sheet) -> None:
    header = document(head).header
    assert (header["$INSUNITS"], header["$MEASUREMENT"], header["$LUNITS"]) == (4, 1, 2)
    assert header["$ACADVER"] == "AC1015"
    low, high = header["$EXTMIN"], header["$EXTMAX"]
    assert low[0] <= head.bounds.left + 2.0
    assert low[1] <= head.bounds.bottom - REFERENCE
    assert high[1] == pytest.approx(110.0)


def test_r12_keeps_to_what_r12_knows(head: Sheet) -> None:
    kinds = Counter(entity.dxftype() for entity in document(head, "R12").modelspace())
    assert set(kinds) == {"POLYLINE", "CIRCLE", "TEXT"}
    assert document(head, "R12").header["$ACADVER"] == "AC1009"
    assert not any(byte > 126 for byte in write_dxf(head, "R12"))


@pytest.mark.parametrize("version", VERSIONS)
def test_everything_takes_its_look_from_its_layer(head: Sheet, version: Version) -> None:
    drawing = document(head, version)
    for entity in drawing.modelspace():
        assert entity.dxf.layer not in {"0", "Defpoints"}
        assert entity.dxf.color == 256  # BYLAYER
        assert entity.dxf.linetype.upper() == "BYLAYER"
    for look in {STYLES[mark.role] for mark in head.drawing.marks}:
        layer = drawing.layers.get(look.layer)
        assert (abs(layer.dxf.color), layer.is_off()) == (look.aci, not look.plot)
    assert not drawing.audit().errors


def test_words_lie_on_one_layer_that_is_off(head: Sheet) -> None:
    drawing = document(head, notes=("Kerf 0.00 mm",))
    texts = drawing.modelspace().query("TEXT")
    assert {text.dxf.layer for text in texts} == {"NOTES"}
    assert drawing.layers.get("NOTES").is_off()
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
    cut = next(line for line in lines if line.dxf.layer == "CUT_OUTLINE")
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
        ("LWPOLYLINE", "CUT_OUTLINE"): 3,
        ("LWPOLYLINE", "REFERENCE"): 1,
        ("CIRCLE", "GUIDE_HOLES"): 1,
        ("CIRCLE", "ENGRAVE"): 1,
    }
    assert sorted(len(line) for line in space.query("LWPOLYLINE")) == [2, 2, 3, 4]


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
        drawing = document(head, version, notes)
        assert len(drawing.modelspace().query("CIRCLE")) == 2 * len(POSTS)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("name", [*EVIL.values(), *FINE.values()], ids=[*EVIL, *FINE])
def test_names_say_what_they_say_to_whoever_reads_the_file(head: Sheet, name: str, version: Version) -> None:
    """No sign of a drawing, control character or line is made of a name: ezdxf reads its letters back in order."""
    read = document(head, version, (name,))
    lowest = min(read.modelspace().query("TEXT"), key=lambda each: each.dxf.insert.y)
    lowest.dxf.text = decode_dxf_unicode(lowest.dxf.text)  # as its reader for mending does
    told = lowest.plain_text().replace("\u200d", "")
    assert told == on_one_line(name).replace("\u200d", "")


@pytest.mark.parametrize("version", ["R2000", "R12"])
def test_bytes_are_ascii_and_words_come_back(version: Version) -> None:
    words = "Bore 1: ⌀ 10.0 mm · 25/64 in, 13°, Kopfplatte für Ahörn"
    sheet = Sheet(
        "a", "A", Bounds(0, 0, 10, 10), Drawing((Mark(Role.GUIDE_HOLE, Circle(Point(5, 5), 2)),)), (words,)
    )
    data = write_dxf(sheet, version)
    assert data.isascii()
    read = ezdxf.read(io.StringIO(data.decode()))  # type: ignore[attr-defined]
    told = {text.dxf.text for text in read.modelspace().query("TEXT")}
    assert any("für Ahörn" in decode_dxf_unicode(each) for each in told)
    layer = read.layers.get("NOTES")
    assert layer.is_frozen()
    assert not read.layers.get("GUIDE_HOLES").is_frozen()
