"""Words on the drawing stand where they cover neither names, nor holes, nor signs, nor each other."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.clear import bores_of, clearest, inside
from app.canvas.dimension import paint_dimension, paint_stops
from app.canvas.ghost import paint_legend
from app.canvas.look import LIGHT
from app.canvas.measures import paint_measures
from app.canvas.surface import Surface
from app.canvas.view import View
from app.document.files import load_build
from app.document.scene import Ghost, Side
from app.document.session import Session
from app.tools.painting import Tag, paint_tags
from geometry.checks.judge import Level
from geometry.layout.head_dimensions import MEASURES, head_dimension
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from tests.app.canvas.surroundings import canvas_of
from tests.builds import three_and_three

SAMPLES = Path(__file__).parents[3] / "sample_builds"
FAILING = sorted(each.stem for each in SAMPLES.glob("fails-*.pegwright"))
SMALL = (275, 190)
"""Pixels of the drawing beside a panel on a screen of 640 x 400."""


def test_the_first_place_that_covers_nothing_is_taken() -> None:
    taken = [QRectF(0, 0, 10, 10), QRectF(20, 0, 10, 10)]
    places = [QRectF(5, 5, 10, 10), QRectF(11, 11, 8, 8), QRectF(40, 40, 5, 5)]
    assert clearest(places, taken) == places[1]
    assert clearest(places, []) == places[0]


def test_where_nothing_is_clear_the_least_is_covered() -> None:
    taken = [QRectF(0, 0, 100, 10)]
    # They cover 8 x 6, 8 x 2 and 8 x 3 of it.
    places = [QRectF(0, 4, 8, 20), QRectF(20, 8, 8, 20), QRectF(40, 7, 8, 20)]
    assert clearest(places, taken) == places[1]
    with pytest.raises(ValueError, match="no place"):
        clearest([], taken)


def test_a_box_is_pushed_into_the_room() -> None:
    view = View(Point(0.0, 0.0), 1.0, 200.0, 100.0, ruler=20.0)
    assert inside(QRectF(190, -5, 30, 10), view, 4.0) == QRectF(166, 24, 30, 10)
    assert inside(QRectF(60, 40, 30, 10), view, 4.0) == QRectF(60, 40, 30, 10)


def painter_on(surface: Surface) -> tuple[QImage, QPainter]:
    image = QImage(surface.size(), QImage.Format.Format_RGB32)
    painter = QPainter(image)
    painter.setFont(surface.font())
    return image, painter


@pytest.mark.parametrize("size", [SMALL, (440, 330), (900, 700)], ids=str)
@pytest.mark.parametrize("sample", FAILING)
def test_the_tag_of_a_finding_covers_no_name(qtbot: QtBot, sample: str, size: tuple[int, int]) -> None:
    surface = canvas_of(Session(load_build(SAMPLES / f"{sample}.pegwright")))
    qtbot.addWidget(surface)
    surface.resize(*size)
    looked = [each for each in surface.session.scene.findings if each.level is not Level.FINE and each.where]
    for finding in looked[:6]:
        surface.zoom_to_finding(finding)
        surface.grab()
        marks, view = surface._painter._face, surface.view
        _, painter = painter_on(surface)
        kept = marks.to_be_seen(surface.font(), view)
        box = paint_dimension(painter, finding, view, LIGHT, "mm", kept)
        painter.end()
        assert box is not None
        covered = [each for each in kept if each.adjusted(1, 1, -1, -1).intersects(box)]
        assert covered == [], (finding.check, box)


@pytest.mark.parametrize("size", [(520, 420), (900, 700)], ids=str)
@pytest.mark.parametrize("sample", FAILING)
def test_the_tag_of_a_finding_leaves_what_it_measures_in_sight(
    qtbot: QtBot, sample: str, size: tuple[int, int]
) -> None:
    surface = canvas_of(Session(load_build(SAMPLES / f"{sample}.pegwright")))
    qtbot.addWidget(surface)
    surface.resize(*size)
    looked = [each for each in surface.session.scene.findings if each.level is not Level.FINE and each.where]
    for finding in looked[:6]:
        surface.zoom_to_finding(finding)
        surface.grab()
        view = surface.view
        _, painter = painter_on(surface)
        kept = surface._painter._face.to_be_seen(surface.font(), view)
        box = paint_dimension(painter, finding, view, LIGHT, "mm", kept)
        painter.end()
        assert box is not None
        assert finding.where is not None
        one, two = finding.where
        measured = [view.to_screen(one.toward(two, share / 20)) for share in range(21)]
        assert not any(box.adjusted(-4, -4, 4, 4).contains(place) for place in measured), finding.check


@pytest.mark.parametrize("side", ["face", "back", "both"])
def test_the_signs_of_stops_cover_no_name_of_a_small_drawing(qtbot: QtBot, side: Side) -> None:
    """Where the sign stood in the middle of its line it covered the number of a post, seen from any side."""
    surface = canvas_of(Session(load_build(SAMPLES / "fails-string-rubs-post.pegwright")))
    qtbot.addWidget(surface)
    surface.resize(*SMALL)
    surface.set_side(side)
    surface.fit()
    surface.grab()
    view, marks = surface.view, surface._painter._back if side == "back" else surface._painter._face
    names = marks.names_seen(surface.font(), view)
    _, painter = painter_on(surface)
    findings = surface.session.scene.findings
    plain = paint_stops(painter, findings, view, LIGHT, None)
    signs = paint_stops(painter, findings, view, LIGHT, None, names)
    painter.end()
    assert len(signs) == len(plain) > 0
    assert any(sign.intersects(name) for sign in plain for name in names)
    assert not any(sign.intersects(name) for sign in signs for name in names)


@pytest.mark.parametrize("side", ["face", "back", "both"])
def test_lines_of_measure_run_clear_of_hardware_that_is_in_view(qtbot: QtBot, side: Side) -> None:
    surface = canvas_of(Session(three_and_three()), 900, 700)
    qtbot.addWidget(surface)
    surface.set_side(side)
    surface.show_measures(MEASURES["head"])
    surface.grab()
    view, layout = surface.view, surface.session.scene.layout
    lines = {each.name: each.ends for each in surface._dimensions()}
    buttons = [view.box_to_screen(post.button.bounds) for post in layout.posts]
    reach = max(abs(x) for post in layout.posts for x in (post.button.bounds.left, post.button.bounds.right))
    out = abs(lines["Starter.length"][0].x)
    assert (out > reach) == (side != "face"), "beside the face alone it stands close to the wood"
    if side != "face":
        for name in ("Starter.length", "Starter.shoulder"):
            ends = [view.to_screen(end) for end in lines[name]]
            line = QRectF(*ends).normalized().adjusted(-4, -4, 4, 4)
            assert not any(line.intersects(button) for button in buttons), name
        boxes = surface._painter.boxes
        assert {"Starter.length", "Starter.width_low"} <= {name for _, name in boxes}
        assert not any(box.intersects(button) for box, _ in boxes for button in buttons)


@pytest.mark.parametrize("sample", ["three-plus-three", "six-in-line", "twelve-string"])
def test_the_pitch_of_a_row_is_measured_beyond_its_buttons(qtbot: QtBot, sample: str) -> None:
    surface = canvas_of(Session(load_build(SAMPLES / f"{sample}.pegwright")), 900, 700)
    qtbot.addWidget(surface)
    surface.set_side("both")
    scene = surface.session.scene
    for row in scene.build.rows:
        surface.show_measures(("OnLine.pitch", "OnLine.start"), "", row.key)
        shown = surface._dimensions()
        assert {each.name for each in shown} >= {"OnLine.pitch"}
        for each in shown:
            one, two = each.ends
            line = [one.toward(two, share / 40) for share in range(41)]
            for post in scene.layout.posts:
                assert not any(post.button.bounds.contains(place) for place in line), (each.name, post.label)


@pytest.mark.parametrize("sample", FAILING)
def test_dimensions_cover_neither_signs_nor_each_other(qtbot: QtBot, sample: str) -> None:
    surface = canvas_of(Session(load_build(SAMPLES / f"{sample}.pegwright")))
    qtbot.addWidget(surface)
    surface.resize(520, 420)
    surface.fit()
    scene, view = surface.session.scene, surface.view
    for row in scene.build.rows:
        found = [head_dimension(scene.build, scene.layout, name, row.key) for name in MEASURES["tuners"]]
        _, painter = painter_on(surface)
        signs = paint_stops(painter, scene.findings, view, LIGHT, None)
        boxes = paint_measures(painter, [each for each in found if each], "", view, LIGHT, "mm", signs)
        painter.end()
        assert boxes
        assert not any(box.intersects(sign) for box, _ in boxes for sign in signs), row.key
        assert not any(one.intersects(other) for (one, _), (other, _) in combinations(boxes, 2))


def test_no_line_of_a_dimension_runs_through_the_words_of_another(qtbot: QtBot) -> None:
    # The shoulder is measured upwards just where the width at the shoulder has its words.
    surface = canvas_of(Session(three_and_three()))
    qtbot.addWidget(surface)
    surface.resize(560, 520)
    surface.fit()
    scene, view = surface.session.scene, surface.view
    found = [head_dimension(scene.build, scene.layout, name) for name in MEASURES["head"]]
    shown = [each for each in found if each]
    _, painter = painter_on(surface)
    boxes = {name: box for box, name in paint_measures(painter, shown, "", view, LIGHT, "mm")}
    painter.end()
    assert {"Starter.width_low", "Starter.shoulder"} <= set(boxes)
    for each in shown:
        # Ticks of 5 pixels stand across the ends.
        line = QRectF(*(view.to_screen(end) for end in each.ends)).normalized().adjusted(-4, -4, 4, 4)
        assert not any(box.intersects(line) for name, box in boxes.items() if name != each.name), each.name


def small(qtbot: QtBot) -> tuple[Surface, Ghost]:
    surface = canvas_of(Session(three_and_three()))
    qtbot.addWidget(surface)
    surface.resize(*SMALL)
    surface.fit()
    return surface, Ghost(three_and_three(), lay_out(three_and_three()), "best placement", None)


def test_the_legend_covers_no_hole_of_a_small_drawing(qtbot: QtBot) -> None:
    surface, ghost = small(qtbot)
    bores = bores_of(surface.session.scene.layout, surface.view)
    _, painter = painter_on(surface)
    box = paint_legend(painter, ghost, surface.view, LIGHT, bores)
    painter.end()
    assert not any(box.intersects(each) for each in bores)
    room = QRectF(surface.view.ruler, surface.view.ruler, surface.width(), surface.height())
    assert room.contains(box.topLeft())
    assert box.right() <= surface.width()
    assert box.bottom() <= surface.height()


def test_the_tag_of_a_drag_covers_no_hole_of_a_small_drawing(qtbot: QtBot) -> None:
    surface, _ = small(qtbot)
    layout, view = surface.session.scene.layout, surface.view
    bores = bores_of(layout, view)
    for post in layout.posts:
        _, painter = painter_on(surface)
        (box,) = paint_tags(
            painter, [Tag(post.at, ("x 25.25 mm   y 67 mm", "moved 4.67 mm"))], view, LIGHT, bores
        )
        painter.end()
        assert not any(box.intersects(each) for each in bores), post.label
