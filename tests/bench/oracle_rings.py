"""Joint misses inside the rings that the program prints, on heads made at random, judged by the oracle.

    python tests/bench/oracle_rings.py [misses in all] [heads] [first seed]

100 000 misses on 30 heads by default, on both cores. The heads are those that the oracle finds nothing at stop on, with
a ring round at least half of their holes. Every other miss puts all marks right on the rims of their rings. Prints what
breaks; nothing may. The oracle's outlines are chords, so a limit counts as broken once it is passed by more than FINE.
"""

from __future__ import annotations

import math
import sys
import time
from itertools import count
from multiprocessing import get_context
from pathlib import Path
from random import Random

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from tests.judged import rings  # noqa: E402 - the path comes first
from tests.oracle.edge import edge_of  # noqa: E402
from tests.oracle.gaps import Found, Limits  # noqa: E402
from tests.oracle.head import Head  # noqa: E402
from tests.oracle.heads import head  # noqa: E402
from tests.oracle.judge import gaps_of, judge_parts  # noqa: E402
from tests.oracle.placing import posts_of  # noqa: E402

WORKERS = 2
FINE = 0.002
"""mm or degrees; chords of the oracle stray 0.0004 mm, arcs of the program 0.0009 mm."""

Tried = tuple[int, list[str]]
"""The number of a head, and what broke on it."""


def main(misses: int, heads: int, first: int) -> None:
    """Print what broke on each head, and the sums in the end."""
    begin = time.perf_counter()
    each = math.ceil(misses / heads)
    done = broken = 0
    with get_context("spawn").Pool(WORKERS) as pool:
        for tried in pool.imap(_tried, ((seed, each) for seed in count(first))):
            if tried is None:
                continue
            seed, said = tried
            done += 1
            broken += len(said)
            print(f"head {seed}: {len(said)} of {each} break", *said[:3], sep="\n    ", flush=True)
            if done == heads:
                pool.terminate()
                break
    print(f"{broken} of {each * heads} misses break on {heads} heads; {time.perf_counter() - begin:.0f} s")


def _tried(request: tuple[int, int]) -> Tried | None:
    """A head with so many misses tried, None for one that is not sound or has few rings."""
    seed, misses = request
    build = head(seed)
    if any(gap.level == "stop" for gap in gaps_of(build)):
        return None
    edge = edge_of(build)
    marked = Head(build, edge, posts_of(build, edge))
    radii = {f"{ring['hole']}": float(ring["ring"]) for ring in rings(build)}
    if sum(radius > 0 for radius in radii.values()) * 2 < len(marked.posts):
        return None
    draw = Random(seed)
    said = []
    for number in range(misses):
        steps = {post.key: _miss(draw, radii.get(post.label, 0.0), number) for post in marked.posts}
        said += _broken(marked.displaced(steps), number)
    return seed, said


def _miss(draw: Random, radius: float, number: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """A step anywhere inside a ring, every other time right on its rim."""
    angle, share = draw.uniform(0, math.tau), math.sqrt(draw.random()) if number % 2 else 1.0
    return radius * share * np.array([math.cos(angle), math.sin(angle)])


def _broken(missed: Head, number: int) -> list[str]:
    """The worst limit that one miss breaks, in words; nothing where none is."""
    found = Found(Limits(missed.build))
    judge_parts(missed, found)
    worst = min(found.gaps, key=lambda gap: gap.margin(gap.stop))
    if worst.margin(worst.stop) >= -FINE:
        return []
    return [f"miss {number}: {worst.check} {worst.parts} {worst.measured:.4f}, at stop from {worst.stop}"]


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    main(*(given + [100_000, 30, 0][len(given) :]))
