"""`pegwright export`: options, refusals, and what they change in the files."""

from __future__ import annotations

import csv
import errno
import io
import os
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import NoReturn
from zipfile import ZipFile

import numpy as np
import pypdfium2
import pytest
from msgspec.structs import replace

from app import VERSION
from export.fingerprint import fingerprint
from export.sheets.holes import hole_rows
from geometry.document.build import Build
from geometry.document.codec import read_build, write_build, write_shop
from geometry.document.edits import mirrored
from geometry.document.outline import Node, Nodes
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.shop import PrinterProfile, Shop, default_shop
from geometry.trade.units import Units
from tests.agreement.reading import Drawn, from_dxf, from_svg, plumbed
from tests.agreement.truth import Hole, assert_ruler_is_true, assert_same_holes, bores, rings, ruler
from tests.app.command_line.calls import SAMPLES, SOUND, STOPPED, UKULELE, Printed, refused, run

LAYOUT = lay_out(read_build(SOUND.read_bytes()))
PRINTERS = (
    PrinterProfile(name="plain"),
    PrinterProfile(name="narrow", factor_x=0.95, factor_y=1.05),
    PrinterProfile(name="ours", factor_x=1.013, factor_y=0.991),
)


@pytest.fixture
def shop_file(tmp_path: Path) -> Callable[[Shop], Path]:
    def write(shop: Shop) -> Path:
        path = tmp_path / "shop.json"
        path.write_bytes(write_shop(shop))
        return path

    return write


@pytest.fixture
def out(tmp_path: Path) -> Path:
    folder = tmp_path / "out"
    folder.mkdir()
    return folder


def export(path: Path, *given: str | Path) -> int:
    return run("export", path, *given)


def words_of(path: Path) -> list[str]:
    with pypdfium2.PdfDocument(path) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


def shape(layer: str, strokes: list[Drawn]) -> list[Drawn]:
    return [each for each in strokes if each.layer == layer]


# What is written


def test_every_file_is_named_as_it_is_written(capsys: Printed, out: Path) -> None:
    files = [out / name for name in ("a.PDF", "a.dxf", "a.Svg", "a.csv")]
    assert export(SOUND, *files) == 0
    said = capsys.readouterr()
    assert said.out == "".join(f"Wrote {path}\n" for path in files)
    assert said.err == ""
    starts = [path.read_bytes()[:5] for path in files]
    assert starts == [b"%PDF-", b"999\nF", b"<?xml", b"name,"]


def test_a_pdf_holds_the_sheets_that_are_asked_for_in_their_order(capsys: Printed, out: Path) -> None:
    assert export(SOUND, out / "two.pdf", "--sheets", "report, face") == 0
    pages = words_of(out / "two.pdf")
    assert "Drilling template, face" in pages[0]
    assert all("Drilling template" not in page for page in pages[1:])
    assert export(SOUND, out / "all.pdf", "--packet", "everything") == 0
    everything = "\n".join(words_of(out / "all.pdf"))
    for title in (
        "Drilling template, face",
        "Back, mirror image of the face",
        "Drill guide, seen from the face",
    ):
        assert title in everything


@pytest.mark.parametrize(
    ("packet", "first", "most"),
    [("bench", "Drilling template, face", 6), ("cradle", "Blocks", 12), ("figures", "Strings: pull", 8)],
)
def test_a_packet_holds_what_it_says(out: Path, packet: str, first: str, most: int) -> None:
    assert export(SOUND, out / "a.pdf", "--packet", packet) == 0
    pages = words_of(out / "a.pdf")
    assert first in pages[0]
    assert len(pages) <= most


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_the_packet_for_the_bench_is_six_pages_at_most(
    out: Path, shop_file: Callable[[Shop], Path], paper: str, units: Units
) -> None:
    shop = shop_file(replace(default_shop(), units=units))
    for hand, build in (
        ("r", read_build(SOUND.read_bytes())),
        ("l", mirrored(read_build(SOUND.read_bytes()))),
    ):
        path = out / f"{hand}.pegwright"
        path.write_bytes(write_build(build))
        assert export(path, out / f"{hand}.pdf", "--paper", paper, "--shop", shop) == 0
        assert len(words_of(out / f"{hand}.pdf")) <= 6


def test_a_friction_peg_gets_no_sheet_that_says_nothing_of_it(out: Path) -> None:
    assert export(UKULELE, out / "a.pdf") == 0
    pages = words_of(out / "a.pdf")
    assert not any("comb" in page for page in pages)
    assert not any("runs free" in " ".join(page.split()) for page in pages)
    assert any("it turns evenly" in " ".join(page.split()) for page in pages)


def test_an_unknown_packet_is_refused(capsys: Printed, out: Path) -> None:
    said = refused(capsys, "export", SOUND, out / "a.pdf", "--packet", "bag")
    assert (
        said
        == '--packet: there is no packet "bag"; expected one of bench, cradle, guides, figures, everything, failed.'
    )


def test_pages_to_read_have_no_rulers_and_all_have_the_fingerprint(out: Path) -> None:
    assert export(SOUND, out / "a.pdf", "--packet", "everything") == 0
    pages = words_of(out / "a.pdf")
    true_size = [page for page in pages if "Scale 1:1" in page]
    assert 0 < len(true_size) < len(pages)
    assert all("Print at 100 %" in page for page in true_size)
    assert not any("Print at 100 %" in page for page in pages if page not in true_size)
    mark = fingerprint(read_build(SOUND.read_bytes()), default_shop(), VERSION)
    assert re.fullmatch("[0-9A-F]{8}", mark)
    assert all(mark in page for page in pages)
    assert export(SOUND, out / "b.pdf", out / "b.dxf", "--kerf", "0.3") == 0
    # Cut with another kerf it is the same head.
    assert all(mark in page for page in words_of(out / "b.pdf"))


def test_files_for_machines_say_that_a_head_fails(out: Path) -> None:
    failing = SAMPLES / "fails-thin-wall.pegwright"
    assert export(failing, out / "a.dxf", out / "a.svg", "--despite-stop") == 0
    for name in ("a.dxf", "a.svg"):
        assert "STOP. Do not drill: fix 2 problems first." in (out / name).read_text(encoding="utf-8")
    assert "<title>FAILS: " in (out / "a.svg").read_text(encoding="utf-8")
    others = [out / name for name in ("a.csv", "steps.csv", "a.3mf", "a.stl")]
    assert export(failing, others[0], *others[2:], "--despite-stop") == 0
    assert export(failing, others[1], "--despite-stop", "--sheets", "schedule") == 0
    for path in others[:2]:
        rows = list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))))
        assert rows
        assert all(re.fullmatch("FAILS [0-9A-F]{8}", row["fingerprint"]) for row in rows)
    with ZipFile(others[2]) as package:
        model = package.read("3D/3dmodel.model").decode()
    assert re.search('name="Title"[^>]*>FAILS: ', model)
    assert others[3].read_bytes()[:80].startswith(b"STL STOP. Do not drill: fix 2 problems first.")
    assert export(SOUND, out / "b.dxf", out / "b.svg") == 0
    mark = fingerprint(read_build(SOUND.read_bytes()), default_shop(), VERSION)
    for name in ("b.dxf", "b.svg"):
        told = (out / name).read_text(encoding="utf-8")
        assert "STOP" not in told
        assert f"Fingerprint {mark}." in told
    assert export(SOUND, out / "b.csv") == 0
    rows = list(csv.DictReader(io.StringIO((out / "b.csv").read_text(encoding="utf-8"))))
    assert {row["fingerprint"] for row in rows} == {mark}


def test_a_guide_to_print_is_written_in_both_formats(capsys: Printed, out: Path) -> None:
    assert export(SOUND, out / "a.3mf", out / "a.stl") == 0
    assert (out / "a.3mf").read_bytes().startswith(b"PK")
    # Binary STL: 80 bytes, the number of triangles, 50 bytes for each.
    stl = (out / "a.stl").read_bytes()
    assert len(stl) == 84 + 50 * int.from_bytes(stl[80:84], "little")
    capsys.readouterr()
    said = refused(capsys, "export", SOUND, out / "b.stl", "--guide-bushing", "50")
    assert "leave less than 2 mm between them" in said


def test_the_hole_list_is_that_of_the_build(out: Path) -> None:
    assert export(SOUND, out / "a.csv") == 0
    rows = list(csv.DictReader(io.StringIO((out / "a.csv").read_text(encoding="utf-8"))))
    holes = hole_rows(read_build(SOUND.read_bytes()), LAYOUT)
    assert [(row["name"], row["x_face_mm"], row["y_face_mm"]) for row in rows] == [
        (hole.name, f"{hole.x:.3f}", f"{hole.y:.3f}") for hole in holes
    ]


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        ("Letter", (612.0, 792.0)),
        ("a3", (841.89, 1190.55)),
        ("Tabloid", (792.0, 1224.0)),
        ("A5", (419.53, 595.28)),
    ],
)
def test_pages_have_the_size_of_the_paper(out: Path, paper: str, size: tuple[float, float]) -> None:
    assert export(SOUND, out / "a.pdf", "--sheets", "face", "--paper", paper) == 0
    with pypdfium2.PdfDocument(out / "a.pdf") as document:
        for page in document:
            assert sorted(page.get_size()) == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize("version", ["R2000", "R12", "plain"])
def test_the_version_of_a_dxf(out: Path, version: str) -> None:
    assert export(SOUND, out / "a.dxf", "--dxf-version", version) == 0
    # DXF reference, header section: $ACADVER.
    assert {"R2000": b"AC1015", "R12": b"AC1009", "plain": b"AC1009"}[version] in (
        out / "a.dxf"
    ).read_bytes()[:2000]


@pytest.mark.parametrize(("edge", "said"), [("neck", "OPEN at the nut line"), ("plate", "CLOSED along")])
def test_a_face_says_how_it_ends_at_the_nut(out: Path, edge: str, said: str) -> None:
    assert export(SOUND, out / "a.dxf", out / "a.svg", "--edge", edge) == 0
    (cut,) = shape("CUT_THROUGH", from_dxf((out / "a.dxf").read_bytes()))
    assert bool(np.abs(cut.points[0] - cut.points[-1]).sum() < 1e-6) == (edge == "plate")
    for name in ("a.dxf", "a.svg"):
        assert f"Head outline {said}" in (out / name).read_text(encoding="utf-8")


def test_today_is_a_date(out: Path) -> None:
    before = datetime.now(tz=UTC).astimezone().date()
    assert export(SOUND, out / "a.pdf", "--sheets", "face", "--date", "today") == 0
    after = datetime.now(tz=UTC).astimezone().date()
    (page, *_) = words_of(out / "a.pdf")
    assert before.isoformat() in page or after.isoformat() in page


# Something at stop


def test_nothing_reaches_a_machine_while_something_is_at_stop(capsys: Printed, out: Path) -> None:
    assert export(STOPPED, out / "a.pdf", out / "a.dxf") == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert f"{out / 'a.dxf'} is not written" in said.err
    assert list(out.iterdir()) == []


@pytest.mark.parametrize("name", ["a.dxf", "a.svg", "a.csv"])
def test_it_does_when_the_maker_insists(capsys: Printed, out: Path, name: str) -> None:
    assert export(STOPPED, out / name) == 1
    assert not (out / name).exists()
    assert export(STOPPED, out / name, "--despite-stop") == 0
    assert (out / name).stat().st_size > 0


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("fails-*.pegwright")), ids=lambda path: path.stem)
def test_every_page_of_a_stopped_build_says_so(capsys: Printed, out: Path, path: Path) -> None:
    assert export(path, out / "a.pdf") in {0, 1}
    assert "every page of the PDF says so" in capsys.readouterr().err
    pages = words_of(out / "a.pdf")
    # What to fix comes first, then the templates, and nothing else.
    assert 2 <= len(pages) <= 4
    assert "What to fix first" in pages[0]
    assert any("Drilling template, face" in page for page in pages)
    assert all("STOP. Do not drill: " in " ".join(page.split()) for page in pages)


def test_no_page_of_a_sound_build_says_so(out: Path) -> None:
    assert export(SOUND, out / "a.pdf") == 0
    assert not any("STOP. Do not drill: " in page for page in words_of(out / "a.pdf"))


# Printer, kerf, guide bushing


@pytest.mark.parametrize(("name", "across", "up"), [("narrow", 0.95, 1.05), ("ours", 1.013, 0.991)])
def test_a_printers_factors_scale_the_rulers_and_the_bores(
    out: Path, shop_file: Callable[[Shop], Path], name: str, across: float, up: float
) -> None:
    shop = shop_file(replace(default_shop(), printers=PRINTERS))
    assert export(SOUND, out / "a.pdf", "--sheets", "face", "--shop", shop, "--printer", name) == 0
    first, *_ = plumbed((out / "a.pdf").read_bytes())
    assert_ruler_is_true(ruler(first, upright=False), across)
    assert_ruler_is_true(ruler(first, upright=True), up)
    strong = [each.points for each in first if each.looks(0.18) and each.curved]
    sizes = sorted((np.ptp(points[:, 0]), np.ptp(points[:, 1])) for points in strong)
    bore = 2 * bores(LAYOUT)[0].radius
    ovals = [size for size in sizes if size == pytest.approx((bore * across, bore * up), abs=0.001)]
    assert len(ovals) == len(LAYOUT.posts)
    assert f"x {across:.4f} y {up:.4f}" in words_of(out / "a.pdf")[0]


@pytest.mark.parametrize("suffix", [".dxf", ".svg", ".csv"])
def test_a_printers_factors_leave_machine_files_alone(
    out: Path, shop_file: Callable[[Shop], Path], suffix: str
) -> None:
    shop = shop_file(replace(default_shop(), printers=PRINTERS))
    assert export(SOUND, out / f"plain{suffix}", "--shop", shop) == 0
    # A printer is for pages, so there is one to print as well.
    files = out / f"ours{suffix}", out / "ours.pdf"
    assert export(SOUND, *files, "--packet", "figures", "--shop", shop, "--printer", "ours") == 0
    assert (out / f"plain{suffix}").read_bytes() == (out / f"ours{suffix}").read_bytes()


def test_the_first_printer_of_the_shop_is_used_unasked(out: Path, shop_file: Callable[[Shop], Path]) -> None:
    shop = shop_file(replace(default_shop(), printers=PRINTERS[::-1]))
    assert export(SOUND, out / "a.pdf", "--sheets", "face", "--shop", shop) == 0
    first, *_ = plumbed((out / "a.pdf").read_bytes())
    assert_ruler_is_true(ruler(first, upright=False), 1.013)


def test_the_shop_in_the_settings_is_used_unasked(out: Path, no_shop_of_our_own: Path) -> None:
    (no_shop_of_our_own / "pegwright").mkdir(parents=True)
    shop = replace(default_shop(), paper="Letter", printers=PRINTERS[1:])
    (no_shop_of_our_own / "pegwright" / "shop.json").write_bytes(write_shop(shop))
    assert export(SOUND, out / "a.pdf", "--sheets", "face") == 0
    first, *_ = plumbed((out / "a.pdf").read_bytes())
    assert_ruler_is_true(ruler(first, upright=True), 1.05)
    with pypdfium2.PdfDocument(out / "a.pdf") as document:
        assert sorted(document[0].get_size()) == pytest.approx((612.0, 792.0), abs=0.01)


def guide(out: Path, name: str, *options: str) -> list[Drawn]:
    assert export(SOUND, out / name, "--sheets", "guide", *options) == 0
    return from_dxf((out / name).read_bytes())


def test_kerf_moves_cut_lines_by_half_and_no_circle(out: Path) -> None:
    true, cut = guide(out, "true.dxf"), guide(out, "cut.dxf", "--kerf", "0.3 mm")
    (plate, *windows), (wider, *narrower) = shape("CUT_THROUGH", true), shape("CUT_THROUGH", cut)
    assert np.ptp(wider.points, axis=0) - np.ptp(plate.points, axis=0) == pytest.approx((0.3, 0.3), abs=1e-6)
    assert len(windows) == len(narrower) > 0
    for before, after in zip(windows, narrower, strict=True):
        centre = before.points.min(axis=0) + np.ptp(before.points, axis=0) / 2
        assert after.points.min(axis=0) + np.ptp(after.points, axis=0) / 2 == pytest.approx(centre, abs=0.001)
        assert (np.ptp(before.points, axis=0) > np.ptp(after.points, axis=0)).all()
    assert rings(shape("DRILL", true)) == rings(shape("DRILL", cut))
    assert len(rings(shape("DRILL", true))) > len(LAYOUT.posts)


@pytest.mark.parametrize("size", ["8", "5/16 in", "0.3125 in"])
def test_guide_holes_have_the_size_of_the_bushing(out: Path, size: str) -> None:
    radius = {"8": 4.0}.get(size, 25.4 * 5 / 32)
    wanted = [Hole(hole.x, hole.y, radius) for hole in bores(LAYOUT)]
    strokes = guide(out, "a.dxf", "--guide-bushing", size)
    assert_same_holes(rings(shape("DRILL", strokes))[: len(wanted)], wanted)


def test_kerf_and_bushing_of_the_shop_are_used_unasked(out: Path, shop_file: Callable[[Shop], Path]) -> None:
    shop = shop_file(replace(default_shop(), kerf=0.3, guide_bushing=8.0))
    guide(out, "shop.dxf", "--shop", str(shop))
    guide(out, "asked.dxf", "--kerf", "0.3", "--guide-bushing", "8")
    assert (out / "shop.dxf").read_bytes() == (out / "asked.dxf").read_bytes()
    other = guide(out, "other.dxf", "--shop", str(shop), "--kerf", "0", "--guide-bushing", "7 mm")
    holes = rings(shape("DRILL", other))[: len(LAYOUT.posts)]
    assert [ring.radius for ring in holes] == pytest.approx([3.5] * len(LAYOUT.posts), abs=1e-6)
    plate, *_ = shape("CUT_THROUGH", other)
    plain, *_ = shape("CUT_THROUGH", guide(out, "plain.dxf"))
    assert plate.points.min(axis=0)[1] == pytest.approx(plain.points.min(axis=0)[1], abs=1e-6)


def test_kerf_changes_nothing_on_the_face(out: Path) -> None:
    assert export(SOUND, out / "a.svg") == 0
    assert export(SOUND, out / "b.svg", "--kerf", "0.5") == 0
    assert (out / "a.svg").read_bytes() == (out / "b.svg").read_bytes()
    assert from_svg((out / "a.svg").read_bytes())


# Refusals


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("a.docx",), "no writer for this suffix; expected one of .pdf, .dxf, .svg, .csv"),
        (("a",), "no writer for this suffix"),
        (("a.pdf", "a.pdf"), "a.pdf: this file is given twice"),
        (("a.pdf", "none/a.dxf"), "none/a.dxf: cannot be written: its folder is not there"),
        (("a.dxf", "--sheets", "face,guide"), "a DXF or SVG holds one sheet"),
        (("a.svg", "--sheets", "report,back"), "a DXF or SVG holds one sheet"),
        (
            ("a.pdf", "--sheets", "front"),
            '--sheets: there is no sheet "front"; expected some of reasons, face, back, comb',
        ),
        (("a.pdf", "--sheets", ""), '--sheets: there is no sheet ""'),
        (("a.pdf", "--date", "yesterday"), '--date: "yesterday" is no date; expected YYYY-MM-DD or today'),
        (("a.pdf", "--date", "2026-02-30"), '--date: "2026-02-30" is no date'),
        (("a.pdf", "--date", "2026-W10-1"), '--date: "2026-W10-1" is no date'),
        (("a.pdf", "--date", "0001-01-01"), '--date: "0001-01-01" is no date'),
        (("a.pdf", "--date", "20260314"), '--date: "20260314" is no date'),
        (("a.pdf", "--paper", "A0"), '--paper: There is no paper called "A0". Known papers: A5, A4'),
        (
            ("a.pdf", "--printer", "laser"),
            '--printer: the shop has no printer "laser"; expected one of "not corrected"',
        ),
        (("a.pdf", "--kerf", "thin"), '--kerf: "thin" is not a length'),
        (("a.pdf", "--kerf=-1"), '--kerf: "-1" is not a length: it is negative'),
        (
            ("a.dxf", "--sheets", "guide", "--kerf", "20"),
            "--kerf: 20 is not usable here; expected a length from 0 to 10 mm",
        ),
        (
            ("a.dxf", "--sheets", "guide", "--guide-bushing", "0"),
            "--guide-bushing: 0 is not usable here; expected a length from 0.1 to 100 mm",
        ),
        (("a.dxf", "--sheets", "guide", "--guide-bushing", "50"), "guide: A guide hole of 50 mm for bore "),
        (("a.pdf", "--guide-bushing", "3/8"), "a fraction needs its unit"),
        (("a.dxf", "--dxf-version", "R14"), "invalid choice: 'R14'"),
    ],
)
def test_what_cannot_be_done_is_refused_before_anything_is_written(
    capsys: Printed, monkeypatch: pytest.MonkeyPatch, out: Path, given: tuple[str, ...], words: str
) -> None:
    monkeypatch.chdir(out)
    assert words in refused(capsys, "export", SOUND, *given)
    assert list(out.iterdir()) == []


SHOPS = [
    (b"", "the file is empty; expected a JSON shop file"),
    (b"{", "expected a JSON shop file"),
    (b"[]", "a list of 0 is not usable here; expected a JSON object"),
    (b"{}", "pegwright_shop: this is not a shop file"),
    (b'{"pegwright_shop": 1, "kerf": 0.1, "kerf": 0.2}', "kerf: this field is given twice"),
    (b'{"pegwright_shop": 2}', "a newer Pegwright wrote this file"),
    (b'{"pegwright_shop": 1, "paper": "A0"}', 'paper: "A0" is not usable here; expected one of'),
    (b'{"pegwright_shop": 1, "kerf": -1}', "kerf: -1 is not usable here; expected a length from 0 to 10 mm"),
    (
        b'{"pegwright_shop": 1, "printers": [{"name": "x", "factor_x": 0.9}]}',
        "expected a number from 0.95 to 1.05",
    ),
    (
        b'{"pegwright_shop": 1, "printers": []}',
        "printers: a list of 0 is not usable here; expected a list of at least 1",
    ),
    (b'{"pegwright_shop": 1, "colour": "red"}', "colour: a shop file has no such field here"),
    (b"\xff\xfe\x00", "byte 0 is not UTF-8 text"),
]


@pytest.mark.parametrize(("data", "words"), SHOPS)
def test_a_bad_shop_file_gives_one_line(
    capsys: Printed, out: Path, no_shop_of_our_own: Path, data: bytes, words: str
) -> None:
    path = no_shop_of_our_own / "pegwright" / "shop.json"
    path.parent.mkdir(parents=True)
    path.write_bytes(data)
    said = refused(capsys, "export", SOUND, out / "a.pdf", "--shop", path)
    assert words in said
    assert refused(capsys, "export", SOUND, out / "a.pdf") == said
    assert list(out.iterdir()) == []


def test_a_shop_that_is_not_there_is_refused(capsys: Printed, out: Path) -> None:
    assert "cannot be read: no such file" in refused(
        capsys, "export", SOUND, out / "a.pdf", "--shop", out / "none.json"
    )


def test_the_same_file_by_another_name_is_refused(capsys: Printed, out: Path) -> None:
    (out / "b.dxf").symlink_to(out / "a.dxf")
    others = [out / ".." / "out" / "a.dxf", Path(os.path.relpath(out / "a.dxf")), out / "b.dxf"]
    for other in others:
        assert "is given twice" in refused(capsys, "export", SOUND, out / "a.dxf", other, "--force")


def test_the_build_itself_is_never_written_over(capsys: Printed, out: Path) -> None:
    build = out / "head.svg"
    build.write_bytes(SOUND.read_bytes())
    assert "is given twice" in refused(capsys, "export", build, build, "--force")
    assert build.read_bytes() == SOUND.read_bytes()


def test_a_file_that_is_there_is_kept_unless_told(capsys: Printed, out: Path) -> None:
    (out / "a.svg").write_bytes(b"mine")
    assert "a.svg is there already; give --force" in refused(
        capsys, "export", SOUND, out / "new.pdf", out / "a.svg"
    )
    assert (out / "a.svg").read_bytes() == b"mine"
    assert not (out / "new.pdf").exists()
    assert export(SOUND, out / "a.svg", "--force") == 0
    assert (out / "a.svg").read_bytes().startswith(b"<?xml")


def test_a_folder_as_target_is_refused(capsys: Printed, out: Path) -> None:
    (out / "a.pdf").mkdir()
    for more in ("--force", "--paper=A4"):
        assert "a.pdf is a folder" in refused(capsys, "export", SOUND, out / "a.pdf", more)


def test_a_target_on_a_disk_that_cannot_be_written_is_refused(
    capsys: Printed, monkeypatch: pytest.MonkeyPatch, out: Path
) -> None:
    def fail(**_: object) -> NoReturn:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr("tempfile.mkstemp", fail)
    said = refused(capsys, "export", SOUND, out / "a.pdf")
    assert said == f"{out / 'a.pdf'}: cannot be written: read-only file system"


def test_a_guide_that_cannot_be_made_leaves_the_other_sheets(capsys: Printed, out: Path) -> None:
    assert export(SOUND, out / "a.pdf", "--guide-bushing", "50", "--packet", "everything") == 0
    said = capsys.readouterr()
    # The plate for a laser, and the sheet of the printed one.
    assert said.err.count("\n") == 2
    assert "guide" in said.err
    assert "Drilling template, face" in words_of(out / "a.pdf")[0]


def test_an_outline_without_a_line_is_nothing_to_draw(capsys: Printed, out: Path) -> None:
    build = replace(read_build(SOUND.read_bytes()), outline=Nodes(nodes=()))
    (out / "empty.pegwright").write_bytes(write_build(build))
    said = refused(capsys, "export", out / "empty.pegwright", out / "a.pdf")
    assert "nothing to draw" in said


CROSSED = ((25.0, 0.0), (-30.0, 150.0), (30.0, 150.0), (-25.0, 0.0))


def half_drawn() -> list[Build]:
    """A head whose outline crosses itself, one without tuners and strings, one that is a single line."""
    build = read_build(SOUND.read_bytes())
    nodes = tuple(Node(key=f"n{number}", at=Point(x, y)) for number, (x, y) in enumerate(CROSSED))
    bare = replace(build, strings=(), rows=(), hardware=(), retainers=())
    return [replace(build, outline=Nodes(nodes=nodes)), bare, replace(build, outline=Nodes(nodes=nodes[:2]))]


@pytest.mark.parametrize("build", half_drawn(), ids=["crossed", "bare", "a line"])
def test_half_drawn_heads_are_drawn_as_far_as_they_go(capsys: Printed, out: Path, build: Build) -> None:
    path = out / "half.pegwright"
    path.write_bytes(write_build(build))
    assert run("check", path) == 1
    files = [out / name for name in ("a.pdf", "a.dxf", "a.svg", "a.csv")]
    assert export(path, *files, "--despite-stop", "--packet", "everything") == 0
    said = capsys.readouterr()
    assert all(line.startswith("pegwright: ") for line in said.err.splitlines())
    assert "guide" in said.err
    assert all(file.stat().st_size > 0 for file in files)
    assert all("STOP. Do not drill: " in " ".join(page.split()) for page in words_of(out / "a.pdf"))


@pytest.mark.parametrize("name", ["report", "calipers"])
def test_a_dxf_of_words_is_refused(capsys: Printed, tmp_path: Path, name: str) -> None:
    sample = SAMPLES / "three-plus-three.pegwright"
    said = refused(capsys, "export", sample, tmp_path / "words.dxf", "--sheets", name)
    assert f"{name}: a DXF shows no words" in said
    assert not (tmp_path / "words.dxf").exists()


def test_a_hole_list_holds_no_sheet(capsys: Printed, tmp_path: Path) -> None:
    sample = SAMPLES / "three-plus-three.pegwright"
    assert "--sheets" in refused(capsys, "export", sample, tmp_path / "holes.csv", "--sheets", "guide")


def test_sheets_and_packets_are_listed(capsys: Printed) -> None:
    assert run("sheets") == 0
    said = capsys.readouterr().out
    lines = [line.split()[0] for line in said.splitlines()]
    assert lines.index("face") < lines.index("steps") < lines.index("report")
    assert lines[lines.index("Packets,") + 1 :] == [
        "bench",
        "cradle",
        "guides",
        "figures",
        "everything",
        "failed",
    ]


@pytest.mark.parametrize(
    ("name", "option", "words"),
    [
        ("holes.csv", ("--paper", "A5"), "--paper: only PDF files have it, and none is to be written."),
        ("holes.csv", ("--printer", "plain"), "--printer: only PDF files have it"),
        ("holes.csv", ("--kerf", "0.2"), "--kerf: only PDF, DXF and SVG files have it"),
        (
            "holes.csv",
            ("--guide-bushing", "12"),
            "--guide-bushing: only PDF, DXF, SVG, 3MF and STL files have it",
        ),
        ("face.dxf", ("--packet", "bench"), "--packet: only PDF files have it"),
        ("face.svg", ("--dxf-version", "R12"), "--dxf-version: only DXF files have it"),
        ("guide.stl", ("--edge", "plate"), "--edge: only DXF and SVG files have it"),
        ("a.pdf", ("--aids",), "--aids: only DXF and SVG files have it"),
    ],
)
def test_an_option_that_no_file_shows_is_refused(
    capsys: Printed, out: Path, name: str, option: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, "export", SOUND, out / name, *option)
    assert not (out / name).exists()


def test_an_option_counts_where_one_of_the_files_shows_it(out: Path) -> None:
    assert export(SOUND, out / "a.pdf", out / "holes.csv", "--sheets", "face", "--paper", "A5") == 0
    assert (out / "holes.csv").exists()
