"""Builds of any kind that a file can hold, for laws that must hold for all of them."""

from __future__ import annotations

from typing import Any, Literal, get_args

from hypothesis import strategies as st
from msgspec import UNSET, UnsetType
from msgspec.structs import replace

from geometry.document.build import (
    AlongEdge,
    Blank,
    Build,
    FaceScrew,
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
    StraightPull,
    String,
)
from geometry.document.fields import STEERING
from geometry.document.outline import Bend, Curve, Node, Nodes, Starter, Straight
from geometry.document.starters import STARTERS
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import Bushing, Disc, Hardware, Screw, Tried
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.limits import RULE_NAMES, ChangedLimit, LevelName
from geometry.trade.measured import measures, with_measured
from geometry.trade.string_sets import StringKind

SIDES: tuple[SideName, ...] = ("bass", "treble")
SIZES = st.floats(0.1, 2000.0)
DISTANCES = st.floats(0.0, 2000.0)
OFFSETS = st.floats(-2000.0, 2000.0)
DEGREES = st.floats(-180.0, 180.0)
NAMES = st.text(max_size=12).map(lambda name: STEERING.sub(" ", name))
BOOLEANS = st.booleans()
POINTS = st.builds(Point, OFFSETS, OFFSETS)
VECTORS = st.builds(Vector, OFFSETS, OFFSETS)
RUNS = st.one_of(
    st.just(Straight()),
    st.builds(Bend, bulge=st.floats(-20.0, 20.0)),
    st.builds(Curve, leave=VECTORS, arrive=VECTORS),
)
RULES = st.one_of(
    st.builds(AlongEdge, start=SIZES, pitch=SIZES, inset=SIZES),
    st.builds(OnLine, start=SIZES, pitch=SIZES, inset=SIZES, inset_last=st.none() | SIZES),
    st.builds(StraightPull, start=SIZES, pitch=SIZES, exact=BOOLEANS),
    st.builds(OnPlate, start=SIZES, inset=SIZES, inset_last=st.none() | SIZES),
)


def keys(letter: str, most: int, least: int = 0) -> st.SearchStrategy[list[str]]:
    """Different keys that begin with a letter."""
    numbers = st.lists(st.integers(1, 999), min_size=least, max_size=most, unique=True)
    return numbers.map(lambda drawn: [f"{letter}{number}" for number in drawn])


@st.composite
def odd_starters(draw: st.DrawFn) -> Starter:
    """Starters with any measures that a file may hold, most of which make no head."""
    size, distance = st.floats(0.1, 750.0), st.floats(0.0, 750.0)
    return Starter(
        shape=draw(st.sampled_from(sorted(STARTERS))),
        length=draw(size),
        width_low=draw(size),
        width_high=draw(size),
        shoulder=draw(size),
        tip_rise=draw(distance),
        corner=draw(distance),
        waist=draw(distance),
        lean_deg=draw(st.floats(0.0, 45.0)),
    )


@st.composite
def sensible_starters(draw: st.DrawFn) -> tuple[Starter, float]:
    """Starters that a maker could want, and a nut width that goes with them; corners fit."""
    shape = draw(st.sampled_from(sorted(STARTERS)))
    low = draw(st.floats(36.0, 100.0))
    high = low * draw(st.floats(0.6, 1.0))
    shoulder = draw(st.floats(14.0, 36.0))
    starter = Starter(
        shape=shape,
        length=draw(st.floats(100.0, 220.0)),
        width_low=low,
        width_high=high,
        shoulder=shoulder,
        tip_rise=draw(st.floats(0.5, 0.25 * high)),
        corner=draw(st.floats(1.0, 0.15 * high)),
        waist=draw(st.floats(1.0, 6.0)) if shape == "waisted" else 0.0,
        lean_deg=draw(st.floats(5.0, 18.0)) if shape == "one-sided" else 0.0,
    )
    return starter, low * draw(st.floats(0.4, 0.85))


@st.composite
def free_outlines(draw: st.DrawFn) -> Nodes:
    """Nodes anywhere, with runs of every kind."""
    share = st.floats(0.0, 1.0)
    names = draw(keys("n", 6))
    return Nodes(
        nodes=tuple(
            Node(key=key, at=draw(POINTS), onward=draw(RUNS), follows_nut=draw(share)) for key in names
        )
    )


BUSHINGS = st.builds(
    Bushing,
    kind=st.sampled_from(("press-in", "screw-in")),
    root=SIZES,
    crest=SIZES,
    tried=st.none() | st.builds(Tried, wood=NAMES, bore=SIZES),
)


@st.composite
def hardware_called(draw: st.DrawFn, key: str) -> Hardware:
    """A tuner of the library under another key, with some measures changed."""
    changes: dict[str, Any] = {
        "name": draw(NAMES),
        "post_diameter": draw(SIZES),
        "bushing_bore": draw(st.just(UNSET) | SIZES),
        "washer": draw(st.none() | st.builds(Disc, diameter=SIZES, height=DISTANCES)),
        "butts": draw(BOOLEANS),
        "most_string": draw(st.none() | SIZES),
        "bushing": draw(st.none() | BUSHINGS),
    }
    if draw(BOOLEANS):
        screw = st.builds(
            Screw, along=OFFSETS, outward=OFFSETS, diameter=SIZES, root=SIZES, length=SIZES, shared=BOOLEANS
        )
        changes["screws"] = tuple(draw(st.lists(screw, max_size=3)))
    tuner = replace(draw(st.sampled_from(LIBRARY)), key=key, **changes)
    return with_measured(tuner, draw(st.sets(st.sampled_from(sorted(measures(tuner))), max_size=3)))


@st.composite
def _rows(draw: st.DrawFn, hardware: list[str], strings: list[str], least: int) -> tuple[Row, ...]:
    left = list(strings)
    rows = []
    for key in draw(keys("r", 2, least)) if hardware else []:
        count = draw(st.integers(least, 4))
        posts = tuple(_post(draw, f"{key}p{number}", left) for number in range(count))
        moved = [post.key for post in posts if draw(BOOLEANS)]
        rows.append(
            Row(
                key=key,
                side=draw(st.sampled_from(SIDES)),
                hardware=draw(st.sampled_from(hardware)),
                rule=draw(RULES),
                posts=posts,
                moved=tuple(Moved(post=post, along=draw(OFFSETS), inward=draw(OFFSETS)) for post in moved),
            )
        )
    return tuple(rows)


def _post(draw: st.DrawFn, key: str, left: list[str]) -> Post:
    """A post with a string by rule, none, or one of those that no post carries yet."""
    string = draw(st.sampled_from([UNSET, None, *left]))
    if isinstance(string, str):
        left.remove(string)
    return Post(
        key=key,
        string=string,
        turns=draw(st.just(UNSET) | st.floats(0.0, 20.0)),
        flip_wound_side=draw(BOOLEANS),
        turned_deg=draw(DEGREES),
        piece=draw(st.sampled_from((UNSET, "left", "right"))),
        drilled=draw(BOOLEANS),
    )


@st.composite
def _retainers(draw: st.DrawFn, strings: list[str]) -> tuple[Retainer, ...]:
    held = st.lists(st.sampled_from(strings), unique=True, max_size=3) if strings else st.just([])
    return tuple(
        Retainer(
            key=key,
            at=draw(POINTS),
            height=draw(OFFSETS),
            strings=tuple(draw(held)),
            kind=draw(st.sampled_from(("tree", "guide post"))),
            radius=draw(DISTANCES),
            passed_on=draw(st.sampled_from(SIDES)),
            half_width=draw(DISTANCES),
            screw=draw(st.sampled_from((UNSET, None, FaceScrew(depth=7.5)))),
        )
        for key in draw(keys("g", 2))
    )


@st.composite
def _surroundings(draw: st.DrawFn) -> dict[str, Any]:
    """Regions, old holes and changed limits, as fields of a build."""
    shapes = st.one_of(
        st.builds(RoundRegion, centre=POINTS, radius=SIZES),
        st.builds(Polygon, points=st.lists(POINTS, min_size=3, max_size=5).map(tuple)),
    )
    side: st.SearchStrategy[Literal["face", "back", "through"]] = st.sampled_from(("face", "back", "through"))
    regions = tuple(
        Region(key=key, name=draw(NAMES), shape=draw(shapes), side=draw(side), depth=draw(DISTANCES))
        for key in draw(keys("k", 2))
    )
    holes = tuple(
        OldHole(key=key, at=draw(POINTS), diameter=draw(SIZES), depth=draw(st.none() | SIZES))
        for key in draw(keys("o", 2))
    )
    level: st.SearchStrategy[LevelName] = st.sampled_from(("watch", "stop"))
    pair = st.tuples(st.sampled_from(sorted(RULE_NAMES)), level)
    limits = tuple(
        ChangedLimit(rule=rule, level=which, least=draw(OFFSETS), of_bore=draw(st.floats(0.0, 3.0)))
        for rule, which in draw(st.lists(pair, unique=True, max_size=2))
    )
    return {"keep_clear": regions, "old_holes": holes, "limits": limits}


HEADS = st.builds(
    Head,
    thickness_nut=SIZES,
    angle_deg=st.floats(0.0, 60.0),
    edge_back=DISTANCES,
    grain_deg=DEGREES,
    wood=NAMES,
    blank=st.none() | st.builds(Blank, left=SIZES, right=SIZES, length=SIZES),
    joint=st.sampled_from(("one piece", "scarf")),
    volute_height=DISTANCES,
    volute_length=DISTANCES,
    finish_build_up=st.floats(0.0, 1.0),
)
NUTS = st.builds(
    Nut,
    width=SIZES,
    spacing=st.sampled_from(("equal centres", "equal gaps")),
    margin_bass=DISTANCES,
    margin_to=st.sampled_from((UNSET, "centre", "edge")),
    slot_floor=OFFSETS,
    slot_allowance=DISTANCES,
    proud_plain=st.floats(0.0, 1.0),
    action_bass=DISTANCES,
    blank_height=st.just(UNSET) | SIZES,
)


@st.composite
def builds(draw: st.DrawFn, least: int = 0) -> Build:
    """Any build that a file may hold: whole, half-drawn or absurd; at least so many strings, rows and posts."""
    kinds: st.SearchStrategy[StringKind] = st.sampled_from(get_args(StringKind))
    pitches: st.SearchStrategy[str | UnsetType] = st.sampled_from((UNSET, "E4", "F#3", "Bb0"))
    string_keys, hardware_keys = draw(keys("s", 4, least)), draw(keys("h", 2, least))
    return Build(
        name=draw(NAMES),
        outline=draw(free_outlines() | odd_starters()),
        nut=draw(NUTS),
        head=draw(HEADS),
        hand=draw(st.sampled_from(("right", "left"))),
        strings=tuple(
            String(
                key=key,
                name=draw(NAMES),
                diameter=draw(st.floats(0.1, 10.0)),
                kind=draw(kinds),
                course=draw(NAMES),
                pitch=draw(pitches),
                unit_weight=draw(st.just(UNSET) | st.floats(0.001, 1000.0)),
                tension=draw(st.just(UNSET) | st.floats(0.1, 10_000.0)),
            )
            for key in string_keys
        ),
        hardware=tuple(draw(hardware_called(key)) for key in hardware_keys),
        rows=draw(_rows(hardware_keys, string_keys, least)),
        retainers=draw(_retainers(string_keys)),
        scale_length=draw(st.floats(50.0, 2000.0)),
        notes=draw(NAMES),
        **draw(_surroundings()),
    )
