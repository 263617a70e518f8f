"""Every finding is one sentence a maker understands."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.checks.words import COUNTS, NEGATIVE, SENTENCES, headline, say
from geometry.document.build import AlongEdge, Blank, Build, Head, OldHole, Post
from geometry.shape.point import Point
from geometry.trade.hardware import Screw
from geometry.trade.limits import DEFAULT_RULES, Rule
from geometry.trade.quantities import show_measured
from geometry.trade.units import Units
from tests.builds import (
    READY_MADE,
    change,
    closest,
    laden_head,
    nodes,
    plain_head,
    post_at,
    row,
    three_and_three,
    tuner,
)

BORE, EDGE, STRING = Part("bore", "p", "3"), Part("edge", "", "treble"), Part("string", "s", "2")


def finding(
    rule: str, measured: float | None, level: Level, *about: Part, note: str = "", stop: float | None = None
) -> Finding:
    """A finding of a rule at a bore of 10 mm, or with a stop limit of its own."""
    found: Rule = next(each for each in DEFAULT_RULES if each.name.startswith(rule))
    at_stop = found.stop.at(10.0) if found.stop else None
    return Finding(
        check=rule,
        level=level,
        measured=measured,
        watch=found.watch.at(10.0) if found.watch else None,
        stop=at_stop if stop is None else stop,
        margin=0.0,
        unit=found.unit,
        sense=found.sense,
        where=None,
        about=about,
        note=note,
    )


STOP, WATCH, FINE = Level.STOP, Level.WATCH, Level.FINE
FAULT = "The outline crosses or touches itself."
OTHER = Part("post", "q", "6")


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (
            finding("wall", 2.4, STOP, BORE, EDGE),
            "Bore 3: 2.4 mm of wood left at the treble edge; at least 3.0 mm needed.",
        ),
        (
            finding("wall", 4.25, WATCH, BORE, EDGE),
            "Bore 3: 4.3 mm of wood left at the treble edge; aim for 5.0 mm or more.",
        ),
        (
            finding("wall", 6.0, FINE, BORE, EDGE),
            "Bore 3: 6.0 mm of wood left at the treble edge; aim for 5.0 mm or more.",
        ),
        (
            finding("wall", -1.5, STOP, BORE, EDGE),
            "Bore 3 breaks out by 1.5 mm at the treble edge; at least 3.0 mm needed.",
        ),
        # A broken limit never reads like the quantity that breaks it.
        (
            finding("wall", 2.9999, STOP, BORE, EDGE),
            "Bore 3: 2.9999 mm of wood left at the treble edge; at least 3.0000 mm needed.",
        ),
        (
            finding("splay", 13.04, WATCH, STRING),
            "String 2 turns 13.04 degrees sideways at the nut; aim for up to 13.00 degrees.",
        ),
        (
            finding("string to post", -0.4, STOP, STRING, OTHER),
            "String 2 rubs post 6: it runs 0.40 mm into the post or its windings; not allowed.",
        ),
        (
            finding("break", 2.66, WATCH, STRING),
            "String 2 bends down 2.7 degrees over the nut; aim for 4.0 degrees or more.",
        ),
        (
            finding("body gap", -0.001, STOP, Part("body", "a", "1"), Part("body", "b", "2")),
            "Body 1 and body 2 overlap by 0.001 mm; not allowed.",
        ),
        (
            finding("string stress", 82.4, WATCH, STRING),
            "String 2 pulls at 82 % of the least strength of its wire (ASTM A228); aim for up to 75 %.",
        ),
        (
            finding("string stress", 95.2, STOP, STRING),
            "String 2 pulls at 95.2 % of the least strength of its wire (ASTM A228); at most 95.0 % allowed.",
        ),
        (
            finding("high break", 22.5, WATCH, STRING),
            "String 2 bends down 22.5 degrees over the nut; aim for up to 21.0 degrees.",
        ),
        (finding("outline", 1.0, STOP, Part("head", "", ""), note=FAULT), FAULT),
        (
            finding("outline", 0.0, FINE, Part("head", "", "")),
            "The outline is closed and does not cross itself.",
        ),
        (finding("order", 1.0, STOP, STRING, Part("string", "t", "3")), "String 2 crosses string 3."),
        (finding("order", 0.0, FINE, STRING, Part("string", "t", "3")), "String 2 crosses no other string."),
        (
            finding("piece", 1.0, WATCH, OTHER),
            "Post 6 is a piece for the other side: it will tune the wrong way round.",
        ),
        (
            finding("seat", None, WATCH, Part("head", "", ""), note="Cannot be told."),
            "Seat: Cannot be told.",
        ),
        (
            finding("thickness", 0.2, WATCH, BORE, note="Too thin."),
            "Bore 3: the thickness is 0.20 mm inside the tuner's range; aim for 0.50 mm or more. Too thin.",
        ),
        (
            finding("thickness", 2.0, FINE, BORE, note="The head is 12.0 mm thick there."),
            "Bore 3: the thickness is 2.0 mm inside the tuner's range; aim for 0.50 mm or more.",
        ),
    ],
)
def test_sentences(found: Finding, sentence: str) -> None:
    assert say(found) == sentence


def test_sentence_in_inches() -> None:
    # 3/16 in is 4.7625 mm, 1/8 in 3.175 mm.
    found = finding("wall", 3.175, STOP, BORE, EDGE, stop=4.7625)
    assert say(found, "inch") == "Bore 3: 0.125 in of wood left at the treble edge; at least 0.188 in needed."


def test_broken_limit_in_inches_reads_otherwise_too() -> None:
    found = finding("wall", 4.7615, STOP, BORE, EDGE, stop=4.7625)
    assert say(found, "inch") == "Bore 3: 0.187 in of wood left at the treble edge; at least 0.188 in needed."


def test_sentences_can_be_translated() -> None:
    words = {
        "at least {0} needed": "mindestens {0}",
        SENTENCES["wall"]: "{a}: nur {measured} Holz ({b}); {limit}.",
    }
    found = finding("wall", 2.4, STOP, BORE, EDGE)
    sentence = say(found, "mm", lambda text: words.get(text, text))
    assert sentence == "Bore 3: nur 2.4 mm Holz (the treble edge); mindestens 3.0 mm."


@pytest.mark.parametrize(
    ("stops", "watches", "sentence"),
    [
        (1, 5, "Do not drill: fix 1 problem first."),
        (2, 0, "Do not drill: fix 2 problems first."),
        (0, 1, "It can be drilled; look at 1 finding first."),
        (0, 3, "It can be drilled; look at 3 findings first."),
        (0, 0, "It can be drilled: everything clears."),
    ],
)
def test_the_headline_counts_the_worst(stops: int, watches: int, sentence: str) -> None:
    levels = [STOP] * stops + [WATCH] * watches
    found = [finding("wall", 2.4, level, BORE, EDGE) for level in levels]
    assert headline(found) == sentence
    assert headline([*found, finding("wall", 9.0, FINE, BORE, EDGE)]) == sentence
    assert headline(found, str.upper) == sentence.upper()


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [(3.0, "mm", "3.0 mm"), (0.25, "mm", "0.25 mm"), (-0.5, "mm", "−0.50 mm"), (25.4, "inch", "1.000 in")],
)
def test_lengths(length: float, units: Units, text: str) -> None:
    assert show_measured(length, units) == text


def test_every_rule_has_its_sentence() -> None:
    # The web's two limits and the two sides of a button are said with one sentence each.
    said = {rule.name.removesuffix(" along grain").removesuffix(" across grain") for rule in DEFAULT_RULES}
    assert said == set(SENTENCES) | set(COUNTS)
    assert set(NEGATIVE) <= set(SENTENCES)


NEVER_BELOW_NOTHING = {"splay", "string stress", "hardest pull", "thickest string", "plate fit", "evenness"}
"""Sizes, shares and distances that have no side."""


def test_what_can_be_below_nothing_has_words_of_its_own() -> None:
    assert set(SENTENCES) - set(NEGATIVE) == NEVER_BELOW_NOTHING
    for check in NEGATIVE:
        name = {"web": "web along grain"}.get(check, check)
        rule = next(each for each in DEFAULT_RULES if each.name == name)
        below = finding(name, -1.8, STOP if rule.stop else WATCH, BORE, OTHER)
        said = say(change(below, check=check))
        assert "−" not in said, said


def test_holes_that_run_into_each_other() -> None:
    one, two = Part("screw", "p", "3"), Part("hole", "h", "old")
    said = say(finding("screw to hole", -1.8, STOP, one, two))
    assert said == "Screw 3 and hole old run into each other by 1.8 mm; at least 1.0 mm needed."
    own = say(finding("screw to own bore", -1.8, STOP, one))
    assert own == "Screw 3 runs 1.8 mm into its own tuner's bore; not allowed."


@pytest.mark.parametrize("ready", [*READY_MADE, laden_head])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_findings_of_real_heads_read_as_sentences(ready: Callable[[], Build], units: Units) -> None:
    for found in findings(ready()):
        sentence = say(found, units)
        assert sentence[0].isupper()
        assert sentence.endswith(".")
        assert "{" not in sentence
        assert "  " not in sentence
        assert " ;" not in sentence
        assert "the the" not in sentence
        assert "for 0.00" not in sentence
        assert "for −" not in sentence
        assert "nan" not in sentence


# Sentences of whole builds


def said(build: Build, check: str) -> str:
    return say(closest(build, check))


def test_wall_of_a_head() -> None:
    build = plain_head(row(rule=AlongEdge(start=60, pitch=40, inset=7.4)), slots=(0.0,))
    assert said(build, "wall") == "Bore 1: 2.4 mm of wood left at the treble edge; at least 3.0 mm needed."


def test_splay_that_the_other_side_would_cure() -> None:
    # On the outside of its post the string leans by 13 + 2 x 2 degrees and more, on the inside by less than 13.
    steep = post_at(14.0, 60.0, post={"flip_wound_side": True})
    sentence = said(plain_head(steep, slots=(0.0,)), "splay")
    assert sentence.startswith(
        "String 1 turns 16.4 degrees sideways at the nut; aim for up to 13.0 degrees. "
    )
    assert sentence.endswith("Wound on the other side of its post it would turn 9.9 degrees.")


def test_thickness_of_a_head() -> None:
    build = plain_head(row(), slots=(0.0,), head=Head(thickness_nut=22.0, thickness_tip=22.0))
    assert said(build, "thickness") == (
        "Bore 1: the thickness is 2.0 mm outside the tuner's range; not allowed."
        " The head is 22.0 mm thick there; the tuner takes 10 mm to 20 mm."
    )


def test_scar_and_piece_of_a_head() -> None:
    build = plain_head(
        row(posts=(Post(key="p", piece="left"),)),
        old_holes=(OldHole(key="o1", at=Point(0, 100), diameter=6.0),),
    )
    assert said(build, "scar") == "Hole o1 (old) stays in sight: no new bore, washer or seat covers it."
    assert said(build, "piece").startswith("Post spare A is a piece for the other side")


def test_unsound_outline_says_what_cannot_be_told() -> None:
    build = three_and_three(outline=nodes((20, 0), (-20, 90), (20, 90), (-20, 0)))
    assert said(build, "outline") == FAULT
    assert said(build, "wall") == "Wall: Not known until the outline is closed and does not cross itself."


@pytest.mark.parametrize(
    ("side", "sizes", "said"),
    [
        ("right", (60.0, 42.0, 220.0), "The head ends 2.0 mm inside the right edge of the blank; "),
        ("left", (38.0, 60.0, 220.0), "The head stands 2.0 mm over the left edge of the blank; "),
        ("tip", (60.0, 60.0, 195.0), "The head stands 5.0 mm over the tip edge of the blank; "),
    ],
)
def test_a_blank_says_on_which_side(side: str, sizes: tuple[float, float, float], said: str) -> None:
    """The head reaches 40 mm to either side and 200 mm up."""
    left, right, length = sizes
    found = findings(
        plain_head(post_at(0.0, 60.0), head=Head(blank=Blank(left=left, right=right, length=length)))
    )
    told = [say(each) for each in found if each.check == "blank" and each.about[0].label == side]
    assert [each.startswith(said) for each in told] == [True]


# Rounded edges


@pytest.mark.parametrize(
    ("edges", "said"),
    [
        ({}, "15.0 mm of wood left at the treble edge; "),
        (
            {"edge_face": 1.0, "edge_back": 1.0},
            "14.0 mm of wood left at the treble edge once it is rounded by 1 mm; ",
        ),
        (
            {"edge_face": 1.0},
            "14.0 mm of wood left at the treble edge once it is rounded by 1 mm on the face; ",
        ),
        (
            {"edge_face": 1.0, "edge_back": 2.5},
            "12.5 mm of wood left at the treble edge once it is rounded by 2.5 mm on the back; ",
        ),
        ({"binding": 2.0}, "13.0 mm of wood left at the treble edge inside its binding of 2 mm; "),
        (
            {"binding": 2.0, "edge_face": 1.0, "edge_back": 1.0},
            "12.0 mm of wood left at the treble edge once 2 mm of binding and 1 mm of rounding are taken off; ",
        ),
    ],
)
def test_a_wall_says_what_the_edge_loses(edges: dict[str, float], said: str) -> None:
    """A bore of 10 mm, its middle 20 mm inside the edge of 40: calipers find 15 mm, and so much less is wood."""
    wall = closest(plain_head(post_at(20.0, 60.0), head=change(Head(), **edges)), "wall")
    assert said in say(wall)


def test_what_breaks_into_the_rounding_says_so() -> None:
    wall = closest(plain_head(post_at(34.5, 60.0), head=Head(edge_face=1.0, edge_back=1.0)), "wall")
    assert say(wall).startswith(
        "Bore spare A breaks out by 0.50 mm at the treble edge once it is rounded by 1 mm; "
    )


@pytest.mark.parametrize(
    ("check", "edges", "said"),
    [
        # A seat 18 mm across reaches 9 mm beyond its post, a washer of 14 mm 7.
        ("seat", {"edge_back": 2.0}, "lies 9.0 mm inside the back's edge once it is rounded by 2 mm; "),
        ("seat", {"edge_face": 2.0}, "lies 11.0 mm inside the back's edge; "),
        (
            "washer gap",
            {"edge_face": 2.0},
            "11.0 mm to the treble edge once it is rounded by 2 mm on the face; ",
        ),
        ("washer gap", {"edge_back": 2.0}, "13.0 mm to the treble edge; "),
    ],
)
def test_what_lies_on_one_side_says_what_that_side_loses(
    check: str, edges: dict[str, float], said: str
) -> None:
    found = closest(plain_head(post_at(20.0, 60.0), head=change(Head(), **edges)), check)
    assert said in say(found)


def test_screws_say_what_the_back_loses() -> None:
    """A screw of 2.2 mm, 10 mm outside a post that lies 20 mm inside the edge."""
    screw = Screw(along=0.0, outward=10.0, diameter=2.2, root=1.5, length=8.0)
    build = plain_head(post_at(20.0, 60.0), hardware=(tuner(screws=(screw,)),), head=Head(edge_back=1.0))
    found = closest(build, "screw to edge")
    assert "7.9 mm of wood left at the treble edge once it is rounded by 1 mm on the back; " in say(found)
    assert found.where is not None
    assert found.where[1].x == pytest.approx(39.0)
