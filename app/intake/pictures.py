"""Opens pictures: their size is looked at before they are decoded, and they are turned the right way up."""

from __future__ import annotations

import math
import struct
import warnings
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
import numpy as np
import numpy.typing as npt

from app.document.files import read_bytes
from app.document.messages import Refusal
from app.intake.picture_bands import exif_of
from app.intake.picture_told import LARGEST_PICTURE, MOST, PICTURES
from geometry.intake.picture_error import PictureError

if TYPE_CHECKING:
    from PIL.Image import Exif, Image

BOMB = 250_000_000
"""Pixels beyond which a file is no photo and no scan of a head, and is not decoded."""

LEAST_FILE = 400
"""Pixels in a byte of a picture that is large, beyond which its file cannot hold one: no photo packs nearly as well."""


class Opened(msgspec.Struct, frozen=True, eq=False):
    """A picture (high, wide, 3), blue first, the right way up, no larger than is worked on.

    `reduced` is how many pixels of the file one of its own is across. `focal` is the focal length in its pixels, None
    where the file does not tell it.
    """

    pixels: npt.NDArray[np.uint8]
    reduced: float
    focal: float | None


def open_picture_at(path: Path) -> Opened:
    """The picture in a file, whose bytes are let go; Refusal where it cannot be read, or a PictureError."""
    data = read_bytes(path, LARGEST_PICTURE)
    if len(data) > LARGEST_PICTURE:
        raise Refusal(f"{path}: is larger than {LARGEST_PICTURE // 1_000_000} MB.")
    return open_picture(data)


def open_picture(data: bytes) -> Opened:
    """The picture in the bytes of a file; PictureError in one sentence where it is none, a spoilt one, or too large."""
    from PIL import Image, UnidentifiedImageError

    _know_heic(data)
    try:
        with warnings.catch_warnings():
            # Of large pictures, which are refused here, and of spoilt notes in a file, which are left out.
            warnings.simplefilter("ignore")
            with Image.open(BytesIO(data)) as opened:
                _refuse_size(*opened.size, len(data))
                return _opened(opened, data)
    except (PictureError, MemoryError):
        raise
    except UnidentifiedImageError:
        raise PictureError(f"this is no picture that can be read; expected {', '.join(PICTURES)}.") from None
    except Image.DecompressionBombError:
        raise PictureError(_TOO_LARGE) from None
    except Exception as error:
        # What decoders raise on spoilt files is of any kind.
        raise PictureError(f"the picture is spoilt: {_short(error)}.") from None


_TOO_LARGE = f"the picture says that it has more than {BOMB // 10**6} million pixels, so it is not opened."


def _refuse_size(wide: int, high: int, in_file: int) -> None:
    if wide * high > BOMB:
        raise PictureError(_TOO_LARGE)
    if wide * high > max(MOST, LEAST_FILE * in_file):
        millions = wide * high // 10**6
        raise PictureError(
            f"the picture says that it has {millions} million pixels, and its file is too small for so many; "
            "expected a whole file."
        )
    if min(wide, high) < 16:
        raise PictureError(f"the picture is {wide} by {high} pixels; expected a photo or scan of a head.")


def _opened(picture: Image, data: bytes) -> Opened:
    from app.intake.decoding import decoded

    longer, focal = max(picture.size), _focal(exif_of(data, picture))
    pixels = decoded(picture, data)
    high, wide = pixels.shape[:2]
    return Opened(pixels, longer / max(high, wide), None if focal is None else focal * math.hypot(high, wide))


def _focal(exif: Exif) -> float | None:
    """The focal length as a share of the diagonal of the picture, where the file tells it.

    EXIF 2.32, tag 0xA405: as on 35 mm film, whose diagonal is 43.27 mm.
    """
    try:
        told = float(exif.get_ifd(0x8769).get(0xA405, 0))
    except (ValueError, TypeError, OSError, SyntaxError, struct.error):
        return None
    return told / _FILM if 8 <= told <= 300 else None


_FILM = math.hypot(36.0, 24.0)


def _know_heic(data: bytes) -> None:
    # ISO/IEC 23008-12: a box "ftyp" that names the kind.
    if data[4:8] != b"ftyp" or data[8:12] not in (b"heic", b"heix", b"mif1", b"hevc", b"msf1"):
        return
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        raise PictureError(
            "HEIC needs the library pillow-heif, which does not come along because part of it is under the GPL: "
            "install it beside Pegwright, or save the picture as JPEG."
        ) from None
    register_heif_opener()


def _short(error: Exception) -> str:
    return (
        str(error).strip().rstrip(".").splitlines()[0][:100] if str(error).strip() else type(error).__name__
    )
