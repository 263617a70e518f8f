"""How well photos are read: `python tests/bench/photos.py [N] [--first SEED] [--wide PIXELS] [--processes P]`.

From the top of a checkout. Made-up photos with known truth; each line is one photo, the last lines are the figures of
all: edges within 0.3 mm at 95 % of their places, centres of holes within 0.15 mm, diameters within 0.2 mm, how often
the stated certainty covers the truth, and heads that are off by more than 1 mm without a warning.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

import cv2  # noqa: E402
import numpy as np  # noqa: E402

from geometry.intake.head_in_picture import HeadSeen  # noqa: E402
from geometry.intake.picture_error import PictureError  # noqa: E402
from geometry.intake.rectified import Picture  # noqa: E402
from geometry.trade.certainty import GIVE  # noqa: E402
from geometry.trade.sentence import say_note  # noqa: E402
from tests.photographed_heads import Errors, Taken, errors, head_in_photo, random_photo  # noqa: E402
from tests.photographs import Floats, photograph  # noqa: E402

WARNINGS = ("The edge is not seen", "The head hides", "The picture hardly tells", "An end of the nut")
EDGE, CENTRE, DIAMETER, SILENT = 0.3, 0.15, 0.2, 1.0
"""mm: what is asked of edges, centres and diameters, and what must not be silently wrong."""


@dataclass(frozen=True)
class Read:
    """What became of one photo: why it was refused, or how far off what was read is, and how good it is said to be."""

    seed: int
    name: str
    refused: str = ""
    off: Errors | None = None
    give: float = 0.0
    guessed: float = 0.0
    warned: bool = False
    asked: bool = False
    seconds: float = 0.0

    @property
    def p95(self) -> float:
        """Mm within which 95 % of the edge lie."""
        return float(np.percentile(self._off.edge, 95))

    @property
    def seen95(self) -> float:
        """The same of what is told as seen."""
        return float(np.percentile(self._off.seen, 95))

    @property
    def worst(self) -> float:
        """Mm at the worst place."""
        return float(self._off.edge.max())

    @property
    def _off(self) -> Errors:
        assert self.off is not None, "a refused photo has no errors"
        return self.off

    def __str__(self) -> str:
        head = f"{self.seed:4} {self.name:28}"
        if self.off is None:
            return f"{head} refused: {self.refused}"
        off = self.off
        return (
            f"{head} edge p95 {self.p95:.3f} max {self.worst:.3f}; seen p95 {self.seen95:.3f} give {self.give:.2f},"
            f" guessed {self.guessed:.0%}{' warned' if self.warned else ''}{' height told' if self.asked else ''};"
            f" holes worst"
            f" {max(off.centres, default=0):.3f}, {max(np.abs(off.diameters), default=0):.3f}, missed {off.missed},"
            f" invented {off.invented}; {self.seconds:.1f} s"
        )


def read(wide: int, seed: int) -> Read:
    """Take the photo of a seed, so many pixels wide, and read it."""
    cv2.setNumThreads(1)
    taken = random_photo(seed, wide)
    picture = photograph(taken.scene)
    began = time.process_time()
    try:
        seen, asked = _head_in(picture, taken)
    except PictureError as error:
        return Read(seed, taken.name, say_note(error, "mm"))
    return _compared(seed, taken, seen, time.process_time() - began, asked=asked)


def _head_in(picture: Picture, taken: Taken) -> tuple[HeadSeen, bool]:
    """The head, and whether the height of the camera was asked for; it is measured and told then."""
    told = picture, taken.told_thickness, math.radians(taken.told_lean), 1.0, taken.told_focal
    try:
        return head_in_photo(*told), False
    except PictureError as error:
        if "camera height" not in say_note(error, "mm"):
            raise
    return head_in_photo(*told, told_height=taken.told_height), True


def _compared(seed: int, taken: Taken, seen: HeadSeen, seconds: float, *, asked: bool = False) -> Read:
    return Read(
        seed,
        taken.name,
        off=errors(seen, taken.truth, taken.holes, GIVE),
        give=seen.edge_give,
        guessed=seen.guessed / seen.long,
        warned=any(say_note(remark, "mm").startswith(WARNINGS) for remark in seen.remarks),
        asked=asked,
        seconds=seconds,
    )


def figures(reads: Sequence[Read]) -> Iterator[str]:
    """The figures of all photos, a line each."""
    told = [each for each in reads if each.off is not None]
    asked = sum(each.asked for each in told)
    yield f"{len(reads)} photos, {len(reads) - len(told)} refused, {asked} read once the camera height was told"
    if not told:
        return
    p95, worst = np.array([each.p95 for each in told]), np.array([each.worst for each in told])
    good, calm = p95 <= EDGE, np.array([not each.warned for each in told])
    yield (
        f"edge: p95 at most {EDGE} mm on {np.mean(good):.1%}, of those without a warning on"
        f" {np.mean(good[calm]) if calm.any() else 1.0:.1%} ({calm.sum()}); median of p95 {np.median(p95):.3f},"
        f" worst {p95.max():.3f}, worst place {worst.max():.3f} mm"
    )
    gives = np.array([each.give for each in told])
    covered = np.array([each.seen95 for each in told]) <= gives
    yield (
        f"edge: the stated certainty covers p95 of what is seen on {np.mean(covered):.1%},"
        f" median {np.median(gives):.2f}"
    )
    yield f"off by more than {SILENT} mm somewhere and not warned: {int(((worst > SILENT) & calm).sum())}"
    yield from _of_holes([each.off for each in told if each.off is not None])
    spent = np.array([each.seconds for each in told])
    yield f"{np.median(spent):.1f} s of the processor to read one, {spent.max():.1f} at most"


def _of_holes(offs: Sequence[Errors]) -> Iterator[str]:
    found, missed = sum(len(off.centres) for off in offs), sum(off.missed for off in offs)
    yield f"holes: {found + missed}, missed {missed}, invented {sum(off.invented for off in offs)}"
    if not found:
        return
    yield _line("centres", CENTRE, [off.centres for off in offs], [off.centre_gives for off in offs])
    within = [bool((off.centres <= CENTRE).all()) for off in offs if len(off.centres)]
    yield f"all centres of a head within {CENTRE} mm on {np.mean(within):.1%} of the heads"
    yield _line(
        "diameters", DIAMETER, [np.abs(off.diameters) for off in offs], [off.diameter_gives for off in offs]
    )


def _line(name: str, bound: float, values: Sequence[Floats], gives: Sequence[Floats]) -> str:
    each, give = np.concatenate(values), np.concatenate(gives)
    return (
        f"{name}: p95 {np.percentile(each, 95):.3f}, worst {each.max():.3f}, within {bound} mm"
        f" {np.mean(each <= bound):.1%}; the stated certainty covers {np.mean(each <= give):.1%},"
        f" median {np.median(give):.2f}"
    )


def main() -> None:
    """Read so many photos and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", nargs="?", type=int, default=20)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--wide", type=int, default=3000)
    parser.add_argument("--processes", type=int, default=1)
    chosen = parser.parse_args()
    seeds, one = range(chosen.first, chosen.first + chosen.count), partial(read, chosen.wide)
    reads = []
    with ProcessPoolExecutor(chosen.processes) as pool:
        for each in map(one, seeds) if chosen.processes == 1 else pool.map(one, seeds):
            reads.append(each)
            print(each, flush=True)
    print(*figures(reads), sep="\n")


if __name__ == "__main__":
    main()
