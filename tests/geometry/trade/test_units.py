"""What units are worth, against the factors that NIST SP 811 (2008), Appendix B.8 and B.9, publishes."""

from __future__ import annotations

import pytest

from geometry.trade.units import (
    EXACT_INCH,
    INCH,
    OUNCE,
    POUND_FORCE,
    POUND_FORCE_INCH,
    POUND_PER_CUBIC_FOOT,
    POUND_PER_INCH,
    PSI,
)


@pytest.mark.parametrize(
    ("ours", "published", "last"),
    [
        (INCH, 25.4, 0.0),  # exact
        (POUND_FORCE, 4.448222, 5e-7),  # to newton
        (PSI * 1e6, 6894.757, 5e-4),  # to pascal
        (POUND_FORCE_INCH, 0.1129848, 5e-8),  # to newton metre
        (OUNCE, 28.34952, 5e-6),  # to gram
        (POUND_PER_CUBIC_FOOT, 16.01846, 5e-6),  # to kilogram per cubic metre
        (POUND_PER_INCH / 1000, 17.85797, 5e-6),  # to kilogram per metre
    ],
)
def test_factors_are_those_published(ours: float, published: float, last: float) -> None:
    assert abs(ours - published) <= last


def test_the_exact_inch_is_the_float() -> None:
    assert float(EXACT_INCH) == INCH
