"""`pegwright missed`: a hole that landed beside its mark."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from typing import Any, get_args

import msgspec

from app.command_line.answered import answered, asked
from app.command_line.check import as_json
from app.command_line.given import length_of, length_within, pair_of, post_named, posts_named
from app.command_line.rings import ring_as_json
from app.document.messages import Refusal
from app.widgets.ranges import WIDEST_BORE
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.parts import PlacedPost
from geometry.search.answers.missed import Missed, Rescue, Rest, Step, best_of_rest, missed, rescue, steps_of
from geometry.search.answers.missed_words import (
    say_head,
    say_located,
    say_place,
    say_rest,
    say_too_few,
    say_ways_out,
)
from geometry.search.answers.readings import ALONE, Located, Reading, located
from geometry.search.placing.best import Proposal
from geometry.search.placing.cures import Remedy, remedies
from geometry.search.placing.cures_words import say_remedies
from geometry.search.rings.slack import LARGEST
from geometry.shape.point import Point, Vector
from geometry.trade.escapes import quoted
from geometry.trade.measures import LEAST
from geometry.trade.quantities import CLOSE, show_length
from geometry.trade.units import Units


class _Found(msgspec.Struct, frozen=True):
    """Where the hole is, and what the readings say of themselves: sentences and residuals, none for a typed offset."""

    at: Point
    diameter: float
    read_from: tuple[str, ...]
    sentences: tuple[str, ...]
    residuals: tuple[tuple[str, float], ...]


class _Answer(msgspec.Struct, frozen=True):
    """All that is told; `build` is what is written."""

    found: _Found
    hole: Missed
    proposal: Proposal | None
    steps: tuple[Step, ...]
    rescue: Rescue
    build: Build
    remedies: tuple[Remedy, ...]


def run(chosen: argparse.Namespace) -> int:
    """Say how the head stands and what saves it, write the build when asked, and return the exit code."""
    build, layout = asked(chosen, "nothing can be told of its holes")
    answer = _answer(chosen, build, layout)
    told = _as_json(answer, chosen.units) if chosen.json else None
    sentences = () if chosen.json else _sentences(answer, chosen.units)
    return answered(chosen, answer.build, told, sentences)


def _answer(chosen: argparse.Namespace, build: Build, layout: Layout) -> _Answer:
    post = post_named("HOLE", chosen.hole, layout)
    drilled = posts_named("--drilled", chosen.drilled, layout)
    found = _found(chosen, layout, post)
    if found.at.distance(post.at) > LARGEST:
        far = show_length(found.at.distance(post.at), chosen.units)
        most = show_length(LARGEST, chosen.units)
        raise Refusal(f"that puts hole {post.label} {far} from its mark; expected {most} at most.")
    hole = missed(build, layout, post.key, found.at, (*(each.key for each in drilled), *found.read_from))
    proposal = _proposal(hole, chosen.rest, chosen.units)
    there = hole.build if proposal is None else proposal.build
    return _Answer(
        found,
        hole,
        proposal,
        steps_of(hole.layout, lay_out(there)),
        rescue(hole, found.diameter, chosen.units),
        there,
        remedies(there, chosen.units),
    )


def _proposal(hole: Missed, rest: str, units: Units) -> Proposal | None:
    """The best of the rest; None where it stays or there is none."""
    for known in get_args(Rest):
        if rest == known and hole.left:
            return best_of_rest(hole, known, units)
    return None


# Where the hole is


def _found(chosen: argparse.Namespace, layout: Layout, post: PlacedPost) -> _Found:
    units, diameter = chosen.units, post.bore
    if chosen.diameter is not None:
        diameter = length_within("--diameter", chosen.diameter, units, LEAST, WIDEST_BORE)
    if (chosen.by is None) == (not chosen.reading):
        raise Refusal("say where the hole is: give --by X,Y, or --reading two times or more, but not both.")
    if chosen.by is not None:
        otherwise = "no offset; expected two lengths such as 0.6,-0.4"
        offset = Vector(*pair_of("--by", chosen.by, units, ",", otherwise, negative=True))
        return _Found(post.at + offset, diameter, (), (), ())
    readings = tuple(_reading(text, layout, post, units) for text in chosen.reading)
    if len(readings) < 2:
        raise Refusal("--reading: one reading does not fix the place; take a second, better a third.")
    return _placed(located(layout, post.at, diameter, readings), chosen, diameter, readings)


def _placed(
    found: Located, chosen: argparse.Namespace, diameter: float, readings: tuple[Reading, ...]
) -> _Found:
    if found.untold is not None:
        raise Refusal(f"--reading: {say_too_few(found)}")
    names = tuple(text.partition("=")[0].strip() for text in chosen.reading)
    return _Found(
        found.at,
        diameter,
        tuple(reading.post for reading in readings if reading.post is not None),
        tuple(say_located(found, names, chosen.units)),
        tuple(zip(chosen.reading, found.residuals, strict=True)),
    )


def _reading(text: str, layout: Layout, post: PlacedPost, units: Units) -> Reading:
    what, equals, length = text.partition("=")
    kind, colon, label = (part.strip() for part in what.partition(":"))
    if not equals:
        raise Refusal(
            f"--reading: {quoted(text)} has no length; expected such as nut=48.2 or between:2=29.6."
        )
    read = length_of("--reading", length, units)
    for alone in ALONE:
        if kind == alone and not colon:
            return Reading(alone, read)
    if kind not in ("between", "across") or not colon:
        raise Refusal(
            f"--reading: {quoted(what.strip())} is not known; expected {', '.join(ALONE)}, between:HOLE or across:HOLE."
        )
    other = post_named("--reading", label, layout)
    if other.key == post.key:
        raise Refusal(
            f"--reading: {quoted(text)} goes from hole {post.label} to itself; expected another hole."
        )
    return Reading("between" if kind == "between" else "across", read, other.key)


# What is told


def _sentences(answer: _Answer, units: Units) -> Iterator[str]:
    yield say_place(answer.hole, units, CLOSE if answer.found.residuals else None)
    yield from answer.found.sentences
    yield from say_head(answer.hole, units)
    yield from say_rest(answer.hole, answer.proposal, answer.steps, units)
    yield from say_ways_out(answer.hole, answer.rescue, answer.remedies, answer.build, units)


def _as_json(answer: _Answer, units: Units) -> dict[str, Any]:
    """The answer as plain data: lengths in mm, places in head mm."""
    hole, plug = answer.hole, answer.rescue.plug
    return {
        "hole": hole.label,
        "mark": _pair(hole.mark),
        "at": _pair(hole.at),
        "by": _pair(hole.by),
        "readings": [{"reading": text, "residual": residual} for text, residual in answer.found.residuals],
        "works": hole.works,
        "worse": [as_json(finding, units) for finding in hole.worse],
        "rings": [ring_as_json(ring, hole.build, units) for ring in hole.allowance.rings],
        "rest": _rest_as_json(answer.proposal, answer.steps),
        "cures": list(say_remedies(answer.remedies, answer.build, units)),
        "washer": answer.rescue.washer,
        "models": [{"key": fit.model.key, "verdict": fit.verdict} for fit in answer.rescue.models],
        "plug": {
            "centre": _pair(plug.centre),
            "diameter": plug.diameter,
            "to_edge": plug.to_edge,
            "meets": list(plug.meets),
            "apart": plug.apart,
        },
        "words": list(_sentences(answer, units)),
    }


def _rest_as_json(proposal: Proposal | None, steps: Sequence[Step]) -> dict[str, Any] | None:
    if proposal is None:
        return None
    return {
        "smallest_ring_before": proposal.before,
        "smallest_ring": proposal.after,
        "forbidden": proposal.forbidden,
        "refused": proposal.refused,
        "moves": [{"hole": each.label, "from": _pair(each.old), "to": _pair(each.new)} for each in steps],
    }


def _pair(place: Point | Vector) -> list[float]:
    return [place.x, place.y]
