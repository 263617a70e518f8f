"""The face of a head in a picture: its plan in the frame of the sheet, with the sheet of markers or without one."""

from __future__ import annotations

import cv2
import msgspec
import numpy as np

from geometry.intake.camera import Camera, Glass
from geometry.intake.dense import bridge
from geometry.intake.face_edge import Face, Lifted, face_of, flat_face
from geometry.intake.marker_pair import MarkerPair, Sheets
from geometry.intake.picture_error import refuse_picture
from geometry.intake.rectified import (
    FINEST,
    PAPER,
    Light,
    Picture,
    Plane,
    Rectified,
    View,
    fineness,
    rectified,
)
from geometry.intake.silhouette import STEP, Silhouette, silhouette_of
from geometry.intake.wood_in_picture import Mask, wood_in
from geometry.shape.close import Floats
from geometry.shape.segment import Bounds

OVERSAMPLED = 1.15
"""How many pixels a picture that is square onto a plane has for each of the photo."""

_NECK = 20.0  # mm by which the lower end of a scan is drawn on

_SHORTEST = 20.0  # mm of the shortest head


class Body(msgspec.Struct, frozen=True):
    """How thick a head is at the nut and at the tip, in mm, and how far its sides lean, in radians."""

    at_nut: float
    at_tip: float
    lean: float


class FaceFound(msgspec.Struct, frozen=True, eq=False):
    """The plan of the face in the frame of the sheet, and where its edge is seen.

    A head that is `loose` ends at its nut; otherwise its neck goes on below the nut line, at y = `nut`.
    """

    face: Face
    silhouette: Silhouette
    loose: bool
    nut: float = 0.0

    @property
    def plane(self) -> Plane:
        """The plane of the face."""
        return PAPER if self.face.lifted is None else self.face.lifted.plane


def face_on_sheet(picture: Picture, view: View, sheet: Sheets, body: Body | None) -> FaceFound:
    """The face of a head on the sheet of markers; `body` is told of a photo, and of no scan."""
    field, frame = sheet.field, sheet.frame
    box = Bounds(field.left, frame.bottom, field.right, field.top)
    flat = rectified(picture, view, PAPER, box, fine_enough(view, box))
    take_out_centre_line(flat, sheet)
    wood = wood_in(flat, _free(flat, sheet))
    silhouette = over_centre_line(silhouette_of(flat, wood))
    _refuse_touching(flat, silhouette.places, field)
    face = flat_face(silhouette.places)
    if body is not None and isinstance(view, Camera):
        face = face_of(silhouette.places, _lifted(view, silhouette.places, body), body.lean)
    loose = bool(silhouette.places[:, 1].min() > field.bottom + 0.5)
    return FaceFound(face, silhouette, loose)


def _lifted(camera: Camera, silhouette: Floats, body: Body) -> Lifted:
    """The plane of the face: as high as told on the nut line and at the tip."""
    middle = (body.at_nut + body.at_tip) / 2
    tip = Lifted(camera.foot, camera.height, Plane(middle)).passed(silhouette)[:, 1].max()
    slope = (body.at_tip - body.at_nut) / max(float(tip), _SHORTEST)
    return Lifted(camera.foot, camera.height, Plane(body.at_nut, slope))


def fine_enough(view: View, box: Bounds) -> float:
    """Pixels in a mm for a picture of a box square on; PictureError where the photo is too coarse."""
    fine = fineness(view, box) * OVERSAMPLED
    if fine < 1.5:
        refuse_picture(
            f"the picture is too coarse: {fine / OVERSAMPLED:.1f} pixels in a mm; expected 3 or more."
        )
    return min(fine, FINEST)


def _free(flat: Rectified, sheet: Sheets) -> Mask:
    """The pixels where nothing is printed but thin lines: the field, and below it the way of the neck."""
    high, wide = flat.light.shape[:2]
    x = flat.left + np.arange(wide) / flat.fine
    y = flat.top - np.arange(high) / flat.fine
    foot = [marker.bounds.grown(1.0) for marker in sheet.markers if marker.bounds.top < 0]
    way = max(box.right for box in foot if box.right < 0), min(box.left for box in foot if box.left > 0)
    in_way = (x > way[0]) & (x < way[1])
    return np.asarray(flat.inside & ((y > sheet.field.bottom)[:, None] | in_way[None, :]), bool)


def _refuse_touching(flat: Rectified, places: Floats, field: Bounds) -> None:
    """Refuse a head that reaches the markers, or leaves the picture before it does."""
    sides = {
        "at the tip": places[:, 1] > field.top - 1.0,
        "on the left": (places[:, 0] < field.left + 1.0) & (places[:, 1] > 0),
        "on the right": (places[:, 0] > field.right - 1.0) & (places[:, 1] > 0),
    }
    pixels = np.round(flat.pixels(places)).astype(int)
    rows, columns = flat.inside.shape
    around = cv2.erode(flat.inside.astype(np.uint8), np.ones((9, 9), np.uint8), borderValue=1)
    cut = around[np.clip(pixels[:, 1], 0, rows - 1), np.clip(pixels[:, 0], 0, columns - 1)] == 0
    if (cut & (places[:, 1] > 0)).any():
        far = places[cut & (places[:, 1] > 0)].mean(axis=0)
        where = "at the tip" if far[1] > field.top * 0.7 else "on the left" if far[0] < 0 else "on the right"
        refuse_picture(f"the head leaves the picture {where}; expected the whole sheet in it.")
    for where, touching in sides.items():
        if touching.any():
            refuse_picture(
                f"the head reaches the markers {where}; expected free paper round it, so print the sheet larger."
            )


def with_neck(picture: Picture, fine: float) -> Picture:
    """The picture with its lowest pixels drawn on for _NECK mm, so that wood which leaves it has sides to its end."""
    drawn_on = cv2.copyMakeBorder(picture, 0, round(_NECK * fine), 0, 0, cv2.BORDER_REPLICATE)
    return np.asarray(drawn_on, np.uint8)


def face_without_sheet(picture: Picture, glass: Glass) -> FaceFound:
    """The plan in a scan without a sheet, `with_neck`: upright, its nut end down.

    Wood that leaves the scan below has its nut line where it does.
    """
    high, wide = picture.shape[:2]
    fine = fineness(glass, Bounds(-1, 0, 1, 2))
    box = Bounds(-(wide - 1) / 2 / fine, 0.0, (wide - 1) / 2 / fine, (high - 1) / fine)
    flat = rectified(picture, glass, PAPER, box, min(fine, FINEST))
    silhouette = silhouette_of(flat, wood_in(flat, flat.inside))
    places = silhouette.places
    if (places[:, 1] > box.top - 1.0).any():
        refuse_picture("the head leaves the scan at the tip; expected free glass round it.")
    if (np.abs(places[:, 0]) > box.right - 1.0).any():
        refuse_picture("the head leaves the scan at a side; expected free glass round it.")
    leaves = bool(places[:, 1].min() < _NECK - 1.0)
    return FaceFound(flat_face(places), silhouette, loose=not leaves, nut=_NECK if leaves else 0.0)


# The printed centre line is taken out: where a side crosses it at a slant, the shadow in the wedge between both and the
# line beyond it look like wood that goes on, and the edge would follow the line.


_WIDEST = 1.0  # mm that a printed line may look wide: 0.3 mm of ink, and the blur of a photo on both sides
_BESIDE = 1.2  # mm on both sides of where a line should lie in which it is looked for: print, paper and lens
# mm from the middle of the centre line within which its ink and its blur may be taken for an edge.
_ON_LINE = 0.8

_TANGENT = 3.0  # mm of edge on both sides that tell how it comes and leaves
_LONGEST = 10.0  # mm along the line over which an edge is drawn


def take_out_centre_line(flat: Rectified, sheet: Sheets) -> None:
    """Make the centre line as bright as what is beside it, in the picture itself; wood stays as it is.

    A closing of the light square to a line (Serra, "Image Analysis and Mathematical Morphology", 1982) takes out what
    is dark and narrower than _WIDEST, and leaves every edge of what is wider where it is.
    """
    beside = _BESIDE
    if isinstance(sheet, MarkerPair):
        top = np.array([[0.0, sheet.meets], [0.0, sheet.field.top]])
        beside += float(np.abs(sheet.joint.moved(top, sheet.meets)[:, 0]).max())
    middle = flat.pixels(np.zeros((1, 2)))[0, 0]
    _close(flat.light, middle, beside * flat.fine, _WIDEST * flat.fine)


def _close(light: Light, at: float, beside: float, wide: float) -> None:
    """Close dark lines that run down the picture, in the columns so many pixels on both sides of one; in place."""
    size = 2 * round(wide / 2) + 1
    first, last = (int(np.clip(round(at + by), 0, light.shape[1])) for by in (-beside, beside + 1))
    # What is beyond the columns counts for those within.
    low, high = max(first - size, 0), min(last + size, light.shape[1])
    if last <= first:
        return
    part = np.ascontiguousarray(light[:, low:high])
    closed = cv2.morphologyEx(part, cv2.MORPH_CLOSE, np.ones((1, size), np.uint8))
    light[:, first:last] = closed[:, first - low : last - low]


def over_centre_line(silhouette: Silhouette) -> Silhouette:
    """The closed edge with each piece drawn anew that crosses the printed centre line at a slant.

    On the line itself nobody sees where its ink ends and a dark side begins, so that the edge is drawn over it as it
    comes and leaves; over so few millimetres that is as good as seen. A point that lies on the line is left as it is.
    """
    places = silhouette.places.copy()
    around = round(_TANGENT / STEP)
    on_line = np.flatnonzero(np.abs(places[:, 0]) < _ON_LINE)
    if not len(on_line):
        return silhouette
    for run in np.split(on_line, np.flatnonzero(np.diff(on_line) > 1) + 1):
        first, last = int(run[0]) - 1, int(run[-1]) + 1
        if first < around or last + around >= len(places) or not _slants(places[first], places[last]):
            continue
        drawn = bridge(places[first - around], places[first], places[last], places[last + around])
        whole = np.vstack([places[first], drawn, places[last]])
        at = np.linspace(0.0, 1.0, last - first + 1)
        places[first : last + 1] = np.column_stack(
            [np.interp(at, np.linspace(0.0, 1.0, len(whole)), whole[:, part]) for part in (0, 1)]
        )
    return Silhouette(places, silhouette.seen)


def _slants(first: Floats, last: Floats) -> bool:
    """Whether a piece of the edge goes from one side of the centre line to the other, more along it than across."""
    across, along = np.abs(last - first)
    return bool(first[0] * last[0] < 0 and across < along < _LONGEST)
