"""Other parts: a drill that fits, smaller washers and buttons, the right piece, other tuners, plugs for old holes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from msgspec import UNSET
from msgspec.structs import replace

from geometry.bench.bore_fit import advice, drilled_kinds
from geometry.bench.fit_words import advice_words
from geometry.curing.case import Case, Change, Trial
from geometry.curing.places import moved_by
from geometry.document.build import Build, Retainer
from geometry.document.edits import change_hardware, set_hardware, set_piece
from geometry.document.mark_edits import set_old_hole, set_retainer
from geometry.layout.tuner_load import too_much
from geometry.search.answers.missed import RIM, WASHER_STEP
from geometry.search.placing.cures import WOOD_STEP
from geometry.shape.point import Vector
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.quantities import show_length
from geometry.trade.units import INCH, Units

# Buttons are told in steps of this swept diameter, in mm; common practice, no source.
_BUTTON_STEP: dict[Units, float] = {"mm": 1.0, "inch": INCH / 32}
_LEAST_BUTTON = 12.0  # fingers turn no smaller button, in mm of swept diameter: workshop practice, no source
_TO_A_SCAR = 10.0  # a tuner moves no further to hide an old hole, in mm
_MOST_TREE = 20.0  # a tree moves no further, in mm


def other_bore(case: Case) -> Iterator[Change]:
    """The bore that wood, bushing and the drills of the shop suggest."""
    post = case.finding.about[0].key
    found = advice(case.build, post, case.head.shop)
    if found is not None:
        yield Trial(advice_words(found, case.head.units), change_hardware(case.build, found.hardware))


def kinds_are_drilled(case: Case) -> bool:
    """Whether a hole of the same kind of tuners is in the wood: their bore is a fact."""
    return bool({row.hardware for row in case.own_rows} & drilled_kinds(case.build))


def right_piece(case: Case) -> Iterator[Change]:
    """The piece for its side."""
    for post in case.own_posts:
        words = case.say("fit the other piece on {0}", case.posts_named([post]))
        yield Trial(words, set_piece(case.build, post, UNSET))


# Smaller ones


def smaller_washers(case: Case) -> Iterator[Change]:
    """Smaller washers, as long as they cover the rims of their bores."""

    def smaller(hardware: Hardware, by: float) -> Hardware | None:
        washer = hardware.washer
        if washer is None or washer.diameter - by < hardware.bore.largest + 2 * RIM:
            return None
        return replace(hardware, washer=replace(washer, diameter=washer.diameter - by))

    yield from _smaller(case, "use washers {0} smaller for {1}", WASHER_STEP, smaller)


def smaller_buttons(case: Case) -> Iterator[Change]:
    """Smaller buttons, as long as fingers can turn them."""

    def smaller(hardware: Hardware, by: float) -> Hardware | None:
        button = hardware.button
        if button.swept_diameter - by < _LEAST_BUTTON:
            return None
        return replace(hardware, button=replace(button, swept_diameter=button.swept_diameter - by))

    yield from _smaller(case, "use buttons {0} smaller for {1}", _BUTTON_STEP, smaller)


def _smaller(
    case: Case, text: str, by_units: dict[Units, float], change: Callable[[Hardware, float], Hardware | None]
) -> Iterator[Change]:
    """One ladder for each kind of tuners that the finding is about."""
    step = by_units[case.head.units]
    for key in dict.fromkeys(case.layout.post(post).hardware.key for post in case.own_posts):
        names = case.posts_named([post.key for post in case.layout.posts if post.hardware.key == key])
        hardware = next(each for each in case.build.hardware if each.key == key)
        yield case.lengths(
            partial(_words, case, text, names), step, 40, partial(_changed, case, change, hardware)
        )


def _words(case: Case, text: str, names: str, length: str) -> str:
    return case.say(text, length, names)


def _changed(
    case: Case, change: Callable[[Hardware, float], Hardware | None], hardware: Hardware, by: float
) -> Build | None:
    smaller = change(hardware, by)
    return None if smaller is None else change_hardware(case.build, smaller)


# Other tuners


def other_tuners(case: Case) -> Iterator[Change]:
    """Models of the library in the place of the row's, and of the row that mirrors it, where nothing is drilled yet.

    Only such as take the pull and the thickness of the strings.
    """
    drilled = drilled_kinds(case.build)
    for key in dict.fromkeys(row.hardware for row in case.own_rows if row.hardware not in drilled):
        rows = [row.key for row in case.build.rows if row.hardware == key]
        names = case.posts_named([p.key for r in case.build.rows if r.key in rows for p in r.posts])
        today = next(each for each in case.build.hardware if each.key == key)
        strings = {post.string for post in case.layout.posts if post.row in rows}
        for model in LIBRARY:
            if model.name == today.name or (model.plate is None) != (today.plate is None):
                continue
            if strings.intersection(load.string.key for load in too_much(case.build, model)):
                continue
            build = case.build
            for row in rows:
                build = set_hardware(build, row, model)
            own = all(today.name != each.name for each in LIBRARY)
            text = "give up the measured tuners of {0} for {1}" if own else "fit other tuners on {0}: {1}"
            yield Trial(case.say(text, names, model.name), build)


# Old holes


def plugged(case: Case) -> Iterator[Change]:
    """The old hole plugged with wood."""
    keys = [part.key for part in case.finding.about if part.kind == "hole"]
    for hole in case.build.old_holes:
        if hole.key in keys and not hole.plugged:
            words = case.say("plug the old hole {0} first", hole.key)
            yield Trial(words, set_old_hole(case.build, replace(hole, plugged=True)))


def over_the_scar(case: Case) -> Iterator[Change]:
    """The nearest tuner moved over the old hole, so that its bore, washer and seat hide it."""
    keys = [part.key for part in case.finding.about if part.kind == "hole"]
    for hole in case.build.old_holes:
        near = min(case.layout.posts, key=lambda post: post.at.distance(hole.at), default=None)
        if hole.key not in keys or near is None:
            continue
        posts = case.with_partners([near.key])
        if not all(case.can_move(case.layout.post(post)) for post in posts):
            continue
        step = hole.at - near.at
        if step.length > _TO_A_SCAR:
            continue
        frame = near.ruled
        along, outward = step.dot(frame.along), step.dot(frame.outward)
        words = case.say(
            "move {0} over the old hole, by {1}",
            case.posts_named(posts),
            show_length(round(step.length, 1), case.head.units),
        )
        yield Trial(words, moved_by(case.build, posts, round(along, 2), round(-outward, 2)))


# Trees that are in the way


def moved_tree(case: Case) -> Iterator[Change]:
    """A tree whose screw is in the way, further on or to a side."""
    step = WOOD_STEP[case.head.units]
    keys = {part.key for part in case.finding.about}
    for tree in case.build.retainers:
        if tree.key not in keys:
            continue
        for text, way in _TREE_WAYS:
            words, moved = partial(case.say, text, tree.key), partial(_tree_by, case.build, tree, way)
            yield case.lengths(words, step, round(_MOST_TREE / step), moved, step)


def _tree_by(build: Build, tree: Retainer, way: Vector, by: float) -> Build:
    return set_retainer(build, replace(tree, at=tree.at + way * by))


_TREE_WAYS = (
    ("move tree {0} by {1} to the tip", Vector(0.0, 1.0)),
    ("move tree {0} by {1} to the nut", Vector(0.0, -1.0)),
    ("move tree {0} by {1} to the right", Vector(1.0, 0.0)),
    ("move tree {0} by {1} to the left", Vector(-1.0, 0.0)),
)
