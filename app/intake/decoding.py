"""From a file that the library has opened to pixels, with no more of it in memory at once than that takes."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageOps

from app.intake.picture_bands import ROWS, Bands, bands_of
from app.intake.picture_told import MOST
from geometry.intake.picture_error import PictureError

WHOLE = 200_000_000
"""Bytes of the largest picture that is decoded as a whole."""

BANDS = 100_000_000
"""Bytes of a picture of which bands are decoded instead, where its file has any."""

_ROOM = {"1": 2, "L": 1, "I;16": 3, "I;16B": 3}
"""Bytes for a pixel with what it is turned into; 4 of other modes."""

_ORIENTATION = 0x0112  # EXIF 2.32


def decoded(opened: Image.Image, data: bytes) -> npt.NDArray[np.uint8]:
    """The pixels (high, wide, 3) of an opened file, blue first, the right way up, MOST of them at most.

    PictureError where they are too many to be decoded as a whole, and the file, whose bytes are `data`, gives no parts.
    """
    factor = max(1.0, math.sqrt(opened.size[0] * opened.size[1] / MOST))
    # JPEG is decoded smaller at once where that leaves enough.
    opened.draft("RGB", (round(opened.size[0] / factor), round(opened.size[1] / factor)))
    (wide, high), takes = opened.size, opened.size[0] * opened.size[1] * _ROOM.get(opened.mode, 4)
    by = math.ceil(math.sqrt(wide * high / MOST))
    bands = bands_of(data, opened, by) if takes > BANDS else None
    if bands is not None:
        small, orientation = _joined(bands, by)
    elif takes <= WHOLE:
        small, orientation = _whole(opened)
    else:
        raise PictureError(
            f"the picture has {wide * high // 10**6} million pixels, and is stored so that they can only be opened all "
            f"at once; expected a JPEG, or {WHOLE // 4 // 10**6} million pixels at most."
        )
    # The library turns a picture by what is written beside it.
    small.getexif()[_ORIENTATION] = orientation
    ImageOps.exif_transpose(small, in_place=True)
    return _blue_first(small)


def _whole(opened: Image.Image) -> tuple[Image.Image, int]:
    """The picture, reduced to what is worked on, in RGB or grey, and its EXIF orientation."""
    opened.load()
    # Not before: of a TIFF it is worked in while it is loaded.
    orientation = int(opened.getexif().get(_ORIENTATION, 1))
    small = _reduced(_plain(opened))
    if small is not opened:
        opened.close()
    return small, orientation


def _reduced(picture: Image.Image) -> Image.Image:
    many = picture.size[0] * picture.size[1]
    if many <= MOST:
        return picture
    scale = math.sqrt(MOST / many)
    small = (max(1, int(picture.size[0] * scale)), max(1, int(picture.size[1] * scale)))
    return picture.resize(small, Image.Resampling.BOX)


def _joined(bands: Bands, by: int) -> tuple[Image.Image, int]:
    """The same from bands: reduced by a whole number."""
    small: Image.Image | None = None
    at = 0
    for band in bands.each:
        part = _plain(band).reduce(by)
        if small is None:
            small = Image.new(part.mode, (-(-bands.size[0] // by), -(-bands.size[1] // by)))
        small.paste(part, (0, at))
        at += part.height
    if small is None or at < small.height:
        raise PictureError("the picture is spoilt: its file ends before its last row.")
    return small, bands.orientation


def _plain(picture: Image.Image) -> Image.Image:
    """In 8 bits of grey or RGB: grey stays grey, for a third of the room."""
    if picture.mode.startswith("I"):
        # 16 bits of grey, which the conversion would cut off at 255.
        return _eight_bits(picture)
    wanted = "L" if picture.mode in ("1", "L", "F", "LA") else "RGB"
    return picture if picture.mode == wanted else picture.convert(wanted)


def _blue_first(picture: Image.Image) -> npt.NDArray[np.uint8]:
    """The pixels (high, wide, 3) of a picture in RGB or grey, some rows at a time, so that there is no other copy."""
    wide, high = picture.size
    pixels = np.empty((high, wide, 3), np.uint8)
    for top in range(0, high, ROWS):
        rows = np.asarray(picture.crop((0, top, wide, min(top + ROWS, high))))
        pixels[top : top + ROWS] = rows[..., None] if rows.ndim == 2 else rows[..., ::-1]
    return pixels


def _eight_bits(picture: Image.Image) -> Image.Image:
    """A picture of 16 bits of grey in 8, some rows at a time: as a whole its numbers would take many times its room."""
    wide, high = picture.size
    grey = np.empty((high, wide), np.uint8)
    for top in range(0, high, ROWS):
        bottom = min(top + ROWS, high)
        grey[top:bottom] = (np.asarray(picture.crop((0, top, wide, bottom))) / 257).astype(np.uint8)
    return Image.fromarray(grey)
