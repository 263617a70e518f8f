"""Photos and scans of a head, from a file to what was found in it."""

from __future__ import annotations

import math
from pathlib import Path

import msgspec
import numpy as np

from app.document.messages import Refusal
from app.intake.face_shown import FaceShown
from app.intake.picture_told import (
    COARSEST,
    FINEST,
    HIGHEST,
    LONGEST_KNOWN,
    LOWEST,
    PICTURES,
    SHORTEST_KNOWN,
    STEEPEST,
    THICKEST,
    THINNEST,
    PictureTold,
)
from app.intake.pictures import Opened, open_picture_at
from export.ruler import LENGTHS
from geometry.document.build import Build
from geometry.intake.camera import CameraTold
from geometry.intake.face_seen import FaceSeen, face_in_flat, face_in_photo, face_in_scan
from geometry.intake.found import FacePicture, Found, FoundHole
from geometry.intake.head_in_picture import HeadSeen, face_square_on, head_of, lines_found
from geometry.intake.lines import KnownPoints
from geometry.layout.layout import Layout
from geometry.search.answers.drilled import AsDrilled, Seen, as_drilled
from geometry.shape.point import Point
from geometry.trade.certainty import GIVE
from geometry.trade.quantities import show_share
from geometry.trade.sentence import Note, Sentence, SentenceError, say_note
from geometry.trade.units import Units

# The share of the edge that is not seen, beyond which no figure for the rest is worth telling, no source.
_TOO_MUCH = 0.25
# The share by which a printed ruler may be off without a word: a reading is good for 0.2 mm in 100, no source.
_TRUE_PRINT = 0.002
_WORST_PRINT = 0.2  # the share beyond which a reading is of no printed ruler


def printed_scale(measured: float | None) -> float:
    """What the printer made of a millimetre, from the reading of a printed ruler; SentenceError where it is of none."""
    if measured is None:
        return 1.0
    scale = measured / min(LENGTHS, key=lambda length: abs(math.log(max(measured, 1.0) / length)))
    if not abs(scale - 1.0) <= _WORST_PRINT:
        known = sorted(LENGTHS)
        places = ", ".join(f"{{{place}}}" for place in range(1, len(known) + 1))
        text = f"a measured ruler of {{0}} is no printed ruler; expected about one of {places}."
        raise SentenceError(text, typed=(measured, *known))
    return scale


def head_in(path: Path, told: PictureTold) -> HeadSeen:
    """The head that the picture in a file shows; a SentenceError or a Refusal says what is wrong with it."""
    scale = printed_scale(told.measured_ruler)
    _refuse_told(told)
    seen = head_of(_face(open_picture_at(path), told, scale), scale, told.lines)
    return msgspec.structs.replace(seen, remarks=(*_say_scale(told, scale), *seen.remarks))


def face_shown(path: Path, told: PictureTold) -> FaceShown:
    """The face that the picture in a file shows, wherever its nut lies; errors as of `head_in`."""
    _refuse_told(told)
    face = _face(open_picture_at(path), told, printed_scale(told.measured_ruler))
    flat = face_square_on(face, 6.0)
    outline = np.asarray(face.found.face.plan.exterior.coords, float)
    lines = lines_found(face) if told.lines is None else told.lines
    return FaceShown(FacePicture(flat.light, flat.left, flat.top, flat.fine), outline, lines)


def see_head(path: Path, told: PictureTold, units: Units = "mm") -> HeadSeen:
    """The head in a file; Refusal with its name where it cannot be read."""
    if path.suffix.lower() not in PICTURES:
        raise Refusal(f"{path}: this suffix is of no picture; expected one of {', '.join(PICTURES)}.")
    try:
        return head_in(path, told)
    except SentenceError as error:
        raise Refusal(f"{path}: {say_note(error, units)}") from None


def drilled_in(picture: HeadSeen, build: Build, layout: Layout) -> AsDrilled:
    """The holes that a picture shows against the plan of a build; a SentenceError where it shows none of them."""
    holes = [
        Seen(Point(rim.x, rim.y), rim.diameter, GIVE * rim.centre_spread, GIVE * rim.diameter_spread)
        for rim in picture.rims
    ]
    if not holes:
        raise SentenceError("no hole is seen in the face of the head; expected bare holes, without tuners.")
    head = as_drilled(build, layout, picture.edge[picture.seen], picture.edge_give, holes)
    if not head.hits:
        old = ", only old holes of the build" if head.besides.old else ""
        raise SentenceError(f"no hole is seen that fits a mark of the build{old}.")
    return head


def found_in_picture(path: Path, told: PictureTold) -> Found:
    """The same as every reader gives it."""
    seen = head_in(path, told)
    holes = tuple(FoundHole(Point(rim.x, rim.y), rim.diameter) for rim in seen.rims)
    unsure = (*seen.remarks, say_give(seen))
    return Found(seen.edge, holes, unsure=unsure, picture=face_picture(seen, told))


def face_picture(seen: HeadSeen, told: PictureTold) -> FacePicture:
    """The picture of the face in the head's own frame."""
    printed = 1.0 if told.without_sheet else printed_scale(told.measured_ruler)
    face, (across, up) = seen.face, seen.shift
    left, top = (face.left - float(across)) * printed, (face.top - float(up)) * printed
    return FacePicture(face.light, left, top, face.fine / printed)


def say_give(seen: HeadSeen) -> Note:
    """How sure a picture is of what it shows, and that nothing is said of what it does not."""
    lengths: tuple[float, ...]
    if seen.guessed > _TOO_MUCH * seen.long:
        text = "Of {1} of the edge {0} are not seen, too much to tell how far the outline may be off: check it whole"
        lengths = round(seen.guessed), round(seen.long)
    elif seen.guessed:
        text = (
            "As the picture tells it, nineteen of twenty places of the edge that is seen are good for {0}; this does "
            "not go for the {1} that are drawn by guess"
        )
        lengths = round(seen.edge_give, 2), round(seen.guessed)
    else:
        text = "As the picture tells it, nineteen of twenty places of the edge are good for {0}"
        lengths = (round(seen.edge_give, 2),)
    if not seen.rims:
        return Sentence(f"{text}.", lengths)
    worst = max(GIVE * math.hypot(rim.centre_spread, seen.middle_spread) for rim in seen.rims)
    holes = f"the centres of the holes are good for {{{len(lengths)}}}"
    return Sentence(f"{text}; {holes}.", (*lengths, round(worst, 2)))


def _refuse_told(told: PictureTold) -> None:
    flat = told.scan or told.without_sheet
    if told.thickness is None and not flat:
        raise Refusal(
            "a photo needs the thickness of the head, such as --thickness 15; a scan with the face on the glass needs "
            "--scan."
        )
    if told.thickness is not None and flat:
        raise Refusal("--thickness is for a photo; a scan has its face on the glass. Give one of them.")
    for option, thickness in (("--thickness", told.thickness), ("--thickness-at-tip", told.thickness_at_tip)):
        if thickness is not None and not THINNEST <= thickness <= THICKEST:
            raise SentenceError(
                f"{option}: {{0}} is no head; expected {{1}} to {{2}}.", typed=(thickness, THINNEST, THICKEST)
            )
    _refuse_height(told, flat=flat)
    if told.thickness_at_tip is not None and told.thickness is None:
        raise Refusal("--thickness-at-tip is for a photo, beside --thickness, which is that at the nut.")
    if told.known is not None and told.dpi is not None:
        raise Refusal("--known and --dpi both tell the scale; give one of them.")
    if told.known is not None and not SHORTEST_KNOWN <= told.known.apart <= LONGEST_KNOWN:
        text = "--known: {0} is no distance that serves; expected {1} to {2}."
        raise SentenceError(text, typed=(told.known.apart, SHORTEST_KNOWN, LONGEST_KNOWN))
    if not abs(told.lean_deg) <= STEEPEST:
        raise Refusal(f"--sides: {told.lean_deg:g}° is too steep; expected {STEEPEST:g}° at most.")
    if told.dpi is not None and not COARSEST <= told.dpi <= FINEST:
        raise Refusal(f"--dpi: {told.dpi:g} is no scan; expected {COARSEST} to {FINEST}.")


def _refuse_height(told: PictureTold, *, flat: bool) -> None:
    height = told.camera_height
    if height is None:
        return
    if flat:
        raise Refusal("--camera-height is for a photo; a scan has no camera over it. Give one of them.")
    if not LOWEST <= height <= HIGHEST:
        raise SentenceError(
            "--camera-height: {0} is not above a head; expected {1} to {2}.", typed=(height, LOWEST, HIGHEST)
        )


def _face(opened: Opened, told: PictureTold, scale: float) -> FaceSeen:
    shown = told.lines is not None
    if told.known is not None:
        return face_in_flat(opened.pixels, _in_opened(told.known, opened.reduced), cut_at_nut=not shown)
    if told.dpi is not None:
        return face_in_flat(opened.pixels, told.dpi / opened.reduced, cut_at_nut=not shown)
    if told.thickness is None:
        return face_in_scan(opened.pixels)
    lean = math.radians(told.lean_deg)
    camera = CameraTold(opened.focal, told.camera_height)
    return face_in_photo(opened.pixels, told.thickness, lean, scale, camera, told.thickness_at_tip)


def _in_opened(known: KnownPoints, reduced: float) -> KnownPoints:
    """Two places of a file in pixels of the picture that is worked on."""
    (x, y), (u, v) = ((np.array(at) + 0.5) / reduced - 0.5 for at in (known.one, known.other))
    return KnownPoints((float(x), float(y)), (float(u), float(v)), known.apart)


def _say_scale(told: PictureTold, scale: float) -> tuple[Note, ...]:
    if told.without_sheet:
        return ()
    if told.measured_ruler is None:
        return ("The sheet is taken as printed at 100 %; a measured ruler proves it.",)
    if abs(scale - 1.0) <= _TRUE_PRINT:
        return ()
    return (f"The sheet was printed at {show_share(scale, 1)}; all lengths are corrected for it.",)
