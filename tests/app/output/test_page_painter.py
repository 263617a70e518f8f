"""The page on screen is the page that another library sees in the PDF."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from app.document.scene import Scene, scene_of
from app.output.page_painter import Picture, paint, picture
from app.writing.export import made, pages_of, write_pages
from export.drawing import Drawing, Mark, Role, Sheet
from export.page import Page, Placed
from geometry.shape.contour import through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.trade.shop import Shop
from tests.app.output.printed import Ink, ink_of_pdf, job_of, pages, strays
from tests.builds import bass_two_and_two

PER_MM = 8.0


def grey_of(page: Picture, thinnest: float = 1.0) -> NDArray[np.uint8]:
    """How dark a painted page is: 0 white, 255 black."""
    image = QImage(round(page.width * PER_MM), round(page.height * PER_MM), QImage.Format.Format_Grayscale8)
    image.fill(255)
    painter = QPainter(image)
    paint(page, painter, PER_MM, thinnest)
    painter.end()
    grey = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    dark: NDArray[np.uint8] = 255 - grey[:, : image.width()]
    return dark


def ink_of(page: Picture) -> Ink:
    """Where a painted page is dark."""
    ink: Ink = grey_of(page) > 255 - 140
    return ink


@pytest.mark.parametrize("printer", ["plain", "Back room"])
@pytest.mark.parametrize("sheet", ["face", "calipers"])
def test_a_painted_page_is_the_page_of_the_pdf(
    qtbot: QtBot, sound: Scene, shop: Shop, printer: str, sheet: str
) -> None:
    job = job_of(sound, shop, names=(sheet,), printer=printer)
    sides = pages_of(made(job).sheets, job.stamp)
    theirs = ink_of_pdf(write_pages(sides, job), 0, PER_MM)
    ours = ink_of(picture(sides[0]))
    assert ours.sum() > 10_000
    # Lines under a pixel wide come out darker or fainter, so a few of the one have no partner in the other.
    assert strays(theirs, ours, 2) < 0.002
    assert strays(ours, theirs, 2) < 0.02


def test_a_corrected_page_is_another_picture(qtbot: QtBot, sound: Scene, shop: Shop) -> None:
    plain, other = (pages(sound, shop, names=("face",), printer=name)[0] for name in ("plain", "Back room"))
    assert strays(ink_of(picture(plain)), ink_of(picture(other)), 2) > 0.2


def test_a_part_of_a_divided_sheet_shows_nothing_of_its_neighbours(qtbot: QtBot, shop: Shop) -> None:
    side = pages(scene_of(bass_two_and_two()), shop, names=("guide",), paper="A5")[0]
    divided = next(placed for placed in side.placed if placed.clip is not None)
    clip = divided.clip
    assert clip is not None
    ink = ink_of(picture(Page(side.width, side.height, (divided,))))
    rows, columns = np.nonzero(ink)
    assert ink.any()
    assert columns.min() >= clip.left * PER_MM - 1
    assert columns.max() <= clip.right * PER_MM + 1
    assert rows.min() >= (side.height - clip.top) * PER_MM - 1
    assert rows.max() <= (side.height - clip.bottom) * PER_MM + 1


def test_no_line_fades_away_on_screen(qtbot: QtBot) -> None:
    line = through((Point(10.0, 5.0), Point(30.0, 5.0)))
    bounds = Bounds(0.0, 0.0, 40.0, 10.0)
    sheet = Sheet("line", "A hair of 0.1 mm", bounds, Drawing((Mark(Role.TABLE, line),)))
    page = picture(Page(40.0, 10.0, (Placed(sheet),)))
    across = {thinnest: grey_of(page, thinnest).sum() / 255 / (20.0 * PER_MM) for thinnest in (0.0, 1.0, 3.0)}
    paleness = 1 - 160 / 255  # the colour of tables
    # How much of a column of pixels is inked: the line's width, as wide as it is or as it must be.
    assert across[0.0] == pytest.approx(0.1 * PER_MM * paleness, rel=0.05)
    assert across[1.0] == pytest.approx(1.0 * paleness, rel=0.05)
    assert across[3.0] == pytest.approx(3.0 * paleness, rel=0.05)
