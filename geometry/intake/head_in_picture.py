"""A head in a photo or a scan: the edge and the holes of its face, and how sure each is."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import msgspec
import numpy as np
import numpy.typing as npt
import shapely

from geometry.intake.camera import STEP, Camera, Glass
from geometry.intake.face_edge import Face, Lifted, above_nut, bridged, guessed, outward
from geometry.intake.face_found import OVERSAMPLED, FaceFound, fine_enough
from geometry.intake.face_seen import FaceSeen, seen_from
from geometry.intake.lines import Lines
from geometry.intake.not_seen import edge_seen, ends_by_neck, say_guessed, shone_at_nut
from geometry.intake.picture_error import PictureError, refuse_picture
from geometry.intake.rectified import Plane, Rectified, View, rectified
from geometry.intake.rim_fit import Below
from geometry.intake.rims import Rim, rims_in
from geometry.intake.silhouette import inside_mask
from geometry.shape.bounds import Bounds
from geometry.shape.close import Floats
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import Note, Sentence

_OFF_LINE = 6.0  # mm that the nut end of a loose head may lie off the printed nut line
# mm, one standard deviation: how far a head that is laid by eye lies beside the printed centre line, no source.
_LAID = 0.35

_ENDS = 0.06  # mm, one standard deviation: the middle between ends that are seen, as made-up photos show
_GUESSED = 0.1  # mm in a mm of edge that is guessed to an end, for the middle: half of one in five, no source

# How much the seen ends of the nut count against the printed centre line: by the inverse of both squares.
_NUT_TRUSTED = _LAID**2 / (_LAID**2 + _ENDS**2)

SHOWN = 0.15
"""mm, one standard deviation: how well the middle of the nut is shown by hand over a picture, no source."""

# mm that the edge is good for at worst, where telling the height of the camera makes it better, no source.
_ROUGHEST = 1.0

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


def head_of(face: FaceSeen, printed: float = 1.0, lines: Lines | None = None) -> HeadSeen:
    """The head whose face was seen, its nut and centre line where they are found, or where `lines` tell them.

    `printed` is what the printer made of a millimetre of the sheet. PictureError says in one sentence what keeps the
    head from being read.
    """
    if lines is not None:
        face = seen_from(face, lines)
    head = _head(face, printed, lines)
    if face.level and head.edge_give > _ROUGHEST:
        raise PictureError(_LEVEL, (round(head.edge_give, 1),))
    shown = () if lines is None else (Sentence(_SHOWN_LINES, (GIVE * SHOWN,)),)
    return msgspec.structs.replace(head, remarks=(*face.before, *shown, *head.remarks, *face.after))


_LEVEL = (
    "the camera was held level, so that the picture does not tell how high it was, and the edge would be good for {0} "
    "only. Say what the camera height over the sheet was, or take the picture anew with the camera tilted by ten "
    "degrees."
)
_SHOWN_LINES = (
    "The nut line and the centre line are where you showed them; shown by hand, the middle is good for {0}."
)


def face_square_on(face: FaceSeen, beside: float = 2.0) -> Rectified:
    """The picture square onto the face, with so many mm of what lies round it."""
    box = Bounds(*face.found.face.plan.bounds).grown(beside)
    if face.bare and not face.found.loose:
        box = msgspec.structs.replace(box, bottom=max(box.bottom, face.found.nut))
    return rectified(face.picture, face.view, face.found.plane, box, fine_enough(face.view, box))


def lines_found(face: FaceSeen) -> Lines:
    """About where the nut and the centre line of a head are, to begin from where they are to be shown."""
    plan = face.found.face.plan
    left, bottom, right, _ = plan.bounds
    try:
        nut = _nut(face.found, without_sheet=face.bare)
        edge = above_nut(plan, nut, loose=face.found.loose)
    except PictureError:
        return Lines((left + right) / 2, bottom)
    return Lines(float(edge[0, 0] + edge[-1, 0]) / 2, nut)


# The head in its own frame


def _head(seen: FaceSeen, printed: float, lines: Lines | None) -> HeadSeen:
    found, view, bare = seen.found, seen.view, seen.bare
    nut = _nut(found, without_sheet=bare)
    edge = above_nut(found.face.plan, nut, loose=found.loose)
    edge, behind = bridged(edge, guessed(edge, found.face))
    edge, shone = bridged(edge, shone_at_nut(edge, found.silhouette, found.face))
    by_neck = None
    if not found.loose and lines is None:
        edge, by_neck = ends_by_neck(edge, (*behind, *shone), found.face, found.silhouette, nut)
    shown = edge_seen(edge, found.silhouette, found.face, behind, shone)
    if shown.guessed > _HARDLY * shown.long:
        refuse_picture(
            "hardly any of the edge of the head is seen; expected even light without shine or shadow over it."
        )
    trusted, middle_spread = _nut_trusted(shown.at_nut, bare=bare, loose=found.loose, by_neck=by_neck)
    between = float(edge[0, 0] + edge[-1, 0]) / 2
    middle = trusted * between
    if shown.at_nut:
        # What both say differently is unsure, for a build is laid by the ends as they are drawn.
        middle_spread = math.hypot(middle_spread, between - middle)
    if lines is not None:
        middle, middle_spread = 0.0, SHOWN
    shift = np.array([middle, nut])
    onto_face = face_square_on(seen)
    mask = inside_mask(onto_face, np.asarray(found.face.plan.exterior.coords))
    rims = rims_in(onto_face, mask, _below(onto_face, found.face.lifted))
    fine = onto_face.fine / OVERSAMPLED
    spreads = edge_spreads(edge, found.face, view, seen.others, found.plane, fine, middle_spread)
    surer = rim_spreads(rims, view, seen.others, found.plane)
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
            *(() if not shown.at_nut else (_say_middle(spread, by_neck=by_neck is not None),)),
        ),
        face=onto_face,
        shift=shift,
    )


def _nut_trusted(unseen: float, *, bare: bool, loose: bool, by_neck: float | None) -> tuple[float, float]:
    """How much the middle between the ends of the nut counts against the printed centre line, if there is one.

    And how well the middle of the nut is known then, one standard deviation in mm. `unseen` is how many mm of the edge
    at an end are drawn by guess, `by_neck` how well the neck tells the ends, one standard deviation; both places count
    by the inverse of their squares.
    """
    if not unseen:
        return 1.0 if bare or loose else _NUT_TRUSTED, NUT
    ends = math.hypot(_ENDS, _GUESSED * unseen if by_neck is None else by_neck)
    if bare:
        return 1.0, ends
    return _LAID**2 / (_LAID**2 + ends**2), _LAID * ends / math.hypot(_LAID, ends)


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
    if not without_sheet and abs(at) > _OFF_LINE:
        where = "above" if at > 0 else "below"
        text = f"the nut end of the head lies {{0}} {where} the nut line; expected it on the line."
        refuse_picture(text, (round(abs(at), 1),))
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


def _say_middle(spread: float, *, by_neck: bool) -> Note:
    """What an end of the nut that is not seen makes unsure."""
    taken = ", and is drawn where the side of the neck goes on to" if by_neck else ""
    text = (
        f"An end of the nut is not seen{taken}: all of the outline may lie {{0}} to one side of the centre line, and "
        "the width at the nut may be {1} off. Measure it."
    )
    return Sentence(text, (GIVE * spread, 2 * GIVE * spread))


# How sure places are: what other cameras that fit the markers as well would have made of them


_BASE = 0.04  # mm, one standard deviation: what print, paper and flatness make, no source

NUT = 0.08
"""mm, one standard deviation: how well the middle between the ends of the nut is seen; as made-up photos show."""

_EDGE = 0.35  # pixels of the picture, one standard deviation at a place of an edge; as made-up photos show
_CALIPERS = 0.1  # mm, one standard deviation of a thickness that was measured by hand


def edge_spreads(
    edge: Floats,
    face: Face,
    view: View,
    others: Sequence[Camera],
    plane: Plane,
    fine: float,
    middle: float = NUT,
) -> Floats:
    """Standard deviations (n,) in mm square to an open, counter-clockwise edge (n, 2) of the face on its plane.

    `fine` is how many pixels a mm has, `middle` the standard deviation of the middle of the nut in mm.
    """
    out = outward(edge)
    variance = _BASE**2 + (_EDGE / fine) ** 2 + (middle * out[:, 0]) ** 2
    if isinstance(view, Camera):
        upper = face.hides_wall(edge) > 0
        heights = np.where(upper, plane.heights(edge), 0.0)
        moves = [_moved(edge, view, other, heights) for other in others]
        moves.append(np.where(upper[:, None], (edge - view.foot) * _CALIPERS / view.height, 0.0))
        for move in moves:
            # The nut is laid in the middle afterwards, so what moves both its ends alike is of no account.
            move[:, 0] -= (move[0, 0] + move[-1, 0]) / 2
            variance += np.sum(move * out, axis=1) ** 2
    elif isinstance(view, Glass):
        variance += np.sum((edge - (edge[0] + edge[-1]) / 2) * view.scale_spread * out, axis=1) ** 2
    return np.sqrt(variance)


def rim_spreads(rims: Sequence[Rim], view: View, others: Sequence[Camera], plane: Plane) -> list[Rim]:
    """The rims with what is unsure about the camera in their spreads, but not where the nut is: see NUT."""
    if not rims:
        return []
    at = np.array([(rim.x, rim.y) for rim in rims])
    variance = np.full(len(at), _BASE**2)
    widened = np.zeros(len(at))
    if isinstance(view, Camera):
        high = plane.heights(at)
        for move in (
            *(_moved(at, view, other, high) for other in others),
            (at - view.foot) * _CALIPERS / view.height,
        ):
            variance += np.sum(move**2, axis=1)
        nearer = max((abs(other.height / view.height - 1) / STEP for other in others), default=0.0)
        widened += nearer * high / view.height
    elif isinstance(view, Glass):
        variance += np.sum((at - [0.0, at[:, 1].min()]) ** 2, axis=1) * view.scale_spread**2
        widened += view.scale_spread
    return [
        msgspec.structs.replace(
            rim,
            centre_spread=float(np.sqrt(rim.centre_spread**2 + more)),
            diameter_spread=float(np.hypot(np.hypot(rim.diameter_spread, _BASE), wider * rim.diameter)),
        )
        for rim, more, wider in zip(rims, variance, widened, strict=True)
    ]


def _moved(places: Floats, camera: Camera, other: Camera, heights: Floats) -> Floats:
    """How far (n, 2) places at their heights lie elsewhere by one standard deviation: one step of Newton's method."""
    seen, would = camera.pixels(places, heights), other.pixels(places, heights)
    right = other.pixels(places + np.array([1.0, 0.0]), heights) - would
    up = other.pixels(places + np.array([0.0, 1.0]), heights) - would
    moved = np.linalg.solve(np.stack([right, up], axis=-1), (seen - would)[..., None])[..., 0] / STEP
    return np.asarray(moved, float)
