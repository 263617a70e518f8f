"""Pictures are opened the right way up, in bounded size, or refused in one sentence."""

from __future__ import annotations

import math
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from app.document.messages import Refusal
from app.intake.photo import printed_scale, see_head
from app.intake.picture_told import MOST, PictureTold
from app.intake.pictures import BOMB, open_picture
from geometry.intake.picture_error import PictureError
from geometry.trade.sentence import SentenceError

COLOURS = np.zeros((40, 60, 3), np.uint8)
COLOURS[:20, :30] = (250, 10, 10)  # red at the upper left


@pytest.mark.parametrize(("orientation", "corner"), [(1, (5, 5)), (3, (34, 54)), (6, (5, 34)), (8, (54, 5))])
def test_honours_the_orientation_of_exif(orientation: int, corner: tuple[int, int], tmp_path: Path) -> None:
    """EXIF 2.32, tag 0x0112: 3 is turned by half, 6 a quarter clockwise to be upright, 8 a quarter the other way."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = tmp_path / "a.jpg"
    Image.fromarray(COLOURS).save(path, exif=exif, quality=98)
    blue, _, red = open_picture(path.read_bytes()).pixels[corner].tolist()
    assert red > 200 > 60 > blue


@pytest.mark.parametrize("suffix", [".png", ".tif", ".heic"])
def test_opens_other_kinds(suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"a{suffix}"
    if suffix == ".heic":
        import pillow_heif

        pillow_heif.from_pillow(Image.fromarray(np.kron(COLOURS, np.ones((4, 4, 1), np.uint8)))).save(
            path, quality=95
        )
        at = (30, 60)
    else:
        Image.fromarray(COLOURS).save(path)
        at = (8, 15)
    blue, _, red = open_picture(path.read_bytes()).pixels[at].tolist()
    assert red > 180 > 80 > blue


def test_sixteen_bits_of_grey_keep_their_light(tmp_path: Path) -> None:
    path = tmp_path / "a.tif"
    Image.fromarray(np.full((30, 30), 32896, np.uint16)).save(path)
    assert set(open_picture(path.read_bytes()).pixels.ravel().tolist()) == {128}


def test_a_picture_of_100_million_pixels_is_reduced(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    Image.new("RGB", (11600, 8700), (200, 190, 180)).save(path, quality=50)
    opened = open_picture(path.read_bytes())
    assert opened.pixels.shape[0] * opened.pixels.shape[1] <= MOST
    assert opened.reduced == pytest.approx(11600 / opened.pixels.shape[1], rel=1e-3)


def test_a_bomb_is_refused_before_it_is_decoded(tmp_path: Path) -> None:
    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", 60000, 60000, 8, 2, 0, 0, 0)
    path = tmp_path / "a.png"
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")
    )
    with pytest.raises(PictureError, match=f"more than {BOMB // 10**6} million pixels"):
        open_picture(path.read_bytes())


def test_a_size_that_the_file_cannot_hold_is_refused_before_room_is_made_for_it(tmp_path: Path) -> None:
    """Below the bound of a bomb, and yet 60 million pixels in a few hundred bytes."""
    path = tmp_path / "a.png"
    Image.new("RGB", (64, 64)).save(path)
    data = bytearray(path.read_bytes())
    data[16:24] = struct.pack(">II", 10000, 6000)
    data[29:33] = struct.pack(">I", zlib.crc32(bytes(data[12:29])))
    with pytest.raises(PictureError, match="60 million pixels, and its file is too small"):
        open_picture(bytes(data))


def test_tells_the_focal_length_of_the_file(tmp_path: Path) -> None:
    """26 mm as on film: 26 / 43.27 of the diagonal, whichever way up the picture is."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769)[0xA405] = 26
    path = tmp_path / "a.jpg"
    Image.new("RGB", (400, 300)).save(path, exif=exif)
    assert open_picture(path.read_bytes()).focal == pytest.approx(500 * 26 / 43.267, rel=1e-3)
    Image.new("RGB", (400, 300)).save(path)
    assert open_picture(path.read_bytes()).focal is None


def test_refuses_what_is_no_picture(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"words")
    with pytest.raises(PictureError, match="no picture that can be read"):
        open_picture(path.read_bytes())
    Image.fromarray(np.kron(COLOURS, np.ones((9, 9, 1), np.uint8))).save(path)
    path.write_bytes(path.read_bytes()[:900])
    with pytest.raises(PictureError, match="spoilt"):
        open_picture(path.read_bytes())
    with pytest.raises(Refusal, match=r"b\.jpg: cannot be read"):
        see_head(tmp_path / "b.jpg", PictureTold(thickness=15.0))


def test_says_what_a_picture_needs(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.new("RGB", (400, 300), (220, 220, 220)).save(path)
    with pytest.raises(Refusal, match="--thickness 15"):
        see_head(path, PictureTold())
    with pytest.raises(Refusal, match="Give one of them"):
        see_head(path, PictureTold(thickness=15.0, dpi=300.0))
    with pytest.raises(Refusal, match=r"--thickness: 90 mm is no head; expected 1 mm to 60 mm"):
        see_head(path, PictureTold(thickness=90.0))
    with pytest.raises(Refusal, match=r"--thickness: 3 in is no head; expected 0\.039 in to 2\.362 in"):
        see_head(path, PictureTold(thickness=76.2), "inch")
    with pytest.raises(Refusal, match=r"ruler of 2 in is no printed ruler; expected about one of"):
        see_head(path, PictureTold(thickness=15.0, measured_ruler=50.8), "inch")
    with pytest.raises(
        Refusal, match=r"--camera-height: 45 mm is not above a head; expected 100 mm to 3,?000 mm"
    ):
        see_head(path, PictureTold(thickness=15.0, camera_height=45.0))
    with pytest.raises(Refusal, match="a scan has no camera"):
        see_head(path, PictureTold(scan=True, camera_height=450.0))
    with pytest.raises(Refusal, match="too steep"):
        see_head(path, PictureTold(thickness=15.0, lean_deg=math.nan))
    Image.new("RGB", (400, 300), (220, 220, 220)).save(path)
    with pytest.raises(Refusal, match=r"a\.png: no marker of the sheet is seen"):
        see_head(path, PictureTold(thickness=15.0))


def test_a_measured_ruler_tells_the_scale_of_the_print() -> None:
    assert printed_scale(None) == 1.0
    assert printed_scale(149.6) == pytest.approx(149.6 / 150)
    assert printed_scale(194.0) == pytest.approx(0.97)
    assert printed_scale(97.0) == pytest.approx(0.97)
    with pytest.raises(SentenceError, match="no printed ruler"):
        printed_scale(60.0)
