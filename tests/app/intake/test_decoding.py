"""Large pictures come out of their bands as out of the whole, and what has no bands is refused in one sentence."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from app.intake import decoding
from app.intake.picture_bands import ROWS
from app.intake.pictures import open_picture
from geometry.intake.picture_error import PictureError

HIGH, WIDE = 2 * ROWS + 47, 61
_NOISE = np.random.default_rng(5).integers(0, 256, (HIGH, WIDE, 4), dtype=np.uint8)


def _picture(mode: str) -> Image.Image:
    """Noise in a mode, so that no filter of rows is like another."""
    if mode == "I;16":
        return Image.fromarray(np.asarray(_NOISE[..., 0], np.uint16) * 257)
    return Image.fromarray(_NOISE[..., :3]).convert(mode)


def _file(mode: str, kind: str, **options: object) -> bytes:
    into = BytesIO()
    _picture(mode).save(into, kind, **options)
    return into.getvalue()


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "P", "L", "LA", "I;16"])
def test_bands_of_a_png_are_the_picture(mode: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoding, "BANDS", 1)
    monkeypatch.setattr(decoding, "WHOLE", 1)
    wanted = np.asarray(_picture("L" if mode == "I;16" else mode).convert("RGB"))
    if mode == "I;16":
        wanted = np.repeat(_NOISE[..., :1], 3, axis=2)
    assert (open_picture(_file(mode, "PNG")).pixels == wanted[..., ::-1]).all()


@pytest.mark.parametrize("compression", [None, "tiff_lzw", "tiff_adobe_deflate", "packbits"])
@pytest.mark.parametrize("mode", ["RGB", "P", "L", "CMYK"])
def test_bands_of_a_tiff_are_the_picture(
    mode: str, compression: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Strips of 13 rows, so that no band ends where a strip does."""
    monkeypatch.setattr(decoding, "BANDS", 1)
    monkeypatch.setattr(decoding, "WHOLE", 1)
    strip = 13 * WIDE * len(_picture(mode).getbands())
    data = _file(mode, "TIFF", compression=compression, strip_size=strip)
    assert (open_picture(data).pixels == np.asarray(_picture(mode).convert("RGB"))[..., ::-1]).all()


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_bands_are_reduced_and_turned_as_the_whole_is(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """EXIF 2.32, orientation 6: a quarter clockwise to be upright."""
    monkeypatch.setattr(decoding, "BANDS", 1)
    monkeypatch.setattr(decoding, "WHOLE", 1)
    monkeypatch.setattr(decoding, "MOST", HIGH * WIDE // 4)
    exif = Image.Exif()
    exif[0x0112] = 6
    opened = open_picture(_file("RGB", kind, exif=exif))
    reduced = np.asarray(_picture("RGB").reduce(3))
    assert (opened.pixels == np.rot90(reduced, -1)[..., ::-1]).all()
    assert opened.reduced == pytest.approx(HIGH / -(-HIGH // 3))


@pytest.mark.parametrize(
    "data",
    [
        _file("RGB", "TIFF", compression="tiff_lzw", strip_size=10**9),
        _file("1", "PNG"),
        _file("RGB", "BMP"),
    ],
)
def test_what_is_large_and_has_no_bands_is_refused(data: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoding, "BANDS", 1)
    monkeypatch.setattr(decoding, "WHOLE", 1)
    with pytest.raises(PictureError, match="can only be opened all at once; expected a JPEG"):
        open_picture(data)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_a_file_that_ends_within_its_bands_is_spoilt(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoding, "BANDS", 1)
    monkeypatch.setattr(decoding, "WHOLE", 1)
    data = _file("RGB", kind)
    with pytest.raises(PictureError, match="spoilt"):
        open_picture(data[: len(data) * 2 // 3])
