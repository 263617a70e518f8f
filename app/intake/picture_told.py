"""Which files are pictures, and what the maker tells of one."""

from __future__ import annotations

import msgspec

PICTURES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic")
"""Suffixes of photos and scans."""

THINNEST, THICKEST = 1.0, 60.0
"""mm of heads: from memory."""

STEEPEST = 30.0
"""Degrees that sides lean at most."""

COARSEST, FINEST = 50, 4800
"""Dots per inch of scans: what flatbed scanners offer, from memory."""

LARGEST_PICTURE = 400_000_000
"""Bytes of a file."""


class PictureTold(msgspec.Struct, frozen=True):
    """What the maker tells of a picture, lengths in mm.

    `thickness` of the head for a photo; without it the picture is a flatbed scan where `scan` or `dpi` says so.
    `measured_ruler` is what a printed ruler of the sheet measures. `lean_deg` is how far the sides lean.
    """

    thickness: float | None = None
    lean_deg: float = 0.0
    measured_ruler: float | None = None
    dpi: float | None = None
    scan: bool = False
