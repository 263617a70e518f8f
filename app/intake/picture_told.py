"""Which files are pictures, and what the maker tells of one."""

from __future__ import annotations

import msgspec

from geometry.intake.lines import KnownPoints, Lines

PICTURES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic")
"""Suffixes of photos and scans."""

THINNEST, THICKEST = 1.0, 60.0
"""mm of heads: from memory."""

STEEPEST = 30.0
"""Degrees that sides lean at most."""

LOWEST, HIGHEST = 100.0, 3000.0
"""mm that a camera is over the sheet: as low as the sheet fits into the picture, as high as a ceiling, no source."""

COARSEST, FINEST = 50, 4800
"""Dots per inch of scans: what flatbed scanners offer, from memory."""

MOST = 24_000_000
"""Pixels that are worked on; larger pictures are reduced: finer than this no edge of wood is."""

LARGEST_PICTURE = 400_000_000
"""Bytes of a file."""


SHORTEST_KNOWN, LONGEST_KNOWN = 10.0, 1000.0
"""mm between two places of known distance: shorter tells little, longer is no head; common practice, no source."""


class PictureTold(msgspec.Struct, frozen=True):
    """What the maker tells of a picture, lengths in mm.

    `thickness` of the head for a photo, `thickness_at_tip` where it is another one there; without them the picture is
    flat, as a scan, where `scan`, `dpi` or `known` says so. `measured_ruler` is what a printed ruler of the sheet
    measures. `camera_height` is how high the camera was over the sheet. `lean_deg` is
    how far the sides lean. `lines` are where the nut and the centre line are shown over it.
    """

    thickness: float | None = None
    lean_deg: float = 0.0
    measured_ruler: float | None = None
    dpi: float | None = None
    scan: bool = False
    thickness_at_tip: float | None = None
    known: KnownPoints | None = None
    lines: Lines | None = None
    camera_height: float | None = None

    @property
    def without_sheet(self) -> bool:
        """Whether its scale is told without a sheet of markers in it."""
        return self.dpi is not None or self.known is not None
