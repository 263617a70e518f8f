"""Large PNG and TIFF files a band of rows at a time, for as a whole they take far more room than what is made of them.

A band becomes a small file of its own kind, which the library opens: rows of a PNG are packed anew behind the one above
them, strips of a TIFF are taken over as they are.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING, Any

import msgspec
import numpy as np

from geometry.intake.picture_error import PictureError

if TYPE_CHECKING:
    from PIL.Image import Exif, Image

ROWS = 256
"""Rows of a band, about."""


class Bands(msgspec.Struct, frozen=True, eq=False):
    """A picture from top to bottom, as its file holds it: its size in pixels, its EXIF orientation, its bands."""

    size: tuple[int, int]
    orientation: int
    each: Iterator[Image]


def bands_of(data: bytes, opened: Image, multiple: int) -> Bands | None:
    """The bands of an opened file, rows of each but the last one a `multiple` of a number; None where it has none."""
    rows = -(-ROWS // multiple) * multiple
    if opened.format == "PNG":
        return _of_png(data, opened, rows)
    return _of_tiff(data, opened, rows) if opened.format == "TIFF" else None


def exif_of(data: bytes, opened: Image) -> Exif:
    """What the camera wrote into a file; the library would decode all of a PNG for it."""
    from PIL import Image as Library

    if opened.format != "PNG":
        return opened.getexif()
    exif = Library.Exif()
    try:
        exif.load(next((b"Exif\0\0" + part for name, part in _chunks(data) if name == b"eXIf"), b""))
    except (SyntaxError, ValueError, OSError, struct.error):
        # A picture may be sound where what is written beside it is spoilt.
        return Library.Exif()
    return exif


def _ends_early() -> PictureError:
    return PictureError("the picture is spoilt: its file ends before its last row.")


# PNG, third edition (W3C 2025)

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_ORIENTATION = 0x0112
_AT_ONCE = 1 << 16  # bytes


def _of_png(data: bytes, opened: Image, rows: int) -> Bands | None:
    wide, high, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", data[16:29])
    if interlaced or depth < 8:
        return None
    orientation = int(exif_of(data, opened).get(_ORIENTATION, 1))
    palette = b"".join(_chunk(name, part) for name, part in _chunks(data) if name == b"PLTE")
    each = _png_bands(data, (wide, high), rows, (depth // 8, colour), palette)
    return Bands((wide, high), orientation, each)


def _png_bands(
    data: bytes, size: tuple[int, int], rows: int, kind: tuple[int, int], palette: bytes
) -> Iterator[Image]:
    from PIL import Image

    (wide, high), (deep, colour) = size, kind
    one = _CHANNELS[colour] * wide
    packed = _unpacked(data, 1 + one * deep, rows)
    above = np.zeros(one, np.uint8)
    for top in range(0, high, rows):
        count = min(rows, high - top)
        lines = np.frombuffer(next(packed, b"")[: count * (1 + one * deep)], np.uint8)
        if lines.size < count * (1 + one * deep):
            raise _ends_early()
        lines = lines.reshape(count, -1)
        # Each byte of a sample is filtered on its own; of two the first is what is seen.
        lines = np.hstack([lines[:, :1], lines[:, 1::deep]])
        first = np.concatenate([np.zeros(1, np.uint8), above])
        head = struct.pack(">IIBBBBB", wide, count + 1, 8, colour, 0, 0, 0)
        body = zlib.compress(np.vstack([first, lines]).tobytes(), 0)
        file = _SIGNATURE + _chunk(b"IHDR", head) + palette + _chunk(b"IDAT", body) + _chunk(b"IEND", b"")
        with Image.open(BytesIO(file)) as band:
            band.load()
            above = np.frombuffer(band.crop((0, count, wide, count + 1)).tobytes(), np.uint8)
            yield band.crop((0, 1, wide, count + 1))


def _unpacked(data: bytes, line: int, rows: int) -> Iterator[bytes]:
    """The bytes of so many lines at a time, the last ones as many as there are."""
    inflate = zlib.decompressobj()
    wanted, held = line * rows, bytearray()
    for name, part in _chunks(data):
        if name != b"IDAT":
            continue
        for begin in range(0, len(part), _AT_ONCE):
            held += inflate.decompress(part[begin : begin + _AT_ONCE])
            while len(held) >= wanted:
                yield bytes(held[:wanted])
                del held[:wanted]
    yield bytes(held)


def _chunks(data: bytes) -> Iterator[tuple[bytes, memoryview]]:
    """The chunks of a PNG, with their names."""
    at, whole = len(_SIGNATURE), memoryview(data)
    while at + 8 <= len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        yield data[at + 4 : at + 8], whole[at + 8 : at + 8 + length]
        at += length + 12


def _chunk(name: bytes, data: bytes | memoryview) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(data, zlib.crc32(name)))


# TIFF 6.0 (1992)

_WIDTH, _LENGTH, _COMPRESSION, _PLANES = 256, 257, 259, 284
_OFFSETS, _ROWS_OF_STRIP, _COUNTS, _TIFF_ORIENTATION = 273, 278, 279, 274
_KEPT = (258, _COMPRESSION, 262, 266, 277, _PLANES, 317, 320, 338, 339, 347, 530, 531, 532)
"""What tells how samples are written: bits, photometric, fill order, samples, predictor, colours, extra samples, tables
of JPEG, subsampling."""


def _of_tiff(data: bytes, opened: Any, rows: int) -> Bands | None:
    tags = opened.tag_v2
    wide, high, strip = tags.get(_WIDTH), tags.get(_LENGTH), tags.get(_ROWS_OF_STRIP, tags.get(_LENGTH))
    offsets, counts = tags.get(_OFFSETS), tags.get(_COUNTS)
    if not offsets or not counts or tags.get(_PLANES, 1) != 1 or not strip:
        return None
    strips = list(zip(offsets, counts, strict=False))
    if tags.get(_COMPRESSION, 1) == 1 and len(strips) == 1 and counts[0] % high == 0:
        # Without compression a strip may be cut anywhere between two rows.
        line = counts[0] // high
        strips = [(offsets[0] + line * row, line) for row in range(high)]
        strip = 1
    if len(strips) != -(-high // strip) or strip > rows:
        return None
    return Bands((wide, high), tags.get(_TIFF_ORIENTATION, 1), _tiff_bands(data, tags, strips, strip, rows))


def _tiff_bands(
    data: bytes, tags: Any, strips: list[tuple[int, int]], strip: int, rows: int
) -> Iterator[Image]:
    """Bands of so many rows each, whatever rows a strip has."""
    from PIL import Image

    high, held = tags[_LENGTH], None
    at_once = max(1, rows // strip)
    for first in range(0, len(strips), at_once):
        some = strips[first : first + at_once]
        count = min(strip * len(some), high - strip * first)
        band = _tiff_band(data, tags, some, strip, count)
        if held is not None:
            whole = Image.new(band.mode, (band.width, held.height + band.height))
            whole.paste(held, (0, 0))
            whole.paste(band, (0, held.height))
            band = whole
        while band.height >= rows:
            yield band.crop((0, 0, band.width, rows))
            band = band.crop((0, rows, band.width, band.height))
        held = band if band.height else None
    if held is not None:
        yield held


def _tiff_band(data: bytes, tags: Any, strips: list[tuple[int, int]], strip: int, count: int) -> Image:
    """The rows of some strips that follow each other."""
    from PIL import Image
    from PIL.TiffImagePlugin import ImageFileDirectory_v2

    parts = [data[offset : offset + length] for offset, length in strips]
    if sum(map(len, parts)) < sum(length for _, length in strips):
        raise _ends_early()
    made: Any = ImageFileDirectory_v2(prefix=tags.prefix)
    for tag in _KEPT:
        if tag in tags:
            made.tagtype[tag] = tags.tagtype[tag]
            made[tag] = tags[tag]
    made[_WIDTH], made[_LENGTH], made[_ROWS_OF_STRIP] = tags[_WIDTH], count, strip
    lengths = [len(part) for part in parts]
    # The library counts them from the end of the tags.
    made[_OFFSETS] = tuple(int(at) for at in np.concatenate([[0], np.cumsum(lengths)[:-1]]))
    made[_COUNTS] = tuple(lengths)
    order = "<" if tags.prefix == b"II" else ">"
    header = tags.prefix + struct.pack(order + "HI", 42, 8)
    out = BytesIO(header + made.tobytes(len(header)) + b"".join(parts))
    with Image.open(out) as band:
        # Joined to others it would lose its palette.
        return band.convert("RGB") if band.mode == "P" else band.copy()
