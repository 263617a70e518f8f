"""How much of a wood's strength counts: what sloping grain leaves of it, and what a timber code would allow."""

from __future__ import annotations

import math

from geometry.document.build import Head

LEAST_ACROSS, USUAL_ACROSS, MOST_ACROSS = 0.04, 0.07, 0.10
"""Strength in bending across the grain as a share of that along it: the ends of a band, and its middle.

From memory: Wood Handbook, chapter 5, tabulates 0.04 to 0.10 beside Hankinson's formula.
"""

# Of sine and cosine in Hankinson's formula; from memory: Wood Handbook, chapter 5, gives 1.5 to 2 for bending.
_EXPONENT = 2.0


def hankinson(angle: float, across: float, exponent: float = _EXPONENT) -> float:
    """Strength at `angle` (radians) to the grain as a share of that along it.

    N = P Q / (P sin^n + Q cos^n), divided by P, with `across` = Q / P.
    """
    sine, cosine = math.pow(abs(math.sin(angle)), exponent), math.pow(abs(math.cos(angle)), exponent)
    return across / (sine + across * cosine)


def head_slope(head: Head) -> float:
    """The angle in radians, in space, between the grain and the length of the head.

    In one piece with the neck the grain runs along the neck, so that a head that falls back cuts it at its own angle;
    behind a scarf joint it follows the head. `grain_deg` comes on top in both.
    """
    falls_back = math.radians(head.angle_deg) if head.joint == "one piece" else 0.0
    return math.acos(math.cos(falls_back) * abs(math.cos(math.radians(head.grain_deg))))


def neck_slope(head: Head) -> float:
    """The same for the neck behind the nut: its grain runs along it, save where one board is turned for both."""
    return math.acos(abs(math.cos(math.radians(head.grain_deg)))) if head.joint == "one piece" else 0.0


# What a timber code allows of a mean strength in bending: of a weak board, for years, with a margin


VARIATION = 0.16
"""Scatter of the modulus of rupture between pieces of one wood, as a share; from memory: Wood Handbook, chapter 5."""

WEAK_SHARE = 1 - 1.645 * VARIATION
"""Strength that 19 of 20 pieces reach, as a share of the mean, where strengths scatter normally."""

LONG_SHARE = 0.6
"""What wood carries for years as a share of what it carries for minutes.

From memory: EN 1995-1-1 (design of timber structures), permanent load on solid timber indoors.
"""

SAFETY = 1.3
"""By this the strength is divided; from memory: EN 1995-1-1, solid timber."""

ALLOWED_SHARE = WEAK_SHARE * LONG_SHARE / SAFETY
"""What is allowed for years along the grain, as a share of the mean modulus of rupture."""
