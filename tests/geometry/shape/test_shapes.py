"""Lines and places as shapes, those without length among them."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from geometry.shape.shapes import lines_of

ASKED = """
import numpy as np, shapely
from geometry.shape.shapes import OftenAsked, lines_of, shortest
edge = OftenAsked(shapely.LineString([(0, 0), (10, 0), (10, 10)])).here()
lines = lines_of(np.array([[[2.0, 3.0], [2.0, 3.0]], [[2.0, 3.0], [4.0, 5.0]]]))
print(shortest(edge, lines)[0].tolist())
"""


def test_a_line_without_length_has_a_distance() -> None:
    """In a process of its own: what is not caught here ends the program."""
    done = subprocess.run([sys.executable, "-c", ASKED], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, "[3.0, 3.0]")


def test_lines_keep_their_ends() -> None:
    ends = np.array([[[0.0, 0.0], [3.0, 4.0]], [[1.0, 1.0], [1.0, 1.0]]])
    line, point = lines_of(ends)
    assert line.length == pytest.approx(5.0)
    assert (point.geom_type, point.x, point.y) == ("Point", 1.0, 1.0)
