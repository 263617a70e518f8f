"""From what a reader found to a build: the outline of few nodes, nut, holes, regions, and how it fits."""

from __future__ import annotations

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Head, OldHole, OnLine, Region, Row
from geometry.document.mark_edits import moved_region
from geometry.document.outline import MOST_NODES, Nodes
from geometry.document.starters import as_nodes
from geometry.intake.found import FacePicture, Found
from geometry.intake.outline_fit import TOLERANCE, Fit, fit_outline
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST, LEAST
from geometry.trade.sentence import Note, Sentence, refuse

# mm by which the width at the nut that was told may differ from the one found without a word about it.
_NUT_MISS = 0.5
_LEAST_LENGTH = 20.0  # mm; no head that holds a tuner is shorter: from memory
_MOST_REGIONS, _MOST_HOLES = 100, 200  # as many as a build holds
# mm from the last post to the tip, and between posts: common practice, no source.
_TIP_ROOM, _LEAST_PITCH = 20.0, 12.0
_FIGURES = 4  # decimals of a mm that holes are kept with: what files of drawings stray is left behind
_NO_PLACE = 0.02  # mm; where a fit is nearer than this everywhere, no place is the worst
_LEAST_SAID = 0.01  # mm; a fit is not told to be nearer
# mm from the outline, by which halves that are made alike must not differ without a word about it.
_UNLIKE = 1.0


class Wishes(msgspec.Struct, frozen=True):
    """What the maker wants.

    The tolerance of the fit and, where they are known, the width at the nut and the thickness of the head there, and at
    the tip where it is another one, in mm; whether both halves shall be alike, and whether the regions that were found
    shall be kept clear.
    """

    tolerance: float = TOLERANCE
    nut_width: float | None = None
    symmetric: bool = False
    regions: bool = False
    thickness: float | None = None
    thickness_at_tip: float | None = None


class Taken(msgspec.Struct, frozen=True):
    """A build made from a found head, how its outline fits, what is to be said about it, and its face if seen."""

    build: Build
    fit: Fit
    unsure: tuple[Note, ...]
    left_out: tuple[Note, ...]
    picture: FacePicture | None = None

    @property
    def notes(self) -> tuple[Note, ...]:
        """One sentence on the build, one on the fit, then what is unsure and what was left out."""
        return measures_of(self.build, self.fit), fit_of(self.fit), *self.unsure, *self.left_out


def into_build(found: Found, base: Build, wishes: Wishes) -> Taken:
    """The build `base` with the outline, nut width, holes and regions of a found head.

    Holes become old holes that are open. Rows of the base keep their rules, their pitch made smaller where the head is
    too short for it. A SentenceError says what is wrong with a head that no build can hold.
    """
    found, step = _centred(found)
    points, unsure = _nut_told(found, wishes.nut_width)
    _refuse_size(points)
    fit = fit_outline(points, wishes.tolerance, symmetric=wishes.symmetric)
    nodes = as_nodes(fit.contour)
    if len(nodes) > MOST_NODES:
        refuse(
            f"The outline would need {len(nodes)} nodes, more than the {MOST_NODES} of a build; a larger "
            "tolerance needs fewer."
        )
    if wishes.symmetric and fit.largest > wishes.tolerance + _UNLIKE:
        text = "The halves are not alike: made so, the outline is up to {0} from what was found."
        unsure += (Sentence(text, (fit.largest,)),)
    ends = fit.contour.start, fit.contour.end
    build = replace(
        base,
        outline=Nodes(nodes),
        nut=replace(base.nut, width=ends[0].x - ends[1].x),
        head=_as_thick(base.head, wishes.thickness, wishes.thickness_at_tip),
        rows=tuple(_fitting(row, fit.contour.bounds.top) for row in base.rows),
        old_holes=_old_holes(found, step),
        keep_clear=_regions(found, step) if wishes.regions else (),
    )
    if found.regions and not wishes.regions:
        unsure += (_offered(len(found.regions)),)
    return Taken(build, fit, found.unsure + unsure, found.left_out + _too_many(found), found.picture)


def _as_thick(head: Head, at_nut: float | None, at_tip: float | None) -> Head:
    if at_nut is None:
        return head
    return replace(head, thickness_nut=at_nut, thickness_tip=at_nut if at_tip is None else at_tip)


def _centred(found: Found) -> tuple[Found, Vector]:
    """The contour with the middle of the nut line in the origin, where a build has it, and how far that moved it."""
    step = Vector(-float(found.points[0, 0] + found.points[-1, 0]) / 2, 0.0)
    points = np.array(found.points + np.array([step.x, 0.0]), float)
    points[[0, -1], 1] = 0.0
    picture = found.picture
    if picture is not None:
        picture = replace(picture, left=picture.left + step.x)
    return replace(found, points=points, picture=picture), step


def _nut_told(found: Found, width: float | None) -> tuple[Floats, tuple[Note, ...]]:
    """The contour as wide at the nut as was told, where that is nearly so, and what is to be said otherwise.

    The edge takes over the less of the difference the further it is from the nut, as a starter's does.
    """
    points = found.points
    if width is None:
        return points, ()
    if abs(found.nut_width - width) > _NUT_MISS:
        text = "The ends of the nut line are {0} apart, not {1} as told: the outline has been left as it was found."
        return points, (Sentence(text, (found.nut_width,), (width,)),)
    share = np.clip(1 - points[:, 1] / max(1.0, points[:, 1].max()), 0.0, 1.0)
    step = np.sign(points[:, 0]) * share * (width - found.nut_width) / 2
    return points + np.stack([step, np.zeros(len(step))], axis=1), ()


def _refuse_size(points: Floats) -> None:
    """A SentenceError for what is no head by its size."""
    length, width = float(points[:, 1].max()), float(np.ptp(points[:, 0]))
    if points[0, 0] - points[-1, 0] < LEAST:
        refuse("The ends of the nut line are on each other, or the wrong way round.")
    if length < _LEAST_LENGTH:
        text = "The head would be {0} long; expected at least {1}. Are its units right?"
        refuse(text, (length,), (_LEAST_LENGTH,))
    if max(length, width, float(np.abs(points).max())) > LARGEST:
        text = "The head would be {0} long and {1} wide; expected at most {2}. Are its units right?"
        refuse(text, (length, width), (LARGEST,))


def _fitting(row: Row, length: float) -> Row:
    """The row with its pitch made smaller where the last post would come too near the tip."""
    rule = row.rule
    if not isinstance(rule, AlongEdge | OnLine) or len(row.posts) < 2:
        return row
    room = (length - rule.start - _TIP_ROOM) / (len(row.posts) - 1)
    if rule.pitch <= room or room < _LEAST_PITCH:
        return row
    return replace(row, rule=replace(rule, pitch=round(room, 1)))


def _old_holes(found: Found, step: Vector) -> tuple[OldHole, ...]:
    kept = [hole for hole in found.holes if LEAST <= hole.diameter <= LARGEST][:_MOST_HOLES]
    return tuple(
        OldHole(key=f"h{number}", at=_rounded(hole.centre + step), diameter=round(hole.diameter, _FIGURES))
        for number, hole in enumerate(kept, start=1)
    )


def _rounded(at: Point) -> Point:
    return Point(round(at.x, _FIGURES), round(at.y, _FIGURES))


def _regions(found: Found, step: Vector) -> tuple[Region, ...]:
    return tuple(
        moved_region(Region(key=f"r{number}", name=region.name, shape=region.shape), step)
        for number, region in enumerate(found.regions[:_MOST_REGIONS], start=1)
    )


def _offered(count: int) -> str:
    """That there are regions which were not asked for."""
    if count == 1:
        return "A closed shape within the head is no round hole: it was left out, and can be kept clear as a region."
    return f"{count} closed shapes within the head are no round holes: left out, they can be kept clear as regions."


def _too_many(found: Found) -> tuple[Note, ...]:
    """What is to be said about holes and regions beyond those that a build can hold."""
    over = [
        (len(found.holes) - _MOST_HOLES, f"holes beyond the first {_MOST_HOLES}"),
        (len(found.regions) - _MOST_REGIONS, f"regions beyond the first {_MOST_REGIONS}"),
    ]
    return tuple(
        f"{count} {words} were left out: a build holds no more." for count, words in over if count > 0
    )


# Sentences


def measures_of(build: Build, fit: Fit) -> Note:
    """How long the head is, how wide at the nut, and of how many nodes, holes and regions."""
    nodes = len(fit.contour.segments) + 1
    parts = [_counted(nodes, "node"), _counted(len(build.old_holes), "hole")]
    if build.keep_clear:
        parts.append(_counted(len(build.keep_clear), "region"))
    text = "The head is {0} long and {1} wide at the nut, with " + " and ".join(
        (", ".join(parts[:-1]), parts[-1])
    )
    return Sentence(f"{text}.", (fit.contour.bounds.top, build.nut.width))


def _counted(count: int, word: str) -> str:
    return f"{count or 'no'} {word}{'' if count == 1 else 's'}"


def fit_of(fit: Fit) -> Note:
    """How well the outline fits what was found, and where it does worst."""
    if fit.largest < _NO_PLACE:
        return Sentence("The outline lies within {0} of all points found.", (max(fit.largest, _LEAST_SAID),))
    at = fit.where
    side = "right" if at.x > 0 else "left"
    text = (
        "The outline lies within {0} of half of the points found and within {1} of all; "
        f"it is furthest off {{2}} from the nut, {{3}} to the {side} of the centre line."
    )
    median, largest = (max(length, _LEAST_SAID) for length in (fit.median, fit.largest))
    return Sentence(text, (median, largest, at.y, abs(at.x)))
