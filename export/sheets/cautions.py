"""The short warnings of the sheets and of the window, each written once.

They remind; they replace neither the manual of a machine nor local rules nor licensed practice. Each is one line on
A4 and Letter, and a sheet shows at most three.
"""

from __future__ import annotations

# Work

SAFE_WORK = "Clamp the work. Protect eyes and lungs. The machine's manual and local rules come first."
"""For every sheet that leads to drilling or sawing."""

TRY_ON_SCRAP = "Try each bit on scrap of the same board and fit the tuner there before you drill the head."
"""For every sheet that gives sizes of bits."""

CHECK_RULERS = "Lay a steel rule on both printed rulers before you mark anything from this paper."
"""For every sheet that is laid on the work."""

DRY_FIT = "Drill no pilot before all tuners sit in their bores, turned as drawn; check the depth twice."
"""For holes of screws and pins."""

BACKED_UP = "Strings off. Backing board under every bore, masking tape on finished faces."
"""For drilling a head that is on its instrument."""

HELD = "Clamp or screw the blocks down and strap the body. Never hold the work by hand. Manual and local rules first."
"""For blocks and wedges that hold a head."""

GUIDED_BITS = (
    "Plain twist or piloted bits only in guide bushings: spurs of brad-point and Forstner bits catch."
)
"""For guides, and wherever a bit is chosen."""

TRY_GUIDE = "Try the guide on scrap first: drill it, measure the holes, then trust it."
"""For a drill guide."""

# Dust

BONE_DUST = (
    "Dust of bone or shell harms the lungs: work it wet or with extraction, and wear a fine-dust mask."
)
"""For nuts. A P2 or N95 mask, from memory."""

WOOD_DUST = (
    "Wood dust harms the lungs, and exotic woods the skin too: extract it and wear a mask; local rules apply."
)
"""For sawing and sanding of wood."""

# Strings

TENSION = "A string under tension can whip: slacken it before you cut or unhook it, and protect your eyes."
"""For strings."""

STEEL_LIMIT = "Tensions are computed, not measured; keep to what the maker of the string allows."
"""For tunings."""

# Figures

NO_PROMISE = "Strength figures compare designs; they promise nothing. Thin walls, splits and knocks decide."
"""For strength."""

ASK_SOMEONE = "They replace no test and no licensed practice: where people could be hurt, ask an engineer."
"""For strength: who decides where a break is dangerous."""

# What stands where

FOR_TEMPLATES = (SAFE_WORK, TRY_ON_SCRAP, CHECK_RULERS)
"""On a template for the bores, and on a ladder of bores for scrap."""

FOR_PILOTS = (SAFE_WORK, DRY_FIT, CHECK_RULERS)
"""On a template for the holes of screws and pins."""

FOR_GUIDE = (TRY_GUIDE, GUIDED_BITS, SAFE_WORK)
"""On a drill guide."""

FOR_SCHEDULE = (SAFE_WORK, BACKED_UP, GUIDED_BITS)
"""On a drilling schedule."""

FOR_CRADLE = (HELD, BACKED_UP, WOOD_DUST)
"""On the blocks and wedges that hold the head under a drill."""

FOR_NUT = (BONE_DUST, CHECK_RULERS, TENSION)
"""On the nut's drawing and paper strip."""

FOR_STRINGS = (TENSION, STEEL_LIMIT)
"""On a list of strings."""

FOR_STRENGTH = (NO_PROMISE, ASK_SOMEONE, TENSION)
"""On a drawing of strength."""
