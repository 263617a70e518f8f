"""A face in a picture, all its places in the frame of a nut line and a centre line that the maker shows."""

from __future__ import annotations

import math

import msgspec
import numpy as np
import shapely

from geometry.intake.camera import Camera
from geometry.intake.face_edge import Face, Lifted
from geometry.intake.face_found import FaceFound
from geometry.intake.face_seen import FaceSeen
from geometry.intake.glass import Glass
from geometry.intake.lines import Lines
from geometry.intake.marker_sheet import turned
from geometry.intake.rectified import Plane, View
from geometry.intake.silhouette import Silhouette


def seen_from(face: FaceSeen, lines: Lines) -> FaceSeen:
    """The same face, all its places in the frame of the lines, whose nut line is its own."""
    found = face.found
    moved = FaceFound(
        _face(found.face, lines),
        Silhouette(lines.seen_from(found.silhouette.places), found.silhouette.seen),
        loose=False,
    )
    others = tuple(_camera(other, lines) for other in face.others)
    return msgspec.structs.replace(face, view=_view(face.view, lines), found=moved, others=others)


def _face(face: Face, lines: Lines) -> Face:
    plan, on_paper = (shapely.transform(part, lines.seen_from) for part in (face.plan, face.on_paper))
    if face.lifted is None:
        return msgspec.structs.replace(face, plan=plan, on_paper=on_paper, on_face=on_paper)
    plane, foot = face.lifted.plane, lines.seen_from(face.foot[None, :])[0]
    # How the plane slopes across is left out: 0.05 mm at the edge of a head that is turned by 3 degrees.
    as_high = Plane(plane.at_nut + plane.slope * lines.y, plane.slope * math.cos(lines.turn))
    return msgspec.structs.replace(
        face,
        plan=plan,
        on_paper=on_paper,
        on_face=shapely.transform(face.on_face, lines.seen_from),
        foot=foot,
        lifted=Lifted(foot, face.lifted.height, as_high),
    )


def _view(view: View, lines: Lines) -> View:
    if isinstance(view, Camera):
        return _camera(view, lines)
    assert isinstance(view, Glass), "a picture is seen by a camera or lies on a glass"
    # What is turned and moved in the frame of the lines is turned and moved before it is seen.
    axes = view.matrix[:, :2]
    across = axes @ turned(np.eye(2), lines.turn).T
    origin = axes @ np.array([lines.x, lines.y]) + view.matrix[:, 2]
    return msgspec.structs.replace(view, matrix=np.column_stack([across, origin]))


def _camera(camera: Camera, lines: Lines) -> Camera:
    about = np.eye(3)
    about[:2, :2] = turned(np.eye(2), lines.turn).T
    place = np.append(lines.seen_from(camera.place[None, :2])[0], camera.place[2])
    return msgspec.structs.replace(camera, turn=camera.turn @ about, place=place)
