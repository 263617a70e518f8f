"""The shapes of placed tuners: discs, rectangles and small holes, in head millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import numpy as np
import shapely

from tests.oracle.curve import Floats, Json, unit
from tests.oracle.placing import Post, part_of


@dataclass(frozen=True)
class Round:
    """A disc, and what it is called."""

    name: str
    at: Floats
    radius: float


@dataclass(frozen=True)
class Body:
    """A rectangle on the back, what it is called, the posts it belongs to, and whether it may touch its like."""

    name: str
    shape: shapely.Polygon
    posts: tuple[str, ...]
    butts: bool = False


@dataclass(frozen=True)
class Hole:
    """A hole for a screw or a pin: what it is called, how wide and deep, from which side, the posts it belongs to.

    `tip` is how deep the point of the drill comes.
    """

    name: str
    at: Floats
    diameter: float
    depth: float
    tip: float
    posts: tuple[str, ...] = ()
    side: str = "back"


def rectangle(post: Post, box: Json) -> shapely.Polygon:
    """A rectangle of the part on the head."""
    along, out = box.get("shift_along", 0.0), box.get("shift_outward", 0.0)
    half, wide = box["along"] / 2, box["across"] / 2
    corners = [(-half, -wide), (half, -wide), (half, wide), (-half, wide)]
    return shapely.Polygon([post.place(along + a, out + o) for a, o in corners])


def collars(post: Post) -> list[Json]:
    """The washer and the hexagon on the face."""
    return [disc for name in ("washer", "hexagon") if (disc := post.part.get(name))]


def collar_diameter(post: Post) -> float:
    return max((float(disc["diameter"]) for disc in collars(post)), default=0.0)


def collar_height(post: Post) -> float:
    return max((float(disc.get("height", 0.0)) for disc in collars(post)), default=0.0)


def button(post: Post, laid: Plates) -> shapely.Polygon | Round:
    """A side button is a rectangle of its length by its swept diameter about the shaft; a rear one a disc.

    A plate has its buttons where its shafts are.
    """
    said = post.part["button"]
    if plate := laid.get(post.row["key"]):
        number = [each["key"] for each in post.row["posts"]].index(post.key)
        at = plate.place(number * post.part["plate"]["pitch"], 0.0)
        post = replace(post, at=at, along=plate.along, out=plate.out)
    if said["axis"] == "rear":
        return Round(f"button {post.label}", post.at, said["swept_diameter"] / 2)
    box = {
        "along": said["swept_diameter"],
        "across": said["length"],
        "shift_along": said["shaft_offset"],
        "shift_outward": said["shaft_length"] + said["length"] / 2,
    }
    return rectangle(post, box)


# Rows and plates


def rows_of(posts: list[Post]) -> list[list[Post]]:
    """The posts of each row, from the nut to the tip."""
    return [list(row) for _, row in groupby(posts, key=lambda post: post.row["key"])]


def span(row: list[Post]) -> str:
    """What a plate is called: by its first and its last post."""
    return f"{row[0].label} to {row[-1].label}"


def _between(row: list[Post]) -> str:
    return f"{row[0].label} and {row[1].label}" if len(row) == 2 else span(row)


@dataclass(frozen=True)
class Laid:
    """A rigid plate laid on the holes of its row: where its first shaft is, which way it runs, how far it is off."""

    at: Floats
    along: Floats
    out: Floats
    worst: float

    def place(self, along: float, out: float) -> Floats:
        return np.asarray(self.at + along * self.along + out * self.out)


def lay_plate(row: list[Post]) -> Laid:
    """The plate turned and shifted until the farthest of its shafts from its hole is as near as can be.

    For each turn the best shift brings the middle of the smallest circle round all errors to nothing; the turn is
    found on ever finer samples.
    """
    pitch = row[0].part["plate"]["pitch"]
    holes = np.stack([post.at for post in row])
    way = unit(holes[-1] - holes[0]) if len(row) > 1 else row[0].along
    turn, wide = math.atan2(way[1], way[0]), 0.2
    for _ in range(10):
        turns = turn + wide * np.linspace(-1, 1, 21)
        worst = shapely.minimum_bounding_radius([_errors(holes, pitch, turn) for turn in turns])
        turn, wide = float(turns[int(np.argmin(worst))]), wide * 0.15
    errors = _errors(holes, pitch, turn)
    off = float(shapely.minimum_bounding_radius(errors))
    middle = shapely.minimum_bounding_circle(errors).centroid if off > 1e-6 else errors.centroid
    along = np.array([math.cos(turn), math.sin(turn)])
    out = np.array([along[1], -along[0]]) * row[0].sign
    return Laid(np.array([middle.x, middle.y]), along, out, off)


def _errors(holes: Floats, pitch: float, turn: float) -> shapely.MultiPoint:
    """How far each hole is from where a shaft of an unshifted plate would be."""
    steps = np.arange(len(holes))[:, None] * pitch
    return shapely.MultiPoint(holes - steps * np.array([math.cos(turn), math.sin(turn)]))


def plate_shape(row: list[Post], laid: Laid) -> shapely.Polygon:
    """The plate's rectangle from `beyond` its first shaft to `beyond` its last."""
    plate = row[0].part["plate"]
    low, high = -plate["beyond"], (plate["posts"] - 1) * plate["pitch"] + plate["beyond"]
    shift, half = plate.get("shift_outward", 0.0), plate["across"] / 2
    corners = [(low, shift - half), (high, shift - half), (high, shift + half), (low, shift + half)]
    return shapely.Polygon([laid.place(a, o) for a, o in corners])


Plates = dict[str, Laid]
"""The plates that carry rows, by the keys of the rows."""


def plates(posts: list[Post]) -> Plates:
    """All plates, laid on the holes of their rows."""
    return {row[0].row["key"]: lay_plate(row) for row in rows_of(posts) if row[0].part.get("plate")}


def bodies(posts: list[Post], laid: Plates, kind: str) -> list[Body]:
    """The bodies or the seats of all tuners; a plate is one of both for its whole row."""
    found = []
    for row in rows_of(posts):
        if plate := laid.get(row[0].row["key"]):
            shape = plate_shape(row, plate)
            found.append(Body(f"body {span(row)}", shape, tuple(post.key for post in row)))
        for post in row:
            if box := post.part.get(kind):
                butts = post.part.get("butts", False)
                found.append(Body(f"body {post.label}", rectangle(post, box), (post.key,), butts))
    return found


# Small holes


def holes_of(build: Json, posts: list[Post], laid: Plates) -> list[Hole]:
    """The holes of all screws and pins; several of one kind that hold the same tuners are numbered."""
    raw = [
        hole
        for row in rows_of(posts)
        for hole in _holes_of_row(row, part_of(build, row[0].row), laid.get(row[0].row["key"]))
    ]
    names = [f"{kind} {tuners}" for kind, tuners, *_ in raw]
    of_tuners = [
        Hole(
            name if names.count(name) == 1 else f"{name} no. {names[: n + 1].count(name)}",
            at,
            said["diameter"],
            said["length"] if kind == "screw" else said["depth"],
            _tip(kind, said),
            keys,
        )
        for n, (name, (kind, _, said, at, keys)) in enumerate(zip(names, raw, strict=True))
    ]
    return of_tuners + _of_trees(build)


TREE_SCREW = {"diameter": 2.2, "root": 1.5, "depth": 9.0}
"""The screw of a tree, from the face, where the build does not say."""


def _of_trees(build: Json) -> list[Hole]:
    found = []
    for tree in build.get("retainers", []):
        usual = TREE_SCREW if tree.get("kind", "tree") == "tree" else None
        if screw := tree.get("screw", usual):
            sizes = TREE_SCREW | screw
            tip = sizes["depth"] + 0.3 * PILOT_SHARE * sizes["root"]
            name = f"screw of retainer {tree['key']}"
            place = np.array(tree["at"], float)
            found.append(Hole(name, place, sizes["diameter"], sizes["depth"], tip, side="face"))
    return found


PILOT_SHARE = 0.9
"""The widest pilot that any wood wants, as a share of the screw's root."""


def _tip(kind: str, said: Json) -> float:
    """A 118 degree point reaches 0.3 of the drill's diameter beyond the depth."""
    if kind == "screw":
        return float(said["length"] + 0.3 * PILOT_SHARE * said["root"])
    return float(said["depth"] + 0.3 * said["diameter"])


RawHole = tuple[str, str, Json, Floats, tuple[str, ...]]


def _holes_of_row(row: list[Post], part: Json, laid: Laid | None) -> list[RawHole]:
    found: list[RawHole] = []
    screws = part.get("screws", [])
    for post in row:
        for kind, said in [("screw", screw) for screw in screws] + [
            ("pin", pin) for pin in part.get("pins", [])
        ]:
            if not said.get("shared", False):
                place = post.place(said["along"], said["outward"])
                found.append((kind, post.label, said, place, (post.key,)))
    found += _shared(row, [screw for screw in screws if screw.get("shared", False)])
    if laid:
        keys = tuple(post.key for post in row)
        for screw in part["plate"].get("screws", []):
            found.append(("screw", _between(row), screw, laid.place(screw["along"], screw["outward"]), keys))
    return found


def _shared(row: list[Post], screws: list[Json]) -> list[RawHole]:
    """Shared screws half-way between neighbours; those beyond the first and last tuner stand by themselves."""
    found: list[RawHole] = []
    for screw in screws:
        beyond = row[-1] if screw["along"] > 0 else row[0]
        found.append(
            ("screw", beyond.label, screw, beyond.place(screw["along"], screw["outward"]), (beyond.key,))
        )
    for one, two in pairwise(row):
        for screw in screws:
            if screw["along"] > 0:
                out = screw["outward"] * (one.out + two.out) / 2
                place = (one.at + two.at) / 2 + out
                found.append(("screw", f"{one.label} and {two.label}", screw, place, (one.key, two.key)))
    return found
