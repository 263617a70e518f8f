"""Which strings the check of stress is silent about."""

from __future__ import annotations

import pytest

from geometry.checks.judge import findings
from geometry.document.build import Build, String
from tests.builds import plain_head, post_at


def told(*given: String) -> list[str]:
    slots = tuple(20.0 - 10.0 * number for number in range(len(given)))
    rows = [post_at(x + 3.5, 100.0 + 20.0 * number, key=f"r{number}") for number, x in enumerate(slots)]
    build: Build = plain_head(*rows, slots=slots, strings=given)
    return [part.key for found in findings(build) if found.check == "string stress" for part in found.about]


def test_plain_steel_with_a_pitch_is_told() -> None:
    assert told(String(key="a", name="E4", diameter=0.254), String(key="b", name="B3", diameter=0.3302)) == [
        "a",
        "b",
    ]


@pytest.mark.parametrize(
    "string",
    [
        String(key="a", name="E4", diameter=0.6, kind="nylon"),
        String(key="a", name="E4", diameter=0.6, kind="gut"),
        String(key="a", name="G3", diameter=0.6, kind="wound"),
        # Nothing is known of its pitch, or of wire of its diameter.
        String(key="a", name="first", diameter=0.254),
        String(key="a", name="G4", diameter=0.15),
    ],
    ids=["nylon", "gut", "wound", "no pitch", "thinner than the table"],
)
def test_others_are_not(string: String) -> None:
    other = String(key="b", name="B3", diameter=0.3302)
    assert told(string, other) == ["b"]
    assert told(string) == []


def test_a_string_without_a_post_is_not() -> None:
    strings = (String(key="a", name="E4", diameter=0.254), String(key="b", name="B3", diameter=0.3302))
    build = plain_head(post_at(3.5, 100.0), slots=(0.0, -10.0), strings=strings)
    parts = [found.about[0].key for found in findings(build) if found.check == "string stress"]
    assert parts == ["a"]
