"""Tuners as measured, and the library of typical ones."""

from __future__ import annotations

import pytest

from geometry.trade.hardware import Bore, Counterbore, Disc, Hardware, RearButton, SideButton
from geometry.trade.hardware_library import FOUR_ON_PLATE, LIBRARY, SPLIT_POST, find
from tests.builds import PLAIN_TUNER, change, side_button


def test_largest_diameter_at_any_depth() -> None:
    assert Bore(through=10.0).largest == 10.0
    assert Bore(through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0)).largest == 8.8
    assert Bore(through=9.0, counterbore=Counterbore(diameter=8.0, depth=2.0)).largest == 9.0


def test_collar_is_the_widest_and_the_highest_disc() -> None:
    both = change(
        PLAIN_TUNER, washer=Disc(diameter=14.0, height=1.0), hexagon=Disc(diameter=11.5, height=2.5)
    )
    assert (both.collar_diameter, both.collar_height) == (14.0, 2.5)
    bare = change(PLAIN_TUNER, washer=None)
    assert (bare.collar_diameter, bare.collar_height) == (0.0, 0.0)


def test_only_a_shaft_beside_the_post_makes_left_and_right_pieces() -> None:
    assert PLAIN_TUNER.handed
    assert not change(PLAIN_TUNER, button=side_button(shaft_offset=0.0)).handed
    assert not change(PLAIN_TUNER, button=RearButton(swept_diameter=18.0, length=20.0)).handed


def test_library_keys_are_unique_and_found() -> None:
    assert len({each.key for each in LIBRARY}) == len(LIBRARY)
    assert all(find(each.key) is each for each in LIBRARY)
    assert find("no such tuner") is None


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_library_parts_fit_together(hardware: Hardware) -> None:
    assert hardware.post_diameter < hardware.bore.largest
    assert hardware.thickness_least < hardware.thickness_most
    assert hardware.collar_diameter > hardware.bore.largest
    assert "measure" in hardware.source
    if hardware.body and hardware.seat:
        assert hardware.seat.along <= hardware.body.along
        assert hardware.seat.across <= hardware.body.across
    if isinstance(hardware.button, SideButton):
        # Makers read the shaft about 5 to 8 mm from the post axis.
        assert 5.0 <= hardware.button.shaft_offset <= 8.0


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_library_screws_stay_clear_of_their_own_bore(hardware: Hardware) -> None:
    plate = hardware.plate
    middles = [hardware.plate.pitch * n for n in range(plate.posts)] if plate and hardware.plate else [0.0]
    screws = [*hardware.screws, *(plate.screws if plate else ())]
    for screw in screws:
        for middle in middles:
            apart = ((screw.along - middle) ** 2 + screw.outward**2) ** 0.5
            assert apart - screw.diameter / 2 - hardware.bore.largest / 2 > 0.5


def test_plate_pitch_of_four_on_a_plate() -> None:
    # 29/32 in is 23.02 mm; plates are made at 23.0.
    assert FOUR_ON_PLATE.plate is not None
    assert FOUR_ON_PLATE.plate.pitch == pytest.approx(29 / 32 * 25.4, abs=0.02)


def test_split_posts_share_their_screws() -> None:
    assert SPLIT_POST.screws
    assert all(screw.shared for screw in SPLIT_POST.screws)
    assert SPLIT_POST.butts
