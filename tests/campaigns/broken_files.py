"""Files of builds and shops spoilt at random: each is refused in a sentence, or loads and goes through everything.

`python tests/campaigns/broken_files.py [builds] [shops] [seed]` prints the counts. What loads is checked, and one in
fifty drawn to the last sheet. The test suite tries a few.
"""

from __future__ import annotations

import json
import random
import sys
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from copy import deepcopy
from functools import partial
from pathlib import Path
from time import process_time
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from app.document.messages import Refusal, report  # noqa: E402 - the path comes first
from app.writing.export import SUFFIXES, Job, made, pages_of, write_machine_file, write_pages  # noqa: E402
from app.writing.pages import stamp_of  # noqa: E402
from geometry.checks.judge import findings  # noqa: E402
from geometry.document.build import Build  # noqa: E402
from geometry.document.codec import read_build, read_shop, write_build, write_shop  # noqa: E402  # noqa: E402
from geometry.document.error import FileError  # noqa: E402
from geometry.layout.layout import lay_out  # noqa: E402
from geometry.trade.shop import Shop, default_shop  # noqa: E402
from tests.builds import laden_head  # noqa: E402
from tests.evil_names import EVIL, FINE  # noqa: E402

SLOW, SLOW_TO_DRAW = 2.0, 20.0
"""Seconds of computing after which somebody who waits for a check, or for every sheet, gives up."""

ODD: tuple[Any, ...] = (
    None, True, 0, -1, 1, 3, 0.5, -0.0, 1e-300, 5e-324, 1e308, -1e308, 2000, -2000, 2001, 10**400, "", "1/0 in",
    "1e9 in", "s1", "n1", "²", [], {}, [[]], [None], [0, 0], [1e9, -1e9], {"kind": "nodes"}, *EVIL.values(),
    *FINE.values(),
)  # fmt: skip
"""What is put in the place of something else."""


def spoilt(good: list[Any], chance: random.Random) -> bytes:
    """One of the good files with one or a few things wrong, in its data or in its bytes."""
    plain = json.loads(json.dumps(chance.choice(good)))
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        chance.choice((_put, _put, _scaled, _dropped, _doubled, _nested))(plain, chance)
    data = json.dumps(plain, ensure_ascii=chance.random() < 0.5).encode(errors="surrogatepass")
    return _gnawed(data, chance) if chance.random() < 0.3 else data


def _places(plain: Any) -> Iterator[tuple[Any, Any]]:
    keys = plain.items() if isinstance(plain, dict) else enumerate(plain) if isinstance(plain, list) else ()
    for key, value in list(keys):
        yield plain, key
        yield from _places(value)


def _somewhere(plain: Any, chance: random.Random) -> tuple[Any, Any]:
    return chance.choice(list(_places(plain)) or [({"": 0}, "")])


def _put(plain: Any, chance: random.Random) -> None:
    holder, key = _somewhere(plain, chance)
    # A copy, for lists among them are spoilt in their turn.
    holder[key] = deepcopy(chance.choice(ODD))


def _scaled(plain: Any, chance: random.Random) -> None:
    numbers = [at for at in _places(plain) if type(at[0][at[1]]) in (int, float)]
    if numbers:
        holder, key = chance.choice(numbers)
        with suppress(OverflowError):  # some whole numbers are larger than any other
            holder[key] *= chance.choice((-1, 0, 0.5, 0.99, 2, 1e-6, 1e6))


def _dropped(plain: Any, chance: random.Random) -> None:
    holder, key = _somewhere(plain, chance)
    del holder[key]


def _doubled(plain: Any, chance: random.Random) -> None:
    lists = [holder[key] for holder, key in _places(plain) if isinstance(holder[key], list) and holder[key]]
    if lists:
        found = chance.choice(lists)
        found += found[: chance.choice((1, 3))] * chance.choice((1, 1, 60))


def _nested(plain: Any, chance: random.Random) -> None:
    holder, key = _somewhere(plain, chance)
    for _ in range(chance.choice((1, 3, 200))):
        holder[key] = [holder[key]]


def _gnawed(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data))
    few = bytes(chance.randrange(256) for _ in range(chance.choice((1, 1, 4))))
    return chance.choice(
        (data[:at], data[:at] + few + data[at + len(few) :], data[:at] + few + data[at:], few)
    )


def through_everything(build: Build, *, drawn: bool) -> None:
    """A build that loads is written back, laid out, judged and told; and drawn to the last sheet."""
    assert read_build(write_build(build)) == build
    layout = lay_out(build)
    found = findings(build, layout)
    report("file", found, everything=True, units="mm")
    if not drawn or layout.edge is None:
        return
    shop = default_shop()
    stamp = stamp_of(build, shop, shop.printers[0], None, found)
    job = Job(build, layout, found, shop, stamp, None, None, "R2000")
    try:
        write_pages(pages_of(made(job).sheets, stamp), job)
    except Refusal:
        return
    for suffix in SUFFIXES[1:]:
        try:
            write_machine_file(job, suffix)
        except Refusal:
            continue


def tried(data: bytes, read: Callable[[bytes], Any], use: Callable[[Any], None], slow: float) -> str:
    """What became of a file, and whether that took longer than so many seconds."""
    begun = process_time()
    try:
        value = read(data)
    except FileError as error:
        became = "refused" if str(error).isprintable() else f"REFUSED IN SEVERAL LINES: {error!s:.200}"
    else:
        use(value)
        became = "loads"
    return became if process_time() - begun < slow else f"{became} TOO SLOWLY"


def _nothing(shop: Shop) -> None:
    """A shop that loads has nothing to go through."""


def campaign(builds: int, shops: int, seed: int = 0) -> Counter[str]:
    """What became of so many files, counted; a file that raises is kept in the working folder."""
    heads = [json.loads(path.read_bytes()) for path in sorted((ROOT / "sample_builds").glob("*.pegwright"))]
    heads.append(json.loads(write_build(laden_head())))
    shelf = [
        json.loads(write_shop(shop)) for shop in (default_shop(), Shop(paper="A3", nut_files=(0.6, 1.1)))
    ]
    chance, found = random.Random(seed), Counter[str]()
    for number in range(builds + shops):
        is_build, drawn = number < builds, number % 50 == 0
        data = spoilt(heads if is_build else shelf, chance)
        kind = "build" if is_build else "shop"
        use = partial(through_everything, drawn=drawn) if is_build else _nothing
        try:
            became = tried(data, read_build if is_build else read_shop, use, SLOW_TO_DRAW if drawn else SLOW)
        except Exception as error:
            became = f"RAISES {type(error).__name__} in {traceback.extract_tb(error.__traceback__)[-1].name}"
        if not became.islower():
            Path(f"{kind}-{seed}-{number}.broken").write_bytes(data)
        found[f"{kind} {became}"] += 1
    return found


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]] or [100_000, 20_000]
    for outcome, count in sorted(campaign(*given).items()):
        print(f"{count:7d}  {outcome}")
