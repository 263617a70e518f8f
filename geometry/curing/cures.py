"""The cures of a finding: tried in turn, judged, the plainest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec
from msgspec.structs import replace

from geometry.bench.straight_rows import bent_by
from geometry.checks.judge import TOLD_ANYWAY, Finding, Level
from geometry.curing.case import Case, Head, Ladder, Source, Trial
from geometry.curing.judged import ROOM, Cure, climbed, further, judged, moves, rank
from geometry.curing.kinds import KINDS
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.search.placing.best import Progress, best
from geometry.search.rings.allowance import exact_rings, rounded_down
from geometry.trade.quantities import show_radius
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

MOST = 4
"""So many cures of one finding are told at most: who has more to choose from reads none."""

_FURTHER = (0.3, 0.6, 1.0)  # mm by which a cure that leaves less room goes on


class Cures(msgspec.Struct, frozen=True):
    """What cures a finding, the plainest first; `placement`: a search for another placement may.

    `hand` is what is left to the maker, empty where anything else is offered.
    """

    cures: tuple[Cure, ...]
    placement: bool
    hand: str


def cures_of(head: Head, finding: Finding) -> Cures:
    """What cures a finding of a head; nothing for one that is fine."""
    if finding.level is Level.FINE:
        return Cures((), placement=False, hand="")
    case = Case(head, _told(head, finding))
    kind = KINDS[case.finding.check]
    ladders: dict[Build, Ladder] = {}
    found = _chosen(_tried(case, kind.sources, ladders))
    if not any(rank(each) == 0 for each in found):
        # Behind what keeps the tuners that the maker has in hand, however much more those clear.
        other = [each for each in _chosen(_tried(case, kind.last, ladders)) if each not in found]
        found = [*found[: MOST - min(len(other), MOST // 2)], *other][:MOST]
    cures = tuple(_with_room(case, each, ladders.get(each.build)) for each in found)
    placement = kind.placement and any(not post.post.drilled for post in head.layout.posts)
    return Cures(cures, placement, "" if cures or placement else case.say(_hand(case)))


def _hand(case: Case) -> str:
    """What is left to the maker; on an outline that encloses no head nobody knows."""
    unsound = any(each.check == "outline" and each.level is Level.STOP for each in case.head.found)
    if unsound and case.finding.check not in TOLD_ANYWAY:
        return "Mend the outline first: what clears this cannot be told until then."
    return KINDS[case.finding.check].left_to_the_maker(case)


def _told(head: Head, finding: Finding) -> Finding:
    """What to cure for a finding: what cannot be told waits for the outline."""
    if finding.measured is not None:
        return finding
    return next((each for each in head.found if each.check == "outline"), finding)


def _tried(case: Case, sources: Iterable[Source], ladders: dict[Build, Ladder]) -> Iterator[Cure]:
    """Cures, until enough of them leave nothing to look at; those that stand on a ladder are noted with it."""
    clean = 0
    for source in sources:
        for change in source(case):
            cure = judged(case, change).cure if isinstance(change, Trial) else climbed(case, change)
            if cure is not None:
                if isinstance(change, Ladder):
                    ladders.setdefault(cure.build, change)
                yield cure
                clean += rank(cure) == 0
        if clean >= MOST:
            return


def _chosen(found: Iterable[Cure]) -> list[Cure]:
    """The plainest few, each head once and the same words once: a row of one post moves as the post does."""
    by_build: dict[Build, Cure] = {}
    for cure in found:
        by_build.setdefault(cure.build, cure)
    by_act: dict[str, Cure] = {}
    for cure in by_build.values():
        by_act.setdefault(cure.act, cure)
    return sorted(by_act.values(), key=lambda each: (rank(each), each.stops))[:MOST]


def _with_room(case: Case, cure: Cure, ladder: Ladder | None) -> Cure:
    """A cure with its outcome, taken further where it would leave less room to miss than a hand needs."""
    roomiest = _with_outcome(case.head, cure)
    for by in _FURTHER:
        if ladder is None or roomiest.ring is None or roomiest.ring >= ROOM:
            break
        more = further(case, ladder, cure, by)
        told = roomiest if more is None else _with_outcome(case.head, more)
        if told.ring is not None and told.ring > roomiest.ring and told.bent <= roomiest.bent:
            roomiest = told
    return roomiest


def _with_outcome(head: Head, cure: Cure) -> Cure:
    """A cure with the smallest ring and the rows that it bends."""
    bent = len(bent_by(head.layout, lay_out(cure.build)))
    return replace(cure, ring=_ring(head, cure.build), bent=bent)


def _ring(head: Head, build: Build) -> float | None:
    """The smallest ring of the holes to be drilled where one has moved, None where none has or a limit is broken."""
    if not moves(head.layout, build):
        return None
    head.tick()
    rings = exact_rings(build, lay_out(build)).rings
    if any(each.broken for each in rings):
        return None
    return min((each.radius for each in rings if not each.drilled), default=None)


def placement_for(head: Head, finding: Finding, progress: Progress | None = None) -> Cure | None:
    """The best placement, where it cures a finding; None where the search finds none that does."""
    proposal = best(head.build, progress=progress, units=head.units)
    case = Case(head, finding)
    words = case.say("take the placement with the largest rings")
    cure = judged(case, Trial(words, proposal.build)).cure
    return None if cure is None else _with_outcome(head, cure)


# In words


_TOLD = 2  # so many things to look at are named, the rest are counted


def say_cure(cure: Cure, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """What to do and what comes of it."""
    act = cure.act[:1].upper() + cure.act[1:]
    return f"{act}: {say_outcome(cure, units, translate)}"


def say_outcome(cure: Cure, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """What comes of a cure: what is left of the head, rows it bends, the smallest ring, what is new to look at.

    A ring that is less than a hand needs is told as too little.
    """
    told = [_left(cure, translate)]
    if cure.level is not Level.FINE:
        told.append(translate("this one only to look at"))
    if cure.bent:
        told.append(
            translate(
                "its row is then not straight" if cure.bent == 1 else "their rows are then not straight"
            )
        )
    if cure.ring is not None:
        told.append(translate(_ring_words(cure.ring)).format(show_radius(cure.ring, units)))
    fresh = translate("; then look at {0}").format(_named(cure.fresh, translate)) if cure.fresh else ""
    return ", ".join(told) + fresh


def _ring_words(ring: float) -> str:
    if rounded_down(ring) <= 0:
        return "no room to miss"
    return "smallest ring {0}" if ring >= ROOM else "smallest ring only {0}"


def _left(cure: Cure, translate: Translate) -> str:
    """What is left of the whole head, counted as the headline counts it."""
    if cure.stops:
        return translate("1 problem left" if cure.stops == 1 else "{0} problems left").format(cure.stops)
    if cure.watches:
        return translate("no stop left, {0} to look at").format(cure.watches)
    return translate("everything clears")


def _named(found: tuple[Finding, ...], translate: Translate) -> str:
    names = [f"{translate(each.check)} ({' – '.join(part.name for part in each.about)})" for each in found]
    more = len(names) - _TOLD
    told = ", ".join(names[:_TOLD])
    return told if more <= 0 else translate("{0} and {1} more").format(told, more)
