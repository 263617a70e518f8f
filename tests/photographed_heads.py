"""Random photos of the sample heads, and how far what is read from one is from what was photographed."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import shapely
from scipy.spatial import cKDTree

from app.document.files import load_build
from geometry.intake.camera import CameraTold
from geometry.intake.face_seen import face_in_flat, face_in_photo, face_in_scan
from geometry.intake.head_in_picture import HeadSeen, head_of
from geometry.intake.lines import KnownPoints
from geometry.intake.marker_sheet import MARKER_SHEETS, MarkerSheet
from geometry.intake.rectified import Picture
from geometry.layout.layout import Layout, lay_out
from tests import photographs
from tests.photographs import Floats, Scene

SAMPLES = Path(__file__).resolve().parent.parent / "sample_builds"
NAMES = (
    "three-plus-three",
    "six-in-line",
    "tenor-ukulele",
    "three-string-stick-dulcimer",
    "eight-string-mandolin",
    "four-string-bass",
    "twelve-string",
)


@lru_cache(maxsize=len(NAMES))
def layout_of(name: str) -> Layout:
    return lay_out(load_build(SAMPLES / f"{name}.pegwright"))


def edge_of(layout: Layout) -> Floats:
    """The open edge (n, 2) of a head."""
    assert layout.edge is not None
    return shapely.get_coordinates(layout.edge.line)


def holes_of(layout: Layout) -> list[tuple[float, float, float]]:
    return [(post.at.x, post.at.y, post.bore) for post in layout.posts]


def smallest_sheet(edge: Floats) -> MarkerSheet:
    """The smallest of three papers whose field has room for a head with the shift that its height makes."""
    for paper in ("A4", "A3", "A2"):
        field = MARKER_SHEETS[paper].field
        if np.abs(edge[:, 0]).max() * 1.05 + 4 < field.right and edge[:, 1].max() * 1.05 + 4 < field.top:
            return MARKER_SHEETS[paper]
    raise ValueError("no sheet is large enough")


@dataclass(frozen=True)
class Taken:
    """A photo to take, and what the maker tells of it."""

    name: str
    scene: Scene
    told_thickness: float
    told_lean: float
    told_focal: float | None
    truth: Floats
    holes: list[tuple[float, float, float]]
    told_height: float


def head_in_photo(
    picture: Picture,
    thickness: float,
    lean: float = 0.0,
    printed: float = 1.0,
    told_focal: float | None = None,
    told_height: float | None = None,
    at_tip: float | None = None,
) -> HeadSeen:
    """The head in a photo, told as its face is."""
    told = CameraTold(told_focal, told_height)
    return head_of(face_in_photo(picture, thickness, lean, printed, told, at_tip), printed)


def head_in_scan(picture: Picture) -> HeadSeen:
    """The head in a scan with markers."""
    return head_of(face_in_scan(picture))


def head_in_flat(picture: Picture, scale: float | KnownPoints) -> HeadSeen:
    """The head in a flat picture without a sheet."""
    return head_of(face_in_flat(picture, scale))


def random_photo(seed: int, wide: int = 3000) -> Taken:
    """A photo that somebody might take, one for each seed."""
    random = np.random.default_rng(seed)
    name = NAMES[seed % len(NAMES)]
    edge, holes = edge_of(layout_of(name)), holes_of(layout_of(name))
    sheet = smallest_sheet(edge)
    thickness = float(random.uniform(12.0, 18.0))
    lean = float(random.choice([0.0, 0.0, 0.0, random.uniform(-5.0, 8.0)]))
    beside = float(random.normal(0.0, 0.4))
    placed = edge + np.array([beside, 0.0])
    # As far up as the whole sheet with its tilt asks, the focal length being that of a wide camera.
    focal = wide * random.uniform(0.78, 1.05)
    need = 1.3 * max(sheet.height / wide, sheet.width / (0.75 * wide))
    upright = bool(random.random() < 0.3)
    size = (round(0.75 * wide), wide) if upright else (wide, round(0.75 * wide))
    tilt = random.uniform(0.0, 12.0)
    way = random.uniform(0, 2 * math.pi)
    middle = (sheet.frame.bottom + sheet.frame.top) / 2
    markers = [marker.number for marker in sheet.markers]
    covered = random.choice(markers, int(random.choice([0, 0, 1, 3, 5])), replace=False)
    scene = Scene(
        outline=photographs.outline_of(placed),
        holes=[(x + beside, y, d) for x, y, d in holes],
        sheet=sheet,
        thickness=thickness,
        taper=lean,
        wood=photographs.WOODS[int(random.integers(len(photographs.WOODS)))],
        wide=size[0],
        high=size[1],
        focal=focal,
        centre_off=tuple(random.normal(0.0, 0.004 * wide, 2)),
        radial=(float(random.uniform(-0.08, 0.1)), float(random.uniform(-0.1, 0.05))),
        above=(
            float(random.normal(0, 8)),
            middle + float(random.normal(0, 8)),
            focal * need * random.uniform(1.0, 1.2),
        ),
        tilt=(tilt * math.cos(way), tilt * math.sin(way)),
        roll=float(random.choice([0.0, 180.0] if upright else [90.0, 270.0]) + random.normal(0, 3)),
        light=tuple(random.uniform(-0.25, 0.25, 2)),
        shadow=float(random.uniform(0.05, 0.5)),
        shadow_by=tuple(random.uniform(-6, 6, 2)),
        shine=_shine(random, placed),
        covered=tuple(map(int, covered)),
        blur=float(random.uniform(0.6, 1.3)),
        noise=float(random.uniform(0.003, 0.012)),
        quality=int(random.integers(78, 95)),
        seed=seed,
        in_hole=float(random.uniform(0.3, 0.9)),
    )
    told = thickness + float(random.normal(0.0, 0.08))
    told_focal = focal * float(np.exp(random.normal(0.0, 0.02))) if random.random() < 0.7 else None
    told_height = float(photographs.camera_of(scene).place[2] + random.normal(0.0, 8.0))
    return Taken(name, scene, told, lean, told_focal, edge, holes, told_height)


def _shine(random: np.random.Generator, edge: Floats) -> tuple[float, float, float, float] | None:
    if random.random() < 0.5:
        return None
    at = edge[int(random.integers(len(edge)))] * random.uniform(0.2, 1.0)
    return float(at[0]), float(at[1]), float(random.uniform(3.0, 9.0)), float(random.uniform(0.2, 0.8))


@dataclass(frozen=True)
class Errors:
    """In mm: of the edge (n,), of what is told as seen of it (m,), of centres and diameters of the holes found (k,).

    And how many holes were not found, and found where none is. `centre_gives` and `diameter_gives` (k,) are what each
    is said to be good for, that of centres with the share of the nut's middle, where the head's own frame begins.
    """

    edge: Floats
    seen: Floats
    centres: Floats
    diameters: Floats
    missed: int
    invented: int
    centre_gives: Floats
    diameter_gives: Floats


def errors(seen: HeadSeen, truth: Floats, holes: list[tuple[float, float, float]], give: float) -> Errors:
    """What was read held against what was photographed; `give` is how many standard deviations are stated."""
    true, read = shapely.LineString(truth), shapely.LineString(seen.edge)
    here, wanted_there = (shapely.get_coordinates(shapely.segmentize(line, 0.5)) for line in (read, true))
    there, back = (
        shapely.distance(shapely.points(here), true),
        shapely.distance(shapely.points(wanted_there), read),
    )
    # A place counts as seen where the nearest one that was read does.
    nearest = cKDTree(seen.edge).query(np.vstack([here, wanted_there]))[1]
    off = np.concatenate([there, back])
    wanted = np.array(holes).reshape(-1, 3)
    pairs = [
        (rim, wanted[near])
        for rim in seen.rims
        if len(wanted)
        and (near := int(np.hypot(wanted[:, 0] - rim.x, wanted[:, 1] - rim.y).argmin())) is not None
        and math.hypot(wanted[near, 0] - rim.x, wanted[near, 1] - rim.y) < 3.0
    ]
    return Errors(
        off,
        off[seen.seen[nearest]],
        np.array([math.hypot(rim.x - hole[0], rim.y - hole[1]) for rim, hole in pairs]),
        np.array([rim.diameter - hole[2] for rim, hole in pairs]),
        len(holes) - len({tuple(hole) for _, hole in pairs}),
        len(seen.rims) - len(pairs),
        np.array([give * math.hypot(rim.centre_spread, seen.middle_spread) for rim, _ in pairs]),
        np.array([give * rim.diameter_spread for rim, _ in pairs]),
    )


Flags = npt.NDArray[np.bool_]
