"""Measures of tuners that cannot all be true."""

from __future__ import annotations

import pytest

from geometry.checks.judge import Level, findings
from geometry.checks.words import say
from geometry.trade.agreement import agreement, doubts, with_body
from geometry.trade.hardware import Bore, Bushing, Hardware, Rectangle
from geometry.trade.hardware_library import LIBRARY
from tests.builds import change, plain_head, row, tuner

RIBBED = tuner(bore=Bore(through=9.5), bushing=Bushing(kind="press-in", root=9.2, crest=9.6))

WIDE = Bushing(kind="press-in", root=9.2, crest=15.0)
SMALL = Rectangle(along=20.0, across=12.0)
TURNED = Bushing(kind="press-in", root=9.9, crest=9.0)


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_tuners_of_the_library_are_not_doubted(hardware: Hardware) -> None:
    assert agreement(hardware).room >= 0
    assert doubts(hardware) == ()


@pytest.mark.parametrize(
    ("hardware", "room", "words"),
    [
        (tuner(post_diameter=12.0, bore=Bore(through=9.5)), -2.5, "The post is 12 mm thick: it does not go through"),
        (change(RIBBED, post_diameter=9.4), -0.2, "The bushing is 9.2 mm wide at its root: a post of 9.4 mm"),
        (tuner(bore=Bore(through=14.5)), -0.5, "The washer of 14 mm falls into a hole of 14.5 mm."),
        (change(RIBBED, bushing=WIDE), -1.0, "The bushing is 15 mm at its crest: the washer of 14 mm does not cover"),
        (tuner(bore=Bore(through=12.5), body=SMALL, seat=SMALL), -0.5, "The body is 12 mm wide: it falls into a hole"),
        (change(RIBBED, bushing=TURNED), -0.9, "The bushing is 9 mm at its crest"),
    ],
)  # fmt: skip
def test_what_cannot_be_stops(hardware: Hardware, room: float, words: str) -> None:
    (doubt,) = doubts(hardware)
    assert doubt.say("mm").startswith(words)
    build = plain_head(row(count=2), hardware=(hardware,))
    (finding,) = (each for each in findings(build) if each.check == "tuner measures")
    assert finding.level is Level.STOP
    assert finding.measured == pytest.approx(room)
    assert "the measures of its tuner disagree by" in say(finding)
    assert words in say(finding)


def test_a_post_as_thick_as_its_hole_and_a_tapered_one_are_let_be() -> None:
    assert agreement(tuner(post_diameter=9.5, bore=Bore(through=9.5))).room == 0
    tapered = tuner(post_diameter=8.0, bore=Bore(through=7.0), tapered=True, bushing=None)
    assert doubts(tapered) == ()


@pytest.mark.parametrize(("across", "shift", "over"), [(18.0, 0.0, 2.0), (14.0, 1.5, 1.5), (14.0, 0.0, None)])
def test_a_seat_is_part_of_its_body(across: float, shift: float, over: float | None) -> None:
    body = Rectangle(along=20.0, across=14.0)
    seat = Rectangle(along=14.0, across=across, shift_outward=shift)
    told = [each.say("mm") for each in doubts(tuner(body=body, seat=seat))]
    assert [f"{over:.1f} mm past" in each or f"{over:g} mm past" in each for each in told] == (
        [True] if over else []
    )


def test_a_seat_keeps_its_distance_from_the_edge_of_its_body() -> None:
    seat = Rectangle(along=14.0, across=18.0, shift_along=2.0)
    before = tuner(body=Rectangle(along=16.0, across=21.0, shift_along=3.0), seat=seat)
    # 2 and 3 more on the body, whose middle moves by 0.5: 1 and 1.5 on each side of the seat.
    after = with_body(before, Rectangle(along=18.0, across=24.0, shift_along=3.5))
    assert after.seat == Rectangle(along=16.0, across=21.0, shift_along=2.5)
    small = with_body(before, Rectangle(along=16.0, across=3.0, shift_along=3.0))
    assert small.seat == seat, "nothing would be left of it"
