"""Saves on a disk that is really full: with room for a little more each time, in bytes and in files.

`python tests/campaigns/full_disk.py FOLDER` prints the counts. The folder is a small disk of its own that nothing else
uses, for example after `mount -t tmpfs -o size=256k,nr_inodes=60 tmpfs FOLDER`.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication  # noqa: E402 - the path comes first

from tests.campaigns.faults import RIGHT, one_save  # noqa: E402

STEP = 1024
"""Bytes more each time; disks give out whole blocks, of which a save takes a few."""

LARGEST = 1 << 20
"""Bytes of a disk that is worth filling."""


@contextmanager
def filled(disk: Path, room: int, files: int) -> Iterator[None]:
    """The disk full but for `room` bytes and `files` files."""
    ballast = disk / "ballast"
    ballast.mkdir()
    try:
        with (ballast / "bytes").open("wb", buffering=0) as stream:
            _until_full(stream.fileno())
            stream.truncate(max(0, stream.tell() - room))
        _no_more_files(ballast, files)
        yield
    finally:
        for file in ballast.iterdir():
            file.unlink()
        ballast.rmdir()


def _until_full(descriptor: int) -> None:
    with suppress(OSError):
        while os.write(descriptor, bytes(STEP)):
            pass


def _no_more_files(ballast: Path, files: int) -> None:
    """Empty files until no more can be made, less so many."""
    made = []
    with suppress(OSError):
        for number in range(LARGEST):
            (ballast / str(number)).touch()
            made.append(number)
    for number in made[len(made) - files :]:
        (ballast / str(number)).unlink()


def campaign(disk: Path) -> Counter[str]:
    """What became of a save for every room, from none to all that it takes, counted."""
    found: Counter[str] = Counter()
    free = os.statvfs(disk)
    if (size := free.f_bavail * free.f_frsize) > LARGEST:
        raise SystemExit(f"{disk} has {size} bytes; a disk of at most {LARGEST} is expected.")
    tries = [(room, 20) for room in range(0, 16 * STEP, STEP)] + [(32 * STEP, files) for files in range(8)]
    for room, files in tries:
        with tempfile.TemporaryDirectory(dir=disk) as folder:
            became = one_save(Path(folder), filled(disk, room, files))
        found[became if became in RIGHT else f"LOST with {room} bytes and {files} files: {became}"] += 1
    return found


if __name__ == "__main__":
    if len(sys.argv) != 2 or not Path(sys.argv[1]).is_dir():
        raise SystemExit(str(__doc__).strip())
    application = QApplication.instance() or QApplication([])
    for outcome, count in sorted(campaign(Path(sys.argv[1])).items()):
        print(f"{count:5d}  {outcome}")
