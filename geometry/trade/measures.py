"""Annotated numbers of a build file: what they measure and which values make sense.

Lengths may be written as text ("1 3/4 in") in a file; inside they are millimetres.
"""

from typing import Annotated, Final

from msgspec import Meta

LENGTH_MARK: Final = "length"
"""Key of `Meta.extra` that tells the reader that text such as "1 3/4 in" is welcome here."""

LARGEST: Final = 2000.0
"""Nothing on a headstock is longer than this, in mm; a larger number is a slip of the pen."""

LEAST: Final = 0.1
"""Nothing that has a size is smaller, in mm: the thinnest music wire of ASTM A228 is 0.1 mm thick."""

_THICKEST_STRING: Final = 10.0  # mm; the lowest strings of a bass are under 4 mm thick: from memory
_SHORTEST_SCALE: Final = 50.0  # mm; no string that is tuned at a head sounds over less: from memory


def _length(least: float, most: float) -> Meta:
    """A length in mm from `least` to `most`; text is welcome in its place."""
    return Meta(
        ge=least, le=most, extra={LENGTH_MARK: True}, extra_json_schema={"type": ["number", "string"]}
    )


Size = Annotated[float, _length(LEAST, LARGEST)]
"""A length in mm of something that is there: not 0, nor next to it."""

StringDiameter = Annotated[float, _length(LEAST, _THICKEST_STRING)]
"""The diameter of a string in mm."""

ScaleLength = Annotated[float, _length(_SHORTEST_SCALE, LARGEST)]
"""The sounding length of an open string in mm."""

Distance = Annotated[float, _length(0, LARGEST)]
"""A length in mm, 0 allowed."""

Offset = Annotated[float, _length(-LARGEST, LARGEST)]
"""A length in mm with a sign."""

BuildUp = Annotated[float, _length(0, 1)]
"""By how much finish makes the diameter of a bore narrower, in mm."""

Degrees = Annotated[float, Meta(ge=-180, le=180)]
Grams = Annotated[float, Meta(ge=0, le=2000)]
GramsPerMetre = Annotated[float, Meta(ge=0.001, le=1000)]
Newtons = Annotated[float, Meta(ge=0.1, le=10_000)]
Turns = Annotated[float, Meta(ge=0, le=20)]
Share = Annotated[float, Meta(ge=0, le=1)]
Key = Annotated[str, Meta(min_length=1, max_length=40, pattern=r"^[A-Za-z0-9_.-]+$")]
"""A short name given once to a part of a build and never reused."""

PITCH_PATTERN: Final = "^[A-G][#b]?[0-9]$"
PitchName = Annotated[str, Meta(pattern=PITCH_PATTERN)]
"""A pitch with its octave, such as E4, F#3 or Bb2."""

ONE_LINE: Final = "one line"
"""Key of `Meta.extra` that tells the reader that a text is shown on one line, in terminals too."""

Name = Annotated[str, Meta(max_length=200, extra={ONE_LINE: True})]
Prose = Annotated[str, Meta(max_length=4000)]
