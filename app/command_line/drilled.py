"""`pegwright drilled`: the holes that are in the wood, from a picture or caliper readings, against their plan."""

from __future__ import annotations

import argparse
from typing import Any

from app.command_line.answered import answered, asked
from app.command_line.check import as_json
from app.command_line.pictures import told_of
from app.document.files import read_bytes
from app.document.messages import Refusal
from app.intake.drilled_answer import DrilledAnswer, by_calipers, by_picture, say_answer
from app.intake.hole_table import read_hole_table
from geometry.document.build import Build
from geometry.intake.table import LARGEST_TABLE
from geometry.layout.layout import Layout
from geometry.search.answers.all_read import Off
from geometry.search.answers.drilled import Seen
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

TABLE = ".csv"
"""The suffix of caliper readings."""


def run(chosen: argparse.Namespace) -> int:
    """Say where each hole is and how the head stands, write the build when asked, and return the exit code."""
    build, layout = asked(chosen, "that nothing can be laid on it")
    if chosen.photo.suffix.lower() == TABLE:
        answer = _by_calipers(chosen, build, layout)
    else:
        answer = by_picture(chosen.photo, told_of(chosen), build, chosen.rest, chosen.units)
    told = _as_json(answer, chosen.units) if chosen.json else None
    sentences = () if chosen.json else say_answer(answer, chosen.units)
    return answered(chosen, answer.build, told, sentences)


def _by_calipers(chosen: argparse.Namespace, build: Build, layout: Layout) -> DrilledAnswer:
    try:
        holes = read_hole_table(read_bytes(chosen.photo, LARGEST_TABLE), layout, chosen.units)
        return by_calipers(holes, build, layout, chosen.rest, chosen.units)
    except ValueError as error:
        raise Refusal(f"{chosen.photo}: {say_note(error, chosen.units)}") from None


def _as_json(answer: DrilledAnswer, units: Units) -> dict[str, Any]:
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
        "old_holes": _plain(head.besides.old),
        "others": _plain(head.besides.others),
        "edge_off": head.besides.edge_off,
        "works": head.works,
        "worse": [as_json(finding, units) for finding in head.worse],
        "words": list(say_answer(answer, units)),
    }


def _plain(holes: tuple[Seen, ...]) -> list[dict[str, Any]]:
    return [{"at": [each.at.x, each.at.y], "diameter": each.diameter} for each in holes]


def _off_as_json(off: Off, layout: Layout) -> dict[str, Any]:
    other = None if off.reading.post is None else layout.post(off.reading.post).label
    return {"hole": layout.post(off.post).label, "reading": off.reading.kind, "to": other, "by": off.by}
