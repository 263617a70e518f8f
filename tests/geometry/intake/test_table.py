"""Offset tables as read by calipers."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.intake.drawn import DrawingError
from geometry.intake.outline_fit import fit_outline, strays
from geometry.intake.table import read_stations
from geometry.shape.close import Floats

PLAIN = "0,22,22\n30,30,30\n90,29,29\n150,28,28\n"


def test_readings_are_places_of_the_edge() -> None:
    points = read_stations(PLAIN.encode()).points
    for place in ([22, 0], [30, 30], [28, 150], [-28, 150], [-29, 90], [-22, 0]):
        assert np.hypot(*(points - place).T).min() < 1e-9


@pytest.mark.parametrize(
    "text",
    [
        PLAIN.replace(",", ";").replace("22", "22,0"),
        PLAIN.replace(",", "\t"),
        "# calipers\ny, left, right\n" + PLAIN,
        "y,width\n0,44\n30,60\n\n90,58\n150,56\n",
        "y (in),left,right\n" + "".join(
            ",".join(f"{float(cell) / 25.4:.6f}" for cell in line.split(",")) + "\n" for line in PLAIN.split()
        ),
        '0 mm,22,22\n"30",30,30\n90,2.9e1,29\n'.replace("2.9e1", "29") + "150,28 mm,28\n",
        "\ufeff" + PLAIN.replace("\n", "\r\n"),
        "0,22,22\n" + '1.1811024 in,30,30\n3.543307",29,29\n'.replace('"', " in") + "150,28,28\n",
    ],
)  # fmt: skip
def test_the_same_head_however_it_is_written(text: str) -> None:
    assert read_stations(text.encode()).points == pytest.approx(
        read_stations(PLAIN.encode()).points, abs=1e-4
    )


def test_plain_numbers_may_be_inches() -> None:
    points = read_stations(b"0,1,1\n3,1,1\n6,1,1\n", "inch").points
    assert points[:, 1].max() == pytest.approx(152.4)
    assert points[:, 0].max() == pytest.approx(25.4)


def half_ellipse(step: float) -> tuple[str, Floats]:
    """Readings of an ellipse, 60 mm wide, 140 mm long, its widest at the nut, every so many mm."""
    ys = np.append(np.arange(0.0, 139.0, step), [136.0, 138.5, 139.7, 140.0])
    widths = 60 * np.sqrt(np.clip(1 - (ys / 140) ** 2, 0, 1))
    angles = np.linspace(0, math.pi, 2000)
    rows = sorted(zip(ys.tolist(), widths.tolist(), strict=True))
    return "".join(f"{y:.4f},{w:.4f}\n" for y, w in rows), np.c_[30 * np.cos(angles), 140 * np.sin(angles)]


def test_the_curve_between_readings_is_near_a_smooth_head() -> None:
    text, true = half_ellipse(10.0)
    fit = fit_outline(read_stations(text.encode()).points)
    assert strays(fit.contour, true).max() < 0.35
    assert len(fit.contour.segments) < 20


def test_the_curve_never_swings_out() -> None:
    """Where a side runs straight on after a shoulder it does not bulge over its readings."""
    points = read_stations(b"0,20,20\n10,20,20\n20,30,30\n30,30,30\n80,30,30\n120,30,30\n").points
    assert points[:, 0].max() <= 30.0 + 1e-9
    assert points[:, 0].min() >= -30.0 - 1e-9


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "0 readings; expected at least 3"),
        ("0,1,1\n", "1 reading; expected at least 3"),
        ("0,1\n1,2,3,4\n2,2\n", "Line 2 of the table has 4 cells"),
        ("5,20,20\n10,20,20\n20,20,20\n", "Line 1 of the table: the first reading"),
        ("0,20,20\n30,20,20\n\n20,20,20\n", "Line 4 of the table: y is less"),
        ("0,20,20\n30,wide,20\n40,20,20\n", 'Line 2 of the table: "wide" is not a length'),
        ("0,20,-20\n30,20,20\n40,20,20\n", 'Line 1 of the table: "-20" is not a length: it is negative'),
        ("0,20,20\n30,0,0\n40,20,20\n", "Line 2 of the table: the head has no width"),
        ("0,20\n" * 6000, "more than 5000 lines"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, words: str) -> None:
    with pytest.raises(DrawingError, match=words):
        read_stations(text.encode())
