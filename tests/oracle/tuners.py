"""Tuners for heads made at random: generic kinds with sizes about as makers find them, and some that do not fit."""

from __future__ import annotations

from random import Random

from tests.oracle.curve import Json


def tuner(draw: Random, key: str, kind: str, posts: int) -> Json:
    """One kind of tuner: `enclosed`, `open`, `split`, `plate` or `rear`."""
    part = {"enclosed": _enclosed, "open": _open, "split": _split, "rear": _rear}.get(kind)
    made = _plate(draw, posts) if part is None else part(draw)
    thin = round(draw.uniform(8.0, 12.5), 1)
    common = {
        "key": key,
        "name": f"{kind} {key}",
        "thickness_least": thin,
        "thickness_most": thin + round(draw.uniform(2.0, 8.0), 1),
    }
    return common | made


def _size(draw: Random, low: float, high: float) -> float:
    return round(draw.uniform(low, high), 2)


def _bore(draw: Random, through: float) -> Json:
    if draw.random() < 0.25:
        wider = {"diameter": through + _size(draw, 0.5, 3.0), "depth": _size(draw, 3.0, 9.0)}
        return {"through": through, "counterbore": wider}
    return {"through": through}


def _side_button(draw: Random, scale: float = 1.0) -> Json:
    return {
        "axis": "side",
        "shaft_offset": draw.choice([0.0, _size(draw, 4.0, 8.0)]),
        "shaft_depth": _size(draw, 5.0, 12.0),
        "shaft_length": _size(draw, 14.0, 20.0) * scale,
        "length": _size(draw, 8.0, 15.0),
        "swept_diameter": _size(draw, 13.0, 23.0),
    }


def _box(draw: Random, along: float, across: float, out: float = 0.0) -> Json:
    shift = draw.choice([0.0, _size(draw, -2.0, 4.0)])
    return {"along": along, "across": across, "shift_along": shift, "shift_outward": out}


def _screw(draw: Random, along: float, outward: float, *, shared: bool = False) -> Json:
    root = _size(draw, 1.2, 2.0)
    wide = round(root * 1.5, 2)
    length = _size(draw, 6.0, 13.5)
    said = {"along": along, "outward": outward, "diameter": wide, "root": root, "length": length}
    return said | {"shared": shared}


def _enclosed(draw: Random) -> Json:
    along, across = _size(draw, 12.0, 18.0), _size(draw, 16.0, 23.0)
    fixing: Json = {"screws": [_screw(draw, _size(draw, -10.0, 10.0), _size(draw, -11.0, -7.5))]}
    if draw.random() < 0.4:
        off, wide = _size(draw, 4.5, 7.0), _size(draw, 1.6, 2.4)
        pins = [
            {"along": a, "outward": -off, "diameter": wide, "depth": _size(draw, 2.0, 5.0)} for a in (-5, 5)
        ]
        fixing = {"pins": pins}
    wide = _size(draw, 12.0, 15.0)
    collar: Json = {"washer": {"diameter": wide, "height": _size(draw, 0.6, 1.6)}}
    if draw.random() < 0.6:
        collar["hexagon"] = {"diameter": wide - _size(draw, -1.0, 3.0), "height": _size(draw, 1.5, 3.0)}
    body = _box(draw, along, across, _size(draw, -1.0, 2.0))
    seat = body | {"along": along - 1.0, "across": across - 2.0}
    return {
        "post_diameter": draw.choice([6.0, 6.35]),
        "hole_height": _size(draw, 18.0, 24.0),
        "bore": _bore(draw, draw.choice([8.5, 9.5, 10.0])),
        "button": _side_button(draw),
        "body": body,
        "seat": seat,
        **collar,
        **fixing,
    }


def _open(draw: Random) -> Json:
    along, across = _size(draw, 26.0, 38.0), _size(draw, 9.0, 12.0)
    ends = along / 2 - 2.5
    body = _box(draw, along, across)
    return {
        "post_diameter": 6.0,
        "hole_height": _size(draw, 19.0, 23.0),
        "bore": _bore(draw, 8.8),
        "button": _side_button(draw),
        "body": body,
        "seat": draw.choice([body, None]),
        "washer": {"diameter": 10.8, "height": 1.2},
        "screws": [_screw(draw, side * ends, _size(draw, -2.0, 2.0)) for side in (-1, 1)],
    }


def _split(draw: Random) -> Json:
    """Bodies that stand side by side in a row and share their screws."""
    along = _size(draw, 22.5, 24.5)
    body = {"along": along, "across": _size(draw, 14.0, 17.0)}
    out, said = _size(draw, -7.0, 7.0), _screw(draw, along / 2, 0.0, shared=True)
    screws = [said | {"along": side * along / 2, "outward": out} for side in (-1, 1)]
    return {
        "post_diameter": 6.35,
        "hole_height": _size(draw, 19.0, 22.0),
        "bore": _bore(draw, 8.7),
        "button": _side_button(draw),
        "body": body,
        "seat": body,
        "washer": {"diameter": 10.8, "height": 1.5},
        "butts": True,
        "screws": screws,
    }


def _plate(draw: Random, posts: int) -> Json:
    pitch = draw.choice([23.0, 25.0, 30.0, 35.0])
    beyond, across = _size(draw, 9.0, 14.0), _size(draw, 12.0, 17.0)
    ends = [-beyond + 2.5, (posts - 1) * pitch + beyond - 2.5]
    inner = [pitch * (n + 0.5) for n in range(posts - 1)]
    screws = [_screw(draw, along, draw.choice([-1, 1]) * (across / 2 - 2.5)) for along in [*ends, *inner]]
    plate = {"posts": posts, "pitch": pitch, "beyond": beyond, "across": across, "screws": screws}
    turning = draw.choice([{}, {"bushing_bore": 6.0 + _size(draw, 0.05, 0.4)}])
    return turning | {
        "post_diameter": 6.0,
        "hole_height": _size(draw, 16.0, 20.0),
        "bore": _bore(draw, 8.7),
        "button": _side_button(draw, 0.9) | {"swept_diameter": _size(draw, 13.0, 18.0)},
        "plate": plate | {"shift_outward": draw.choice([0.0, _size(draw, -1.5, 1.5)])},
        "washer": {"diameter": _size(draw, 9.5, 12.0), "height": _size(draw, 0.5, 1.5)},
    }


def _rear(draw: Random) -> Json:
    washer = {"diameter": _size(draw, 10.5, 14.0), "height": _size(draw, 0.5, 3.0)}
    body = _box(draw, 11.0, 11.0)
    return {
        "post_diameter": 6.0,
        "hole_height": _size(draw, 5.0, 12.0),
        "bore": _bore(draw, draw.choice([6.4, 8.0, 9.5])),
        "button": {"axis": "rear", "swept_diameter": _size(draw, 16.0, 26.0), "length": 18.0},
        "body": draw.choice([body, None]),
        "seat": draw.choice([body, None]),
        "washer": draw.choice([washer, washer, None]),
        "pins": draw.choice([[], [{"along": 0.0, "outward": -6.0, "diameter": 1.5, "depth": 2.5}]]),
    }
