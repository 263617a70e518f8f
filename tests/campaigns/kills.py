"""A program that saves is killed at random moments: its file holds one of its builds, and nothing is left lying.

`python tests/campaigns/kills.py [kills]` prints the counts. The test suite kills a few.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from app.document.files import (  # noqa: E402 - the path comes first
    ENDING,
    load_build,
    write_whole,
)
from app.document.messages import Refusal  # noqa: E402
from app.document.recovery import Recovery  # noqa: E402
from geometry.document.codec import write_build  # noqa: E402
from geometry.document.edits import rename  # noqa: E402
from tests.builds import three_and_three  # noqa: E402

SAVES = """
import sys
from pathlib import Path
from app.document.files import keep_copy, stamp_of, write_whole
from app.document.recovery import Recovery
from geometry.document.codec import read_build, write_build
from geometry.document.edits import rename
folder = Path(sys.argv[1])
file, recovery = folder / "head.pegwright", Recovery(folder / "recovery")
build = read_build(file.read_bytes())
print("begun", flush=True)
for number in range(1_000_000):
    build = rename(build, f"save {number}")
    recovery.keep(build, file, stamp_of(file))
    keep_copy(file)
    write_whole(file, write_build(build))
"""


def one_kill(folder: Path, wait: float) -> str:
    """What is there after a kill so many seconds after the first save: a word for what is right, else what is lost."""
    file = folder / "head.pegwright"
    file.write_bytes(write_build(rename(three_and_three(), "save -1")))
    command = [sys.executable, "-c", SAVES, str(folder)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE) as saving:
        assert saving.stdout is not None
        saving.stdout.readline()
        time.sleep(wait)
        saving.kill()
    try:
        now, copy = (load_build(each).name for each in (file, file.with_name("head.pegwright~")))
    except Refusal as refusal:
        return f"TORN: {refusal}" if "no such file" not in str(refusal) else "killed before the first copy"
    [left] = Recovery(folder / "recovery").left_behind() or [None]
    if left is None or _number(left.build.name) < max(_number(now), _number(copy)):
        return "LOST: the work was not kept"
    write_whole(folder / "other.pegwright", b"")
    return "LEFT LYING" if list(folder.glob(f".*{ENDING}")) else "whole"


def _number(name: str) -> int:
    return int(name.removeprefix("save "))


def campaign(kills: int, seed: int = 0) -> Counter[str]:
    """What so many kills leave behind, counted."""
    chance = random.Random(seed)
    found: Counter[str] = Counter()
    for _ in range(kills):
        with tempfile.TemporaryDirectory() as folder:
            found[one_kill(Path(folder), chance.uniform(0.0, 0.2))] += 1
    return found


if __name__ == "__main__":
    for outcome, count in sorted(campaign(int(sys.argv[1]) if len(sys.argv) > 1 else 2000).items()):
        print(f"{count:5d}  {outcome}")
