"""What a drawing holds, whatever its kind of file: curves as points in its own units, y upwards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Literal, NoReturn

import msgspec
import numpy as np

from geometry.shape.close import Floats
from geometry.trade.sentence import Note

MOST_CURVES = 20_000
MOST_POINTS = 400_000
"""No drawing of a head needs as many; one that has more is refused before it takes long."""

FINE = 1e-5
"""How far the chords of a curve may stray from it, as a share of the drawing's size: 0.002 mm on a head."""


class DrawingError(ValueError):
    """A drawing that cannot be used; the text is one sentence that says why and what was expected."""


def refuse_drawing(sentence: str) -> NoReturn:
    """Raise the DrawingError that says this."""
    raise DrawingError(sentence)


class Curve(msgspec.Struct, frozen=True, eq=False):
    """A curve: points (n, 2) in units of the drawing, whether it is closed, and the names of its layers or groups."""

    points: Floats
    closed: bool = False
    name: str = ""


class Drawn(msgspec.Struct, frozen=True, eq=False):
    """The curves of a drawing.

    `unit` is what one unit of it is in mm, 1 where it does not tell. `certain` is whether it can be relied on; where it
    cannot, `doubt` is a clause that says why, such as "the drawing does not say its unit".
    """

    curves: tuple[Curve, ...]
    unit: float = 1.0
    certain: bool = True
    doubt: str = ""
    left_out: Counter[Thing] = msgspec.field(default_factory=Counter)


def usable(points: Floats) -> bool:
    """Whether points (n, 2) make a curve: two at least, finite, and not beyond what a drawing reaches."""
    return len(points) >= 2 and bool(np.isfinite(points).all()) and float(np.abs(points).max()) < 1e9


def meets_itself(points: Floats) -> bool:
    """Whether a curve through points (n, 2) ends where it begins."""
    size = float(np.ptp(points, axis=0).max())
    return len(points) > 3 and float(np.abs(points[0] - points[-1]).max()) <= 1e-6 * size


def gathered(curves: Iterable[Curve]) -> tuple[Curve, ...]:
    """The curves; a DrawingError as soon as there are more of them than a drawing of a head has."""
    found: list[Curve] = []
    points = 0
    for curve in curves:
        found.append(curve)
        points += len(curve.points)
        _refuse_many(len(found), points)
    return tuple(found)


def _refuse_many(count: int, points: int) -> None:
    if count > MOST_CURVES:
        refuse_drawing(
            f"The drawing has more than {MOST_CURVES} lines and curves; expected the outline of one head."
        )
    if points > MOST_POINTS:
        refuse_drawing(
            f"The curves of the drawing have more than {MOST_POINTS} points; expected the outline of one head."
        )


Thing = Literal["text", "image", "dimension", "hatch", "point", "mesh", "hidden", "double", "open", "circle", "outside",
                "shape", "other"]  # fmt: skip
"""What may be left out of a drawing."""

_WORDS: dict[Thing, tuple[str, str]] = {
    "text": ("text", "texts"),
    "image": ("image", "images"),
    "dimension": ("dimension", "dimensions"),
    "hatch": ("hatch", "hatches"),
    "point": ("point", "points"),
    "mesh": ("mesh", "meshes"),
    "hidden": ("thing on a layer that is off", "things on layers that are off"),
    "double": ("line drawn twice", "lines drawn twice"),
    "open": ("open line", "open lines"),
    "circle": ("circle round a hole, or too small or too large for one",
               "circles round holes, or too small or too large for one"),
    "outside": ("closed shape beside the head", "closed shapes beside the head"),
    "shape": ("closed shape across the edge of the head", "closed shapes across the edge of the head"),
    "other": ("thing of another kind", "things of other kinds"),
}  # fmt: skip


def things_left_out(counts: Counter[Thing]) -> tuple[Note, ...]:
    """A sentence that counts by their kinds what was not used, the most first."""
    kinds = [f"{count} {_WORDS[thing][count != 1]}" for thing, count in counts.most_common() if count]
    return (f"Left out: {', '.join(kinds)}.",) if kinds else ()


Side = Literal["top", "bottom", "left", "right"]
"""A side of a drawing or a picture as it is seen."""
