"""Drilled holes stay where they are, whatever is decided about the rest."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build
from geometry.document.edits import mirrored, move_post, set_drilled, set_rule
from geometry.layout.held import held
from geometry.layout.layout import lay_out
from geometry.search.refitting.refit import refit
from geometry.shape.point import Point, Vector
from tests.builds import INSET, PITCH, START, plain_head, row
from tests.generated_builds import generated


def places(build: Build) -> dict[str, Point]:
    return {post.key: post.at for post in lay_out(build).posts}


def three(drilled: str = "treble2") -> Build:
    return set_drilled(plain_head(row(count=3)), drilled, drilled=True)


def test_a_row_moves_on_without_its_drilled_hole() -> None:
    build = three()
    rule = AlongEdge(start=START + 5.0, pitch=PITCH, inset=INSET - 1.0)
    after = held(build, set_rule(build, "treble", rule))
    was, now = places(build), places(after)
    steps = {"treble1": Vector(1.0, 5.0), "treble2": Vector(0.0, 0.0), "treble3": Vector(1.0, 5.0)}
    assert all(now[key].distance(was[key] + step) < 1e-9 for key, step in steps.items())
    assert [moved.post for moved in after.rows[0].moved] == ["treble2"]


def test_a_drilled_hole_goes_where_it_is_put_by_hand() -> None:
    build = three()
    after = held(build, move_post(build, "treble2", along=0.6, inward=0.0))
    assert places(after)["treble2"] == places(build)["treble2"] + Vector(0.0, 0.6)


def test_a_hole_drilled_just_now_is_where_the_edit_has_it() -> None:
    build = plain_head(row(count=3))
    rule = AlongEdge(start=START + 5.0, pitch=PITCH, inset=INSET)
    edited = set_rule(set_drilled(build, "treble2", drilled=True), "treble", rule)
    assert held(build, edited) is edited


def test_what_places_nothing_costs_nothing() -> None:
    build = three()
    noted = replace(build, notes="drilled on Tuesday")
    assert held(build, noted) is noted


def test_the_mirror_image_is_no_miss() -> None:
    build = three()
    assert held(build, mirrored(build)) == mirrored(build)


def test_a_row_that_is_gone_holds_nothing() -> None:
    build = three()
    assert held(build, replace(build, rows=())).rows == ()


@pytest.mark.parametrize("seed", range(0, 60, 4))
def test_a_refit_moves_no_drilled_hole(seed: int) -> None:
    build = generated(seed)
    key = build.rows[-1].posts[0].key
    drilled = set_drilled(build, key, drilled=True)
    there = places(refit(drilled, build.nut.width + 1.5, "head"))
    assert there[key].distance(places(build)[key]) < 1e-6
