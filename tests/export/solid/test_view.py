"""A cube of known sides, as it must be seen."""

from __future__ import annotations

import math

import numpy as np
import pytest
from manifold3d import Manifold

from export.solid.body import BESIDE, Piece, seen, triangles_of


def box(wide: float, deep: float, high: float) -> Piece:
    mesh = Manifold.cube((wide, deep, high)).to_mesh()
    return Piece("box", np.asarray(mesh.vert_properties)[:, :3].astype(float), np.asarray(mesh.tri_verts))


def area(corners: np.ndarray) -> float:
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float(np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]).sum() / 2)


@pytest.mark.parametrize(("about", "tilt", "side"), [
    (0.0, 0.0, 20.0 * 30.0),  # from above
    (0.0, math.pi, 20.0 * 30.0),  # from below
    (0.0, math.pi / 2, 20.0 * 5.0),  # along the bed
    (math.pi / 2, math.pi / 2, 30.0 * 5.0),  # and from its side
])  # fmt: skip
def test_straight_on_one_side_is_seen_in_its_true_size(about: float, tilt: float, side: float) -> None:
    assert area(seen(triangles_of([box(20.0, 30.0, 5.0)]), about, tilt).corners) == pytest.approx(side)


def test_aslant_three_sides_are_seen_each_foreshortened() -> None:
    """The top by the cosine of the tilt, the sides by its sine and how far each is turned."""
    about, tilt = math.radians(30.0), math.radians(40.0)
    top, front, end = 20.0 * 30.0, 20.0 * 5.0, 30.0 * 5.0
    wanted = top * math.cos(tilt) + (front * math.cos(about) + end * math.sin(about)) * math.sin(tilt)
    assert area(seen(triangles_of([box(20.0, 30.0, 5.0)]), about, tilt).corners) == pytest.approx(wanted)


def test_near_sides_are_painted_over_far_ones() -> None:
    """Of a low box before a high one, seen from above, the top of the high one comes last."""
    pieces = [box(10.0, 10.0, 40.0), box(10.0, 10.0, 2.0)]
    found = seen(triangles_of(pieces), 0.0, 0.0).corners
    right, left = found[:2], found[2:]
    assert right[:, :, 0].min() - left[:, :, 0].max() == pytest.approx(BESIDE)


def test_what_is_turned_from_the_light_is_darker() -> None:
    found = seen(triangles_of([box(20.0, 30.0, 5.0)]), 0.5, 0.7)
    assert 0.0 < found.light.min() < found.light.max() <= 1.0
