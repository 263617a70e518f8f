"""The short warnings of the sheets, each written once.

They remind; they replace neither the manual of a machine nor local rules.
"""

from __future__ import annotations

SAFE_WORK = "Clamp the work. Protect eyes and lungs. The machine's manual and local rules come first."
"""For every sheet that leads to drilling or sawing."""

TRY_ON_SCRAP = "Try each bit on scrap of the same board and fit the tuner there before you drill the head."
"""For every sheet that gives sizes of bits."""

CHECK_RULERS = "Lay a steel rule on both printed rulers before you mark anything from this paper."
"""For every sheet that is laid on the work."""

DRY_FIT = "Drill no pilot before all tuners sit in their bores, straight and in line; count the depth twice."
"""For holes of screws and pins."""

FOR_TEMPLATES = (SAFE_WORK, TRY_ON_SCRAP, CHECK_RULERS)
"""What stands on a template for the bores."""

FOR_PILOTS = (SAFE_WORK, DRY_FIT, CHECK_RULERS)
"""What stands on a template for the holes of screws and pins."""
