"""How much higher the stress is at the rim of a hole than in the rest of a section that bends."""

from __future__ import annotations


def hole_factor(diameter: float, thickness: float) -> float:
    """Stress at the rim of a hole in a wide plate that bends out of its plane, over that of the plain plate.

    With r / t the radius over the thickness: 1.79 + 0.25 / (0.39 + 2 r/t) + 0.81 / (1 + (2 r/t)^2)
    - 0.26 / (1 + (2 r/t)^3), on 6 M / t^2: a handbook's Table 17.1. For a material that is alike in all directions;
    wood is not. About 3 for the smallest holes.
    """
    ratio = diameter / thickness
    return 1.79 + 0.25 / (0.39 + ratio) + 0.81 / (1 + ratio**2) - 0.26 / (1 + ratio**3)


def factor_across(chord: float, diameter: float, thickness: float) -> float:
    """The factor for a section that cuts a hole in a chord: whole through its centre, falling to 1 at its ends.

    In proportion to the chord. At the rim of a round hole in a pulled plate the stress falls faster, as
    4 (chord / diameter)^2 - 1 of the plain one (Kirsch), so this errs to the safe side.
    """
    return 1 + (hole_factor(diameter, thickness) - 1) * min(1.0, chord / diameter)
