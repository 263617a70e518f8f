"""The program against the oracle, which was written from the definitions alone and measures by brute force."""

from __future__ import annotations

import ast
import json
from functools import cache
from pathlib import Path

import pytest

from tests.judged import judged
from tests.oracle.compare import disagreements
from tests.oracle.curve import Json
from tests.oracle.gaps import Gap
from tests.oracle.heads import head
from tests.oracle.judge import gaps_of

HERE = Path(__file__).parent
SAMPLES = sorted((HERE.parents[1] / "sample_builds").glob("*.pegwright"))
CHUNKS, CHUNK = 20, 15
"""300 heads; `tests/bench/oracle.py` compares ten thousand."""


@cache
def gaps(seed: int) -> list[Gap]:
    """What the oracle says of a head, for all tests that ask."""
    return gaps_of(head(seed))


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_many_heads(chunk: int) -> None:
    said = {}
    for seed in range(chunk * CHUNK, (chunk + 1) * CHUNK):
        build = head(seed)
        if found := disagreements(gaps(seed), judged(build)):
            said[seed] = found
    assert said == {}


@pytest.mark.parametrize("seed", [970, 1902, 2585, 3181, 4337, 9036, 9075, 9327])
def test_heads_on_which_the_two_once_differed(seed: int) -> None:
    # A seat over a notch, a row almost across, rows that would turn back at the tip, a hexagon
    # wider than its washer, a line whose last place is in a corner of the tip, a string that
    # grazes the rim of a washer, a post whose nearest edge is a corner.
    build = head(seed)
    assert disagreements(gaps_of(build), judged(build)) == []


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples(path: Path) -> None:
    build = json.loads(path.read_text())
    assert disagreements(gaps_of(build), judged(build)) == []


def test_heads_are_of_all_kinds_and_levels() -> None:
    heads = [head(seed) for seed in range(150)]
    assert {build["outline"].get("shape", "nodes") for build in heads} > {"nodes", "one-sided", "waisted"}
    assert {build["hand"] for build in heads} == {"left", "right"}
    assert {row["rule"]["rule"] for build in heads for row in build["rows"]} == {
        "along the edge",
        "on a line",
        "on a plate",
        "straight pull",
    }
    levels = {(gap.check, gap.level) for seed in range(30) for gap in gaps(seed)}
    for check in ("wall", "seat", "button gap", "string to post", "string to string", "break", "screw depth"):
        assert {(check, "stop"), (check, "fine")} <= levels
    assert {("thickest string", "watch"), ("thickest string", "fine")} <= levels


# A comparison that finds nothing wrong with anything would be worth nothing.


def other(finding: Json, **changes: object) -> list[str]:
    """What is said of a head when one of its findings is changed."""
    build = head(2)
    findings = [each | changes if each["check"] == finding["check"] else each for each in judged(build)]
    return disagreements(gaps_of(build), findings)


def test_what_differs_is_told() -> None:
    build = head(2)
    found = judged(build)
    assert disagreements(gaps_of(build), found) == []
    wall = next(finding for finding in found if finding["check"] == "wall")
    assert any("wall" in words for words in other(wall, measured=wall["measured"] + 0.02))
    assert any("wall" in words for words in other(wall, level="stop"))
    assert any("wall" in words for words in other(wall, watch=wall["watch"] + 0.02))
    without = [finding for finding in found if finding["check"] != "wall"]
    assert any(words.startswith("wall") for words in disagreements(gaps_of(build), without))
    strange = wall | {"about": ["bore Z"]}
    assert any("does not know" in words for words in disagreements(gaps_of(build), [*found, strange]))


def test_the_oracle_knows_nothing_of_the_program() -> None:
    for path in HERE.glob("*.py"):
        if path.stem.startswith("test_"):
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            named = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            named += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not [
                name for name in named if name.split(".")[0] in ("app", "export", "geometry", "pegwright")
            ]
            assert not [
                name for name in named if name.startswith("tests") and not name.startswith("tests.oracle")
            ]
