"""Slots of a build's nut: places, sizes, heights and angles, against closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import Nut, String
from geometry.layout.layout import lay_out
from geometry.layout.nut_slots import (
    Slot,
    blank_height,
    finished_height,
    fitted_underside,
    from_bass_end,
    nut_slots,
    outer_places,
)
from geometry.shape.point import Vector
from tests.builds import (
    READY_MADE,
    WIDTH,
    change,
    plain_head,
    post_at,
    six_in_line,
    strings,
    three_strings,
)


def slots_of(build) -> tuple[Slot, ...]:  # type: ignore[no-untyped-def]
    return nut_slots(build, lay_out(build))


def test_width_depth_and_top() -> None:
    given = (
        String(key="s1", name="plain", diameter=0.4),
        String(key="s2", name="wound", diameter=1.0, kind="wound"),
        String(key="s3", name="nylon", diameter=0.8, kind="nylon"),
    )
    nut = Nut(width=40.0, slot_floor=7.0, slot_allowance=0.1, proud_wound=0.5, proud_plain=0.0)
    plain, wound, nylon = slots_of(plain_head(strings=given, nut=nut))
    assert [slot.width for slot in (plain, wound, nylon)] == pytest.approx([0.5, 1.1, 0.9])
    # Level with the top of the nut, half-way in, level.
    assert [slot.top for slot in (plain, wound, nylon)] == pytest.approx([7.4, 7.5, 7.8])
    assert finished_height((plain, wound, nylon)) == pytest.approx(7.8)


def test_a_floor_falls_by_half_the_break_and_turns_by_half_the_splay() -> None:
    # The string leaves the slot at 10 degrees from the centre line; over the board it runs straight.
    splay = math.radians(10.0)
    along, aside = 100.0 * math.cos(splay), 100.0 * math.sin(splay)
    at = aside - 3.5 * math.cos(splay), along + 3.5 * math.sin(splay)
    build = plain_head(post_at(*at, side="bass"), slots=(0.0,))
    layout = lay_out(build)
    (path,) = layout.paths
    (slot,) = nut_slots(build, layout)
    assert abs(path.splay) == pytest.approx(splay)
    assert slot.turn == pytest.approx(path.splay / 2)
    assert slot.way.dot(Vector(math.sin(splay / 2), math.cos(splay / 2))) == pytest.approx(1.0)
    assert slot.fall == pytest.approx(max(0.0, path.break_angle) / 2)


@pytest.mark.parametrize(("share", "degrees"), [(0.5, 6.5), (0.25, 3.25), (0.0, 0.0)])
def test_the_fall_of_a_level_string_on_an_angled_head(share: float, degrees: float) -> None:
    # At no turns the string lies 7.5 mm over the face at nut and post alike: the break is the head's angle.
    build = plain_head(post_at(3.5, 100.0), slots=(0.0,))
    build = change(build, head=change(build.head, angle_deg=13.0), nut=change(build.nut, fall_share=share))
    (slot,) = slots_of(build)
    assert slot.fall is not None
    assert math.degrees(slot.fall) == pytest.approx(degrees)


def test_a_string_without_a_post_has_no_fall_and_no_turn() -> None:
    (slot,) = slots_of(plain_head(slots=(0.0,)))
    assert (slot.fall, slot.turn) == (None, None)
    assert slot.way == Vector(0.0, 1.0)


def test_a_string_that_bends_up_has_a_level_floor() -> None:
    build = plain_head(post_at(3.5, 100.0), slots=(0.0,))
    (slot,) = slots_of(change(build, nut=change(build.nut, slot_floor=5.0)))
    assert slot.fall == 0.0


def test_heights_over_the_frets_are_graded_from_bass_to_treble() -> None:
    # H = (c - 2k a) / (1 - 2k) with 2k = 0.1122514, by hand.
    nut = Nut(
        width=40.0,
        clearance_bass=0.6,
        clearance_treble=0.4,
        action_bass=2.4,
        action_treble=1.6,
    )
    treble, middle, bass = slots_of(plain_head(strings=strings(0.3, 0.6, 1.0), nut=nut))
    k2 = 0.1122514
    assert bass.over_frets == pytest.approx((0.6 - k2 * 2.4) / (1 - k2), abs=1e-6)
    assert middle.over_frets == pytest.approx((0.5 - k2 * 2.0) / (1 - k2), abs=1e-6)
    assert treble.over_frets == pytest.approx((0.4 - k2 * 1.6) / (1 - k2), abs=1e-6)


def test_a_lone_string_takes_the_mean() -> None:
    nut = Nut(width=40.0, clearance_bass=0.6, clearance_treble=0.4, action_bass=2.0, action_treble=2.0)
    (slot,) = slots_of(plain_head(strings=strings(0.3), nut=nut))
    assert slot.over_frets == pytest.approx((0.5 - 0.1122514 * 2.0) / (1 - 0.1122514), abs=1e-6)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_places_from_the_bass_end(hand: str) -> None:
    nut = Nut(width=44.5, margin_bass=3.0, margin_treble=4.0)
    build = plain_head(strings=strings(0.3, 0.6, 1.0), nut=nut, hand=hand)
    layout = lay_out(build)
    treble, _, bass = nut_slots(build, layout)
    assert from_bass_end(build, bass.x) == pytest.approx(3.0)
    assert from_bass_end(build, treble.x) == pytest.approx(40.5)
    assert outer_places(build, layout) == pytest.approx((3.0, 40.5))


def test_height_of_the_blank() -> None:
    nut = Nut(width=WIDTH)
    slots = slots_of(plain_head(slots=(0.0,)))
    # Top at 7.75 and 1 mm to file off, but a usual blank is 9 mm high.
    assert finished_height(slots) == pytest.approx(7.75)
    assert blank_height(nut, slots) == 9.0
    assert blank_height(nut, tuple(change(slot, floor=9.0) for slot in slots)) == 11.0
    assert blank_height(nut, tuple(change(slot, floor=9.25) for slot in slots)) == 11.0
    assert blank_height(change(nut, blank_height=8.0), slots) == 8.0
    assert finished_height(()) == 0.0
    assert blank_height(nut, ()) == 9.0


# Common practice, no source


@pytest.mark.parametrize("step", [11.1, 9.0])
def test_three_strings_on_a_nut_of_30_mm_are_playable(step: float) -> None:
    margin = (30.0 - 2 * step) / 2
    build = three_strings(nut=Nut(width=30.0, margin_bass=margin, margin_treble=margin))
    layout = lay_out(build)
    places = [slot.x for slot in nut_slots(build, layout)]
    assert [one - other for one, other in pairwise(places)] == pytest.approx([step, step])
    wrong = {found.check for found in findings(build, layout) if found.level is not Level.FINE}
    assert not wrong & {"string to string", "string to post", "splay", "break", "order", "width at nut"}


def test_floors_slope_towards_the_tuner() -> None:
    # Common practice, no source: slots are filed sloping towards the tuner, never the other way.
    for make in READY_MADE:
        for slot in slots_of(make()):
            assert slot.fall is not None
            assert slot.fall >= 0
    assert all(slot.fall and slot.fall > 0 for slot in slots_of(three_strings()))


def test_a_blank_stands_half_a_millimetre_over_each_end() -> None:
    # Common practice, no source: about half a millimetre, trimmed on the instrument.
    assert Nut(width=WIDTH).blank_oversize == pytest.approx(0.5)


def test_the_underside_of_a_build() -> None:
    build = six_in_line()
    layout = lay_out(build)
    # 0.14 and 0.14 mm too high over fret 1: 0.148 mm off everywhere.
    cut = fitted_underside(build, layout, (0.70, 0.60), (0.56, 0.46), 9.0)
    assert (cut.bass_end, cut.treble_end) == pytest.approx((0.14832, 0.14832), abs=1e-5)
    assert fitted_underside(build, layout, (0.70, 0.60), (0.56, 0.46), 5.1).limited
