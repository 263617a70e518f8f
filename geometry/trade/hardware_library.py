"""Generic classes of tuners with typical sizes: a start until the maker has measured the part.

No published standard exists for these sizes. Bores, post diameters, hole heights and the plate pitch are common
practice with no source; footprints, screw places and pins are from memory. Each entry says "typical, measure yours".
The hardest pull and the thickest string of a class are workshop practice, no source.
"""

from __future__ import annotations

from msgspec.structs import replace

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

ENCLOSED_SCREW_IN = Hardware(
    key="enclosed",
    name="enclosed gear, screw-in bushing, one screw",
    post_diameter=6.0,
    hole_height=20.0,
    bore=Bore(through=10.0),
    bushing=Bushing(kind="screw-in", root=8.3, crest=9.0),
    washer=Disc(diameter=14.0, height=1.0),
    hexagon=Disc(diameter=11.5, height=2.5),
    body=Rectangle(along=16.0, across=21.0, shift_along=3.0),
    seat=Rectangle(along=14.0, across=18.0, shift_along=2.0),
    button=SideButton(shaft_offset=6.5, shaft_depth=8.0, shaft_length=18.0, length=13.0, swept_diameter=22.0),
    screws=(Screw(along=-8.5, outward=-8.5, diameter=2.2, root=1.5, length=10.0),),
    thickness_least=11.0,
    thickness_most=16.0,
    body_mass=28.0,
    button_mass=7.0,
    most_pull=200.0,
    most_string=1.8,
)

# The same tuner but for what holds it.
ENCLOSED_TWO_PINS = replace(
    ENCLOSED_SCREW_IN,
    key="enclosed-pins",
    name="enclosed gear, screw-in bushing, two locating pins",
    seat=Rectangle(along=14.0, across=20.0, shift_along=2.0),
    screws=(),
    pins=(
        Pin(along=-2.0, outward=-8.0, diameter=2.0, depth=3.0),
        Pin(along=-2.0, outward=8.0, diameter=2.0, depth=3.0),
    ),
)

ENCLOSED_SMALL = Hardware(
    key="enclosed-small",
    name="small enclosed gear, screw-in bushing, one screw",
    post_diameter=6.0,
    hole_height=19.0,
    bore=Bore(through=10.0),
    bushing=Bushing(kind="screw-in", root=8.3, crest=9.0),
    washer=Disc(diameter=13.5, height=1.0),
    hexagon=Disc(diameter=11.5, height=2.5),
    body=Rectangle(along=13.0, across=18.0, shift_along=2.5),
    seat=Rectangle(along=12.0, across=16.0, shift_along=2.0),
    button=SideButton(shaft_offset=5.5, shaft_depth=7.0, shaft_length=15.5, length=11.0, swept_diameter=17.0),
    screws=(Screw(along=-8.0, outward=-6.0, diameter=2.2, root=1.5, length=9.0),),
    thickness_least=10.0,
    thickness_most=15.0,
    body_mass=18.0,
    button_mass=4.0,
    most_pull=160.0,
    most_string=1.6,
)

OPEN_GEAR = Hardware(
    key="open-gear",
    name="open gear, press-in bushing, own plate",
    post_diameter=6.0,
    hole_height=21.0,
    bore=Bore(through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0)),
    bushing=Bushing(kind="press-in", root=8.6, crest=8.9),
    washer=Disc(diameter=11.0, height=1.5),
    body=Rectangle(along=35.0, across=14.0, shift_along=2.0, shift_outward=1.0),
    seat=Rectangle(along=35.0, across=10.0, shift_along=2.0),
    button=SideButton(shaft_offset=7.5, shaft_depth=6.0, shaft_length=16.0, length=12.0, swept_diameter=20.0),
    screws=(
        Screw(along=-12.5, outward=0.0, diameter=2.2, root=1.5, length=10.0),
        Screw(along=16.5, outward=0.0, diameter=2.2, root=1.5, length=10.0),
    ),
    thickness_least=12.0,
    thickness_most=17.0,
    body_mass=19.0,
    button_mass=6.0,
    most_pull=160.0,
    most_string=1.6,
)

SPLIT_POST = Hardware(
    key="split-post",
    name="split post in line, press-in bushing, shared screws",
    post_diameter=6.35,
    hole_height=21.0,
    bore=Bore(through=8.7),
    bushing=Bushing(kind="press-in", root=8.5, crest=8.8),
    washer=Disc(diameter=10.8, height=1.5),
    body=Rectangle(along=24.0, across=17.0),
    seat=Rectangle(along=24.0, across=15.0),
    button=SideButton(shaft_offset=6.0, shaft_depth=7.0, shaft_length=17.0, length=13.0, swept_diameter=20.0),
    screws=(
        Screw(along=-12.0, outward=-5.5, diameter=2.2, root=1.5, length=10.0, shared=True),
        Screw(along=12.0, outward=-5.5, diameter=2.2, root=1.5, length=10.0, shared=True),
    ),
    butts=True,
    thickness_least=12.0,
    thickness_most=17.0,
    body_mass=23.0,
    button_mass=7.0,
    most_pull=200.0,
    most_string=1.8,
)

FOUR_ON_PLATE = Hardware(
    key="four-on-plate",
    name="four on a plate at 23 mm pitch, open gear",
    post_diameter=6.0,
    hole_height=19.0,
    bore=Bore(through=8.7),
    bushing=Bushing(kind="press-in", root=8.5, crest=8.8),
    washer=Disc(diameter=10.5, height=1.0),
    plate=Plate(
        posts=4,
        pitch=23.0,
        beyond=13.0,
        across=15.0,
        screws=(
            Screw(along=-11.0, outward=4.5, diameter=2.2, root=1.5, length=9.0),
            Screw(along=11.5, outward=4.5, diameter=2.2, root=1.5, length=9.0),
            Screw(along=57.5, outward=4.5, diameter=2.2, root=1.5, length=9.0),
            Screw(along=80.0, outward=4.5, diameter=2.2, root=1.5, length=9.0),
        ),
    ),
    button=SideButton(shaft_offset=6.0, shaft_depth=6.0, shaft_length=15.0, length=11.0, swept_diameter=15.5),
    thickness_least=11.0,
    thickness_most=17.0,
    body_mass=12.5,
    button_mass=3.0,
    most_pull=140.0,
    most_string=1.3,
)

BASS_LARGE = Hardware(
    key="bass-large",
    name="large bass, open gear, press-in bushing",
    post_diameter=14.0,
    hole_height=20.0,
    bore=Bore(through=17.5),
    bushing=Bushing(kind="press-in", root=17.3, crest=17.7),
    washer=Disc(diameter=21.0, height=1.5),
    body=Rectangle(along=43.0, across=28.0, shift_along=3.0),
    seat=Rectangle(along=43.0, across=25.0, shift_along=3.0),
    button=SideButton(shaft_offset=8.0, shaft_depth=9.0, shaft_length=24.0, length=16.0, swept_diameter=28.0),
    screws=(
        Screw(along=-15.5, outward=-9.0, diameter=2.8, root=1.9, length=11.0),
        Screw(along=-15.5, outward=9.0, diameter=2.8, root=1.9, length=11.0),
        Screw(along=21.5, outward=-9.0, diameter=2.8, root=1.9, length=11.0),
        Screw(along=21.5, outward=9.0, diameter=2.8, root=1.9, length=11.0),
    ),
    thickness_least=12.0,
    thickness_most=18.0,
    body_mass=86.0,
    button_mass=14.0,
    most_pull=400.0,
    most_string=3.5,
)

BASS_LIGHT = Hardware(
    key="bass-light",
    name="light bass, enclosed gear, screw-in bushing",
    post_diameter=12.0,
    hole_height=26.0,
    bore=Bore(through=14.0),
    bushing=Bushing(kind="screw-in", root=12.3, crest=13.2),
    washer=Disc(diameter=19.5, height=1.0),
    hexagon=Disc(diameter=19.6, height=3.5),
    body=Rectangle(along=24.0, across=30.0, shift_along=4.0),
    seat=Rectangle(along=22.0, across=26.0, shift_along=3.0),
    button=SideButton(shaft_offset=8.0, shaft_depth=9.0, shaft_length=23.0, length=15.0, swept_diameter=26.0),
    screws=(Screw(along=-11.5, outward=-9.0, diameter=2.5, root=1.7, length=11.0),),
    thickness_least=13.0,
    thickness_most=19.0,
    body_mass=46.0,
    button_mass=9.0,
    most_pull=350.0,
    most_string=3.4,
)

PLANETARY = Hardware(
    key="planetary",
    name="planetary peg",
    post_diameter=6.0,
    hole_height=6.5,
    bore=Bore(through=9.5),
    washer=Disc(diameter=13.0, height=3.0),
    body=Rectangle(along=15.0, across=15.0),
    seat=Rectangle(along=14.0, across=14.0),
    button=RearButton(swept_diameter=20.0, length=28.0),
    thickness_least=10.0,
    thickness_most=17.0,
    body_mass=33.0,
    button_mass=7.0,
    most_pull=130.0,
    most_string=1.3,
)

FRICTION = Hardware(
    key="friction",
    name="friction peg",
    post_diameter=6.0,
    hole_height=8.0,
    bore=Bore(through=8.0),
    washer=Disc(diameter=12.0, height=1.0),
    body=Rectangle(along=12.0, across=12.0),
    seat=Rectangle(along=12.0, across=12.0),
    button=RearButton(swept_diameter=18.0, length=20.0),
    thickness_least=9.0,
    thickness_most=15.0,
    body_mass=9.0,
    button_mass=2.0,
    most_pull=60.0,
    most_string=1.1,
)

GEARED_FRICTION_LOOK = Hardware(
    key="geared-peg",
    name="geared peg that looks like a friction peg",
    post_diameter=6.0,
    hole_height=8.0,
    bore=Bore(through=8.5),
    bushing=Bushing(kind="press-in", root=8.4, crest=8.75),
    washer=Disc(diameter=11.0, height=1.0),
    body=Rectangle(along=13.0, across=13.0),
    seat=Rectangle(along=13.0, across=13.0),
    button=RearButton(swept_diameter=18.0, length=24.0),
    screws=(Screw(along=0.0, outward=-8.0, diameter=2.0, root=1.3, length=6.0),),
    thickness_least=9.0,
    thickness_most=15.0,
    body_mass=14.0,
    button_mass=3.0,
    most_pull=100.0,
    most_string=1.1,
)

LIBRARY: tuple[Hardware, ...] = (
    ENCLOSED_SCREW_IN,
    ENCLOSED_TWO_PINS,
    ENCLOSED_SMALL,
    OPEN_GEAR,
    SPLIT_POST,
    FOUR_ON_PLATE,
    BASS_LARGE,
    BASS_LIGHT,
    PLANETARY,
    FRICTION,
    GEARED_FRICTION_LOOK,
)


def find(key: str) -> Hardware | None:
    """The library entry called `key`, or None."""
    return next((hardware for hardware in LIBRARY if hardware.key == key), None)
