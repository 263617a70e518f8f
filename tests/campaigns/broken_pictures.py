"""Photos spoilt at random: each is refused in a sentence, or becomes a build; none takes long, nor much memory.

`python tests/campaigns/broken_pictures.py [pictures] [seed]` prints the counts. The test suite tries a few.
"""

from __future__ import annotations

import random
import resource
import struct
import sys
import zlib
from collections import Counter
from collections.abc import Callable
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from tempfile import mkdtemp

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import pillow_heif  # noqa: E402 - the path comes first
from PIL import Image  # noqa: E402

from app.intake.picture_told import PictureTold  # noqa: E402
from app.intake.readers import READERS, Told  # noqa: E402
from tests.campaigns.broken_drawings import FITTED, cut, doubled, ended, flipped, outcome_of  # noqa: E402

PHOTO = ROOT / "sample_builds" / "photo-three-plus-three.jpg"
SIZE = (1120, 840)  # as small as the markers still are read

SLOW = 5.0
"""Seconds of computing that reading one takes at most."""

MODES = {
    ".jpg": ("RGB", "L", "CMYK"),
    ".png": ("RGB", "RGBA", "P", "L", "LA", "1", "I;16"),
    ".tif": ("RGB", "RGBA", "CMYK", "L", "1", "F", "I", "I;16", "YCbCr"),
    ".heic": ("RGB", "RGBA", "L"),
}
SIDES = (0, 1, 7, 15, 4999, 15800, 65535, 2**31 - 1)
FORMS = (">I", "<I", ">H", "<H")


KINDS = {".jpg": "JPEG", ".png": "PNG", ".tif": "TIFF", ".heic": "HEIF"}


@lru_cache(maxsize=1)
def _photo() -> Image.Image:
    pillow_heif.register_heif_opener()
    with Image.open(PHOTO) as opened:
        return opened.convert("RGB").resize(SIZE, Image.Resampling.BOX)


@lru_cache(maxsize=len(KINDS) * 8)
def good_picture(suffix: str, mode: str) -> bytes:
    """A sound one of a kind, its colours kept as `mode` names it."""
    into = BytesIO()
    grey = _photo().convert("L") if mode in ("I;16", "I", "F", "LA") else _photo()
    grey.convert(mode).save(into, KINDS[suffix])
    return into.getvalue()


def spoilt(data: bytes, chance: random.Random) -> bytes:
    """The bytes with one or a few things wrong, seldom none."""
    ways: tuple[Callable[[bytes, random.Random], bytes], ...] = (
        _declared, _declared, _header, _header, _many, ended, cut, doubled, flipped, _emptied, _as_it_is,
    )  # fmt: skip
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        data = chance.choice(ways)(data, chance)
    return data


def _declared(data: bytes, chance: random.Random) -> bytes:
    """Another width or height than the picture has, with the sum that PNG checks its header by."""
    form = chance.choice(FORMS)
    side = chance.choice(SIDES) % 2 ** (8 * struct.calcsize(form))
    found = data.find(struct.pack(form, chance.choice(SIZE)))
    if found < 0:
        return data
    data = data[:found] + struct.pack(form, side) + data[found + struct.calcsize(form) :]
    if data[12:16] == b"IHDR":
        data = data[:29] + struct.pack(">I", zlib.crc32(data[12:29])) + data[33:]
    return data


def _header(data: bytes, chance: random.Random) -> bytes:
    """A byte among the first few hundred, where what the file is made of is told."""
    return flipped(data[:700], chance) + data[700:]


def _many(data: bytes, chance: random.Random) -> bytes:
    for _ in range(60):
        data = flipped(data, chance)
    return data


def _emptied(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.choice((0, 1, 12))]


def _as_it_is(data: bytes, _: random.Random) -> bytes:
    return data


def campaign(count: int, folder: Path, seed: int = 0) -> Counter[str]:
    """The outcomes of so many spoilt pictures; each is written into the folder, and stays where it went wrong.

    One in eight has a suffix that is not its own, one in eight is told to be a scan.
    """
    chance = random.Random(seed)
    outcomes: Counter[str] = Counter()
    for number in range(count):
        suffix = chance.choice(list(MODES))
        data = good_picture(suffix, chance.choice(MODES[suffix]))
        named = chance.choice(list(READERS)) if chance.random() < 0.125 else suffix
        picture = PictureTold(scan=True) if chance.random() < 0.125 else PictureTold(thickness=13.5)
        file = folder / f"spoilt-{number}{named}"
        file.write_bytes(spoilt(data, chance))
        told = Told(length=150.0, picture=picture)
        outcome = outcome_of(file, fit=number % FITTED == 0, told=told, slow=SLOW)
        outcomes[f"{suffix} {outcome}"] += 1
        if not outcome[:1].isupper():
            file.unlink()
    return outcomes


def main(given: list[str]) -> None:
    """Print the counts."""
    count, seed = (*(int(each) for each in given[:2]), *(200, 0)[len(given) :])
    folder = Path(mkdtemp(prefix="spoilt-"))
    for outcome, number in sorted(campaign(count, folder, seed).items()):
        print(f"{number:7} {outcome}")
    print(f"What went wrong lies in {folder}.")
    print(f"Largest memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    main(sys.argv[1:])
