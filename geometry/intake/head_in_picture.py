"""A head in a photo or a scan: the edge and the holes of its face, and how sure each is."""

from __future__ import annotations

import math
from collections.abc import Iterable

import cv2
import msgspec
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.camera import Camera, calibrated
from geometry.intake.face_edge import Face, above_nut, bridged, face_of, flat_face, guessed
from geometry.intake.glass import Glass, glass_at, glass_of
from geometry.intake.marker_sheet import MarkerSheet
from geometry.intake.markers_seen import MarkersSeen, find_markers, say_seen
from geometry.intake.not_seen import edge_seen, say_guessed
from geometry.intake.picture_error import PictureError
from geometry.intake.rectified import FINEST, Picture, Rectified, View, fineness, rectified
from geometry.intake.rim_fit import Below
from geometry.intake.rims import Rim, rims_in
from geometry.intake.silhouette import Silhouette, inside_mask, silhouette_of
from geometry.intake.unsure import NUT, edge_spreads, rim_spreads
from geometry.intake.wood_in_picture import Mask, wood_in
from geometry.shape.close import Floats
from geometry.shape.segment import Bounds
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import Note, Sentence

OFF_LINE = 6.0
"""mm that the nut end of a loose head may lie off the printed nut line."""

LAID = 0.35
"""mm, one standard deviation: how far a head that is laid by eye lies beside the printed centre line, no source."""

_ENDS = 0.07  # mm, one standard deviation: the middle between ends that are seen, as made-up photos show
_GUESSED = 0.1  # mm in a mm of edge that is guessed to an end, for the middle: half of one in five, no source

NUT_TRUSTED = LAID**2 / (LAID**2 + _ENDS**2)
"""How much the seen ends of the nut count against the printed centre line: by the inverse of both squares."""

FAR_SPREAD = 0.08
"""The relative uncertainty of the camera's height beyond which it is told."""

_OVERSAMPLED = 1.15
_HARDLY = 0.7  # of the edge; a head of which more is not seen is refused


class HeadSeen(msgspec.Struct, frozen=True, eq=False):
    """What a picture tells of a head, in its own frame: origin in the middle of its nut line, mm.

    `edge` (n, 2) runs from the right end of the nut line round the tip to its left end, `seen` (n,) tells which of it
    is seen; `edge_give` is what nineteen of twenty of those places are good for. The rest, `guessed` of `long` mm, is
    drawn by guess, and no figure goes for it. `middle_spread` is how well the middle of the nut is known, one standard
    deviation; it is in `edge_give` and not in the spreads of the `rims`, which are the holes. `remarks` are sentences
    about what is unsure.
    `face` is the picture square onto the face, whose frame lies `shift` from the head's.
    """

    edge: Floats
    seen: npt.NDArray[np.bool_]
    edge_give: float
    guessed: float
    long: float
    middle_spread: float
    rims: tuple[Rim, ...]
    remarks: tuple[Note, ...]
    face: Rectified
    shift: Floats


class _Found(msgspec.Struct, frozen=True, eq=False):
    """The plan of the face in the frame of the sheet, and where its edge is seen."""

    face: Face
    silhouette: Silhouette
    loose: bool


def head_in_photo(
    picture: Picture,
    thickness: float,
    lean: float = 0.0,
    printed: float = 1.0,
    told_focal: float | None = None,
) -> HeadSeen:
    """The head in a photo (high, wide, 3), blue first, of a head `thickness` mm thick on the sheet of markers.

    `lean` in radians is how far its sides lean, positive where the back is wider than the face. `printed` is what the
    printer made of a millimetre, `told_focal` the focal length in pixels that the file tells. PictureError says in
    one sentence what keeps it from being read.
    """
    seen, words = _markers(picture)
    wide, high = picture.shape[1], picture.shape[0]
    known = calibrated(seen, wide, high, told_focal)
    camera = known.camera
    deep = thickness / printed
    if camera.height < 3 * deep:
        message = "the camera was hardly above the head; expected half a metre."
        raise PictureError(message)
    found = _found(picture, camera, seen.sheet, (camera, deep, lean))
    head = _head(picture, camera, found, deep, known.others, printed)
    remarks: list[Note] = [*words, *head.remarks]
    if not lean:
        by = thickness * math.tan(math.radians(1.0))
        remarks.append(
            Sentence("Sides are taken as square: where they lean by 1°, the edge is up to {0} off.", (by,))
        )
    if known.height_spread > FAR_SPREAD:
        remarks.append(
            "The picture hardly tells how far away the camera was; a slightly tilted one tells more."
        )
    return msgspec.structs.replace(head, remarks=tuple(remarks))


def head_in_scan(picture: Picture, dpi: float | None = None, printed: float = 1.0) -> HeadSeen:
    """The head in a flatbed scan of its face, by the markers round it or, where `dpi` is told, by that alone."""
    if dpi is None:
        seen, words = _markers(picture)
        glass = glass_of(seen)
        found = _found(picture, glass, seen.sheet, None)
    else:
        glass, words = glass_at(dpi, picture.shape[1], picture.shape[0]), ()
        found = _found_without_sheet(picture, glass)
        words = (f"The scale is taken from {dpi:g} dpi, which no ruler has proved.",)
    head = _head(picture, glass, found, 0.0, (), printed)
    return msgspec.structs.replace(head, remarks=(*words, *head.remarks))


def _markers(picture: Picture) -> tuple[MarkersSeen, tuple[str, ...]]:
    grey = np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), np.uint8)
    seen = find_markers(grey)
    return seen, (f"{say_seen(seen, grey.shape)}.",) if seen.missing else ()


# The face on the sheet


def _found(
    picture: Picture, view: View, sheet: MarkerSheet, raised: tuple[Camera, float, float] | None
) -> _Found:
    field, frame = sheet.field, sheet.frame
    box = Bounds(field.left, frame.bottom, field.right, field.top)
    flat = rectified(picture, view, 0.0, box, _fine(view, box))
    wood = wood_in(flat, _free(flat, sheet))
    silhouette = silhouette_of(flat, wood)
    _refuse_touching(flat, silhouette.places, field)
    face = flat_face(silhouette.places)
    if raised is not None:
        camera, thickness, lean = raised
        face = face_of(silhouette.places, camera.foot, camera.height, thickness, lean)
    loose = bool(silhouette.places[:, 1].min() > field.bottom + 0.5)
    return _Found(face, silhouette, loose)


def _fine(view: View, box: Bounds) -> float:
    fine = fineness(view, box) * _OVERSAMPLED
    if fine < 1.5:
        message = f"the picture is too coarse: {fine / _OVERSAMPLED:.1f} pixels in a mm; expected 3 or more."
        raise PictureError(message)
    return min(fine, FINEST)


def _free(flat: Rectified, sheet: MarkerSheet) -> Mask:
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


def _found_without_sheet(picture: Picture, glass: Glass) -> _Found:
    """The plan in a scan without a sheet: upright, its nut end down; what leaves the scan below is neck."""
    high, wide = picture.shape[:2]
    fine = fineness(glass, Bounds(-1, 0, 1, 2))
    box = Bounds(-(wide - 1) / 2 / fine, 0.0, (wide - 1) / 2 / fine, (high - 1) / fine)
    flat = rectified(picture, glass, 0.0, box, min(fine, FINEST))
    silhouette = silhouette_of(flat, wood_in(flat, flat.inside))
    places = silhouette.places
    if (places[:, 1] > box.top - 1.0).any():
        message = "the head leaves the scan at the tip; expected free glass round it."
        raise PictureError(message)
    if (np.abs(places[:, 0]) > box.right - 1.0).any():
        message = "the head leaves the scan at a side; expected free glass round it."
        raise PictureError(message)
    return _Found(flat_face(places), silhouette, loose=True)


# The head in its own frame


def _head(
    picture: Picture,
    view: View,
    found: _Found,
    thickness: float,
    others: Iterable[Camera],
    printed: float,
) -> HeadSeen:
    bare = isinstance(view, Glass) and not view.on_sheet
    nut = _nut(found, without_sheet=bare)
    edge = above_nut(found.face.plan, nut, loose=found.loose)
    edge, behind = bridged(edge, guessed(edge, found.face))
    shown = edge_seen(edge, found.silhouette, found.face, behind)
    if shown.guessed > _HARDLY * shown.long:
        message = (
            "hardly any of the edge of the head is seen; expected even light without shine or shadow over it."
        )
        raise PictureError(message)
    trusted, middle_spread = _nut_trusted(shown.at_nut, bare=bare, loose=found.loose)
    between = float(edge[0, 0] + edge[-1, 0]) / 2
    middle = trusted * between
    if shown.at_nut:
        # What both say differently is unsure, for a build is laid by the ends as they are drawn.
        middle_spread = math.hypot(middle_spread, between - middle)
    shift = np.array([middle, nut])
    box = Bounds(*found.face.plan.bounds).grown(2.0)
    onto_face = rectified(picture, view, thickness, box, _fine(view, box))
    mask = inside_mask(onto_face, np.asarray(found.face.plan.exterior.coords))
    rims = rims_in(onto_face, mask, _below(onto_face, view, thickness))
    known = tuple(others)
    fine = onto_face.fine / _OVERSAMPLED
    spreads = edge_spreads(edge, found.face, view, known, thickness, fine, middle_spread)
    surer = rim_spreads(rims, view, known, thickness)
    spread = middle_spread * printed
    return HeadSeen(
        edge=(edge - shift) * printed,
        seen=shown.seen,
        edge_give=GIVE * float(np.percentile(spreads[shown.seen], 90)) * printed,
        guessed=shown.guessed * printed,
        long=shown.long * printed,
        middle_spread=spread,
        rims=tuple(_in_frame(rim, shift, printed) for rim in surer if rim.y > nut - rim.diameter),
        remarks=(
            *say_guessed(shown.pieces, shift, printed),
            *(() if not shown.at_nut else (Sentence(_NO_MIDDLE, (GIVE * spread, 2 * GIVE * spread)),)),
        ),
        face=onto_face,
        shift=shift,
    )


def _nut_trusted(unseen: float, *, bare: bool, loose: bool) -> tuple[float, float]:
    """How much the middle between the ends of the nut counts against the printed centre line, if there is one.

    And how well the middle of the nut is known then, one standard deviation in mm. `unseen` is how many mm of the edge
    at an end are drawn by guess; both places count by the inverse of their squares.
    """
    if not unseen:
        return 1.0 if bare or loose else NUT_TRUSTED, NUT
    ends = math.hypot(_ENDS, _GUESSED * unseen)
    if bare:
        return 1.0, ends
    return LAID**2 / (LAID**2 + ends**2), LAID * ends / math.hypot(LAID, ends)


def _below(onto_face: Rectified, view: View, thickness: float) -> Below | None:
    if not isinstance(view, Camera):
        return None
    return Below(onto_face.pixels(view.foot[None, :])[0], (view.height - thickness) / view.height)


def _nut(found: _Found, *, without_sheet: bool) -> float:
    """Y of the nut line: the printed one, or the lower end of a head that is loose."""
    if not found.loose:
        return 0.0
    left, bottom, right, _ = found.face.plan.bounds
    places = shapely.get_coordinates(shapely.segmentize(found.face.plan.exterior, 0.5))
    near = places[
        (places[:, 1] < bottom + 4.0) & (np.abs(places[:, 0] - (left + right) / 2) < 0.2 * (right - left))
    ]
    at = float(np.median(near[:, 1])) if len(near) else bottom
    if not without_sheet and abs(at) > OFF_LINE:
        where = "above" if at > 0 else "below"
        text = f"the nut end of the head lies {{0}} {where} the nut line; expected it on the line."
        raise PictureError(text, (round(abs(at), 1),))
    return at


def _in_frame(rim: Rim, shift: Floats, printed: float) -> Rim:
    return Rim(
        (rim.x - float(shift[0])) * printed,
        (rim.y - float(shift[1])) * printed,
        rim.diameter * printed,
        rim.centre_spread * printed,
        rim.diameter_spread * printed,
        rim.share,
    )


_NO_MIDDLE = (
    "An end of the nut is not seen: all of the outline may lie {0} to one side of the centre line, and the width at "
    "the nut may be {1} off. Measure it."
)
