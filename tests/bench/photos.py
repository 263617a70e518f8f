"""How well photos are read: `python tests/bench/photos.py N [FIRST [WIDE]]` from the top of a checkout.

Made-up photos with known truth; each line is one photo, the last lines are the figures of all.
"""

from __future__ import annotations

import math
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402

from geometry.intake.head_in_picture import head_in_photo  # noqa: E402
from geometry.intake.picture_error import PictureError  # noqa: E402
from geometry.trade.certainty import GIVE  # noqa: E402
from geometry.trade.sentence import say_note  # noqa: E402
from tests.photographed_heads import errors, random_photo  # noqa: E402
from tests.photographs import photograph  # noqa: E402

WARNINGS = ("The edge is not seen", "The head hides", "The picture hardly tells")


def main(count: int, first: int, wide: int) -> None:
    rows: list[tuple[float, float, float, bool, bool]] = []
    centres, diameters, centre_gives, diameter_gives = [], [], [], []
    missed = invented = refused = wanted = 0
    for seed in range(first, first + count):
        taken = random_photo(seed, wide)
        picture = photograph(taken.scene)
        began = time.process_time()
        try:
            seen = head_in_photo(
                picture,
                taken.told_thickness,
                math.radians(taken.told_lean),
                told_focal=taken.told_focal,
            )
        except PictureError as error:
            refused += 1
            print(f"{seed:4} {taken.name:28} refused: {error}", flush=True)
            continue
        spent = time.process_time() - began
        off = errors(seen, taken.truth, taken.holes, GIVE)
        p95, most = float(np.percentile(off.edge, 95)), float(off.edge.max())
        warned = any(say_note(remark, "mm").startswith(WARNINGS) for remark in seen.remarks)
        of_seen = float(np.percentile(off.seen, 95))
        rows.append((p95, most, seen.edge_give, of_seen <= seen.edge_give, warned or most <= 1.0))
        centres += list(off.centres)
        diameters += list(np.abs(off.diameters))
        centre_gives += list(off.centre_gives)
        diameter_gives += list(off.diameter_gives)
        missed, invented, wanted = missed + off.missed, invented + off.invented, wanted + len(taken.holes)
        print(
            f"{seed:4} {taken.name:28} edge p95 {p95:.3f} max {most:.3f}; seen p95 {of_seen:.3f}"
            f" give {seen.edge_give:.2f}, guessed {seen.guessed / seen.long:.0%}"
            f"{' warned' if warned else ''}; holes worst {max(off.centres, default=0):.3f},"
            f" {max(np.abs(off.diameters), default=0):.3f}, missed {off.missed}, invented {off.invented};"
            f" {spent:.1f} s; lean {taken.told_lean:.1f} focal {taken.scene.focal:.0f}",
            flush=True,
        )
    if not rows:
        return
    table = np.array(rows, float)
    print(f"{count} photos, {refused} refused")
    print(
        f"edge: p95 at most 0.3 mm on {np.mean(table[:, 0] <= 0.3):.1%}; median of p95 {np.median(table[:, 0]):.3f}"
    )
    print(f"edge: worst p95 {table[:, 0].max():.3f}, worst place {table[:, 1].max():.3f} mm")
    print(
        f"edge: stated certainty covers p95 of what is told as seen on {np.mean(table[:, 3]):.1%},"
        f" in the median {np.median(table[:, 2]):.2f}"
    )
    print(f"off by more than 1 mm somewhere and not warned: {int((table[:, 4] == 0).sum())}")
    if centres:
        print(f"holes: {wanted}, missed {missed}, invented {invented}")
        for name, values, gives, bound in (
            ("centres", centres, centre_gives, 0.15),
            ("diameters", diameters, diameter_gives, 0.2),
        ):
            each, give = np.array(values), np.array(gives)
            print(
                f"{name}: p95 {np.percentile(each, 95):.3f}, worst {each.max():.3f}, within {bound} mm"
                f" {np.mean(each <= bound):.1%}; stated covers {np.mean(each <= give):.1%},"
                f" median {np.median(give):.2f}"
            )


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    main(*given, *(20, 0, 3000)[len(given) :])
