"""Ten thousand random misses inside the joint rings of samples and of 400 generated heads, and how many break.

Takes long: `python tests/bench/rings.py [misses] [generated heads]`. The test suite tries fewer of them.
"""

from __future__ import annotations

import math
import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from geometry.checks.facts import facts_of  # noqa: E402
from geometry.checks.judge import Level, findings  # noqa: E402
from geometry.document.build import Build  # noqa: E402 - the path comes first
from geometry.document.codec import read_build  # noqa: E402
from geometry.layout.layout import Layout, displaced, lay_out  # noqa: E402
from geometry.search.rings.rings import exact, rows_of  # noqa: E402
from geometry.shape.point import Vector  # noqa: E402
from tests.generated_builds import generated, with_spares  # noqa: E402


def main(misses: int, heads: int) -> None:
    """Print the number of breaks for every sample and in all for the generated heads."""
    begin = time.perf_counter()
    for path in sorted((ROOT / "sample_builds").glob("*.pegwright")):
        print(f"{path.stem}: {broken(read_build(path.read_bytes()), misses)} of {misses} break", flush=True)
    for name, make in (("generated heads", generated), ("of them with bare posts", with_spares)):
        total = sum(broken(make(seed), misses) for seed in range(heads))
        print(f"{heads} {name}: {total} of {heads * misses} break", flush=True)
    print(f"{time.perf_counter() - begin:.0f} s")


def broken(build: Build, misses: int) -> int:
    """How many of so many random displacements inside the joint rings break something that was not broken before."""
    layout = lay_out(build)
    radii = exact(rows_of(facts_of(build, layout)))
    draw = np.random.default_rng(11)
    already = _stops(build, layout)
    count = 0
    for number in range(misses):
        angles = draw.uniform(0, math.tau, len(radii))
        # Every other time right at the edges of the rings, where it matters most.
        shares = np.ones(len(radii)) if number % 2 else np.sqrt(draw.uniform(0, 1, len(radii)))
        lengths = (radii * shares).tolist()
        steps = {
            post.key: Vector(length * math.cos(angle), length * math.sin(angle))
            for post, length, angle in zip(layout.posts, lengths, angles.tolist(), strict=True)
        }
        count += bool(_stops(build, displaced(build, layout, steps)) - already)
    return count


def _stops(build: Build, layout: Layout) -> set[object]:
    return {(each.check, each.about) for each in findings(build, layout) if each.level is Level.STOP}


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    main(*(given + [10_000, 200][len(given) :]))
