"""A head in a photo or a scan: the edge and the holes of its face, and how sure each is."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import cv2
import msgspec
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.camera import Camera, calibrated
from geometry.intake.face_edge import Lifted, above_nut, bridged, guessed
from geometry.intake.face_found import (
    OVERSAMPLED,
    Body,
    FaceFound,
    face_on_sheet,
    face_without_sheet,
    fine_enough,
    with_neck,
)
from geometry.intake.glass import Glass, Known, glass_at, glass_known, glass_of
from geometry.intake.joint import say_joint
from geometry.intake.marker_pair import MarkerPair
from geometry.intake.markers_seen import MarkersSeen, find_markers, say_seen
from geometry.intake.neck_sides import BY_NECK, ends_by_neck
from geometry.intake.not_seen import edge_seen, say_guessed, shone_at_nut
from geometry.intake.picture_error import PictureError
from geometry.intake.rectified import Picture, Rectified, View, fineness, rectified
from geometry.intake.rim_fit import Below
from geometry.intake.rims import Rim, rims_in
from geometry.intake.silhouette import inside_mask
from geometry.intake.unsure import NUT, edge_spreads, rim_spreads
from geometry.shape.close import Floats
from geometry.shape.segment import Bounds
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import Note, Sentence

OFF_LINE = 6.0
"""mm that the nut end of a loose head may lie off the printed nut line."""

LAID = 0.35
"""mm, one standard deviation: how far a head that is laid by eye lies beside the printed centre line, no source."""

_ENDS = 0.06  # mm, one standard deviation: the middle between ends that are seen, as made-up photos show
_GUESSED = 0.1  # mm in a mm of edge that is guessed to an end, for the middle: half of one in five, no source

NUT_TRUSTED = LAID**2 / (LAID**2 + _ENDS**2)
"""How much the seen ends of the nut count against the printed centre line: by the inverse of both squares."""

FAR_SPREAD = 0.08
"""The relative uncertainty of the camera's height beyond which it is told."""

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


def head_in_photo(
    picture: Picture,
    thickness: float,
    lean: float = 0.0,
    printed: float = 1.0,
    told_focal: float | None = None,
    at_tip: float | None = None,
) -> HeadSeen:
    """The head in a photo (high, wide, 3), blue first, of a head `thickness` mm thick on the sheet of markers.

    `at_tip` is its thickness in mm at the tip, where that is another one than at the nut. `lean` in radians is how far
    its sides lean, positive where the back is wider than the face. `printed` is what the printer made of a millimetre,
    `told_focal` the focal length in pixels that the file tells. PictureError says in one sentence what keeps it from
    being read.
    """
    seen, words = _markers(picture)
    wide, high = picture.shape[1], picture.shape[0]
    known = calibrated(seen, wide, high, told_focal)
    camera = known.camera
    body = Body(thickness / printed, (thickness if at_tip is None else at_tip) / printed, lean)
    if camera.height < 3 * max(body.at_nut, body.at_tip):
        message = "the camera was hardly above the head; expected half a metre."
        raise PictureError(message)
    found = face_on_sheet(picture, camera, known.sheet, body)
    head = _head(picture, camera, found, known.others, printed)
    joint = say_joint(known.sheet.joint) if isinstance(known.sheet, MarkerPair) else None
    remarks: list[Note] = [*words, *(() if joint is None else (joint,)), *head.remarks]
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


def head_in_scan(picture: Picture, printed: float = 1.0) -> HeadSeen:
    """The head in a flatbed scan of its face, by the markers round it."""
    seen, words = _markers(picture)
    if isinstance(seen.sheet, MarkerPair):
        message = "a pair of sheets is for photos; expected one sheet round a head on the glass."
        raise PictureError(message)
    glass = glass_of(seen)
    head = _head(picture, glass, face_on_sheet(picture, glass, seen.sheet, None), (), printed)
    return msgspec.structs.replace(head, remarks=(*words, *head.remarks))


def head_in_flat(picture: Picture, scale: float | Known) -> HeadSeen:
    """The head in a flat picture without a sheet: by so many dots to the inch, or by two places of known distance.

    It stands upright in the picture, its nut end down.
    """
    words: list[Note]
    if isinstance(scale, Known):
        words = [Sentence(_TWO_PLACES, (), (scale.apart,))]
    else:
        words = [f"The scale is taken from {scale:g} dpi, which no ruler has proved."]
    picture = with_neck(picture, fineness(_glass(picture, scale), Bounds(-1, 0, 1, 2)))
    glass = _glass(picture, scale)
    found = face_without_sheet(picture, glass)
    if not found.loose:
        words.append(_CUT_OFF)
    head = _head(picture, glass, found, (), 1.0)
    return msgspec.structs.replace(head, remarks=(*words, *head.remarks))


def _glass(picture: Picture, scale: float | Known) -> Glass:
    wide, high = picture.shape[1], picture.shape[0]
    return glass_known(scale, wide, high) if isinstance(scale, Known) else glass_at(scale, wide, high)


def _markers(picture: Picture) -> tuple[MarkersSeen, tuple[str, ...]]:
    grey = np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), np.uint8)
    seen = find_markers(grey)
    return seen, (f"{say_seen(seen, grey.shape)}.",) if seen.missing else ()


# The head in its own frame


def _head(
    picture: Picture,
    view: View,
    found: FaceFound,
    others: Iterable[Camera],
    printed: float,
) -> HeadSeen:
    bare = isinstance(view, Glass) and not view.on_sheet
    nut = _nut(found, without_sheet=bare)
    edge = above_nut(found.face.plan, nut, loose=found.loose)
    edge, behind = bridged(edge, guessed(edge, found.face))
    edge, shone = bridged(edge, shone_at_nut(edge, found.silhouette, found.face))
    by_neck = False
    if not found.loose:
        edge, by_neck = ends_by_neck(edge, (*behind, *shone), found.face, found.silhouette, nut)
    shown = edge_seen(edge, found.silhouette, found.face, behind, shone)
    if shown.guessed > _HARDLY * shown.long:
        message = (
            "hardly any of the edge of the head is seen; expected even light without shine or shadow over it."
        )
        raise PictureError(message)
    trusted, middle_spread = _nut_trusted(shown.at_nut, bare=bare, loose=found.loose, by_neck=by_neck)
    between = float(edge[0, 0] + edge[-1, 0]) / 2
    middle = trusted * between
    if shown.at_nut:
        # What both say differently is unsure, for a build is laid by the ends as they are drawn.
        middle_spread = math.hypot(middle_spread, between - middle)
    shift = np.array([middle, nut])
    box = Bounds(*found.face.plan.bounds).grown(2.0)
    if bare:
        box = msgspec.structs.replace(box, bottom=max(box.bottom, found.nut))
    onto_face = rectified(picture, view, found.plane, box, fine_enough(view, box))
    mask = inside_mask(onto_face, np.asarray(found.face.plan.exterior.coords))
    rims = rims_in(onto_face, mask, _below(onto_face, found.face.lifted))
    known = tuple(others)
    fine = onto_face.fine / OVERSAMPLED
    spreads = edge_spreads(edge, found.face, view, known, found.plane, fine, middle_spread)
    surer = rim_spreads(rims, view, known, found.plane)
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
            *(() if not shown.at_nut else (_say_middle(spread, by_neck=by_neck),)),
        ),
        face=onto_face,
        shift=shift,
    )


def _nut_trusted(unseen: float, *, bare: bool, loose: bool, by_neck: bool) -> tuple[float, float]:
    """How much the middle between the ends of the nut counts against the printed centre line, if there is one.

    And how well the middle of the nut is known then, one standard deviation in mm. `unseen` is how many mm of the edge
    at an end are drawn by guess, unless the neck tells that end; both places count by the inverse of their squares.
    """
    if not unseen:
        return 1.0 if bare or loose else NUT_TRUSTED, NUT
    ends = math.hypot(_ENDS, BY_NECK / 2 if by_neck else _GUESSED * unseen)
    if bare:
        return 1.0, ends
    return LAID**2 / (LAID**2 + ends**2), LAID * ends / math.hypot(LAID, ends)


def _below(onto_face: Rectified, lifted: Lifted | None) -> Callable[[Floats], Below] | None:
    if lifted is None:
        return None
    foot = onto_face.pixels(lifted.foot[None, :])[0]

    def below(spot: Floats) -> Below:
        return Below(foot, float(lifted.nearer(onto_face.places(spot[None, :2])).item()))

    return below


def _nut(found: FaceFound, *, without_sheet: bool) -> float:
    """Y of the nut line: the printed one, where wood leaves a scan, or the lower end of a head that is loose."""
    if not found.loose:
        return found.nut
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


_TWO_PLACES = (
    "The scale is taken from two places {0} apart. That goes for a flat picture, as a scan with the face on the glass: "
    "in a photo of a head it would be millimetres off."
)
_CUT_OFF = (
    "The wood goes on to the lower end of the picture, which is taken for the nut line: where that is not the nut, cut "
    "the picture off there."
)


def _say_middle(spread: float, *, by_neck: bool) -> Note:
    """What an end of the nut that is not seen makes unsure."""
    taken = ", and is drawn where the side of the neck goes on to" if by_neck else ""
    text = (
        f"An end of the nut is not seen{taken}: all of the outline may lie {{0}} to one side of the centre line, and "
        "the width at the nut may be {1} off. Measure it."
    )
    return Sentence(text, (GIVE * spread, 2 * GIVE * spread))
