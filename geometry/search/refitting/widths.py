"""One head for a range of nut widths: what limits it at each of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.search.placing.gate import harm
from geometry.search.refitting.refit import Widen, refit
from geometry.search.rings.allowance import Judged, Ring, judged, rounded_down
from geometry.search.rings.allowance_words import say_end
from geometry.shape.tolerance import PASS, PRINT, SAME
from geometry.trade.quantities import show_length, show_radius
from geometry.trade.sentence import SentenceError
from geometry.trade.units import Units

MOST_WIDTHS = 200
"""No range has more members: nobody prints that many templates."""

_MOST_TOLD = 6  # so many stretches of widths are told in a sentence


class Member(Judged, frozen=True):
    """The head refitted to a nut of `width` mm; `worse` are the findings that make it worse than the head as it was."""

    width: float
    worse: tuple[Finding, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether something is at stop: the width is to be avoided."""
        return self.level is Level.STOP

    @property
    def closest(self) -> Finding | None:
        """The finding in mm that is nearest to its stop limit, or furthest beyond it; None without any."""
        measured = [each for each in self.found if _counts(each)]
        return min(measured, key=_margin, default=None)

    @property
    def margin(self) -> float | None:
        """How far in mm the closest quantity is from its stop limit, negative beyond it."""
        return None if self.closest is None else self.closest.margin

    @property
    def narrowest(self) -> Ring | None:
        """The hole with the smallest joint ring, of several the one that may miss least alone.

        None where no hole is left to drill.
        """
        rings = (ring for ring in self.allowance.rings if not ring.drilled)
        return min(rings, key=lambda ring: (ring.radius, ring.alone), default=None)

    @property
    def smallest(self) -> float:
        """The exact radius of the smallest joint ring in mm."""
        return self.allowance.smallest


def _counts(finding: Finding) -> bool:
    """Whether a finding tells of room; a limit below nothing only allows for what cannot be cut more exactly."""
    if finding.unit != "mm" or finding.stop is None or finding.margin is None:
        return False
    return finding.stop >= 0 or finding.margin < -PASS


def _margin(finding: Finding) -> tuple[float, str]:
    """Of both sides of a symmetric head the same one is named at every width."""
    assert finding.margin is not None, "only what is measured is compared"
    return round(finding.margin, 6), finding.about[0].name


def widths_between(first: float, last: float, step: float) -> tuple[float, ...]:
    """Widths in mm from the first by equal steps, the last one too where a step ends there.

    ValueError with a sentence when there are none or too many.
    """
    if step <= 0:
        message = "the step of {0} leads nowhere; expected more than 0"
        raise SentenceError(message, typed=(step,))
    if last < first:
        message = "{0} is wider than {1}; expected the narrower one first"
        raise SentenceError(message, typed=(first, last))
    count = int((last - first + SAME) / step) + 1
    if count > MOST_WIDTHS:
        message = f"these are {count} widths; expected {MOST_WIDTHS} at most"
        raise ValueError(message)
    return tuple(round(first + number * step, 9) for number in range(count))


def across_widths(build: Build, widths: Iterable[float], widen: Widen | None = None) -> Iterator[Member]:
    """The members one by one, each made when it is asked for, so that work can be told of or ended in between."""
    before = findings(build)
    for width in widths:
        head = judged(refit(build, width, widen))
        yield Member(head.build, head.layout, head.found, head.allowance, width, harm(before, head.found))


# Which widths to avoid


def to_avoid(members: Sequence[Member]) -> tuple[tuple[int, int], ...]:
    """The first and the last number of each run of neighbouring members at stop."""
    runs: list[tuple[int, int]] = []
    for number, member in enumerate(members):
        if not member.stopped:
            continue
        if runs and runs[-1][1] == number - 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return tuple(runs)


def say_avoid(members: Sequence[Member], units: Units) -> str:
    """Which of the widths to avoid, in one sentence."""
    runs = to_avoid(members)
    if not runs:
        return "Nothing is at stop at any of these widths."
    if runs == ((0, len(members) - 1),):
        return "Avoid all of these nut widths: something is at stop at each of them."
    spans = [(members[first].width, members[last].width) for first, last in runs]
    told = [
        show_length(one, units) if one == two else f"{show_length(one, units)} to {show_length(two, units)}"
        for one, two in spans
    ]
    more = f" and {len(told) - _MOST_TOLD} stretches more" if len(told) > _MOST_TOLD else ""
    return f"Avoid these nut widths, where something is at stop: {', '.join(told[:_MOST_TOLD])}{more}."


def say_best(members: Sequence[Member], units: Units) -> str:
    """At which width the holes may miss most, of those that make nothing worse; empty where they never may."""
    usable = [member for member in members if not member.stopped and not member.worse]
    best = max(usable, key=lambda member: member.smallest, default=None)
    if best is None or rounded_down(best.smallest) <= 0:
        return ""
    ring = show_radius(rounded_down(best.smallest), units)
    if best.smallest - min(member.smallest for member in usable) <= PRINT:
        return f"The smallest ring is {ring} at all of them." if usable == list(members) else ""
    return f"The smallest ring is largest at {show_length(best.width, units)}: {ring}."


def say_limit(member: Member) -> str:
    """Which check is closest to its limit, and where."""
    closest = member.closest
    if closest is None:
        return "nothing to tell"
    return f"{closest.check}: {', '.join(part.name for part in closest.about)}"


def say_narrowest(member: Member) -> str:
    """Which hole has the smallest ring, and what ends it."""
    ring = member.narrowest
    if ring is None:
        return "no holes"
    if ring.broken:
        return f"{ring.label}: broken already"
    return ring.label if ring.ends is None else f"{ring.label}: {say_end(ring.ends)}"
