"""Speed of the live checks and of the commands, printed as medians and ratios.

Run it on a quiet machine: `python tests/bench/bench.py`. Ratios compare with the least that the same work costs, so
they say more than milliseconds, which differ from machine to machine.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from types import FunctionType
from typing import Any
from unittest.mock import patch

import shapely

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from geometry.checks.facts import facts_of  # noqa: E402
from geometry.checks.judge import findings  # noqa: E402
from geometry.document.build import Build  # noqa: E402 - the path comes first
from geometry.document.codec import read_build  # noqa: E402
from geometry.document.edits import free_outline  # noqa: E402
from geometry.layout.layout import lay_out  # noqa: E402
from geometry.layout.parts_at_once import Parts, move_parts  # noqa: E402
from geometry.search.rings.allowance import allowance, bounded_rings, exact_rings, ring_of  # noqa: E402
from geometry.shape.point import Vector  # noqa: E402

TWELVE = ROOT / "sample_builds" / "twelve-string.pegwright"

EMPTY_DOCUMENTS = """
import io, ezdxf
from reportlab.pdfgen.canvas import Canvas
page = Canvas(io.BytesIO()); page.showPage(); page.save()
ezdxf.new("R2000").write(io.StringIO())
"""


def main() -> None:
    """Print everything."""
    build = read_build(TWELVE.read_bytes())
    live(build)
    dragging(build)
    rings(build)
    processes()
    many()


def median_ms(act: Callable[[], object], times: int = 200) -> float:
    """Median duration in ms."""
    for _ in range(5):
        act()
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        act()
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken) * 1e3


def live(build: Build) -> None:
    """`lay_out` and all checks against the same questions to shapely in bare calls."""
    layout = lay_out(build)
    whole = median_ms(lambda: findings(build, lay_out(build)))
    asked = _asked(lambda: findings(build, lay_out(build)))
    bare = median_ms(lambda: [function(*given, **named) for function, given, named in asked])
    print(
        f"twelve strings, lay_out + all checks: {whole:.2f} ms median, {whole / bare:.1f} x bare calls of shapely"
    )
    print(f"  lay_out {median_ms(lambda: lay_out(build)):.2f} ms, ", end="")
    print(f"facts {median_ms(lambda: facts_of(build, layout)):.2f} ms, ", end="")
    print(f"findings {median_ms(lambda: findings(build, layout)):.2f} ms, bare calls {bare:.2f} ms")


def _asked(act: Callable[[], object]) -> list[tuple[Callable[..., object], tuple[Any, ...], dict[str, Any]]]:
    """What shapely is asked meanwhile: functions with their arguments."""
    calls = []

    def heard(function: Callable[..., object]) -> Callable[..., object]:
        def call(*given: object, **named: object) -> object:
            calls.append((function, given, named))
            return function(*given, **named)

        return call

    functions = {name: each for name, each in vars(shapely).items() if isinstance(each, FunctionType)}
    with ExitStack() as stack:
        for name, function in functions.items():
            stack.enter_context(patch.object(shapely, name, heard(function)))
        act()
    return calls


def dragging(build: Build) -> None:
    """The same with a build that changes every time as in a drag: a post moved by hand, and a node of the outline."""
    step = iter(range(1_000_000))
    post = build.rows[0].posts[2].key

    def drag_post() -> object:
        moved = move_parts(build, Parts(posts=(post,)), Vector(0.001 * next(step), 0.0))
        return findings(moved, lay_out(moved))

    free = free_outline(build)
    node = free.outline.nodes[2]  # type: ignore[union-attr]

    def drag_node() -> object:
        moved = move_parts(free, Parts(nodes=(node.key,)), Vector(0.001 * next(step), 0.0))
        return findings(moved, lay_out(moved))

    print(f"  dragging a post {median_ms(drag_post):.2f} ms, dragging a node {median_ms(drag_node):.2f} ms")


def rings(build: Build) -> None:
    """Miss rings of the twelve-string: the sound bound while dragging, the exact rings and everything told of them."""
    layout = lay_out(build)
    checks = median_ms(lambda: findings(build, layout))
    for name, act, times in (
        ("a sound bound, for dragging", lambda: bounded_rings(build, layout), 200),
        ("joint rings, exact", lambda: exact_rings(build, layout), 30),
        ("everything told of one hole", lambda: ring_of(build, layout, layout.posts[4].key), 30),
        ("joint and single rings, lean, evenness", lambda: allowance(build, layout), 15),
    ):
        taken = median_ms(act, times)
        print(f"rings: {name}: {taken:.1f} ms, {taken / checks:.1f} x all checks")


def processes() -> None:
    """Whole commands against the least that a process with the same libraries costs."""
    check = _process_ms([sys.executable, "-m", "app", "check", str(TWELVE)])
    shapely = _process_ms([sys.executable, "-c", "import shapely"])
    print(f"check: {check:.0f} ms, {check / shapely:.2f} x `python -c 'import shapely'` ({shapely:.0f} ms)")
    with tempfile.TemporaryDirectory() as folder:
        outputs = [f"{folder}/head.pdf", f"{folder}/head.dxf"]
        command = [
            sys.executable,
            "-m",
            "app",
            "export",
            str(TWELVE),
            *outputs,
            "--sheets",
            "face",
            "--force",
        ]
        export = _process_ms(command)
        whole = _process_ms([sys.executable, "-m", "app", "export", str(TWELVE), outputs[0], "--force"])
    empty = _process_ms([sys.executable, "-c", EMPTY_DOCUMENTS])
    print(
        f"export face to PDF and DXF: {export:.0f} ms, {export / empty:.2f} x empty documents ({empty:.0f} ms)"
    )
    print(f"export of all sheets to PDF: {whole:.0f} ms")


def _process_ms(command: list[str], times: int = 9) -> float:
    # As it is for users: byte code is kept from the first run on.
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    taken = []
    for _ in range(times + 1):
        begin = time.perf_counter()
        subprocess.run(command, cwd=ROOT, env=environment, check=True, capture_output=True)
        taken.append(time.perf_counter() - begin)
    return statistics.median(taken[1:]) * 1e3


def many(count: int = 1000) -> None:
    """`check` of many builds in one process, against one."""
    one = _process_ms([sys.executable, "-m", "app", "check", str(TWELVE)])
    with tempfile.TemporaryDirectory() as folder:
        data = TWELVE.read_bytes()
        paths = [Path(folder) / f"{number}.pegwright" for number in range(count)]
        for path in paths:
            path.write_bytes(data)
        begin = time.perf_counter()
        command = [sys.executable, "-m", "app", "check", *map(str, paths)]
        subprocess.run(command, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        each = (time.perf_counter() - begin) * 1e3 / count
    print(
        f"check of {count} builds: {each:.2f} ms a build; a lone one takes {one:.0f} ms ({one / each:.0f} x)"
    )


if __name__ == "__main__":
    main()
