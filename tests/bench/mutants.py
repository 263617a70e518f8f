"""Prints which of forty small mistakes the tests let pass; none may.

    python tests/bench/mutants.py [FIRST [LAST]]

Each mistake is written into a copy of the tree, one at a time, and the tests named with it are run there until one
fails. A mistake that survives shows a rule that no test holds.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

HOME = Path(__file__).resolve().parents[2]
COPIED = (
    "app",
    "geometry",
    "export",
    "tests",
    "sample_builds",
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
)


class Mutant(NamedTuple):
    """A mistake: in `file`, `old` (found there once) becomes `new`; `tests` must notice."""

    file: str
    old: str
    new: str
    tests: str


CHECKS, LAYOUT, SEARCH, RINGS = (
    "tests/geometry/checks",
    "tests/geometry/layout",
    "tests/geometry/search",
    "tests/geometry/search/rings",
)
TRADE, BENCH, DOCUMENT = "tests/geometry/trade", "tests/geometry/bench", "tests/geometry/document"
KEPT, SHEETS = "tests/app/document", "tests/export/sheets"

MUTANTS = (
    # Checks
    Mutant("geometry/checks/wood.py", "measured = beside.distance - facts.bore / 2 - trim",
           "measured = beside.distance - facts.bore / 2", CHECKS),
    Mutant("geometry/checks/wood.py", "trim = max(facts.trim_face, facts.trim_back)",
           "trim = min(facts.trim_face, facts.trim_back)", CHECKS),
    Mutant("geometry/checks/wood.py", "larger = np.maximum(diameter[i], diameter[j])",
           "larger = np.minimum(diameter[i], diameter[j])", CHECKS),
    Mutant("geometry/checks/wood.py", "share * along + (1 - share) * required(limit, larger)",
           "(1 - share) * along + share * required(limit, larger)", CHECKS),
    Mutant("geometry/checks/wood.py", "reach = np.maximum(facts.bore, facts.collar) / 2",
           "reach = facts.bore / 2", CHECKS),
    Mutant("geometry/checks/wood.py", "measured = np.minimum(here - least, most - here)",
           "measured = np.maximum(here - least, most - here)", CHECKS),
    Mutant("geometry/checks/wood.py", "return hole.depth + region.depth >= thickness - SAME",
           "return hole.depth >= thickness - SAME", CHECKS),
    Mutant("geometry/checks/strings.py", "measured = distance - reach[other] - facts.string_radii[path]",
           "measured = distance - reach[other]", CHECKS),
    Mutant("geometry/checks/strings.py", "turns.get(post.key, 0.0) for post in facts.posts]",
           "0.0 for post in facts.posts]", CHECKS),
    Mutant("geometry/checks/strings.py", "return post_diameter / 2 + 2 * string.diameter",
           "return post_diameter / 2", CHECKS),
    Mutant("geometry/checks/strings.py", "low = legs.start_heights[leg] + np.minimum(first * rise, last * rise)",
           "low = legs.start_heights[leg] + np.maximum(first * rise, last * rise)", CHECKS),
    Mutant("geometry/checks/load.py", "thick, most = load.string.diameter, hardware.most_string",
           "thick, most = load.string.diameter / 2, hardware.most_string", CHECKS),
    Mutant("geometry/checks/load.py", "return 100 * pull / most, PullSentence",
           "return 100 * most / pull, PullSentence", CHECKS),
    Mutant("geometry/checks/judge.py", "all_.sign * (all_.values - all_.stop), all_.sign * (all_.values - all_.watch)",
           "all_.values - all_.stop, all_.values - all_.watch", CHECKS),
    Mutant("geometry/checks/judge.py", "if finding.margin is not None else 0.0", "if finding.margin is None else 0.0",
           CHECKS),
    # Layout
    Mutant("geometry/layout/edge.py", "inside = (dot(out, right) > SQUARE) | self.contains(at)",
           "inside = dot(out, right) >= 0", f"{LAYOUT}/test_edge.py"),
    Mutant("geometry/layout/paths.py", "math.cos(math.radians(build.head.angle_deg))",
           "math.sin(math.radians(90.0))", LAYOUT),
    Mutant("geometry/layout/paths.py", "return (post_diameter + string.diameter) / 2", "return post_diameter / 2",
           f"{LAYOUT}/test_paths.py {CHECKS}"),
    Mutant("geometry/layout/paths.py", "(side * math.sqrt(1 - sine * sine) - direction * sine) * radius",
           "side * radius", f"{LAYOUT}/test_paths.py"),
    Mutant("geometry/layout/paths.py", "break_angle=alpha - math.atan2(rise, way.length)",
           "break_angle=alpha + math.atan2(rise, way.length)", f"{LAYOUT}/test_paths.py {CHECKS}"),
    # Rings and searches
    Mutant("geometry/search/rings/rings.py", "growing &= ~(table[used] > 0).any(axis=0)", "growing[:] = False",
           f"{RINGS}/test_filling.py"),
    Mutant("geometry/search/rings/play.py", "return _Moved(plate, lever, float(lever.sum()), float(fixed))",
           "return _Moved(plate, lever, float(lever.max()), float(fixed))", f"{RINGS}/test_plate_rings.py"),
    Mutant("geometry/search/rings/play.py", "reach[list(numbers)] = min(most, 2 * allowed)",
           "reach[list(numbers)] = min(most, allowed)", f"{RINGS}/test_plate_rings.py"),
    Mutant("geometry/search/placing/gate.py", "new = () if fewer else new_stops(before, after)", "new = ()",
           f"{SEARCH}/placing/test_gate.py"),
    Mutant("geometry/search/placing/gate.py", "_missing(finding) > broken.get(limit, math.inf) + SAME",
           "_missing(finding) > broken.get(limit, math.inf) + 1.0", f"{SEARCH}/placing/test_gate.py"),
    # Trade, bench, document
    Mutant("geometry/trade/bore_fit.py", "crest, kind = max(bushing.root, bushing.crest), hardness(wood)",
           "crest, kind = bushing.root, hardness(wood)", TRADE),
    Mutant("geometry/trade/bore_fit.py", "(crest + each - OVERCUT for each in", "(crest + each for each in", TRADE),
    Mutant("geometry/trade/bore_fit.py", "least = fit.least + build_up", "least = fit.least", TRADE),
    Mutant("geometry/trade/escapes.py", '.replace("^", "^ "))', ")",
           f"{TRADE}/test_escapes.py tests/export/test_dxf.py"),
    Mutant("geometry/bench/strength.py", "return max(0.0, holds - abs(station.moment))", "return max(0.0, holds)",
           f"{BENCH}/test_strength.py"),
    Mutant("geometry/bench/strength.py", "slopes = neck_slope(build.head), head_slope(build.head)",
           "slopes = head_slope(build.head), head_slope(build.head)", f"{BENCH}/test_strength.py"),
    Mutant("geometry/document/lengths.py", "if length < 0 and not negative:", "if length < -1 and not negative:",
           f"{DOCUMENT}/test_lengths.py"),
    Mutant("geometry/document/lengths.py", 'return number * EXACT_INCH if units == "inch" else number',
           "return number * EXACT_INCH", f"{DOCUMENT}/test_lengths.py"),
    # What stays when things go wrong
    Mutant("app/document/session.py", "        del self._steps[self._place + 1 :]\n", "",
           f"{KEPT}/test_history.py"),
    Mutant("app/document/recovery.py", "str(path.absolute()) if path else None", "str(path) if path else None",
           KEPT),
    Mutant("app/document/recovery.py", "        if _is_held(leftover.kept_in):\n            return\n", "",
           KEPT),
    Mutant("app/document/files.py", "            if stream.read() != data:\n", "            if not stream.read():\n",
           KEPT),
    Mutant("app/document/files.py", 'end = "~" if _is_build(held) else ".unread~"', 'end = "~"', KEPT),
    Mutant("app/document/files.py", "target = Path(os.path.realpath(path))\n    try:\n        _refuse_devices(path)\n",
           "target = path\n    try:\n        _refuse_devices(path)\n", KEPT),
    # Paper and machines
    Mutant("export/sheets/kerf.py", "parallel(outline, -kerf / 2)", "parallel(outline, kerf / 2)",
           SHEETS),
    Mutant("export/tiles.py", "highs = (*(seam + OVERLAP / 2 for seam in seams), whole.high)",
           "highs = (*(seam for seam in seams), whole.high)", "tests/export/test_tiles.py"),
    Mutant("export/tiles.py", "fewest = max(2, math.ceil((whole.length - OVERLAP) / step - 1e-9))",
           "fewest = max(2, math.ceil(whole.length / room))", "tests/export/test_tiles.py"),
)  # fmt: skip
"""Mistakes that were made once, or that a hurried hand could make, across all rooms."""


def wrong(home: Path = HOME) -> list[str]:
    """Mistakes of the list itself: what is not found once in its file, and tests that are not there."""
    said = []
    for number, mutant in enumerate(MUTANTS):
        count = (home / mutant.file).read_text(encoding="utf-8").count(mutant.old)
        if count != 1:
            said.append(f"{number}: {mutant.old!r} stands {count} times in {mutant.file}")
        said += [f"{number}: no {path}" for path in mutant.tests.split() if not (home / path).exists()]
    return said


def _dies(mutant: Mutant, copy: Path) -> bool:
    place = copy / mutant.file
    sound = place.read_text(encoding="utf-8")
    place.write_text(sound.replace(mutant.old, mutant.new), encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", *mutant.tests.split()]
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        ended = subprocess.run(
            command, cwd=copy, env=environment, capture_output=True, text=True, check=False
        )
    finally:
        place.write_text(sound, encoding="utf-8")
    if ended.returncode not in (0, 1):
        raise SystemExit(f"{mutant.tests} cannot be run:\n{ended.stdout}{ended.stderr}")
    return ended.returncode == 1


def main(first: int, last: int) -> int:
    """Try each in turn; how many survived."""
    if said := wrong():
        print("\n".join(said))
        return len(said)
    survived = 0
    with tempfile.TemporaryDirectory() as folder:
        for name in COPIED:
            place = HOME / name
            if place.is_dir():
                shutil.copytree(place, Path(folder, name), ignore=shutil.ignore_patterns("__pycache__"))
            else:
                shutil.copy(place, folder)
        for number, mutant in enumerate(MUTANTS[first:last], first):
            begin = time.perf_counter()
            died = _dies(mutant, Path(folder))
            survived += not died
            told = "dies" if died else "SURVIVES"
            print(
                f"{number} {told} ({time.perf_counter() - begin:.0f} s): {mutant.file}: {mutant.new!r}",
                flush=True,
            )
    print(f"{survived} of {len(MUTANTS[first:last])} survived")
    return survived


if __name__ == "__main__":
    given = [int(each) for each in sys.argv[1:]]
    sys.exit(min(1, main(*(given + [0, len(MUTANTS)][len(given) :]))))
