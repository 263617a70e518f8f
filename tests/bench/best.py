"""Prints how good and how quick the best placement is, held against long searches on record.

    python tests/bench/best.py                      the table, from the records beside this file
    python tests/bench/best.py --anew [--trials N]  the long searches first; they take minutes and raise the records
    python tests/bench/best.py six-in-line 7        some heads only: samples by name, generated ones by number

Where the quick search has found more than the long one, that is the record. Measure on a quiet machine.

A long search is a differential evolution with polish over the same numbers, N placements looked at, and climbs from
its best and from places scattered as widely as it looks.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from geometry.document.build import Build  # noqa: E402
from geometry.document.codec import read_build  # noqa: E402
from geometry.layout.layout import lay_out  # noqa: E402
from geometry.search.best import best, smallest  # noqa: E402
from geometry.search.climb import Climb, climbed  # noqa: E402
from geometry.search.handles import Handle, closed_up, handles_of  # noqa: E402
from geometry.search.wish import Kind, Wish  # noqa: E402
from geometry.shape.close import Floats  # noqa: E402
from tests.asymmetric_builds import HEADS, asymmetric  # noqa: E402
from tests.generated_builds import generated  # noqa: E402

RECORDS = Path(__file__).with_name("best_records.json")
GENERATED = 30
SECONDS = 60.0
PEOPLE, CONVERGED = 6, 1e-3
"""Of an evolution: how many there are for each number, and how alike they are when it is over."""

SCATTERED = 6
NOWHERE = -1000.0
"""The room where rows have no place."""

WIDTHS = {"start": 20.0, "pitch": 10.0, "inset": 6.0, "inset_last": 8.0, "along": 15.0, "inward": 8.0}
"""How far to both sides a long search looks, in mm."""


def heads(wanted: list[str]) -> Iterator[tuple[str, Build]]:
    """Samples and generated heads by name."""
    for file in sorted((HOME / "sample_builds").glob("*.pegwright")):
        if not wanted or file.stem in wanted:
            yield file.stem, read_build(file.read_bytes())
    for number in range(len(HEADS)):
        if not wanted or f"asymmetric-{number}" in wanted or "asymmetric" in wanted:
            yield f"asymmetric {number}", asymmetric(number)
    for number in range(GENERATED):
        if not wanted or str(number) in wanted:
            yield f"head {number}", generated(number)


def long_search(build: Build, kind: Kind, seconds: float) -> float:
    """The smallest ring in mm of the best that is found in so many seconds of the processor and by climbs after."""
    fitting = closed_up(build)
    wish = Wish(kind=kind)
    handles = handles_of(fitting, lay_out(fitting), wish)
    climb = Climb(handles, wish, "room", 0.0, lambda _: None)
    start = handles.values()
    width = np.array([_width(handle) for handle in handles.handles])
    found = list(_evolved(climb, start, width, seconds))
    draw = np.random.default_rng(1)
    tries = [*found, start, *(start + draw.uniform(-0.5, 0.5, (SCATTERED, len(start))) * width)]
    places = [place for values in tries if (place := climb.place(values)) is not None]
    rooms = [climbed(climb, place, 60).standing for place in places]
    return max([smallest(standing) for standing in rooms], default=0.0)


def _evolved(climb: Climb, start: Floats, width: Floats, seconds: float) -> Iterator[Floats]:
    """The best values (h,) of evolutions, begun again with other people until the time is over."""
    from scipy.optimize import Bounds, differential_evolution

    def missing(values: Floats) -> float:
        place = climb.place(values)
        return -NOWHERE if place is None else -place.standing.room

    def over(_: Floats, convergence: float) -> bool:
        return time.process_time() > end

    end = time.process_time() + seconds
    low, high = climb.handles.limited(start - width), climb.handles.limited(start + width)
    seed = 0
    while time.process_time() < end:
        found = differential_evolution(
            missing,
            Bounds(low, high),
            x0=np.clip(start, low, high),
            popsize=PEOPLE,
            maxiter=100_000,
            tol=CONVERGED,
            rng=seed,
            polish=False,
            callback=over,  # type: ignore[arg-type] # true ends it, which the types do not know
        )
        seed += 1
        yield found.x


def _width(handle: Handle) -> float:
    return WIDTHS[handle.name]


def search_anew(records: dict[str, float], wanted: list[str], seconds: float) -> None:
    """Raise the records by long searches, saved one by one."""
    for name, build in heads(wanted):
        for kind in get_args(Kind):
            key = f"{name}, {kind}"
            started = time.process_time()
            found = max(long_search(build, kind, seconds), records.get(key, 0.0))
            print(f"{key:32} {found:7.3f} mm  {time.process_time() - started:6.1f} s", flush=True)
            records[key] = round(found, 4)
            RECORDS.write_text(json.dumps(records, indent=1) + "\n", encoding="utf-8")


def table(records: dict[str, float], wanted: list[str]) -> None:
    """Print the table and how often the aims are met; better places than those on record raise it."""
    print(f"{'head':24} {'kind':5} posts  before   found  record  share  time")
    shares, late = [], 0
    for name, build in heads(wanted):
        for kind in get_args(Kind):
            started = time.process_time()
            found = best(build, Wish(kind=kind))
            seconds = time.process_time() - started
            key = f"{name}, {kind}"
            record = records[key] = max(records.get(key, 0.0), round(found.after, 4))
            share = found.after / record if record > 0 else 1.0
            posts = sum(len(row.posts) for row in build.rows)
            shares.append(share)
            late += seconds > (1.0 if posts <= 6 else 3.0)
            rings = f"{found.before:7.3f} {found.after:7.3f} {record:7.3f} {share:6.3f}"
            print(f"{name:24} {kind:5} {posts:5} {rings} {seconds:5.2f} s", flush=True)
    RECORDS.write_text(json.dumps(records, indent=1) + "\n", encoding="utf-8")
    count = len(shares)
    print(f"at least 0.99 of the record: {sum(each >= 0.99 for each in shares)} of {count}", end="; ")
    print(f"at least 0.95: {sum(each >= 0.95 for each in shares)} of {count}; worst {min(shares):.3f}")
    print(f"slower than 1 s (up to six posts) or 3 s: {late} of {count}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("heads", nargs="*")
    parser.add_argument("--anew", action="store_true")
    parser.add_argument("--seconds", type=float, default=SECONDS)
    chosen = parser.parse_args()
    records = json.loads(RECORDS.read_text(encoding="utf-8")) if RECORDS.exists() else {}
    if chosen.anew:
        search_anew(records, chosen.heads, chosen.seconds)
    best(generated(0))  # scipy is loaded now
    table(records, chosen.heads)


if __name__ == "__main__":
    main()
