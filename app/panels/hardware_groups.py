"""What is measured of a tuner, group by group, and how a measure is read from and written to its record."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from app.panels.numbers import Line
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


class Group(msgspec.Struct, frozen=True):
    """Measures of one part: its place in the record, its type, its lines; `fresh` makes one for tuners without it."""

    path: str
    record: type[msgspec.Struct]
    lines: tuple[Line, ...]
    title: str = ""
    fresh: Callable[[Hardware], Any] | None = None
    tip: str = ""


def part_at(hardware: Hardware, path: str) -> Any:
    """The record at a path such as "bore.counterbore"; the tuner itself at an empty one, None where it has none."""
    part: Any = hardware
    for step in path.split(".") if path else ():
        part = None if part is None else getattr(part, step)
    return part


def with_part(hardware: Hardware, path: str, part: Any) -> Hardware:
    """The tuner with another record at a path."""
    first, _, rest = path.partition(".")
    if not rest:
        return replace(hardware, **{first: part})
    inner = getattr(hardware, first)
    return replace(hardware, **{first: replace(inner, **{rest: part})})


def _tr(text: str) -> str:
    return QCoreApplication.translate("HardwareForm", text)


def post_groups() -> tuple[Group, ...]:
    """The post, its bore, and what lines it."""
    height = _tr("Above the back seat; with a rear button above the collar")
    turns_in = _tr("Inside diameter of the bushing; empty: typical for the post")
    return (
        Group(
            "",
            Hardware,
            (
                Line("post_diameter", _tr("Post diameter"), _tr("Where the string winds")),
                Line("hole_height", _tr("String hole height"), height),
                Line("bushing_bore", _tr("Post turns in"), turns_in, optional=True),
            ),
        ),
        Group("bore", Bore, (Line("through", _tr("Bore"), _tr("The drill that goes through")),)),
        Group(
            "bore.counterbore",
            Counterbore,
            (Line("diameter", _tr("Wide part")), Line("depth", _tr("Depth of the wide part"))),
            _tr("Wider at the face"),
            lambda tuner: Counterbore(diameter=tuner.bore.through + 2.0, depth=8.0),
            _tr("A second, wider bore from the face"),
        ),
        Group(
            "bushing",
            Bushing,
            (Line("root", _tr("Root diameter")), Line("crest", _tr("Crest diameter"))),
            _tr("Bushing"),
            lambda tuner: Bushing(kind="press-in", root=tuner.bore.largest - 0.3, crest=tuner.bore.largest),
            _tr("What lines the bore; its ribs or thread lie between root and crest"),
        ),
    )


def face_groups() -> tuple[Group, ...]:
    """What lies on the face."""
    height = Line("height", _tr("Height"), _tr("Of its top over the face"))
    disc = (Line("diameter", _tr("Diameter")), height)
    across_corners = (Line("diameter", _tr("Across its corners")), height)
    return (
        Group(
            "washer",
            Disc,
            disc,
            _tr("Washer"),
            lambda tuner: Disc(diameter=tuner.bore.largest + 4.0, height=1.0),
        ),
        Group(
            "hexagon",
            Disc,
            across_corners,
            _tr("Hexagon"),
            lambda tuner: Disc(diameter=tuner.bore.largest + 1.5, height=2.5),
        ),
    )


def back_groups() -> tuple[Group, ...]:
    """What sits on the back."""
    rectangle = (
        Line("along", _tr("Along the row")),
        Line("across", _tr("Across the row")),
        Line("shift_along", _tr("Middle, along"), _tr("From the post, towards the tip")),
        Line("shift_outward", _tr("Middle, outward"), _tr("From the post, towards the button")),
    )
    return (
        Group(
            "body",
            Rectangle,
            rectangle,
            _tr("Body"),
            lambda _: Rectangle(along=16.0, across=20.0),
            _tr("All of the tuner on the back, for the gaps between tuners"),
        ),
        Group(
            "seat",
            Rectangle,
            rectangle,
            _tr("Seat"),
            lambda _: Rectangle(along=14.0, across=18.0),
            _tr("The part that must rest on flat wood"),
        ),
        Group(
            "plate",
            Plate,
            (
                Line("beyond", _tr("Plate beyond the posts")),
                Line("across", _tr("Plate width")),
                Line("shift_outward", _tr("Plate's middle, outward"), _tr("From the line of posts")),
            ),
            _tr("On a common plate"),
            lambda _: Plate(posts=4, pitch=23.0, beyond=12.0, across=16.0),
            _tr("A rigid plate that carries a whole row"),
        ),
    )


def button_groups() -> tuple[Group, ...]:
    """The button: one at the side, one on the back."""
    beside = _tr("Along the row, towards the tip: the shaft passes beside the post")
    side = (
        Line("shaft_offset", _tr("Shaft beside the post"), beside),
        Line("shaft_depth", _tr("Shaft below the back")),
        Line(
            "shaft_length", _tr("Post to button"), _tr("From the post's axis to the inner face of the button")
        ),
        Line("length", _tr("Button length")),
        Line("swept_diameter", _tr("Button sweeps"), _tr("Diameter of the circle that it turns in")),
    )
    rear = (
        Line("swept_diameter", _tr("Button diameter")),
        Line("length", _tr("Button length"), _tr("How far it stands out of the back")),
    )
    return (Group("button", SideButton, side), Group("button", RearButton, rear))


def wood_group() -> Group:
    """The wood it takes, and what it weighs."""
    takes = _tr("That it takes; empty if not known")
    return Group(
        "",
        Hardware,
        (
            Line("thickness_least", _tr("Thinnest wood")),
            Line("thickness_most", _tr("Thickest wood")),
            Line("body_mass", _tr("Mass without button"), measure="mass"),
            Line("button_mass", _tr("Mass of the button"), measure="mass"),
            Line("most_pull", _tr("Hardest pull"), takes, "force", optional=True),
            Line("most_string", _tr("Thickest string"), takes, "gauge", optional=True),
        ),
    )


def screw_lines() -> tuple[Line, ...]:
    """Measures of a screw."""
    return (
        Line("along", _tr("Along the row"), _tr("From the post, towards the tip")),
        Line("outward", _tr("Outward"), _tr("From the post, towards the button")),
        Line("diameter", _tr("Shank diameter")),
        Line("root", _tr("Root of the thread"), _tr("Sets the pilot hole")),
        Line("length", _tr("Length in the wood")),
    )


def pin_lines() -> tuple[Line, ...]:
    """Measures of a locating pin."""
    return (
        Line("along", _tr("Along the row"), _tr("From the post, towards the tip")),
        Line("outward", _tr("Outward"), _tr("From the post, towards the button")),
        Line("diameter", _tr("Diameter")),
        Line("depth", _tr("Depth of its hole")),
    )


NEW_SIDE_BUTTON = SideButton(
    shaft_offset=6.0, shaft_depth=8.0, shaft_length=18.0, length=12.0, swept_diameter=20.0
)
NEW_REAR_BUTTON = RearButton(swept_diameter=20.0, length=22.0)
NEW_SCREW = Screw(along=-8.0, outward=-8.0, diameter=2.2, root=1.5, length=10.0)
NEW_PIN = Pin(along=-2.0, outward=-8.0, diameter=2.0, depth=3.0)
"""To begin with, mm; from memory."""
