"""The SVG file, read back with svgelements and as XML."""

from __future__ import annotations

import math
from io import BytesIO
from xml.etree import ElementTree as ET

import msgspec
import pytest
import svgelements

from export.drawing import QUARTER, Drawing, Mark, Role, Sheet, Text, fitted
from export.style import STYLES
from export.svg import write_svg
from export.text import width
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line
from tests.export.conftest import POSTS, RADIUS

PIXELS = 96 / 25.4  # svgelements gives lengths in CSS pixels, 96 to the inch


def read(sheet: Sheet) -> list[svgelements.Shape]:
    svg = svgelements.SVG.parse(BytesIO(write_svg(sheet)), reify=True)
    return [element for element in svg.elements() if isinstance(element, svgelements.Shape)]


def place(sheet: Sheet, x: float, y: float) -> Point:
    """From the reader's pixels back to sheet mm."""
    return Point(x / PIXELS + sheet.bounds.left, sheet.bounds.top - y / PIXELS)


def elements(sheet: Sheet) -> ET.Element:
    return ET.fromstring(write_svg(sheet).decode("utf-8"))


def test_bores_come_back_where_they_are(head: Sheet) -> None:
    circles = [shape for shape in read(head) if isinstance(shape, svgelements.Circle)]
    bores = [circle for circle in circles if circle.rx / PIXELS > 1.0]
    assert len(bores) == 2
    for circle, post in zip(bores, POSTS, strict=True):
        assert place(head, circle.cx, circle.cy).distance(post) < 0.001
        assert circle.rx / PIXELS == pytest.approx(RADIUS, abs=0.001)


def test_the_outline_comes_back(head: Sheet) -> None:
    paths = [shape for shape in read(head) if isinstance(shape, svgelements.Path)]
    outline = next(mark.shape for mark in head.drawing.marks if mark.role is Role.OUTLINE)
    assert isinstance(outline, Contour)
    for share in range(101):
        point = paths[0].point(share / 100)
        assert outline.nearest(place(head, point.x, point.y)).distance < 0.001
    assert paths[0].length() / PIXELS == pytest.approx(outline.length, abs=0.01)


@pytest.mark.parametrize("bulge", [-2.0, -1.0, -0.3, 0.3, 1.0, 2.0])
def test_arcs_turn_the_right_way(bulge: float) -> None:
    arc = Arc(Point(0.0, 0.0), Point(10.0, 4.0), bulge)
    sheet = fitted("arc", "Arc", Drawing((Mark(Role.OUTLINE, Contour((arc,))),)))
    (path,) = read(sheet)
    for step in range(1, 20):
        point = path.point(step / 20)
        assert arc.nearest(place(sheet, point.x, point.y)).distance < 0.001
    assert path.length() / PIXELS == pytest.approx(arc.length, abs=0.001)


def test_cubics_and_straight_arcs_come_back() -> None:
    cubic = Cubic(Point(0.0, 0.0), Point(10.0, 4.0), Vector(3.0, 6.0), Vector(-2.0, 5.0))
    segments = (cubic, Arc(Point(10.0, 4.0), Point(12.0, 4.0), 0.0), Line(Point(12.0, 4.0), Point(0.0, 0.0)))
    sheet = fitted("curve", "Curve", Drawing((Mark(Role.OUTLINE, Contour(segments, closed=True)),)))
    (path,) = read(sheet)
    point = path[1].point(0.5)
    assert place(sheet, point.x, point.y).distance(cubic.point_at(0.5)) < 0.001
    assert isinstance(path[-1], svgelements.Close)


def test_the_size_is_given_in_millimetres(head: Sheet) -> None:
    root = elements(head)
    wide, high = (f"{value:.5f}".rstrip("0").rstrip(".") for value in (head.bounds.width, head.bounds.height))
    assert (root.get("width"), root.get("height")) == (f"{wide}mm", f"{high}mm")
    assert root.get("viewBox") == f"0 0 {wide} {high}"


def test_nothing_is_moved_styled_or_referred_to(head: Sheet) -> None:
    for element in elements(head).iter():
        assert not {"transform", "style", "class", "id", "href"} & set(element.keys())
        assert element.tag.split("}")[1] in {"svg", "title", "desc", "path", "circle", "text"}


def test_words_have_their_length_and_place(head: Sheet) -> None:
    level, upright = elements(head).findall("{*}text")
    assert level.text == 'Bore ⌀ 10.00 & 3/8"'
    assert level.get("textLength") == f"{width(level.text, 3.0):.5f}".rstrip("0")
    assert level.get("font-size") == "3"
    across, down = upright.get("x", "").split(), upright.get("y", "").split()
    assert len(across) == len(down) == len("Bass side")
    assert upright.get("rotate") == "-90"
    assert float(down[0]) - float(down[-1]) == pytest.approx(width("Bass sid", 3.0), abs=0.001)


def test_words_turn_round_their_anchor() -> None:
    text = Text(Point(0.0, 0.0), 4.0, "ab", QUARTER, "end", bold=True)
    sheet = fitted("words", "Words", Drawing((Mark(Role.LABEL, text, "the label"),)))
    (element,) = elements(sheet).findall("{*}text")
    first = float(element.get("y", "").split()[0])
    assert sheet.bounds.top - first == pytest.approx(-width("ab", 4.0, bold=True), abs=0.001)
    assert element.get("font-weight") == "bold"
    title = element.find("{*}title")
    assert title is not None
    assert title.text == "the label"


@pytest.mark.parametrize("anchor", ["middle", "end"])
def test_level_words_keep_their_anchor(anchor: str) -> None:
    text = Text(Point(0.0, 0.0), 4.0, "ab", 0.0, "middle" if anchor == "middle" else "end")
    (element,) = elements(fitted("words", "Words", Drawing((Mark(Role.LABEL, text),)))).findall("{*}text")
    assert element.get("text-anchor") == anchor


def test_no_words_can_break_the_file(head: Sheet) -> None:
    words = "<&>\"'\x00\x1b]]>漢"
    mark = Mark(Role.LABEL, Text(head.bounds.centre, 3.0, words), words)
    sheet = fitted("words", words, Drawing((mark,)))
    (element,) = elements(sheet).findall("{*}text")
    title = element.find("{*}title")
    assert title is not None
    assert title.text == title.tail == "<&>\"'\ufffd\ufffd]]>\ufffd"


def test_marks_look_like_their_roles(head: Sheet) -> None:
    paths = elements(head).findall("{*}path")
    string = next(path for path in paths if path.get("stroke") == "#0072b2")
    assert string.get("stroke-width") == f"{STYLES[Role.STRING_PATH].weight:g}"
    assert string.get("stroke-dasharray") is None
    filled = [circle for circle in elements(head).findall("{*}circle") if circle.get("fill") != "none"]
    assert len(filled) == len(POSTS)


def test_dashes_are_written_in_millimetres() -> None:
    line = Mark(Role.CENTRE_LINE, Contour((Line(Point(0.0, 0.0), Point(9.0, 0.0)),)))
    (path,) = elements(fitted("line", "Line", Drawing((line,)))).findall("{*}path")
    assert path.get("stroke-dasharray") == "6 0.8 0.6 0.8"


def test_no_mark_is_dropped_and_bytes_repeat(head: Sheet) -> None:
    drawn = [each for each in elements(head) if not each.tag.endswith(("title", "desc"))]
    assert len(drawn) == len(head.drawing.marks)
    assert write_svg(head) == write_svg(msgspec.structs.replace(head))


def test_zero_is_never_negative() -> None:
    line = Mark(Role.OUTLINE, Contour((Line(Point(0.0, 0.0), Point(9.0, 1e-9)),)))
    sheet = fitted("line", "Line", Drawing((line,)), margin=0.0)
    assert "-0 " not in write_svg(sheet).decode()
    assert math.isclose(float(elements(sheet).get("height", "").removesuffix("mm")), 0.0)
