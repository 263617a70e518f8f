"""Pitch names such as E4, F#3 or Bb2, and their frequencies.

A4 is 440 Hz (ISO 16, from memory), an octave has twelve equal steps, and C4 lies nine of them below A4: the names of
scientific pitch notation.
"""

from __future__ import annotations

import re

A4 = 440.0
"""Hz; ISO 16, from memory."""

OCTAVE = 12
_A4_STEP = 9 + OCTAVE * 4
_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {"": 0, "#": 1, "b": -1}
_TYPED = str.maketrans("♯♭", "#b")
_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_PITCH = re.compile(r"([A-G])([#b]?)([0-9])")


def plain_pitch(name: str) -> str:
    """The name of a pitch as a typewriter has it: # for ♯ and b for ♭."""
    return name.strip().translate(_TYPED)


def pitch_step(name: str) -> int | None:
    """Semitones from C0 to the pitch called `name`; None where that is no name of a pitch."""
    match = _PITCH.fullmatch(plain_pitch(name))
    if match is None:
        return None
    return _STEPS[match[1]] + _SIGNS[match[2]] + OCTAVE * int(match[3])


def pitch_name(step: int) -> str:
    """The name of the pitch so many semitones above C0, black keys with a sharp; `step` is 0 or more."""
    octave, note = divmod(step, OCTAVE)
    return f"{_NAMES[note]}{octave}"


def frequency(name: str) -> float | None:
    """Frequency in Hz of the pitch called `name`; None where that is no name of a pitch."""
    step = pitch_step(name)
    return None if step is None else float(A4 * 2 ** ((step - _A4_STEP) / OCTAVE))
