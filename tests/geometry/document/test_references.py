"""Keys that are unique and point at something: what is refused is in the table of bad files, here what is not."""

from __future__ import annotations

import pytest
from hypothesis import given
from msgspec.structs import replace

from geometry.document.build import Build, Moved, Post, Row
from geometry.document.codec import read_build
from geometry.document.error import FileError
from geometry.document.references import check_references
from geometry.shape.point import Point
from geometry.trade.limits import DEFAULT_RULES, ChangedLimit, LevelName
from tests.bad_files import GOOD, encoded
from tests.strategies import builds

BUILD = read_build(encoded(GOOD))
LEVELS: tuple[LevelName, ...] = ("watch", "stop")


@given(builds())
def test_a_build_whose_keys_fit_passes(build: Build) -> None:
    check_references(build)


def test_parts_of_different_kinds_may_share_a_key() -> None:
    row = replace(BUILD.rows[0], key="small", posts=(Post(key="s1"), Post(key="small")), moved=())
    check_references(replace(BUILD, rows=(row,)))


def test_two_retainers_may_hold_the_same_string() -> None:
    tree = BUILD.retainers[0]
    check_references(replace(BUILD, retainers=(tree, replace(tree, key="g2", at=Point(3.0, 40.0)))))


def test_every_limit_may_be_changed_once_on_each_level() -> None:
    limits = tuple(
        ChangedLimit(rule=rule.name, level=level, least=1.0) for rule in DEFAULT_RULES for level in LEVELS
    )
    check_references(replace(BUILD, limits=limits))


@pytest.mark.parametrize("least", [2000.0, -2000.0])
def test_the_largest_limit_passes_and_the_next_does_not(least: float) -> None:
    check_references(replace(BUILD, limits=(ChangedLimit(rule="wall", level="stop", least=least),)))
    with pytest.raises(FileError) as refused:
        check_references(replace(BUILD, limits=(ChangedLimit("wall", "watch", 1.0, least * 1.001),)))
    assert refused.value.field == "limits[0].of_bore"


def test_a_post_of_another_row_cannot_be_moved_here() -> None:
    row = BUILD.rows[0]
    other = Row(key="b", side="bass", hardware="small", rule=row.rule, posts=(Post(key="b1"),))
    check_references(replace(BUILD, rows=(row, other)))
    astray = replace(other, moved=(Moved(post="t1", along=1.0, inward=0.0),))
    with pytest.raises(FileError) as refused:
        check_references(replace(BUILD, rows=(row, astray)))
    assert refused.value.field == "rows[1].moved[0].post"
    assert refused.value.value == "t1"


def test_a_key_of_two_rows_is_found_across_rows() -> None:
    row = BUILD.rows[0]
    other = Row(key="b", side="bass", hardware="small", rule=row.rule, posts=(Post(key="t2"),))
    with pytest.raises(FileError, match=r"rows\[0\].posts\[1\].key has this post key already"):
        check_references(replace(BUILD, rows=(row, other)))


def test_a_string_on_posts_of_two_rows_is_refused() -> None:
    row = BUILD.rows[0]
    other = Row(key="b", side="bass", hardware="small", rule=row.rule, posts=(Post(key="b1", string="s1"),))
    with pytest.raises(FileError) as refused:
        check_references(replace(BUILD, rows=(row, other)))
    assert refused.value.field == "rows[1].posts[0].string"
