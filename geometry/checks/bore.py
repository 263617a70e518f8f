"""Whether bores hold what sits in them, drill and wood counted, and whether posts go through at all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.checks.facts import Facts
from geometry.checks.gaps import Gaps, Part, gaps
from geometry.document.build import Head
from geometry.layout.names import run_words
from geometry.layout.parts import PlacedPost
from geometry.shape.shapes import points
from geometry.trade.agreement import agreement
from geometry.trade.bore_fit import Fit, drawn_bore, wood_fit
from geometry.trade.hardware import Hardware
from geometry.trade.limits import Rule
from geometry.trade.sentence import Note
from geometry.trade.wood import find_wood


def bore_fit(facts: Facts) -> Gaps:
    """A bushing in too wide a bore works loose, in too narrow a one it splits the head; said once for each kind.

    A build is judged alike in every shop, whatever woods and drills the shop has.
    """
    kinds = [posts[0].hardware for posts in _by_kind(facts)]
    fits = [judged_fit(each, facts.build.head) for each in kinds]
    bores = [drawn_bore(each) for each in kinds]
    rooms = [fit.room(bore) for fit, bore in zip(fits, bores, strict=True)]
    notes = [_note(fit, bore) for fit, bore in zip(fits, bores, strict=True)]
    return _of_kinds(facts, facts.rule("bore fit"), rooms, notes)


def tuner_measures(facts: Facts) -> Gaps:
    """Tuners whose measures cannot all be true cannot be fitted; said once for each kind."""
    found = [agreement(posts[0].hardware) for posts in _by_kind(facts)]
    rooms, notes = [each.room for each in found], [each.wrong for each in found]
    return _of_kinds(facts, facts.rule("tuner measures"), rooms, notes)


def _by_kind(facts: Facts) -> list[list[PlacedPost]]:
    """The posts of each kind of tuner."""
    kinds: dict[str, list[PlacedPost]] = {}
    for post in facts.posts:
        kinds.setdefault(post.hardware.key, []).append(post)
    return list(kinds.values())


def _of_kinds(facts: Facts, rule: Rule, rooms: list[float], notes: Sequence[Note]) -> Gaps:
    """A quantity of each kind of tuner, told of all its posts at once."""
    groups = _by_kind(facts)
    parts = [Part("bore", posts[0].key, run_words(post.label for post in posts)) for posts in groups]
    at = points([posts[0].at for posts in groups])
    return gaps(rule, parts, np.array(rooms), np.arange(len(groups)), at, at, notes=notes)


def judged_fit(hardware: Hardware, head: Head) -> Fit:
    """The fit in a head by what its build alone tells."""
    return wood_fit(hardware, head.wood, find_wood(head.wood), head.finish_build_up)


def _note(fit: Fit, bore: float) -> str:
    """What is wrong with a bore outside its fit."""
    return NOTES[fit.kind][bore > fit.least]


NOTES: dict[str, tuple[str, str]] = {
    "soft": (
        "Narrow: even soft wood may split when the bushing is pressed in.",
        "Wide: in soft wood the bushing may work loose.",
    ),
    "medium": (
        "Narrow: wood of medium hardness may split when the bushing is pressed in.",
        "Wide: in wood of medium hardness the bushing may work loose.",
    ),
    "hard": (
        "Narrow: hard wood may split when the bushing is pressed in.",
        "Wide: even in hard wood the bushing may work loose.",
    ),
    "unknown wood": (
        "Narrow: any wood may split when the bushing is pressed in.",
        "Wide: in any wood the bushing may work loose.",
    ),
    "felt": (
        "Narrower than what felt right on scrap of this wood.",
        "Wider than what felt right on scrap of this wood.",
    ),
    "passes": (
        "Narrow: the post, or the thread of its bushing, does not pass freely.",
        "Wide: the washer hardly covers it.",
    ),
    "taper": (
        "Narrow: a reamer would have much to take away.",
        "Wide: a reamer would find nothing to take away.",
    ),
}
"""What is wrong with a bore below and above its fit, by the kind of fit."""
