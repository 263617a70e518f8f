"""Makes the photo among the samples again: `python tests/sample_photo.py` from the top of a checkout.

The three-plus-three head on the sheet of markers, four of its six holes drilled, two of them beside their marks.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from PIL import Image  # noqa: E402

from app.document.files import load_build  # noqa: E402
from tests.photographed_heads import SAMPLES, edge_of, holes_of, layout_of  # noqa: E402
from tests.photographs import Scene, outline_of, photograph  # noqa: E402

PHOTO = ROOT / "sample_builds" / "photo-three-plus-three.jpg"
MISSES = ((0.7, -0.4), (0.0, 0.0), (0.0, 0.0), (-0.2, 0.8))
FOCAL = 1500.0
ON_FILM = 32  # mm, of a camera whose picture is 2000 pixels across the corners
HEAD = load_build(SAMPLES / "three-plus-three.pegwright").head


def scene() -> Scene:
    layout = layout_of("three-plus-three")
    holes = [(x + dx, y + dy, d) for (x, y, d), (dx, dy) in zip(holes_of(layout), MISSES, strict=False)]
    return Scene(
        outline_of(edge_of(layout)),
        holes,
        thickness=(HEAD.thickness_nut + HEAD.thickness_tip) / 2,
        wide=1600,
        high=1200,
        focal=FOCAL,
        above=(3.0, 92.0, 330.0),
        tilt=(5.0, -4.0),
        shadow=0.35,
        noise=0.004,
        seed=33,
    )


if __name__ == "__main__":
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = ON_FILM
    Image.fromarray(photograph(scene())[..., ::-1]).save(PHOTO, quality=85, exif=exif)
