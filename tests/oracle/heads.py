"""Heads made at random as JSON, one for each number: what makers draw, and things that go wrong while drawing."""

from __future__ import annotations

from random import Random
from typing import Any

import numpy as np

from tests.oracle.curve import Json
from tests.oracle.edge import edge_of
from tests.oracle.outlines import outline
from tests.oracle.placing import Post, posts_of
from tests.oracle.tuners import tuner


def head(seed: int) -> Json:
    """The head with this number; the same number always gives the same head.

    Every other one is drawn with care: wide enough, its tuners apart, its tuners made for its thickness.
    """
    draw, care = Random(seed), seed % 2 == 0
    count = draw.randint(2, 12)
    one_sided = count <= 7 and draw.random() < 0.3
    first = (
        count if one_sided else draw.choice([count // 2, (count + 1) // 2, min(count - 1, count // 2 + 1)])
    )
    counts = [("bass", first)] + ([] if first == count else [("treble", count - first)])
    kinds = ["enclosed", "enclosed", "open", "split", "rear"] + ["plate"] * (min(n for _, n in counts) > 1)
    kind = draw.choice(kinds)
    hardware = [tuner(draw, f"part{n}", kind, posts) for n, (_, posts) in enumerate(counts)]
    if len(hardware) > 1 and (counts[0][1] == counts[1][1] or kind != "plate"):
        hardware = hardware[: draw.choice([1, 1, 2])]
    parts = [hardware[min(n, len(hardware) - 1)] for n in range(len(counts))]
    rows = [
        _row(draw, side, posts, part, care=care) for (side, posts), part in zip(counts, parts, strict=True)
    ]
    reach = max(row["rule"]["start"] + _pitch(row, hardware) * (len(row["posts"]) - 1) for row in rows)
    nut = _nut(draw, count)
    build = {
        "pegwright": 1,
        "name": f"head {seed}",
        "outline": outline(
            draw, nut["width"], reach + draw.uniform(14.0, 34.0), one_sided=one_sided, care=care
        ),
        "nut": nut,
        "head": _wood(draw, nut["width"]),
        "hand": draw.choice(["right", "right", "left"]),
        "strings": _strings(draw, count),
        "hardware": hardware,
        "rows": rows,
        "scale_length": draw.choice([345.0, 430.0, 630.0, 648.0, 864.0]),
        "bridge_spread": round(nut["width"] * draw.uniform(1.1, 1.5), 1),
        "cutter_diameter": draw.choice([0.0, 0.0, 6.35]),
    }
    if seed % 3 == 0:
        for part in hardware:
            part["most_string"] = 1.0
    if care:
        _suit(draw, build)
    return build | _around(draw, build, care=care)


def _pitch(row: Json, hardware: list[Json]) -> float:
    part = next(part for part in hardware if part["key"] == row["hardware"])
    return float(row["rule"].get("pitch") or part["plate"]["pitch"])


def _suit(draw: Random, build: Json) -> None:
    """Wood of a thickness that the tuners are made for, strings that clear their washers, rows that begin beyond."""
    wood, thick = build["head"], round(draw.uniform(13.0, 16.0), 1)
    taper = min(wood["thickness_nut"] - wood["thickness_tip"], 1.0)
    wood |= {"thickness_nut": thick, "thickness_tip": round(thick - taper, 2), "back_flat_from": 8.0}
    wood.pop("blank", None)
    for part in build["hardware"]:
        part |= {"thickness_least": 10.0, "thickness_most": 18.0}
        if part["button"]["axis"] == "side":
            part["hole_height"] = round(thick + draw.uniform(6.0, 8.0), 1)
        for screw in [*part.get("screws", []), *(part.get("plate") or {}).get("screws", [])]:
            screw["length"] = min(screw["length"], 10.0)


# Nut, strings, wood


def _nut(draw: Random, count: int) -> Json:
    spacing = draw.choice(["equal centres", "equal gaps"])
    said: Json = {
        "width": round(draw.uniform(20.0, 26.0) + 3.2 * count, 1),
        "spacing": spacing,
        "margin_bass": round(draw.uniform(2.0, 4.5), 2),
        "margin_treble": round(draw.uniform(2.0, 4.5), 2),
        "course_gap": round(draw.uniform(1.0, 2.4), 2),
        "slot_floor": round(draw.uniform(5.5, 10.0), 2),
    }
    return said | draw.choice([{}, {"margin_to": "centre"}, {"margin_to": "edge"}])


def _strings(draw: Random, count: int) -> list[Json]:
    """From thin to thick, or with thin ones among them; in pairs now and then."""
    pairs = count % 2 == 0 and draw.random() < 0.35
    strings = []
    for n in range(count):
        thick = round(draw.uniform(0.2, 0.3) + 0.9 * (n // 2 * 2 if pairs else n) / count, 3)
        if draw.random() < 0.1:
            thick = round(draw.uniform(0.2, 2.4), 3)
        string: Json = {"key": f"s{n + 1}", "name": f"s{n + 1}", "diameter": thick}
        string["kind"] = draw.choice(["plain", "nylon"]) if thick < 0.55 else "wound"
        strings.append(string | ({"course": f"c{n // 2}"} if pairs else {}))
    return strings


def _wood(draw: Random, width: float) -> Json:
    thick = round(draw.uniform(11.5, 18.0), 2)
    said: Json = {
        "thickness_nut": thick,
        "thickness_tip": round(thick - draw.choice([0.0, 0.0, draw.uniform(-2.0, 3.0)]), 2),
        "angle_deg": draw.choice([0.0, round(draw.uniform(5.0, 18.0), 1)]),
        "back_flat_from": round(draw.uniform(5.0, 26.0), 1),
        "grain_deg": draw.choice([0.0, 0.0, round(draw.uniform(-20.0, 20.0), 1)]),
    }
    if draw.random() < 0.3:
        said |= {"edge_face": round(draw.uniform(0.0, 2.0), 1), "edge_back": round(draw.uniform(0.0, 3.0), 1)}
    if draw.random() < 0.2:
        said["binding"] = round(draw.uniform(1.0, 2.5), 1)
    if draw.random() < 0.2:
        said |= {"volute_height": 3.0, "volute_length": round(draw.uniform(20.0, 44.0), 1)}
    if draw.random() < 0.2:
        half = width / 2 + round(draw.uniform(5.0, 40.0), 1)
        said["blank"] = {"left": half, "right": half + 2.0, "length": round(draw.uniform(120.0, 240.0), 1)}
    return said


# Rows


def _row(draw: Random, side: str, count: int, part: Json, *, care: bool) -> Json:
    posts = [_post(draw, f"{side}-{n + 1}", part, care=care) for n in range(count)]
    far = 0.4 if care else 1.5
    moved = [
        {
            "post": post["key"],
            "along": round(draw.gauss(0, far), 2),
            "inward": round(draw.gauss(0, 0.7 * far), 2),
        }
        for post in posts
        if draw.random() < 0.15
    ]
    extra = {"moved": moved} if moved else {}
    return {
        "key": side,
        "side": side,
        "hardware": part["key"],
        "rule": _rule(draw, part, care=care),
        "posts": posts,
    } | extra


def _rule(draw: Random, part: Json, *, care: bool) -> Json:
    start, inset = round(draw.uniform(24.0, 46.0), 1), round(draw.uniform(9.5, 15.0), 2)
    later = draw.choice([None, round(inset + draw.uniform(-2.0, 3.0), 2)])
    if part.get("plate"):
        return {"rule": "on a plate", "start": start, "inset": inset, "inset_last": later}
    body = (part.get("body") or {}).get("along", 18.0)
    broad = max(body, part["button"]["swept_diameter"] + 1.0) if care else body
    pitch = round(broad + draw.uniform(1.0 if care else -0.5, 8.0), 1)
    if part.get("butts"):
        return {"rule": "on a line", "start": start, "pitch": pitch, "inset": inset, "inset_last": later}
    name = draw.choice(["along the edge"] * 3 + ["on a line"] * 2 + ["straight pull"])
    rule: Json = {"rule": name, "start": start, "pitch": pitch}
    if name == "straight pull":
        return rule | {"exact": draw.random() < 0.4}
    return rule | {"inset": inset} | ({"inset_last": later} if name == "on a line" else {})


def _post(draw: Random, key: str, part: Json, *, care: bool) -> Json:
    post: Json = {"key": key}
    if draw.random() < (0.01 if care else 0.08):
        post["flip_wound_side"] = True
    single = not part.get("plate") and not part.get("butts")
    if draw.random() < 0.08 and single:
        post["turned_deg"] = round(draw.uniform(-25.0, 25.0) * (0.2 if care else 1.0), 1)
    if draw.random() < 0.06 and single:
        post["piece"] = draw.choice(["left", "right"])
    if draw.random() < 0.2 and not care:
        post["turns"] = float(draw.randint(1, 6))
    if draw.random() < 0.1:
        post["drilled"] = True
    return post


# What is round about


def _around(draw: Random, build: Json, *, care: bool) -> Json:
    """Bare posts, retainers, regions, old holes and changed limits."""
    around: Json = {}
    if draw.random() < 0.2:
        _bare(draw, build, shuffled=not care)
    retained, drilled_before = draw.random() < 0.3, draw.random() < (0.1 if care else 0.3)
    posts = posts_of(build, edge_of(build)) if retained or drilled_before else []
    if retained and posts:
        around["retainers"] = _retainers(draw, build, posts)
    if drilled_before and posts:
        around["old_holes"] = [_old(draw, n, posts) for n in range(draw.randint(1, 3))]
    if draw.random() < 0.4:
        around["keep_clear"] = [_region(draw, n) for n in range(draw.randint(1, 2))]
    if draw.random() < 0.2:
        around["limits"] = _limits(draw)
    return around


def _bare(draw: Random, build: Json, *, shuffled: bool) -> None:
    """A post loses its string, and the head that string; or two posts change theirs."""
    row = draw.choice(build["rows"])
    if draw.random() < 0.7 and len(build["strings"]) > 2:
        draw.choice(row["posts"])["string"] = None
        build["strings"].pop(draw.randrange(len(build["strings"])))
    elif shuffled and len(row["posts"]) > 1:
        keys = [string["key"] for string in build["strings"]]
        taken = keys[: len(row["posts"])] if row["side"] == "treble" else keys[-len(row["posts"]) :]
        draw.shuffle(taken)
        for post, key in zip(row["posts"], taken, strict=True):
            post["string"] = key


def _retainers(draw: Random, build: Json, posts: list[Post]) -> list[Json]:
    """A tree or a guide post before the nearest post, for strings whose ways are about there."""
    y = round(min(post.at[1] for post in posts) * draw.uniform(0.4, 0.7), 1)
    held = [post for post in posts if post.string and post.at[1] > y + 10.0]
    if not held:
        return []
    chosen = draw.sample(held, min(len(held), draw.randint(1, 3)))
    middle = float(np.mean([post.at[0] for post in chosen])) * 0.5
    said: Json = {
        "key": "retainer",
        "at": [round(middle + draw.uniform(-3.0, 3.0), 2), y],
        "height": round(draw.uniform(1.5, 6.0), 2),
        "strings": [post.string["key"] for post in chosen if post.string],
    }
    if draw.random() < 0.4:
        return [said | {"kind": "guide post", "radius": 1.5, "passed_on": draw.choice(["bass", "treble"])}]
    screw = {"diameter": 2.6, "root": 1.7, "depth": draw.choice([6.0, 11.0, 14.0])}
    said |= draw.choice([{}, {"half_width": 9.0}, {"half_width": 2.5}, {"half_width": 25.0}])
    return [said | draw.choice([{}, {"screw": None}, {"screw": screw}])]


def _region(draw: Random, n: int) -> Json:
    side = draw.choice(["face", "back", "through"])
    x, y = draw.uniform(-15.0, 15.0), draw.uniform(4.0, 60.0)
    shape: dict[str, Any] = {"shape": "circle", "centre": [x, y], "radius": draw.uniform(3.0, 7.0)}
    if draw.random() < 0.5:
        wide, high = draw.uniform(5.0, 20.0), draw.uniform(8.0, 30.0)
        lean = draw.uniform(-4.0, 4.0)
        shape = {
            "shape": "polygon",
            "points": [[x, y], [x + wide, y], [x + wide + lean, y + high], [x + lean, y + high]],
        }
    return {
        "key": f"region{n}",
        "name": f"region {n}",
        "shape": shape,
        "side": side,
        "depth": 0.0 if side == "through" else draw.uniform(2.0, 9.0),
        "cover_height": draw.choice([0.0, 1.5]) if side == "face" else 0.0,
    }


def _old(draw: Random, n: int, posts: list[Post]) -> Json:
    """Somewhere by a post: beside its bore, reaching into it, or wholly in it."""
    near = draw.choice(posts)
    off = draw.choice([0.3, 3.0, 12.0])
    return {
        "key": f"old{n}",
        "at": [
            round(float(near.at[0]) + draw.gauss(0, off), 2),
            round(float(near.at[1]) + draw.gauss(0, off), 2),
        ],
        "diameter": draw.choice([2.0, 6.0, 8.0, near.bore]),
        "depth": draw.choice([None, None, 4.0, 8.0]),
        "side": draw.choice(["face", "back"]),
        "plugged": draw.random() < 0.3,
    }


def _limits(draw: Random) -> list[Json]:
    return [
        {"rule": "wall", "level": draw.choice(["watch", "stop"]), "least": 4.0, "of_bore": 0.4},
        {"rule": draw.choice(["button gap", "splay", "end distance"]), "level": "watch", "least": 6.0},
    ]
