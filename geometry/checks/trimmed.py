"""What rounded edges and binding leave of the wood inside the drawn edge: where it ends, and how that is said."""

from __future__ import annotations

from typing import Literal

import numpy as np

from geometry.document.build import Head
from geometry.shape.close import Floats
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import Note, Sentence

Sides = Literal["face", "back", "either"]

BOTH_SIDES: tuple[Sides, Sides] = ("face", "back")


def trimmed_end(here: Floats, foot: Floats, distance: Floats, trim: Floats | float, left: Floats) -> Floats:
    """The places (k, 2) `trim` mm inside the edge, from its nearest place `foot` (k, 2) on the way to `here` (k, 2).

    `distance` (k,) in mm is signed, positive where `here` lies over wood. Where just nothing is `left` (k,) the place
    stands a trifle off, so that the way to it still has a direction.
    """
    if not np.any(np.asarray(trim) > 0):
        return foot
    inwards = (here - foot) / np.where(distance == 0, 1.0, distance)[:, None]
    step = trim - np.where(np.abs(left) < 2 * SAME, 2 * SAME, 0.0)
    end: Floats = foot + inwards * step[:, None]
    return end


def once_trimmed(head: Head, side: Sides) -> Note:
    """What is taken off the edge on a side, or on the one of both that loses more: "once it is rounded by 1 mm".

    Part of a sentence, behind the name of the edge; empty where nothing is taken off.
    """
    rounded = {"face": head.edge_face, "back": head.edge_back}
    worse = max(rounded.values()) if side == "either" else rounded[side]
    return _said(worse, head.binding, _where(head, side))


def once_back_trimmed(head: Head) -> Note:
    """The same where the back's edge is spoken of already."""
    return _said(head.edge_back, head.binding, "")


def once_rounded(head: Head) -> Note:
    """The same of a face whose binding is left on."""
    return _said(head.edge_face, 0.0, _where(head, "face"))


def _where(head: Head, side: Sides) -> str:
    if abs(head.edge_face - head.edge_back) <= SAME:
        return ""
    if side == "either":
        side = "face" if head.edge_face > head.edge_back else "back"
    return f" on the {side}"


def _said(rounded: float, binding: float, where: str) -> Note:
    if rounded > SAME and binding > SAME:
        text = f"once {{0}} of binding and {{1}} of rounding{where} are taken off"
        return Sentence(text, typed=(binding, rounded))
    if binding > SAME:
        return Sentence("inside its binding of {0}", typed=(binding,))
    return Sentence(f"once it is rounded by {{0}}{where}", typed=(rounded,)) if rounded > SAME else ""
