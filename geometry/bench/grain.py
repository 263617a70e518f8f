"""How much of its strength wood keeps when its grain does not run along the head, and under a load that stays."""

from __future__ import annotations

import math

from geometry.build.build import Head

ACROSS_SHARE = 0.04
"""Strength in bending across the grain as a share of that along it.

From memory: Wood Handbook, chapter 5, tabulates 0.04 to 0.10; the least of it, which follows the handbook's table of
sloping grain.
"""

EXPONENT = 2.0
"""Of sine and cosine in Hankinson's formula; from memory: Wood Handbook, chapter 5, gives 1.5 to 2 for bending."""

DURATION_SHARE = 0.6
"""What wood carries for years as a share of what it carries for minutes; from memory."""

VARIATION = 0.16
"""Scatter of the modulus of rupture between pieces of one wood, as a share; from memory: Wood Handbook, chapter 5."""


def hankinson(angle: float, across_share: float = ACROSS_SHARE, exponent: float = EXPONENT) -> float:
    """Strength at `angle` (radians) to the grain as a share of that along it.

    N = P Q / (P sin^n + Q cos^n), divided by P, with `across_share` = Q / P.
    """
    sine, cosine = math.pow(abs(math.sin(angle)), exponent), math.pow(abs(math.cos(angle)), exponent)
    return across_share / (sine + across_share * cosine)


def slope(head: Head) -> float:
    """The angle in radians, in space, between the grain and the length of the head.

    In one piece with the neck the grain runs along the neck, so that a head that falls back cuts it at its own angle;
    behind a scarf joint it follows the head. `grain_deg` comes on top in both.
    """
    falls_back = math.radians(head.angle_deg) if head.joint == "one piece" else 0.0
    return math.acos(math.cos(falls_back) * abs(math.cos(math.radians(head.grain_deg))))
