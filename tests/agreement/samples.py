"""The sample builds, and builds made from starters with a few posts moved by hand."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

from hypothesis import strategies as st

from geometry.document.build import Build
from geometry.document.codec import read_build
from geometry.document.edits import move_post
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.trees import with_trees
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.string_sets import STRING_SETS

FOLDER = Path(__file__).parents[2] / "sample_builds"
SAMPLES = sorted(path.stem for path in FOLDER.glob("*.pegwright"))


class Sample(NamedTuple):
    """A sample build, where its file is, and where everything in it lies."""

    path: Path
    build: Build
    layout: Layout


@cache
def sample_named(name: str) -> Sample:
    """A sample by the name of its file without suffix."""
    path = FOLDER / f"{name}.pegwright"
    build = read_build(path.read_bytes())
    return Sample(path, build, lay_out(build))


@st.composite
def fresh_builds(draw: st.DrawFn) -> Build:
    """Starters with any set of strings and any tuners, right- or left-handed, posts moved a little by hand."""
    build = new_build(
        draw(st.sampled_from(sorted(SUGGESTIONS))),
        name="Drawn by lot",
        nut_width=draw(st.floats(22.0, 60.0)),
        string_set=draw(st.sampled_from(STRING_SETS)),
        hardware=draw(st.sampled_from(LIBRARY)),
        left_handed=draw(st.booleans()),
    )
    build = with_trees(build)
    posts = [post.key for row in build.rows for post in row.posts]
    step = st.floats(-1.5, 1.5)
    for post in draw(st.lists(st.sampled_from(posts), unique=True, max_size=3)):
        build = move_post(build, post, draw(step), draw(step))
    return build
