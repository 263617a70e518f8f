"""Whole heads on coordinates worked out by hand, for judging the default limits as a maker would."""

from __future__ import annotations

import math
from typing import Any

import pytest

from geometry.checks.judge import Level, findings, worst
from geometry.document.build import AlongEdge, Build, Head, Nut, OnLine, OnPlate, Post, Retainer, Row
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Disc, Hardware, Rectangle, SideButton
from geometry.trade.hardware_library import (
    BASS_LARGE,
    ENCLOSED_SCREW_IN,
    ENCLOSED_SMALL,
    FOUR_ON_PLATE,
    FRICTION,
)
from tests.builds import (
    SIX,
    change,
    closest,
    eight_on_plates,
    found,
    nodes,
    rectangle,
    strings,
    three_and_three,
)


def rows_of(hardware: Hardware, treble: int, bass: int, rule: Any, **fields: Any) -> tuple[Row, ...]:
    """Rows of posts called t1, t2, ... and b1, b2, ..."""
    sides: tuple[tuple[Any, int], ...] = (("treble", treble), ("bass", bass))
    return tuple(
        Row(
            key=side,
            side=side,
            hardware=hardware.key,
            rule=rule,
            posts=tuple(Post(key=f"{side[0]}{n}", **fields) for n in range(1, count + 1)),
        )
        for side, count in sides
        if count
    )


def tapering(low: float, high: float, length: float, shoulder: float, nut: float) -> Any:
    """Straight sides from `low` wide at the shoulder to `high` at the tip, the nut's width at the nut line."""
    right = ((nut / 2, 0.0), (low / 2, shoulder), (high / 2, length))
    return nodes(*right, *((-x, y) for x, y in reversed(right)))


def worst_of(build: Build, *checks: str) -> Level:
    return worst(each for each in findings(build) if each.check in checks)


# Three strings on a nut of 25 mm: slots at -8.5, 0 and 8.5 mm.


def three_strings(width: float, x: float, start: float, **post: Any) -> Build:
    """Posts at x either side, the first of each side at `start`, the second of the bass side 40 mm on."""
    return Build(
        name="Three strings",
        outline=rectangle(width, 120.0),
        nut=Nut(width=25.0, margin_bass=4.0, margin_treble=4.0),
        head=Head(angle_deg=12.0),
        strings=strings(0.25, 0.35, 0.6),
        hardware=(ENCLOSED_SMALL,),
        rows=rows_of(ENCLOSED_SMALL, 1, 2, AlongEdge(start=start, pitch=40.0, inset=width / 2 - x), **post),
        scale_length=585.0,
        bridge_spread=17.0,
    )


def test_three_strings_on_a_head_of_38_mm_are_good() -> None:
    # Posts at 8 mm, bores of 10 in a head of 38: 19 - 8 - 5 = 6 mm of wood. The treble string comes from 8.5 to the
    # inside of its post: (3 + 0.125) - 0.5 mm to bring in over about 30 mm.
    build = three_strings(38.0, 8.0, 30.0)
    assert [finding.measured for finding in found(build, "wall")][:3] == pytest.approx([6.0] * 3)
    assert worst_of(build, "wall", "splay", "end distance", "into the nut") is Level.FINE
    treble = lay_out(build).paths[0]
    expected = math.atan2(0.5, 30) + math.asin(3.125 / math.hypot(0.5, 30))
    assert abs(treble.splay) == pytest.approx(expected, abs=0.01)
    assert math.degrees(expected) < 13


def test_three_strings_on_a_head_as_wide_as_its_nut_cannot_work() -> None:
    # With 4.8 mm of wood beside a bore of 10 mm the posts stand at 12.5 - 9.8 = 2.7 mm. Wound on the inside the outer
    # strings come in from 8.5 to about 2.7 - 3.2 mm over some 35 mm: far more than 13 degrees.
    build = three_strings(25.0, 2.7, 35.0)
    splays = [finding.measured or 0.0 for finding in found(build, "splay")]
    lean = math.degrees(math.atan2(5.8, 35) + math.asin(3.125 / math.hypot(5.8, 35)))
    assert max(splays) == pytest.approx(lean, abs=1.0)
    assert worst_of(build, "splay") is Level.WATCH
    # And the bores of both sides run into each other's way: 5.4 mm apart in x, 0 in y.
    assert worst_of(build, "web") is Level.STOP


# Three a side


def along_sides(outline: Any, start: float = 38.0) -> Build:
    return three_and_three(
        outline=outline,
        rows=rows_of(ENCLOSED_SCREW_IN, 3, 3, AlongEdge(start=start, pitch=40.0, inset=12.0)),
        nut=Nut(width=43.0, margin_bass=3.5, margin_treble=3.5),
    )


RUBS = ("string to post", "string to string", "order")


def test_narrowing_head_is_all_clear() -> None:
    # 66 mm wide at the first posts, 58 mm at the last ones, 80 mm further: taper 8 in 80, prolonged both ways.
    build = along_sides(tapering(66 + 8 * 18 / 80, 58 - 8 * 42 / 80, 160.0, 20.0, 43.0))
    assert worst_of(build, *RUBS, "wall", "splay", "button gap", "end distance") is Level.FINE
    assert worst(findings(build)) is Level.FINE


def test_flaring_head_is_stopped_because_string_5_rubs_post_6() -> None:
    # 60 mm wide at the first posts, 76 mm at the last ones: the outer posts stand in the way of the inner strings.
    build = along_sides(tapering(60 - 16 * 18 / 80, 76 + 16 * 42 / 80, 160.0, 20.0, 43.0))
    rubbing = closest(build, "string to post")
    assert rubbing.level is Level.STOP
    # Both sides are alike but for the strings: 5 at 6 is the thickest pair.
    assert {part.name for part in rubbing.about} == {"string 5", "post 6"}


def test_flaring_by_plain_trigonometry() -> None:
    # String 5 from its slot to the inside of its post 40 mm beyond post 6; how far it passes the middle of post 6.
    build = along_sides(tapering(60 - 16 * 18 / 80, 76 + 16 * 42 / 80, 160.0, 20.0, 43.0))
    layout = lay_out(build)
    sixth, fifth = layout.post("b1").at, layout.post("b2").at
    slot, reach = layout.slots["s5"], 3 + 36 * 0.0254 / 2
    lean = math.atan2(fifth.x - slot, fifth.y) + math.asin(reach / math.hypot(fifth.x - slot, fifth.y))
    passes = (sixth.x - slot) * math.cos(lean) - sixth.y * math.sin(lean)
    measured = abs(passes) - (3 + 46 * 0.0254) - 36 * 0.0254 / 2
    assert closest(build, "string to post", "5").measured == pytest.approx(measured, abs=1e-6)
    assert measured < 0


# Six in line, pitch 25.4, flat

IN_LINE = Hardware(
    key="in-line",
    name="in line",
    post_diameter=6.0,
    hole_height=20.0,
    bore=Bore(through=10.0),
    washer=Disc(diameter=14.0, height=1.0),
    body=Rectangle(along=16.0, across=21.0),
    seat=Rectangle(along=14.0, across=18.0),
    button=SideButton(shaft_offset=6.5, shaft_depth=8.0, shaft_length=18.0, length=13.0, swept_diameter=22.0),
)


def in_line(*retainers: Retainer) -> Build:
    """Posts 25.4 mm apart, 30 to 157 mm from the nut of a flat head 14 mm thick, string slots 7 mm over the face."""
    return Build(
        name="Six in line",
        outline=rectangle(60.0, 190.0),
        nut=Nut(width=42.0),
        head=Head(thickness_nut=14.0, thickness_tip=14.0),
        strings=SIX,
        hardware=(IN_LINE,),
        rows=rows_of(IN_LINE, 0, 6, OnLine(start=30.0, pitch=25.4, inset=13.0)),
        retainers=retainers,
    )


def test_buttons_of_22_at_one_inch_leave_3_4() -> None:
    gaps = [finding.measured for finding in found(in_line(), "button gap")]
    assert gaps == pytest.approx([25.4 - 22.0] * len(gaps))
    assert worst_of(in_line(), "button gap") is Level.FINE


def test_far_posts_of_a_flat_head_break_little() -> None:
    # Over the nut 7 mm + d / 2; on the post 20 - 14 - turns x d. String 1 (0.254 mm plain, 4 turns) falls from 7.127
    # to 4.984 mm over some 157 mm: 0.8 degrees. String 6 (1.168 mm wound, 2 turns) from 7.584 to 3.664 over 30: 7.
    build = in_line()
    first, last = closest(build, "break", "1"), closest(build, "break", "6")
    assert first.measured == pytest.approx(math.degrees(math.atan(2.143 / 157)), abs=0.05)
    assert last.measured == pytest.approx(math.degrees(math.atan(3.920 / 30)), abs=0.2)
    levels = {each.about[0].label: each.level for each in found(build, "break")}
    assert levels["6"] is Level.FINE
    assert {levels[number] for number in "1234"} == {Level.WATCH}


def test_a_retainer_cures_the_break() -> None:
    # A bar 45 mm on holds string 1 at 3.5 mm: 3.627 mm down in 45.
    strings = ("s1", "s2", "s3", "s4")
    tree = Retainer(key="tree", at=Point(10.0, 45.0), height=3.5, strings=strings, half_width=25.0)
    build = in_line(tree)
    cured = closest(build, "break", "1")
    assert cured.measured == pytest.approx(math.degrees(math.atan(3.627 / 45)), abs=0.15)
    assert {each.level for each in found(build, "break") if each.about[0].label in "1234"} == {Level.FINE}


# Plates of eight


@pytest.mark.parametrize(("swept", "gap"), [(14.0, 9.0), (15.5, 7.5), (17.0, 6.0)])
def test_plates_at_23_mm_take_buttons_of_14_to_17(swept: float, gap: float) -> None:
    button = change(FOUR_ON_PLATE.button, swept_diameter=swept)
    build = eight_on_plates(hardware=(change(FOUR_ON_PLATE, button=button),))
    gaps = [finding.measured or 0.0 for finding in found(build, "button gap")]
    assert min(gaps) == pytest.approx(gap)


def test_plates_of_eight_are_ordinary() -> None:
    # Splays up to 13 degrees and breaks of 14 degrees and somewhat more are ordinary. The thickest string, 1.016 mm,
    # falls from 7.508 mm at the nut to 19 - 13.5 - 2 x 1.016 = 3.468 on its post some 42 mm on.
    rows = rows_of(FOUR_ON_PLATE, 4, 4, OnPlate(start=42.0, inset=17.0))
    build = eight_on_plates(outline=rectangle(70.0, 150.0), rows=rows)
    splays = [finding.measured or 0.0 for finding in found(build, "splay")]
    breaks = [finding.measured or 0.0 for finding in found(build, "break")]
    assert max(splays) <= 13.0
    assert max(breaks) == pytest.approx(14 + math.degrees(math.atan(4.04 / 42)), abs=0.2)
    assert worst_of(build, "splay", "break", "high break", "order") is Level.FINE


# Bass, two and two


@pytest.mark.parametrize(("inset", "level"), [(17.5, Level.FINE), (17.4, Level.WATCH)])
def test_bass_bores_are_comfortable_from_8_75_mm_of_wood_on(inset: float, level: Level) -> None:
    # Half of a bore of 17.5 mm beside it: 17.5 - 8.75 = 8.75 mm.
    build = Build(
        name="Bass",
        outline=rectangle(95.0, 160.0),
        nut=Nut(width=42.0, slot_floor=10.0),
        head=Head(thickness_nut=14.5, thickness_tip=14.5),
        strings=strings(1.14, 1.65, 2.16, 2.67, kind="wound"),
        hardware=(BASS_LARGE,),
        rows=rows_of(BASS_LARGE, 2, 2, AlongEdge(start=50.0, pitch=52.0, inset=inset)),
        scale_length=864.0,
        bridge_spread=57.0,
    )
    walls = found(build, "wall")
    assert [finding.measured for finding in walls] == pytest.approx([inset - 8.75] * len(walls))
    assert worst(walls) is level


@pytest.mark.parametrize("end", [25.0, 26.25, 30.0])
def test_bass_ends_of_25_to_30_mm_are_ordinary(end: float) -> None:
    # One bore is 17.5, one and a half 26.25 mm: from 25 mm on at worst something to watch.
    build = Build(
        name="Bass",
        outline=rectangle(95.0, 102.0 + end),
        nut=Nut(width=42.0),
        strings=(),
        hardware=(BASS_LARGE,),
        rows=rows_of(BASS_LARGE, 2, 0, AlongEdge(start=50.0, pitch=52.0, inset=19.0)),
    )
    (nearest,) = [each for each in found(build, "end distance") if each.measured == pytest.approx(end)]
    assert nearest.level is (Level.FINE if end >= 26.25 else Level.WATCH)


# Twelve strings


def test_twelve_strings_at_22_5_with_buttons_of_18() -> None:
    button = change(ENCLOSED_SMALL.button, swept_diameter=18.0)
    hardware = change(ENCLOSED_SMALL, button=button)
    pairs = tuple(
        change(string, key=f"{string.key}{half}", course=string.key) for string in SIX for half in "ab"
    )
    # Pairs 2 mm apart between centres.
    build = Build(
        name="Twelve",
        outline=rectangle(78.0, 190.0),
        nut=Nut(width=47.6, course_gap=1.2),
        head=Head(angle_deg=14.0, thickness_nut=13.5, thickness_tip=13.5),
        strings=pairs,
        hardware=(hardware,),
        rows=rows_of(hardware, 6, 6, OnLine(start=34.0, pitch=22.5, inset=11.5)),
    )
    gaps = [finding.measured or 0.0 for finding in found(build, "button gap")]
    assert min(gaps) == pytest.approx(4.5)
    # Twelve tuners give fewer than three findings a check and part: only the closest of each is kept.
    assert len(found(build, "string to post")) <= 24
    assert worst_of(build, "order") is Level.FINE


# Friction pegs


def test_friction_pegs_at_an_inset_of_10() -> None:
    # A bore of 8 mm: 10 - 4 = 6 mm of wood; its buttons are on the back.
    build = Build(
        name="Friction",
        outline=rectangle(50.0, 110.0),
        nut=Nut(width=36.0),
        head=Head(angle_deg=12.0, thickness_nut=12.0, thickness_tip=12.0),
        strings=strings(0.6, 0.8, 0.9, 0.65, kind="nylon"),
        hardware=(FRICTION,),
        rows=rows_of(FRICTION, 2, 2, AlongEdge(start=32.0, pitch=32.0, inset=10.0)),
    )
    walls = found(build, "wall")
    assert [finding.measured for finding in walls] == pytest.approx([6.0] * len(walls))
    assert worst(walls) is Level.FINE
    assert found(build, "button to edge") == []
    assert worst_of(build, "button gap") is Level.FINE
