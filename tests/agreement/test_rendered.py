"""The page as poppler draws it at 600 dpi: centres of bores and ends of rulers where the Layout says."""

from __future__ import annotations

import math
import subprocess
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from tests.agreement.conftest import Exported
from tests.agreement.reading import Points, plumbed
from tests.agreement.samples import sample_named
from tests.agreement.truth import bores, level_lines, nut_length, ruler

DPI = 600
PIXEL = 25.4 / DPI
HALF_A_PIXEL = PIXEL / 2
"""In mm: 0.0212."""


class Picture:
    """The ink on a page by pixel, 0 (paper) to 1 (black), rows from the top."""

    def __init__(self, pdf: bytes, folder: Path) -> None:
        (folder / "page.pdf").write_bytes(pdf)
        command = [
            "pdftoppm",
            "-r",
            str(DPI),
            "-gray",
            "-f",
            "1",
            "-l",
            "1",
            "-singlefile",
            "page.pdf",
            "page",
        ]
        subprocess.run(command, cwd=folder, check=True)
        with Image.open(folder / "page.pgm") as image:
            self.ink: NDArray[np.float64] = 1.0 - np.asarray(image, dtype=float) / 255
        self.high = self.ink.shape[0] * PIXEL

    def centre(self, x: float, y: float, across: float, up: float) -> tuple[float, float]:
        """Centroid in page mm of the ink within `across` and `up` mm of a place."""
        left, right = (round(place / PIXEL) for place in (x - across, x + across))
        top, bottom = (round((self.high - place) / PIXEL) for place in (y + up, y - up))
        part = self.ink[top:bottom, left:right]
        rows, columns = np.indices(part.shape) + 0.5
        assert part.sum() > 3.0, f"no ink at {x:.2f}, {y:.2f}"
        across_at = float((part * columns).sum() / part.sum())
        down_at = float((part * rows).sum() / part.sum())
        return (left + across_at) * PIXEL, self.high - (top + down_at) * PIXEL


def assert_alike(found: Points, wanted: Points) -> None:
    """Places lie to each other as they should, within half a pixel each way."""
    strays = (found - found.mean(axis=0)) - (wanted - wanted.mean(axis=0))
    assert np.abs(strays).max() < HALF_A_PIXEL


@pytest.fixture(scope="module", params=["six-in-line", "twelve-string"])
def page(
    request: pytest.FixtureRequest, exported: Exported, tmp_path_factory: pytest.TempPathFactory
) -> tuple[str, bytes, Picture]:
    """Name of a sample, its face page as PDF and as picture."""
    pdf = exported(sample_named(request.param).path, ".pdf", "--sheets", "face")
    return request.param, pdf, Picture(pdf, tmp_path_factory.mktemp("page"))


def nut_middle(pdf: bytes, name: str) -> tuple[float, float]:
    """Where on the page the nut line's middle is, to know where to look."""
    wide = nut_length(sample_named(name).layout)
    first, *_ = plumbed(pdf)
    (line,) = [
        line for line in level_lines(first, 0.18) if math.isclose(np.ptp(line[:, 0]), wide, abs_tol=0.001)
    ]
    x, y = line.mean(axis=0)
    return float(x), float(y)


def test_centre_dots_lie_to_each_other_as_the_bores(page: tuple[str, bytes, Picture]) -> None:
    name, pdf, picture = page
    x, y = nut_middle(pdf, name)
    wanted = np.array([(hole.x, hole.y) for hole in bores(sample_named(name).layout)])
    # The arms of a crosshair end 0.7 mm from the centre.
    found = np.array([picture.centre(x + at[0], y + at[1], 0.5, 0.5) for at in wanted])
    assert_alike(found, wanted)


def test_the_nut_line_and_the_bores_lie_true_to_each_other(page: tuple[str, bytes, Picture]) -> None:
    name, pdf, picture = page
    x, y = nut_middle(pdf, name)
    # A stretch of the nut line between the slot ticks of the strings, which hang below it.
    slots = sorted(sample_named(name).layout.slots.values())
    gap, at = max((b - a, (a + b) / 2) for a, b in pairwise(slots))
    _, nut = picture.centre(x + at, y, gap / 4, 0.3)
    for hole in bores(sample_named(name).layout):
        _, up = picture.centre(x + hole.x, y + hole.y, 0.5, 0.5)
        assert abs(up - nut - hole.y) < HALF_A_PIXEL


@pytest.mark.parametrize("upright", [False, True])
def test_ruler_ends_are_as_far_apart_as_they_say(page: tuple[str, bytes, Picture], upright: bool) -> None:
    _, pdf, picture = page
    first, *_ = plumbed(pdf)
    length = len(ruler(first, upright=upright).millimetres) - 1
    along, aside = (1, 0) if upright else (0, 1)
    lines = [each.points for each in first if each.looks(0.1) and len(each.points) == 2]
    level = [line for line in lines if np.ptp(line[:, aside]) < 0.001]
    base = max(level, key=lambda line: float(np.ptp(line[:, along])))
    ends = []
    for tick in (0, length):
        # Only the long tick of every 10 mm reaches so far from the base.
        at = {along: base[:, along].min() + tick, aside: base[0, aside] + (-2.6 if upright else 2.6)}
        reach = {along: 0.4, aside: 0.2}
        ends.append(picture.centre(at[0], at[1], reach[0], reach[1])[along])
    assert abs(ends[1] - ends[0] - length) < HALF_A_PIXEL
