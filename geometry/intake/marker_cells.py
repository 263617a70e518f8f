"""What the markers look like: the set of square markers that OpenCV documents, 5 by 5 cells inside a black border."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt

from geometry.intake.marker_pair import MARKERS
from geometry.intake.marker_sheet import CELLS

MARKER_SET = cv2.aruco.DICT_5X5_1000
"""Two of its markers differ in at least five cells, whichever way they are turned, so up to two may be spoilt."""


def known_markers() -> cv2.aruco.Dictionary:
    """The markers of all sheets: no others are looked for."""
    every = cv2.aruco.getPredefinedDictionary(MARKER_SET)
    return cv2.aruco.Dictionary(every.bytesList[:MARKERS], every.markerSize, every.maxCorrectionBits)


def marker_cells(number: int) -> npt.NDArray[np.bool_]:
    """The cells (7, 7) of a marker from its upper left corner, row by row: whether each is white."""
    known = cv2.aruco.getPredefinedDictionary(MARKER_SET)
    return np.asarray(cv2.aruco.generateImageMarker(known, number, CELLS)) > 127
