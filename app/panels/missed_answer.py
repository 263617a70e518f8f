"""A hole beside its mark: how the head stands, where the rest goes, what saves it, and how a panel tells it."""

from __future__ import annotations

import msgspec

from app.document.messages import Progress
from app.document.scene import Ghost
from app.panels.finding_rows import translated
from app.panels.level_sign import Verdict
from app.panels.panel import STEPS, Result, in_steps
from app.panels.sentences import sentence, tell
from app.widgets.kit import column, heading, remark
from geometry.checks.judge import Level, worst
from geometry.document.build import Build
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.missed import Missed, Rescue, Rest, Step, best_of_rest, missed, rescue, steps_of
from geometry.search.answers.missed_words import say_head, say_located, say_place, say_rest, say_ways_out
from geometry.search.answers.readings import Located, Reading
from geometry.search.placing.best import Proposal
from geometry.search.placing.cures import Remedy, remedies
from geometry.search.rings.allowance import exact_rings
from geometry.shape.point import Point
from geometry.trade.quantities import CLOSE
from geometry.trade.units import Units


class Place(msgspec.Struct, frozen=True):
    """The hole of `post` at `at`, `diameter` mm wide, with the readings that it was found from, if any."""

    post: str
    at: Point
    diameter: float
    readings: tuple[Reading, ...] = ()
    names: tuple[str, ...] = ()
    located: Located | None = None


class Answer(msgspec.Struct, frozen=True):
    """All that is told; `build` is the head with the hole where it is, and the rest placed as asked."""

    place: Place
    hole: Missed
    rescue: Rescue
    proposal: Proposal | None
    steps: tuple[Step, ...]
    build: Build
    level: Level
    remedies: tuple[Remedy, ...]
    ghost: Ghost


def seen(build: Build, layout: Layout, place: Place, words: str) -> Ghost:
    """The hole where it is, at once; its rings are told later."""
    there = move_posts(build, layout, {place.post: place.at})
    return Ghost(there, lay_out(there), words)


def answered(
    build: Build, place: Place, rest: Rest | None, units: Units, words: str, progress: Progress
) -> Answer:
    """Find out all; with `rest` the other holes are placed anew. `progress` may raise to end it."""
    told = in_steps(progress)
    read_from = tuple(each.post for each in place.readings if each.post is not None)
    hole = missed(build, lay_out(build), place.post, place.at, read_from)
    saved = rescue(hole, place.diameter, units)
    progress(0, STEPS)
    proposal = best_of_rest(hole, rest, units, told) if rest is not None and hole.left else None
    there = hole.build if proposal is None else proposal.build
    layout = hole.layout if proposal is None else lay_out(there)
    level = worst(hole.found)
    ghost = Ghost(there, layout, words, exact_rings(there, layout))
    cures = remedies(there, units)
    return Answer(place, hole, saved, proposal, steps_of(hole.layout, layout), there, level, cures, ghost)


class MissedResult(Result[Answer]):
    """The verdict and the ways out of a missed hole."""

    def __init__(self, units: Units) -> None:
        super().__init__(units)
        self.verdict = Verdict()
        self.says, self.others, self.ways = sentence(), sentence(), sentence()
        self.about, self.ways_title = remark(), heading("")
        others_title = heading(self.tr("The other holes"))
        others = (others_title, self.others)
        column(self, self.about, self.verdict, self.says, *others, self.ways_title, self.ways)

    def _tell(self, found: Answer) -> None:
        verdict, *more = say_head(found.hole, self._units)
        # Two heads are told of at once, the plan beside this one, and one may clear where the other does not.
        words = self.tr("This is the head with hole {0} as drilled. The findings are of the plan.")
        self.about.setText(words.format(found.hole.label))
        self.verdict.say(found.level, verdict)
        located = found.place.located
        readings = () if located is None else say_located(located, found.place.names, self._units)
        place = say_place(found.hole, self._units, None if located is None else CLOSE)
        tell(self.says, (place, *readings, *more))
        tell(self.others, say_rest(found.hole, found.proposal, found.steps, self._units))
        ways = say_ways_out(found.hole, found.rescue, found.remedies, found.build, self._units, translated)
        tell(self.ways, ways)
        words = self.tr("What else would help with hole {0} as drilled")
        self.ways_title.setText(words.format(found.hole.label))
        self.ways_title.setVisible(bool(ways))
