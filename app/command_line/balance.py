"""`pegwright balance`: what the head weighs and how hard it pulls down, with these tuners and with others."""

from __future__ import annotations

import argparse
from typing import Any

from app.command_line.common import DONE, own_shop
from app.command_line.given import pair_of
from app.command_line.lists import table
from app.document.files import load_build
from app.document.messages import tell, tell_json
from geometry.bench.balance import Balance, balance, usual_place
from geometry.bench.balance_words import HEADS, NOTE, rival_row, say_balance, unweighed
from geometry.bench.rivals import Rival, rivals
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.units import Units


def run(chosen: argparse.Namespace) -> int:
    """Print what the head weighs and a table of tuners and buttons; 0."""
    build = load_build(chosen.file)
    place = _place(chosen.about, build, chosen.units)
    layout = lay_out(build)
    own = own_shop(chosen.shop).own_woods
    found, weighed = rivals(build, layout, own), balance(build, layout, own)
    if chosen.json:
        tell_json(_as_json(weighed, found, place))
        return DONE
    lines = [f"{chosen.file}:"]
    lines += [f"  {words}" for words in say_balance(weighed, place, chosen.units)]
    lines += [f"  The mass of {name} is not known: weigh one." for name in unweighed(layout)]
    if found:
        lines += table([HEADS, *(rival_row(rival, found[0], place, chosen.units) for rival in found)])
        lines.append(NOTE)
    tell(*lines)
    return DONE


def _place(text: str | None, build: Build, units: Units) -> Point:
    """The place of --about, by default the bridge."""
    if text is None:
        return usual_place(build)
    expected = "no place; expected two lengths with a comma between, such as 0,-650"
    return Point(*pair_of("--about", text, units, ",", expected, negative=True))


def _as_json(own: Balance, found: tuple[Rival, ...], place: Point) -> dict[str, Any]:
    return {
        "about": [place.x, place.y],
        "own": _weighed(own, place) if own.wood.told else None,
        "sets": [
            {
                "tuners": [hardware.key for hardware in rival.hardware],
                "light_buttons": rival.light,
                **_weighed(rival.balance, place),
            }
            for rival in found
        ],
    }


def _weighed(found: Balance, place: Point) -> dict[str, Any]:
    """One balance as plain data: masses in g, places in mm, moments in N m."""
    whole, moment = found.whole, found.about(place)
    return {
        "wood": found.wood.point_mass.mass,
        "bodies": found.bodies.mass,
        "buttons": found.buttons.mass,
        "head": whole.mass,
        "centre": [whole.at.x, whole.at.y],
        "moment_about_nut": found.about_nut.turns,
        "moment_about_place": moment.turns,
        "lever": moment.lever,
        "aside": moment.aside,
    }
