"""Where the strings cross the nut, what they are called, and which post takes which."""

from __future__ import annotations

from itertools import groupby, pairwise

from tests.oracle.curve import Json


def courses(build: Json) -> list[list[Json]]:
    """The strings by course from the treble side; a string without a course is one of its own."""
    named = enumerate(build.get("strings", []))
    groups = groupby(named, key=lambda pair: pair[1].get("course") or pair[0])
    return [[string for _, string in group] for _, group in groups]


def labels(build: Json) -> dict[str, str]:
    """Trade numbers by string key: 1 is the treble-most; a course's strings are 1a, 1b."""
    return {
        string["key"]: f"{number}{chr(97 + place)}" if len(course) > 1 else str(number)
        for number, course in enumerate(courses(build), start=1)
        for place, string in enumerate(course)
    }


def slots(build: Json) -> dict[str, float]:
    """X of each string's centre on the nut line by its key."""
    nut, groups = build["nut"], courses(build)
    if not groups:
        return {}
    equal_centres = nut.get("spacing", "equal centres") == "equal centres"
    single = all(len(group) == 1 for group in groups)
    to_edge = nut.get("margin_to", "centre" if equal_centres and single else "edge") == "edge"
    first, last = groups[0][0]["diameter"] / 2, groups[-1][-1]["diameter"] / 2
    start = nut.get("margin_treble", 3.0) + (first if to_edge else 0.0)
    end = nut["width"] - nut.get("margin_bass", 3.0) - (last if to_edge else 0.0)
    inner = [_inside(group, nut.get("course_gap", 2.0)) for group in groups]
    starts = (_by_centres if equal_centres else _by_gaps)(start, end, groups, inner)
    treble = -_bass_sign(build)
    return {
        string["key"]: treble * (nut["width"] / 2 - at - step)
        for at, group, steps in zip(starts, groups, inner, strict=True)
        for string, step in zip(group, steps, strict=True)
    }


def _bass_sign(build: Json) -> int:
    return 1 if build.get("hand", "right") == "left" else -1


def sign_of(build: Json, side: str) -> int:
    """Sign of x on a side of the head."""
    return _bass_sign(build) if side == "bass" else -_bass_sign(build)


def _inside(group: list[Json], gap: float) -> list[float]:
    """The strings of a course from its first one, `gap` between their surfaces."""
    places = [0.0]
    for one, two in pairwise(group):
        places.append(places[-1] + (one["diameter"] + two["diameter"]) / 2 + gap)
    return places


def _by_centres(start: float, end: float, groups: list[list[Json]], inner: list[list[float]]) -> list[float]:
    """The middles of the courses are evenly spread."""
    first, last = start + inner[0][-1] / 2, end - inner[-1][-1] / 2
    if len(groups) == 1:
        return [(start + end - inner[0][-1]) / 2]
    pitch = (last - first) / (len(groups) - 1)
    return [first + n * pitch - steps[-1] / 2 for n, steps in enumerate(inner)]


def _by_gaps(start: float, end: float, groups: list[list[Json]], inner: list[list[float]]) -> list[float]:
    """The same gap between the surfaces of neighbouring courses."""
    if len(groups) == 1:
        return [(start + end - inner[0][-1]) / 2]
    wide = [
        group[0]["diameter"] / 2 + steps[-1] + group[-1]["diameter"] / 2
        for group, steps in zip(groups, inner, strict=True)
    ]
    outer = end - start + groups[0][0]["diameter"] / 2 + groups[-1][-1]["diameter"] / 2
    gap = (outer - sum(wide)) / (len(groups) - 1)
    edges = [start - groups[0][0]["diameter"] / 2]
    for width in wide[:-1]:
        edges.append(edges[-1] + width + gap)
    return [edge + group[0]["diameter"] / 2 for edge, group in zip(edges, groups, strict=True)]


def strings_of_posts(build: Json) -> dict[str, str | None]:
    """The key of each post's string, None for a bare one.

    What the build says stands; the others go from the outside in, the nearest post first.
    """
    posts = [post for row in build["rows"] for post in row["posts"]]
    said = {post["key"]: post["string"] for post in posts if "string" in post}
    taken = {key for key in said.values() if key is not None}
    free = [string["key"] for string in build.get("strings", []) if string["key"] not in taken]
    opens = {
        side: [post["key"] for post in _posts_of(build, side) if post["key"] not in said] for side in _SIDES
    }
    treble = opens["treble"][: max(len(free) - len(opens["bass"]), 0)]
    said |= dict(zip(treble, free, strict=False))
    said |= dict(zip(opens["bass"], reversed(free[len(treble) :]), strict=False))
    return {post["key"]: said.get(post["key"]) for post in posts}


_SIDES = ("bass", "treble")


def _posts_of(build: Json, side: str) -> list[Json]:
    """The posts of a side from the nut on; two rows of one side by where they start."""
    rows = [row for row in build["rows"] if row["side"] == side]
    rows.sort(key=lambda row: row["rule"]["start"])
    return [post for row in rows for post in row["posts"]]
