"""Takes the centre line that a head is laid on out of a rectified picture of the sheet.

Where a side crosses a printed line at a slant, the shadow in the wedge between both and the line beyond it look like
wood that goes on, and the edge would follow the line.
"""

from __future__ import annotations

import cv2
import numpy as np

from geometry.intake.marker_pair import MarkerPair, Sheets
from geometry.intake.rectified import Light, Rectified
from geometry.intake.silhouette import STEP, Silhouette
from geometry.intake.smooth import smooth
from geometry.shape.close import Floats

WIDEST = 1.0
"""mm that a printed line may look wide: 0.3 mm of ink, and the blur of a photo on both sides."""

BESIDE = 1.2
"""mm on both sides of where a line should lie in which it is looked for: print, paper and lens."""

ON_LINE = 0.8
"""mm from the middle of the centre line within which its ink and its blur may be taken for an edge."""

_TANGENT = 3.0  # mm of edge on both sides that tell how it comes and leaves
_LONGEST = 10.0  # mm along the line over which an edge is drawn


def take_out_centre_line(flat: Rectified, sheet: Sheets) -> None:
    """Make the centre line as bright as what is beside it, in the picture itself; wood stays as it is.

    A closing of the light square to a line (Serra, "Image Analysis and Mathematical Morphology", 1982) takes out what
    is dark and narrower than WIDEST, and leaves every edge of what is wider where it is.
    """
    beside = BESIDE
    if isinstance(sheet, MarkerPair):
        top = np.array([[0.0, sheet.meets], [0.0, sheet.field.top]])
        beside += float(np.abs(sheet.joint.moved(top, sheet.meets)[:, 0]).max())
    middle = flat.pixels(np.zeros((1, 2)))[0, 0]
    _close(flat.light, middle, beside * flat.fine, WIDEST * flat.fine)


def _close(light: Light, at: float, beside: float, wide: float) -> None:
    """Close dark lines that run down the picture, in the columns so many pixels on both sides of one; in place."""
    size = 2 * round(wide / 2) + 1
    first, last = (int(np.clip(round(at + by), 0, light.shape[1])) for by in (-beside, beside + 1))
    # What is beyond the columns counts for those within.
    low, high = max(first - size, 0), min(last + size, light.shape[1])
    if last <= first:
        return
    part = np.ascontiguousarray(light[:, low:high])
    closed = cv2.morphologyEx(part, cv2.MORPH_CLOSE, np.ones((1, size), np.uint8))
    light[:, first:last] = closed[:, first - low : last - low]


def over_centre_line(silhouette: Silhouette) -> Silhouette:
    """The closed edge with each piece drawn anew that crosses the printed centre line at a slant.

    On the line itself nobody sees where its ink ends and a dark side begins, so that the edge is drawn over it as it
    comes and leaves; over so few millimetres that is as good as seen. A point that lies on the line is left as it is.
    """
    places = silhouette.places.copy()
    around = round(_TANGENT / STEP)
    on_line = np.flatnonzero(np.abs(places[:, 0]) < ON_LINE)
    if not len(on_line):
        return silhouette
    for run in np.split(on_line, np.flatnonzero(np.diff(on_line) > 1) + 1):
        first, last = int(run[0]) - 1, int(run[-1]) + 1
        if first < around or last + around >= len(places) or not _slants(places[first], places[last]):
            continue
        drawn = smooth(places[first - around], places[first], places[last], places[last + around])
        whole = np.vstack([places[first], drawn, places[last]])
        at = np.linspace(0.0, 1.0, last - first + 1)
        places[first : last + 1] = np.column_stack(
            [np.interp(at, np.linspace(0.0, 1.0, len(whole)), whole[:, part]) for part in (0, 1)]
        )
    return Silhouette(places, silhouette.seen)


def _slants(first: Floats, last: Floats) -> bool:
    """Whether a piece of the edge goes from one side of the centre line to the other, more along it than across."""
    across, along = np.abs(last - first)
    return bool(first[0] * last[0] < 0 and across < along < _LONGEST)
