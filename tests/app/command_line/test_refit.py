"""`pegwright refit`, `fits` and `widths`, called as the command line calls them."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pypdfium2
import pytest

from app.command_line import widths as widths_command
from app.command_line.widths import read_widths
from app.document.messages import Refusal
from app.writing.widths import widths_table
from export.paper import PAPERS, Paper
from geometry.checks.judge import findings
from geometry.document.codec import read_build, write_build
from geometry.document.edits import free_outline
from geometry.document.outline import Nodes
from geometry.search.placing.gate import harms
from geometry.search.refitting.refit import refit
from geometry.search.refitting.widths import across_widths
from geometry.trade.hardware_library import LIBRARY
from tests.app.command_line.calls import SAMPLES, SOUND, STOPPED, UKULELE, Printed, refused, run
from tests.builds import change, rectangle

FREE = SAMPLES / "twelve-string.pegwright"
MANDOLIN = SAMPLES / "eight-string-mandolin.pegwright"


def read(path: Path) -> bytes:
    return path.read_bytes()


# refit


@pytest.mark.parametrize("widen", ["head", "shoulders", "scale", None])
@pytest.mark.parametrize("path", [SOUND, FREE])
def test_the_file_holds_the_refitted_build(
    capsys: Printed, tmp_path: Path, path: Path, widen: str | None
) -> None:
    out = tmp_path / "wider.pegwright"
    options = [] if widen is None else ["--widen", widen]
    assert run("refit", path, "--nut-width", "2 in", "-o", out, *options) == 0
    assert read_build(read(out)) == refit(read_build(read(path)), 50.8, widen)  # type: ignore[arg-type]
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out.startswith(f"Wrote {out}. It can be drilled")
    assert " to 50.8 mm." in said.out


def told(capsys: Printed, tmp_path: Path, path: Path, width: str, *options: str) -> list[str]:
    run("refit", path, "--nut-width", width, "-o", tmp_path / "out.pegwright", "--force", *options)
    return [line.strip() for line in capsys.readouterr().out.splitlines()[1:]]


def test_what_changed_is_told(capsys: Printed, tmp_path: Path) -> None:
    assert told(capsys, tmp_path, SOUND, "46.5", "--widen", "head") == [
        "Nut: 44.5 mm to 46.5 mm.",
        "Widths of the starter: at the shoulder 72.0 mm to 74.0 mm, at the tip 62.0 mm to 64.0 mm.",
        # 44.5 less two margins of 3.2, over five gaps, and the same of 46.5.
        "Between string centres: 7.62 mm to 8.02 mm.",
        "The tuners moved, most of all tuner 1: 1.0 mm across, 0.0 mm along.",
    ]
    shoulders = told(capsys, tmp_path, SOUND, "46.5", "--widen", "shoulders")
    assert shoulders[1] == "Widths of the starter: as they were."
    assert shoulders[3] == "All tuners stay where they are."
    assert told(capsys, tmp_path, SOUND, "44.5") == ["The nut is 44.5 mm wide already: nothing changes."]
    inches = told(capsys, tmp_path, SOUND, "1 3/4 in", "--units", "inch")
    assert inches[0] == "Nut: 1.752 in to 1 3/4 in."


def test_nodes_and_curves_are_told(capsys: Printed, tmp_path: Path) -> None:
    path = tmp_path / "free.pegwright"
    build = read_build(read(SOUND))
    path.write_bytes(write_build(free_outline(build)))
    lines = told(capsys, tmp_path, path, "46.5")
    # All four at nut and shoulders by nearly half of 2 mm, the corners of the tip by a little.
    assert lines[1].endswith("nodes moved, by 1.0 mm at most.")
    assert lines[2].endswith("of the outline became curves, so that it stays smooth.")
    rigid = change(
        build,
        outline=Nodes(nodes=tuple(change(node, follows_nut=0.0) for node in rectangle(80.0).nodes)),
        rows=(),
        strings=(),
    )
    path.write_bytes(write_build(rigid))
    assert told(capsys, tmp_path, path, "46.5") == ["Nut: 44.5 mm to 46.5 mm."]


def test_a_starter_that_must_give_up_its_measures_says_so(capsys: Printed, tmp_path: Path) -> None:
    path = tmp_path / "odd.pegwright"
    build = read_build(read(SAMPLES / "six-in-line.pegwright"))
    path.write_bytes(write_build(change(build, outline=change(build.outline, lean_deg=0.0))))
    lines = told(capsys, tmp_path, path, "36")
    assert lines[1] == "The measures of the starter cannot say this head: its outline is nodes now."


def test_courses_have_a_closest_and_a_widest_gap(capsys: Printed, tmp_path: Path) -> None:
    lines = told(capsys, tmp_path, FREE, "50")
    assert any(line.startswith("String centres: the closest ") for line in lines)


def test_a_head_at_stop_is_written_and_exits_with_one(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "out.pegwright"
    assert run("refit", STOPPED, "--nut-width", "40", "-o", out) == 1
    assert "Do not drill" in capsys.readouterr().out
    assert any(each.level == "stop" for each in findings(read_build(read(out))))


def test_what_another_nut_makes_worse_is_said_and_how_it_would_not(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "out.pegwright"
    # With each side 9.25 mm further in, the screws of both rows run into the rod pocket.
    assert run("refit", SOUND, "--nut-width", "26", "--widen", "head", "-o", out) == 1
    lines = [line.strip() for line in capsys.readouterr().out.splitlines()]
    worse = harms(read_build(read(SOUND)), read_build(read(out)))
    assert lines[-2].startswith("With this nut the head is worse than before. ")
    assert len(worse) == 2
    assert lines[-2].endswith(" One other finding is worse too.")
    assert lines[-1] == "Nothing is worse without --widen or with --widen shoulders."
    for way in (None, "shoulders"):
        assert harms(read_build(read(SOUND)), refit(read_build(read(SOUND)), 26.0, way)) == ()


def test_refit_refuses(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "out.pegwright"
    assert "is not a length" in refused(capsys, "refit", SOUND, "--nut-width", "wide", "-o", out)
    assert "expected 15 mm to 120 mm" in refused(capsys, "refit", SOUND, "--nut-width", "300", "-o", out)
    assert "ends in .pegwright" in refused(
        capsys, "refit", SOUND, "--nut-width", "40", "-o", tmp_path / "x.pdf"
    )
    assert "cannot be read" in refused(capsys, "refit", tmp_path / "none", "--nut-width", "40", "-o", out)
    assert "invalid choice" in refused(capsys, "refit", SOUND, "--nut-width", "40", "--widen", "x", "-o", out)
    out.write_bytes(b"years of work")
    assert "is there already" in refused(capsys, "refit", SOUND, "--nut-width", "40", "-o", out)
    assert read(out) == b"years of work"


# fits


def test_the_table_names_every_model(capsys: Printed) -> None:
    assert run("fits", SOUND) == 0
    said = capsys.readouterr()
    assert said.err == ""
    lines = said.out.splitlines()
    assert lines[1].startswith("Bores 1, 2, 3, ")
    assert lines[2].split() == ["key", "verdict", "at", "stop", "in", "sight", "bores"]
    assert {line.split()[0] for line in lines[3:-1]} == {each.key for each in LIBRARY}
    assert lines[3].split() == ["enclosed", "drops", "in", "-", "none", "as", "they", "are"]


def test_fits_in_inches(capsys: Printed) -> None:
    assert run("fits", MANDOLIN, "--units", "inch") == 0
    said = capsys.readouterr().out
    assert " in too wide: bush to " in said
    assert " mm" not in said.split("gear:")[1]


def test_a_head_that_nothing_fits_exits_with_one(capsys: Printed, tmp_path: Path) -> None:
    path = tmp_path / "thick.pegwright"
    build = read_build(read(SOUND))
    path.write_bytes(
        write_build(change(build, head=change(build.head, thickness_nut=50.0, thickness_tip=50.0)))
    )
    assert run("fits", path) == 1
    assert "thick" in capsys.readouterr().out


def test_fits_refuses_a_head_without_bores(capsys: Printed, tmp_path: Path) -> None:
    path = tmp_path / "bare.pegwright"
    path.write_bytes(write_build(change(read_build(read(SOUND)), rows=())))
    assert "there are no bores" in refused(capsys, "fits", path)


# widths


def test_a_family_as_pages(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "widths.pdf"
    options = ["--widen", "scale", "--date", "2024-05-06"]
    assert run("widths", UKULELE, "--nut-width", "24:36:4", "-o", out, *options) == 1
    assert capsys.readouterr().out.startswith(
        f"Wrote {out}. Avoid these nut widths, where something is at stop: 24 mm"
    )
    document = pypdfium2.PdfDocument(out)
    texts = [page.get_textpage().get_text_range() for page in document]
    assert len(texts) == 1 + 4
    assert "smallest ring" in texts[0]
    assert "STOP. Do not drill" not in texts[0]
    for number, width in enumerate(("24", "28", "32", "36"), start=1):
        assert f"nut {width} mm" in texts[number]
        assert f"Page {number + 1} of 5" in texts[number]
        assert "2024-05-06" in texts[number]
        assert ("STOP. Do not drill" in texts[number]) == (width == "24")
    again = tmp_path / "again.pdf"
    run("widths", UKULELE, "--nut-width", "24:36:4", "-o", again, *options)
    assert read(again) == read(out)


def test_a_family_as_numbers(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "widths.csv"
    assert run("widths", SOUND, "--nut-width", "1 11/16 in:1 3/4 in:1/16 in", "-o", out) == 0
    assert "Nothing is at stop" in capsys.readouterr().out
    rows = list(csv.DictReader(io.StringIO(read(out).decode(), newline="")))
    members = list(across_widths(read_build(read(SOUND)), (42.8625, 44.45)))
    assert [row["nut width"] for row in rows] == ["42.862", "44.450"]
    for row, member in zip(rows, members, strict=True):
        assert row["level"] == str(member.level)
        assert float(row["smallest ring"]) == pytest.approx(member.smallest, abs=0.0005)
        assert float(row["worst margin"]) == pytest.approx(member.margin, abs=0.0005)
        for post in member.layout.posts:
            assert float(row[f"{post.label} x"]) == pytest.approx(post.at.x, abs=0.0005)
            assert float(row[f"{post.label} y"]) == pytest.approx(post.at.y, abs=0.0005)
            ring = member.allowance.ring(post.key)
            assert float(row[f"{post.label} ring"]) == pytest.approx(ring.radius, abs=0.0005)


def test_a_hole_without_a_place_has_empty_cells() -> None:
    build = read_build(read(SOUND))
    narrow, wide = across_widths(build, (40.0, 44.0))
    lost = change(
        narrow, layout=change(narrow.layout, posts=()), allowance=change(narrow.allowance, rings=())
    )
    first, second = csv.DictReader(io.StringIO(widths_table((lost, wide)).decode(), newline=""))
    assert (first["1 x"], first["1 y"], first["1 ring"]) == ("", "", "")
    assert second["1 y"] != ""


def test_long_work_says_how_far_it_is(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seconds = iter(range(0, 100, 1))
    monkeypatch.setattr(widths_command, "monotonic", lambda: 0.7 * next(seconds))
    out = tmp_path / "widths.csv"
    assert run("widths", SOUND, "--nut-width", "42:45:1", "-o", out) == 0
    said = capsys.readouterr().err.splitlines()
    assert said[0] == "pegwright: 2 of 4 widths"
    assert all(line.endswith(" of 4 widths") for line in said)


def test_work_that_is_broken_off_leaves_nothing(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(widths_command, "across_widths", interrupted)
    out = tmp_path / "widths.csv"
    assert run("widths", SOUND, "--nut-width", "42:45:1", "-o", out) == 130
    assert capsys.readouterr().err == "pegwright: interrupted\n"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("40:48", "expected FROM:TO:STEP"),
        ("40", "expected FROM:TO:STEP"),
        ("40:48:1:2", "expected FROM:TO:STEP"),
        ("a:48:1", "is not a length"),
        ("40:48:x", "is not a length"),
        ("40:48:0", "leads nowhere"),
        ("48:40:1", "the narrower one first"),
        ("40:48:0.01", "expected 200 at most"),
        ("4:48:1", "expected 15 mm to 120 mm"),
    ],
)
def test_ranges_that_are_none(text: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        read_widths(text, "mm")


def test_family_refuses(capsys: Printed, tmp_path: Path) -> None:
    asked = ("--nut-width", "40:48:4")
    pdf = tmp_path / "out.pdf"
    assert "no writer for this suffix" in refused(capsys, "widths", SOUND, *asked, "-o", tmp_path / "x.dxf")
    assert "There is no paper" in refused(capsys, "widths", SOUND, *asked, "-o", pdf, "--paper", "A9")
    assert "has no printer" in refused(capsys, "widths", SOUND, *asked, "-o", pdf, "--printer", "none")
    bare = tmp_path / "bare.pegwright"
    bare.write_bytes(write_build(change(read_build(read(SOUND)), outline=Nodes(nodes=()))))
    assert "nothing to refit" in refused(capsys, "widths", bare, *asked, "-o", pdf)
    assert not pdf.exists()


def test_the_smallest_paper(tmp_path: Path) -> None:
    out = tmp_path / "small.pdf"
    assert run("widths", SOUND, "--nut-width", "44:45:1", "-o", out, "--paper", "A5") == 0
    assert len(pypdfium2.PdfDocument(out)) > 3


def test_paper_that_is_too_small_is_refused(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(PAPERS, "A5", Paper("A5", 60.0, 80.0))
    out = tmp_path / "small.pdf"
    asked = ("--nut-width", "44:45:1", "-o", out, "--paper", "A5")
    assert "does not fit in" in refused(capsys, "widths", SOUND, *asked)
    assert not out.exists()
