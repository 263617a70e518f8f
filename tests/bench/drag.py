"""From a move of the mouse to the painted canvas: how long it takes while a node is dragged.

Run it on a quiet machine: `python tests/bench/drag.py`. It prints the median and the 95th percentile at scale 1 and 2,
what the parts of it take, and the ratio to painting a canvas on which nothing has changed.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, Qt  # noqa: E402 - the path comes first
from PySide6.QtGui import QMouseEvent  # noqa: E402
from PySide6.QtWidgets import QApplication  # noqa: E402

from app.canvas.canvas import Canvas  # noqa: E402
from app.document.live_rings import LiveRings  # noqa: E402
from app.document.scene import scene_of  # noqa: E402
from app.document.session import Session  # noqa: E402
from app.tools.select import SelectTool  # noqa: E402
from geometry.checks.judge import findings  # noqa: E402
from geometry.document.codec import read_build  # noqa: E402
from geometry.document.edits import free_outline  # noqa: E402
from geometry.document.outline import Node, Nodes  # noqa: E402
from geometry.document.outline_nodes import nodes_of  # noqa: E402
from geometry.layout.layout import lay_out  # noqa: E402
from geometry.layout.parts_at_once import Parts, move_parts  # noqa: E402
from geometry.shape.point import Point, Vector  # noqa: E402

TWELVE = ROOT / "sample_builds" / "twelve-string.pegwright"
MOVES = 200
WARM = 20


def main() -> None:
    """Print everything, each scale in a process of its own."""
    if sys.argv[1:] == ["here"]:
        measure()
        return
    for scale in ("1", "2"):
        environment = {**os.environ, "QT_SCALE_FACTOR": scale}
        subprocess.run([sys.executable, __file__, "here"], env=environment, check=True)


def measure() -> None:
    """Drag on a canvas of 960 x 760 at the scale of this process."""
    application = QApplication([])
    session = Session(free_outline(read_build(TWELVE.read_bytes())))
    canvas = Canvas(session)
    canvas.resize(960, 760)
    canvas.tool = SelectTool(session, canvas.aids)
    rings = LiveRings(session, canvas)
    canvas.follow_rings(rings)
    canvas.snap = False  # a place that stays caught on the grid would cost nothing
    canvas.show()
    application.processEvents()
    for side in ("face", "both"):
        canvas.set_side(side)
        node = _node(canvas)
        _mouse(application, canvas, QEvent.Type.MouseButtonPress, node.at)
        taken = [_move(application, canvas, node.at, number) for number in range(WARM + MOVES)][WARM:]
        assert session.scene.gesture, "a node is dragged"
        still = _times(canvas.repaint)
        canvas.tool.cancel()
        whole, bare = statistics.median(taken), statistics.median(still)
        late = statistics.quantiles(taken, n=20)[-1]
        print(f"scale {canvas.devicePixelRatioF():g}, {side}: ", end="")
        print(f"median {whole:.2f} ms, 95th percentile {late:.2f} ms, ", end="")
        print(f"{whole / bare:.1f} x a repaint of the unchanged canvas ({bare:.2f} ms)")
    print("  rings " + ", ".join(f"{name} {after:.0f} ms" for name, after in _rings(session, rings).items()))
    parts(session)


def _node(canvas: Canvas) -> Node:
    """The node that is dragged: the shoulder on the right."""
    outline = canvas.session.build.outline
    assert isinstance(outline, Nodes)
    return outline.nodes[1]


def _move(application: QApplication, canvas: Canvas, start: Point, number: int) -> float:
    """Milliseconds from a move of the mouse, through tool and session, until the canvas is painted."""
    at = start + Vector(1.0 + 0.07 * (number % 40), 0.9 + 0.13 * (number % 7))
    begin = time.perf_counter()
    _mouse(application, canvas, QEvent.Type.MouseMove, at)
    canvas.repaint()
    application.processEvents()
    return (time.perf_counter() - begin) * 1e3


def _mouse(application: QApplication, canvas: Canvas, kind: QEvent.Type, place: Point) -> None:
    at = canvas.view.to_screen(place)
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    button = none if kind == QEvent.Type.MouseMove else left
    no_keys = Qt.KeyboardModifier.NoModifier
    application.sendEvent(canvas, QMouseEvent(kind, at, canvas.mapToGlobal(at), button, left, no_keys))


def _rings(session: Session, rings: LiveRings) -> dict[str, float]:
    """Milliseconds from the last change of a fast drag until a bound, exact rings and the words of a hole are known."""
    build, node = session.build, nodes_of(session.build)[1]
    post = session.scene.layout.posts[0].key
    begin, after = 0.0, dict.fromkeys(("bound after", "exact after", "words after"), 0.0)
    rings.changed.connect(
        lambda: after.update(_known(rings, post, (time.perf_counter() - begin) * 1e3, after))
    )
    for number in range(3):
        session.preview(move_parts(build, Parts(nodes=(node.key,)), Vector(0.1 * number, 0.0)))
    session.commit("Move node")
    rings.want_ring(post)
    after.update(dict.fromkeys(after, 0.0))
    begin = time.perf_counter()
    while rings.ring(post) is None:
        QApplication.processEvents()
    return after


def _known(rings: LiveRings, post: str, now: float, after: dict[str, float]) -> dict[str, float]:
    known = (rings.joint, rings.joint is not None and rings.joint.exact, rings.ring(post))
    return {name: was or now for (name, was), there in zip(after.items(), known, strict=True) if there}


def _times(act: Callable[[], object]) -> list[float]:
    taken = []
    for _ in range(MOVES):
        begin = time.perf_counter()
        act()
        taken.append((time.perf_counter() - begin) * 1e3)
    return taken


def parts(session: Session) -> None:
    """What the steps before painting take, each with a build that has just changed."""
    build = session.build
    assert isinstance(build.outline, Nodes)
    node = build.outline.nodes[1]
    taken: dict[str, list[float]] = {"lay_out": [], "findings": [], "face": [], "back": []}
    for number in range(MOVES):
        moved = move_parts(build, Parts(nodes=(node.key,)), Vector(0.001 * number, 0.0))
        begin = time.perf_counter()
        layout = lay_out(moved)
        laid = time.perf_counter()
        findings(moved, layout)
        judged = time.perf_counter()
        scene = scene_of(moved)
        before = time.perf_counter()
        _ = scene.face
        drawn = time.perf_counter()
        _ = scene.back
        taken["lay_out"].append(laid - begin)
        taken["findings"].append(judged - laid)
        taken["face"].append(drawn - before)
        taken["back"].append(time.perf_counter() - drawn)
    print("  of it " + ", ".join(f"{name} {statistics.median(t) * 1e3:.2f} ms" for name, t in taken.items()))


if __name__ == "__main__":
    main()
