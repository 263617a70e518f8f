"""PDF pages of face and back, read by two engines, agree with the Layout to a thousandth of a millimetre."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from export.page import paginate_all
from export.paper import PAPERS, Stamp
from export.pdf import write_pdf
from export.sheets.back import back_sheets
from export.sheets.face import face_sheets
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import SmallHole
from geometry.trade.shop import default_shop
from geometry.trade.wood import find_wood, pilot_share
from tests.agreement.conftest import Exported
from tests.agreement.reading import Drawn, Points, plumbed, rendered
from tests.agreement.samples import SAMPLES, Sample, fresh_builds, sample_named
from tests.agreement.truth import (
    Hole,
    assert_ruler_is_true,
    assert_same_holes,
    assert_same_line,
    bores,
    outline,
    rings,
    ruler,
    to_head,
)
from tests.amount import sampled

Reader = Callable[[bytes], list[list[Drawn]]]

READERS = pytest.mark.parametrize("read", [plumbed, rendered])
BLACK_018 = 0.18
"""Weight in mm of the lines of outline, nut line and bores."""

SMALL_HOLE = 0.13
"""Weight in mm of the lines of screw and pin holes."""


def assert_page_agrees(strokes: list[Drawn], layout: Layout, *, mirror: bool) -> list[Drawn]:
    """Outline and bores of a page lie where the layout has them; gives the page's strokes in head mm."""
    placed = to_head(strokes, layout, BLACK_018)
    strong = [each for each in placed if each.looks(BLACK_018)]
    assert_same_holes(rings(each for each in strong if each.curved), bores(layout, mirror=mirror))
    wanted = outline(layout, mirror=mirror)
    # The tab at the nut runs between the same two ends, but below the nut line.
    (edge,) = [each for each in strong if same_ends(each.points, wanted) and each.points[:, 1].max() > 20.0]
    assert_same_line(edge.points, wanted)
    for upright in (False, True):
        assert_ruler_is_true(ruler(strokes, upright=upright))
    return placed


def same_ends(points: Points, wanted: Points) -> bool:
    """Whether a stroke runs between the ends of another one, either way round."""
    ends, others = points[[0, -1]], wanted[[0, -1]]
    return bool(min(np.abs(ends - others).max(), np.abs(ends - others[::-1]).max()) < 0.01)


@READERS
def test_the_face_of_a_sample(sample: Sample, exported: Exported, read: Reader) -> None:
    page, *_ = read(exported(sample.path, ".pdf", "--sheets", "face", "--paper", "A3"))
    assert_page_agrees(page, sample.layout, mirror=False)


@READERS
@pytest.mark.parametrize("name", [name for name in SAMPLES if sample_named(name).layout.holes])
def test_the_back_of_a_sample_is_the_mirror_image(name: str, exported: Exported, read: Reader) -> None:
    # Of friction pegs nothing is drilled from the back: such heads have no such sheet.
    sample = sample_named(name)
    page, *_ = read(exported(sample.path, ".pdf", "--sheets", "back", "--paper", "A3"))
    placed = assert_page_agrees(page, sample.layout, mirror=True)
    small = [each for each in placed if each.looks(SMALL_HOLE) and each.curved]
    assert_same_holes(rings(small), small_holes(sample.build, sample.layout))


def small_holes(build: Build, layout: Layout) -> list[Hole]:
    """Screw pilots, as wide as the wood wants to the next tenth, halves up, and pins, seen from the back."""
    share = Decimal(str(pilot_share(find_wood(build.head.wood))))

    def drill(hole: SmallHole) -> float:
        if hole.kind == "pin":
            return hole.diameter
        return float((Decimal(str(hole.root)) * share).quantize(Decimal("0.1"), ROUND_HALF_UP))

    return [Hole(-hole.at.x, hole.at.y, drill(hole) / 2) for hole in layout.holes]


@settings(max_examples=sampled(5, of=20), deadline=None)
@given(build=fresh_builds(), mirror=st.booleans(), read=st.sampled_from((plumbed, rendered)))
def test_face_or_back_of_any_build(build: Build, mirror: bool, read: Reader) -> None:
    layout = lay_out(build)
    sheets = (back_sheets if mirror else face_sheets)(build, layout, default_shop())
    pages = paginate_all(sheets[:1], Stamp(build=build.name, paper=PAPERS["A2"]))
    (page,) = read(write_pdf(pages, build.name))
    assert_page_agrees(page, layout, mirror=mirror)


def test_other_programs_find_no_fault(sample: Sample, exported: Exported, tmp_path: Path) -> None:
    path = tmp_path / "all.pdf"
    path.write_bytes(exported(sample.path, ".pdf"))
    checked = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert "No syntax or stream encoding errors found" in checked.stdout
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True)
    assert told.stderr == ""
    facts = dict(line.split(":", 1) for line in told.stdout.splitlines())
    assert facts["Title"].strip() == sample.build.name
    assert facts["Page size"].strip() in {"595.276 x 841.89 pts (A4)", "841.89 x 595.276 pts (A4)"}
    assert facts["PDF version"].strip() == "1.7"
