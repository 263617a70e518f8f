"""`pegwright drilled`: the holes that are in the wood, from a photo or a scan, against their plan."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import Any

import msgspec

from app.command_line.answered import answered, asked
from app.command_line.check import as_json
from app.command_line.pictures import told_of
from app.document.messages import Refusal
from app.intake.photo import see_head
from app.intake.picture_told import PictureTold
from geometry.document.build import Build
from geometry.intake.head_in_picture import GIVE, HeadSeen
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.drilled import AsDrilled, Seen, as_drilled
from geometry.search.answers.drilled_words import say_drilled
from geometry.search.answers.missed import Step, placed_again, steps_of
from geometry.search.answers.missed_words import say_head, say_rest
from geometry.search.placing.best import Proposal
from geometry.shape.point import Point
from geometry.trade.sentence import Sentence, SentenceError, say_note
from geometry.trade.units import Units


class _Answer(msgspec.Struct, frozen=True, eq=False):
    """All that is told; `build` is what is written."""

    picture: HeadSeen
    head: AsDrilled
    proposal: Proposal | None
    steps: tuple[Step, ...]
    build: Build


def run(chosen: argparse.Namespace) -> int:
    """Say where each hole is and how the head stands, write the build when asked, and return the exit code."""
    build, layout = asked(chosen, "that no picture can be laid on it")
    answer = _answer(chosen, build, layout)
    told = _as_json(answer, chosen.units) if chosen.json else None
    sentences = () if chosen.json else _sentences(answer, chosen.units)
    return answered(chosen, answer.build, told, sentences)


def _answer(chosen: argparse.Namespace, build: Build, layout: Layout) -> _Answer:
    told = _told(chosen, build)
    picture = see_head(chosen.photo, told, chosen.units)
    if chosen.thickness is None and told.thickness is not None:
        taken = Sentence("The head is taken as {0} thick, as the build says.", (), (told.thickness,))
        picture = msgspec.structs.replace(picture, remarks=(taken, *picture.remarks))
    holes = [
        Seen(Point(rim.x, rim.y), rim.diameter, GIVE * rim.centre_spread, GIVE * rim.diameter_spread)
        for rim in picture.rims
    ]
    if not holes:
        raise Refusal(
            f"{chosen.photo}: no hole is seen in the face of the head; expected bare holes, without tuners."
        )
    try:
        head = as_drilled(build, layout, picture.edge[picture.seen], picture.edge_give, holes)
    except SentenceError as error:
        raise Refusal(f"{chosen.photo}: {say_note(error, chosen.units)}") from None
    if not head.hits:
        old = ", only old holes of the build" if head.old else ""
        raise Refusal(f"{chosen.photo}: no hole is seen that fits a mark of {chosen.file}{old}.")
    again = chosen.rest == "all" or (chosen.rest is None and not head.works)
    proposal = placed_again(head, (), chosen.units) if again and head.left else None
    there = head.build if proposal is None else proposal.build
    return _Answer(picture, head, proposal, steps_of(head.layout, lay_out(there)), there)


def _told(chosen: argparse.Namespace, build: Build) -> PictureTold:
    """What is told of the picture; the thickness is that of the build where none is given."""
    told = told_of(chosen)
    if told.thickness is not None or told.scan or told.dpi is not None:
        return told
    head = build.head
    return msgspec.structs.replace(told, thickness=(head.thickness_nut + head.thickness_tip) / 2)


def _sentences(answer: _Answer, units: Units) -> Iterator[str]:
    yield from say_drilled(answer.head, units)
    yield from say_head(answer.head, units)
    yield from say_rest(answer.head, answer.proposal, answer.steps, units)
    yield from (say_note(remark, units) for remark in answer.picture.remarks)


def _as_json(answer: _Answer, units: Units) -> dict[str, Any]:
    """The answer as plain data: lengths in mm, places in head mm."""
    head = answer.head
    return {
        "holes": [
            {
                "hole": hit.label,
                "kind": hit.kind,
                "mark": [hit.mark.x, hit.mark.y],
                "at": [hit.seen.at.x, hit.seen.at.y],
                "by": [hit.by.x, hit.by.y],
                "give": hit.seen.give,
                "told": hit.told,
                "diameter": hit.seen.diameter,
                "diameter_give": hit.seen.diameter_give,
                "ring": hit.ring,
            }
            for hit in head.hits
        ],
        "old_holes": _plain(head.old),
        "others": _plain(head.others),
        "edge_off": head.edge_off,
        "works": head.works,
        "worse": [as_json(finding, units) for finding in head.worse],
        "words": list(_sentences(answer, units)),
    }


def _plain(holes: tuple[Seen, ...]) -> list[dict[str, Any]]:
    return [{"at": [each.at.x, each.at.y], "diameter": each.diameter} for each in holes]
