import numpy as np
import pytest
import shapely

from geometry.shape.close import point_segment, segment_segment


def test_points_beside_and_beyond_a_segment() -> None:
    distance, nearest = point_segment([[1, 3], [-3, 4], [5, 0]], [[0, 0]] * 3, [[2, 0]] * 3)
    assert distance == pytest.approx([3, 5, 3])
    assert nearest == pytest.approx(np.array([[1, 0], [0, 0], [2, 0]]))


def test_a_segment_without_length_is_a_point() -> None:
    distance, nearest = point_segment([[3, 4]], [[0, 0]], [[0, 0]])
    assert distance == pytest.approx([5])
    assert nearest == pytest.approx(np.array([[0, 0]]))


def test_crossing_parallel_and_distant_segments() -> None:
    starts, ends = [[0, 0], [0, 0], [0, 0]], [[2, 2], [2, 0], [1, 0]]
    others, other_ends = [[0, 2], [1, 1], [4, 4]], [[2, 0], [5, 1], [4, 8]]
    distance, here, there = segment_segment(starts, ends, others, other_ends)
    assert distance == pytest.approx([0, 1, 5])
    assert here[0] == pytest.approx([1, 1])
    assert there[0] == pytest.approx([1, 1])
    assert here[2] == pytest.approx([1, 0])
    assert there[2] == pytest.approx([4, 4])


def test_random_segments_against_shapely() -> None:
    ends = np.random.default_rng(7).uniform(-10, 10, (4, 500, 2))
    distance, here, there = segment_segment(*ends)
    first = shapely.linestrings(np.stack([ends[0], ends[1]], axis=1))
    second = shapely.linestrings(np.stack([ends[2], ends[3]], axis=1))
    assert distance == pytest.approx(shapely.distance(first, second), abs=1e-12)
    assert np.hypot(*(here - there).T) == pytest.approx(distance, abs=1e-12)
    assert shapely.distance(first, shapely.points(here)) == pytest.approx(0, abs=1e-12)
    assert shapely.distance(second, shapely.points(there)) == pytest.approx(0, abs=1e-12)
