"""The sheet of markers, read back from its PDF by a marker finder and against the layout that readers rely on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest

from app.command_line.program import main
from export.paper import PAPERS
from geometry.intake.marker_cells import MARKER_SET
from geometry.intake.marker_pair import MARKER_PAIRS, MARKERS, sheets_of
from geometry.intake.marker_sheet import MARKER_SHEETS, MarkerSheet, place_named
from geometry.shape.tolerance import SAME

DPI = 100.0


def rendered(path: Path, number: int = 0) -> np.ndarray:
    """A page in grey."""
    page = pypdfium2.PdfDocument(path)[number]
    return np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()


def found_in(picture: np.ndarray) -> dict[int, np.ndarray]:
    """The corners of each marker in a picture, by an independent finder of the documented set."""
    finely = cv2.aruco.DetectorParameters()
    finely.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(MARKER_SET), finely)
    corners, numbers, _ = detector.detectMarkers(picture)
    return {int(number): corner for number, corner in zip(numbers.ravel(), corners, strict=True)}


def assert_laid_out(picture: np.ndarray, wanted: MarkerSheet, paper: str) -> None:
    """All markers of a sheet are in the picture of its page, true to size; nothing else is."""
    found = found_in(picture)
    assert sorted(found) == [marker.number for marker in wanted.markers]
    # Page mm less sheet mm is the same for all corners: nothing is scaled, turned or out of place.
    pixel = 25.4 / DPI
    high, wide = picture.shape  # whole pixels
    scale = (PAPERS[paper].width / wide, -PAPERS[paper].height / high)
    places = np.concatenate([found[marker.number][0] for marker in wanted.markers]) * scale
    off = places - np.concatenate([marker.corners for marker in wanted.markers])
    assert np.abs(off - off.mean(axis=0)).max() < pixel / 2


@pytest.mark.parametrize("paper", PAPERS)
def test_every_marker_is_found_where_the_layout_has_it(paper: str, tmp_path: Path) -> None:
    out = tmp_path / "sheet.pdf"
    assert main(["intake-sheet", "-o", str(out), "--paper", paper]) == 0
    assert_laid_out(rendered(out), MARKER_SHEETS[paper], paper)
    numbers = [marker.number for marker in MARKER_SHEETS[paper].markers]
    assert sheets_of(numbers) == [(MARKER_SHEETS[paper], 21)]


@pytest.mark.parametrize("paper", PAPERS)
def test_a_pair_is_two_pages_and_says_how_to_tape_them(
    paper: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, pair = tmp_path / "pair.pdf", MARKER_PAIRS[paper]
    assert main(["intake-sheet", "--pair", "-o", str(out), "--paper", paper]) == 0
    assert "two sheets" in capsys.readouterr().out
    for number, sheet in enumerate((pair.lower, pair.upper)):
        assert_laid_out(rendered(out, number), sheet, paper)
    pages = pypdfium2.PdfDocument(out)
    assert "How to tape the two sheets" in pages[2].get_textpage().get_text_bounded()
    assert sheets_of([marker.number for marker in pair.markers]) == [(pair, 37)]
    # Where both are laid edge to edge, the upper one's cut is where the lower one's marks are.
    assert pair.upper.field.bottom == pytest.approx(pair.lower.field.top, abs=SAME)
    assert pair.field.top > 1.8 * MARKER_SHEETS[paper].field.top


@pytest.mark.parametrize("paper", PAPERS)
def test_the_layout_keeps_markers_apart_and_the_way_of_the_neck_free(paper: str) -> None:
    sheet = MARKER_SHEETS[paper]
    boxes = [marker.bounds.grown(2.0) for marker in sheet.markers]
    assert len(boxes) == 21
    for number, one in enumerate(boxes):
        whole = sheet.frame.grown(2.0 + SAME)
        assert whole.joined(one) == whole
        for other in boxes[number + 1 :]:
            assert not (
                one.left < other.right
                and other.left < one.right
                and one.bottom < other.top
                and other.bottom < one.top
            )
    foot = [marker for marker in sheet.markers if marker.bounds.top < 0]
    inner = max(marker.bounds.right for marker in foot if marker.centre.x < 0)
    assert inner < -15.0
    assert sheet.frame.left == -sheet.frame.right


def test_numbers_of_papers_do_not_meet() -> None:
    numbers = [marker.number for sheet in MARKER_SHEETS.values() for marker in sheet.markers]
    numbers += [marker.number for pair in MARKER_PAIRS.values() for marker in pair.markers]
    assert sorted(numbers) == list(range(MARKERS))
    assert sheets_of([MARKERS]) == []


def test_sheets_printed_before_there_were_pairs_are_read_as_they_were() -> None:
    # OpenCV documents its smaller set of these markers as the beginning of the larger one.
    before, now = (
        cv2.aruco.getPredefinedDictionary(each).bytesList for each in (cv2.aruco.DICT_5X5_250, MARKER_SET)
    )
    assert np.array_equal(now[:250], before)


def test_markers_are_named_by_where_they_lie() -> None:
    sheet = MARKER_SHEETS["A4"]
    inner = sheet.frame.grown(-sheet.side)
    names = [place_named(inner, marker) for marker in sheet.markers]
    assert names[0] == "bottom left"
    assert names[3] == "bottom right"
    assert names[-3] == "top"
    assert names[-1] == "top right"
    assert "left" in names
    assert "" not in names


def test_starting_does_not_load_what_reads_pictures() -> None:
    program = (
        "import sys; import app.command_line.program as p; p._parser(); "
        "print('cv2' in sys.modules, 'PIL' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert told.stdout.split() == ["False", "False"]


def test_refuses_what_is_no_paper_and_no_pdf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["intake-sheet", "-o", str(tmp_path / "a.pdf"), "--paper", "B5"]) == 2
    assert 'There is no paper called "B5"' in capsys.readouterr().err
    assert main(["intake-sheet", "-o", str(tmp_path / "a.svg")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
