"""A build is called as its file until it is named, and by both where they differ."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.document.naming import full_name, named
from tests.builds import change, three_and_three


@pytest.mark.parametrize(
    ("name", "path", "words"),
    [
        ("", None, ""),
        ("", Path("/x/maple head.pegwright"), "maple head"),
        ("  ", Path("head.pegwright"), "head"),
        ("Number 12", None, "Number 12"),
        ("Number 12", Path("number 12.pegwright"), "Number 12"),
        ("Number 12", Path("copy.pegwright"), "Number 12 (copy)"),
        ("a/b: c", Path("a-b- c.pegwright"), "a/b: c"),
    ],
)
def test_both_names_where_they_differ(name: str, path: Path | None, words: str) -> None:
    assert full_name(name, path) == words


def test_a_name_is_never_taken_away() -> None:
    build = three_and_three()
    assert named(build, Path("other.pegwright")) is build
    nameless = change(build, name="")
    assert named(nameless, None) is nameless
    assert named(nameless, Path("/x/walnut.pegwright")).name == "walnut"
    assert len(named(nameless, Path("n" * 250)).name) == 200
