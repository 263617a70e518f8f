"""Prints how good and how quick the best placement is, held against long searches on record.

    python tests/bench/best.py                       the table, from the records beside this file
    python tests/bench/best.py --anew [--seconds N]  the long searches first; they take hours and raise the records
    python tests/bench/best.py six-in-line "head 7"  some heads only, by name; "asymmetric" are all of those

Where the quick search has found more than the long one, that is the record. Measure on a quiet machine.

What counts is the widest ring that the search of a kind finds, whether it is worth an asymmetry or not. A long search
is a differential evolution over the same numbers, N seconds of the processor, begun again when it has settled, and
climbs from its best and from places scattered as widely as it looks.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np

HOME = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(HOME))

from geometry.document.build import Build  # noqa: E402
from geometry.document.codec import read_build  # noqa: E402
from geometry.layout.layout import lay_out  # noqa: E402
from geometry.search.placing.alike import Unlike  # noqa: E402
from geometry.search.placing.best import best, sides_of, smallest, stages_of  # noqa: E402
from geometry.search.placing.climb import Climb, climbed  # noqa: E402
from geometry.search.placing.handles import Handle, Handles, closed_up  # noqa: E402
from geometry.search.placing.standing import Kind, Wish  # noqa: E402
from geometry.shape.close import Floats  # noqa: E402
from tests.asymmetric_builds import HEADS, asymmetric  # noqa: E402
from tests.generated_builds import generated, made_alike  # noqa: E402

RECORDS = Path(__file__).with_name("best_records.json")
GENERATED = 30
SIX = 6
SECONDS = 60.0
PEOPLE, CONVERGED = 6, 1e-3
"""Of an evolution: how many there are for each number, and how alike they are when it is over."""

SCATTERED = 6
NOWHERE = -1000.0
"""The room where rows have no place."""

WIDTHS = {"start": 20.0, "pitch": 10.0, "inset": 6.0, "inset_last": 8.0, "along": 15.0, "inward": 8.0}
"""How far to both sides a long search looks, in mm."""


class Entry(NamedTuple):
    """A head of the bench, and the kinds of placement that are looked for."""

    group: str
    name: str
    build: Build
    kinds: tuple[Kind, ...]


def entries(wanted: list[str]) -> Iterator[Entry]:
    """Samples and generated heads, all of them or those that are wanted."""
    for entry in _entries():
        if not wanted or entry.name in wanted or entry.group in wanted:
            yield entry


def _entries() -> Iterator[Entry]:
    for file in sorted((HOME / "sample_builds").glob("*.pegwright")):
        build = read_build(file.read_bytes())
        yield Entry("sample", file.stem, build, ("even", "free"))
        if not isinstance(sides_of(build, lay_out(build)), Unlike):
            yield Entry("alike", f"{file.stem} alike", build, ("mirrored",))
    for number in range(GENERATED):
        yield Entry("head", f"head {number}", generated(number), ("even", "free"))
    for number in range(GENERATED):
        build = made_alike(generated(number))
        if not isinstance(sides_of(build, lay_out(build)), Unlike):
            yield Entry("alike", f"head {number} alike", build, ("mirrored",))
    for number in range(len(HEADS)):
        yield Entry("asymmetric", f"asymmetric {number}", asymmetric(number), ("even", "free"))


def handles_for(build: Build, kind: Kind) -> Handles:
    """What a search of this kind may change in the end."""
    fitting = closed_up(build)
    return stages_of(fitting, lay_out(fitting), Wish(kind=kind)).handles[-1]


def long_search(build: Build, kind: Kind, seconds: float) -> float:
    """The smallest ring in mm of the best that is found in so many seconds of the processor and by climbs after."""
    handles = handles_for(build, kind)
    climb = Climb(handles, Wish(kind=kind), "room", 0.0, lambda _: None)
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
    for entry in entries(wanted):
        for kind in entry.kinds:
            key = f"{entry.name}, {kind}"
            started = time.process_time()
            found = max(long_search(entry.build, kind, seconds), records.get(key, 0.0))
            print(f"{key:36} {found:7.3f} mm  {time.process_time() - started:6.1f} s", flush=True)
            records[key] = round(found, 4)
            save(records)


def save(records: dict[str, float]) -> None:
    """Write the records down."""
    RECORDS.write_text(json.dumps(records, indent=1) + "\n", encoding="utf-8")


class Result(NamedTuple):
    """How a quick search has done: its share of the record, and whether it took too long."""

    kind: str
    share: float
    late: bool


def table(records: dict[str, float], wanted: list[str]) -> None:
    """Print the table and how often the aims are met; better places than those on record raise it."""
    print(f"{'head':30} {'kind':8} posts  before   found  record  share  time")
    results = [_tried(records, entry, kind) for entry in entries(wanted) for kind in entry.kinds]
    save(records)
    for kind in dict.fromkeys(each.kind for each in results):
        shares = [each.share for each in results if each.kind == kind]
        late = sum(each.late for each in results if each.kind == kind)
        good, fair = (sum(share >= least for share in shares) for least in (0.99, 0.95))
        print(
            f"{kind:18} {len(shares):3}: {good} reach 0.99, {fair} reach 0.95, worst {min(shares):.3f}; ",
            end="",
        )
        print(f"{late} slower than 1 s (up to six posts) or 3 s")


def _tried(records: dict[str, float], entry: Entry, kind: Kind) -> Result:
    """Search quickly and print a line."""
    started = time.process_time()
    proposal = best(entry.build, Wish(kind=kind))
    seconds = time.process_time() - started
    found = proposal.after + proposal.given_up
    key = f"{entry.name}, {kind}"
    record = records[key] = max(records.get(key, 0.0), round(found, 4))
    share = found / record if record > 0 else 1.0
    posts = sum(len(row.posts) for row in entry.build.rows)
    rings = f"{proposal.before:7.3f} {found:7.3f} {record:7.3f} {share:6.3f}"
    print(f"{entry.name:30} {kind:8} {posts:5} {rings} {seconds:5.2f} s", flush=True)
    group = f"asymmetric, {kind}" if entry.group == "asymmetric" else kind
    return Result(group, share, seconds > (1.0 if posts <= SIX else 3.0))


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
