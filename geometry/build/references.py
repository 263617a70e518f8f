"""What a build file names must be there, once: keys are unique and point at something.

Only slips of the pen are refused. Anything that can be drawn, a half-drawn head too, loads and is judged.
"""

from __future__ import annotations

from collections.abc import Iterable

from geometry.build.build import Build, Nodes, Row
from geometry.build.error import BuildError
from geometry.trade.limits import RULE_NAMES

MOST_NODES = 2000


def check_references(build: Build) -> None:
    """Raise BuildError for a key used twice, a name that points nowhere, or a part that is not supported."""
    _check_unique(build)
    _check_rows(build)
    _check_strings_once(build)
    _check_parts(build)
    for place, change in enumerate(build.limits):
        if change.rule not in RULE_NAMES:
            expected = f"expected the name of a limit, one of: {', '.join(sorted(RULE_NAMES))}"
            msg = f"limits[{place}].rule"
            raise BuildError(msg, change.rule, expected)


def _unique(keys: Iterable[tuple[str, str]], what: str) -> None:
    seen: dict[str, str] = {}
    for field, key in keys:
        if key in seen:
            raise BuildError(
                field, key, f"expected a key of its own; {seen[key]} has this {what} key already"
            )
        seen[key] = field


def _check_unique(build: Build) -> None:
    _unique(((f"strings[{n}].key", each.key) for n, each in enumerate(build.strings)), "string")
    _unique(((f"hardware[{n}].key", each.key) for n, each in enumerate(build.hardware)), "hardware")
    _unique(((f"rows[{n}].key", each.key) for n, each in enumerate(build.rows)), "row")
    posts = (
        (f"rows[{n}].posts[{m}].key", post.key)
        for n, row in enumerate(build.rows)
        for m, post in enumerate(row.posts)
    )
    _unique(posts, "post")
    _unique(((f"keep_clear[{n}].key", each.key) for n, each in enumerate(build.keep_clear)), "region")
    _unique(((f"old_holes[{n}].key", each.key) for n, each in enumerate(build.old_holes)), "hole")
    _unique(((f"retainers[{n}].key", each.key) for n, each in enumerate(build.retainers)), "retainer")
    if isinstance(build.outline, Nodes):
        nodes = build.outline.nodes
        _unique(((f"outline.nodes[{n}].key", node.key) for n, node in enumerate(nodes)), "node")
        if len(nodes) > MOST_NODES:
            msg = "outline.nodes"
            raise BuildError(msg, len(nodes), f"expected at most {MOST_NODES} nodes")


def _check_rows(build: Build) -> None:
    hardware = {each.key for each in build.hardware}
    for number, row in enumerate(build.rows):
        if row.hardware not in hardware:
            expected = f"expected the key of one of the build's hardware: {_listed(hardware)}"
            msg = f"rows[{number}].hardware"
            raise BuildError(msg, row.hardware, expected)
        _check_moved(row, number)


def _check_moved(row: Row, number: int) -> None:
    posts = {post.key for post in row.posts}
    _unique(
        ((f"rows[{number}].moved[{n}].post", each.post) for n, each in enumerate(row.moved)), "moved post"
    )
    for place, moved in enumerate(row.moved):
        if moved.post not in posts:
            expected = f"expected the key of a post of this row: {_listed(posts)}"
            msg = f"rows[{number}].moved[{place}].post"
            raise BuildError(msg, moved.post, expected)


def _check_strings_once(build: Build) -> None:
    strings = {each.key for each in build.strings}
    taken: dict[str, str] = {}
    for number, row in enumerate(build.rows):
        for place, post in enumerate(row.posts):
            if not isinstance(post.string, str):
                continue
            field = f"rows[{number}].posts[{place}].string"
            if post.string not in strings:
                raise BuildError(field, post.string, f"expected the key of a string: {_listed(strings)}")
            if post.string in taken:
                expected = f"expected one post for a string; {taken[post.string]} carries it already"
                raise BuildError(field, post.string, expected)
            taken[post.string] = field
    for number, retainer in enumerate(build.retainers):
        for key in retainer.strings:
            if key not in strings:
                field = f"retainers[{number}].strings"
                raise BuildError(field, key, f"expected keys of strings: {_listed(strings)}")


def _check_parts(build: Build) -> None:
    if build.nut.slant_deg != 0:
        expected = "a slanted nut is not supported yet; expected 0, a nut square to the centre line"
        msg = "nut.slant_deg"
        raise BuildError(msg, build.nut.slant_deg, expected)
    if build.nut.zero_fret:
        msg = "nut.zero_fret"
        raise BuildError(msg, True, "a zero fret is not supported yet; expected false")
    for number, hardware in enumerate(build.hardware):
        if hardware.tapered:
            expected = (
                "tapered wooden pegs are not supported yet; expected a tuner that sits in a straight bore"
            )
            msg = f"hardware[{number}].tapered"
            raise BuildError(msg, True, expected)
        plate = hardware.plate
        if plate is not None and not 1 <= plate.posts <= 12:
            msg = f"hardware[{number}].plate.posts"
            raise BuildError(msg, plate.posts, "expected 1 to 12 posts on a plate")


def _listed(keys: set[str]) -> str:
    return ", ".join(sorted(keys)) if keys else "there is none yet"
