"""The face of a head in a picture: its plan in the frame of the sheet, with the sheet of markers or without one."""

from __future__ import annotations

import cv2
import msgspec
import numpy as np

from geometry.intake.camera import Camera
from geometry.intake.face_edge import Face, Lifted, face_of, flat_face
from geometry.intake.glass import Glass
from geometry.intake.marker_pair import Sheets
from geometry.intake.picture_error import PictureError
from geometry.intake.printed_lines import over_centre_line, take_out_centre_line
from geometry.intake.rectified import FINEST, PAPER, Picture, Plane, Rectified, View, fineness, rectified
from geometry.intake.silhouette import Silhouette, silhouette_of
from geometry.intake.wood_in_picture import Mask, wood_in
from geometry.shape.close import Floats
from geometry.shape.segment import Bounds

OVERSAMPLED = 1.15
"""How many pixels a picture that is square onto a plane has for each of the photo."""

NECK = 20.0
"""mm by which the lower end of a scan is drawn on."""

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
        message = f"the picture is too coarse: {fine / OVERSAMPLED:.1f} pixels in a mm; expected 3 or more."
        raise PictureError(message)
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
        message = f"the head leaves the picture {where}; expected the whole sheet in it."
        raise PictureError(message)
    for where, touching in sides.items():
        if touching.any():
            message = f"the head reaches the markers {where}; expected free paper round it, so print the sheet larger."
            raise PictureError(message)


def with_neck(picture: Picture, fine: float) -> Picture:
    """The picture with its lowest pixels drawn on for NECK mm, so that wood which leaves it has sides up to its end."""
    drawn_on = cv2.copyMakeBorder(picture, 0, round(NECK * fine), 0, 0, cv2.BORDER_REPLICATE)
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
        message = "the head leaves the scan at the tip; expected free glass round it."
        raise PictureError(message)
    if (np.abs(places[:, 0]) > box.right - 1.0).any():
        message = "the head leaves the scan at a side; expected free glass round it."
        raise PictureError(message)
    leaves = bool(places[:, 1].min() < NECK - 1.0)
    return FaceFound(flat_face(places), silhouette, loose=not leaves, nut=NECK if leaves else 0.0)
