"""Compares the program with the oracle on heads made at random, and prints where the two disagree.

    python tests/bench/oracle.py [heads] [first seed]

Ten thousand heads by default, on both cores. Disagreements are quantities that differ by more than 0.01 mm or 0.05
degrees, limits that differ, levels that differ where no limit is that near, and quantities that one side does not know.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from multiprocessing import get_context
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from tests.judged import judged  # noqa: E402 - the path comes first
from tests.oracle.compare import disagreements  # noqa: E402
from tests.oracle.heads import head  # noqa: E402
from tests.oracle.judge import gaps_of  # noqa: E402

WORKERS = 2
CHUNK = 20


def main(heads: int, first: int) -> None:
    """Print every disagreement as it is found, and the sums in the end."""
    begin = time.perf_counter()
    wrong = quantities = 0
    levels: Counter[str] = Counter()
    with get_context("spawn").Pool(WORKERS) as pool:
        for seed, found, said in pool.imap(_compared, range(first, first + heads), CHUNK):
            levels.update(found)
            quantities += found.total()
            wrong += bool(said)
            for words in said:
                print(f"head {seed}: {words}", flush=True)
    print(f"{heads} heads from {first}, {quantities} quantities: {dict(levels)}")
    print(f"{wrong} heads with a disagreement; {time.perf_counter() - begin:.0f} s")


def _compared(seed: int) -> tuple[int, Counter[str], list[str]]:
    build = head(seed)
    found = gaps_of(build)
    return seed, Counter(gap.level for gap in found), disagreements(found, judged(build))


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    main(*(given + [10_000, 0][len(given) :]))
