"""`pegwright best`: the placement whose smallest joint ring is the largest."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from app.command_line.common import DONE, STOPPED, refuse_build
from app.command_line.given import length_within, pair_of, posts_named
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, report, tell
from app.widgets.ranges import MOST_STRAIGHT
from geometry.checks.judge import Level, findings, worst
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.alike import Unlike, say_unlike
from geometry.search.placing.best import Proposal, best, sides_of
from geometry.search.placing.cures import remedies
from geometry.search.placing.cures_words import say_remedies
from geometry.search.placing.plain import say_given_up
from geometry.search.placing.standing import Span, Wish, mean_splay
from geometry.search.rings.allowance import allowance, rounded_down
from geometry.search.rings.allowance_words import say_ring, say_rings
from geometry.trade.escapes import quoted
from geometry.trade.quantities import show_angle, show_radius
from geometry.trade.units import Units


def run(chosen: argparse.Namespace) -> int:
    """Write the best placement where a file is given, say what it gains and what limits it, and return the exit code.

    Where nothing better is found, what is written is the build as it was.
    """
    if chosen.output is not None:
        refuse_build(chosen.output, force=chosen.force)
    build = load_build(chosen.file)
    wish = wish_of(chosen, lay_out(build), chosen.units)
    _refuse_unlike(build, wish, chosen.units)
    proposal = best(build, wish, units=chosen.units)
    found = findings(proposal.build)
    wrote = f"{chosen.file}, placed anew:"
    if chosen.output is not None:
        write_whole(chosen.output, write_build(proposal.build))
        wrote = f"Wrote {chosen.output}."
    tell(f"{wrote} {headline(found)}")
    open_findings = report(str(chosen.file), found, everything=False, units=chosen.units)[1:]
    tell(*(f"  {words}" for words in sentences(build, proposal, chosen.units)), *open_findings)
    return STOPPED if worst(found) is Level.STOP else DONE


def wish_of(chosen: argparse.Namespace, layout: Layout, units: Units) -> Wish:
    """What the options ask for; Refusal where they make no sense for these posts."""
    if chosen.seed < 0:
        raise Refusal("--seed: expected 0 or more.")
    return Wish(
        kind=chosen.kind,
        fixed=tuple(post.key for post in posts_named("--fixed", chosen.fixed, layout)),
        pitch=_span("--pitch", chosen.pitch, units),
        inset=_span("--inset", chosen.inset, units),
        straight=length_within("--straight", chosen.straight, units, 0.0, MOST_STRAIGHT),
        seed=chosen.seed,
    )


def _refuse_unlike(build: Build, wish: Wish, units: Units) -> None:
    found = sides_of(build, lay_out(build)) if wish.kind == "mirrored" else ()
    if isinstance(found, Unlike):
        raise Refusal(f"--kind mirrored: the two sides are not alike: {say_unlike(found, units)}")


def _span(option: str, text: str | None, units: Units) -> Span | None:
    if text is None:
        return None
    least, most = pair_of(
        option, text, units, ":", "no range; expected the least and the most, such as 10:16"
    )
    if least > most:
        raise Refusal(f"{option}: {quoted(text)} begins after it ends; expected the smaller length first.")
    return Span(least, most)


def sentences(build: Build, proposal: Proposal, units: Units) -> Iterator[str]:
    """What a proposal gains over a build, and what limits it."""
    before, after = (show_radius(rounded_down(ring), units) for ring in (proposal.before, proposal.after))
    if proposal.build == build:
        yield f"The tuners stay where they are: nothing better was found. The smallest ring is {after}."
    else:
        splays = [show_angle(mean_splay(lay_out(each))) for each in (build, proposal.build)]
        yield f"The smallest ring was {before} and is {after} now."
        yield "The strings turned {} at the nut and turn {} now, on average.".format(*splays)
        if proposal.kind == "mirrored":
            yield "Both sides were kept alike."
    given_up = say_given_up(proposal.given_up, units)
    if given_up is not None:
        yield given_up
    if proposal.refused is not None:
        yield f"Other places would break a limit that these keep, or break one further: {proposal.refused}"
    if proposal.forbidden is not None:
        so = "" if proposal.build == build else "; this is the least bad"
        yield f"No placement was found that keeps every limit{so}. {proposal.forbidden}"
        yield from say_remedies(remedies(proposal.build, units), proposal.build, units)
    rings = allowance(proposal.build)
    yield say_rings(rings, units)
    free = [ring for ring in rings.rings if not ring.broken]
    if free:
        least = min(free, key=lambda ring: (ring.radius, ring.alone))
        yield say_ring(least, proposal.build, units)
