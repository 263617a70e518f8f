"""`pegwright drilled` on a made-up photo of a head whose holes missed by known amounts."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
import pytest
import shapely

from app.command_line.program import main
from app.document.files import load_build
from geometry.layout.layout import lay_out
from tests.photographed_heads import SAMPLES, edge_of, holes_of, layout_of
from tests.photographs import WALNUT, Scene, outline_of, photograph, smaller

PLAN = SAMPLES / "three-plus-three.pegwright"
MISSES = [(0.6, -0.4), (0.0, 0.0), (-0.7, 0.0), (0.0, 0.9)]


@lru_cache(maxsize=1)
def picture() -> bytes:
    """Four of six holes are drilled; the head lies 0.5 mm beside the centre line."""
    layout = layout_of("three-plus-three")
    holes = [(x + dx + 0.5, y + dy, d) for (x, y, d), (dx, dy) in zip(holes_of(layout), MISSES, strict=False)]
    scene = Scene(
        outline_of(edge_of(layout) + np.array([0.5, 0.0])), holes, wood=WALNUT, wide=3000, high=2250
    )
    taken = photograph(smaller(replace(scene, above=(4.0, 92.0, 400.0)), 0.55))
    return cv2.imencode(".jpg", taken)[1].tobytes()


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "head.jpg"
    path.write_bytes(picture())
    return path


def test_known_misses_come_back_with_their_certainty(photo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["drilled", str(PLAN), str(photo), "--thickness", "15", "--rest", "keep", "--json"]) in (0, 1)
    told = json.loads(capsys.readouterr().out)
    marks = [post.label for post in layout_of("three-plus-three").posts]
    assert [hole["hole"] for hole in told["holes"]] == marks[:4]
    for hole, miss in zip(told["holes"], MISSES, strict=True):
        assert hole["by"] == pytest.approx(miss, abs=0.25)
        assert 0.05 < hole["give"] < 0.4
        assert hole["diameter"] == pytest.approx(10.0, abs=0.2)
    assert [hole["told"] for hole in told["holes"]] == [True, False, True, True]
    assert told["edge_off"] < 0.2


def test_the_build_holds_what_is_drilled(
    photo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "now.pegwright"
    code = main(
        ["drilled", str(PLAN), str(photo), "--thickness", "15", "--measured-ruler", "150", "-o", str(out)]
    )
    assert code in (0, 1)
    words = capsys.readouterr().out
    assert "give or take" in words
    assert "Not drilled, or not measured" in words
    build = load_build(out)
    assert sum(post.drilled for row in build.rows for post in row.posts) == 4
    before, after = layout_of("three-plus-three"), lay_out(build)
    moved = {post.label: post.at - before.post(post.key).at for post in after.posts}
    first = before.posts[0].label
    assert (moved[first].x, moved[first].y) == pytest.approx(MISSES[0], abs=0.25)


def test_refuses_what_cannot_be_laid_on_the_plan(
    photo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = SAMPLES / "tenor-ukulele.pegwright"
    assert main(["drilled", str(other), str(photo), "--thickness", "15"]) == 2
    assert "another head" in capsys.readouterr().err
    for options, words in (
        (["--thickness", "thick"], "--thickness"),
        (["--sides", "round"], '--sides: "round" is not known'),
        (["--sides", "tapered", "much"], "is no angle"),
        (["--sides", "tapered", "nan"], '--sides: "nan" is no angle; expected degrees'),
        (["--sides", "tapered", "1e999"], "is no angle"),
        (["--thickness", "3 in", "--units", "inch"], "--thickness: 3 in is no head; expected "),
        (["--measured-ruler", "60"], "no printed ruler"),
    ):
        assert main(["drilled", str(PLAN), str(photo), *options]) == 2
        assert words in capsys.readouterr().err
    assert main(["drilled", str(PLAN), str(tmp_path / "none.jpg")]) == 2
    assert "cannot be read" in capsys.readouterr().err


def test_a_photo_becomes_a_build(photo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "mine.pegwright"
    assert main(["intake", str(photo), "--thickness", "15", "--measured-ruler", "200", "-o", str(out)]) == 0
    words = capsys.readouterr().out
    assert "nineteen of twenty places of the edge are good for" in words
    build = load_build(out)
    plan = layout_of("three-plus-three")
    edge = lay_out(build).edge
    assert edge is not None
    off = shapely.distance(shapely.points(edge_of(plan)), edge.line)
    assert np.percentile(off, 95) < 0.4
    assert build.nut.width == pytest.approx(44.5, abs=0.5)
    assert len(build.old_holes) == 4
    assert all(hole.diameter == pytest.approx(10.0, abs=0.2) for hole in build.old_holes)


def test_caliper_readings_tell_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Readings of the bores as they were photographed, in closed form: rims to the nut line and to the centre line."""
    layout = layout_of("three-plus-three")
    lines = ["hole,nut,centre,diameter"]
    for post, (dx, dy) in zip(layout.posts, MISSES, strict=False):
        x, y = post.at.x + dx, post.at.y + dy
        lines.append(f"{post.label},{y - 5:.2f},{abs(x) - 5:.2f},10.00")
    table, out = tmp_path / "read.csv", tmp_path / "now.pegwright"
    table.write_text("\n".join(lines), encoding="utf-8")
    assert main(["drilled", str(PLAN), str(table), "--rest", "keep", "--json", "-o", str(out)]) in (0, 1)
    told = json.loads(capsys.readouterr().out)
    for hole, miss in zip(told["holes"], MISSES, strict=True):
        assert hole["by"] == pytest.approx(miss, abs=0.02)
        assert 0.05 < hole["give"] < 0.2
    assert [hole["told"] for hole in told["holes"]] == [True, False, True, True]
    assert "Nothing proves the readings of holes" in " ".join(told["words"])
    assert sum(post.drilled for row in load_build(out).rows for post in row.posts) == 4
    table.write_text("hole,nut\n1,25\n", encoding="utf-8")
    assert main(["drilled", str(PLAN), str(table)]) == 2
    assert "the readings do not tell where hole 1 is across it" in capsys.readouterr().err
