"""Where the rows of a build put their posts, and how each tuner stands: by sampling, never by closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tests.oracle.curve import Floats, Json, turned_left, unit
from tests.oracle.edge import Edge
from tests.oracle.nut import labels, sign_of, slots, strings_of_posts


class NoPlaceError(Exception):
    """A row that has no place on this head."""


@dataclass(frozen=True)
class Post:
    """A tuner in its place: `along` its row to the tip, `out` to its button, both of length 1.

    `flip` is -1 for a piece of the wrong hand, which is mirrored along the row.
    """

    key: str
    label: str
    row: Json
    said: Json
    part: Json
    sign: int
    at: Floats
    along: Floats
    out: Floats
    string: Json | None
    flip: int

    def place(self, along: float, out: float) -> Floats:
        """A place of the part on the head."""
        return np.asarray(self.at + along * self.flip * self.along + out * self.out)

    @property
    def bore(self) -> float:
        """D, the largest diameter at any depth."""
        counterbore = self.part["bore"].get("counterbore")
        through = float(self.part["bore"]["through"])
        return max(through, float(counterbore["diameter"])) if counterbore else through


def posts_of(build: Json, edge: Edge) -> list[Post]:
    """All posts in their places, row by row; those of a row that has no place are left out."""
    numbers, strings = labels(build), strings_of_posts(build)
    by_key = {string["key"]: string for string in build.get("strings", [])}
    spare = (f"spare {letter}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    placed = []
    for row in build["rows"]:
        said_strings = [by_key[key] if (key := strings[post["key"]]) else None for post in row["posts"]]
        part = part_of(build, row)
        try:
            frames = _frames(build, edge, row, said_strings)
        except NoPlaceError:
            continue
        for post, string, (at, along, out) in zip(row["posts"], said_strings, frames, strict=True):
            sign = sign_of(build, row["side"])
            placed.append(
                Post(
                    key=post["key"],
                    label=numbers[string["key"]] if string else next(spare),
                    row=row,
                    said=post,
                    part=part,
                    sign=sign,
                    at=at,
                    along=along,
                    out=out,
                    string=string,
                    flip=_flip(post, part, sign),
                )
            )
    return placed


def _flip(post: Json, part: Json, sign: int) -> int:
    """Left pieces fit negative x; without an offset of the shaft there are no left and right ones."""
    fitting = "left" if sign < 0 else "right"
    handed = part["button"].get("shaft_offset", 0.0) != 0
    return -1 if handed and post.get("piece", fitting) != fitting else 1


def part_of(build: Json, row: Json) -> Json:
    """The hardware of a row."""
    return next(part for part in build["hardware"] if part["key"] == row["hardware"])


Frame = tuple[Floats, Floats, Floats]


def _frames(build: Json, edge: Edge, row: Json, strings: list[Json | None]) -> list[Frame]:
    """Each post by its rule, moved by hand, its shaft square to the row's line or to the edge where it is."""
    sign = sign_of(build, row["side"])
    ruled = _ruled(build, edge, row, strings, sign)
    line = _line(build, edge, row, ruled, strings[0])
    moved = {each["post"]: each for each in row.get("moved", [])}
    frames = []
    for post, at in zip(row["posts"], ruled, strict=True):
        if by_hand := moved.get(post["key"]):
            along, out = _frame(edge, at, line, sign)
            at = at + by_hand["along"] * along - by_hand["inward"] * out
        along, out = _frame(edge, at, line, sign)
        turn = math.radians(post.get("turned_deg", 0.0))
        frames.append((at, _turned(along, turn), _turned(out, turn)))
    return frames


def _line(build: Json, edge: Edge, row: Json, ruled: list[Floats], string: Json | None) -> Floats | None:
    """The direction of a row that has one: that of its string for a single straight pull.

    A single post on a line lies along the edge where its rule puts it, and keeps to that when it is moved.
    """
    rule = row["rule"]["rule"]
    if rule == "along the edge":
        return None
    if len(ruled) > 1:
        return unit(ruled[-1] - ruled[0])
    if rule == "straight pull" and string:
        return run_over_nut(build, slots(build)[string["key"]])
    return edge.way_out(ruled[0], sign_of(build, row["side"]))[0]


def _frame(edge: Edge, at: Floats, line: Floats | None, sign: int) -> tuple[Floats, Floats]:
    if line is None:
        return edge.way_out(at, sign)
    return line, np.array([line[1], -line[0]]) * sign


def _turned(way: Floats, angle: float) -> Floats:
    return np.asarray(math.cos(angle) * way + math.sin(angle) * turned_left(way))


def _ruled(build: Json, edge: Edge, row: Json, strings: list[Json | None], sign: int) -> list[Floats]:
    rule, count = row["rule"], len(row["posts"])
    if rule["rule"] == "straight pull":
        return _pulled(build, row, strings, sign)
    places = [_at_height(edge, rule["start"], rule["inset"], sign)]
    if rule["rule"] == "along the edge":
        for _ in range(count - 1):
            places.append(_at_pitch(edge, places[-1], rule["pitch"], rule["inset"], sign))
        return places
    if count == 1:
        return places
    pitch = rule["pitch"] if rule["rule"] == "on a line" else part_of(build, row)["plate"]["pitch"]
    inset_last = rule["inset"] if rule.get("inset_last") is None else rule["inset_last"]
    last = _at_pitch(edge, places[0], pitch * (count - 1), inset_last, sign)
    return [places[0] + (last - places[0]) * n / (count - 1) for n in range(count)]


def _at_height(edge: Edge, y: float, inset: float, sign: int) -> Floats:
    """The place at height y where, coming in over the side, the edge first is `inset` away."""
    reach = float(abs(edge.points[:, 0]).max()) + 1.0

    def place(share: Floats) -> Floats:
        return np.stack([sign * reach * (1 - 2 * share), np.full_like(share, y)], axis=1)

    return _first_inside(edge, inset, place)


def _at_pitch(edge: Edge, previous: Floats, pitch: float, inset: float, sign: int) -> Floats:
    """The place `pitch` from the previous one where, swung in over side and tip, the edge first is `inset` away."""

    def place(share: Floats) -> Floats:
        angle = math.pi * share
        return np.asarray(previous + pitch * np.stack([sign * np.cos(angle), np.sin(angle)], axis=1))

    return _first_inside(edge, inset, place)


def _first_inside(edge: Edge, inset: float, place: Callable[[Floats], Floats]) -> Floats:
    """The first place of a way where the edge comes to be `inset` away over wood: among samples, then finer ones."""
    low, high = 0.0, 1.0
    for count in (641, 33, 33, 33):
        shares = np.linspace(low, high, count)
        deep = edge.distances(place(shares)) >= inset
        entered = np.flatnonzero(deep[1:] & ~deep[:-1])
        if not len(entered) and count > 33:
            shares = np.linspace(low, high, 4001)
            deep = edge.distances(place(shares)) >= inset
            entered = np.flatnonzero(deep[1:] & ~deep[:-1])
        if not len(entered):
            raise NoPlaceError
        low, high = float(shares[entered[0]]), float(shares[entered[0] + 1])
    return np.asarray(place(np.array([high]))[0])


# Straight pull


def _pulled(build: Json, row: Json, strings: list[Json | None], sign: int) -> list[Floats]:
    pulls = [
        _pull(build, row, post, string, sign) for post, string in zip(row["posts"], strings, strict=True)
    ]
    if any(pull is None for pull in pulls):
        raise NoPlaceError
    known, rule = [pull for pull in pulls if pull is not None], row["rule"]
    return _exact(rule, known) if rule.get("exact", False) or len(known) == 1 else _least_splay(rule, known)


@dataclass(frozen=True)
class Pull:
    """A string's slot, its direction over the nut in plan, and how far to its right the post's middle lies."""

    slot: Floats
    way: Floats
    beside: float

    def at_height(self, y: float) -> Floats:
        """The place of a post at height y that its string reaches without turning."""
        start = self.slot + self.beside * np.array([self.way[1], -self.way[0]])
        return np.asarray(start + self.way * (y - start[1]) / self.way[1])


def run_over_nut(build: Json, slot: float) -> Floats:
    """Direction in plan of a string from the bridge to the nut, as the face of the head shows it."""
    places = slots(build).values()
    spread = max(places) - min(places)
    at_bridge = slot / spread * build.get("bridge_spread", 52.0) if spread > 0 else slot
    tilt = math.radians(build.get("head", {}).get("angle_deg", 0.0))
    return unit(np.array([slot - at_bridge, build.get("scale_length", 650.0) * math.cos(tilt)]))


def _pull(build: Json, row: Json, post: Json, string: Json | None, sign: int) -> Pull | None:
    """A post by rule has its buttons on its own side, so its string passes on the inner one unless flipped."""
    if string is None:
        return None
    slot = slots(build)[string["key"]]
    reach = part_of(build, row)["post_diameter"] / 2 + string["diameter"] / 2
    inner = -1 if post.get("flip_wound_side", False) else 1
    return Pull(np.array([slot, 0.0]), run_over_nut(build, slot), reach * sign * inner)


def _exact(rule: Json, pulls: list[Pull]) -> list[Floats]:
    """Each post on its own string's line, a straight pitch from the one before."""
    places = [pulls[0].at_height(rule["start"])]
    for pull in pulls[1:]:
        on_line = pull.at_height(places[-1][1])
        low = max(float((places[-1] - on_line) @ pull.way), 0.0)
        high = low + rule["pitch"]
        if np.linalg.norm(on_line + low * pull.way - places[-1]) > rule["pitch"]:
            raise NoPlaceError
        for _ in range(60):
            middle = (low + high) / 2
            near = np.linalg.norm(on_line + middle * pull.way - places[-1]) < rule["pitch"]
            low, high = (middle, high) if near else (low, middle)
        places.append(on_line + low * pull.way)
    return places


def _least_splay(rule: Json, pulls: list[Pull]) -> list[Floats]:
    """The line whose largest splay is least: its lean on a grid, made finer and finer, and the best x for each lean.

    No row leans by more than 85 degrees: what is nearly across the head would be no row along its strings.
    """
    start, pitch = rule["start"], rule["pitch"]
    lean, wide = 0.0, math.radians(85.0)
    for _ in range(9):
        leans = lean + wide * np.linspace(-1, 1, 81)
        x, worst = _best_x(pulls, start, pitch, leans)
        best = int(np.argmin(worst))
        lean, wide = float(leans[best]), wide / 20
    way = np.array([math.sin(lean), math.cos(lean)])
    return [np.array([x[best], start]) + n * pitch * way for n in range(len(pulls))]


def _best_x(pulls: list[Pull], start: float, pitch: float, leans: Floats) -> tuple[Floats, Floats]:
    """For each lean the x of the first post where the largest turns to the two sides are alike, and that turn.

    All turns grow with x to the left (or the right), so it is halved.
    """
    low, high = np.full_like(leans, -300.0), np.full_like(leans, 300.0)
    aside, up = np.sin(leans), np.cos(leans)
    for _ in range(45):
        x = (low + high) / 2
        places = [(x + n * pitch * aside, start + n * pitch * up) for n in range(len(pulls))]
        turns = np.stack([_splay(pull, *place) for pull, place in zip(pulls, places, strict=True)])
        to_the_left = turns.max(axis=0) + turns.min(axis=0) > 0
        low, high = np.where(to_the_left, x, low), np.where(to_the_left, high, x)
    return x, abs(turns).max(axis=0)


def _splay(pull: Pull, x: Floats, y: Floats) -> Floats:
    """Angles by which the string turns at the nut to touch posts at these places."""
    to_x, to_y = x - pull.slot[0], y - pull.slot[1]
    distance = np.hypot(to_x, to_y)
    # The way to the tangent is turned from the way to the middle by asin(reach / distance).
    towards = np.arctan2(to_y, to_x) + np.arcsin(np.clip(pull.beside / distance, -1, 1))
    return np.asarray(towards - math.atan2(pull.way[1], pull.way[0]))
