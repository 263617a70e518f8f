"""The maker's shop: its papers and drills."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest

from export.paper import PAPERS
from geometry.trade.drills import LETTERS, METRIC
from geometry.trade.shop import PaperName, Shop, default_shop


def test_every_paper_has_a_size() -> None:
    assert set(get_args(PaperName)) == set(PAPERS)


def test_drills_of_the_sets_and_own_ones_rise() -> None:
    shop = Shop(drill_sets=("letter", "metric", "letter"), extra_drills=(10.05,))
    assert len(shop.drills) == len(LETTERS) + len(METRIC) + 1
    sizes = [drill.diameter for drill in shop.drills]
    assert sizes == sorted(sizes)
    place = sizes.index(10.05)
    assert [drill.name for drill in shop.drills[place - 1 : place + 2]] == ["10.0 mm", "10.05 mm", "letter X"]


def test_of_equal_drills_the_set_named_first_comes_first() -> None:
    quarters = [
        drill.name for drill in Shop(drill_sets=("letter", "fraction")).drills if drill.diameter == 6.35
    ]
    assert quarters == ["letter E", "1/4 in"]


def test_no_drills_at_all() -> None:
    assert Shop(drill_sets=()).drills == ()


def test_shop_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        default_shop().kerf = 1.0  # type: ignore[misc]
    assert msgspec.structs.replace(default_shop(), kerf=1.0).kerf == 1.0
