"""The builds that come along: they load, say what they are meant to say, and can be exported."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pypdfium2
import pytest

from app.command_line.program import main
from geometry.bench.strength import strength
from geometry.bench.strength_words import say_strength
from geometry.checks.judge import Level, findings
from geometry.document.build import Build
from geometry.document.codec import read_build, write_build, write_shop
from geometry.layout.layout import lay_out
from geometry.layout.nut_slots import blank_height, finished_height, nut_slots
from geometry.layout.string_loads import string_loads
from geometry.trade.shop import default_shop

FOLDER = Path(__file__).parents[2] / "sample_builds"
FILES = sorted(FOLDER.glob("*.pegwright"))
NAMES = [path.stem for path in FILES]
FAILING = {
    "fails-thin-wall": "wall",
    "fails-buttons-collide": "button gap",
    "fails-string-rubs-post": "string to post",
}
"""What each build that fails on purpose fails by."""

EACH = pytest.mark.parametrize("path", FILES, ids=NAMES)


def build_in(path: Path) -> Build:
    return read_build(path.read_bytes())


def test_there_are_seven_that_can_be_drilled_and_three_that_fail() -> None:
    assert len(FILES) == 10
    assert {name for name in NAMES if name.startswith("fails")} == set(FAILING)


@EACH
def test_a_sample_written_again_is_the_same_file(path: Path) -> None:
    build = build_in(path)
    assert read_build(write_build(build)) == build
    assert write_build(build) == path.read_bytes()


@EACH
def test_only_what_is_meant_to_fail_fails(path: Path) -> None:
    build = build_in(path)
    assert not lay_out(build).problems
    stopped = {finding.check for finding in findings(build) if finding.level is Level.STOP}
    wanted = FAILING.get(path.stem)
    assert stopped == ({wanted} if wanted else set())


@EACH
def test_every_string_has_a_pitch_a_pull_and_a_slot(path: Path) -> None:
    build = build_in(path)
    layout = lay_out(build)
    loads, slots = string_loads(build), nut_slots(build, layout)
    assert all(load.pitch and load.pull for load in loads)
    # No string of these sets pulls less than 25 N or more than 250 N; common practice, no source.
    assert all(25 < load.pull < 250 for load in loads if load.pull)
    assert all(slot.fall is not None and slot.turn is not None for slot in slots)
    assert blank_height(build.nut, slots) > finished_height(slots)


@EACH
def test_the_readme_has_a_line_for_it(path: Path) -> None:
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert len(re.findall(rf"^- `{path.name}`: .{{20,}}", readme, re.MULTILINE)) == 1


def test_the_readme_names_no_file_that_is_not_there() -> None:
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    assert set(re.findall(r"`(.*?)\.pegwright`", readme)) == set(NAMES)


def test_the_readmes_tell_the_strength_that_the_program_tells() -> None:
    said = {
        path.stem: say_strength(strength(build, layout), build, layout)[0]
        for path in FILES
        for build in [build_in(path)]
        for layout in [lay_out(build)]
    }
    readme = " ".join((FOLDER.parent / "README.md").read_text(encoding="utf-8").split())
    assert said["three-plus-three"].removeprefix("The ").removesuffix(".") in readme
    used = {name: re.findall(r"about (\d+ %)", words)[0] for name, words in said.items()}
    samples = " ".join((FOLDER / "README.md").read_text(encoding="utf-8").split())
    assert f"between {used['six-in-line']} (six" in samples
    assert f"and {used['eight-string-mandolin']} (the mandolin)" in samples
    assert f"at {used['three-plus-three']}, is the one" in samples
    percents = sorted(int(each.removesuffix(" %")) for each in used.values())
    assert [used["six-in-line"], used["eight-string-mandolin"]] == [
        f"{each} %" for each in percents[:: len(FILES) - 1]
    ]


def test_every_sample_has_a_name_and_notes_of_its_own() -> None:
    builds = [build_in(path) for path in FILES]
    assert len({build.name for build in builds}) == len(builds)
    assert all(build.notes for build in builds)


@EACH
def test_a_sample_is_exported_to_every_format(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = tmp_path / "shop.json"
    shop.write_bytes(write_shop(default_shop()))
    allowed = ["--despite-stop"] if path.stem in FAILING else []
    for options, names in (
        (["--packet", "everything"], ["all.pdf", "face.dxf", "face.svg", "holes.csv"]),
        (["--sheets", "guide"], ["guide.dxf", "guide.svg"]),
        (["--sheets", "guide", "--dxf-version", "R12"], ["guide-R12.dxf"]),
        (["--dxf-version", "R12"], ["face-R12.dxf"]),
    ):
        outputs = [str(tmp_path / name) for name in names]
        assert main(["export", str(path), *outputs, "--shop", str(shop), *options, *allowed]) == 0
        told = capsys.readouterr()
        assert told.out == "".join(f"Wrote {output}\n" for output in outputs)
        assert bool(told.err) == (path.stem in FAILING)
    assert_all_is_there(build_in(path), tmp_path)


def assert_all_is_there(build: Build, folder: Path) -> None:
    """Pages with words on them, and a line for every bore in the list."""
    with pypdfium2.PdfDocument(folder / "all.pdf") as document:
        words = [page.get_textpage().get_text_bounded() for page in document]
    assert len(words) >= 5
    assert all(build.name in page for page in words)
    rows = list(csv.DictReader(io.StringIO((folder / "holes.csv").read_text(encoding="utf-8"))))
    bores = [row for row in rows if row["purpose"].startswith("post bore")]
    assert len(bores) == sum(len(row.posts) for row in build.rows)
    assert "reamed" not in "".join(row["purpose"] for row in rows)
