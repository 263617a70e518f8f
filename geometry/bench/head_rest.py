"""What the angle of a head does to the neck while the head lies level under a drill."""

from __future__ import annotations

import math

import msgspec

from geometry.document.build import Build
from geometry.trade.shop import CradleSizes

SUPPORT = 16.0
"""Width in mm of a support under the neck, along it; workshop practice, no source."""

LEAST_SUPPORT = 10.0
"""The least height in mm of a support under the neck; workshop practice, no source."""


def fall(distance: float, angle: float) -> float:
    """How far in mm a place of the neck lies below the nut, `distance` mm along it, when the face is level and up.

    The face falls back from the line of the neck by `angle` (radians). Face down it rises by as much.
    """
    return distance * math.sin(angle)


def fret_distance(scale_length: float, fret: int) -> float:
    """Distance in mm from the nut to a fret of 12 equal steps to the octave."""
    return float(scale_length * (1 - 2 ** (-fret / 12)))


class Station(msgspec.Struct, frozen=True, gc=False):
    """A place under the neck; lengths in mm.

    `along` is its distance from the nut as the neck runs, `away` as the table lies. `falls` is how far the line of
    the face has fallen there. Supports are measured from the table's top: `on_riser` with the riser under the
    head, `at_edge` with the head at the table's edge (negative: that far below the top), `face_down`.
    """

    along: float
    away: float
    falls: float
    on_riser: float
    at_edge: float
    face_down: float


class HeadRest(msgspec.Struct, frozen=True):
    """How a head lies level, and where the neck goes; lengths in mm.

    `angle` in radians. `stack` is the thickness of the boards under the head, `riser` what must be put under them so
    that the neck clears the table at both stations, 0 where it does anyway, `riser_face_down` the same face
    down. `packing` goes under the thinner end of a head that tapers in thickness, `packed_end` says which.
    """

    angle: float
    stack: float
    riser: float
    riser_face_down: float
    near: Station
    far: Station
    at_bridge: float
    packing: float
    packed_end: str


def head_rest(build: Build, sizes: CradleSizes) -> HeadRest:
    """How the head of a build lies on its boards, face up and face down.

    The neck is taken as straight, its back parallel to the line of its face, as deep as at the nut; the face of the
    head begins at that line.
    """
    angle = math.radians(build.head.angle_deg)
    stack = sizes.base + sizes.backing
    frets = sorted((sizes.near_fret, sizes.far_fret))
    along = [fret_distance(build.scale_length, fret) for fret in frets]
    # The face lies level, its thinner end packed; the neck's back hangs by its depth below the line.
    thickest = max(build.head.thickness_nut, build.head.thickness_tip)
    under = [stack + thickest - fall(each, angle) - build.head.neck_depth * math.cos(angle) for each in along]
    # Face down the fingerboard hangs below the face by about the height of the slot floors.
    over = [stack + fall(each, angle) - build.nut.slot_floor * math.cos(angle) for each in along]
    riser, riser_face_down = (max(0.0, LEAST_SUPPORT - min(heights)) for heights in (under, over))
    near, far = (
        Station(
            along=each,
            away=each * math.cos(angle),
            falls=fall(each, angle),
            on_riser=up + riser,
            at_edge=up,
            face_down=down + riser_face_down,
        )
        for each, up, down in zip(along, under, over, strict=True)
    )
    taper = build.head.thickness_nut - build.head.thickness_tip
    return HeadRest(
        angle=angle,
        stack=stack,
        riser=riser,
        riser_face_down=riser_face_down,
        near=near,
        far=far,
        at_bridge=fall(build.scale_length, angle),
        packing=abs(taper),
        packed_end="tip" if taper > 0 else "nut",
    )
