"""Prints how many of N broken heads a proposal makes worse, by `best` of both kinds and by `missed` with both rests.

    python tests/bench/never_worse.py [N [SEED]]      1000 heads from number 0 on; takes about an hour

Worse is: more stops than before, or a limit that was broken before is broken further, in its own unit.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from geometry.checks.judge import Level, findings  # noqa: E402
from geometry.document.build import Build  # noqa: E402
from geometry.search.best import Proposal, best  # noqa: E402
from geometry.search.missed import best_of_rest  # noqa: E402
from geometry.search.wish import Wish  # noqa: E402
from tests.broken_heads import broken_head, made_worse, missed_hole  # noqa: E402


def proposals(number: int) -> Iterator[tuple[str, Build, Proposal]]:
    """What is proposed for the head with this number: by what, from which start, and the proposal."""
    build = broken_head(number)
    yield "best, even", build, best(build, Wish(kind="even"))
    yield "best, free", build, best(build, Wish(kind="free"))
    hole = missed_hole(number, build)
    if hole is not None:
        yield "missed, row", hole.build, best_of_rest(hole, "row")
        yield "missed, all", hole.build, best_of_rest(hole, "all")


def main(count: int, seed: int) -> None:
    """Print what is worse as it is found, then how often each kind of proposal changed, cured or refused something."""
    told = {name: Counter[str]() for name in ("best, even", "best, free", "missed, row", "missed, all")}
    begin = time.perf_counter()
    for number in range(seed, seed + count):
        for name, start, proposal in proposals(number):
            before, after = findings(start), findings(proposal.build)
            stops = [sum(each.level is Level.STOP for each in found) for found in (before, after)]
            for words in (worse := made_worse(before, after)):
                print(f"head {number}, {name}: {words}", flush=True)
            told[name] += Counter(
                heads=1,
                worse=bool(worse),
                changed=proposal.build != start,
                fewer=stops[1] < stops[0],
                cured=0 == stops[1] < stops[0],
                refused=proposal.refused is not None,
            )
    print(f"{count} heads from number {seed} on, {time.perf_counter() - begin:.0f} s")
    for name, counts in told.items():
        print(
            f"{name:12} {counts['heads']:5} heads: worse {counts['worse']}, changed {counts['changed']}, "
            f"fewer stops {counts['fewer']}, none left {counts['cured']}, refused {counts['refused']}"
        )


if __name__ == "__main__":
    main(
        *(int(each) for each in (*sys.argv[1:], "1000", "0")[:2])
        if len(sys.argv) != 2
        else (int(sys.argv[1]), 0)
    )
