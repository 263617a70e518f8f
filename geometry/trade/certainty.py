"""What "give or take" stands for, wherever a place or a width is told with it."""

from __future__ import annotations

GIVE = 2.0
"""Standard deviations: nineteen of twenty errors of a normal scatter are smaller."""
