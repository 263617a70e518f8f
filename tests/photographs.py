"""Made-up photos of heads on the sheet of markers, whose truth is known: lens, pose, light, wood, noise and JPEG.

Every pixel's ray is followed through the scene: the face, then the walls slice by slice, then the paper. Nothing here
is shared with what reads photos but the layout of the sheet and the look of its markers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import cv2
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.marker_cells import marker_cells
from geometry.intake.marker_pair import MarkerPair
from geometry.intake.marker_sheet import MARKER_SHEETS, MarkerSheet

Floats = npt.NDArray[np.float64]
Linear = npt.NDArray[np.float32]
Image = npt.NDArray[np.uint8]

# Share of light that comes back, linear, in the order blue, green, red; typical, no source.
MAPLE = (0.23, 0.42, 0.58)
MAHOGANY = (0.045, 0.085, 0.21)
WALNUT = (0.04, 0.07, 0.12)
EBONY = (0.016, 0.019, 0.025)
WOODS = (MAPLE, MAHOGANY, WALNUT, EBONY)
PAPER = (0.86, 0.86, 0.85)
SLICE = 1.2  # mm between two slices of a wall
PRINTED = 20.0  # pixels in a mm of the print
FIELD = 0.2  # mm between the places where distances are worked out


@dataclass(frozen=True)
class Scene:
    """One head on one sheet under one camera. Lengths in mm, angles in degrees, the frame is the sheet's."""

    outline: Floats
    holes: Sequence[tuple[float, float, float]] = ()
    sheet: MarkerSheet | MarkerPair = MARKER_SHEETS["A4"]
    thickness: float = 15.0
    at_tip: float | None = None  # thickness there, where it is another one than at the nut
    taper: float = 0.0  # how far the sides lean: the back is wider for a positive angle
    wood: tuple[float, float, float] = MAHOGANY
    wide: int = 4000
    high: int = 3000
    focal: float = 3200.0
    centre_off: tuple[float, float] = (0.0, 0.0)
    radial: tuple[float, float] = (0.05, -0.08)
    above: tuple[float, float, float] = (0.0, 92.0, 430.0)
    tilt: tuple[float, float] = (4.0, -3.0)
    roll: float = 90.0
    light: tuple[float, float] = (0.15, -0.1)  # how much the light falls off to the right and to the top
    shadow: float = 0.3
    shadow_by: tuple[float, float] = (4.0, -3.0)
    shine: tuple[float, float, float, float] | None = None  # place, radius, strength
    covered: Sequence[int] = ()
    blur: float = 0.8
    noise: float = 0.006
    quality: int = 88
    in_hole: float = 0.6  # light that is lost in a hole
    printed_at: float = 1.0
    seed: int = 1
    beyond: tuple[float, float, float] = (0.2, 0.25, 0.3)  # the table


@dataclass(frozen=True)
class Camera:
    matrix: Floats
    radial: Floats
    turn: Floats
    place: Floats = field(default_factory=lambda: np.zeros(3))

    def pixels(self, points: Floats) -> Floats:
        shift = -self.turn @ self.place
        found, _ = cv2.projectPoints(points, cv2.Rodrigues(self.turn)[0], shift, self.matrix, self.radial)
        return np.asarray(found, float).reshape(-1, 2)


def camera_of(scene: Scene) -> Camera:
    """A camera looking down: x of the picture to the right, y down, as OpenCV has them."""
    pitch, yaw, roll = np.radians([*scene.tilt, scene.roll])
    down = np.diag([1.0, -1.0, -1.0])
    about_x = cv2.Rodrigues(np.array([pitch, 0.0, 0.0]))[0]
    about_y = cv2.Rodrigues(np.array([0.0, yaw, 0.0]))[0]
    about_z = cv2.Rodrigues(np.array([0.0, 0.0, roll]))[0]
    x, y = scene.centre_off
    matrix = np.array(
        [[scene.focal, 0, scene.wide / 2 + x], [0, scene.focal, scene.high / 2 + y], [0, 0, 1.0]]
    )
    radial = np.array([*scene.radial, 0.0, 0.0, 0.0])
    # Towards the middle of the sheet, whatever the tilt.
    turn = about_z @ about_x @ about_y @ down
    aim = np.array([*scene.above[:2], 0.0])
    place = aim - turn.T @ np.array([0.0, 0.0, scene.above[2]])
    return Camera(matrix, radial, turn, place)


class Distances:
    """How far inside a shape a place is, in mm, no more than 3; exact on a grid and linear between."""

    def __init__(self, shape: shapely.Geometry, box: tuple[float, float, float, float]) -> None:
        left, bottom, right, top = box
        self.low = np.array([left, bottom])
        xs, ys = np.arange(left, right, FIELD), np.arange(bottom, top, FIELD)
        x, y = np.meshgrid(xs, ys)
        inside = shapely.contains_xy(shape, x, y)
        mask = np.asarray(inside, np.uint8)
        rough = cv2.distanceTransform(mask, cv2.DIST_L2, 3) + cv2.distanceTransform(1 - mask, cv2.DIST_L2, 3)
        near = rough < 3.5 / FIELD
        distance = np.full(x.shape, 3.0, np.float32)
        edge = shapely.boundary(shape)
        shapely.prepare(edge)
        distance[near] = np.minimum(shapely.distance(edge, shapely.points(x[near], y[near])), 3.0)
        self.grid = np.where(inside, distance, -distance).astype(np.float32)

    def at(self, x: Linear, y: Linear) -> Linear:
        u = ((x - self.low[0]) / FIELD).astype(np.float32)
        v = ((y - self.low[1]) / FIELD).astype(np.float32)
        found = cv2.remap(self.grid, u, v, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=-3.0)
        return np.asarray(found, np.float32)


@lru_cache(maxsize=4)
def distances(shape: bytes, box: tuple[float, float, float, float]) -> Distances:
    """The same for a shape as well-known binary, kept for other photos of it."""
    return Distances(shapely.from_wkb(shape), box)


def photograph(scene: Scene) -> Image:
    """The picture (height, width, 3) of a scene, blue first, as a camera would have written it."""
    random = np.random.default_rng(scene.seed)
    camera = camera_of(scene)
    origin, ways = _rays(scene, camera)
    light = _exposed(scene, origin, ways, camera, random)
    light = np.asarray(cv2.GaussianBlur(light, (0, 0), scene.blur), np.float32)
    light += random.normal(0.0, 1.0, light.shape).astype(np.float32) * scene.noise * np.sqrt(light + 0.02)
    coded = _coded(np.clip(light, 0.0, 1.0))
    _, packed = cv2.imencode(".jpg", coded, [cv2.IMWRITE_JPEG_QUALITY, scene.quality])
    return np.asarray(cv2.imdecode(packed, cv2.IMREAD_COLOR), np.uint8)


def _rays(scene: Scene, camera: Camera) -> tuple[Floats, Linear]:
    """Where all rays begin, and how far each goes across for a mm down (height, width, 2); smooth, so from a grid."""
    step = 8
    us, vs = (step * (np.arange(-1, size // step + 2) + 0.5) - 0.5 for size in (scene.wide, scene.high))
    grid = np.stack(np.meshgrid(us, vs), axis=-1).reshape(-1, 1, 2)
    criteria = (cv2.TERM_CRITERIA_COUNT | cv2.TERM_CRITERIA_EPS, 40, 1e-10)
    flat = cv2.undistortPoints(grid, camera.matrix, camera.radial, criteria=criteria)
    ways = np.concatenate([flat.reshape(-1, 2), np.ones((len(grid), 1))], axis=1) @ camera.turn
    across = (ways[:, :2] / -ways[:, 2:]).reshape(len(vs), len(us), 2).astype(np.float32)
    whole = np.asarray(cv2.resize(across, None, fx=step, fy=step, interpolation=cv2.INTER_LINEAR), np.float32)
    return camera.place, whole[step : step + scene.high, step : step + scene.wide]


def _exposed(
    scene: Scene, origin: Floats, ways: Linear, camera: Camera, random: np.random.Generator
) -> Linear:
    shape = shapely.Polygon(scene.outline)
    left, bottom, right, top = shape.bounds
    box = (left - 8, bottom - 8, right + 8, top + 8)
    x, y = _across(origin, ways, 0.0)
    seen = _paper(scene, x, y)
    part = _part_of(scene, camera, box)
    seen[part] = _with_head(scene, shape, box, origin, ways[part], seen[part], random)
    seen *= _fallen(scene, x, y)[..., None]
    return seen


def _across(origin: Floats, ways: Linear, z: float) -> tuple[Linear, Linear]:
    """Where the rays meet the plane at a height."""
    down = np.float32(origin[2] - z)
    return ways[..., 0] * down + np.float32(origin[0]), ways[..., 1] * down + np.float32(origin[1])


def _on_slice(scene: Scene, origin: Floats, ways: Linear, share: float) -> tuple[Linear, Linear]:
    """Where the rays meet the plane that is as high over the paper as a share of the head's thickness."""
    if scene.at_tip is None:
        return _across(origin, ways, scene.thickness * share)
    rise = share * (scene.at_tip - scene.thickness) / float(scene.outline[:, 1].max())
    # A ray is y = y0 + w (z0 - z), the plane z = a + rise y.
    flat = share * scene.thickness + rise * (origin[1] + ways[..., 1] * np.float32(origin[2]))
    down = np.float32(origin[2]) - (flat / (1 + rise * ways[..., 1])).astype(np.float32)
    return ways[..., 0] * down + np.float32(origin[0]), ways[..., 1] * down + np.float32(origin[1])


def _part_of(scene: Scene, camera: Camera, box: tuple[float, float, float, float]) -> tuple[slice, slice]:
    """The part of the picture that a box from the paper up to the face fills."""
    corners = [(x, y, z) for x in box[::2] for y in box[1::2] for z in (0.0, scene.thickness)]
    pixels = camera.pixels(np.array(corners))
    low = np.maximum(np.floor(pixels.min(axis=0)), 0).astype(int)
    high = np.maximum(np.ceil(pixels.max(axis=0)), 0).astype(int)
    return slice(low[1], high[1]), slice(low[0], high[0])


def _with_head(
    scene: Scene,
    shape: shapely.Polygon,
    box: tuple[float, float, float, float],
    origin: Floats,
    ways: Linear,
    paper: Linear,
    random: np.random.Generator,
) -> Linear:
    edge = distances(shape.wkb, box)
    circles = [shapely.Point(x, y).buffer(d / 2, quad_segs=64) for x, y, d in scene.holes]
    bored = distances(shapely.to_wkb(shapely.union_all(circles)), box) if circles else None
    pixel = np.float32(scene.above[2] / scene.focal)

    def wood(share: float) -> Linear:
        x, y = _on_slice(scene, origin, ways, 1 - share)
        inside = edge.at(x, y) + np.float32(share * np.tan(np.radians(scene.taper)) * scene.thickness)
        if bored is not None:
            inside = np.minimum(inside, -bored.at(x, y))
        return np.asarray(np.clip(inside / pixel + np.float32(0.5), 0.0, 1.0), np.float32)

    x, y = _across(origin, ways, 0.0)
    seen = paper * (1 - scene.shadow * _shadow(scene, edge, x, y))[..., None]
    if bored is not None:
        # What is seen of the paper through a hole has little light.
        in_hole = np.clip(bored.at(*_on_slice(scene, origin, ways, 0.5)) / 3.0 + 0.5, 0.0, 1.0)
        seen *= (1.0 - scene.in_hole * in_hole)[..., None]
    walls = np.zeros(x.shape, np.float32)
    for share in np.linspace(1.0, 0.0, max(2, round(scene.thickness / SLICE))):
        walls = np.maximum(walls, wood(float(share)))
    face = wood(0.0)
    dark = np.array(scene.wood, np.float32) * np.float32(random.uniform(0.3, 0.6))
    grain = _grain(scene, *_on_slice(scene, origin, ways, 1.0), random)
    # The face is the first of the slices: what of a pixel it covers is no wall, and is covered once.
    seen = seen * (1 - walls[..., None]) + dark * (walls - face)[..., None] + grain * face[..., None]
    return np.asarray(seen, np.float32)


@lru_cache(maxsize=4)
def printed(sheet: MarkerSheet, covered: tuple[int, ...]) -> Image:
    """The sheet as it is printed, PRINTED pixels to a mm, some of its markers covered in part."""
    frame, fine = sheet.frame.grown(20.0), PRINTED
    wide, high = round(frame.width * fine), round(frame.height * fine)
    print_ = np.full((high, wide), 255, np.uint8)

    def spot(px: float, py: float) -> tuple[int, int]:
        return round((px - frame.left) * fine), round((frame.top - py) * fine)

    for marker in sheet.markers:
        box = marker.bounds
        (x0, y0), (x1, y1) = spot(box.left, box.top), spot(box.right, box.bottom)
        cells = marker_cells(marker.number).astype(np.uint8) * 255
        print_[y0:y1, x0:x1] = cv2.resize(cells, (x1 - x0, y1 - y0), interpolation=cv2.INTER_NEAREST)
        if marker.number in covered:
            cv2.circle(
                print_, spot(box.centre.x + 3, box.centre.y), round(0.45 * marker.side * fine), 120, -1
            )
    inner = sheet.field
    if inner.bottom < 0:
        cv2.line(print_, spot(inner.left, 0), spot(inner.right, 0), 110, 3)
    cv2.line(print_, spot(0, inner.bottom), spot(0, inner.top), 110, 3)
    return np.asarray(cv2.GaussianBlur(print_, (0, 0), 1.2), np.uint8)


def _paper(scene: Scene, x: Linear, y: Linear) -> Linear:
    """The printed sheet, or the two of a pair taped together, on a table."""
    x, y = x / np.float32(scene.printed_at), y / np.float32(scene.printed_at)
    covered = tuple(scene.covered)
    if not isinstance(scene.sheet, MarkerPair):
        return _one_paper(scene, scene.sheet, covered, x, y)
    pair, joint = scene.sheet, scene.sheet.joint
    seen = _one_paper(scene, pair.lower, covered, x, y)
    # The upper sheet is cut off straight where it meets the lower one, and lies over it with the shade of its edge.
    cos, sin = np.float32(np.cos(joint.turn)), np.float32(np.sin(joint.turn))
    right, up = x - np.float32(joint.across), y - np.float32(joint.up + pair.meets)
    over, along = cos * right + sin * up, cos * up - sin * right
    above = along > 0
    there = _one_paper(scene, pair.upper, covered, over, along + np.float32(pair.meets))
    seen[above] = there[above]
    seen[np.abs(along) < 0.1] *= np.float32(0.85)
    return seen


def _one_paper(scene: Scene, sheet: MarkerSheet, covered: tuple[int, ...], x: Linear, y: Linear) -> Linear:
    frame, fine = sheet.frame.grown(20.0), PRINTED
    soft = printed(sheet, covered)
    high, wide = soft.shape
    # A square is filled from half a pixel before the middle of its first one.
    u = ((x - frame.left) * fine - 0.5).astype(np.float32)
    v = ((frame.top - y) * fine - 0.5).astype(np.float32)
    ink = cv2.remap(soft, u, v, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=255)
    share = (ink.astype(np.float32) / 255 * 0.94 + 0.06)[..., None]
    seen = share * np.array(PAPER, np.float32)
    off = (u < 0) | (v < 0) | (u > wide) | (v > high)
    seen[off] = scene.beyond
    return seen.astype(np.float32)


def _shadow(scene: Scene, edge: Distances, x: Linear, y: Linear) -> Linear:
    dx, dy = scene.shadow_by
    near = np.clip(edge.at(x - dx, y - dy) / 5.0 + 0.5, 0.0, 1.0)
    return np.asarray(near, np.float32)


def _fallen(scene: Scene, x: Linear, y: Linear) -> Linear:
    """How much light there is: falling off evenly, and to the corners of the picture."""
    right, up = scene.light
    even = 0.85 + right * x / 200 + up * (y - 90) / 200
    return np.asarray(np.clip(even - 1.5e-6 * (x * x + (y - 90) ** 2), 0.2, 1.0), np.float32)


def _grain(
    scene: Scene,
    x: Linear,
    y: Linear,
    random: np.random.Generator,
) -> Linear:
    """Wood on the face: lines along the head, coarse and fine, and perhaps a spot of shine."""
    blurred = cv2.GaussianBlur(random.normal(0, 1, (600, 500)).astype(np.float32), (0, 0), 1.2, sigmaY=40)
    coarse = np.asarray(blurred / blurred.std(), np.float32)
    u, v = ((x + 125) * 2).astype(np.float32), (y * 2 + 60).astype(np.float32)
    lines = cv2.remap(coarse, u, v, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)
    seen = np.array(scene.wood, np.float32) * (1 + 0.10 * lines)[..., None]
    if scene.shine is not None:
        sx, sy, radius, strength = scene.shine
        spot = strength * np.exp(-((x - sx) ** 2 + (y - sy) ** 2) / (2 * radius**2))
        seen = seen * (1 - spot[..., None]) + spot[..., None]
    return np.asarray(seen, np.float32)


def _coded(light: Linear) -> Image:
    """Linear light as sRGB codes it (IEC 61966-2-1)."""
    low, high = light * 12.92, 1.055 * np.maximum(light, 1e-6) ** (1 / 2.4) - 0.055
    return np.asarray(np.round(np.where(light <= 0.0031308, low, high) * 255), np.uint8)


def smaller(scene: Scene, factor: float) -> Scene:
    """The same scene on a smaller picture."""
    return replace(
        scene,
        wide=round(scene.wide * factor),
        high=round(scene.high * factor),
        focal=scene.focal * factor,
        centre_off=(scene.centre_off[0] * factor, scene.centre_off[1] * factor),
    )


def outline_of(edge: Floats, neck: float = 60.0) -> Floats:
    """The plan of a head with its neck: its open edge from the right end of the nut round the tip, in mm."""
    right, left = edge[0], edge[-1]
    foot = np.array([(left[0] + 1, -neck), (right[0] - 1, -neck)])
    return np.concatenate([edge, foot])
