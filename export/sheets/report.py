"""The check report: whether the head can be drilled, what to look at, and what to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from export.drawing import Anchor, Role, Room, Sheet
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow
from export.sheet_kind import SheetKind
from geometry.checks.judge import Finding, Level, findings, worst
from geometry.checks.words import COUNTS, headline, say
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.search.answers.compare_words import SIGNS
from geometry.search.placing.cures import remedies
from geometry.search.placing.cures_words import say_remedies
from geometry.search.rings.allowance import Ring, allowance
from geometry.search.rings.allowance_words import say_alone, say_rings
from geometry.trade.hardware import Hardware
from geometry.trade.limits import DEFAULT_RULES, Limit, Rule, Unit
from geometry.trade.quantities import (
    show_angle,
    show_count,
    show_measured,
    show_quantity,
    show_radius,
    show_typed,
    typed_number,
)
from geometry.trade.sentence import say_note
from geometry.trade.shop import Shop
from geometry.trade.units import Units

LEVEL_WORDS = {
    level: f"{SIGNS[level]} {word}"
    for level, word in ((Level.STOP, "STOP"), (Level.WATCH, "watch"), (Level.FINE, "fine"))
}
"""A sign and a word for each level, so that nobody needs to see the colour."""

LEVEL_ROLES = {Level.STOP: Role.STOP, Level.WATCH: Role.WATCH, Level.FINE: Role.FINE}
"""The role of the words of each level."""

WHERE_CURES = "What helps against each: choose the finding in the window, or let the check tell its cures."
"""Cures are worked out where they are asked for: of a head with many faults that takes a minute."""

_NAME, _TITLE = "report", "Check report"
_SIGNS: dict[Unit, str] = {"deg": "°", "%": " %"}


def report_sheets(
    build: Build, layout: Layout, found: Iterable[Finding], shop: Shop, room: Room
) -> tuple[Sheet, ...]:
    """The report on `found`, worst first, as sheets of one page each; a page has `room` (width and height in mm)."""
    found = tuple(found)
    blocks = (
        Heading(verdict(layout, found)),
        *_open(found, shop.units),
        *_cures(build, found, shop.units),
        *_pieces(build, layout, shop.units),
        *_rings(build, layout, shop.units, narrow=room[0] < NARROW),
        *_passed(found, shop.units),
        *_changes(build, shop.units),
        *_notes(build),
    )
    return flow(blocks, _NAME, _TITLE, *room)


def reason_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """What is not fine, what cures its heights and where to read of other cures, and nothing else."""
    found = findings(build, layout)
    blocks = (
        Heading(verdict(layout, found)),
        *_open(found, shop.units),
        *_cures(build, found, shop.units),
        Paragraph(WHERE_CURES),
        *_notes(build),
    )
    return flow(blocks, "reasons", "What to fix first", *room)


def _judged(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    return report_sheets(build, layout, findings(build, layout), shop, room)


REPORT = SheetKind(name=_NAME, title=_TITLE, draw=_judged, reads=True)

REASONS = SheetKind(name="reasons", title="What to fix first", draw=reason_sheets, reads=True)


def verdict(layout: Layout, found: tuple[Finding, ...]) -> str:
    """The sign of the worst level, and whether the head can be drilled."""
    level = worst(found)
    if level is not Level.STOP and not layout.posts:
        return f"{SIGNS[Level.WATCH]} There is nothing to drill yet: no tuner has its place."
    return f"{SIGNS[level]} {headline(found)}"


# Findings


def _open(found: tuple[Finding, ...], units: Units) -> Iterator[Block]:
    """What is not fine, each with a sentence."""
    columns = (
        Column("Level", 1.3),
        Column("What was found", 6.0),
        Column("Measured", 1.6, "end"),
        Column("Stop if", 1.6, "end"),
        Column("Watch if", 1.6, "end"),
    )
    rows = tuple(_open_row(finding, units) for finding in found if finding.level is not Level.FINE)
    if rows:
        yield Heading("What to look at, worst first", 2)
        yield Table(columns, rows)
        yield Paragraph(
            "Stop: it cannot be assembled, or the wood fails. Watch: it works, but a maker should know."
        )


def _cures(build: Build, found: tuple[Finding, ...], units: Units) -> Iterator[Block]:
    """What cures a height at stop, where something was found that does."""
    if worst(found) is Level.STOP:
        yield from (
            Paragraph(words, bold=True) for words in say_remedies(remedies(build, units), build, units)
        )


def _open_row(finding: Finding, units: Units) -> Row:
    stop, watch = (_limit(finding, limit, units) for limit in (finding.stop, finding.watch))
    cells = (LEVEL_WORDS[finding.level], say(finding, units), _measured(finding, units), stop, watch)
    return Row(cells, LEVEL_ROLES[finding.level], bold=finding.level is Level.STOP)


def _measured(finding: Finding, units: Units) -> str:
    if finding.measured is None:
        return "unknown"
    if finding.check in COUNTS:
        return "–"
    return show_quantity(finding.measured, finding.unit, units)


def _limit(finding: Finding, limit: float | None, units: Units) -> str:
    """Below or above what a level begins."""
    if limit is None or finding.check in COUNTS:
        return "–"
    beyond = "<" if finding.sense == "at least" else ">"
    return f"{beyond} {show_quantity(limit, finding.unit, units)}"


def _passed(found: tuple[Finding, ...], units: Units) -> Iterator[Block]:
    """What is fine: the closest of every check, and how many of all that were checked.

    A check that counts faults is fine as a whole or not at all.
    """
    columns = (
        Column("Check", 2.6),
        Column("Closest", 1.9, "end"),
        Column("Needed", 2.2, "end"),
        Column("Which", 3.0),
        Column("Checked", 1.5, "end"),
    )
    by_check: dict[str, list[Finding]] = {}
    for finding in found:
        if finding.level is Level.FINE:
            by_check.setdefault(finding.check, []).append(finding)
    total = Counter(finding.check for finding in found)
    rows = tuple(
        _passed_row(min(group, key=_margin), len(group), total[check], units)
        for check, group in by_check.items()
        if check not in COUNTS or len(group) == total[check]
    )
    if rows:
        yield Heading("What is fine", 2)
        yield Table(columns, rows)


def _margin(finding: Finding) -> float:
    return finding.margin if finding.margin is not None else 0.0


def _passed_row(finding: Finding, fine: int, total: int, units: Units) -> Row:
    name = f"✓ {finding.check}"
    number = str(total) if fine == total else f"{fine} of {total}"
    if finding.check in COUNTS:
        return Row((name, "none wrong", "–", "all", number), Role.FINE)
    required = finding.stop if finding.watch is None else finding.watch
    assert required is not None, "a rule has a limit"
    sign = "≥" if finding.sense == "at least" else "≤"
    needed = f"{sign} {show_quantity(required, finding.unit, units)}"
    which = " and ".join(part.name for part in finding.about)
    return Row((name, _measured(finding, units), needed, which, number), Role.FINE)


# How far holes may miss


def _rings(build: Build, layout: Layout, units: Units, *, narrow: bool) -> Iterator[Block]:
    """The ring of every hole, what it may miss alone, and what ends that."""
    found = allowance(build, layout)
    if not found.rings:
        return
    yield Heading("How far holes may miss their marks", 2)
    yield Paragraph(say_rings(found, units))
    if not found.told:
        return
    heads = ("Hole", "Ring", "Alone", "Even within", "Lean")
    shares = (1.0, 1.45, 6.1, 1.6, 1.1) if narrow else (0.8, 1.2, 7.4, 1.5, 1.0)
    anchors: tuple[Anchor, ...] = ("start", "end", "start", "end", "end")
    columns = tuple(Column(*each) for each in zip(heads, shares, anchors, strict=True))
    yield Table(columns, tuple(_ring_row(ring, build, units) for ring in found.rings))
    yield Paragraph(
        "Ring: all marks may lie anywhere in their rings at once. Alone: while all others are where they belong. "
        "Even within: the row still looks straight and even. Lean: with all marks dead on."
    )


def _ring_row(ring: Ring, build: Build, units: Units) -> Row:
    even = "–" if ring.even is None else show_measured(ring.even, units)
    lean = show_angle(ring.lean_deg)
    return Row((ring.label, show_radius(ring.radius, units), say_alone(ring, build, units), even, lean))


# What to buy


def _pieces(build: Build, layout: Layout, units: Units) -> Iterator[Block]:
    rows = tuple(
        Row((hardware.name, words, hardware.source))
        for hardware in build.hardware
        if (words := pieces_to_buy(hardware, layout))
    )
    if rows:
        yield Heading("Pieces to buy", 2)
        yield Table((Column("Tuner", 4.0), Column("Pieces", 3.0), Column("Sizes from", 2.4)), rows)
        yield Paragraph(
            "A left piece fits the side that lies left when the face is towards you and the tip is up; "
            "a right piece is its mirror image."
        )
        yield from (Paragraph(say_note(problem, units), bold=True) for problem in layout.problems)


def pieces_to_buy(hardware: Hardware, layout: Layout) -> str:
    """How many left and right pieces (or plates) of one kind of tuner are placed; empty for none."""
    posts = [post for post in layout.posts if post.hardware.key == hardware.key]
    if hardware.plate:
        firsts = {plate.posts[0] for plate in layout.plates}
        posts = [post for post in posts if post.key in firsts]
    if not posts:
        return ""
    if not hardware.handed:
        return show_count(len(posts), "plate" if hardware.plate else "piece")
    sides = Counter(post.piece for post in posts)
    counted = [(side, sides[side]) for side in ("left", "right") if sides[side]]
    if hardware.plate:
        return ", ".join(show_count(count, f"{side} plate") for side, count in counted)
    return ", ".join(f"{count} {side}" for side, count in counted)


# What the maker changed and wrote


def _changes(build: Build, units: Units) -> Iterator[Block]:
    rules = {rule.name: rule for rule in DEFAULT_RULES}
    rows = []
    for change in build.limits:
        rule = rules[change.rule]
        usual = rule.watch if change.level == "watch" else rule.stop
        words = [_limit_words(limit, rule, units) for limit in (change.limit, usual)]
        rows.append(Row((change.rule, change.level, *words)))
    if rows:
        columns = (Column("Check", 3.0), Column("Level"), Column("Here", 3.0), Column("As a rule", 3.0))
        yield Heading("Limits changed for this build", 2)
        yield Table(columns, tuple(rows))


def _limit_words(limit: Limit | None, rule: Rule, units: Units) -> str:
    if limit is None:
        return "none"
    least = show_typed(limit.least, rule.unit, units)
    return f"{least}, and {typed_number(limit.of_bore)} × {rule.share_of}" if limit.of_bore else least


def _notes(build: Build) -> Iterator[Block]:
    if build.notes.strip():
        yield Heading("Notes", 2)
        yield from (Paragraph(line) for line in build.notes.splitlines() if line.strip())
