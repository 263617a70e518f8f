"""`pegwright bore`: which bore a tuner wants in a wood, by handbook or by what felt right, and the drill for it."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from typing import Any

import msgspec

from app.commands.codes import DONE
from app.commands.lengths import length_of
from app.commands.own_shop import own_shop, own_shop_path
from app.files import load_build, write_whole
from app.messages import Refusal
from geometry.bench.bore_fit import Choice, Fit, bore_fits, choose, drawn_bore
from geometry.bench.fit_words import (
    choice_notes,
    fine_length,
    ladder_subject,
    range_words,
    reason,
    wood_words,
)
from geometry.build.lengths import Units
from geometry.trade.fits import stored_fit, with_fit, without_fit
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.shop import Shop, write_shop
from geometry.trade.wood import find_wood

APART = 1.0
"""mm; a bore that felt right is no further from the ribs or thread of its bushing than this."""


def run(chosen: argparse.Namespace) -> int:
    """Print the bore of each kind of tuner, or keep or forget one, and return the exit code."""
    wood, kinds = _asked(chosen)
    shop = own_shop(chosen.shop)
    if chosen.felt is not None or chosen.forget:
        shop = _changed(chosen, shop, wood, kinds)
        write_whole(own_shop_path(chosen.shop), write_shop(shop))
    if chosen.json:
        print(json.dumps([_as_json(each, wood, shop) for each in kinds], indent=2, ensure_ascii=False))
        return DONE
    words = wood_words(find_wood(wood, shop.own_woods), wood)
    print(f"Wood: {words.removeprefix('wood ')}.")
    print("\n".join(line for each in kinds for line in _lines(each, wood, shop)))
    return DONE


# What is asked


def _asked(chosen: argparse.Namespace) -> tuple[str, tuple[Hardware, ...]]:
    """The wood by name, and the kinds of tuner; Refusal where one of them is missing or not known."""
    if chosen.file is None:
        if chosen.wood is None or chosen.hardware is None:
            raise Refusal("expected a build file, or --wood and --hardware.")
        return chosen.wood, (_named(LIBRARY, chosen.hardware),)
    build = load_build(chosen.file)
    used = {row.hardware for row in build.rows if row.posts}
    kinds = tuple(each for each in build.hardware if each.key in used)
    if not kinds:
        raise Refusal(f"{chosen.file}: the build has no tuners yet.")
    if chosen.hardware is not None:
        kinds = (_named(kinds, chosen.hardware),)
    return build.head.wood if chosen.wood is None else chosen.wood, kinds


def _named(kinds: tuple[Hardware, ...], key: str) -> Hardware:
    known = {each.key: each for each in kinds}
    if key not in known:
        raise Refusal(f"--hardware: there is no {key!r}; expected one of {', '.join(known)}.")
    return known[key]


def _changed(chosen: argparse.Namespace, shop: Shop, wood: str, kinds: tuple[Hardware, ...]) -> Shop:
    """The shop with the fit kept or forgotten; Refusal where it cannot be told which."""
    if len(kinds) > 1:
        raise Refusal(f"--hardware: name one of {', '.join(each.key for each in kinds)}.")
    if not wood.strip():
        raise Refusal("the wood is not named; give --wood, for a fit holds in one wood only.")
    (hardware,) = kinds
    bushing = hardware.bushing
    if bushing is None:
        raise Refusal(
            f"{hardware.name} has no bushing: its bore is a size of the tuner, changed in the build."
        )
    if chosen.forget:
        if stored_fit(shop.fits, wood, bushing) is None:
            raise Refusal(f"nothing is kept for {hardware.name} in {wood}.")
        return msgspec.structs.replace(shop, fits=without_fit(shop.fits, wood, bushing))
    bore = length_of("--felt", chosen.felt, units=shop.units)
    low, high = min(bushing.root, bushing.crest) - APART, max(bushing.crest, drawn_bore(hardware)) + APART
    if not low <= bore <= high:
        span = f"{fine_length(low, shop.units)} to {fine_length(high, shop.units)}"
        raise Refusal(f"--felt: {chosen.felt} does not go with this bushing; expected {span}.")
    return msgspec.structs.replace(shop, fits=with_fit(shop.fits, wood, bushing, bore))


# The answer


def _lines(hardware: Hardware, wood: str, shop: Shop) -> Iterator[str]:
    units, fit = shop.units, bore_fits(hardware, wood, shop).main
    choice = choose(fit, shop.drills)
    yield f"{ladder_subject(hardware, units)}:"
    wanted, why = fine_length(fit.diameter, units), reason(fit, hardware, units)
    yield f"  bore {wanted}: {why}; good from {range_words(fit, units)}"
    if choice is not None:
        yield f"  drill {choice.drill.name}, {_off(choice, units)}"
    yield from (f"  {note}" for note in choice_notes(fit, choice, units))


def _off(choice: Choice, units: Units) -> str:
    words = fine_length(abs(choice.difference), units)
    if float(words.split()[0]) == 0:
        return "as wanted"
    return f"{words} {'wider' if choice.difference > 0 else 'narrower'}"


def _as_json(hardware: Hardware, wood: str, shop: Shop) -> dict[str, Any]:
    fit: Fit = bore_fits(hardware, wood, shop).main
    choice = choose(fit, shop.drills)
    return {
        "hardware": hardware.key,
        "wood": wood,
        "bore": _rounded(fit.diameter),
        "least": _rounded(fit.least),
        "most": _rounded(fit.most),
        "by": fit.kind,
        "build_up": fit.build_up,
        "drill": None if choice is None else choice.drill.name,
        "difference": None if choice is None else _rounded(choice.difference),
        "inside": None if choice is None else choice.inside,
    }


def _rounded(length: float) -> float:
    """A length in mm without the dust of binary fractions."""
    return round(length, 6)
