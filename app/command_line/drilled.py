"""`pegwright drilled`: the holes that are in the wood, from a picture or caliper readings, against their plan."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import Any

import msgspec

from app.command_line.answered import answered, asked
from app.command_line.check import as_json
from app.command_line.pictures import told_of
from app.document.files import read_bytes
from app.document.messages import Refusal
from app.intake.hole_table import read_hole_table
from app.intake.photo import as_thick, drilled_in, see_head
from app.intake.picture_told import PictureTold
from geometry.document.build import Build
from geometry.intake.table import LARGEST_TABLE
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.all_read import AllRead, Off, all_read
from geometry.search.answers.drilled import AsDrilled, Seen, as_read
from geometry.search.answers.drilled_words import say_drilled, say_read
from geometry.search.answers.missed import Step, placed_again, steps_of
from geometry.search.answers.missed_words import say_head, say_rest
from geometry.search.placing.best import Proposal
from geometry.trade.sentence import Note, Sentence, SentenceError, say_note
from geometry.trade.units import Units

TABLE = ".csv"
"""The suffix of caliper readings."""


class _Answer(msgspec.Struct, frozen=True, eq=False):
    """All that is told; `said` are sentences about the picture or the readings, `build` is what is written."""

    head: AsDrilled
    proposal: Proposal | None
    steps: tuple[Step, ...]
    build: Build
    said: tuple[Note, ...]
    read: AllRead | None


def run(chosen: argparse.Namespace) -> int:
    """Say where each hole is and how the head stands, write the build when asked, and return the exit code."""
    build, layout = asked(chosen, "that nothing can be laid on it")
    by_calipers = chosen.photo.suffix.lower() == TABLE
    head, said, read = (_by_calipers if by_calipers else _by_picture)(chosen, build, layout)
    again = chosen.rest == "all" or (chosen.rest is None and not head.works)
    proposal = placed_again(head, (), chosen.units) if again and head.left else None
    there = head.build if proposal is None else proposal.build
    answer = _Answer(head, proposal, steps_of(head.layout, lay_out(there)), there, said, read)
    told = _as_json(answer, chosen.units) if chosen.json else None
    sentences = () if chosen.json else _sentences(answer, chosen.units)
    return answered(chosen, answer.build, told, sentences)


_Seen = tuple[AsDrilled, tuple[Note, ...], AllRead | None]


def _by_picture(chosen: argparse.Namespace, build: Build, layout: Layout) -> _Seen:
    """The head as a photo or a scan shows it."""
    told = _told(chosen, build)
    picture = see_head(chosen.photo, told, chosen.units)
    said = picture.remarks
    if chosen.thickness is None and told.thickness is not None:
        taken = Sentence(
            "The head is taken as {0} thick at the nut and {1} at the tip, as the build says.",
            (),
            (told.thickness, told.thickness_at_tip or told.thickness),
        )
        said = (taken, *said)
    try:
        head = drilled_in(picture, build, layout)
    except SentenceError as error:
        raise Refusal(f"{chosen.photo}: {say_note(error, chosen.units)}") from None
    return head, said, None


def _by_calipers(chosen: argparse.Namespace, build: Build, layout: Layout) -> _Seen:
    """The head as caliper readings tell it."""
    try:
        holes = read_hole_table(read_bytes(chosen.photo, LARGEST_TABLE), layout, chosen.units)
        read = all_read(layout, holes)
        head = as_read(build, layout, read.holes)
    except ValueError as error:
        raise Refusal(f"{chosen.photo}: {say_note(error, chosen.units)}") from None
    return head, tuple(say_read(layout, read, chosen.units)), read


def _told(chosen: argparse.Namespace, build: Build) -> PictureTold:
    """What is told of the picture; the thickness is that of the build where none is given."""
    told = told_of(chosen)
    return told if told.thickness is not None or told.scan or told.without_sheet else as_thick(told, build)


def _sentences(answer: _Answer, units: Units) -> Iterator[str]:
    yield from say_drilled(answer.head, units)
    yield from say_head(answer.head, units)
    yield from say_rest(answer.head, answer.proposal, answer.steps, units)
    yield from (say_note(each, units) for each in answer.said)


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
        "contradicting": [_off_as_json(off, head.layout) for off in (answer.read.off if answer.read else ())],
        "old_holes": _plain(head.old),
        "others": _plain(head.others),
        "edge_off": head.edge_off,
        "works": head.works,
        "worse": [as_json(finding, units) for finding in head.worse],
        "words": list(_sentences(answer, units)),
    }


def _plain(holes: tuple[Seen, ...]) -> list[dict[str, Any]]:
    return [{"at": [each.at.x, each.at.y], "diameter": each.diameter} for each in holes]


def _off_as_json(off: Off, layout: Layout) -> dict[str, Any]:
    other = None if off.reading.post is None else layout.post(off.reading.post).label
    return {"hole": layout.post(off.post).label, "reading": off.reading.kind, "to": other, "by": off.by}
