"""What a nut wants at the bench: slots, heights over the frets, and how much to take off its bottom.

A fret n lies L (1 - 2^(-n/12)) from the nut; a string is taken as straight from the nut over fret 1 to fret 12, without
relief. Values are workshop practice with no source unless another is named.
"""

from __future__ import annotations

import math

import msgspec

from geometry.shape.tolerance import SAME

FRET_1 = 1 - 2 ** (-1 / 12)
"""Distance of fret 1 from the nut as a share of the sounding length: twelve equal steps to the octave."""

LOWERED = 2 ** (1 / 12)
"""How much comes off under the nut for each mm that a string is to come down over fret 1; the bridge stays."""

SLOT_ALLOWANCE = 0.08
"""mm by which a slot is wider than its string; common practice, no source: 0.05 to 0.10."""

WIDEST_ALLOWANCE = 0.13
"""mm; a slot wider by more lets the string buzz. Common practice, no source."""

NARROWEST_FILE = 0.8
"""Share of the string's diameter; a narrower file is not rocked as wide as that. Workshop practice, no source."""

PROUD_WOUND = 0.5
"""Share of a wound string's diameter that stands over the top of the nut; common practice, no source."""

PROUD_PLAIN = 0.25
"""The same of any other string: between level with the top and half of it, common practice, no source."""

FALL_SHARE = 0.5
"""Share of the break angle by which the slot's floor falls towards the post; from memory."""

TURN_SHARE = 0.5
"""Share of the splay by which the slot is turned towards the post."""

CLEARANCE_BASS, CLEARANCE_TREBLE = 0.56, 0.46
"""mm over fret 1 under the open strings: 0.022 in falling evenly to 0.018 in; common practice, no source."""

ACTION_BASS, ACTION_TREBLE = 2.4, 1.8
"""mm over fret 12 under the open strings; from memory."""

BLANK_HEIGHT = 9.0
"""mm; from memory: 8 to 9."""

BLANK_SPARE = 1.0
"""mm by which a blank stands at least over the finished top, to be filed off."""

LEAST_HEIGHT = 5.0
"""mm; a lower nut breaks out at its slots or does not hold in its place."""

BLANK_OVERSIZE = 0.5
"""mm by which the blank stands over each finished end, trimmed on the instrument; common practice, no source."""


def slot_depth(diameter: float, proud: float) -> float:
    """Depth in mm of a slot whose string stands over the nut by a share of its diameter."""
    return diameter * (1 - proud)


def floor_over_frets(clearance: float, action: float) -> float:
    """Height in mm of a slot's floor over the plane of the fret tops.

    From the clearance over fret 1 and the action over fret 12, both from fret to the underside of the open string: a
    straight string that stands H over the nut's end of the plane stands H (1 - 2k) + 2k a at fret 1, k = FRET_1.
    """
    return (clearance - 2 * FRET_1 * action) / (1 - 2 * FRET_1)


def lowered_at_fret(removed: float, fret: int) -> float:
    """How far in mm a string comes down over a fret when so much is taken off at the nut."""
    return float(removed * 2 ** (-fret / 12))


def file_suits(file: float, diameter: float) -> bool:
    """Whether a file of so many mm makes a slot in which a string neither binds nor buzzes."""
    return NARROWEST_FILE * diameter - SAME <= file <= diameter + WIDEST_ALLOWANCE + SAME


def nearest_file(width: float, diameter: float, files: tuple[float, ...]) -> float | None:
    """The file of the shop that is nearest to a slot's width among those that suit its string, else nearest of all.

    All in mm; of two equally near the narrower, None without files.
    """
    suiting = [file for file in files if file_suits(file, diameter)]
    return min(sorted(suiting or files), key=lambda file: round(abs(file - width), 9), default=None)


class Underside(msgspec.Struct, frozen=True, gc=False):
    """A straight cut along the bottom of a nut, in mm at its two ends.

    `limited`: the nut would become too low, so less comes off than is wanted. `raise_bass` and `raise_treble` are how
    much the nut would have to be raised under an outer string that is too low already.
    """

    bass_end: float
    treble_end: float
    limited: bool
    raise_bass: float
    raise_treble: float


def underside_cut(
    too_high: tuple[float, float], places: tuple[float, float], width: float, spare: float
) -> Underside:
    """How much to take off the bottom of a nut so that its outer strings come down over fret 1.

    `too_high` are the clearances over fret 1 less those wanted, of the bass-most and the treble-most string; `places`
    their distances from the bass end; never more than `spare` comes off. All in mm.
    """
    wanted = [LOWERED * each for each in too_high]
    bass, treble = (max(0.0, each) for each in wanted)
    apart = places[1] - places[0]
    if apart <= SAME:
        bass = treble = (bass + treble) / 2
    slope = (treble - bass) / apart if apart > SAME else 0.0
    ends = [max(0.0, bass + slope * (at - places[0])) for at in (0.0, width)]
    most = max(0.0, spare)
    return Underside(
        bass_end=min(ends[0], most),
        treble_end=min(ends[1], most),
        limited=max(ends) > most + SAME,
        raise_bass=max(0.0, -wanted[0]),
        raise_treble=max(0.0, -wanted[1]),
    )


def fall_across(thickness: float, fall: float) -> float:
    """How much lower in mm a floor that falls by `fall` radians ends on the head's side of the nut."""
    return thickness * math.tan(fall)
