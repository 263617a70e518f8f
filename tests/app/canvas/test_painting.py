"""What the canvas shows, looked at pixel by pixel, in both looks and from both sides."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QFont, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.dimension import SIGN, measured_words, paint_dimension, paint_stops
from app.canvas.look import DARK, LIGHT, Look
from app.canvas.marks import MarkPainter
from app.canvas.measures import measure_words
from app.canvas.places import bounds_of_items, in_turn, shapes_of, smooth_nodes
from app.canvas.surface import Surface
from app.canvas.view import View
from app.document.scene import Scene, Side, scene_of
from app.document.selection import Item, ItemKind
from app.document.session import Session
from export.drawing import Drawing, Mark, Role
from geometry.checks.judge import Finding, Level
from geometry.checks.trimmed import once_trimmed
from geometry.document.build import Build, Head
from geometry.document.edits import free_outline, set_outline
from geometry.document.outline import Node, Nodes
from geometry.document.outline_nodes import is_smooth, nodes_of
from geometry.layout.head_dimensions import HeadDimension
from geometry.shape.bounds import Bounds
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Line
from tests.app.canvas.surroundings import canvas_of, colours, holds
from tests.builds import (
    READY_MADE,
    eight_on_plates,
    laden_head,
    plain_head,
    post_at,
    rectangle,
    row,
    three_and_three,
)

SIDES: tuple[Side, ...] = ("face", "back", "both")


def seen(qtbot: QtBot, build: Build, look: Look = LIGHT, side: Side = "face") -> tuple[Surface, QImage]:
    surface = canvas_of(Session(build))
    qtbot.addWidget(surface)
    surface.look = look
    surface.grid = False
    surface.set_side(side)
    return surface, colours(surface)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
@pytest.mark.parametrize("ready", READY_MADE, ids=lambda ready: ready.__name__)
def test_bores_and_wood_are_where_the_layout_has_them(
    qtbot: QtBot, ready: Callable[[], Build], look: Look
) -> None:
    for side in SIDES:
        surface, image = seen(qtbot, ready(), look, side)
        scene = surface.session.scene
        for post in scene.layout.posts:
            at = surface.view.to_screen(post.at)
            hole = at + QPointF(post.bore * 0.3, post.bore * 0.3) * surface.view.scale
            assert holds(image, look.stroke(Role.BORE).fill, hole, 2), (side, post.label)
        top = surface.view.to_screen(Point(0.3, scene.layout.top - 4.0))
        assert holds(image, look.wood, top + QPointF(6, 0), 0)
        if side != "back":
            nut = surface.view.to_screen(Point(1.5, -scene.build.nut.thickness + 0.8))
            assert holds(image, look.stroke(Role.NUT).fill, nut, 0)
        assert holds(image, look.desk, QPointF(surface.width() - 5, surface.height() - 5), 0)


def test_the_grid_lies_on_desk_and_wood(qtbot: QtBot) -> None:
    surface, _ = seen(qtbot, three_and_three())
    surface.grid = True
    image = colours(surface)
    step = surface.grid_step
    on_wood = surface.view.to_screen(Point(2 * step, 2.5 * step))
    assert any(_exactly(image, colour, on_wood) for colour in LIGHT.wood_grid)
    on_desk = surface.view.to_screen(Point(surface.view.shown.right // step * step, -6.5))
    assert any(_exactly(image, colour, on_desk) for colour in LIGHT.grid)


def _exactly(image: QImage, colour: str, near: QPointF) -> bool:
    ratio = image.devicePixelRatio()
    x, y = round(near.x() * ratio), round(near.y() * ratio)
    return any(
        image.pixelColor(x + dx, y + dy) == QColor(colour)
        for dx in (-2, -1, 0, 1, 2)
        for dy in (-2, -1, 0, 1, 2)
        if image.rect().contains(x + dx, y + dy)
    )


def test_the_back_shows_through_only_when_both_are_seen(qtbot: QtBot) -> None:
    for side, shown in (("face", False), ("both", True)):
        surface, image = seen(qtbot, three_and_three(), side=side)  # type: ignore[arg-type]
        button = surface.session.scene.layout.posts[0].button.bounds
        edge = surface.view.box_to_screen(button)
        found = holds(image, LIGHT.ghost(Role.BUTTON).colour, QPointF(edge.center().x(), edge.top()), 3)
        assert found == shown


def test_a_half_drawn_head_is_shown(qtbot: QtBot) -> None:
    crossed = Nodes(
        nodes=tuple(
            Node(key=f"n{number}", at=Point(x, y))
            for number, (x, y) in enumerate([(20.0, 0.0), (-20.0, 90.0), (20.0, 90.0), (-20.0, 0.0)])
        )
    )
    for outline in (crossed, Nodes(nodes=()), Nodes(nodes=crossed.nodes[:1])):
        for side in SIDES:
            surface, image = seen(qtbot, replace(three_and_three(), outline=outline), side=side)
            assert surface.view.shown.contains(Point(0.0, 0.0))
            assert not image.isNull()


def test_far_zooms_paint(qtbot: QtBot) -> None:
    surface, _ = seen(qtbot, laden_head(), side="both")
    surface.zoom_by(1e-6)
    assert holds(colours(surface), LIGHT.desk, QPointF(600, 40), 0)
    surface.zoom_by(1e9)
    assert not colours(surface).isNull()


# Marks


def test_unchanged_shapes_keep_their_paths() -> None:
    one, other = scene_of(three_and_three()), scene_of(three_and_three(name="Another"))
    painter = MarkPainter()
    first = painter.outline(one.face)
    assert painter.outline(other.face) is first
    changed = scene_of(plain_head(row()))
    assert painter.outline(changed.face) is not first


def test_a_closed_shape_with_bends_is_filled_and_traced(qapp: object) -> None:
    side = Line(Point(-5.0, 0.0), Point(5.0, 0.0))
    lens = Contour((side, Arc(side.end, side.start, 0.8)), closed=True)
    drawing = Drawing((Mark(Role.BODY, lens),))
    image = painted(lambda painter: MarkPainter().paint(painter, drawing, VIEW, LIGHT), "#ffffff")
    top = lens.segments[1].point_at(0.5)
    assert holds(image, LIGHT.stroke(Role.BODY).colour, VIEW.to_screen(top), 1)
    inside = image.pixelColor(VIEW.to_screen(Point(0.0, top.y / 2)).toPoint())
    assert inside != QColor("#ffffff")
    assert not holds(image, LIGHT.stroke(Role.BODY).colour, VIEW.to_screen(Point(0.0, top.y / 2)), 1)


def test_names_read_from_both_sides(qtbot: QtBot) -> None:
    for side in ("face", "back"):
        surface, image = seen(qtbot, three_and_three(), side=side)
        post = surface.session.scene.layout.posts[0]
        reach = max(post.bore, post.hardware.collar_diameter) / 2 + 1.5
        inner = -1.0 if post.side_sign > 0 else 1.0
        at = surface.view.to_screen(Point(post.at.x + inner * reach * 0.75, post.at.y + reach * 0.75))
        toward = 6.0 if (inner > 0) != (side == "back") else -6.0
        assert holds(image, LIGHT.ink, at + QPointF(toward, -4.0), 4)


# Overlay


@pytest.fixture
def laden_scene() -> Scene:
    return scene_of(laden_head())


@pytest.mark.parametrize(
    ("kind", "key"),
    [
        ("node", "b"),
        ("run", "c"),
        ("post", "t2"),
        ("row", "b"),
        ("string", "s3"),
        ("region", "rod"),
        ("old hole", "old1"),
        ("retainer", "tree"),
    ],
)
def test_whatever_is_selected_is_traced(qtbot: QtBot, kind: ItemKind, key: str) -> None:
    surface, before = seen(qtbot, laden_head())
    item = Item(kind, key)
    surface.session.select((item,))
    assert surface.session.selection == (item,)
    bounds = bounds_of_items(surface.session.scene, (item,))
    assert bounds is not None
    after = colours(surface)
    changed = [
        QPointF(x, y) / after.devicePixelRatio()
        for x in range(0, after.width(), 1)
        for y in range(0, after.height(), 3)
        if after.pixel(x, y) != before.pixel(x, y)
    ]
    assert changed
    room = surface.view.box_to_screen(bounds).adjusted(-80, -80, 80, 80)
    assert all(room.contains(point) for point in changed)


def test_the_box_of_a_row_holds_its_posts(laden_scene: Scene) -> None:
    bounds = bounds_of_items(laden_scene, (Item("row", "b"),))
    assert bounds is not None
    posts = [post for post in laden_scene.layout.posts if post.row == "b"]
    assert all(bounds.contains(post.at) for post in posts)
    assert len(posts) == 3


def test_what_is_not_there_has_no_place(laden_scene: Scene) -> None:
    for kind in ("node", "run", "post", "row", "string", "region", "old hole", "retainer"):
        assert shapes_of(laden_scene, Item(kind, "nobody")) == ()
    assert bounds_of_items(laden_scene, (Item("post", "nobody"),)) is None


def test_a_retainer_without_a_radius_has_a_place(laden_scene: Scene) -> None:
    (shape,) = shapes_of(laden_scene, Item("retainer", "tree"))
    assert isinstance(shape, Circle)
    assert shape.radius > 0


def test_turn_goes_over_all_that_lies_on_the_head(laden_scene: Scene) -> None:
    kinds = [item.kind for item in in_turn(laden_scene)]
    assert kinds == [*["node"] * 6, *["post"] * 6, *["retainer"] * 2, *["region"] * 2, *["old hole"] * 2]
    starter = in_turn(scene_of(three_and_three()))
    assert {item.kind for item in starter} == {"post"}


@pytest.mark.parametrize("ready", READY_MADE, ids=lambda ready: ready.__name__)
def test_smooth_nodes_are_those_without_a_corner(ready: Callable[[], Build]) -> None:
    build = free_outline(ready())
    nodes = nodes_of(build)
    assert smooth_nodes(nodes) == {node.key for node in nodes if is_smooth(build, node.key)}


def test_crowded_nodes_are_thinned_out(qtbot: QtBot) -> None:
    many = tuple(
        Node(key=f"n{number}", at=Point(20.0 - number * 0.01, number * 0.05)) for number in range(1000)
    )
    build = set_outline(three_and_three(), Nodes(nodes=(*many, Node(key="end", at=Point(-20.0, 0.0)))))
    surface, _ = seen(qtbot, build)
    surface.session.select((Item("node", "n500"),))
    at = surface.view.to_screen(many[500].at)
    assert holds(colours(surface), LIGHT.accent, at, 1)


def test_handles_of_a_selected_run_are_shown(qtbot: QtBot) -> None:
    surface, before = seen(qtbot, laden_head())
    surface.session.select((Item("run", "a"),))
    for at in (Point(22.0, 12.0), Point(37.0, 16.0)):
        pixel = surface.view.to_screen(at)
        assert not holds(before, LIGHT.accent, pixel, 1)
        assert holds(colours(surface), LIGHT.accent, pixel, 1)


# Findings


def finding(where: tuple[Point, Point] | None, **fields: object) -> Finding:
    ready: dict[str, object] = {
        "check": "wall",
        "level": Level.STOP,
        "measured": 2.5,
        "watch": 5.0,
        "stop": 3.0,
        "margin": -0.5,
        "unit": "mm",
        "sense": "at least",
        "where": where,
        "about": (),
    }
    return Finding(**{**ready, **fields})  # type: ignore[arg-type]


VIEW = View(Point(0.0, 0.0), 10.0, 300.0, 200.0, ruler=20.0)


def painted(paint: object, colour: str = LIGHT.desk) -> QImage:
    image = QImage(300, 200, QImage.Format.Format_RGB32)
    image.fill(QColor(colour))
    painter = QPainter(image)
    painter.setFont(QFont("DejaVu Sans", 9))
    paint(painter)  # type: ignore[operator]
    painter.end()
    return image


def touched(image: QImage) -> QRectF:
    plain = QColor(LIGHT.desk).rgb()
    places = [
        (x, y) for x in range(image.width()) for y in range(image.height()) if image.pixel(x, y) != plain
    ]
    across, along = [x for x, _ in places], [y for _, y in places]
    return QRectF(min(across), min(along), max(across) - min(across), max(along) - min(along))


@pytest.mark.parametrize(
    "where",
    [
        (Point(-3.0, 0.0), Point(3.0, 0.0)),
        (Point(0.0, -3.0), Point(0.0, 3.0)),
        (Point(13.0, 8.0), Point(14.0, 9.0)),
        (Point(2.0, 2.0), Point(2.0, 2.0)),
        (Point(-40.0, -40.0), Point(-39.0, -40.0)),
    ],
)
def test_the_words_of_a_dimension_stay_in_the_room(qapp: object, where: tuple[Point, Point]) -> None:
    image = painted(lambda painter: paint_dimension(painter, finding(where), VIEW, LIGHT, "mm"))
    assert QRectF(0, 0, 300, 200).contains(touched(image))
    assert holds(image, LIGHT.stop, VIEW.to_screen(where[0]), 12) or not VIEW.shown.contains(where[0])


@pytest.mark.parametrize("level", list(Level))
def test_the_line_has_the_colour_of_its_level_and_a_casing(qapp: object, level: Level) -> None:
    where = (Point(-3.0, 0.0), Point(3.0, 0.0))
    image = painted(
        lambda painter: paint_dimension(painter, finding(where, level=level), VIEW, LIGHT, "mm"), "#000000"
    )
    middle = VIEW.to_screen(Point(0.0, 0.0))
    assert holds(image, LIGHT.level(level), middle, 1)
    assert holds(image, LIGHT.paper, middle - QPointF(0.0, 2.0), 0)


def test_a_finding_without_a_place_is_not_drawn(qapp: object) -> None:
    plain = painted(lambda painter: None)
    assert painted(lambda painter: paint_dimension(painter, finding(None), VIEW, LIGHT, "mm")) == plain


@pytest.mark.parametrize(
    ("fields", "units", "words"),
    [
        ({}, "mm", "2.5 mm"),
        ({"measured": 12.7}, "inch", "0.500 in"),
        ({"measured": -0.25}, "mm", "−0.25 mm"),
        ({"measured": 14.84, "unit": "deg"}, "mm", "14.8°"),
        ({"measured": 53.6, "unit": "%"}, "mm", "54 %"),
        ({"note": once_trimmed(Head(edge_back=1.0), "either")}, "mm", "2.5 mm to the rounding"),
        ({"note": once_trimmed(Head(binding=1.0), "either")}, "mm", "2.5 mm to the binding"),
        ({"measured": None}, "mm", "Stop"),
        ({"measured": 2.0, "unit": "", "level": Level.FINE}, "mm", "Fine"),
    ],
)
def test_measures_in_words(fields: dict[str, object], units: str, words: str) -> None:
    assert measured_words(finding(None, **fields), units) == words  # type: ignore[arg-type]


def test_stops_are_signed_once_for_each_place(qapp: object) -> None:
    here = (Point(-8.0, 0.0), Point(-7.0, 0.0))
    there = (Point(7.0, 0.0), Point(8.0, 0.0))
    shown = finding((Point(0.0, 5.0), Point(1.0, 5.0)))
    found = (
        shown,
        finding(None),
        finding(here),
        finding(there),
        finding(here, measured=1.0),
        finding((Point(0.0, -5.0), Point(1.0, -5.0)), level=Level.WATCH),
    )
    image = painted(lambda painter: paint_stops(painter, found, VIEW, LIGHT, shown))
    for at, signed in ((Point(-7.5, 0.0), True), (Point(7.5, 0.0), True), (Point(0.5, 5.0), False)):
        assert holds(image, LIGHT.stop, VIEW.to_screen(at), 6) == signed
    assert holds(image, LIGHT.desk, VIEW.to_screen(Point(0.5, -5.0)), 0)


def test_a_stop_lies_over_the_ring_of_what_is_selected(qtbot: QtBot) -> None:
    head = plain_head(post_at(34.0, 100.0), outline=rectangle())  # its wall is thinner than any limit
    surface, before = seen(qtbot, head)
    wall = next(each for each in surface.session.scene.findings if each.check == "wall")
    assert wall.level is Level.STOP
    assert wall.where is not None
    middle = surface.view.to_screen(wall.where[0].toward(wall.where[1], 0.5))
    surface.session.select((Item("post", surface.session.scene.layout.posts[0].key),))
    after = colours(surface)
    inner = SIGN / 2 - 2  # inside the octagon, whatever its corners
    steps = (QPointF(x, y) for x in range(-7, 8) for y in range(-7, 8) if math.hypot(x, y) <= inner)
    assert all(
        before.pixelColor((middle + step).toPoint()) == after.pixelColor((middle + step).toPoint())
        for step in steps
    )


def test_the_shown_finding_follows_the_build(qtbot: QtBot) -> None:
    surface, _ = seen(qtbot, free_outline(three_and_three()))
    first = next(each for each in surface.session.scene.findings if each.check == "wall")
    surface.highlight(first)
    wider = replace(surface.session.build, nut=replace(surface.session.build.nut, width=47.0))
    surface.session.preview(wider)
    assert surface._finding is not None
    assert surface._finding in surface.session.scene.findings
    assert surface._finding.about == first.about
    surface.session.preview(replace(wider, rows=()))
    assert surface._finding is None
    surface.highlight(None)
    assert surface.look == LIGHT


def test_rulers_are_in_the_chosen_units(qtbot: QtBot) -> None:
    surface, image = seen(qtbot, eight_on_plates())
    surface.units = "inch"
    assert colours(surface) != image
    assert surface.grid_step * 64 / 25.4 == pytest.approx(round(surface.grid_step * 64 / 25.4))


def test_a_place_without_marks_shows_the_nut(qtbot: QtBot) -> None:
    surface, _ = seen(qtbot, replace(three_and_three(), outline=Nodes(nodes=()), rows=()))
    half = surface.session.build.nut.width / 2
    assert surface.view.shown.contains(Point(half, 0.0))
    assert Bounds(-half, 0.0, half, 0.0).overlaps(surface.view.shown)


def test_a_dimension_of_a_row_says_so_where_its_post_has_moved_away() -> None:
    found = HeadDimension(Point(0.0, 0.0), Point(0.0, 30.0), Vector(1.0, 0.0), name="OnLine.start")
    assert measure_words(found, "mm") == "30 mm"
    assert measure_words(replace(found, by_row=True), "mm") == "30 mm by its row"


def test_inches_of_a_dimension_are_those_of_its_field() -> None:
    # 56.957 mm are 2.2424 in; rounded to a hundredth of a mm before, they would be 2.2425.
    found = HeadDimension(Point(0.0, 0.0), Point(56.957, 0.0), Vector(0.0, 1.0), name="width_high")
    assert measure_words(found, "mm") == "56.96 mm"
    assert measure_words(found, "inch") == "2.242 in"
