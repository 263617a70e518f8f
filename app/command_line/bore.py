"""`pegwright bore`: whether a bore suits tuner and wood, by practice or by what felt right, and its drill."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from app.command_line.common import DONE, own_shop, own_shop_path, refuse_build
from app.command_line.given import known_as, length_of
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, tell, tell_json
from geometry.bench.bore_fit import (
    Advice,
    BoreFits,
    Choice,
    advised,
    best_bore,
    bore_fits,
    choose,
    drilled_kinds,
)
from geometry.bench.fit_words import (
    advice_words,
    choice_notes,
    ladder_subject,
    range_words,
    reason,
    wood_words,
)
from geometry.document.build import Build, Head
from geometry.document.codec import write_build, write_shop
from geometry.document.edits import change_hardware
from geometry.trade.bore_fit import drawn_bore
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.quantities import show_fine
from geometry.trade.shop import Shop, stored_fit, with_fit, without_fit
from geometry.trade.units import Units
from geometry.trade.wood import find_wood

APART = 1.0
"""mm; a bore that felt right is no further from the ribs or thread of its bushing than this."""


def run(chosen: argparse.Namespace) -> int:
    """Print the bore of each kind of tuner, keep or forget one, write the better ones; return the exit code."""
    if chosen.output is not None:
        refuse_build(chosen.output, force=chosen.force)
    shop = own_shop(chosen.shop)
    build = None if chosen.file is None else load_build(chosen.file)
    head, kinds = _asked(chosen, build, shop)
    if chosen.felt is not None or chosen.forget:
        shop = _changed(chosen, shop, head.wood, kinds)
        write_whole(own_shop_path(chosen.shop), write_shop(shop))
    if build is None:
        # Tuners of the library have no bore of their own yet.
        kinds = tuple(best_bore(each, head, shop).hardware for each in kinds)
    answers = [_answer(each, build, head, shop) for each in kinds]
    if chosen.output is not None:
        _write(chosen.output, build, answers)
    if chosen.json:
        tell_json([_as_json(each, head) for each in answers])
        return DONE
    words = wood_words(find_wood(head.wood, shop.own_woods), head.wood, chosen.units)
    tell(f"Wood: {words.removeprefix('wood ')}.")
    tell(*(line for each in answers for line in _lines(each, chosen.units)))
    if chosen.output is not None:
        tell(f"Wrote {chosen.output}.")
    return DONE


# What is asked


def _asked(chosen: argparse.Namespace, build: Build | None, shop: Shop) -> tuple[Head, tuple[Hardware, ...]]:
    """The head by its wood, and the kinds of tuner; Refusal where one of them is missing or not known."""
    if build is None:
        if chosen.output is not None:
            raise Refusal("-o: without a build file there is nothing to write.")
        if chosen.wood is None or chosen.hardware is None:
            raise Refusal("expected a build file, or --wood and --hardware.")
        head = Head(wood=chosen.wood, finish_build_up=shop.finish_build_up)
        return head, (_named(LIBRARY, chosen.hardware),)
    used = {row.hardware for row in build.rows if row.posts}
    kinds = tuple(each for each in build.hardware if each.key in used)
    if not kinds:
        raise Refusal(f"{chosen.file}: the build has no tuners yet.")
    if chosen.hardware is not None:
        kinds = (_named(kinds, chosen.hardware),)
    return build.head if chosen.wood is None else replace(build.head, wood=chosen.wood), kinds


def _named(kinds: tuple[Hardware, ...], key: str) -> Hardware:
    known = {each.key: each for each in kinds}
    return known_as(key, known, "--hardware: there is no {}; expected one of {}.")


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
        return replace(shop, fits=without_fit(shop.fits, wood, bushing))
    bore = length_of("--felt", chosen.felt, chosen.units)
    low, high = min(bushing.root, bushing.crest) - APART, max(bushing.crest, drawn_bore(hardware)) + APART
    if not low <= bore <= high:
        span = f"{show_fine(low, chosen.units)} to {show_fine(high, chosen.units)}"
        raise Refusal(
            f"--felt: {show_fine(bore, chosen.units)} does not go with this bushing; expected {span}."
        )
    return replace(shop, fits=with_fit(shop.fits, wood, bushing, bore))


# The answer


class Answer(msgspec.Struct, frozen=True):
    """What is said of one kind of tuner: its fits, what to use instead (None: nothing), and the drill."""

    hardware: Hardware
    fits: BoreFits
    advice: Advice | None
    choice: Choice | None


def _answer(hardware: Hardware, build: Build | None, head: Head, shop: Shop) -> Answer:
    fits = bore_fits(hardware, head, shop)
    there = build is not None and hardware.key in drilled_kinds(build)
    return Answer(
        hardware, fits, None if there else advised(hardware, head, shop), choose(fits.main, shop.drills)
    )


def _write(path: Path, build: Build | None, answers: list[Answer]) -> None:
    """Write the build with the bores that suit better."""
    assert build is not None, "refused before"
    for each in answers:
        if each.advice is not None:
            build = change_hardware(build, each.advice.hardware)
    write_whole(path, write_build(build))


def _lines(answer: Answer, units: Units) -> Iterator[str]:
    fits, choice = answer.fits, answer.choice
    yield f"{ladder_subject(answer.hardware, units)}:"
    suits = "inside the fit" if fits.suits else "outside the fit"
    use = "" if answer.advice is None else f": {advice_words(answer.advice, units)}"
    yield f"  bore {show_fine(fits.main.diameter, units)}, {suits}{use}"
    why, good = reason(fits.wanted, answer.hardware, units), range_words(fits.good, units)
    yield f"  wanted: {why}; drills of {good} are good"
    if choice is not None:
        yield f"  drill {choice.drill.name}, {_off(choice, units)}"
    yield from (f"  {note}" for note in choice_notes(fits.main, choice, units))


def _off(choice: Choice, units: Units) -> str:
    words = show_fine(abs(choice.difference), units)
    if float(words.split()[0]) == 0:
        return "as wide as the bore"
    return f"{words} {'wider' if choice.difference > 0 else 'narrower'}"


def _as_json(answer: Answer, head: Head) -> dict[str, Any]:
    wanted, choice, better = answer.fits.good, answer.choice, answer.advice
    return {
        "hardware": answer.hardware.key,
        "wood": head.wood,
        "bore": _rounded(answer.fits.main.diameter),
        "inside": answer.fits.suits,
        "use": None if better is None else _rounded(better.diameter),
        "least": _rounded(wanted.least),
        "most": None if math.isinf(wanted.most) else _rounded(wanted.most),
        "by": wanted.kind,
        "build_up": head.finish_build_up,
        "drill": None if choice is None else choice.drill.name,
        "difference": None if choice is None else _rounded(choice.difference),
    }


def _rounded(length: float) -> float:
    """A length in mm without the dust of binary fractions."""
    return round(length, 6)
