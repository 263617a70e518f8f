"""Drawings and tables spoilt at random, or a folder of any: each is refused in a sentence, or becomes a build.

`python tests/campaigns/broken_drawings.py [drawings] [seed]` prints the counts for so many spoilt ones, `python
tests/campaigns/broken_drawings.py FOLDER` for the SVG, DXF and CSV files in a folder. The test suite tries a few.
"""

from __future__ import annotations

import random
import re
import resource
import sys
import traceback
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from tempfile import mkdtemp
from time import process_time

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from app.document.messages import Refusal  # noqa: E402 - the path comes first
from app.intake.readers import READERS, Told, read_head  # noqa: E402
from geometry.document.codec import read_build, write_build  # noqa: E402
from geometry.intake.into_build import Wishes, into_build  # noqa: E402
from geometry.trade.sentence import say_note  # noqa: E402
from tests.app.intake.drawings import circles, corpus_dxf, path, svg  # noqa: E402
from tests.geometry.intake.heads import base  # noqa: E402

SLOW = 2.0
"""Seconds of computing that reading one takes at most."""

LONG = Told(length=150.0)

FITTED = 10
"""One of so many spoilt files that load is fitted and made a build of, which takes longest."""

SLOW_TO_FIT = 10.0
"""Seconds that it takes at most until there is a build."""

ODD = (
    b"nan",
    b"inf",
    b"1e308",
    b"-1e308",
    b"1e-320",
    b"0",
    b"-1",
    b"99999999999",
    b"",
    b"\x00",
    b"\xff",
    b"e",
    b"16#",
)
TABLE = (
    b"# calipers\ny;left;right\n0;21,5;21,5\n30;32;32\n90;30;30\n150;28;28\n165;24;24\n172;12;12\n174;0;0\n"
)
_NUMBER = re.compile(rb"-?[0-9]+\.?[0-9]*")


def good_files() -> list[tuple[str, bytes]]:
    """Sound ones of every kind, by suffix."""
    arc = '<path d="M 25 0 V -100 A 25 25 0 0 0 -25 -100 C -25 -60 -27 -30 -22 0 Z" transform="rotate(3)"/>'
    copied = '<defs><circle id="c" r="5"/></defs><use href="#c" x="10" y="-50"/>'
    drawings = [svg(path() + circles()), svg(arc + copied), svg(path(closed=False) + "<text>A</text>")]
    return (
        [(".svg", each) for each in drawings] + [(".dxf", each) for each in corpus_dxf()] + [(".csv", TABLE)]
    )


def spoilt(data: bytes, chance: random.Random) -> bytes:
    """The bytes with one or a few things wrong."""
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        data = chance.choice((_numbered, _numbered, cut, doubled, flipped, _swapped, ended))(data, chance)
    return data


def _numbered(data: bytes, chance: random.Random) -> bytes:
    """Another number, or none, in the place of one."""
    found = list(_NUMBER.finditer(data))
    if not found:
        return data
    at = chance.choice(found)
    return data[: at.start()] + chance.choice(ODD) + data[at.end() :]


def cut(data: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(data) + 1)
    return data[:start] + data[start + chance.choice((1, 3, 20, 300)) :]


def doubled(data: bytes, chance: random.Random) -> bytes:
    start = chance.randrange(len(data) + 1)
    part = data[start : start + chance.choice((1, 10, 100, 1000))]
    return data[:start] + part * chance.choice((2, 3, 30)) + data[start:]


def flipped(data: bytes, chance: random.Random) -> bytes:
    if not data:
        return data
    at = chance.randrange(len(data))
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def _swapped(data: bytes, chance: random.Random) -> bytes:
    lines = data.split(b"\n")
    one, two = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return b"\n".join(lines)


def ended(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def outcome_of(file: Path, *, fit: bool = True, told: Told = LONG, slow: float = SLOW) -> str:
    """What becomes of a file: refused in a sentence, a head, with `fit` a build of it, or what went wrong."""
    begun = process_time()
    try:
        found = read_head(file, told)
    except Refusal as refusal:
        return _judged("refused", process_time() - begun, slow, str(refusal))
    except Exception:
        return f"RAISED {traceback.format_exc(limit=-3)}"
    if process_time() - begun > slow:
        return f"SLOW to read: {process_time() - begun:.1f} s"
    if not fit:
        return "a head"
    begun = process_time()
    try:
        taken = into_build(found, base(), Wishes())
        read_build(write_build(taken.build))
        words = " ".join(say_note(note, "mm") for note in taken.notes)
    except ValueError as error:
        return _judged("refused", process_time() - begun, SLOW_TO_FIT, say_note(error, "mm"))
    except Exception:
        return f"RAISED {traceback.format_exc(limit=-3)}"
    return _judged("a build", process_time() - begun, SLOW_TO_FIT, words)


def _judged(what: str, seconds: float, most: float, words: str) -> str:
    if seconds > most:
        return f"SLOW {what}: {seconds:.1f} s"
    return what if words and "\n" not in words and "Traceback" not in words else f"NO SENTENCE {words!r}"


def campaign(count: int, folder: Path, seed: int = 0) -> Counter[str]:
    """The outcomes of so many spoilt files; each is written into the folder in turn, and stays where it went wrong."""
    chance = random.Random(seed)
    good = good_files()
    outcomes: Counter[str] = Counter()
    for number in range(count):
        suffix, data = chance.choice(good)
        file = folder / f"spoilt-{number}{suffix}"
        file.write_bytes(spoilt(data, chance))
        outcome = outcome_of(file, fit=number % FITTED == 0)
        outcomes[f"{suffix} {outcome}"] += 1
        if not outcome[:1].isupper():
            file.unlink()
    return outcomes


def of_folder(files: Iterable[Path]) -> Counter[str]:
    """The outcomes of files as they are, said one by one where something is wrong."""
    outcomes: Counter[str] = Counter()
    for file in files:
        outcome = outcome_of(file)
        if outcome[:1].isupper():
            print(file, outcome)
        outcomes[f"{file.suffix.lower()} {outcome.split(':')[0][:60]}"] += 1
    return outcomes


def main(given: list[str]) -> None:
    """Print the counts."""
    if given and Path(given[0]).is_dir():
        files = sorted(
            each for each in Path(given[0]).rglob("*") if each.suffix.lower() in READERS and each.is_file()
        )
        found = of_folder(each for each in files if each.suffix.lower() in (".svg", ".dxf", ".csv"))
    else:
        count, seed = (*(int(each) for each in given[:2]), *(1000, 0)[len(given) :])
        folder = Path(mkdtemp(prefix="spoilt-"))
        found = campaign(count, folder, seed)
        print(f"What went wrong lies in {folder}.")
    for outcome, count in sorted(found.items()):
        print(f"{count:7} {outcome}")
    print(f"Largest memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    main(sys.argv[1:])
