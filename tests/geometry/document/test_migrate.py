"""Files of every version that was ever written load for ever, as the build that they meant then."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec import UNSET

from geometry.document.build import (
    AlongEdge,
    Blank,
    Build,
    Head,
    Moved,
    Nut,
    OldHole,
    OnLine,
    OnPlate,
    Polygon,
    Post,
    Region,
    Retainer,
    RoundRegion,
    Row,
    StraightPull,
    String,
)
from geometry.document.codec import BUILD_FILE, read_build, write_build
from geometry.document.error import FileError
from geometry.document.outline import Bend, Curve, Node, Nodes, Starter
from geometry.document.strict import current
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import (
    Bore,
    Bushing,
    Counterbore,
    Disc,
    Hardware,
    Pin,
    Plate,
    RearButton,
    Rectangle,
    Screw,
    SideButton,
)
from geometry.trade.limits import ChangedLimit
from tests.builds import change

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"

# Inches times 25.4, by hand, wherever the file has inches.
VERSION_1 = Build(
    name="Bench sample, lengths in both systems",
    hand="left",
    outline=Nodes(
        nodes=(
            Node(
                key="n1",
                at=Point(22.225, 0.0),
                onward=Curve(leave=Vector(0.0, 12.0), arrive=Vector(0.5, -9.0)),
                follows_nut=1.0,
            ),
            Node(key="n2", at=Point(34.0, 24.0), follows_nut=0.5),
            Node(key="n3", at=Point(30.0, 170.0), onward=Bend(bulge=0.125), follows_nut=0.0),
            Node(key="n4", at=Point(-30.0, 170.0), follows_nut=0.0),
            Node(
                key="n5",
                at=Point(-34.0, 24.0),
                onward=Curve(leave=Vector(0.0, -9.0), arrive=Vector(0.0, 12.0)),
                follows_nut=1.0,
            ),
            Node(key="n6", at=Point(-22.225, 0.0), follows_nut=1.0),
        )
    ),
    nut=Nut(
        width=44.45,
        spacing="equal gaps",
        margin_bass=3.175,
        margin_treble=3.0,
        margin_to="edge",
        course_gap=1.5,
        slot_floor=6.5,
        thickness=6.35,
        slant_deg=0.0,
        zero_fret=False,
    ),
    head=Head(
        thickness_nut=14.0,
        thickness_tip=14.2875,
        angle_deg=13.0,
        back_flat_from=18.0,
        edge_face=0.5,
        edge_back=1.0,
        binding=1.5,
        grain_deg=-2.0,
        wood="walnut",
        blank=Blank(left=40.0, right=41.0, length=190.5),
    ),
    strings=(
        String(key="s1", name="E4", diameter=0.254, kind="plain", course=""),
        String(key="s2", name="B3", diameter=0.3556, kind="plain", course="b"),
        String(key="s3", name="B3", diameter=0.3556, kind="plain", course="b"),
        String(key="s4", name="G3", diameter=0.8, kind="nylon", course=""),
        String(key="s5", name="D3", diameter=0.9, kind="gut", course=""),
        String(key="s6", name="A2", diameter=0.9144, kind="wound", course=""),
    ),
    hardware=(
        Hardware(
            key="geared",
            name="geared, one screw and one pin",
            post_diameter=6.35,
            hole_height=20.0,
            bore=Bore(through=8.75, counterbore=Counterbore(diameter=10.0, depth=4.7625)),
            button=SideButton(
                shaft_offset=-6.0, shaft_depth=7.5, shaft_length=18.0, length=13.0, swept_diameter=20.0
            ),
            body=Rectangle(along=16.0, across=21.0, shift_along=3.0, shift_outward=-0.5),
            seat=Rectangle(along=14.0, across=18.0, shift_along=0.0, shift_outward=0.0),
            bushing=Bushing(kind="screw-in", root=8.25, crest=9.0),
            washer=Disc(diameter=14.0, height=1.0),
            hexagon=Disc(diameter=11.5, height=2.5),
            screws=(Screw(along=-8.5, outward=-8.5, diameter=2.25, root=1.5, length=9.525, shared=True),),
            pins=(Pin(along=-2.0, outward=8.0, diameter=2.0, depth=3.0),),
            butts=True,
            tapered=False,
            thickness_least=11.0,
            thickness_most=16.0,
            body_mass=27.0,
            button_mass=7.0,
            source="measured with calipers",
        ),
        Hardware(
            key="plated",
            name="two on a plate, rear buttons",
            post_diameter=6.0,
            hole_height=15.0,
            bore=Bore(through=8.0),
            button=RearButton(swept_diameter=18.0, length=20.0),
            plate=Plate(
                posts=2,
                pitch=31.75,
                beyond=12.0,
                across=15.0,
                shift_outward=1.0,
                screws=(Screw(along=-9.0, outward=4.0, diameter=2.0, root=1.25, length=9.0),),
            ),
            thickness_least=10.0,
            thickness_most=20.0,
            body_mass=0.0,
            button_mass=0.0,
            source="typical, measure yours",
        ),
    ),
    rows=(
        Row(
            key="r1",
            side="treble",
            hardware="geared",
            rule=AlongEdge(start=40.0, pitch=38.1, inset=12.0),
            posts=(
                Post(key="p1", string="s1", turns=3.5, flip_wound_side=True, turned_deg=15.0, piece="left"),
                Post(key="p2", string=None),
            ),
            moved=(Moved(post="p2", along=-1.5875, inward=0.75),),
        ),
        Row(
            key="r2",
            side="bass",
            hardware="geared",
            rule=OnLine(start=40.0, pitch=38.0, inset=12.0, inset_last=12.7),
            posts=(Post(key="p3"),),
        ),
        Row(
            key="r3",
            side="bass",
            hardware="geared",
            rule=StraightPull(start=90.0, pitch=30.0, exact=True),
            posts=(Post(key="p4", piece="right"),),
        ),
        Row(
            key="r4",
            side="treble",
            hardware="plated",
            rule=OnPlate(start=110.0, inset=11.0, inset_last=None),
            posts=(Post(key="p5"), Post(key="p6")),
        ),
    ),
    retainers=(
        Retainer(
            key="g1",
            at=Point(5.0, 30.0),
            height=4.5,
            strings=("s1", "s2"),
            kind="tree",
            radius=0.0,
            passed_on="treble",
        ),
        Retainer(
            key="g2",
            at=Point(-12.7, 35.0),
            height=6.0,
            strings=("s6",),
            kind="guide post",
            radius=3.0,
            passed_on="bass",
        ),
    ),
    keep_clear=(
        Region(
            key="k1",
            name="rod pocket",
            shape=RoundRegion(centre=Point(0.0, 12.0), radius=7.9375),
            side="face",
            depth=9.0,
            cover_height=2.0,
        ),
        Region(
            key="k2",
            name="inlay",
            shape=Polygon(points=(Point(-6.0, 120.0), Point(6.0, 120.0), Point(0.0, 133.35))),
            side="back",
            depth=2.0,
            cover_height=0.0,
        ),
    ),
    old_holes=(
        OldHole(key="o1", at=Point(-20.0, 60.0), diameter=8.73125, depth=None, side="face", plugged=True),
        OldHole(key="o2", at=Point(20.0, 60.0), diameter=2.0, depth=8.0, side="back", plugged=False),
    ),
    scale_length=647.7,
    bridge_spread=52.5,
    cutter_diameter=6.35,
    limits=(
        ChangedLimit(rule="wall", level="stop", least=2.5, of_bore=0.25),
        ChangedLimit(rule="splay", level="watch", least=15.0, of_bore=0.0),
    ),
    notes="A first line,\nand a second: ⌀ 8.75 — ½ inch.",
)

# Everything that the file leaves out is spelled out here: a changed default would change old builds.
VERSION_1_SPARSE = Build(
    name="Only what must be there",
    outline=Starter(
        shape="narrow",
        length=112.0,
        width_low=40.0,
        width_high=36.0,
        shoulder=16.0,
        tip_rise=0.0,
        corner=0.0,
        waist=0.0,
        lean_deg=0.0,
    ),
    nut=Nut(
        width=25.0,
        spacing="equal centres",
        margin_bass=3.0,
        margin_treble=3.0,
        margin_to=UNSET,
        course_gap=2.0,
        slot_floor=7.0,
        thickness=5.0,
        slant_deg=0.0,
        zero_fret=False,
    ),
    head=Head(
        thickness_nut=15.0,
        thickness_tip=15.0,
        angle_deg=0.0,
        back_flat_from=5.0,
        edge_face=0.0,
        edge_back=0.0,
        binding=0.0,
        grain_deg=0.0,
        wood="",
        blank=None,
    ),
    hand="right",
    strings=(String(key="s1", name="G4", diameter=0.25, kind="plain", course=""),),
    hardware=(
        Hardware(
            key="h1",
            name="side",
            post_diameter=6.0,
            hole_height=19.0,
            bore=Bore(through=8.0, counterbore=None),
            button=SideButton(
                shaft_offset=6.0, shaft_depth=7.0, shaft_length=16.0, length=11.0, swept_diameter=17.0
            ),
            body=Rectangle(along=13.0, across=18.0, shift_along=0.0, shift_outward=0.0),
            seat=None,
            plate=Plate(posts=2, pitch=30.0, beyond=12.0, across=15.0, shift_outward=0.0, screws=()),
            bushing=None,
            washer=Disc(diameter=14.0, height=0.0),
            hexagon=None,
            screws=(Screw(along=0.0, outward=6.0, diameter=2.0, root=1.5, length=9.0, shared=False),),
            pins=(),
            butts=False,
            tapered=False,
            thickness_least=10.0,
            thickness_most=20.0,
            body_mass=0.0,
            button_mass=0.0,
            source="typical, measure yours",
        ),
    ),
    rows=(
        Row(
            key="r1",
            side="bass",
            hardware="h1",
            rule=OnLine(start=30.0, pitch=30.0, inset=11.0, inset_last=None),
            posts=(
                Post(key="p1", string=UNSET, turns=UNSET, flip_wound_side=False, turned_deg=0.0, piece=UNSET),
            ),
            moved=(),
        ),
        Row(
            key="r2",
            side="treble",
            hardware="h1",
            rule=OnPlate(start=30.0, inset=11.0, inset_last=None),
            posts=(),
            moved=(),
        ),
        Row(
            key="r3",
            side="treble",
            hardware="h1",
            rule=StraightPull(start=80.0, pitch=30.0, exact=False),
            posts=(),
            moved=(),
        ),
    ),
    retainers=(
        Retainer(
            key="g1",
            at=Point(0.0, 20.0),
            height=4.0,
            strings=(),
            kind="tree",
            radius=0.0,
            passed_on="treble",
        ),
    ),
    keep_clear=(
        Region(
            key="k1",
            name="pocket",
            shape=RoundRegion(centre=Point(0.0, 8.0), radius=4.0),
            side="through",
            depth=0.0,
            cover_height=0.0,
        ),
    ),
    old_holes=(OldHole(key="o1", at=Point(9.0, 90.0), diameter=3.0, depth=None, side="back", plugged=False),),
    scale_length=650.0,
    bridge_spread=52.0,
    cutter_diameter=0.0,
    limits=(ChangedLimit(rule="wall", level="stop", least=2.5, of_bore=0.0),),
    notes="",
)

MEANT = {"version-1.pegwright": VERSION_1, "version-1-sparse.pegwright": VERSION_1_SPARSE}
"""What each frozen file means."""


def test_there_is_a_frozen_file_for_every_version() -> None:
    assert {path.name for path in FIXTURES.glob("*.pegwright")} == set(MEANT)
    assert {f"version-{version}.pegwright" for version in range(1, BUILD_FILE.version + 1)} <= set(MEANT)


@pytest.mark.parametrize("name", sorted(MEANT))
def test_an_old_file_loads_as_what_it_meant(name: str) -> None:
    build = read_build((FIXTURES / name).read_bytes())
    assert build == MEANT[name]
    assert read_build(write_build(build)) == MEANT[name]


def test_there_is_a_step_from_every_older_version() -> None:
    assert sorted(BUILD_FILE.steps) == list(range(1, BUILD_FILE.version))


def test_the_version_is_taken_off_and_the_rest_is_left_as_it_is() -> None:
    plain = {"pegwright": BUILD_FILE.version, "name": "a", "odd": [1]}
    assert current(plain, BUILD_FILE) == {"name": "a", "odd": [1]}
    assert plain["pegwright"] == BUILD_FILE.version


def test_older_data_goes_through_every_step_in_order() -> None:
    def adds(word: str) -> Callable[[dict[str, Any]], dict[str, Any]]:
        return lambda plain: {**plain, "way": [*plain["way"], word]}

    steps = {1: adds("to 2"), 2: adds("to 3"), 3: adds("to 4")}
    fourth = change(BUILD_FILE, version=4, steps=steps)
    assert current({"pegwright": 1, "way": []}, fourth) == {"way": ["to 2", "to 3", "to 4"]}
    assert current({"pegwright": 3, "way": []}, fourth) == {"way": ["to 4"]}
    assert current({"pegwright": 4, "way": []}, fourth) == {"way": []}


@pytest.mark.parametrize("version", [0, -1, 1.0, "1", None, True, [], BUILD_FILE.version + 1])
def test_any_other_version_is_refused_by_name(version: object) -> None:
    with pytest.raises(FileError) as refused:
        current({"pegwright": version}, BUILD_FILE)
    assert refused.value.field == "pegwright"
    assert refused.value.value is version


def test_data_without_a_version_is_no_build_file() -> None:
    with pytest.raises(FileError, match="this is not a build file"):
        current({"name": "a"}, BUILD_FILE)
