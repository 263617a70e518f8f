"""One head for several nut widths: the same checks as for each alone, and words about them."""

from __future__ import annotations

import msgspec
import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import Build
from geometry.document.outline import Nodes
from geometry.layout.layout import lay_out
from geometry.search.refitting.refit import refit
from geometry.search.refitting.widths import (
    MOST_WIDTHS,
    Member,
    across_widths,
    say_avoid,
    say_best,
    say_limit,
    say_narrowest,
    to_avoid,
    widths_between,
)
from geometry.search.rings.allowance import allowance
from tests.builds import change, four_friction, plain_head, rectangle, row, three_and_three


@pytest.mark.parametrize(
    ("first", "last", "step", "widths"),
    [
        (40.0, 43.0, 1.0, (40.0, 41.0, 42.0, 43.0)),
        (40.0, 42.9, 1.0, (40.0, 41.0, 42.0)),
        (44.0, 44.0, 1.0, (44.0,)),
        # A tenth is no binary fraction, yet the last one is there.
        (40.0, 40.5, 0.1, (40.0, 40.1, 40.2, 40.3, 40.4, 40.5)),
        (41.275, 44.45, 1.5875, (41.275, 42.8625, 44.45)),
    ],
)
def test_widths(first: float, last: float, step: float, widths: tuple[float, ...]) -> None:
    assert widths_between(first, last, step) == widths


@pytest.mark.parametrize(
    ("first", "last", "step", "words"),
    [
        (40.0, 48.0, 0.0, "leads nowhere"),
        (48.0, 40.0, 1.0, "the narrower one first"),
        (40.0, 48.0, 8.0 / MOST_WIDTHS, f"{MOST_WIDTHS + 1} widths"),
    ],
)
def test_widths_that_are_none(first: float, last: float, step: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        widths_between(first, last, step)


def test_a_member_is_the_refitted_head() -> None:
    build = three_and_three()
    (member,) = across_widths(build, (46.0,), "head")
    there = refit(build, 46.0, "head")
    assert (member.width, member.build) == (46.0, there)
    assert member.found == findings(there)
    assert member.allowance == allowance(there, lay_out(there))
    assert member.smallest == member.allowance.smallest


def test_members_are_made_when_they_are_asked_for() -> None:
    def widths() -> object:
        yield 44.0
        raise AssertionError("nobody asked for a second one")

    made = across_widths(three_and_three(), widths())  # type: ignore[arg-type]
    assert next(made).width == 44.0


def walled(inset: float) -> Build:
    """A plain head, 80 wide, with one bore of 10 mm whose middle is `inset` from its side."""
    rule = change(row().rule, inset=inset)
    tuner = change(plain_head().hardware[0], body=None, seat=None, washer=None)
    head = change(plain_head().head, angle_deg=8.0)
    return plain_head(row(rule=rule), hardware=(tuner,), slots=(10.0,), head=head)


def test_the_closest_is_the_least_margin_in_mm() -> None:
    (member,) = across_widths(walled(8.5), (80.0,))
    # 8.5 - 5 = 3.5 mm of wood; 3 needed at least.
    assert member.closest is not None
    assert member.closest.check == "wall"
    assert member.margin == pytest.approx(0.5)
    assert say_limit(member) == "wall: bore 1, treble edge"


def test_what_only_allows_for_inexact_cutting_counts_when_it_is_broken() -> None:
    build = change(walled(20.0), nut=change(walled(20.0).nut, width=80.0))
    (member,) = across_widths(build, (80.0,))
    assert member.closest is not None
    assert member.closest.check != "width at nut"
    stiff = change(rectangle(), nodes=tuple(change(node, follows_nut=0.0) for node in rectangle().nodes))
    (broken,) = across_widths(change(build, outline=stiff), (90.0,))
    assert broken.closest is not None
    assert broken.closest.check == "width at nut"
    assert broken.margin == pytest.approx(-4.9)


def test_narrow_heads_are_to_be_avoided() -> None:
    # Two rows at 11 mm from the edges of a paddle that is scaled: the buttons behind it meet.
    members = list(across_widths(four_friction(), widths_between(20.0, 36.0, 4.0), "scale"))
    levels = [member.level for member in members]
    assert levels[0] is Level.STOP
    assert levels[-1] is not Level.STOP
    last = max(n for n, level in enumerate(levels) if level is Level.STOP)
    assert to_avoid(members) == ((0, last),)


def with_levels(*stops: bool) -> list[Member]:
    """Members 40, 41, ... mm wide, some of them with something at stop."""
    (good,) = across_widths(walled(20.0), (80.0,))
    (bad,) = across_widths(walled(6.0), (80.0,))
    return [msgspec.structs.replace(bad if stop else good, width=40.0 + n) for n, stop in enumerate(stops)]


def test_runs_to_avoid() -> None:
    assert to_avoid(with_levels(True, False, True, True)) == ((0, 0), (2, 3))
    assert to_avoid(with_levels(False)) == ()
    assert say_avoid(with_levels(True, False, True, True), "mm") == (
        "Avoid these nut widths, where something is at stop: 40 mm, 42 mm to 43 mm."
    )
    assert say_avoid(with_levels(*(True, False) * 8), "mm").endswith("48 mm, 50 mm and 2 stretches more.")
    assert say_avoid(with_levels(False, False), "mm") == "Nothing is at stop at any of these widths."
    assert say_avoid(with_levels(True, True), "mm") == (
        "Avoid all of these nut widths: something is at stop at each of them."
    )


def test_the_best_width() -> None:
    members = list(across_widths(three_and_three(), (42.0, 46.0), "head"))
    ring = max(member.smallest for member in members)
    best = next(member for member in members if member.smallest == ring)
    assert say_best(members, "mm").startswith(f"The smallest ring is largest at {best.width:g} mm: ")
    assert say_best(with_levels(False, False), "mm").endswith("at all of them.")
    assert say_best(with_levels(True, False), "mm") == ""
    assert say_best(with_levels(True), "mm") == ""
    # 3.005 mm of wood where 3 must stay: nobody can tell a ring of less than a hundredth.
    assert say_best(list(across_widths(walled(8.005), (80.0,))), "mm") == ""


def test_words_about_the_narrowest_hole() -> None:
    assert say_narrowest(with_levels(True)[0]) == "1: broken already"
    (good,) = across_widths(walled(9.0), (80.0,))
    assert say_narrowest(good) == "1: too little wood is left at the treble edge"
    assert good.smallest == pytest.approx(1.0)
    (free,) = across_widths(change(walled(20.0), outline=rectangle(), rows=()), (80.0,))
    assert say_narrowest(free) == "no holes"
    (nothing,) = across_widths(change(walled(20.0), outline=Nodes(nodes=()), rows=(), strings=()), (80.0,))
    assert (say_limit(nothing), nothing.margin) == ("nothing to tell", None)
    # The button stands 11 mm beyond the edge and 14 mm of wood are left: more than anybody misses by.
    (ample,) = across_widths(walled(19.0), (80.0,))
    assert say_narrowest(ample) == "1"
