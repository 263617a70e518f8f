"""Drilled holes against their plan, from a picture or from caliper readings: what window and command line both tell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Literal

import msgspec

from app.document.messages import Refusal
from app.intake.picture_told import PictureTold
from geometry.document.build import Build
from geometry.intake.found import FacePicture
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.all_read import AllRead, ReadHole, all_read
from geometry.search.answers.drilled import AsDrilled, as_read
from geometry.search.answers.drilled_words import say_drilled, say_read
from geometry.search.answers.missed import Step, placed_again, steps_of
from geometry.search.answers.missed_words import say_head, say_rest
from geometry.search.placing.best import Progress, Proposal
from geometry.trade.sentence import Note, Sentence, SentenceError, say_note
from geometry.trade.units import Units

Rest = Literal["all", "keep"]
"""Whether marks of holes still to be drilled move: all of them, or none."""


class DrilledAnswer(msgspec.Struct, frozen=True, eq=False):
    """All that is told; `said` are sentences about the picture or the readings, `build` is what is kept.

    `read` is what the readings tell of themselves, `picture` the face in a picture; None of them where there is none.
    """

    head: AsDrilled
    proposal: Proposal | None
    steps: tuple[Step, ...]
    build: Build
    said: tuple[Note, ...]
    read: AllRead | None = None
    picture: FacePicture | None = None


def by_picture(
    path: Path,
    told: PictureTold,
    build: Build,
    rest: Rest | None,
    units: Units = "mm",
    progress: Progress | None = None,
) -> DrilledAnswer:
    """The answer of a photo or a scan; its head is as thick as the build says where nothing is told of that.

    `rest` is None where the other marks move only if the head does not work otherwise. Refusal in the units.
    """
    from app.intake.photo import drilled_in, face_picture, see_head

    said: tuple[Note, ...] = ()
    if told.thickness is None and not (told.scan or told.without_sheet):
        head = build.head
        told = msgspec.structs.replace(
            told, thickness=head.thickness_nut, thickness_at_tip=head.thickness_tip
        )
        text = "The head is taken as {0} thick at the nut and {1} at the tip, as the build says."
        if head.thickness_nut == head.thickness_tip:
            text = "The head is taken as {0} thick, as the build says."
        said = (Sentence(text, (), (head.thickness_nut, head.thickness_tip)),)
    seen = see_head(path, told, units)
    try:
        drilled = drilled_in(seen, build, lay_out(build))
    except SentenceError as error:
        raise Refusal(f"{path}: {say_note(error, units)}") from None
    answer = _answered(drilled, rest, units, progress, (*said, *seen.remarks))
    return msgspec.structs.replace(answer, picture=face_picture(seen, told))


def by_calipers(
    holes: Sequence[ReadHole],
    build: Build,
    layout: Layout,
    rest: Rest | None,
    units: Units = "mm",
    progress: Progress | None = None,
) -> DrilledAnswer:
    """The same of caliper readings; a SentenceError where they do not tell a place. `layout` is that of the build."""
    read = all_read(layout, holes)
    drilled = as_read(build, layout, read.holes)
    answer = _answered(drilled, rest, units, progress, tuple(say_read(layout, read, units)))
    return msgspec.structs.replace(answer, read=read)


def _answered(
    head: AsDrilled, rest: Rest | None, units: Units, progress: Progress | None, said: tuple[Note, ...]
) -> DrilledAnswer:
    again = rest == "all" or (rest is None and not head.works)
    proposal = placed_again(head, (), units, progress) if again and head.left else None
    there = head.build if proposal is None else proposal.build
    return DrilledAnswer(head, proposal, steps_of(head.layout, lay_out(there)), there, said)


def say_answer(answer: DrilledAnswer, units: Units) -> Iterator[str]:
    """Each hole, how the head stands, what the others do, and what is unsure."""
    yield from say_drilled(answer.head, units)
    yield from say_head(answer.head, units)
    yield from say_rest(answer.head, answer.proposal, answer.steps, units)
    yield from (say_note(each, units) for each in answer.said)
