"""Outlines for heads made at random: starters of any measures, and free ones of lines, arcs and curves."""

from __future__ import annotations

import itertools
from random import Random

from tests.oracle.curve import Json

Place = tuple[float, float]


def outline(draw: Random, nut: float, length: float, *, one_sided: bool, care: bool) -> Json:
    """An outline about as long as asked, for a nut of this width; one with care is a good deal wider than the nut."""
    wide = nut + (draw.uniform(20.0, 44.0) if care else draw.uniform(4.0, 30.0))
    if one_sided or draw.random() < 0.5:
        return _starter(draw, max(wide, 40.0), length, one_sided=one_sided)
    return {"kind": "nodes", "nodes": _free(draw, nut, max(wide / 2, 21.0), length)}


def _starter(draw: Random, low: float, length: float, *, one_sided: bool) -> Json:
    usual = ["straight-taper", "waisted", "narrow", "rounded-paddle", "broad-for-plates"]
    shape = "one-sided" if one_sided else draw.choice(usual)
    high = low * draw.uniform(0.75, 1.0) if not one_sided else low * draw.uniform(0.5, 0.7)
    return {
        "kind": "starter",
        "shape": shape,
        "length": round(length, 1),
        "width_low": round(low, 1),
        "width_high": round(high, 1),
        "shoulder": round(draw.uniform(15.0, 26.0), 1),
        "tip_rise": round(draw.choice([0.0, draw.uniform(1.0, 0.2 * high)]), 1),
        "corner": round(draw.choice([0.0, draw.uniform(2.0, 0.15 * high)]), 1),
        "waist": round(draw.uniform(1.0, 5.0), 1) if shape == "waisted" else 0.0,
        "lean_deg": round(draw.uniform(4.0, 16.0), 1) if one_sided else 0.0,
    }


def _free(draw: Random, nut: float, wide: float, length: float) -> list[Json]:
    """A right side of two to four places, a tip, a left side that mirrors it or does not."""
    right = _side(draw, wide, length)
    left = right if draw.random() < 0.7 else _side(draw, wide + draw.uniform(-5.0, 5.0), length)
    crown: list[Place] = [(0.0, length + draw.uniform(0.0, 12.0))] if draw.random() < 0.5 else []
    # On the nut line the head ends where the nut does, nearly always.
    stray = [draw.uniform(-1.5, 1.5) if draw.random() < 0.15 else 0.0 for _ in range(2)]
    places: list[Place] = [
        (nut / 2 + stray[0], 0.0),
        *right,
        *crown,
        *((-x, y) for x, y in reversed(left)),
        (-nut / 2 + stray[1], 0.0),
    ]
    runs = [_run(draw, *pair) for pair in itertools.pairwise(places)] + [{"run": "straight"}]
    return [
        {"key": f"n{n}", "at": [round(x, 3), round(y, 3)], "onward": run}
        for n, ((x, y), run) in enumerate(zip(places, runs, strict=True))
    ]


def _side(draw: Random, wide: float, length: float) -> list[Place]:
    places = [(wide, draw.uniform(16.0, 26.0))]
    shares = (0.4, 0.65)[: draw.randint(0, 2)]
    places += [(wide + draw.uniform(-4.0, 3.0), length * share) for share in shares]
    return [*places, (wide * draw.uniform(0.8, 1.02), length)]


def _run(draw: Random, start: Place, end: Place) -> Json:
    way = (end[0] - start[0], end[1] - start[1])
    kind = draw.choice(["straight", "arc", "curve", "curve"])
    if kind == "straight":
        return {"run": "straight"}
    if kind == "arc":
        return {"run": "arc", "bulge": round(draw.uniform(-0.08, 0.2), 3)}
    handles = []
    for sign in (1, -1):
        share, aside = draw.uniform(0.2, 0.45), draw.uniform(-0.15, 0.15)
        handles.append(
            [
                round(sign * share * way[0] - aside * way[1], 3),
                round(sign * share * way[1] + aside * way[0], 3),
            ]
        )
    return {"run": "curve", "leave": handles[0], "arrive": handles[1]}
