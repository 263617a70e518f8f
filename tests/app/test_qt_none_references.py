"""Some releases of PySide6 give away a reference to None with each call that returns nothing.

Before Python 3.12, where None became immortal, the interpreter ends itself when the last one is gone.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter, QPainterPath

CALLS = 20_000
ELSEWHERE = 100  # references that the rest of the process may let go of meanwhile


def draw_lines() -> None:
    path = QPainterPath()
    for step in range(CALLS):
        path.lineTo(float(step), 1.0)
    assert path.elementCount() == CALLS + 1


def paint() -> None:
    image = QImage(16, 16, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    for _ in range(CALLS // 4):
        painter.save()
        painter.translate(0.5, 0.5)
        painter.drawEllipse(QRectF(1.0, 1.0, 2.0, 2.0))
        painter.restore()
    painter.drawPoint(QPointF(1.0, 1.0))
    painter.end()


@pytest.mark.parametrize("calls", [draw_lines, paint])
def test_calls_that_return_nothing_keep_none_alive(calls: Callable[[], None]) -> None:
    spare = [None] * (4 * CALLS)  # so that a leaking release fails here instead of ending the process
    before = sys.getrefcount(None)
    calls()
    after = sys.getrefcount(None)
    assert after >= before - ELSEWHERE
    assert len(spare) == 4 * CALLS
