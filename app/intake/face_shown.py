"""The face in a picture before its nut and centre line are settled."""

from __future__ import annotations

import msgspec

from geometry.intake.found import FacePicture
from geometry.intake.lines import Lines
from geometry.shape.close import Floats


class FaceShown(msgspec.Struct, frozen=True, eq=False):
    """The face square on and the closed edge (n, 2) of its wood, in mm of the sheet or the glass.

    `lines` are where the nut and the centre line begin from.
    """

    picture: FacePicture
    outline: Floats
    lines: Lines
