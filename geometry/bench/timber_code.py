"""What a timber code would allow of a wood's mean strength in bending: for a weak board, for years, with a margin."""

from __future__ import annotations

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
