"""Prints how many of N broken heads a proposal makes worse, by `best` and by `missed`.

    python tests/bench/never_worse.py [N [SEED]]      1000 heads from number 0 on; takes about an hour

Every head is searched once by each, the kinds of placement and the holes that may move taking turns. Worse is: more
stops than before, or a limit that was broken before is broken further, in its own unit.
"""

from __future__ import annotations

import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from geometry.checks.judge import Level, findings  # noqa: E402
from geometry.document.build import Build  # noqa: E402
from geometry.search.answers.missed import Rest, best_of_rest  # noqa: E402
from geometry.search.placing.best import Proposal, best  # noqa: E402
from geometry.search.placing.standing import Kind, Wish  # noqa: E402
from tests.broken_heads import broken_head, made_worse, missed_hole  # noqa: E402

KINDS: tuple[Kind | None, ...] = (None, "even", "free")
RESTS: tuple[Rest, ...] = ("row", "all")

OFTEN = 100
"""After so many heads the figures are printed so far."""


def proposals(number: int) -> Iterator[tuple[str, Build, Proposal]]:
    """What is proposed for the head with this number: by what, from which start, and the proposal."""
    build = broken_head(number)
    kind, rest = KINDS[number % len(KINDS)], RESTS[number % len(RESTS)]
    yield f"best, {kind or 'by default'}", build, best(build, Wish(kind=kind))
    hole = missed_hole(number, build)
    if hole is not None:
        yield f"missed, {rest}", hole.build, best_of_rest(hole, rest)


def main(count: int = 1000, seed: int = 0) -> None:
    """Print what is worse as it is found, and how often each kind of proposal changed, cured or refused something."""
    told: dict[str, Counter[str]] = defaultdict(Counter)
    begin = time.perf_counter()
    for tried, number in enumerate(range(seed, seed + count), start=1):
        for name, start, proposal in proposals(number):
            before, after = findings(start), findings(proposal.build)
            stops = [sum(each.level is Level.STOP for each in found) for found in (before, after)]
            for words in (worse := made_worse(before, after)):
                print(f"head {number}, {name}: {words}", flush=True)
            told[name].update(
                heads=1,
                worse=bool(worse),
                changed=proposal.build != start,
                fewer=stops[1] < stops[0],
                cured=stops[1] == 0 < stops[0],
                refused=proposal.refused is not None,
            )
        if tried % OFTEN == 0 or tried == count:
            print(f"{tried} heads from number {seed} on, {time.perf_counter() - begin:.0f} s")
            print("\n".join(_line(name, counts) for name, counts in sorted(told.items())), flush=True)


def _line(name: str, counts: Counter[str]) -> str:
    return (
        f"{name:16} {counts['heads']:5} heads: worse {counts['worse']}, changed {counts['changed']}, "
        f"fewer stops {counts['fewer']}, none left {counts['cured']}, refused {counts['refused']}"
    )


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:3]))
