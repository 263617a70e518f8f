"""Woods against rows of the Wood Handbook, and pilots against the design rule for wood screws."""

from __future__ import annotations

import pytest

from geometry.trade.own_wood import OwnWood
from geometry.trade.wood import WOODS, find_wood, pilot_diameter, pilot_share


@pytest.mark.parametrize(
    ("name", "gravity", "pounds"),
    [
        # Wood Handbook FPL-GTR-190, Table 5-3b: specific gravity, side hardness in lbf.
        ("sugar maple", 0.63, 1450),
        ("bigleaf maple", 0.48, 850),
        ("black walnut", 0.55, 1010),
        ("yellow-poplar", 0.42, 540),
        ("Sitka spruce", 0.40, 510),
        ("yellow birch", 0.62, 1260),
        # FPL-GTR-113, Table 4-5b, and the laboratory's fact sheets.
        ("true mahogany", 0.45, 800),
        ("African mahogany", 0.42, 830),
        ("sapele", 0.55, 1500),
        ("Indian rosewood", 0.70, 3170),
    ],
)
def test_rows_of_the_handbook(name: str, gravity: float, pounds: float) -> None:
    wood = find_wood(name)
    assert wood is not None
    assert wood.specific_gravity == gravity
    assert wood.janka == pytest.approx(pounds * 4.4482, rel=0.03)


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


@pytest.mark.parametrize(
    ("name", "rupture", "elasticity", "shear"),
    [
        # FPL-GTR-113, Table 4-5b, and page text of Table 5-5b: psi, million psi, psi.
        ("true mahogany", 11500, 1.5, 1230),
        ("African mahogany", 10700, 1.4, 1500),
        ("Spanish-cedar", 11500, 1.44, 1100),
        # Fact sheets of the Forest Products Laboratory.
        ("sapele", 16100, 1.70, 2288),
    ],
)
def test_strength_of_imported_woods(name: str, rupture: float, elasticity: float, shear: float) -> None:
    wood = find_wood(name)
    assert wood is not None
    assert wood.shear is not None
    assert wood.modulus_of_rupture == pytest.approx(rupture * 0.0068948, rel=0.01)
    assert wood.modulus_of_elasticity == pytest.approx(elasticity * 6.8948, rel=0.01)
    assert wood.shear == pytest.approx(shear * 0.0068948, rel=0.01)


def test_density_goes_with_gravity() -> None:
    # Mass at 12 % moisture over volume there; published sheets round by a few percent.
    for wood in WOODS:
        assert wood.density == pytest.approx(1120 * wood.gravity_when_dry, rel=0.05), wood.name
        assert wood.source


def test_only_what_no_handbook_has_is_doubtful() -> None:
    assert {wood.name for wood in WOODS if wood.doubtful} == {"African ebony"}
