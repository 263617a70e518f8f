"""Shapes that are asked often: each thread has an index of its own, and all get the same answers."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import numpy as np
import shapely

from geometry.layout.edge import edge_of
from geometry.shape.shapes import OftenAsked
from tests.builds import three_and_three


def test_no_two_threads_ask_the_same_index() -> None:
    """Where they did, the program crashed within some hundred questions."""
    edge, together = edge_of(three_and_three()), Barrier(3)
    assert edge is not None

    def mine() -> list[shapely.Geometry]:
        together.wait()
        return [edge.line, edge.wood, edge.line, edge.wood]

    with ThreadPoolExecutor(3) as threads:
        found = [threads.submit(mine) for _ in range(3)]
        shapes = [each.result() for each in found]
    for line, wood, again, wood_again in shapes:
        assert line is again
        assert wood is wood_again
        assert shapely.is_prepared([line, wood]).all()
        assert shapely.equals_exact(line, shapes[0][0])
        assert shapely.equals_exact(wood, shapes[0][1])
    assert len({id(shape) for each in shapes for shape in each}) == 2 * 3


def test_what_is_kept_is_left_as_it_was() -> None:
    ring = shapely.Point(0.0, 0.0).buffer(1.0)
    with_hole = shapely.union_all([ring.difference(ring.buffer(-0.5)), shapely.box(3.0, 3.0, 4.0, 5.0)])
    asked = OftenAsked(with_hole).here()
    assert not shapely.is_prepared(with_hole)
    assert shapely.to_wkb(asked) == shapely.to_wkb(with_hole)
    assert np.array_equal(shapely.contains_xy(asked, [0.0, 0.75], [0.0, 0.0]), [False, True])
