"""The fit of bores: bands under the crest of a bushing by the hardness of the wood, the drill's overcut counted."""

from __future__ import annotations

import pytest

from geometry.checks.judge import Finding, Level, findings
from geometry.checks.words import say
from geometry.document.build import Build, Head
from geometry.trade.hardware import Bore, Bushing, Counterbore, Hardware, Tried
from tests.builds import change, plain_head, row, tuner

TEN = Bushing(kind="press-in", root=9.6, crest=10.0)


def ribbed(diameter: float, **fields: object) -> Hardware:
    return tuner(bore=Bore(through=diameter), bushing=change(TEN, **fields))


def fits(build: Build) -> list[Finding]:
    return [each for each in findings(build) if each.check == "bore fit"]


def fit_of(hardware: Hardware, **head: object) -> Finding:
    (found,) = fits(plain_head(row(count=2), hardware=(hardware,), head=Head(**head)))  # type: ignore[arg-type]
    return found


@pytest.mark.parametrize(
    ("wood", "hole", "room"),
    [
        # Crest 10. Hard: the hole from 9.88 to 10; medium: 9.85 to 9.90; soft: 9.75 to 9.85.
        ("sugar maple", 9.95, 0.05),
        ("sugar maple", 9.88, 0.0),
        ("sugar maple", 9.86, -0.02),
        ("sugar maple", 10.0, 0.0),
        ("sugar maple", 10.03, -0.03),
        ("black walnut", 9.86, 0.01),
        ("black walnut", 9.95, -0.05),
        ("western redcedar", 9.80, 0.05),
        ("western redcedar", 9.70, -0.05),
        ("western redcedar", 9.86, -0.01),
        # A wood that is not known may be any of them.
        ("", 9.75, 0.0),
        ("cardboard", 10.0, 0.0),
        ("cardboard", 10.01, -0.01),
    ],
)
def test_a_pressed_bushing_by_the_hardness_of_the_wood(wood: str, hole: float, room: float) -> None:
    # A drill leaves a hole 0.05 wider than itself.
    found = fit_of(ribbed(hole - 0.05), wood=wood)
    assert found.measured == pytest.approx(room, abs=1e-9)
    assert found.level is (Level.FINE if room > -1e-9 else Level.WATCH)
    assert found.stop is None


def test_it_never_stops() -> None:
    assert fit_of(ribbed(14.0), wood="sugar maple").level is Level.WATCH


def test_finish_and_what_felt_right_are_in_the_build() -> None:
    wide = ribbed(10.1)
    assert fit_of(wide, wood="sugar maple").level is Level.WATCH
    assert fit_of(wide, wood="sugar maple", finish_build_up=0.2).level is Level.FINE
    felt = ribbed(10.1, tried=Tried(wood="sugar maple", bore=10.1))
    assert fit_of(felt, wood="Sugar Maple").level is Level.FINE
    assert fit_of(felt, wood="white ash").level is Level.WATCH


def test_the_bushing_counts_where_it_sits() -> None:
    stepped = Bore(through=6.5, counterbore=Counterbore(diameter=9.9, depth=9.0))
    assert fit_of(tuner(bore=stepped, bushing=TEN), wood="sugar maple").measured == pytest.approx(0.05)


@pytest.mark.parametrize(
    ("hardware", "words"),
    [
        (
            ribbed(9.5),
            "0.33 mm outside the fit for the wood and what sits in it. Narrow: hard wood may split",
        ),
        (ribbed(10.2), "0.25 mm outside the fit for the wood and what sits in it. Wide: even in hard wood"),
        (
            tuner(bore=Bore(through=5.9)),
            "0.20 mm outside the fit for the wood and what sits in it. Narrow: the post",
        ),
        (
            tuner(bore=Bore(through=13.5)),
            "0.50 mm outside the fit for the wood and what sits in it. Wide: the washer",
        ),
        (ribbed(9.9), "0.05 mm inside the fit for the wood and what sits in it"),
    ],
)
def test_words(hardware: Hardware, words: str) -> None:
    assert say(fit_of(hardware, wood="sugar maple")).startswith(
        f"Bore 1 and 2: {words}".replace("1 and 2", "spare A, spare B")
    )


def test_it_is_said_once_for_each_kind() -> None:
    kinds = (change(ribbed(10.2), key="one"), change(ribbed(9.9), key="two"))
    rows = (row("treble", 3, hardware="one"), row("bass", 3, hardware="two"))
    found = fits(plain_head(*rows, hardware=kinds, head=Head(wood="sugar maple")))
    assert [each.level for each in found] == [Level.WATCH, Level.FINE]
    assert [each.about[0].key for each in found] == ["treble1", "bass1"]


def test_without_tuners_there_is_nothing_to_fit() -> None:
    assert fits(plain_head()) == []
