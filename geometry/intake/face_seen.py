"""The face of a head in a photo, a scan or a flat picture, before it is known where its nut and its centre line are."""

from __future__ import annotations

import math

import cv2
import msgspec
import numpy as np
import shapely

from geometry.intake.camera import (
    FARTHEST,
    HEIGHT_SPREAD,
    UNTOLD,
    Calibrated,
    Camera,
    CameraTold,
    Glass,
    calibrated,
    glass_at,
    glass_known,
    glass_of,
)
from geometry.intake.face_edge import Face, Lifted
from geometry.intake.face_found import Body, FaceFound, face_on_sheet, face_without_sheet, with_neck
from geometry.intake.joint import say_joint
from geometry.intake.lines import KnownPoints, Lines
from geometry.intake.marker_pair import MarkerPair
from geometry.intake.marker_sheet import turned
from geometry.intake.markers_seen import Grey, MarkersSeen, by_sides, find_markers, say_seen
from geometry.intake.picture_error import PictureError, refuse_picture
from geometry.intake.rectified import Picture, Plane, View, fineness
from geometry.intake.silhouette import Silhouette
from geometry.shape.bounds import Bounds
from geometry.trade.sentence import Note, Sentence

_FAR_SPREAD = 0.08  # the relative uncertainty of the camera's height beyond which it is told


class FaceSeen(msgspec.Struct, frozen=True, eq=False):
    """A face in a picture (high, wide, 3), how it was seen, and by which other cameras it might have been.

    `before` and `after` are sentences about what is unsure, in front of those about the head and behind them. `level`
    tells that the picture hardly tells how high the camera was, as one that was held level does.
    """

    picture: Picture
    view: View
    found: FaceFound
    others: tuple[Camera, ...] = ()
    before: tuple[Note, ...] = ()
    after: tuple[Note, ...] = ()
    level: bool = False

    @property
    def bare(self) -> bool:
        """Whether there is no sheet in the picture, and so no line to lay a head on."""
        return isinstance(self.view, Glass) and not self.view.on_sheet


def face_in_photo(
    picture: Picture,
    thickness: float,
    lean: float = 0.0,
    printed: float = 1.0,
    told: CameraTold = UNTOLD,
    at_tip: float | None = None,
) -> FaceSeen:
    """The face in a photo (high, wide, 3), blue first, of a head `thickness` mm thick on the sheet of markers.

    `at_tip` is its thickness in mm at the tip, where that is another one than at the nut. `lean` in radians is how far
    its sides lean, positive where the back is wider than the face. `printed` is what the printer made of a millimetre,
    `told` what is known of the camera. PictureError says in one sentence what keeps it from being seen.
    """
    grey = _grey(picture)
    seen, words = _markers(grey)
    known = _calibrated(grey, seen, told, printed)
    body = Body(thickness / printed, (thickness if at_tip is None else at_tip) / printed, lean)
    if known.camera.height < 3 * max(body.at_nut, body.at_tip):
        refuse_picture("the camera was hardly above the head; expected half a metre.")
    found = face_on_sheet(picture, known.camera, known.sheet, body)
    joint = say_joint(known.sheet.joint) if isinstance(known.sheet, MarkerPair) else None
    after: list[Note] = []
    if not lean:
        by = thickness * math.tan(math.radians(1.0))
        after.append(
            Sentence("Sides are taken as square: where they lean by 1°, the edge is up to {0} off.", (by,))
        )
    if known.height_spread > _FAR_SPREAD:
        after.append(
            "The picture hardly tells how far away the camera was; a slightly tilted one tells more, and so does the "
            "camera height."
        )
    before = words if joint is None else (*words, joint)
    far = known.height_spread > _FAR_SPREAD
    return FaceSeen(picture, known.camera, found, known.others, before, tuple(after), far)


def face_in_scan(picture: Picture) -> FaceSeen:
    """The face in a flatbed scan of it, by the markers round it."""
    grey = _grey(picture)
    seen, words = _markers(grey)
    if isinstance(seen.sheet, MarkerPair):
        refuse_picture("a pair of sheets is for photos; expected one sheet round a head on the glass.")
    glass = glass_of(by_sides(grey, glass_of(seen), seen, seen.sheet))
    return FaceSeen(picture, glass, face_on_sheet(picture, glass, seen.sheet, None), before=words)


def face_in_flat(picture: Picture, scale: float | KnownPoints, *, cut_at_nut: bool = True) -> FaceSeen:
    """The face in a flat picture without a sheet: by so many dots to the inch, or by two places of known distance.

    It stands upright in the picture, its nut end down; what is said of a picture that was cut off at the nut is left
    out where it need not be.
    """
    words: list[Note]
    if isinstance(scale, KnownPoints):
        words = [Sentence(_TWO_PLACES, (), (scale.apart,))]
    else:
        words = [f"The scale is taken from {scale:g} dpi, which no ruler has proved."]
    picture = with_neck(picture, fineness(_glass(picture, scale), Bounds(-1, 0, 1, 2)))
    glass = _glass(picture, scale)
    found = face_without_sheet(picture, glass)
    if not found.loose and cut_at_nut:
        words.append(_CUT_OFF)
    return FaceSeen(picture, glass, found, before=tuple(words))


def _glass(picture: Picture, scale: float | KnownPoints) -> Glass:
    wide, high = picture.shape[1], picture.shape[0]
    return glass_known(scale, wide, high) if isinstance(scale, KnownPoints) else glass_at(scale, wide, high)


def _grey(picture: Picture) -> Grey:
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), np.uint8)


def _calibrated(grey: Grey, seen: MarkersSeen, told: CameraTold, printed: float) -> Calibrated:
    """The camera of a grey picture: once by the corners as they are found, then by those of the sides it tells."""
    high, wide = grey.shape
    first = calibrated(seen, wide, high, CameraTold(told.focal))
    if told.height is not None:
        height = told.height / printed
        _refuse_height(first, height, printed)
        told = CameraTold(told.focal, height)
    return calibrated(by_sides(grey, first.camera, seen, first.sheet), wide, high, told)


def _refuse_height(first: Calibrated, height: float, printed: float) -> None:
    """Refuse a height of the camera that the picture itself contradicts."""
    seen = first.camera.height
    # Far off it is by a factor: what is unsure is the focal length.
    by = math.exp(FARTHEST * math.hypot(first.height_spread, HEIGHT_SPREAD / seen))
    if not seen / by < height < seen * by:
        text = "the camera height cannot be {2}: the picture tells that it was between {0} and {1}."
        low, high = (round(each * printed) for each in (seen / by, seen * by))
        raise PictureError(text, (float(low), float(high)), (height * printed,))


def _markers(grey: Grey) -> tuple[MarkersSeen, tuple[str, ...]]:
    seen = find_markers(grey)
    return seen, (f"{say_seen(seen, grey.shape)}.",) if seen.missing else ()


_TWO_PLACES = (
    "The scale is taken from two places {0} apart. That goes for a flat picture, as a scan with the face on the glass: "
    "in a photo of a head it would be millimetres off."
)
_CUT_OFF = (
    "The wood goes on to the lower end of the picture, which is taken for the nut line: where that is not the nut, cut "
    "the picture off there."
)


# The frame of a nut line and a centre line that the maker shows


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
