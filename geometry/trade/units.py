"""The units of a shop, and what one of each is worth in those that are used inside.

Inch, pound and standard gravity are exact by definition; everything else follows from them. NIST SP 811 (2008),
Appendix B.8, lists the products: 1 lbf = 4.448 222 N, 1 psi = 6894.757 Pa, 1 lbf·in = 0.112 984 8 N·m,
1 oz = 28.349 52 g, 1 lb/ft3 = 16.018 46 kg/m3, 1 lb/in = 17.857 97 kg/m.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Literal

Units = Literal["mm", "inch"]
"""What a maker reads and types in: millimetres with newtons and grams, or inches with pounds-force and ounces."""

EXACT_INCH: Final = Fraction(127, 5)
"""Millimetres in an inch, exactly: the international yard and pound agreement of 1959."""

INCH: Final = 25.4
"""mm in an inch."""

_POUND: Final = 453.59237  # g, exact: the same agreement
GRAVITY: Final = 9.80665
"""m/s2, exact: standard acceleration of free fall, CGPM 1901."""

POUND_FORCE: Final = _POUND / 1000 * GRAVITY
"""N in a pound-force."""

PSI: Final = POUND_FORCE / INCH**2
"""MPa in a pound-force per square inch."""

POUND_FORCE_INCH: Final = POUND_FORCE * INCH / 1000
"""N·m in a pound-force inch."""

OUNCE: Final = _POUND / 16
"""g in an ounce (avoirdupois)."""

POUND_PER_CUBIC_FOOT: Final = _POUND / 1000 / (12 * INCH / 1000) ** 3
"""kg/m3 in a pound per cubic foot."""

POUND_PER_INCH: Final = _POUND / (INCH / 1000)
"""g/m in a pound per inch, in which unit weights of strings are stated where lengths are in inches."""
