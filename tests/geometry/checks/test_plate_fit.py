"""How well a rigid plate fits the holes of its row, against closed forms."""

from __future__ import annotations

from pathlib import Path

import pytest

from geometry.checks.judge import Finding, Level
from geometry.checks.words import say
from geometry.document.build import AlongEdge, Build, Moved, OnLine
from geometry.document.codec import read_build
from geometry.trade.hardware import Plate
from geometry.trade.hardware_library import FOUR_ON_PLATE
from geometry.trade.limits import ChangedLimit
from tests.builds import change, eight_on_plates, found, row, tuner
from tests.builds import plain_head as plain

PLAY = 0.05
"""A post of 6 mm turns in 6.1 mm unless it was measured: (6.1 - 6) / 2."""


def on_a_line(pitch: float, **fields: float) -> Build:
    """Both rows of four at a pitch; the plate's own is 23 mm."""
    rule = OnLine(start=36.0, pitch=pitch, inset=11.0)
    build = eight_on_plates(hardware=(change(FOUR_ON_PLATE, **fields),))
    return change(build, rows=tuple(change(each, rule=rule) for each in build.rows))


def fit(build: Build) -> Finding:
    """The finding about one plate; where there are two, they are alike."""
    return next(each for each in found(build, "plate fit"))


def level(build: Build) -> Level:
    return fit(build).level


def test_plates_by_their_own_rule_fit() -> None:
    for each in found(eight_on_plates(), "plate fit"):
        assert each.level is Level.FINE
        assert each.measured == pytest.approx(0.0, abs=1e-9)
        assert (each.watch, each.stop) == pytest.approx((PLAY / 2, PLAY))


@pytest.mark.parametrize(
    ("error", "expected"),
    [
        # Three errors of the pitch, shared by both ends: 1.5 x error against 0.025 and 0.05, and half of PRINT.
        (0.0166, Level.FINE),
        (0.0171, Level.WATCH),
        (0.0333, Level.WATCH),
        (0.0337, Level.STOP),
        (2.5, Level.STOP),
    ],
)
@pytest.mark.parametrize("sign", [1, -1])
def test_a_small_error_of_each_pitch_adds_up(error: float, expected: Level, sign: int) -> None:
    build = on_a_line(23.0 + sign * error)
    assert fit(build).measured == pytest.approx(1.5 * error, abs=1e-8)
    assert level(build) is expected


def test_a_looser_bushing_allows_more() -> None:
    # (6.3 - 6) / 2 = 0.15 mm of play; 1.5 x 0.08 = 0.12.
    assert level(on_a_line(23.08, bushing_bore=6.3)) is Level.WATCH
    assert level(on_a_line(23.08)) is Level.STOP
    # One as wide as the post, or narrower by a slip of the calipers, allows nothing.
    for narrow in (6.0, 5.9):
        assert fit(on_a_line(23.001, bushing_bore=narrow)).stop == 0.0
        assert level(on_a_line(23.001, bushing_bore=narrow)) is Level.STOP
        assert level(on_a_line(23.0, bushing_bore=narrow)) is Level.FINE


@pytest.mark.parametrize("posts", [2, 3, 5])
def test_plates_of_other_lengths(posts: int) -> None:
    two = tuner(plate=Plate(posts=posts, pitch=20.0, beyond=10.0, across=14.0))
    rule = OnLine(start=40.0, pitch=20.04, inset=15.0)
    build = plain(row(count=posts, rule=rule), hardware=(two,))
    assert fit(build).measured == pytest.approx(0.04 * (posts - 1) / 2, abs=1e-8)


def test_one_post_fits_wherever_it_is() -> None:
    one = tuner(plate=Plate(posts=1, pitch=20.0, beyond=10.0, across=14.0))
    assert fit(plain(row(count=1), hardware=(one,))).measured == 0.0


def test_which_way_the_holes_differ() -> None:
    apart, close = (say(fit(on_a_line(pitch))) for pitch in (25.5, 21.0))
    assert apart.replace("1a to 2b", "4b to 3a") == (
        "Body 4b to 3a: shafts of the plate lie up to 3.8 mm off the middles of their holes; at most 0.05 mm allowed. "
        "Its holes stand further apart than its shafts."
    )
    assert close.endswith("Its holes stand closer than its shafts.")
    build = eight_on_plates()
    treble = build.rows[0]
    bent = change(treble, moved=(Moved(post=treble.posts[1].key, along=0.0, inward=0.3),))
    said = say(fit(change(build, rows=(bent, *build.rows[1:]))))
    assert said.endswith("Its holes are unevenly spaced, or not in one line.")


def test_the_dimension_goes_from_the_worst_hole_to_its_shaft() -> None:
    where = fit(on_a_line(25.5)).where
    assert where is not None
    assert where[0].distance(where[1]) == pytest.approx(3.75)


def test_the_limits_are_shares_of_the_play_that_a_build_may_change() -> None:
    build = change(
        on_a_line(23.04), limits=(ChangedLimit(rule="plate fit", level="stop", least=0.0, of_bore=1.5),)
    )
    assert fit(build).stop == pytest.approx(1.5 * PLAY)
    assert level(build) is Level.WATCH
    wide = change(build, limits=(ChangedLimit(rule="plate fit", level="stop", least=0.2, of_bore=0.0),))
    assert fit(wide).stop == 0.2


def test_a_plate_of_23_on_holes_of_25_and_a_half_is_stopped() -> None:
    # A mandolin as it comes, its rows along the edge at another pitch: three of 2.5 mm too much, half at each end.
    sample = Path(__file__).parents[3] / "sample_builds" / "eight-string-mandolin.pegwright"
    build = read_build(sample.read_bytes())
    rule = AlongEdge(start=34.0, pitch=25.5, inset=10.9)
    plates = found(change(build, rows=tuple(change(each, rule=rule) for each in build.rows)), "plate fit")
    assert [each.level for each in plates] == [Level.STOP, Level.STOP]
    assert [each.measured for each in plates] == pytest.approx([3.75, 3.75], abs=0.01)
    assert plates[0].stop == pytest.approx(PLAY)
