"""`pegwright intake`: builds from drawings and tables, by the program's own files and by others'."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from geometry.document.build import Build
from geometry.document.codec import read_build
from geometry.document.outline_nodes import nodes_of, runs_of
from geometry.intake.outline_fit import strays
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour
from tests.app.command_line.calls import SIX, SOUND, UKULELE, Printed, refused, run, said
from tests.app.intake.drawings import circles, dxf, path, svg

TABLE = (
    "# by calipers\ny;left;right\n0;21,5;21,5\n30;32;32\n90;30;30\n150;28;28\n165;24;24\n172;12;12\n174;0;0\n"
)


def taken(capsys: Printed, file: Path, *options: str) -> tuple[Build, list[str]]:
    """The build that intake makes of a file, and the lines it prints."""
    out = file.with_suffix(".pegwright")
    lines = said(capsys, "intake", file, "-o", out, "--force", *options).splitlines()
    return read_build(out.read_bytes()), lines


def outline_of(build: Build) -> Contour:
    return Contour(tuple(segment for _, segment in runs_of(build)))


@pytest.mark.parametrize("sample", [SOUND, UKULELE])
@pytest.mark.parametrize("suffix", [".svg", ".dxf"])
def test_the_programs_own_drawings_come_back(
    capsys: Printed, tmp_path: Path, sample: Path, suffix: str
) -> None:
    file = tmp_path / f"head{suffix}"
    assert run("export", sample, file) == 0
    capsys.readouterr()
    build, lines = taken(capsys, file)
    layout = lay_out(read_build(sample.read_bytes()))
    assert layout.edge is not None
    edge = np.array([(point.x, point.y) for point in layout.edge.contour.flatten(0.01)])
    assert strays(outline_of(build), edge).max() < 0.2
    assert len(nodes_of(build)) < 20
    assert len(build.old_holes) == len(layout.posts)
    for post in layout.posts:
        assert min(post.at.distance(hole.at) for hole in build.old_holes) < 0.001
    assert lines[1].startswith("  The head is ")
    assert "within 0." in lines[2]


def test_a_head_that_leans_needs_no_help_at_its_open_end(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "six.dxf"
    assert run("export", SIX, file, "--dxf-version", "R12") == 0
    capsys.readouterr()
    build, lines = taken(capsys, file, "--starter", "one-sided")
    assert build.nut.width == pytest.approx(read_build(SIX.read_bytes()).nut.width, abs=0.01)
    assert any("millimetres were taken" in line for line in lines)


def test_a_table_becomes_a_build_that_can_be_drilled(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "mine.csv"
    file.write_text(TABLE)
    build, lines = taken(capsys, file, "--symmetric", "--name", "Own head", "--wood", "sugar maple")
    assert (build.name, build.head.wood) == ("Own head", "sugar maple")
    assert build.nut.width == pytest.approx(43.0)
    assert max(node.at.y for node in nodes_of(build)) == pytest.approx(174.0, abs=0.2)
    assert lines[0].startswith("Wrote ")
    assert lines[1].startswith("  The head is 174.0 mm long and 43.0 mm wide at the nut, with ")
    assert lines[-1] == f"Next: pegwright check {file.with_suffix('.pegwright')}"


def test_a_looser_tolerance_needs_fewer_nodes(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "mine.csv"
    file.write_text(TABLE)
    counts = [
        len(nodes_of(taken(capsys, file, "--tolerance", each)[0])) for each in ("0.05", "0.2", "1/32 in")
    ]
    assert counts[0] > counts[2]
    assert counts == sorted(counts, reverse=True)


def test_sentences_are_in_the_units_asked_for(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "mine.csv"
    file.write_text("0,1,1\n3,1.2,1.2\n6,1.1,1.1\n")
    build, lines = taken(capsys, file, "--units", "inch")
    assert build.nut.width == pytest.approx(50.8)
    assert "6.000 in long and 2.000 in wide" in lines[1]


def test_regions_and_the_back_are_taken_when_asked_for(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "head.svg"
    file.write_bytes(svg(path() + circles() + '<rect x="2" y="-30" width="10" height="20" id="pocket"/>'))
    build, lines = taken(capsys, file)
    assert build.keep_clear == ()
    assert any("no round hole: it was left out" in line for line in lines)
    build, _ = taken(capsys, file, "--regions", "--back")
    (region,) = build.keep_clear
    assert region.name == "pocket"
    assert max(point.x for point in region.shape.points) == pytest.approx(-2.0)  # type: ignore[union-attr]


def test_a_known_length_makes_up_for_units(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "head.svg"
    file.write_bytes(svg(path() + circles(), ""))
    words = refused(capsys, "intake", file, "-o", tmp_path / "out.pegwright")
    assert "measured in pixels" in words
    assert "tell its length, or its width at the nut" in words
    build, _ = taken(capsys, file, "--nut", "44")
    assert max(node.at.y for node in nodes_of(build)) == pytest.approx(162.0, abs=0.01)
    build, _ = taken(capsys, file, "--length", "6 1/2 in")
    assert max(node.at.y for node in nodes_of(build)) == pytest.approx(165.1, abs=0.01)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--nut", "3"], "--nut: 3 mm is not usable here; expected 15 mm to 120 mm"),
        (["--length", "50"], "--length: 50 mm is not usable here; expected 60 mm to 450 mm"),
        (["--length", "20 in", "--units", "inch"], "--length: 20 in is not usable here; expected "),
        (
            ["--tolerance", "1 in", "--units", "inch"],
            "is not usable here; expected 0.0004 in to ",
        ),
        (["--length", "wide"], '--length: "wide" is not a length'),
        (["--tolerance", "5"], "--tolerance: 5 mm is not usable here; expected 0.01 mm to 2 mm"),
        (["--nut-end", "top"], "no straight end at the top of the drawing"),
        (["--starter", "none"], 'There is no starter "none"'),
    ],
)
def test_bad_options_are_refused(capsys: Printed, tmp_path: Path, options: list[str], words: str) -> None:
    file = tmp_path / "head.dxf"
    corners = [(22, 0), (30, 30), (0, 160), (-30, 30), (-22, 0)]
    file.write_bytes(dxf(lambda space: space.add_lwpolyline(corners, close=True)))
    assert words in refused(capsys, "intake", file, "-o", tmp_path / "out.pegwright", *options)
    assert not (tmp_path / "out.pegwright").exists()


def test_files_that_are_none_of_these_are_refused(capsys: Printed, tmp_path: Path) -> None:
    file = tmp_path / "head.txt"
    file.write_text("0,1,2")
    assert "no reader for this suffix; expected one of .svg, .dxf, .csv" in refused(
        capsys, "intake", file, "-o", tmp_path / "out.pegwright"
    )
    missing = tmp_path / "none.svg"
    assert "cannot be read" in refused(capsys, "intake", missing, "-o", tmp_path / "out.pegwright")


def flat_picture(path: Path) -> None:
    """A head 100 mm long and 44 mm wide at the nut, ten pixels a mm."""
    picture = np.full((1300, 1000, 3), 240, np.uint8)
    cv2.fillPoly(picture, [np.array([(280, 1149), (720, 1149), (800, 150), (200, 150)])], (40, 60, 90))
    assert cv2.imwrite(str(path), picture)


def test_two_places_tell_the_scale_of_a_flat_picture(capsys: Printed, tmp_path: Path) -> None:
    picture = tmp_path / "flat.png"
    flat_picture(picture)
    build, lines = taken(capsys, picture, "--known", "100,200,900,800,100 mm")
    assert any("taken from two places 100 mm apart. That goes for a flat picture" in line for line in lines)
    assert build.nut.width == pytest.approx(44.0, abs=0.4)
    out = ("-o", tmp_path / "none.pegwright")
    for given, expected in (
        (
            ("--known", "100,200,900,100"),
            '--known: "100,200,900,100" is not understood; expected four pixels',
        ),
        (("--known", "a,200,900,800,100"), "is not understood"),
        (
            ("--known", "100,200,900,800,5"),
            "--known: 5 mm is no distance that serves; expected 10 mm to 1",
        ),
        (("--known", "100,200,110,200,50"), "expected 100 at least"),
        (("--known", "100,200,900,800,100", "--dpi", "254"), "both tell the scale"),
        (("--thickness-at-tip", "9", "--scan"), "is for a photo"),
        (("--camera-height", "450", "--scan"), "is for a photo"),
        (("--camera-height", "near", "--thickness", "15"), "--camera-height: "),
        (("--camera-height", "9000", "--thickness", "15"), "is not above a head"),
    ):
        assert expected in refused(capsys, "intake", picture, *given, *out)
