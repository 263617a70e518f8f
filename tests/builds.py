"""Builds on plain rectangular heads, on which every measure has a closed form, and ready-made ones of every kind."""

from __future__ import annotations

import math
from typing import Any

import msgspec

from geometry.checks.judge import Finding, findings
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
    SideName,
    String,
)
from geometry.document.outline import Bend, Curve, Node, Nodes, Starter, Straight
from geometry.document.starters import STARTERS
from geometry.shape.point import Point
from geometry.trade.hardware import Bore, Disc, Hardware, RearButton, Rectangle, SideButton
from geometry.trade.hardware_library import (
    BASS_LARGE,
    ENCLOSED_SCREW_IN,
    ENCLOSED_SMALL,
    FOUR_ON_PLATE,
    FRICTION,
    SPLIT_POST,
)

change = msgspec.structs.replace

WIDTH = 80.0
LENGTH = 200.0
HALF = WIDTH / 2
START = 60.0
PITCH = 40.0
INSET = 20.0
THICK = 15.0
"""Of a plain head: sizes of the rectangle, first post, pitch and inset, thickness."""


def nodes(*places: tuple[float, float]) -> Nodes:
    """A free outline of straight runs."""
    return Nodes(nodes=tuple(Node(key=f"n{n}", at=Point(x, y)) for n, (x, y) in enumerate(places)))


def rectangle(width: float = WIDTH, length: float = LENGTH) -> Nodes:
    """A head with square corners about the centre line."""
    half = width / 2
    return nodes((half, 0.0), (half, length), (-half, length), (-half, 0.0))


PLAIN_TUNER = Hardware(
    key="plain",
    name="plain",
    post_diameter=6.0,
    hole_height=THICK + 7.5,
    bore=Bore(through=10.0),
    washer=Disc(diameter=14.0, height=1.0),
    body=Rectangle(along=16.0, across=20.0),
    seat=Rectangle(along=14.0, across=18.0),
    button=SideButton(shaft_offset=6.0, shaft_depth=8.0, shaft_length=30.0, length=12.0, swept_diameter=22.0),
)
"""Symmetric but for its shaft; with no turns its string lies 7.5 mm over the face of a plain head."""

REAR_TUNER = change(PLAIN_TUNER, key="rear", button=RearButton(swept_diameter=18.0, length=20.0))


def tuner(**fields: Any) -> Hardware:
    """The plain tuner with some fields changed."""
    return change(PLAIN_TUNER, **fields)


def side_button(**fields: Any) -> SideButton:
    """The plain tuner's button with some fields changed."""
    assert isinstance(PLAIN_TUNER.button, SideButton)
    return change(PLAIN_TUNER.button, **fields)


def row(side: SideName = "treble", count: int = 1, **fields: Any) -> Row:
    """A row of plain tuners along the edge; posts are called after the row's key."""
    key = fields.pop("key", side)
    rule = fields.pop("rule", AlongEdge(start=START, pitch=PITCH, inset=INSET))
    posts = fields.pop("posts", tuple(Post(key=f"{key}{n}", turns=0.0) for n in range(1, count + 1)))
    return Row(key=key, side=side, hardware=fields.pop("hardware", "plain"), rule=rule, posts=posts, **fields)


def post_at(x: float, y: float, side: SideName = "treble", **fields: Any) -> Row:
    """A row of one post, moved by hand to exactly (x, y) of a plain right-handed head."""
    key = fields.pop("key", "one")
    sign = 1 if side == "treble" else -1
    # A row on a line keeps the direction of its tuners, wherever a hand puts them.
    fields.setdefault("rule", OnLine(start=START, pitch=PITCH, inset=INSET))
    moved = Moved(post=f"{key}1", along=y - START, inward=HALF - INSET - sign * x)
    post = Post(key=f"{key}1", turns=fields.pop("turns", 0.0), **fields.pop("post", {}))
    return row(side, key=key, posts=(post,), moved=(moved,), **fields)


def strings(*diameters: float, kind: str = "plain") -> tuple[String, ...]:
    """Strings s1, s2, ... from the treble side."""
    return tuple(
        String(key=f"s{n}", name=f"string {n}", diameter=diameter, kind=kind)  # type: ignore[arg-type]
        for n, diameter in enumerate(diameters, start=1)
    )


def plain_head(*rows: Row, **fields: Any) -> Build:
    """A build on the plain head; its strings run straight over the fingerboard, 7.5 mm over the face at the nut."""
    slots = fields.pop("slots", ())
    given = fields.pop("strings", strings(*(1.0 for _ in slots)))
    nut = Nut(width=WIDTH, slot_floor=7.0)
    if slots:
        nut = nut_with(slots[0], slots[-1])
    ready: dict[str, Any] = {
        "name": "plain",
        "outline": rectangle(),
        "nut": nut,
        "head": Head(thickness_nut=THICK, thickness_tip=THICK),
        "hardware": (PLAIN_TUNER,),
        "rows": rows,
        "strings": given,
        "bridge_spread": abs(slots[0] - slots[-1]) if slots else 52.0,
    }
    return Build(**{**ready, **fields})


def turns_too_low() -> Build:
    """A head that is 0.2 mm thinner at its tip, 200 mm up, on which the lowest turn of string 1 lies 0.78 mm too low.

    Its hole is 17.66 mm over the back; the underside of its second turn, of a string of 1 mm, is 15.16 over it. The
    wood is 14.94 mm thick at 60 mm, and the washer 1 mm: 15.16 - 15.94.
    """
    low = Post(key="treble1", turns=2.0)
    build = plain_head(row("treble", posts=(low,)), row("bass"), slots=(15.0, -15.0))
    strings = (change(build.strings[0], kind="wound"), build.strings[1])
    head = change(build.head, thickness_tip=THICK - 0.2)
    return change(build, head=head, strings=strings, hardware=(tuner(hole_height=17.66),))


def of_rear(*places: tuple[float, float]) -> Build:
    """A plain head with single rear-button tuners at these places; their buttons are too small to matter."""
    rows = [post_at(x, y, key=f"p{n}", hardware="rear") for n, (x, y) in enumerate(places)]
    small = change(REAR_TUNER, button=change(REAR_TUNER.button, swept_diameter=8.0))
    return plain_head(*rows, hardware=(small,))


def nut_with(treble_x: float, bass_x: float) -> Nut:
    """A plain head's nut with the outer strings' centres at these x on a right-handed build."""
    width = max(WIDTH, 2 * abs(treble_x), 2 * abs(bass_x))
    return Nut(
        width=width, slot_floor=7.0, margin_treble=width / 2 - treble_x, margin_bass=width / 2 + bass_x
    )


# Findings


def found(build: Build, check: str, label: str | None = None) -> list[Finding]:
    """The findings of one check, of those about a part with this label."""
    all_of_it = [each for each in findings(build) if each.check == check]
    return [each for each in all_of_it if label is None or label in [part.label for part in each.about]]


def closest(build: Build, check: str, label: str | None = None) -> Finding:
    """The finding of a check with the least margin."""
    return min(found(build, check, label), key=lambda each: each.margin or 0.0)


# Mirror images


def _mirrored_nodes(outline: Nodes) -> Nodes:
    old = outline.nodes
    runs: list[Straight | Bend | Curve] = []
    for node in reversed(old[:-1]):
        run = node.onward
        if isinstance(run, Curve):
            run = Curve(leave=run.arrive.mirrored, arrive=run.leave.mirrored)
        runs.append(run)
    runs.append(Straight())
    return Nodes(
        nodes=tuple(
            change(node, at=node.at.mirrored, onward=run)
            for node, run in zip(reversed(old), runs, strict=True)
        )
    )


def mirror_of(build: Build) -> Build:
    """The same job for the other hand, written from the definitions and not with the tool's own edit."""
    head = change(build.head, grain_deg=-build.head.grain_deg)
    if head.blank:
        head = change(
            head, blank=Blank(left=head.blank.right, right=head.blank.left, length=head.blank.length)
        )
    pieces = {"left": "right", "right": "left"}
    rows = tuple(
        change(
            each,
            posts=tuple(
                change(post, turned_deg=-post.turned_deg, piece=pieces.get(post.piece, post.piece))  # type: ignore[arg-type]
                for post in each.posts
            ),
        )
        for each in build.rows
    )
    outline = build.outline if isinstance(build.outline, Starter) else _mirrored_nodes(build.outline)
    return change(
        build,
        hand="left" if build.hand == "right" else "right",
        outline=outline,
        head=head,
        rows=rows,
        retainers=tuple(change(each, at=each.at.mirrored) for each in build.retainers),
        keep_clear=tuple(change(each, shape=_mirrored_shape(each)) for each in build.keep_clear),
        old_holes=tuple(change(each, at=each.at.mirrored) for each in build.old_holes),
    )


def _mirrored_shape(region: Region) -> RoundRegion | Polygon:
    if isinstance(region.shape, RoundRegion):
        return change(region.shape, centre=region.shape.centre.mirrored)
    return Polygon(points=tuple(point.mirrored for point in reversed(region.shape.points)))


# Ready-made builds of our own, one of every kind


def _set(*strings_of: tuple[str, float, str, str]) -> tuple[String, ...]:
    """Strings from name, diameter in thousandths of an inch, kind and course."""
    return tuple(
        String(key=f"s{n}", name=name, diameter=thousandths * 0.0254, kind=kind, course=course)  # type: ignore[arg-type]
        for n, (name, thousandths, kind, course) in enumerate(strings_of, start=1)
    )


SIX = _set(
    ("E4", 10, "plain", ""),
    ("B3", 13, "plain", ""),
    ("G3", 17, "plain", ""),
    ("D3", 26, "wound", ""),
    ("A2", 36, "wound", ""),
    ("E2", 46, "wound", ""),
)
LEVEL = Head(thickness_nut=13.5, thickness_tip=13.5, back_flat_from=14.0)


def _rows(hardware: Hardware, treble: int, bass: int, rule: Any) -> tuple[Row, ...]:
    sides: list[tuple[SideName, int]] = [("treble", treble), ("bass", bass)]
    return tuple(
        Row(
            key=side[0],
            side=side,
            hardware=hardware.key,
            rule=rule,
            posts=tuple(Post(key=f"{side[0]}{n}") for n in range(1, count + 1)),
        )
        for side, count in sides
        if count
    )


def three_and_three(**fields: Any) -> Build:
    """Three a side along straight edges, angled head."""
    ready: dict[str, Any] = {
        "name": "Three a side",
        "outline": STARTERS["straight-taper"],
        "nut": Nut(width=43.0),
        "head": change(LEVEL, angle_deg=14.0),
        "strings": SIX,
        "hardware": (ENCLOSED_SCREW_IN,),
        "rows": _rows(ENCLOSED_SCREW_IN, 3, 3, AlongEdge(start=38.0, pitch=40.0, inset=12.5)),
    }
    return Build(**{**ready, **fields})


def six_in_line(**fields: Any) -> Build:
    """Six on the bass side of a flat head, with shared screws."""
    ready: dict[str, Any] = {
        "name": "Six in line",
        "outline": STARTERS["one-sided"],
        "nut": Nut(width=42.0),
        "head": LEVEL,
        "strings": SIX,
        "hardware": (SPLIT_POST,),
        "rows": _rows(SPLIT_POST, 0, 6, OnLine(start=30.0, pitch=24.5, inset=12.0)),
        "retainers": (Retainer(key="tree", at=Point(12.0, 60.0), height=4.5, strings=("s1", "s2")),),
    }
    return Build(**{**ready, **fields})


def eight_on_plates(**fields: Any) -> Build:
    """Four courses of two on two rigid plates."""
    gauges = {"e": (11, "plain"), "a": (15, "plain"), "d": (26, "wound"), "g": (40, "wound")}
    ready: dict[str, Any] = {
        "name": "Eight on plates",
        "outline": STARTERS["broad-for-plates"],
        "nut": Nut(width=28.6, margin_bass=1.6, margin_treble=1.6, spacing="equal gaps", course_gap=1.6),
        "head": change(LEVEL, angle_deg=14.0),
        "strings": _set(*((name, size, kind, name) for name, (size, kind) in gauges.items() for _ in "ab")),
        "hardware": (FOUR_ON_PLATE,),
        "rows": _rows(FOUR_ON_PLATE, 4, 4, OnPlate(start=34.0, inset=12.0)),
        "scale_length": 352.0,
        "bridge_spread": 40.0,
    }
    return Build(**{**ready, **fields})


def four_friction(**fields: Any) -> Build:
    """Four friction pegs with rear buttons on a rounded paddle."""
    ready: dict[str, Any] = {
        "name": "Four friction pegs",
        "outline": STARTERS["rounded-paddle"],
        "nut": Nut(width=36.0),
        "head": change(LEVEL, angle_deg=12.0, thickness_nut=12.0, thickness_tip=12.0),
        "strings": _set(
            ("A4", 24, "nylon", ""), ("E4", 32, "nylon", ""), ("C4", 36, "nylon", ""), ("G4", 26, "nylon", "")
        ),
        "hardware": (FRICTION,),
        "rows": _rows(FRICTION, 2, 2, AlongEdge(start=30.0, pitch=32.0, inset=11.0)),
        "scale_length": 430.0,
        "bridge_spread": 42.0,
    }
    return Build(**{**ready, **fields})


def bass_two_and_two(**fields: Any) -> Build:
    """A bass with large bores, two a side."""
    ready: dict[str, Any] = {
        "name": "Bass",
        "outline": change(
            STARTERS["straight-taper"], length=205.0, width_low=98.0, width_high=86.0, shoulder=34.0
        ),
        "nut": Nut(width=42.0, margin_bass=4.0, margin_treble=4.0, slot_floor=10.0),
        "head": LEVEL,
        "strings": _set(
            ("G2", 45, "wound", ""),
            ("D2", 65, "wound", ""),
            ("A1", 85, "wound", ""),
            ("E1", 105, "wound", ""),
        ),
        "hardware": (BASS_LARGE,),
        "rows": _rows(BASS_LARGE, 2, 2, AlongEdge(start=45.0, pitch=52.0, inset=19.0)),
        "scale_length": 864.0,
        "bridge_spread": 57.0,
    }
    return Build(**{**ready, **fields})


def twelve_strings(**fields: Any) -> Build:
    """Six courses of two, six posts a side, small tuners."""
    gauges = {"E4": 10, "B3": 14, "G3": 23, "D3": 30, "A2": 39, "E2": 47}
    ready: dict[str, Any] = {
        "name": "Twelve",
        "outline": change(STARTERS["straight-taper"], length=182.0, width_low=76.0, width_high=68.0),
        "nut": Nut(width=47.6, course_gap=1.2),
        "head": change(LEVEL, angle_deg=14.0),
        "strings": _set(
            *(
                (name, size, "wound" if size > 20 else "plain", name)
                for name, size in gauges.items()
                for _ in "ab"
            )
        ),
        "hardware": (ENCLOSED_SMALL,),
        "rows": _rows(ENCLOSED_SMALL, 6, 6, OnLine(start=34.0, pitch=22.5, inset=11.5)),
    }
    return Build(**{**ready, **fields})


def three_strings(**fields: Any) -> Build:
    """A narrow head with one post on the treble side and two on the bass side."""
    ready: dict[str, Any] = {
        "name": "Three strings",
        "outline": STARTERS["narrow"],
        "nut": Nut(width=25.0, margin_bass=4.0, margin_treble=4.0),
        "head": change(LEVEL, angle_deg=12.0),
        "strings": _set(("G4", 10, "plain", ""), ("D4", 14, "plain", ""), ("G3", 24, "wound", "")),
        "hardware": (ENCLOSED_SMALL,),
        "rows": _rows(ENCLOSED_SMALL, 1, 2, AlongEdge(start=36.0, pitch=42.0, inset=11.5)),
        "scale_length": 585.0,
        "bridge_spread": 34.0,
    }
    return Build(**{**ready, **fields})


READY_MADE = (
    three_and_three,
    six_in_line,
    eight_on_plates,
    four_friction,
    bass_two_and_two,
    twelve_strings,
    three_strings,
)


def laden_head() -> Build:
    """A skewed head with a bit of everything: bends, a curve, slanted grain, a guide post, regions, old holes."""
    outline = Nodes(
        nodes=(
            Node(
                key="a",
                at=Point(22.0, 0.0),
                onward=Curve(leave=Point(0, 12) - Point(0, 0), arrive=Point(0, -12) - Point(0, 0)),
            ),
            Node(key="b", at=Point(37.0, 28.0)),
            Node(key="c", at=Point(33.0, 160.0), onward=Bend(bulge=math.tan(math.pi / 10))),
            Node(key="d", at=Point(-36.0, 152.0), onward=Bend(bulge=-0.03)),
            Node(key="e", at=Point(-39.0, 30.0)),
            Node(key="f", at=Point(-22.0, 0.0)),
        )
    )
    treble, bass = _rows(ENCLOSED_SCREW_IN, 3, 3, AlongEdge(start=41.0, pitch=38.0, inset=13.0))
    treble = change(
        treble,
        posts=(
            treble.posts[0],
            change(treble.posts[1], turned_deg=7.0),
            change(treble.posts[2], piece="left"),
        ),
        moved=(Moved(post="t3", along=1.5, inward=-0.7),),
    )
    return three_and_three(
        outline=outline,
        rows=(treble, change(bass, posts=(change(bass.posts[0], flip_wound_side=True), *bass.posts[1:]))),
        head=change(
            LEVEL,
            angle_deg=11.0,
            grain_deg=6.0,
            thickness_tip=12.5,
            edge_back=1.0,
            binding=0.5,
            blank=Blank(left=42.0, right=40.0, length=180.0),
        ),
        retainers=(
            Retainer(key="tree", at=Point(5.0, 30.0), height=6.0, strings=("s2",)),
            Retainer(
                key="guide",
                at=Point(-4.0, 36.0),
                height=6.0,
                strings=("s4",),
                kind="guide post",
                radius=2.0,
                passed_on="bass",
            ),
        ),
        keep_clear=(
            Region(
                key="rod",
                name="rod pocket",
                shape=Polygon(points=(Point(-5, 0), Point(4, 0), Point(3, 25), Point(-5, 25))),
                side="face",
                depth=9.0,
                cover_height=2.0,
            ),
            Region(
                key="inlay",
                name="inlay",
                shape=RoundRegion(centre=Point(6.0, 118.0), radius=8.0),
                side="face",
                depth=2.0,
                cover_height=0.5,
            ),
        ),
        old_holes=(
            OldHole(key="old1", at=Point(25.0, 60.0), diameter=6.0),
            OldHole(key="old2", at=Point(-30.0, 95.0), diameter=2.0, depth=8.0),
        ),
        cutter_diameter=6.0,
    )
