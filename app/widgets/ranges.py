"""What the command line and the window both take from a maker, and no more."""

from __future__ import annotations

LEAST_NUT, MOST_NUT = 15.0, 120.0
"""mm; no nut is narrower or wider."""

WIDEST_BORE = 60.0
"""No bore is wider, in mm."""

MOST_STRAIGHT = 100.0
"""Mm of ring for a degree of splay: more asks for nothing else."""
