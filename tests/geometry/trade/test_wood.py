"""Woods against rows of the Wood Handbook, and pilots against the design rule for wood screws."""

from __future__ import annotations

import pytest

from geometry.trade.shop import OwnWood
from geometry.trade.wood import WOODS, find_wood, pilot_diameter, pilot_share, woods_meant

PSI, POUND = 0.00689476, 4.44822
"""MPa in a pound per square inch, N in a pound-force (NIST SP 811)."""


@pytest.mark.parametrize(
    ("name", "gravity", "rupture", "elasticity", "shear", "hardness"),
    [
        # Wood Handbook FPL-GTR-190, Table 5-3b, the rows at 12 % moisture (from memory): specific gravity, modulus of
        # rupture in psi, of elasticity in million psi, shear along the grain in psi, side hardness in lbf.
        ("sugar maple", 0.63, 15_800, 1.83, 2330, 1450),
        ("black maple", 0.57, 13_300, 1.62, 1820, 1180),
        ("red maple", 0.54, 13_400, 1.64, 1850, 950),
        ("bigleaf maple", 0.48, 10_700, 1.45, 1730, 850),
        ("silver maple", 0.47, 8900, 1.14, 1480, 700),
        ("black walnut", 0.55, 14_600, 1.68, 1370, 1010),
        ("black cherry", 0.50, 12_300, 1.49, 1700, 950),
        ("white ash", 0.60, 15_000, 1.74, 1910, 1320),
        ("northern red oak", 0.63, 14_300, 1.82, 1780, 1290),
        ("yellow-poplar", 0.42, 10_100, 1.58, 1190, 540),
        ("American basswood", 0.37, 8700, 1.46, 990, 410),
        ("American beech", 0.64, 14_900, 1.72, 2010, 1300),
        ("yellow birch", 0.62, 16_600, 2.01, 1880, 1260),
        ("sweet birch", 0.65, 16_900, 2.17, 2240, 1470),
        ("paper birch", 0.55, 12_300, 1.59, 1210, 910),
        ("western redcedar", 0.32, 7500, 1.11, 990, 350),
        ("Sitka spruce", 0.40, 10_200, 1.57, 1150, 510),
    ],
)
def test_rows_of_the_handbook(
    name: str, gravity: float, rupture: float, elasticity: float, shear: float, hardness: float
) -> None:
    wood = find_wood(name)
    assert wood is not None
    assert wood.shear is not None
    assert wood.specific_gravity == gravity
    # Table 5-3a has the same values in metric units, rounded: half of its last digit.
    assert wood.modulus_of_rupture == pytest.approx(rupture * PSI, abs=0.5)
    assert wood.modulus_of_elasticity == pytest.approx(elasticity * 1000 * PSI, abs=0.051)
    assert wood.shear == pytest.approx(shear * PSI, abs=0.055)
    assert wood.janka == pytest.approx(hardness * POUND, abs=51)


@pytest.mark.parametrize(
    ("name", "gravity", "rupture", "elasticity", "shear", "hardness"),
    [
        # The same from FPL-GTR-113, Table 4-5b, and page text of Table 5-5b; gravity by the green volume.
        ("true mahogany", 0.45, 11_500, 1.5, 1230, 800),
        ("African mahogany", 0.42, 10_700, 1.4, 1500, 830),
        ("Spanish-cedar", 0.41, 11_500, 1.44, 1100, 600),
        # Fact sheets of the Forest Products Laboratory.
        ("sapele", 0.55, 16_100, 1.70, 2288, 1500),
        ("Indian rosewood", 0.70, 16_920, 1.66, None, 3170),
    ],
)
def test_rows_of_imported_woods(
    name: str, gravity: float, rupture: float, elasticity: float, shear: float | None, hardness: float
) -> None:
    wood = find_wood(name)
    assert wood is not None
    assert wood.basic
    assert wood.specific_gravity == gravity
    assert wood.modulus_of_rupture == pytest.approx(rupture * PSI, abs=0.06)
    assert wood.modulus_of_elasticity == pytest.approx(elasticity * 1000 * PSI, abs=0.06)
    assert shear is None or wood.shear == pytest.approx(shear * PSI, abs=0.06)
    assert wood.janka == pytest.approx(hardness * POUND, abs=5)


def test_wood_is_found_whatever_its_capitals() -> None:
    for wood in WOODS:
        assert find_wood(f"  {wood.name.upper()} ") == wood
    assert find_wood("cardboard") is None


def test_no_name_is_no_wood() -> None:
    blank = OwnWood(name=" ", specific_gravity=0.5).wood
    assert find_wood("", (blank,)) is None
    assert find_wood("  ", (blank,)) is None


@pytest.mark.parametrize(
    ("name", "share"),
    [
        ("sugar maple", 0.9),  # 0.63
        ("white ash", 0.9),  # 0.60 exactly
        ("black walnut", 0.7),  # 0.55
        ("black cherry", 0.7),  # 0.50: none required, drilled all the same
        ("American basswood", 0.7),  # 0.37
    ],
)
def test_pilot_share_by_gravity(name: str, share: float) -> None:
    assert pilot_share(find_wood(name)) == share


def test_unknown_wood_gets_the_wider_pilot() -> None:
    assert pilot_share(None) == 0.9


@pytest.mark.parametrize(
    ("name", "root", "diameter"),
    [
        ("sugar maple", 1.5, 1.4),  # 1.35: halves up
        ("sugar maple", 1.9, 1.7),
        ("true mahogany", 1.5, 1.1),  # 1.05
        ("true mahogany", 1.3, 1.0),  # 0.91: no small tuner screw gets less than 1.0
        ("black walnut", 1.45, 1.1),  # 1.015: 1.0 is for softer woods
        ("black walnut", 1.67, 1.2),
        ("cardboard", 1.5, 1.4),
        # A tiny screw gets what its root wants: 1.0 would be more than 90 % of it.
        ("true mahogany", 1.1, 0.8),
        ("black walnut", 1.2, 0.8),
    ],
)
def test_pilots_in_tenths(name: str, root: float, diameter: float) -> None:
    assert pilot_diameter(root, find_wood(name)) == pytest.approx(diameter)


def test_gravity_by_the_dry_volume() -> None:
    # 0.55 / (1 - 0.265 x 0.6 x 0.55) = 0.55 / 0.91255 = 0.6027; 675 kg/m3 at 12 % then, the fact sheet has 673.
    sapele = find_wood("sapele")
    assert sapele is not None
    assert sapele.gravity_when_dry == pytest.approx(0.6027, abs=5e-5)
    assert sapele.gravity_when_dry * 1120 == pytest.approx(673, rel=0.005)
    assert pilot_share(sapele) == 0.9
    maple = find_wood("sugar maple")
    assert maple is not None
    assert maple.gravity_when_dry == 0.63


def test_density_goes_with_gravity() -> None:
    # Mass at 12 % moisture over volume there; published sheets round by a few percent.
    for wood in WOODS:
        assert wood.density == pytest.approx(1120 * wood.gravity_when_dry, rel=0.05), wood.name
        assert wood.source


def test_only_what_no_handbook_has_is_doubtful() -> None:
    assert {wood.name for wood in WOODS if wood.doubtful} == {"African ebony"}


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("hard maple", {"sugar maple", "black maple"}),
        ("maple", {"sugar maple", "black maple", "red maple", "bigleaf maple", "silver maple"}),
        ("Honduran Mahogany", {"true mahogany"}),
        ("western red cedar", {"western redcedar"}),
        ("sapelle", {"sapele"}),
        ("bog oak", {"northern red oak", "fumed oak"}),
        ("plum", set()),
        ("  ", set()),
    ],
)
def test_names_of_the_trade_tell_which_woods_may_be_meant(name: str, meant: set[str]) -> None:
    own = (OwnWood(name="fumed oak", specific_gravity=0.6).wood,)
    assert {wood.name for wood in woods_meant(name, own)} == meant
