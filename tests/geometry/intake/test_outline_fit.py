"""Outlines fitted to dense contours: known heads come back with few nodes, corners stay, noise is not followed."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.fresh import SUGGESTIONS
from geometry.document.outline import StarterShape
from geometry.document.starters import STARTERS, starter_contour
from geometry.intake.fit_pieces import SAMPLES, winds
from geometry.intake.outline_fit import Fit, fit_outline, strays
from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Cubic, Line
from tests.amount import sampled

SMOOTH = 1e-6


def dense_of(contour: Contour) -> Floats:
    """Places along a contour within 0.002 mm of it."""
    return np.array([(point.x, point.y) for point in contour.flatten(0.002)])


def starter(shape: StarterShape) -> Contour:
    return starter_contour(STARTERS[shape], SUGGESTIONS[shape].nut_width, -1)


def kinks(contour: Contour, least: float = SMOOTH) -> list[float]:
    """Turns in degrees at the nodes, where there is one."""
    turns = [
        math.atan2(
            one.tangent_at(1.0).cross(two.tangent_at(0.0)), one.tangent_at(1.0).dot(two.tangent_at(0.0))
        )
        for one, two in pairwise(contour.segments)
    ]
    return [math.degrees(turn) for turn in turns if abs(math.sin(turn)) > least or math.cos(turn) < 0]


def rectangle(width: float, length: float) -> Floats:
    """The edge of a board from the right end of the nut line round to the left end."""
    half = width / 2
    return np.array([[half, 0.0], [half, length], [-half, length], [-half, 0.0]])


@pytest.mark.parametrize("shape", ["straight-taper", "narrow", "one-sided"])
def test_a_known_head_comes_back_within_the_tolerance_with_few_nodes(shape: StarterShape) -> None:
    contour = starter(shape)
    fit = fit_outline(dense_of(contour))
    assert fit.largest <= 0.2
    assert strays(contour, np.array([(p.x, p.y) for p in fit.contour.flatten(0.01)])).max() <= 0.2
    assert len(fit.contour.segments) <= len(contour.segments) + 2
    assert kinks(fit.contour) == []
    assert fit.contour.start == contour.start
    assert fit.contour.end == contour.end


def test_symmetric_halves_are_mirror_images_to_the_last_bit() -> None:
    fit = fit_outline(dense_of(starter("straight-taper")), symmetric=True)
    mirrored = fit.contour.mirrored().reversed()
    assert [
        point.distance(other) for point, other in zip(fit.contour.points, mirrored.points, strict=True)
    ] == (pytest.approx([0.0] * len(fit.contour.points), abs=1e-9))
    assert fit.largest <= 0.05
    assert kinks(fit.contour) == []


def test_a_board_is_three_lines_with_square_corners() -> None:
    fit = fit_outline(rectangle(50.0, 120.0))
    assert [type(each) for each in fit.contour.segments] == [Line, Line, Line]
    assert kinks(fit.contour) == pytest.approx([90.0, 90.0], abs=1e-6)
    assert fit.largest == pytest.approx(0.0, abs=1e-9)


def test_a_half_circle_on_a_stem_is_line_arc_line() -> None:
    angles = np.linspace(0.0, math.pi, 400)
    points = np.vstack([[[30.0, 0.0]], np.c_[30 * np.cos(angles), 60 + 30 * np.sin(angles)], [[-30.0, 0.0]]])
    fit = fit_outline(points)
    assert [type(each) for each in fit.contour.segments] == [Line, Arc, Line]
    arc = fit.contour.segments[1]
    assert isinstance(arc, Arc)
    assert arc.radius == pytest.approx(30.0, abs=0.02)
    assert arc.centre.y == pytest.approx(60.0, abs=0.05)


@given(
    radius=st.floats(2.0, 14.0),
    width=st.floats(40.0, 70.0),
    length=st.floats(90.0, 200.0),
    turn=st.floats(-0.15, 0.15),
)
@settings(max_examples=3, deadline=None)
def test_rounded_corners_stay_round(radius: float, width: float, length: float, turn: float) -> None:
    """A board whose corners have a radius, one corner further up than the other: lines and arcs, no kink."""
    half, rise = width / 2, math.tan(turn) * width / 2
    right, left = np.array([half, length + rise]), np.array([-half, length - rise])
    points = np.vstack(
        [[[half, 0.0]], _round(np.array([half, 0.0]), right, left, radius),
         _round(right, left, np.array([-half, 0.0]), radius), [[-half, 0.0]]]
    )  # fmt: skip
    fit = fit_outline(points)
    assert fit.largest <= 0.2
    assert len(fit.contour.segments) <= 7
    assert kinks(fit.contour) == []


def _round(before: Floats, corner: Floats, after: Floats, radius: float) -> Floats:
    """The arc of a radius in a corner that turns to the left, as places."""
    one, two = (each / np.hypot(*each) for each in (before - corner, after - corner))
    half = math.acos(float(one @ two)) / 2
    centre = corner + (one + two) / np.hypot(*(one + two)) * radius / math.sin(half)
    first = math.atan2(*(corner + one * radius / math.tan(half) - centre)[::-1])
    angles = first + np.linspace(0.0, math.pi - 2 * half, 60)
    arc: Floats = centre + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return arc


def wavering(points: Floats, scatter: float) -> Floats:
    """The contour with a normal scatter across it, every 0.25 mm, the same in every run."""
    from geometry.intake.dense import even

    places = even(points, 0.25)
    places[1:-1] += np.random.default_rng(7).normal(0.0, scatter / math.sqrt(2), (len(places) - 2, 2))
    return places


def test_noise_is_not_followed() -> None:
    contour = starter("straight-taper")
    fit = fit_outline(wavering(dense_of(contour), 0.05))
    true = strays(fit.contour, dense_of(contour))
    assert true.max() < 0.2
    assert np.median(true) < 0.05
    assert len(fit.contour.segments) <= 12
    assert 0.01 < fit.scatter < 0.08


def test_corners_are_found_in_noise() -> None:
    fit = fit_outline(wavering(rectangle(50.0, 120.0), 0.04))
    assert [round(turn, -1) for turn in kinks(fit.contour)] == [90.0, 90.0]
    nodes = [node for node in fit.contour.points if node.y > 60]
    corners = [(25.0, 120.0), (-25.0, 120.0)]
    assert all(min(math.dist((node.x, node.y), each) for node in nodes) < 0.25 for each in corners)


def test_a_finer_tolerance_is_kept() -> None:
    angles = np.linspace(0.0, math.pi, 600)
    oval = np.c_[35 * np.cos(angles), 90 * np.sin(angles)]
    for tolerance in (0.5, 0.05):
        fit = fit_outline(oval, tolerance)
        assert fit.largest <= tolerance
        assert all(isinstance(each, Arc | Cubic) for each in fit.contour.segments)


def test_the_worst_place_is_where_it_is() -> None:
    """A bump of 0.15 mm that the tolerance swallows is named."""
    points = rectangle(50.0, 120.0)
    bump = np.array([[25.0, 59.0], [25.15, 60.0], [25.0, 61.0]])
    fit: Fit = fit_outline(np.vstack([points[:1], bump, points[1:]]), 0.4)
    assert fit.largest == pytest.approx(0.15, abs=0.06)
    assert fit.where.y == pytest.approx(60.0, abs=1.0)


@pytest.mark.parametrize("points", [[[0.0, 0.0]], [[1.0, 1.0], [1.0, 1.0]], [[0, 0], [1, math.nan], [2, 2]]])
def test_what_is_no_curve_is_refused(points: list[list[float]]) -> None:
    with pytest.raises(ValueError, match="no length"):
        fit_outline(np.array(points, float))


def test_halves_need_a_centre_line() -> None:
    with pytest.raises(ValueError, match="never crosses the centre line"):
        fit_outline(rectangle(50.0, 120.0) + np.array([100.0, 0.0]), symmetric=True)


@given(
    leave=st.tuples(st.floats(-1.5, 1.5), st.floats(0.05, 1.5)),
    arrive=st.tuples(st.floats(-1.5, 1.5), st.floats(0.05, 1.5)),
    waver=st.floats(0.0, 0.95),
)
@settings(max_examples=sampled(30, of=300), deadline=None)
def test_no_cubic_within_the_tolerance_is_taken_for_one_that_winds(
    leave: tuple[float, float], arrive: tuple[float, float], waver: float
) -> None:
    """Samples of any cubic over a chord along +x, moved beside it by less than the tolerance, may be one."""
    (turn, out), (last, back) = leave, arrive
    t = np.linspace(0.0, 1.0, SAMPLES)
    heights = 30.0 * (
        3 * (1 - t) ** 2 * t * out * math.sin(turn) + 3 * (1 - t) * t**2 * back * math.sin(last)
    )
    # The ends are the run's own, as those of the cubic are.
    beside = waver * 0.2 * np.where(np.arange(SAMPLES) % 2, 1.0, -1.0) * (t > 0) * (t < 1)
    assert not winds((heights + beside)[None], 0.2).any()


def test_what_goes_over_its_chord_twice_winds() -> None:
    t = np.linspace(0.0, 1.0, SAMPLES)
    assert winds(np.sin(3 * math.pi * t)[None], 0.2).all()
    assert winds((1.0 - np.cos(4 * math.pi * t))[None], 0.2).all()
