"""How the sheets of a pair lie to each other, roughly, from the markers of both; the calibration makes it exact."""

from __future__ import annotations

import math

import cv2
import numpy as np

from geometry.intake.marker_pair import Joint, MarkerPair
from geometry.intake.markers_seen import MarkersSeen, halves, mapped, to_picture
from geometry.intake.picture_error import refuse_picture
from geometry.trade.sentence import Note, Sentence

FARTHEST, MOST_TURNED = 15.0, 4.0
"""mm and degrees that a sheet of a pair is taped off its place at most: by hand it is far less, no source."""

_TOLD = 0.05, 0.05  # mm and degrees below which a joint is as it should be


def joint_guessed(seen: MarkersSeen) -> Joint:
    """The joint of a pair by the perspective of its lower sheet; PictureError where it is none that somebody tapes."""
    assert isinstance(seen.sheet, MarkerPair), "a sheet on its own has no joint"
    lower, upper = halves(seen)
    back = np.asarray(np.linalg.inv(to_picture(lower)), float)
    meets = np.array([0.0, seen.sheet.meets])
    wanted, there = (each.reshape(-1, 2) - meets for each in (upper.places, mapped(back, upper.corners)))
    # The turn and the shift of least squares (Kabsch 1976).
    middles = wanted.mean(axis=0), there.mean(axis=0)
    a, b = wanted - middles[0], there - middles[1]
    turn = math.atan2(float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])), float(np.sum(a * b)))
    turned = cv2.getRotationMatrix2D((0.0, 0.0), -math.degrees(turn), 1.0)[:, :2] @ middles[0]
    across, up = middles[1] - turned
    # Only roughly, for the lens is left out.
    return checked(Joint(float(across), float(up), turn), 2.0)


def checked(joint: Joint, loosely: float = 1.0) -> Joint:
    """The joint; PictureError where it is `loosely` times more off than somebody tapes it."""
    off, turn = math.hypot(joint.across, joint.up), abs(math.degrees(joint.turn))
    if off > FARTHEST * loosely or turn > MOST_TURNED * loosely:
        refuse_picture(
            f"the upper sheet of the pair lies {{0}} and {turn:.1f}° off its place; expected it taped to the line of "
            "the lower one.",
            (round(off, 1),),
        )
    return joint


def say_joint(joint: Joint) -> Note | None:
    """How the sheets were taped, None where it is as it should be."""
    turn = math.degrees(joint.turn)
    if math.hypot(joint.across, joint.up) < _TOLD[0] and abs(turn) < _TOLD[1]:
        return None
    apart = "too far apart" if joint.up > 0 else "too close"
    side = "right" if joint.across > 0 else "left"
    text = (
        f"The two sheets are taped {{0}} {apart}, the upper one {{1}} to the {side} and turned by {abs(turn):.2f}°, as "
        "the picture tells; that is taken out."
    )
    return Sentence(text, (abs(joint.up), abs(joint.across)))
